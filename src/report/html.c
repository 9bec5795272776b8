/* Text and bytes as HTML takes them. */
#include <string.h>

#include "base/memory.h"
#include "report/doc.h"

void poise_html_append(PoiseText *text, const char *piece)
{
    PoiseText inert = {0};
    poise_text_append_inert(&inert, piece);
    char *plain = poise_text_take(&inert);
    if (!plain) {
        text->failed = true;
        return;
    }
    for (const char *c = plain; *c;) {
        size_t n = strcspn(c, "&<>\"'");
        poise_text_append_n(text, c, n);
        c += n;
        if (!*c)
            break;
        poise_text_append(text, *c == '&'   ? "&amp;"
                                : *c == '<' ? "&lt;"
                                : *c == '>' ? "&gt;"
                                : *c == '"' ? "&quot;"
                                            : "&#39;");
        c++;
    }
    poise_release(plain);
}

void poise_base64_append(PoiseText *text, const void *data, size_t size)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const unsigned char *p = data;
    for (size_t at = 0; at < size; at += 3) {
        size_t n = size - at < 3 ? size - at : 3;
        unsigned long bits = (unsigned long)p[at] << 16;
        bits |= n > 1 ? (unsigned long)p[at + 1] << 8 : 0;
        bits |= n > 2 ? (unsigned long)p[at + 2] : 0;
        char four[4] = {digits[bits >> 18], digits[bits >> 12 & 63],
                        n > 1 ? digits[bits >> 6 & 63] : '=', n > 2 ? digits[bits & 63] : '='};
        poise_text_append_n(text, four, sizeof four);
    }
}
