#include "output/markdown.h"

#include <string.h>

#include "base/memory.h"

void poise_markdown_append(PoiseText *t, const char *from_file)
{
    PoiseText inert = {0};
    poise_text_append_inert(&inert, from_file);
    char *text = poise_text_take(&inert);
    if (!text) {
        t->failed = true;
        return;
    }
    for (const char *c = text; *c; c++) {
        if (*c == '<' || *c == '>' || *c == '&')
            poise_text_append(t, *c == '<' ? "&lt;" : *c == '>' ? "&gt;" : "&amp;");
        else if (strchr("\\`*_{}[]()#+!|~", *c))
            poise_text_printf(t, "\\%c", *c);
        else
            poise_text_append_n(t, c, 1);
    }
    poise_release(text);
}
