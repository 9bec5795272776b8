#include "base/text.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

static bool reserve(PoiseText *text, size_t more)
{
    if (text->failed)
        return false;
    if (more >= SIZE_MAX / 2 - text->length) {
        text->failed = true;
        return false;
    }
    size_t need = text->length + more + 1;
    if (need <= text->capacity)
        return true;
    size_t capacity = text->capacity ? text->capacity : 64;
    while (capacity < need)
        capacity *= 2;
    char *data = poise_resize(text->data, capacity, 1);
    if (!data) {
        text->failed = true;
        return false;
    }
    text->data = data;
    text->capacity = capacity;
    return true;
}

void poise_text_append_n(PoiseText *text, const char *piece, size_t n)
{
    if (!reserve(text, n))
        return;
    memcpy(text->data + text->length, piece, n);
    text->length += n;
    text->data[text->length] = '\0';
}

void poise_text_append(PoiseText *text, const char *piece)
{
    poise_text_append_n(text, piece, strlen(piece));
}

void poise_text_vprintf(PoiseText *text, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    int n = vsnprintf(NULL, 0, format, again);
    va_end(again);
    if (n < 0) {
        text->failed = true;
        return;
    }
    if (!reserve(text, (size_t)n))
        return;
    vsnprintf(text->data + text->length, (size_t)n + 1, format, arguments);
    text->length += (size_t)n;
}

void poise_text_printf(PoiseText *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(text, format, arguments);
    va_end(arguments);
}

char *poise_text_take(PoiseText *text)
{
    if (!text->failed && !text->data)
        poise_text_append_n(text, "", 0);
    if (text->failed) {
        poise_text_clear(text);
        return NULL;
    }
    char *data = text->data;
    *text = (PoiseText){0};
    return data;
}

void poise_text_clear(PoiseText *text)
{
    poise_release(text->data);
    *text = (PoiseText){0};
}

char *poise_format(const char *format, ...)
{
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    return poise_text_take(&text);
}

size_t poise_utf8_next(const char *s, size_t n, unsigned *code)
{
    const unsigned char *b = (const unsigned char *)s;
    if (n == 0 || b[0] == 0)
        return 0;
    if (b[0] < 0x80) {
        *code = b[0];
        return 1;
    }
    size_t length = b[0] >= 0xF0 ? 4 : b[0] >= 0xE0 ? 3 : 2;
    if (b[0] < 0xC2 || b[0] > 0xF4 || n < length)
        return 0;
    unsigned value = b[0] & (0x7FU >> length);
    for (size_t i = 1; i < length; i++) {
        if ((b[i] & 0xC0U) != 0x80U)
            return 0;
        value = value << 6 | (b[i] & 0x3FU);
    }
    static const unsigned least[] = {0, 0, 0x80, 0x800, 0x10000};
    if (value < least[length] || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF))
        return 0;
    *code = value;
    return length;
}

/* Characters that change how the text around them is shown: bidirectional controls, line and
 * paragraph separators, the byte order mark. Unicode Standard, ch. 23 "Special Areas and Format
 * Characters". */
static bool drives_layout(unsigned code)
{
    return code == 0x061C || (code >= 0x200E && code <= 0x200F) ||
           (code >= 0x2028 && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) ||
           code == 0xFEFF;
}

void poise_text_append_inert(PoiseText *text, const char *piece)
{
    size_t left = strlen(piece);
    while (left) {
        unsigned code = 0;
        size_t n = poise_utf8_next(piece, left, &code);
        if (n == 0) {
            poise_text_printf(text, "\\x%02X", (unsigned)(unsigned char)*piece);
            n = 1;
        } else if (code < 0x20 || (code >= 0x7F && code < 0xA0)) {
            poise_text_printf(text, "\\x%02X", code);
        } else if (drives_layout(code)) {
            poise_text_printf(text, "\\u{%04X}", code);
        } else {
            poise_text_append_n(text, piece, n);
        }
        piece += n;
        left -= n;
    }
}

static size_t code_columns(unsigned code)
{
    if ((code >= 0x0300 && code <= 0x036F) || (code >= 0x200B && code <= 0x200F) ||
        (code >= 0x20D0 && code <= 0x20FF) || (code >= 0xFE00 && code <= 0xFE0F))
        return 0;
    /* The common wide blocks of Unicode Standard Annex 11: CJK, Hangul, full-width forms,
     * pictographs. */
    if ((code >= 0x1100 && code <= 0x115F) ||
        (code >= 0x2E80 && code <= 0xA4CF && code != 0x303F) ||
        (code >= 0xAC00 && code <= 0xD7A3) || (code >= 0xF900 && code <= 0xFAFF) ||
        (code >= 0xFF00 && code <= 0xFF60) || (code >= 0x1F300 && code <= 0x1FAFF) ||
        (code >= 0x20000 && code <= 0x3FFFD))
        return 2;
    return 1;
}

size_t poise_text_columns(const char *s)
{
    size_t columns = 0, left = strlen(s);
    while (left) {
        unsigned code = '?';
        size_t n = poise_utf8_next(s, left, &code);
        if (n == 0)
            n = 1;
        columns += code_columns(code);
        s += n;
        left -= n;
    }
    return columns;
}

void poise_double_text(double value, char out[32])
{
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(out, 32, "%.*g", digits, value);
        if (strtod(out, NULL) == value)
            break;
    }
    /* A library user may have set a locale with a decimal comma; what poise writes has a point. */
    for (char *c = out; *c; c++)
        if (*c == ',')
            *c = '.';
}

static char fold(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

int poise_text_order(const char *a, const char *b)
{
    return strcmp(a ? a : "", b ? b : "");
}

size_t poise_edit_distance(const char *a, const char *b)
{
    enum { MOST = 64 };
    size_t n = strlen(a), m = strlen(b);
    if (n >= MOST || m >= MOST)
        return n > m ? n : m;
    size_t row[3][MOST + 1];
    size_t *older = row[0], *old = row[1], *now = row[2];
    for (size_t j = 0; j <= m; j++)
        old[j] = j;
    for (size_t i = 1; i <= n; i++) {
        now[0] = i;
        for (size_t j = 1; j <= m; j++) {
            size_t best = old[j - 1] + (fold(a[i - 1]) != fold(b[j - 1]));
            if (old[j] + 1 < best)
                best = old[j] + 1;
            if (now[j - 1] + 1 < best)
                best = now[j - 1] + 1;
            if (i > 1 && j > 1 && fold(a[i - 1]) == fold(b[j - 2]) &&
                fold(a[i - 2]) == fold(b[j - 1]) && older[j - 2] + 1 < best)
                best = older[j - 2] + 1;
            now[j] = best;
        }
        size_t *spare = older;
        older = old;
        old = now;
        now = spare;
    }
    return old[m];
}

/* Of two names as near to a slip, is `name` the likelier one? People get the first letter right,
 * and swap letters more often than they leave one out where the rest still makes a name. */
static bool likelier(const char *word, const char *name, const char *than)
{
    bool first = fold(word[0]) == fold(name[0]), other = fold(word[0]) == fold(than[0]);
    if (first != other)
        return first;
    return strlen(name) == strlen(word) && strlen(than) != strlen(word);
}

const char *poise_nearest(const char *word, const char *const *candidates, size_t n)
{
    const char *best = NULL;
    size_t best_distance = 2 + strlen(word) / 4;
    for (size_t i = 0; i < n; i++) {
        size_t distance = poise_edit_distance(word, candidates[i]);
        if (distance < best_distance ||
            (best && distance == best_distance && likelier(word, candidates[i], best))) {
            best_distance = distance;
            best = candidates[i];
        }
    }
    return best;
}
