#include "geometry/number.h"

#include <locale.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* The longest number read, in bytes. A double needs 24; a longer one than this is damage. */
enum { TOKEN = 128 };

static bool digit(const char *p, const char *end)
{
    return p < end && *p >= '0' && *p <= '9';
}

/* strtod in the C locale. */
static double convert_slowly(const char *p, size_t n)
{
    char token[TOKEN + 1];
    memcpy(token, p, n);
    token[n] = '\0';
    locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    if (plain == (locale_t)0)
        return strtod(token, NULL);
    locale_t before = uselocale(plain);
    double value = strtod(token, NULL);
    uselocale(before);
    freelocale(plain);
    return value;
}

size_t poise_number_scan(const char *start, const char *end, double *value)
{
    static const double POWER[23] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                     1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                     1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    const char *p = start;
    bool negative = p < end && *p == '-';
    if (p < end && (*p == '-' || *p == '+'))
        p++;
    uint64_t mantissa = 0;
    int digits = 0, exponent = 0;
    bool any = false, exact = true;
    for (bool fraction = false;;) {
        if (digit(p, end)) {
            any = true;
            if (digits < 18) {
                mantissa = 10 * mantissa + (uint64_t)(*p - '0');
                digits += mantissa != 0;
                exponent -= fraction;
            } else {
                exact = false;
            }
            p++;
        } else if (!fraction && p < end && *p == '.') {
            fraction = true;
            p++;
        } else {
            break;
        }
    }
    if (!any)
        return 0;
    if (p < end && (*p == 'e' || *p == 'E')) {
        const char *e = p + 1;
        bool minus = e < end && *e == '-';
        if (e < end && (*e == '-' || *e == '+'))
            e++;
        if (digit(e, end)) {
            int power = 0;
            for (; digit(e, end); e++)
                power = power < 10000 ? 10 * power + (*e - '0') : power;
            exponent += minus ? -power : power;
            p = e;
        }
    }
    if (p - start > TOKEN)
        return 0;
    /* A mantissa below 2⁵³ and a power of ten up to 10²² are both exact, so one rounding is left.
     * W. Clinger, "How to Read Floating Point Numbers Accurately", PLDI 1990 (from memory). */
    if (exact && mantissa < ((uint64_t)1 << 53) && exponent >= -22 && exponent <= 22) {
        double m = (double)mantissa;
        m = exponent < 0 ? m / POWER[-exponent] : m * POWER[exponent];
        *value = negative ? -m : m;
    } else {
        *value = convert_slowly(start, (size_t)(p - start));
    }
    return (size_t)(p - start);
}
