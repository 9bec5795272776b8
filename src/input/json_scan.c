#include "input/json_scan.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "input/decimal.h"

typedef struct Scanner {
    const char *at, *end;
    const char *file;
    uint32_t line, column;
    PoiseNodes *nodes;
    PoiseFaults *faults;
    PoiseStatus status; /* of the first fault */
    bool stopped;
} Scanner;

static void note_status(Scanner *s, PoiseStatus status)
{
    if (!s->status)
        s->status = status;
}

static void fault_at(Scanner *s, uint32_t line, uint32_t column, const char *found,
                     const char *expected, const char *hint)
{
    note_status(s, poise_fault_add(s->faults, &(PoiseFault){.status = POISE_E_INPUT,
                                                            .file = s->file,
                                                            .line = line,
                                                            .column = column,
                                                            .found = found,
                                                            .expected = expected,
                                                            .hint = hint}));
}

static bool stop(Scanner *s, const char *found, const char *expected, const char *hint)
{
    s->stopped = true;
    fault_at(s, s->line, s->column, found, expected, hint);
    return false;
}

static bool memory(Scanner *s)
{
    s->stopped = true;
    note_status(s, poise_fault_memory(s->faults));
    return false;
}

static bool more(const Scanner *s)
{
    return s->at < s->end;
}

static bool is(const Scanner *s, char c)
{
    return more(s) && *s->at == c;
}

static bool is_digit(const Scanner *s)
{
    return more(s) && *s->at >= '0' && *s->at <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* Passes over one ASCII character. */
static void next(Scanner *s)
{
    if (*s->at == '\n') {
        s->line++;
        s->column = 1;
    } else {
        s->column++;
    }
    s->at++;
}

static void skip_space(Scanner *s)
{
    while (more(s) && (*s->at == ' ' || *s->at == '\t' || *s->at == '\n' || *s->at == '\r'))
        next(s);
}

enum { FOUND_SIZE = 64 };

/* What stands here, for a message. */
static const char *what_is_here(const Scanner *s, char out[FOUND_SIZE])
{
    if (!more(s))
        return "the end of the file";
    if (is_letter(*s->at)) {
        int n = 0;
        while (n < 24 && s->at + n < s->end && is_letter(s->at[n]))
            n++;
        snprintf(out, FOUND_SIZE, "\"%.*s\"", n, s->at);
        return out;
    }
    unsigned code = 0;
    size_t n = poise_utf8_next(s->at, (size_t)(s->end - s->at), &code);
    if (n == 0)
        snprintf(out, FOUND_SIZE, "the byte 0x%02X, which is not UTF-8",
                 (unsigned)(unsigned char)*s->at);
    else if (code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0xFEFF)
        snprintf(out, FOUND_SIZE, "the control character U+%04X", code);
    else
        snprintf(out, FOUND_SIZE, "\"%.*s\"", (int)n, s->at);
    if (n == 0 && *s->at == '\0')
        return "the control character U+0000";
    return out;
}

/* What to do about it, where a slip is common. */
static const char *advice(const Scanner *s)
{
    if (!more(s))
        return NULL;
    switch (*s->at) {
    case '/':
    case '#':
        return "JSON has no comments; use a \"note\"";
    case '\'':
        return "text stands in double quotes";
    case '+':
        return "a number has no leading plus sign";
    case '.':
        return "a number starts with a digit, as in 0.5";
    default:
        return is_letter(*s->at) ? "text stands in double quotes" : NULL;
    }
}

/* A hint that keeps the advice away. */
#define NO_ADVICE ""

static bool stop_here(Scanner *s, const char *expected, const char *hint)
{
    char found[FOUND_SIZE];
    if (!hint)
        hint = advice(s);
    return stop(s, what_is_here(s, found), expected, hint && *hint ? hint : NULL);
}

static bool new_node(Scanner *s, size_t *index)
{
    PoiseNodes *nodes = s->nodes;
    if (nodes->count >= POISE_LIMIT_JSON_VALUES)
        return stop(s, "more values than poise takes from one file", "at most 400000 values", NULL);
    if (nodes->count == nodes->capacity) {
        size_t capacity = nodes->capacity ? 2 * nodes->capacity : 256;
        PoiseNode *list = poise_resize(nodes->list, capacity, sizeof *list);
        if (!list)
            return memory(s);
        nodes->list = list;
        nodes->capacity = capacity;
    }
    *index = nodes->count++;
    nodes->list[*index] = (PoiseNode){.line = s->line,
                                      .column = s->column,
                                      .key_line = s->line,
                                      .key_column = s->column,
                                      .size = 1};
    return true;
}

static bool scan_hex4(Scanner *s, unsigned *code)
{
    *code = 0;
    for (int i = 0; i < 4; i++) {
        char c = more(s) ? *s->at : '\0';
        unsigned digit;
        if (c >= '0' && c <= '9')
            digit = (unsigned)(c - '0');
        else if (c >= 'a' && c <= 'f')
            digit = (unsigned)(c - 'a') + 10;
        else if (c >= 'A' && c <= 'F')
            digit = (unsigned)(c - 'A') + 10;
        else
            return stop_here(s, "four hexadecimal digits after \\u", NO_ADVICE);
        *code = *code << 4 | digit;
        next(s);
    }
    return true;
}

static bool scan_escape(Scanner *s)
{
    next(s); /* the backslash */
    if (more(s) && *s->at && strchr("\"\\/bfnrt", *s->at)) {
        next(s);
        return true;
    }
    if (!is(s, 'u'))
        return stop_here(s, "one of \" \\ / b f n r t u after a backslash",
                         "write a backslash twice");
    next(s);
    unsigned code, low;
    if (!scan_hex4(s, &code))
        return false;
    if (code == 0)
        return stop(s, "the escape \\u0000", "text without a NUL character", NULL);
    if (code >= 0xDC00 && code <= 0xDFFF)
        return stop(s, "the second half of a surrogate pair", "its first half before it", NULL);
    if (code < 0xD800 || code > 0xDBFF)
        return true;
    if (!(s->end - s->at >= 2 && s->at[0] == '\\' && s->at[1] == 'u'))
        return stop(s, "the first half of a surrogate pair",
                    "its second half, \\uDC00 to \\uDFFF, after it", NULL);
    next(s);
    next(s);
    if (!scan_hex4(s, &low))
        return false;
    if (low < 0xDC00 || low > 0xDFFF)
        return stop(s, "the first half of a surrogate pair",
                    "its second half, \\uDC00 to \\uDFFF, after it", NULL);
    return true;
}

static bool scan_string(Scanner *s)
{
    uint32_t line = s->line, column = s->column;
    next(s); /* the quote */
    for (;;) {
        if (!more(s) || *s->at == '\n') {
            s->line = line;
            s->column = column;
            return stop(s, "text without an end on its line", "a closing double quote", NULL);
        }
        if (*s->at == '"') {
            next(s);
            return true;
        }
        if (*s->at == '\\') {
            if (!scan_escape(s))
                return false;
            continue;
        }
        unsigned code = 0;
        size_t n = poise_utf8_next(s->at, (size_t)(s->end - s->at), &code);
        if (n == 0 || code < 0x20)
            return stop_here(s, "text in UTF-8 with control characters escaped", NULL);
        s->at += n;
        s->column++;
    }
}

static bool scan_digits(Scanner *s, const char *expected)
{
    if (!is_digit(s))
        return stop_here(s, expected, NULL);
    while (is_digit(s))
        next(s);
    return true;
}

static bool scan_number(Scanner *s)
{
    const char *start = s->at;
    uint32_t line = s->line, column = s->column;
    if (is(s, '-'))
        next(s);
    if (is(s, '0')) {
        next(s);
        if (is_digit(s))
            return stop_here(s, "a number without leading zeros", NULL);
    } else if (!scan_digits(s, "a digit")) {
        return false;
    }
    if (is(s, '.')) {
        next(s);
        if (!scan_digits(s, "a digit after the decimal point"))
            return false;
    }
    if (is(s, 'e') || is(s, 'E')) {
        next(s);
        if (is(s, '+') || is(s, '-'))
            next(s);
        if (!scan_digits(s, "a digit in the exponent"))
            return false;
    }
    if (more(s) && (is_letter(*s->at) || *s->at == '.'))
        return stop_here(s, "the end of the number", "a value with a unit is text: \"5 mm\"");
    double value;
    size_t length = (size_t)(s->at - start);
    if (!poise_decimal_value(start, length, &value)) {
        char found[FOUND_SIZE];
        snprintf(found, sizeof found, "the number %.*s%s", length > 24 ? 24 : (int)length, start,
                 length > 24 ? "…" : "");
        fault_at(s, line, column, found,
                 length > POISE_DECIMAL_CHARACTERS ? "a number of at most 60 characters"
                                                   : "a number that a double can hold",
                 NULL);
    }
    return true;
}

static bool scan_word(Scanner *s, const char *word)
{
    size_t n = strlen(word);
    if ((size_t)(s->end - s->at) < n || memcmp(s->at, word, n) != 0 ||
        (s->at + n < s->end && is_letter(s->at[n])))
        return stop_here(s, "a value", NULL);
    for (size_t i = 0; i < n; i++)
        next(s);
    return true;
}

static bool scan_value(Scanner *s, size_t index, int depth);

/* "key": before a member's value; gives the member its node. */
static bool scan_key(Scanner *s, size_t *member)
{
    uint32_t line = s->line, column = s->column;
    if (!scan_string(s))
        return false;
    skip_space(s);
    if (!is(s, ':'))
        return stop_here(s, "a colon after the key", NULL);
    next(s);
    skip_space(s);
    if (!new_node(s, member))
        return false;
    s->nodes->list[*member].key_line = line;
    s->nodes->list[*member].key_column = column;
    return true;
}

/* The members of an object or the elements of an array, from the opening bracket to the closing
 * one. */
static bool scan_container(Scanner *s, bool object, int depth)
{
    char close = object ? '}' : ']';
    size_t members = 0;
    if (depth >= POISE_LIMIT_JSON_DEPTH)
        return stop(s, "objects and lists nested too deep", "at most 32 levels", NULL);
    next(s);
    skip_space(s);
    if (is(s, close)) {
        next(s);
        return true;
    }
    for (;;) {
        size_t member = 0;
        if (object && !is(s, '"')) {
            bool trailing = members && is(s, close);
            return stop_here(s,
                             members ? "a key in double quotes" : "a key in double quotes or \"}\"",
                             trailing ? "remove the comma before it" : NULL);
        }
        if (!object && members && is(s, close))
            return stop_here(s, "a value", "remove the comma before it");
        if (object && ++members > POISE_LIMIT_JSON_KEYS)
            return stop(s, "more keys than poise takes in one object", "at most 4000 keys", NULL);
        if (!object)
            members = 1;
        if (!(object ? scan_key(s, &member) : new_node(s, &member)) ||
            !scan_value(s, member, depth + 1))
            return false;
        skip_space(s);
        if (is(s, close)) {
            next(s);
            return true;
        }
        if (!is(s, ','))
            return stop_here(s, object ? "a comma or \"}\"" : "a comma or \"]\"",
                             is(s, '"') || is(s, '{') ? "a comma is missing before it" : NULL);
        next(s);
        skip_space(s);
    }
}

static bool scan_any(Scanner *s, int depth)
{
    switch (more(s) ? *s->at : '\0') {
    case '{':
        return scan_container(s, true, depth);
    case '[':
        return scan_container(s, false, depth);
    case '"':
        return scan_string(s);
    case 't':
        return scan_word(s, "true");
    case 'f':
        return scan_word(s, "false");
    case 'n':
        return scan_word(s, "null");
    default:
        if (is(s, '-') || is_digit(s))
            return scan_number(s);
        return stop_here(s, "a value", NULL);
    }
}

static bool scan_value(Scanner *s, size_t index, int depth)
{
    if (!scan_any(s, depth))
        return false;
    s->nodes->list[index].size = (uint32_t)(s->nodes->count - index);
    return true;
}

PoiseStatus poise_json_scan(const char *text, size_t size, const char *file, PoiseNodes *nodes,
                            int *stopped, PoiseFaults *faults)
{
    *nodes = (PoiseNodes){0};
    Scanner s = {.at = text,
                 .end = text + size,
                 .file = file,
                 .line = 1,
                 .column = 1,
                 .nodes = nodes,
                 .faults = faults};
    if (size > POISE_LIMIT_JSON_BYTES) {
        fault_at(&s, 0, 0, "a file larger than 8 MiB", "an instrument or component file", NULL);
        *stopped = 1;
        return s.status;
    }
    if (size >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        s.at += 3;
    size_t root;
    skip_space(&s);
    if (new_node(&s, &root) && scan_value(&s, root, 0)) {
        skip_space(&s);
        if (more(&s))
            stop_here(&s, "the end of the file", NULL);
    }
    *stopped = s.stopped;
    return s.status;
}

void poise_nodes_clear(PoiseNodes *nodes)
{
    poise_release(nodes->list);
    *nodes = (PoiseNodes){0};
}
