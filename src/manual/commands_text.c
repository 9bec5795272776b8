/* poise(1): the command tables as they stand. */
#include <string.h>

#include "commands/command.h"
#include "manual/roff.h"
#include "manual/tables.h"

void poise_manual_synopsis(PoiseText *page)
{
    for (size_t i = 0; POISE_COMMANDS[i]; i++) {
        const PoiseCommand *c = POISE_COMMANDS[i];
        poise_text_append(page, i ? ".br\n" : "");
        poise_roff_bold(page, "poise ");
        poise_roff_bold(page, c->name);
        poise_text_append(page, c->options->name ? " [\\fIOPTIONS\\fR] " : " ");
        poise_roff_words(page, c->operands);
        poise_text_append(page, "\n");
    }
}

static void put_option(PoiseText *page, const PoiseOption *o)
{
    poise_text_append(page, ".TP\n");
    if (o->letter) {
        const char letter[] = {'-', o->letter, '\0'};
        poise_roff_bold(page, letter);
        poise_text_append(page, ", ");
    }
    poise_roff_bold(page, "--");
    poise_roff_bold(page, o->name);
    if (o->value) {
        poise_text_append(page, " \\fI");
        poise_roff_words(page, o->value);
        poise_text_append(page, "\\fR");
    }
    poise_text_append(page, "\n");
    poise_roff_words(page, o->help);
    poise_text_append(page, o->repeats ? ". May be given more than once.\n" : ".\n");
}

void poise_manual_commands(PoiseText *page)
{
    for (size_t i = 0; POISE_COMMANDS[i]; i++) {
        const PoiseCommand *c = POISE_COMMANDS[i];
        poise_text_append(page, ".SS ");
        poise_roff_words(page, c->name);
        poise_text_append(page, "\n");
        poise_roff_bold(page, "poise ");
        poise_roff_bold(page, c->name);
        poise_text_append(page, " ");
        poise_roff_words(page, c->operands);
        poise_text_append(page, "\n.PP\n");
        poise_roff_words(page, c->summary);
        poise_text_append(page, ".\n");
        if (c->details)
            poise_roff_paragraphs(page, c->details);
        for (const PoiseOption *o = c->options; o->name; o++)
            put_option(page, o);
    }
}
