#include "input/decimal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/locale_guard.h"

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static size_t digits(const char *s)
{
    size_t n = 0;
    while (is_digit(s[n]))
        n++;
    return n;
}

size_t poise_decimal_length(const char *s)
{
    size_t whole = digits(s), n = whole, fraction = 0;
    if (s[n] == '.') {
        fraction = digits(s + n + 1);
        n += 1 + fraction;
    }
    if (whole + fraction == 0)
        return 0;
    if (s[n] == 'e' || s[n] == 'E') {
        size_t sign = s[n + 1] == '+' || s[n + 1] == '-';
        size_t exponent = digits(s + n + 1 + sign);
        if (exponent)
            n += 1 + sign + exponent;
    }
    return n;
}

double poise_decimal_step(const char *s, size_t n)
{
    /* Beyond this a double holds neither the number nor its step. */
    enum { FARTHEST = 400 };
    int places = 0, exponent = 0, sign = 1;
    size_t i = 0;
    while (i < n && is_digit(s[i]))
        i++;
    if (i < n && s[i] == '.')
        for (i++; i < n && is_digit(s[i]); i++)
            places++;
    if (i < n) { /* e or E */
        i++;
        sign = s[i] == '-' ? -1 : 1;
        i += s[i] == '-' || s[i] == '+';
        for (; i < n && exponent < FARTHEST; i++)
            exponent = 10 * exponent + (s[i] - '0');
    }
    return pow(10.0, sign * exponent - places);
}

bool poise_decimal_value(const char *s, size_t n, double *value)
{
    char copy[POISE_DECIMAL_CHARACTERS + 1];
    if (n == 0 || n > POISE_DECIMAL_CHARACTERS)
        return false;
    memcpy(copy, s, n);
    copy[n] = '\0';
    /* strtod rounds correctly, but takes its decimal point from the locale: lend this thread the C
     * locale for the call. */
    PoiseLocaleGuard guard = poise_locale_enter();
    if (!guard.own)
        return false;
    char *end = NULL;
    double v = strtod(copy, &end);
    poise_locale_leave(&guard);
    if (end != copy + n || !isfinite(v))
        return false;
    *value = v;
    return true;
}
