/* Quantities with units and uncertainty. Factors: inch 25.4 mm and pound 0.45359237 kg exactly (16
 * CFR 500.19(a); NIST SP 811 (2008) app. B.8, from memory); ounce lb/16; US fluid ounce 231
 * in³/128. */
#include "check.h"

#include <locale.h>

#include "input/quantity.h"

/* Conversions are one or two roundings of exact factors. */
#define ROUNDING 4e-16

static PoiseQuantity good(const char *text, PoiseUnitKind kind)
{
    PoiseQuantity q = {NAN, NAN};
    char why[POISE_WHY] = "";
    if (!poise_quantity_parse(text, kind, &q, why))
        fail_msg("\"%s\" was refused: %s", text, why);
    return q;
}

static void gives(const char *text, PoiseUnitKind kind, double value, double u)
{
    PoiseQuantity q = good(text, kind);
    if (!(fabs(q.value - value) <= ROUNDING * fabs(value)) ||
        !(fabs(q.u - u) <= 4 * ROUNDING * fabs(u)))
        fail_msg("\"%s\": got %.17g ± %.17g, want %.17g ± %.17g", text, q.value, q.u, value, u);
}

static void refused(const char *text, PoiseUnitKind kind, const char *reason)
{
    PoiseQuantity q;
    char why[POISE_WHY] = "";
    if (poise_quantity_parse(text, kind, &q, why))
        fail_msg("\"%s\" was read as %.17g", text, q.value);
    assert_string_equal(why, reason);
}

static void converts_exactly(void **state)
{
    (void)state;
    gives("1 in", POISE_UNIT_LENGTH, 25.4, 0);
    gives("25.5 in", POISE_UNIT_LENGTH, 647.7, 0);
    gives("25 1/2 in", POISE_UNIT_LENGTH, 647.7, 0);
    gives("25\xC2\xBD\"", POISE_UNIT_LENGTH, 647.7, 0);
    gives("1/64 in", POISE_UNIT_LENGTH, 0.396875, 0);
    gives("2 ft 1 1/2 in", POISE_UNIT_LENGTH, 647.7, 0);
    gives(".010 in", POISE_UNIT_LENGTH, 0.254, 0);
    gives("10 thou", POISE_UNIT_LENGTH, 0.254, 0);
    gives("64.77 cm", POISE_UNIT_LENGTH, 647.7, 0);
    gives("1 lb", POISE_UNIT_MASS, 453.59237, 0);
    gives("1 oz", POISE_UNIT_MASS, 28.349523125, 0);
    gives("2.2 kg", POISE_UNIT_MASS, 2200, 0);
    gives("2.2kg", POISE_UNIT_MASS, 2200, 0);
    /* 7 lb 5 oz = 117 oz */
    gives("7 lb 5 oz", POISE_UNIT_MASS, 117 * 28.349523125, 0);
    gives("7lb5oz", POISE_UNIT_MASS, 117 * 28.349523125, 0);
    gives("1 fl oz", POISE_UNIT_VOLUME, 29.5735295625, 0);
    gives("160 ml", POISE_UNIT_VOLUME, 160, 0);
    gives("0.16 l", POISE_UNIT_VOLUME, 160, 0);
    gives("1 in3", POISE_UNIT_VOLUME, 16.387064, 0);
    gives("128000 mm\xC2\xB3", POISE_UNIT_VOLUME, 128, 0);
    gives("30 %", POISE_UNIT_RATIO, 0.30, 0);
    gives("0.3", POISE_UNIT_RATIO, 0.3, 0);
    gives("8 %", POISE_UNIT_PERCENT, 8, 0);
    gives("20\xC2\xB0", POISE_UNIT_ANGLE, 20, 0);
    gives("20 deg", POISE_UNIT_ANGLE, 20, 0);
    gives("-12.5 deg", POISE_UNIT_ANGLE, -12.5, 0);
    gives("1240 kg/m3", POISE_UNIT_DENSITY, 1.24, 0);
    gives("18 g/m", POISE_UNIT_LINEAR, 18, 0);
    gives("9 mm\xC2\xB3/s", POISE_UNIT_FLOW, 9, 0);
    gives("8 s", POISE_UNIT_TIME, 8, 0);
    gives("2", POISE_UNIT_TIME, 7200, 0); /* plain: hours */
    gives("1 h 30 min", POISE_UNIT_TIME, 5400, 0);
    gives("1e3 g", POISE_UNIT_MASS, 1000, 0);
    assert_true(poise_quantity_plain(2, POISE_UNIT_TIME).value == 7200.0);
}

/* To the digits printed by GNU units 3.15. */
static void agrees_with_printed_tables(void **state)
{
    (void)state;
    check_near(good("1 lb/in3", POISE_UNIT_DENSITY).value, 27.679905, 5e-7);
    check_near(good("1 lb/ft3", POISE_UNIT_DENSITY).value, 0.016018463, 5e-10);
    /* Fixed points of the temperature scales: 32 °F freezing, 212 °F boiling, 273.15 K. */
    check_near(good("32 \xC2\xB0"
                    "F",
                    POISE_UNIT_TEMPERATURE)
                   .value,
               0, 1e-13);
    check_near(good("212 F ± 9 F", POISE_UNIT_TEMPERATURE).value, 100, 1e-13);
    check_near(good("212 F ± 9 F", POISE_UNIT_TEMPERATURE).u, 5, 1e-13);
    check_near(good("273.15 K", POISE_UNIT_TEMPERATURE).value, 0, 1e-13);
}

static void reads_uncertainty(void **state)
{
    (void)state;
    gives("185 g \xC2\xB1 10 g", POISE_UNIT_MASS, 185, 10);
    gives("185 \xC2\xB1 10 g", POISE_UNIT_MASS, 185, 10);
    gives("6 \xC2\xB1 1 oz", POISE_UNIT_MASS, 6 * 28.349523125, 28.349523125);
    gives("6 oz \xC2\xB1 1", POISE_UNIT_MASS, 6 * 28.349523125, 28.349523125);
    gives("1 kg +/- 5 g", POISE_UNIT_MASS, 1000, 5);
    gives("185 g +/- 5 %", POISE_UNIT_MASS, 185, 9.25);
    gives("-20 deg +/- 5 %", POISE_UNIT_ANGLE, -20, 1);
    gives("0.35 \xC2\xB1 0.1", POISE_UNIT_FRICTION, 0.35, 0.1);
    gives("0.4 \xC2\xB1 25 %", POISE_UNIT_FRICTION, 0.4, 0.1);
    gives("30 % \xC2\xB1 2 %", POISE_UNIT_RATIO, 0.30, 0.02); /* absolute, not 2 % of 30 % */
    gives("30 \xC2\xB1 2 %", POISE_UNIT_RATIO, 0.30, 0.02);
    gives("2 \xC2\xB1 1", POISE_UNIT_TIME, 7200, 3600);
    /* No-break and thin spaces, Unicode minus. */
    gives("\xE2\x88\x92"
          "5\xC2\xA0mm\xE2\x80\x89\xC2\xB1\xE2\x80\xAF"
          "1\xC2\xA0mm",
          POISE_UNIT_LENGTH, -5, 1);
}

static void refuses(void **state)
{
    (void)state;
    refused("", POISE_UNIT_MASS, "the text is empty");
    refused("  ", POISE_UNIT_MASS, "the text is empty");
    refused("5abc", POISE_UNIT_MASS, "\"abc\" is not a unit");
    refused("5 gm", POISE_UNIT_MASS, "\"gm\" is not a unit; did you mean \"g\"?");
    refused("5 KG", POISE_UNIT_MASS, "\"KG\" is not a unit; did you mean \"kg\"?");
    refused("1.2.3", POISE_UNIT_MASS, "\"1.2.3\" is not a number");
    refused("1,5 kg", POISE_UNIT_MASS,
            "a comma stands in the number; write a decimal point and no thousands separator");
    refused("5 g g", POISE_UNIT_MASS, "\"g\" stands after a complete quantity");
    refused("1e999", POISE_UNIT_MASS, "\"1e999\" is too large or too long a number");
    refused("1e308 kg", POISE_UNIT_MASS, "the number is too large");
    refused("nan", POISE_UNIT_MASS, "\"nan\" is not a number");
    refused("0x10", POISE_UNIT_MASS, "\"x10\" is not a unit");
    refused("--5", POISE_UNIT_MASS, "\"-5\" is not a number");
    refused("1/0 in", POISE_UNIT_LENGTH,
            "a fraction needs a whole number other than 0 below the line");
    refused("5 kg", POISE_UNIT_LENGTH, "\"kg\" is a unit of mass, not of length");
    refused("5 oz", POISE_UNIT_VOLUME,
            "\"oz\" is a unit of mass, not of volume; write \"fl oz\" for fluid ounces");
    refused("5 fl oz", POISE_UNIT_MASS, "\"fl oz\" is a unit of volume, not of mass");
    refused("5 %", POISE_UNIT_MASS, "\"%\" is a unit of percentage or fraction, not of mass");
    refused("5 mm", POISE_UNIT_FRICTION,
            "\"mm\" is a unit of length, but a friction coefficient has none");
    refused("5 oz 7 lb", POISE_UNIT_MASS, "\"lb\" does not go on from \"oz\" to a smaller unit");
    refused("7 lb 16 oz", POISE_UNIT_MASS, "\"16 oz\" is one \"lb\" or more");
    refused("7.5 lb 5 oz", POISE_UNIT_MASS, "\"5\" follows a number that is not whole");
    refused("7 lb 5", POISE_UNIT_MASS, "\"5\" has no unit");
    refused("5 g \xC2\xB1", POISE_UNIT_MASS, "a number is missing");
    refused("5 g \xC2\xB1 -1 g", POISE_UNIT_MASS, "the uncertainty after ± has a sign");
    refused("5 g \xC2\xB1 1 g \xC2\xB1 1 g", POISE_UNIT_MASS, "it has more than one ±");
    refused("5 g \xC2\xB1 1 mm", POISE_UNIT_MASS, "\"mm\" is a unit of length, not of mass");
    refused("5 g \xFF", POISE_UNIT_MASS, "it holds bytes that are not UTF-8");
    refused("5 cm^", POISE_UNIT_LENGTH, "\"cm^\" is not a unit; did you mean \"cm\"?");
}

/* Under a locale with a decimal comma the point still is the point. Skipped where no such locale is
 * installed; the parser lends itself the C locale either way. */
/* What is rounded to a step is off by up to half of it, u = step/√12 (JCGM 100:2008, F.2.2.1). */
static void reading(const char *text, PoiseUnitKind kind, double value, double step)
{
    PoiseQuantity q;
    char why[POISE_WHY] = "";
    bool rounded = false;
    assert_true(poise_quantity_parse_reading(text, kind, &q, &rounded, why));
    assert_true(rounded);
    check_close(q.value, value, 1e-15);
    check_close(q.u, step / sqrt(12), 1e-14);
}

static void knows_what_a_last_digit_is_worth(void **state)
{
    (void)state;
    const double ounce = 28.349523125;
    reading("482 g", POISE_UNIT_MASS, 482, 1);
    reading("482", POISE_UNIT_MASS, 482, 1);
    reading("480", POISE_UNIT_MASS, 480, 1);
    reading("4.50 g", POISE_UNIT_MASS, 4.5, 0.01);
    reading("0.48 kg", POISE_UNIT_MASS, 480, 10);
    reading("2 kg", POISE_UNIT_MASS, 2000, 1000);
    reading("0 g", POISE_UNIT_MASS, 0, 1);
    reading("4.8e2 g", POISE_UNIT_MASS, 480, 10);
    reading("48e-2 kg", POISE_UNIT_MASS, 480, 10);
    reading("7 lb 5 oz", POISE_UNIT_MASS, 117 * ounce, ounce);
    reading("3 1/2 oz", POISE_UNIT_MASS, 3.5 * ounce, ounce / 2);
    reading("5 ± 0 g", POISE_UNIT_MASS, 5, 1); /* no scale is exact */
    reading("0.5 h", POISE_UNIT_TIME, 1800, 360);
    reading("0.5", POISE_UNIT_TIME, 1800, 360);
    const double plain[][2] = {{482, 1}, {4500, 1}, {1e6, 1}, {-482, 1}, {0.7, 0.1}, {12.25, 0.01}};
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++) {
        PoiseQuantity q = poise_quantity_plain_reading(plain[i][0], POISE_UNIT_MASS);
        check_near(q.value, plain[i][0], 0);
        check_close(q.u, plain[i][1] / sqrt(12), 1e-14);
    }
    check_close(poise_quantity_plain_reading(0.5, POISE_UNIT_TIME).u, 360 / sqrt(12), 1e-14);
    PoiseQuantity q;
    char why[POISE_WHY] = "";
    bool rounded = true;
    assert_true(poise_quantity_parse_reading("482 g ± 2 g", POISE_UNIT_MASS, &q, &rounded, why));
    assert_false(rounded);
    check_near(q.u, 2, 0);
    assert_false(poise_quantity_parse_reading("0e999 g", POISE_UNIT_MASS, &q, &rounded, why));
    assert_string_equal(why, "its last digit stands for too much");
}

static void ignores_the_locale(void **state)
{
    (void)state;
    static const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE.utf8", "nl_NL.UTF-8"};
    const char *set = NULL;
    for (size_t i = 0; !set && i < sizeof names / sizeof *names; i++)
        set = setlocale(LC_ALL, names[i]);
    if (!set)
        skip();
    assert_int_equal(localeconv()->decimal_point[0], ',');
    gives("2.5 kg", POISE_UNIT_MASS, 2500, 0);
    setlocale(LC_ALL, "C");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(converts_exactly),
        cmocka_unit_test(agrees_with_printed_tables),
        cmocka_unit_test(reads_uncertainty),
        cmocka_unit_test(refuses),
        cmocka_unit_test(knows_what_a_last_digit_is_worth),
        cmocka_unit_test(ignores_the_locale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
