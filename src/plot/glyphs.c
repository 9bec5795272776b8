#include "plot/glyphs.h"

#include <stdio.h>
#include <string.h>

#include "plot/sheet.h"

/* What is looked up in one go; a name has not many rare characters. */
enum { MOST_CODES = 200 };

/* Blocks of Unicode that DejaVu Sans, and any other font with a claim to Europe, covers: Latin,
 * Greek, Cyrillic, general punctuation, arrows, mathematical operators. */
static bool is_usual(unsigned code)
{
    static const unsigned blocks[][2] = {{0x00, 0x24F},    {0x370, 0x377},   {0x37A, 0x37F},
                                         {0x384, 0x38A},   {0x38E, 0x3A1},   {0x3A3, 0x3FF},
                                         {0x400, 0x4FF},   {0x2010, 0x2027}, {0x2030, 0x205E},
                                         {0x2190, 0x21FF}, {0x2200, 0x22FF}};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++)
        if (code >= blocks[i][0] && code <= blocks[i][1])
            return true;
    return false;
}

/* The next character; bytes that are no UTF-8 count one by one, as usual ones (the sheet has made
 * them visible already). */
static size_t next(const char *s, size_t n, unsigned *code)
{
    size_t step = poise_utf8_next(s, n, code);
    if (step == 0) {
        *code = 0;
        return 1;
    }
    return step;
}

static size_t collect(const char *data, size_t n, unsigned codes[MOST_CODES])
{
    size_t count = 0;
    unsigned code;
    for (size_t i = 0, step; i < n && count < MOST_CODES; i += step) {
        step = next(data + i, n - i, &code);
        bool known = is_usual(code);
        for (size_t k = 0; k < count && !known; k++)
            known = codes[k] == code;
        if (!known)
            codes[count++] = code;
    }
    return count;
}

/* The sheet's text is encoded, so what is put in has to be, and so has a digit behind it, which
 * would read as part of an escape. */
static void replace(const char *data, size_t n, PoiseText *out)
{
    unsigned code;
    bool escaped = false;
    for (size_t i = 0, step; i < n; i += step) {
        step = next(data + i, n - i, &code);
        if (!is_usual(code)) {
            char spelled[16];
            snprintf(spelled, sizeof spelled, "\\u{%04X}", code);
            poise_plot_encode(out, spelled);
            escaped = true;
        } else if (escaped && code >= '0' && code <= '9') {
            poise_text_printf(out, "\\%03o", code);
        } else {
            poise_text_append_n(out, data + i, step);
            escaped = false;
        }
    }
}

void poise_plot_spell_out(const char *data, bool (*fonts_have)(const unsigned *codes, size_t n),
                          PoiseText *out)
{
    unsigned codes[MOST_CODES];
    size_t n = strlen(data), count = collect(data, n, codes);
    if (count == 0 || (count < MOST_CODES && fonts_have(codes, count)))
        poise_text_append(out, data);
    else
        replace(data, n, out);
}
