#include "output/layout.h"

#include <string.h>

#include "base/memory.h"

enum { LABEL_COLUMNS = 19 };

static void spaces(PoiseText *text, size_t n)
{
    for (size_t i = 0; i < n; i++)
        poise_text_append_n(text, " ", 1);
}

/* Bytes of s that fit into `width` columns. */
static size_t fitting_bytes(const char *s, size_t width)
{
    size_t bytes = 0, columns = 0, left = strlen(s);
    while (left) {
        unsigned code = '?';
        size_t n = poise_utf8_next(s + bytes, left, &code);
        if (n == 0)
            n = 1;
        char one[5] = {0};
        memcpy(one, s + bytes, n);
        columns += poise_text_columns(one);
        if (columns > width)
            break;
        bytes += n;
        left -= n;
    }
    return bytes;
}

void poise_layout_left(PoiseText *text, const char *cell, size_t width)
{
    size_t columns = poise_text_columns(cell);
    if (columns <= width) {
        poise_text_append(text, cell);
        spaces(text, width - columns);
        return;
    }
    size_t bytes = fitting_bytes(cell, width - 1);
    poise_text_append_n(text, cell, bytes);
    poise_text_append(text, "…");
}

void poise_layout_right(PoiseText *text, PoiseText *cell, size_t width)
{
    char *s = poise_text_take(cell);
    if (!s) {
        text->failed = true;
        return;
    }
    size_t columns = poise_text_columns(s);
    spaces(text, columns < width ? width - columns : 1);
    poise_text_append(text, s);
    poise_release(s);
}

void poise_layout_wrap(PoiseText *text, const char *first, size_t indent, const char *paragraph)
{
    PoiseText inert = {0};
    poise_text_append_inert(&inert, paragraph);
    char *words = poise_text_take(&inert);
    if (!words) {
        text->failed = true;
        return;
    }
    poise_text_append(text, first);
    size_t column = poise_text_columns(first);
    bool at_start = true;
    for (char *word = words; *word;) {
        size_t n = strcspn(word, " ");
        char after = word[n];
        word[n] = '\0';
        size_t width = poise_text_columns(word);
        if (!at_start && column + 1 + width > POISE_SCREEN_COLUMNS - 1) {
            poise_text_append(text, "\n");
            spaces(text, indent);
            column = indent;
            at_start = true;
        }
        if (!at_start)
            poise_text_append(text, " ");
        poise_text_append(text, word);
        column += width + (at_start ? 0 : 1);
        at_start = false;
        word += n + (after ? 1 : 0);
    }
    poise_text_append(text, "\n");
    poise_release(words);
}

void poise_layout_fact(PoiseText *text, const char *label, const char *value)
{
    PoiseText first = {0};
    poise_text_append(&first, "  ");
    poise_layout_left(&first, label, LABEL_COLUMNS - 3);
    poise_text_append(&first, " ");
    char *start = poise_text_take(&first);
    if (start)
        poise_layout_wrap(text, start, LABEL_COLUMNS, value);
    else
        text->failed = true;
    poise_release(start);
}

void poise_layout_bullet(PoiseText *text, const char *paragraph)
{
    poise_layout_wrap(text, "  - ", 4, paragraph);
}
