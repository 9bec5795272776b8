/* Numbers are read here and not by geometry/number.c: E is an axis, so "X10E5" is two words and no
 * power of ten. */
#include "geometry/toolpath_block.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"

/* Longest piece of a line that a message quotes. */
enum { QUOTE = 40 };

PoiseStatus poise_block_refuse(const PoiseBlock *block, const char *place, const char *found,
                               const char *expected, PoiseFaults *faults)
{
    size_t column = place ? (size_t)(place - block->start) + 1 : 1;
    return poise_fault_add(faults, &(PoiseFault){.status = POISE_E_MESH,
                                                 .file = block->file,
                                                 .line = block->line,
                                                 .column = column,
                                                 .found = found,
                                                 .expected = expected});
}

static bool is_letter(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

PoiseStatus poise_block_refuse_word(const PoiseBlock *block, char letter, const char *expected,
                                    PoiseFaults *faults)
{
    const char *place = block->place[letter - 'A'];
    bool bare = isnan(poise_block_value(block, letter));
    char quote[QUOTE + 1] = {letter};
    size_t n = 1;
    for (const char *p = place + 1; !bare && p < block->end && n < QUOTE; p++) {
        if (is_digit(*p) || *p == '.' || *p == '-' || *p == '+')
            quote[n++] = *p;
        else if (!is_blank(*p))
            break;
    }
    quote[n] = '\0';
    char found[QUOTE + 32];
    snprintf(found, sizeof found, bare ? "%s without a number" : "%s", quote);
    return poise_block_refuse(block, place, found, expected, faults);
}

/* Powers of ten that a double holds exactly. */
static const double POWER[19] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                                 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};
/* Digits that always fit 64 bits. */
enum { DIGITS = 18 };

/* Numbers of more digits. Those past the 18th are left out: they are below the last digit of a
 * double behind the point, and far beyond every limit before it. */
static const char *scan_long_number(const char *p, const char *end, double *value)
{
    uint64_t mantissa = 0;
    int digits = 0, places = 0, lost = 0;
    for (; p < end && is_digit(*p); p++) {
        if (digits < DIGITS) {
            mantissa = 10 * mantissa + (uint64_t)(*p - '0');
            digits += mantissa != 0;
        } else {
            lost++;
        }
    }
    if (p < end && *p == '.')
        p++;
    for (; p < end && is_digit(*p); p++) {
        if (digits < DIGITS && places < DIGITS) {
            mantissa = 10 * mantissa + (uint64_t)(*p - '0');
            digits += mantissa != 0;
            places++;
        }
    }
    double v = (double)mantissa / POWER[places];
    if (lost)
        v = lost <= DIGITS ? v * POWER[lost] : INFINITY;
    *value = v;
    return p;
}

/* Reads a decimal number with or without sign, without exponent; returns the byte behind it, or p
 * when there is none. */
static inline const char *scan_number(const char *start, const char *end, double *value)
{
    const char *p = start;
    bool negative = false;
    if (p < end && (*p == '-' || *p == '+'))
        negative = *p++ == '-';
    const char *first = p, *point = NULL;
    uint64_t mantissa = 0; /* wraps for long numbers, which are read again */
    for (; p < end; p++) {
        unsigned digit = (unsigned)(unsigned char)*p - '0';
        if (digit <= 9)
            mantissa = 10 * mantissa + digit;
        else if (*p == '.' && !point)
            point = p;
        else
            break;
    }
    ptrdiff_t digits = p - first - (point != NULL);
    if (digits == 0)
        return start;
    if (digits > DIGITS)
        p = scan_long_number(first, end, value);
    else /* below 2⁵³ both are exact, so the quotient is the double nearest to the decimal number */
        *value = (double)mantissa / POWER[point ? p - point - 1 : 0];
    if (negative)
        *value = -*value;
    return p;
}

/* The code's place in the lists above, -1 when it can not be one. */
static int code_of(char letter, double number)
{
    double tenths = number * 10.0;
    if (!(tenths >= 0) || tenths > 9999 || tenths != floor(tenths))
        return -1;
    return (letter == 'M' ? POISE_M(0) : 0) + (int)tenths;
}

/* Codes whose words, and the words behind them, are read. */
static bool is_read(int code)
{
    switch (code) {
    case POISE_G(0):
    case POISE_G(1):
    case POISE_G(2):
    case POISE_G(3):
    case POISE_G(4):
    case POISE_G(5):
    case POISE_G(5) + 1:
    case POISE_G(5) + 2:
    case POISE_G(17):
    case POISE_G(18):
    case POISE_G(19):
    case POISE_G(20):
    case POISE_G(21):
    case POISE_G(28):
    case POISE_G(90):
    case POISE_G(90) + 1:
    case POISE_G(91):
    case POISE_G(91) + 1:
    case POISE_G(92):
    case POISE_G(92) + 1:
    case POISE_G(92) + 2:
    case POISE_G(92) + 3:
    case POISE_M(82):
    case POISE_M(83):
    case POISE_M(200):
    case POISE_M(220):
    case POISE_M(221):
        return true;
    default:
        return false;
    }
}

static const char *line_end(const char *p, const char *end)
{
    const char *newline = p < end ? memchr(p, '\n', (size_t)(end - p)) : NULL;
    return newline ? newline : end;
}

/* The RepRap convention's checksum: the exclusive or of all bytes before the asterisk. Checked on
 * numbered lines only, which are those it is defined for. */
static PoiseStatus check_sum(const PoiseBlock *block, const char *asterisk, PoiseFaults *faults)
{
    unsigned sum = 0;
    for (const char *p = block->start; p < asterisk; p++)
        sum ^= (unsigned char)*p;
    double stated = NAN;
    scan_number(asterisk + 1, block->end, &stated);
    if (stated == sum)
        return POISE_OK;
    char expected[48];
    snprintf(expected, sizeof expected, "the checksum %u of this line", sum);
    return poise_block_refuse(block, asterisk, "a wrong checksum", expected, faults);
}

typedef struct Scan {
    const char *p, *end;
    bool numbered, words; /* an N word; any other word */
    bool rest;            /* what is left of the line is not for this reader */
} Scan;

static PoiseStatus add_code(PoiseBlock *block, Scan *scan, char letter, double number,
                            const char *place, PoiseFaults *faults)
{
    int code = code_of(letter, number);
    if (!is_read(code)) {
        scan->rest = true;
        return POISE_OK;
    }
    if (block->code_count == POISE_BLOCK_CODES)
        return poise_block_refuse(block, place, "more than 8 codes on one line", "one or two",
                                  faults);
    block->codes[block->code_count++] = code;
    return POISE_OK;
}

/* One word, the letter at scan->p. */
static PoiseStatus take_word(PoiseBlock *block, Scan *scan, PoiseFaults *faults)
{
    const char *place = scan->p;
    char letter = (char)(*place & ~0x20); /* upper case, as ASCII has it */
    const char *p = place + 1;
    while (p < scan->end && is_blank(*p))
        p++;
    double number = NAN;
    const char *after = scan_number(p, scan->end, &number);
    bool bare = after == p;
    /* A line that does not begin with a letter and a number is a command in words. */
    if (bare && !scan->words) {
        scan->rest = true;
        return POISE_OK;
    }
    scan->p = bare ? place + 1 : after;
    if (letter == 'N' && !scan->words && !scan->numbered) {
        scan->numbered = true;
        return POISE_OK;
    }
    bool first = !scan->words;
    scan->words = true;
    if (letter == 'G' || letter == 'M')
        return add_code(block, scan, letter, number, place, faults);
    if (letter == 'T' && first) {
        block->tool = true;
        scan->rest = true;
        return POISE_OK;
    }
    uint32_t bit = 1U << (letter - 'A');
    bool again = block->letters & bit;
    block->letters |= bit;
    block->bare |= bare ? bit : 0;
    block->value[letter - 'A'] = number;
    block->place[letter - 'A'] = place;
    if (again)
        return poise_block_refuse_word(
            block, letter, bare ? "a number behind it" : "each letter once on a line", faults);
    return POISE_OK;
}

/* A byte that is neither blank nor a letter. *done: the line ends here. */
static PoiseStatus take_mark(PoiseBlock *block, Scan *scan, bool *done, PoiseFaults *faults)
{
    const char *p = scan->p;
    switch (*p) {
    case ';':
    case '\n':
        *done = true;
        return POISE_OK;
    case '*':
        *done = true;
        return scan->numbered ? check_sum(block, p, faults) : POISE_OK;
    case '(': {
        const char *last = line_end(p, scan->end);
        const char *close = memchr(p, ')', (size_t)(last - p));
        if (!close)
            return poise_block_refuse(block, p, "a comment that is not closed",
                                      "\")\" on the same line", faults);
        scan->p = close + 1;
        return POISE_OK;
    }
    default:
        break;
    }
    if (!scan->words && *p != '/') { /* "%" and other marks that are not for this reader */
        *done = scan->rest = true;
        return POISE_OK;
    }
    char found[32];
    snprintf(found, sizeof found, *p > ' ' && *p < 0x7F ? "\"%c\"" : "byte %u",
             (unsigned)(unsigned char)*p);
    return poise_block_refuse(block, p, found,
                              *p == '/' ? "a line that is always carried out (\"/\" lets a switch "
                                          "decide)"
                                        : "a letter with a number",
                              faults);
}

PoiseStatus poise_block_scan(PoiseBlock *block, const char *p, const char *end, const char **next,
                             PoiseFaults *faults)
{
    block->start = p;
    block->end = end;
    block->code_count = 0;
    block->tool = false;
    block->letters = block->bare = 0;
    Scan scan = {.p = p, .end = end};
    bool done = false;
    PoiseStatus status = POISE_OK;
    while (!status && !done && !scan.rest && scan.p < end) {
        char c = *scan.p;
        if (is_blank(c))
            scan.p++;
        else if (is_letter(c))
            status = take_word(block, &scan, faults);
        else
            status = take_mark(block, &scan, &done, faults);
    }
    if (!status && (size_t)(scan.p - p) > POISE_LIMIT_TOOLPATH_LINE) {
        char expected[64];
        snprintf(expected, sizeof expected, "at most %zu bytes, comments behind it aside",
                 POISE_LIMIT_TOOLPATH_LINE);
        status = poise_block_refuse(block, NULL, "an overlong line", expected, faults);
    }
    const char *last = line_end(scan.p, end);
    *next = last < end ? last + 1 : end;
    return status;
}
