#include "input/quantity.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "input/decimal.h"
#include "input/units.h"

PoiseQuantity poise_quantity_plain(double number, PoiseUnitKind kind)
{
    return (PoiseQuantity){.value = number * poise_unit_kind_plain_factor(kind)};
}

/* √12: a step over the u of what is rounded to it. */
static const double STEPS_PER_U = 3.4641016151377546;

PoiseQuantity poise_quantity_plain_reading(double number, PoiseUnitKind kind)
{
    PoiseQuantity q = poise_quantity_plain(number, kind);
    char text[32];
    poise_double_text(fabs(number), text);
    q.u = poise_decimal_step(text, strlen(text)) * poise_unit_kind_plain_factor(kind) / STEPS_PER_U;
    return q;
}

/* The longest text taken for a quantity, bytes after normalising; the longest sensible one has
 * about 60. */
enum { LONGEST = 160 };

typedef struct Parser {
    char text[LONGEST + 1]; /* spaces, signs and superscripts in ASCII; ± as one byte 0x01 */
    const char *at;
    PoiseUnitKind kind;
    double step; /* of the last digit of the last number, in its unit */
    char *why;
} Parser;

#define PLUS_MINUS '\x01'

static bool fail(Parser *p, const char *format, ...) __attribute__((format(printf, 2, 3)));
static bool fail(Parser *p, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(p->why, POISE_WHY, format, arguments);
    va_end(arguments);
    return false;
}

/* What an odd character stands for here; NULL: itself. Spaces: no-break, en quad … hair, narrow
 * no-break, medium mathematical (Unicode Standard, table 6-2). */
static const char *stands_for(unsigned code)
{
    if (code == '\t' || code == 0xA0 || (code >= 0x2000 && code <= 0x200A) || code == 0x202F ||
        code == 0x205F)
        return " ";
    switch (code) {
    case 0x2212: /* minus sign */
        return "-";
    case 0xB1: /* plus-minus sign */
        return "\x01";
    case 0xB2: /* superscript two, three */
        return "2";
    case 0xB3:
        return "3";
    case 0x2032: /* prime, double prime */
        return "'";
    case 0x2033:
        return "\"";
    case 0xB5: /* micro sign, Greek mu */
    case 0x3BC:
        return "u";
    case 0xBC: /* vulgar fractions */
        return " 1/4";
    case 0xBD:
        return " 1/2";
    case 0xBE:
        return " 3/4";
    case 0xBA: /* masculine ordinal, typed for a degree sign */
        return "\xC2\xB0";
    default:
        return NULL;
    }
}

static bool normalise(Parser *p, const char *text)
{
    size_t left = strlen(text), n = 0;
    while (left) {
        unsigned code = 0;
        size_t bytes = poise_utf8_next(text, left, &code);
        if (bytes == 0)
            return fail(p, "it holds bytes that are not UTF-8");
        const char *piece = stands_for(code);
        size_t length = piece ? strlen(piece) : bytes;
        if (code < 0x20 && code != '\t')
            return fail(p, "it holds a control character");
        if (left >= 3 && memcmp(text, "+/-", 3) == 0)
            piece = "\x01", length = 1, bytes = 3;
        if (n + length > LONGEST)
            return fail(p, "it is longer than %d characters", (int)LONGEST);
        memcpy(p->text + n, piece ? piece : text, length);
        n += length;
        text += bytes;
        left -= bytes;
    }
    p->text[n] = '\0';
    p->at = p->text;
    return true;
}

static void skip_spaces(Parser *p)
{
    while (*p->at == ' ')
        p->at++;
}

/* The word at s, for a message: up to a space, a ± or 24 bytes, whole characters. */
static void word_at(const char *s, char word[32])
{
    size_t n = 0;
    while (s[n] && s[n] != ' ' && s[n] != PLUS_MINUS && n < 24)
        n++;
    while (n > 0 && ((unsigned char)s[n] & 0xC0U) == 0x80U)
        n--;
    memcpy(word, s, n);
    word[n] = '\0';
}

static bool take_decimal(Parser *p, double *value, bool *whole)
{
    size_t n = poise_decimal_length(p->at);
    char word[32];
    word_at(p->at, word);
    if (n == 0) {
        if (*p->at == '\0' || *p->at == PLUS_MINUS)
            return fail(p, "a number is missing");
        return fail(p, "\"%s\" is not a number", word);
    }
    if (!poise_decimal_value(p->at, n, value))
        return fail(p, "\"%s\" is too large or too long a number", word);
    *whole = true;
    for (size_t i = 0; i < n; i++)
        if (p->at[i] < '0' || p->at[i] > '9')
            *whole = false;
    p->step = poise_decimal_step(p->at, n);
    p->at += n;
    if (*p->at == ',')
        return fail(
            p, "a comma stands in the number; write a decimal point and no thousands separator");
    if (*p->at == '.')
        return fail(p, "\"%s\" is not a number", word);
    return true;
}

/* "1/2": both whole, after which the value is complete. */
static bool take_fraction(Parser *p, double numerator, double *value)
{
    double denominator = 0.0;
    bool whole = false;
    p->at++; /* the slash */
    if (!take_decimal(p, &denominator, &whole))
        return false;
    if (!whole || denominator == 0.0)
        return fail(p, "a fraction needs a whole number other than 0 below the line");
    *value = numerator / denominator;
    p->step = 1.0 / denominator;
    return true;
}

/* Is there "N/M" at s? Then "25 1/2" goes on. */
static bool fraction_follows(const char *s)
{
    size_t n = 0;
    while (s[n] >= '0' && s[n] <= '9')
        n++;
    return n > 0 && s[n] == '/' && s[n + 1] >= '0' && s[n + 1] <= '9';
}

/* A number without sign: decimal, "1/2" or "25 1/2". *whole: written with digits only. */
static bool take_number(Parser *p, double *value, bool *whole)
{
    if (!take_decimal(p, value, whole))
        return false;
    if (*p->at == '/' && *whole) {
        *whole = false;
        return take_fraction(p, *value, value);
    }
    const char *before = p->at;
    skip_spaces(p);
    if (*whole && p->at != before && fraction_follows(p->at)) {
        double numerator = 0.0, fraction = 0.0;
        bool dummy = false;
        if (!take_decimal(p, &numerator, &dummy) || !take_fraction(p, numerator, &fraction))
            return false;
        *value += fraction;
        *whole = false;
        return true;
    }
    p->at = before;
    return true;
}

/* One side of the ±. */
typedef struct Side {
    double value;          /* in the kept unit, or as written when there is no unit */
    double factor;         /* of the unit, for the other side to take */
    const PoiseUnit *unit; /* of the last term; NULL: none was written */
    bool compound;
    double step; /* of the last digit, like the value */
} Side;

static const char *a_or_an(const char *word)
{
    return strchr("aeiou", word[0]) ? "an" : "a";
}

static bool wrong_kind(Parser *p, const PoiseUnit *unit)
{
    const char *is = poise_unit_kind_name(unit->kind), *want = poise_unit_kind_name(p->kind);
    if (unit->kind == POISE_UNIT_RATIO)
        is = "percentage or fraction";
    if (strcmp(unit->name, "oz") == 0 && p->kind == POISE_UNIT_VOLUME)
        return fail(p, "\"oz\" is a unit of mass, not of volume; write \"fl oz\" for fluid ounces");
    if (poise_unit_kind_plain(p->kind)[0] == '\0')
        return fail(p, "\"%s\" is a unit of %s, but %s %s has none", unit->name, is, a_or_an(want),
                    want);
    return fail(p, "\"%s\" is a unit of %s, not of %s", unit->name, is, want);
}

static bool unit_fits(PoiseUnitKind kind, const PoiseUnit *unit)
{
    return unit->kind == kind || (unit->kind == POISE_UNIT_RATIO && kind == POISE_UNIT_PERCENT);
}

static double unit_factor(PoiseUnitKind kind, const PoiseUnit *unit)
{
    return kind == POISE_UNIT_PERCENT ? 1.0 : unit->factor;
}

/* A unit, when one stands here; *unit NULL when the side ends here. `percent` lets % pass for any
 * kind. */
static bool take_unit(Parser *p, bool percent, const PoiseUnit **unit)
{
    *unit = NULL;
    skip_spaces(p);
    if (*p->at == '\0' || *p->at == PLUS_MINUS)
        return true;
    const PoiseUnit *found = poise_unit_at(p->at);
    if (!found) {
        char word[32];
        word_at(p->at, word);
        const char *near = poise_unit_nearest(word, p->kind);
        if (near)
            return fail(p, "\"%s\" is not a unit; did you mean \"%s\"?", word, near);
        return fail(p, "\"%s\" is not a unit", word);
    }
    if (!unit_fits(p->kind, found) && !(percent && found->kind == POISE_UNIT_RATIO))
        return wrong_kind(p, found);
    p->at += strlen(found->name);
    *unit = found;
    return true;
}

static bool at_end(const Parser *p)
{
    return *p->at == '\0' || *p->at == PLUS_MINUS;
}

/* The further terms of "7 lb 5 oz": each in a smaller unit of the same kind, and less than one of
 * the unit before; only the last may have a fraction. */
static bool take_more_terms(Parser *p, Side *side, bool whole)
{
    for (skip_spaces(p); !at_end(p); skip_spaces(p)) {
        char word[32];
        word_at(p->at, word);
        double value;
        const PoiseUnit *unit;
        if (poise_decimal_length(p->at) == 0)
            return fail(p, "\"%s\" stands after a complete quantity", word);
        if (!whole)
            return fail(p, "\"%s\" follows a number that is not whole", word);
        if (!take_number(p, &value, &whole) || !take_unit(p, false, &unit))
            return false;
        if (!unit)
            return fail(p, "\"%s\" has no unit", word);
        double factor = unit_factor(p->kind, unit);
        if (!(factor < side->factor) || p->kind == POISE_UNIT_TEMPERATURE)
            return fail(p, "\"%s\" does not go on from \"%s\" to a smaller unit", unit->name,
                        side->unit->name);
        if (!(value * factor < side->factor))
            return fail(p, "\"%s %s\" is one \"%s\" or more", word, unit->name, side->unit->name);
        side->value += value * factor;
        side->factor = factor;
        side->unit = unit;
        side->compound = true;
    }
    return true;
}

static bool take_side(Parser *p, bool is_u, Side *side)
{
    *side = (Side){.factor = 1.0};
    double sign = 1.0;
    bool whole = false;
    skip_spaces(p);
    if (*p->at == '-' || *p->at == '+') {
        if (is_u)
            return fail(p, "the uncertainty after ± has a sign");
        sign = *p->at == '-' ? -1.0 : 1.0;
        p->at++;
        skip_spaces(p);
    }
    if (!take_number(p, &side->value, &whole) || !take_unit(p, is_u, &side->unit))
        return false;
    side->step = p->step;
    if (side->unit) {
        side->factor = unit_factor(p->kind, side->unit);
        if (is_u && side->unit->kind == POISE_UNIT_RATIO) {
            skip_spaces(p);
            return at_end(p) || fail(p, "something stands after the %% sign");
        }
        side->value *= side->factor;
        if (!take_more_terms(p, side, whole))
            return false;
        side->step = p->step * side->factor; /* of the last term */
    }
    side->value *= sign;
    return true;
}

/* The uncertainty in the kept unit. */
static bool settle_u(Parser *p, Side *left, const Side *right, double *u)
{
    bool percent = right->unit && right->unit->kind == POISE_UNIT_RATIO;
    if (percent && p->kind != POISE_UNIT_RATIO && p->kind != POISE_UNIT_PERCENT) {
        double value =
            left->unit ? left->value : left->value * poise_unit_kind_plain_factor(p->kind);
        *u = right->value / 100.0 * fabs(value);
        return true;
    }
    if (percent) { /* a ratio's % is absolute, and serves both sides: "30 ± 2 %" */
        double factor = unit_factor(p->kind, right->unit);
        *u = right->value * factor;
        if (!left->unit)
            left->value *= factor, left->unit = right->unit;
        return true;
    }
    if (right->unit) {
        *u = right->value;
        if (!left->unit) { /* "185 ± 10 g" */
            if (right->compound)
                return fail(p, "the unit before ± is missing");
            left->value *= right->factor;
            left->unit = right->unit;
        }
        return true;
    }
    if (left->compound)
        return fail(p, "the unit after ± is missing");
    *u = right->value * (left->unit ? left->factor : poise_unit_kind_plain_factor(p->kind));
    return true;
}

/* *step: of the value's last digit, in the kept unit. */
static bool parse(const char *text, PoiseUnitKind kind, PoiseQuantity *quantity, double *step,
                  char why[POISE_WHY])
{
    Parser p = {.kind = kind, .why = why};
    Side left, right = {0};
    double u = 0.0;
    if (!normalise(&p, text))
        return false;
    skip_spaces(&p);
    if (*p.at == '\0')
        return fail(&p, "the text is empty");
    if (!take_side(&p, false, &left))
        return false;
    if (*p.at == PLUS_MINUS) {
        p.at++;
        if (!take_side(&p, true, &right))
            return false;
        if (*p.at == PLUS_MINUS)
            return fail(&p, "it has more than one ±");
        if (!settle_u(&p, &left, &right, &u))
            return false;
    }
    double value = left.unit ? left.value : left.value * poise_unit_kind_plain_factor(kind);
    if (left.unit && kind == POISE_UNIT_TEMPERATURE)
        value += left.unit->zero;
    if (!isfinite(value) || !isfinite(u))
        return fail(&p, "the number is too large");
    *quantity = (PoiseQuantity){.value = value, .u = u};
    *step = left.unit ? left.step : left.step * poise_unit_kind_plain_factor(kind);
    return true;
}

bool poise_quantity_parse(const char *text, PoiseUnitKind kind, PoiseQuantity *quantity,
                          char why[POISE_WHY])
{
    double step;
    return parse(text, kind, quantity, &step, why);
}

bool poise_quantity_parse_reading(const char *text, PoiseUnitKind kind, PoiseQuantity *quantity,
                                  bool *rounded, char why[POISE_WHY])
{
    double step = 0.0;
    if (!parse(text, kind, quantity, &step, why))
        return false;
    *rounded = quantity->u == 0.0;
    if (*rounded)
        quantity->u = step / STEPS_PER_U;
    if (isfinite(quantity->u))
        return true;
    snprintf(why, POISE_WHY, "its last digit stands for too much"); /* "0e999" */
    return false;
}
