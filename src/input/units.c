#include "input/units.h"

#include <stdbool.h>
#include <string.h>

#include "base/text.h"

/* Exact factors. inch = 25.4 mm and pound = 453.59237 g: international yard and pound agreement of
 * 1959, 16 CFR 500.19, NIST SP 811 (2008) app. B.8 (from memory). ounce = pound/16. US gallon = 231
 * in³, fluid ounce = gallon/128. "oz" alone is mass. */
#define INCH        25.4
#define FOOT        304.8
#define POUND       453.59237
#define OUNCE       28.349523125
#define CUBIC_INCH  16.387064
#define FLUID_OUNCE 29.5735295625
#define CUBIC_FOOT  28316.846592          /* mL */
#define DEGREE      57.295779513082320877 /* 180/π */

static const PoiseUnit UNITS[] = {
    {"mm", POISE_UNIT_LENGTH, 1.0, 0.0},
    {"millimetre", POISE_UNIT_LENGTH, 1.0, 0.0},
    {"millimetres", POISE_UNIT_LENGTH, 1.0, 0.0},
    {"cm", POISE_UNIT_LENGTH, 10.0, 0.0},
    {"m", POISE_UNIT_LENGTH, 1000.0, 0.0},
    {"um", POISE_UNIT_LENGTH, 0.001, 0.0},
    {"in", POISE_UNIT_LENGTH, INCH, 0.0},
    {"inch", POISE_UNIT_LENGTH, INCH, 0.0},
    {"inches", POISE_UNIT_LENGTH, INCH, 0.0},
    {"\"", POISE_UNIT_LENGTH, INCH, 0.0},
    {"thou", POISE_UNIT_LENGTH, INCH / 1000.0, 0.0},
    {"ft", POISE_UNIT_LENGTH, FOOT, 0.0},
    {"foot", POISE_UNIT_LENGTH, FOOT, 0.0},
    {"feet", POISE_UNIT_LENGTH, FOOT, 0.0},
    {"'", POISE_UNIT_LENGTH, FOOT, 0.0},

    {"g", POISE_UNIT_MASS, 1.0, 0.0},
    {"gram", POISE_UNIT_MASS, 1.0, 0.0},
    {"grams", POISE_UNIT_MASS, 1.0, 0.0},
    {"mg", POISE_UNIT_MASS, 0.001, 0.0},
    {"kg", POISE_UNIT_MASS, 1000.0, 0.0},
    {"lb", POISE_UNIT_MASS, POUND, 0.0},
    {"lbs", POISE_UNIT_MASS, POUND, 0.0},
    {"pound", POISE_UNIT_MASS, POUND, 0.0},
    {"pounds", POISE_UNIT_MASS, POUND, 0.0},
    {"oz", POISE_UNIT_MASS, OUNCE, 0.0},
    {"ounce", POISE_UNIT_MASS, OUNCE, 0.0},
    {"ounces", POISE_UNIT_MASS, OUNCE, 0.0},

    {"\xC2\xB0", POISE_UNIT_ANGLE, 1.0, 0.0},
    {"deg", POISE_UNIT_ANGLE, 1.0, 0.0},
    {"degree", POISE_UNIT_ANGLE, 1.0, 0.0},
    {"degrees", POISE_UNIT_ANGLE, 1.0, 0.0},
    {"rad", POISE_UNIT_ANGLE, DEGREE, 0.0},

    {"g/cm3", POISE_UNIT_DENSITY, 1.0, 0.0},
    {"g/cm^3", POISE_UNIT_DENSITY, 1.0, 0.0},
    {"g/cc", POISE_UNIT_DENSITY, 1.0, 0.0},
    {"g/ml", POISE_UNIT_DENSITY, 1.0, 0.0},
    {"g/mL", POISE_UNIT_DENSITY, 1.0, 0.0},
    {"kg/l", POISE_UNIT_DENSITY, 1.0, 0.0},
    {"kg/L", POISE_UNIT_DENSITY, 1.0, 0.0},
    {"kg/m3", POISE_UNIT_DENSITY, 0.001, 0.0},
    {"kg/m^3", POISE_UNIT_DENSITY, 0.001, 0.0},
    {"lb/ft3", POISE_UNIT_DENSITY, POUND / CUBIC_FOOT, 0.0},
    {"lb/ft^3", POISE_UNIT_DENSITY, POUND / CUBIC_FOOT, 0.0},
    {"lb/in3", POISE_UNIT_DENSITY, POUND / CUBIC_INCH, 0.0},
    {"lb/in^3", POISE_UNIT_DENSITY, POUND / CUBIC_INCH, 0.0},

    {"ml", POISE_UNIT_VOLUME, 1.0, 0.0},
    {"mL", POISE_UNIT_VOLUME, 1.0, 0.0},
    {"cc", POISE_UNIT_VOLUME, 1.0, 0.0},
    {"cm3", POISE_UNIT_VOLUME, 1.0, 0.0},
    {"cm^3", POISE_UNIT_VOLUME, 1.0, 0.0},
    {"mm3", POISE_UNIT_VOLUME, 0.001, 0.0},
    {"mm^3", POISE_UNIT_VOLUME, 0.001, 0.0},
    {"cl", POISE_UNIT_VOLUME, 10.0, 0.0},
    {"cL", POISE_UNIT_VOLUME, 10.0, 0.0},
    {"l", POISE_UNIT_VOLUME, 1000.0, 0.0},
    {"L", POISE_UNIT_VOLUME, 1000.0, 0.0},
    {"litre", POISE_UNIT_VOLUME, 1000.0, 0.0},
    {"litres", POISE_UNIT_VOLUME, 1000.0, 0.0},
    {"liter", POISE_UNIT_VOLUME, 1000.0, 0.0},
    {"liters", POISE_UNIT_VOLUME, 1000.0, 0.0},
    {"in3", POISE_UNIT_VOLUME, CUBIC_INCH, 0.0},
    {"in^3", POISE_UNIT_VOLUME, CUBIC_INCH, 0.0},
    {"cu in", POISE_UNIT_VOLUME, CUBIC_INCH, 0.0},
    {"fl oz", POISE_UNIT_VOLUME, FLUID_OUNCE, 0.0},
    {"fl. oz", POISE_UNIT_VOLUME, FLUID_OUNCE, 0.0},
    {"US fl oz", POISE_UNIT_VOLUME, FLUID_OUNCE, 0.0},

    {"s", POISE_UNIT_TIME, 1.0, 0.0},
    {"sec", POISE_UNIT_TIME, 1.0, 0.0},
    {"second", POISE_UNIT_TIME, 1.0, 0.0},
    {"seconds", POISE_UNIT_TIME, 1.0, 0.0},
    {"min", POISE_UNIT_TIME, 60.0, 0.0},
    {"minute", POISE_UNIT_TIME, 60.0, 0.0},
    {"minutes", POISE_UNIT_TIME, 60.0, 0.0},
    {"h", POISE_UNIT_TIME, 3600.0, 0.0},
    {"hr", POISE_UNIT_TIME, 3600.0, 0.0},
    {"hour", POISE_UNIT_TIME, 3600.0, 0.0},
    {"hours", POISE_UNIT_TIME, 3600.0, 0.0},
    {"d", POISE_UNIT_TIME, 86400.0, 0.0},
    {"day", POISE_UNIT_TIME, 86400.0, 0.0},
    {"days", POISE_UNIT_TIME, 86400.0, 0.0},

    {"\xC2\xB0"
     "C",
     POISE_UNIT_TEMPERATURE, 1.0, 0.0},
    {"C", POISE_UNIT_TEMPERATURE, 1.0, 0.0},
    {"degC", POISE_UNIT_TEMPERATURE, 1.0, 0.0},
    {"\xC2\xB0"
     "F",
     POISE_UNIT_TEMPERATURE, 5.0 / 9.0, -160.0 / 9.0},
    {"F", POISE_UNIT_TEMPERATURE, 5.0 / 9.0, -160.0 / 9.0},
    {"degF", POISE_UNIT_TEMPERATURE, 5.0 / 9.0, -160.0 / 9.0},
    {"K", POISE_UNIT_TEMPERATURE, 1.0, -273.15},

    {"%", POISE_UNIT_RATIO, 0.01, 0.0},

    {"mm3/s", POISE_UNIT_FLOW, 1.0, 0.0},
    {"mm^3/s", POISE_UNIT_FLOW, 1.0, 0.0},
    {"cm3/s", POISE_UNIT_FLOW, 1000.0, 0.0},
    {"cm^3/s", POISE_UNIT_FLOW, 1000.0, 0.0},
    {"ml/s", POISE_UNIT_FLOW, 1000.0, 0.0},
    {"mL/s", POISE_UNIT_FLOW, 1000.0, 0.0},

    {"g/m", POISE_UNIT_LINEAR, 1.0, 0.0},
    {"mg/mm", POISE_UNIT_LINEAR, 1.0, 0.0},
    {"g/cm", POISE_UNIT_LINEAR, 100.0, 0.0},
    {"kg/m", POISE_UNIT_LINEAR, 1000.0, 0.0},
    {"lb/in", POISE_UNIT_LINEAR, POUND / INCH * 1000.0, 0.0},
    {"lb/ft", POISE_UNIT_LINEAR, POUND / FOOT * 1000.0, 0.0},
};

enum { UNIT_COUNT = sizeof UNITS / sizeof *UNITS };

/* A unit's last character being a letter, what follows may not go on with the word. */
static bool word_goes_on(const char *unit, size_t n, char next)
{
    char last = unit[n - 1];
    bool letter = (last >= 'a' && last <= 'z') || (last >= 'A' && last <= 'Z');
    bool next_letter = (next >= 'a' && next <= 'z') || (next >= 'A' && next <= 'Z');
    if (next == '^' || next == '/' || next == '*')
        return true;
    return next_letter && (letter || (last >= '0' && last <= '9') || last == '%');
}

const PoiseUnit *poise_unit_at(const char *s)
{
    const PoiseUnit *best = NULL;
    size_t best_length = 0;
    for (size_t i = 0; i < UNIT_COUNT; i++) {
        size_t n = strlen(UNITS[i].name);
        if (n > best_length && strncmp(s, UNITS[i].name, n) == 0 &&
            !word_goes_on(UNITS[i].name, n, s[n])) {
            best = &UNITS[i];
            best_length = n;
        }
    }
    return best;
}

const PoiseUnit *poise_unit_number(size_t i)
{
    return i < UNIT_COUNT ? &UNITS[i] : NULL;
}

const char *poise_unit_nearest(const char *word, PoiseUnitKind kind)
{
    const char *names[UNIT_COUNT];
    size_t n = 0;
    for (size_t i = 0; i < UNIT_COUNT; i++)
        if (UNITS[i].kind == kind)
            names[n++] = UNITS[i].name;
    return poise_nearest(word, names, n);
}
