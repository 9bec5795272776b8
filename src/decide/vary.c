#include "decide/vary.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "input/decimal.h"
#include "input/json_doc.h"
#include "input/json_scan.h"
#include "input/pointer.h"

/* Digits of a range's numbers: ten to the power of this, times the steps of a range, fits 64 bits.
 */
enum { MOST_DIGITS = 13, MOST_UNIT = 16 };

static const char HOW[] = "POINTER=LO:HI:STEP or POINTER=a,b,c, such as "
                          "\"/items/body/print/infill=10 %:40 %:5 %\"";

PoiseStatus poise_vary_refuse(const char *pointer, const char *found, const char *expected,
                              const char *hint, PoiseFaults *faults)
{
    return poise_fault_add(faults, &(PoiseFault){.status = POISE_E_USAGE,
                                                 .file = "--vary",
                                                 .pointer = pointer,
                                                 .found = found,
                                                 .expected = expected,
                                                 .hint = hint});
}

/* A number of a range: mantissa / 10^digits, and its unit. */
typedef struct RangeNumber {
    int64_t mantissa;
    int digits;
    char unit[MOST_UNIT + 1];
} RangeNumber;

static const char *skip_spaces(const char *s)
{
    while (*s == ' ')
        s++;
    return s;
}

/* Reads a whole piece of n bytes; false unless it is a plain decimal number and maybe a unit. */
static bool range_number(const char *s, size_t n, RangeNumber *out)
{
    *out = (RangeNumber){0};
    const char *end = s + n;
    s = skip_spaces(s);
    bool negative = s < end && *s == '-';
    s += negative ? 1 : 0;
    int count = 0;
    bool point = false;
    for (; s < end && ((*s >= '0' && *s <= '9') || (*s == '.' && !point)); s++) {
        if (*s == '.') {
            point = true;
            continue;
        }
        if (++count > MOST_DIGITS)
            return false;
        out->mantissa = 10 * out->mantissa + (*s - '0');
        out->digits += point ? 1 : 0;
    }
    if (count == 0)
        return false;
    out->mantissa = negative ? -out->mantissa : out->mantissa;
    while (s < end && *s == ' ')
        s++;
    while (end > s && end[-1] == ' ')
        end--;
    if ((size_t)(end - s) > MOST_UNIT)
        return false;
    if (s < end && ((*s >= '0' && *s <= '9') || *s == '.')) /* "7 1/2", "1.2.3": not one number */
        return false;
    memcpy(out->unit, s, (size_t)(end - s));
    return true;
}

static bool rescale(RangeNumber *number, int digits)
{
    for (; number->digits < digits; number->digits++) {
        if (number->mantissa > INT64_MAX / 100 || number->mantissa < INT64_MIN / 100)
            return false;
        number->mantissa *= 10;
    }
    return true;
}

/* mantissa / 10^digits in decimal, without zeros at the end of its fraction. */
static char *decimal_text(int64_t mantissa, int digits)
{
    while (digits > 0 && mantissa % 10 == 0) {
        mantissa /= 10;
        digits--;
    }
    uint64_t size = mantissa < 0 ? (uint64_t)0 - (uint64_t)mantissa : (uint64_t)mantissa, power = 1;
    for (int i = 0; i < digits; i++)
        power *= 10;
    const char *sign = mantissa < 0 ? "-" : "";
    if (digits == 0)
        return poise_format("%s%llu", sign, (unsigned long long)size);
    return poise_format("%s%llu.%0*llu", sign, (unsigned long long)(size / power), digits,
                        (unsigned long long)(size % power));
}

/* JSON of one value: a number, JSON in brackets or quotes, or else a text. */
static cJSON *value_of(const char *text)
{
    size_t sign = *text == '-' ? 1 : 0, n = poise_decimal_length(text + sign);
    double number;
    if (n && text[sign + n] == '\0' && poise_decimal_value(text, sign + n, &number))
        return cJSON_CreateNumber(number);
    if (strcmp(text, "true") == 0 || strcmp(text, "false") == 0)
        return cJSON_CreateBool(text[0] == 't');
    if (*text == '[' || *text == '{' || *text == '"')
        return poise_json_tree(text, strlen(text));
    return cJSON_CreateString(text);
}

/* POISE_E_INPUT: it begins like JSON and is none. The tree's parser would stop at the end of a
 * value and forgive what follows. */
static PoiseStatus check_json(const char *text)
{
    if (!strchr("[{\"", *text))
        return POISE_OK;
    PoiseNodes nodes;
    int stopped;
    PoiseStatus status = poise_json_scan(text, strlen(text), "--vary", &nodes, &stopped, NULL);
    poise_nodes_clear(&nodes);
    return status;
}

/* The lists double whenever their length is a power of two. */
static bool grow(PoiseVary *v)
{
    if (v->count & (v->count - 1))
        return true;
    size_t n = v->count ? 2 * v->count : 1;
    char **labels = poise_resize(v->labels, n, sizeof *labels);
    v->labels = labels ? labels : v->labels;
    cJSON **values = poise_resize(v->values, n, sizeof *values);
    v->values = values ? values : v->values;
    return labels && values;
}

static bool append(PoiseVary *v, char *label, cJSON *value)
{
    if (!value || !grow(v))
        return false;
    v->labels[v->count] = label;
    v->values[v->count++] = value;
    return true;
}

/* Takes the text over; NULL when there was no memory for it. */
static PoiseStatus add_value(PoiseVary *v, char *label, PoiseFaults *faults)
{
    PoiseStatus status = label ? check_json(label) : POISE_E_MEMORY;
    cJSON *value = status ? NULL : value_of(label);
    if (!status && append(v, label, value))
        return POISE_OK;
    poise_release(label);
    cJSON_Delete(value);
    if (status != POISE_E_INPUT)
        return poise_fault_memory(faults);
    return poise_vary_refuse(v->pointer, "a value in brackets or quotes that is not JSON",
                             "JSON such as [0, 20, -5]", NULL, faults);
}

static PoiseStatus too_many(const PoiseVary *v, PoiseFaults *faults)
{
    return poise_vary_refuse(v->pointer, "more than 20000 values", "at most 20000 of one pointer",
                             "take larger steps", faults);
}

static PoiseStatus fill_range(PoiseVary *v, const RangeNumber *lo, const RangeNumber *hi,
                              const RangeNumber *step, const char *unit, PoiseFaults *faults)
{
    int64_t span = hi->mantissa - lo->mantissa;
    if (step->mantissa == 0 || (span < 0) != (step->mantissa < 0 && span != 0))
        return poise_vary_refuse(v->pointer,
                                 "a step that does not lead from the first end to the other",
                                 "LO:HI:STEP with a step above 0", NULL, faults);
    int64_t steps = span / step->mantissa;
    if (steps >= POISE_VARY_MOST)
        return too_many(v, faults);
    for (int64_t i = 0; i <= steps; i++) {
        char *number = decimal_text(lo->mantissa + i * step->mantissa, lo->digits);
        char *label = number && *unit ? poise_format("%s %s", number, unit) : NULL;
        if (label) {
            poise_release(number);
            number = label;
        } else if (*unit) {
            poise_release(number);
            number = NULL;
        }
        PoiseStatus status = add_value(v, number, faults);
        if (status)
            return status;
    }
    return POISE_OK;
}

static PoiseStatus parse_range(PoiseVary *v, const char *text, PoiseFaults *faults)
{
    const char *first = strchr(text, ':'), *second = strchr(first + 1, ':');
    RangeNumber n[3];
    bool good = range_number(text, (size_t)(first - text), &n[0]) &&
                range_number(first + 1, (size_t)(second - first - 1), &n[1]) &&
                range_number(second + 1, strlen(second + 1), &n[2]);
    const char *unit = "";
    int digits = 0;
    for (int i = 0; good && i < 3; i++) {
        if (*n[i].unit && *unit && strcmp(unit, n[i].unit) != 0)
            good = false;
        unit = *n[i].unit ? n[i].unit : unit;
        digits = n[i].digits > digits ? n[i].digits : digits;
    }
    for (int i = 0; good && i < 3; i++)
        good = rescale(&n[i], digits);
    if (!good)
        return poise_vary_refuse(v->pointer,
                                 "a range that is not three decimal numbers in one unit",
                                 "LO:HI:STEP such as \"10 %:40 %:5 %\"", NULL, faults);
    return fill_range(v, &n[0], &n[1], &n[2], unit, faults);
}

/* Length of the next value of a list: up to a comma outside brackets and quotes. */
static size_t value_length(const char *s)
{
    int depth = 0;
    bool quoted = false;
    size_t n = 0;
    for (; s[n] && (s[n] != ',' || depth > 0 || quoted); n++) {
        if (quoted && s[n] == '\\' && s[n + 1])
            n++;
        else if (s[n] == '"' && (quoted || depth > 0 || n == 0))
            quoted = !quoted;
        else if (!quoted && (s[n] == '[' || s[n] == '{'))
            depth++;
        else if (!quoted && (s[n] == ']' || s[n] == '}'))
            depth--;
    }
    return n;
}

static PoiseStatus parse_list(PoiseVary *v, const char *text, PoiseFaults *faults)
{
    for (;;) {
        text = skip_spaces(text);
        size_t n = value_length(text), kept = n;
        while (kept && text[kept - 1] == ' ')
            kept--;
        if (kept == 0)
            return poise_vary_refuse(v->pointer, "an empty value", HOW, NULL, faults);
        if (v->count == POISE_VARY_MOST)
            return too_many(v, faults);
        PoiseStatus status = add_value(v, poise_copy_text_n(text, kept), faults);
        if (status)
            return status;
        if (!text[n])
            return POISE_OK;
        text += n + 1;
    }
}

static bool is_range(const char *text)
{
    size_t colons = 0;
    if (strpbrk(text, ",[{\""))
        return false;
    for (; *text; text++)
        colons += *text == ':' ? 1 : 0;
    return colons == 2;
}

PoiseStatus poise_vary_parse(const char *text, PoiseVary *v, PoiseFaults *faults)
{
    *v = (PoiseVary){0};
    const char *equals = strchr(text, '=');
    if (!equals)
        return poise_vary_refuse(NULL, "no \"=\"", HOW, NULL, faults);
    v->pointer = poise_copy_text_n(text, (size_t)(equals - text));
    if (!v->pointer)
        return poise_fault_memory(faults);
    if (*v->pointer != '/' || !poise_pointer_valid(v->pointer))
        return poise_vary_refuse(NULL, "no JSON Pointer in front of the \"=\"", HOW, NULL, faults);
    return is_range(equals + 1) ? parse_range(v, equals + 1, faults)
                                : parse_list(v, equals + 1, faults);
}

void poise_vary_clear(PoiseVary *v)
{
    for (size_t i = 0; i < v->count; i++) {
        poise_release(v->labels[i]);
        cJSON_Delete(v->values[i]);
    }
    poise_release(v->labels);
    poise_release(v->values);
    poise_release(v->pointer);
    *v = (PoiseVary){0};
}
