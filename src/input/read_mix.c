/* "2:1 by mass": how many parts of resin to how many of hardener. */
#include <string.h>

#include "input/decimal.h"
#include "input/reading.h"
#include "model/instrument.h"

static const char *spaces(const char *s)
{
    while (*s == ' ')
        s++;
    return s;
}

/* One side of the ratio: a positive number. NULL when there is none. */
static const char *part(const char *s, double *value)
{
    s = spaces(s);
    size_t n = poise_decimal_length(s);
    if (!poise_decimal_value(s, n, value) || !(*value > 0.0))
        return NULL;
    return spaces(s + n);
}

static bool parse(const char *s, PoisePoured *poured)
{
    double a, b;
    s = part(s, &a);
    if (!s || *s != ':')
        return false;
    s = part(s + 1, &b);
    if (!s)
        return false;
    bool mass = strcmp(s, "by mass") == 0 || strcmp(s, "by weight") == 0;
    if (!mass && strcmp(s, "by volume") != 0)
        return false;
    poured->ratio_a = a;
    poured->ratio_b = b;
    poured->ratio_by_mass = mass;
    return true;
}

bool poise_read_mix(PoiseReading *r, const cJSON *value, void *poured)
{
    char found[POISE_FOUND_SIZE];
    if (cJSON_IsString(value) && parse(value->valuestring, poured))
        return true;
    poise_reading_fault(r, false, poise_found(value, found), "\"2:1 by mass\" or \"1:1 by volume\"",
                        "parts resin to parts hardener, and whether they are weighed or measured");
    return false;
}
