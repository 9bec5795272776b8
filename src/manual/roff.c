#include "manual/roff.h"

#include <string.h>

void poise_roff_words(PoiseText *page, const char *words)
{
    /* A dot or an apostrophe at the start of a line would be a request. */
    if (*words == '.' || *words == '\'')
        poise_text_append(page, "\\&");
    for (const char *c = words; *c; c++) {
        if (*c == '\\')
            poise_text_append(page, "\\e");
        else if (*c == '-') /* or it is shown as a hyphen, which no shell knows */
            poise_text_append(page, "\\-");
        else
            poise_text_append_n(page, c, 1);
    }
}

void poise_roff_bold(PoiseText *page, const char *words)
{
    poise_text_append(page, "\\fB");
    poise_roff_words(page, words);
    poise_text_append(page, "\\fR");
}

static void put_line(PoiseText *page, const char *line, size_t n)
{
    char copy[256];
    if (n >= sizeof copy)
        n = sizeof copy - 1;
    memcpy(copy, line, n);
    copy[n] = '\0';
    poise_roff_words(page, copy);
    poise_text_append(page, "\n");
}

void poise_roff_paragraphs(PoiseText *page, const char *text)
{
    bool as_it_is = false, fresh = true;
    while (*text) {
        size_t n = strcspn(text, "\n");
        bool indented = text[0] == ' ';
        if (n > 0) {
            /* The help's lines use 80 columns, a page starts at the eighth: these start at the
             * third, with the two spaces that they bring. */
            if (indented != as_it_is)
                poise_text_append(page, indented ? ".PP\n.nf\n.RS -5\n" : ".RE\n.fi\n.PP\n");
            else if (fresh)
                poise_text_append(page, ".PP\n");
            put_line(page, text, n);
            as_it_is = indented;
        }
        fresh = n == 0;
        text += n + (text[n] == '\n');
    }
    if (as_it_is)
        poise_text_append(page, ".RE\n.fi\n");
}
