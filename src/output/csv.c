#include "output/csv.h"

#include <math.h>
#include <string.h>

void poise_csv_field(PoiseText *text, const char *value)
{
    bool formula = *value && strchr("=+-@\t\r", *value);
    if (!formula && !strpbrk(value, ",\"\r\n")) {
        poise_text_append(text, value);
        return;
    }
    poise_text_append(text, formula ? "\"'" : "\"");
    for (; *value; value++)
        poise_text_append_n(text, *value == '"' ? "\"\"" : value, *value == '"' ? 2 : 1);
    poise_text_append(text, "\"");
}

void poise_csv_number(PoiseText *text, double value)
{
    char digits[32];
    if (!isfinite(value))
        return;
    poise_double_text(value, digits);
    poise_text_append(text, digits);
}
