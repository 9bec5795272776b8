#include "plot/sheet.h"

#include <math.h>
#include <string.h>

void poise_sheet_clear(PoiseSheet *sheet)
{
    poise_text_clear(&sheet->data);
    poise_text_clear(&sheet->settings);
    *sheet = (PoiseSheet){0};
}

bool poise_sheet_failed(const PoiseSheet *sheet)
{
    return sheet->data.failed || sheet->settings.failed;
}

void poise_sheet_block(PoiseSheet *sheet, const char *name, const char *columns)
{
    poise_text_printf(&sheet->data, "# %s: %s\n", name, columns);
    sheet->rows = sheet->columns = 0;
}

void poise_sheet_end(PoiseSheet *sheet, size_t n)
{
    if (sheet->rows == 0) {
        for (size_t i = 0; i < n; i++)
            poise_sheet_number(sheet, (double)NAN);
        poise_sheet_row(sheet);
    }
    poise_text_append(&sheet->data, "\n\n"); /* gnuplot: two empty lines end a block */
}

static void next_column(PoiseSheet *sheet)
{
    if (sheet->columns++)
        poise_text_append(&sheet->data, "\t");
}

void poise_sheet_number(PoiseSheet *sheet, double value)
{
    next_column(sheet);
    if (isfinite(value))
        poise_text_printf(&sheet->data, "%.7g", value);
    else
        poise_text_append(&sheet->data, "NaN");
}

void poise_sheet_numbers(PoiseSheet *sheet, const double *values, size_t n)
{
    for (size_t i = 0; i < n; i++)
        poise_sheet_number(sheet, values[i]);
}

void poise_sheet_text(PoiseSheet *sheet, const char *text)
{
    next_column(sheet);
    poise_plot_encode(&sheet->data, text);
}

void poise_sheet_row(PoiseSheet *sheet)
{
    poise_text_append(&sheet->data, "\n");
    sheet->columns = 0;
    sheet->rows++;
}

void poise_sheet_break(PoiseSheet *sheet)
{
    poise_text_append(&sheet->data, "\n");
}

void poise_plot_assign(PoiseText *script, const char *name, double value)
{
    char digits[32];
    if (isfinite(value))
        poise_double_text(value, digits);
    else
        memcpy(digits, "NaN", sizeof "NaN");
    bool whole = isfinite(value) && !strpbrk(digits, ".e");
    poise_text_printf(script, "%s = %s%s\n", name, digits, whole ? ".0" : "");
}

void poise_sheet_set(PoiseSheet *sheet, const char *variable, double value)
{
    poise_plot_assign(&sheet->settings, variable, value);
}

/* gnuplot's own escapes in data are C's; "%o" there reads as many octal digits as follow, so a
 * digit behind an escape is escaped as well. */
void poise_plot_encode(PoiseText *out, const char *text)
{
    static const char plain[] = "-_.,:;()+/= ";
    size_t n = strlen(text);
    bool escaped = false;
    for (size_t i = 0; i < n; i++) {
        unsigned char c = (unsigned char)text[i];
        bool digit = c >= '0' && c <= '9';
        bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c >= 0x80;
        bool edge = c == ' ' && (i == 0 || i + 1 == n);
        bool keep = letter || (digit && !escaped) || (strchr(plain, c) && !edge);
        if (keep)
            poise_text_append_n(out, &text[i], 1);
        else
            poise_text_printf(out, "\\%03o", (unsigned)c);
        escaped = !keep;
    }
    if (n == 0)
        poise_text_append(out, "\\040"); /* an empty column would shift the others */
}

void poise_plot_shown(PoiseText *out, const char *text, size_t columns)
{
    PoiseText inert = {0};
    poise_text_append_inert(&inert, text ? text : "");
    const char *s = inert.data ? inert.data : "";
    if (poise_text_columns(s) <= columns) {
        poise_text_append(out, s);
    } else {
        size_t kept = 0, n = strlen(s);
        char piece[8];
        for (size_t i = 0, step; i < n; i += step) {
            unsigned code = 0;
            step = poise_utf8_next(s + i, n - i, &code);
            if (step == 0 || step >= sizeof piece)
                break;
            memcpy(piece, s + i, step);
            piece[step] = '\0';
            kept += poise_text_columns(piece);
            if (kept >= columns)
                break;
            poise_text_append_n(out, s + i, step);
        }
        poise_text_append(out, "…");
    }
    out->failed = out->failed || inert.failed;
    poise_text_clear(&inert);
}
