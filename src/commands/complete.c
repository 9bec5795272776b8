/* Finds out what the word at the cursor can be. */
#include "commands/complete.h"

#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "commands/command.h"
#include "input/keys.h"
#include "output/parts_list.h"
#include "plot/plot.h"

void poise_completion_offer(PoiseCompletion *c, const char *candidate, const char *about)
{
    size_t before = strlen(c->before), typed = strlen(c->word);
    for (const char *s = candidate; *s; s++)
        if ((unsigned char)*s < ' ' || *s == 0x7f)
            return;
    /* The word as typed covers what is put before, then the candidate's beginning. */
    if (typed < before || strncmp(c->word + before, candidate, typed - before) != 0)
        return;
    poise_text_append(&c->lines, c->before);
    poise_text_append(&c->lines, candidate);
    poise_text_append(&c->lines, "\t");
    poise_text_append_inert(&c->lines, about ? about : "");
    poise_text_append(&c->lines, "\n");
}

static void offer_files(PoiseCompletion *c, const char *endings)
{
    poise_text_append(&c->lines, ":files");
    if (*endings)
        poise_text_printf(&c->lines, " %s", endings);
    poise_text_append(&c->lines, "\n");
}

/* The command line before the cursor. */
typedef struct Typed {
    const PoiseCommand *command;
    size_t operands;           /* that stand before the cursor */
    const char *first;         /* operand, or NULL */
    const PoiseOption *valued; /* the option whose value the cursor is in, or NULL */
    bool only_operands;        /* after "--" */
} Typed;

static const PoiseOption *option_of(const PoiseCommand *command, const char *word)
{
    size_t n = strcspn(word, "=");
    for (const PoiseOption *o = command->options; o->name; o++) {
        if (word[1] == '-' && strlen(o->name) == n - 2 && strncmp(o->name, word + 2, n - 2) == 0)
            return o;
        if (word[1] != '-' && o->letter == word[1] && word[2] == '\0')
            return o;
    }
    return NULL;
}

static Typed read_words(const PoiseCommand *command, int argc, char **argv)
{
    Typed t = {.command = command};
    for (int i = 0; i + 1 < argc; i++) {
        const char *word = argv[i];
        t.valued = NULL;
        if (!t.only_operands && strcmp(word, "--") == 0) {
            t.only_operands = true;
        } else if (!t.only_operands && word[0] == '-' && word[1]) {
            const PoiseOption *o = option_of(command, word);
            if (!o || !o->value || strchr(word, '='))
                continue;
            if (i + 2 == argc)
                t.valued = o;
            i++;
        } else {
            if (t.operands++ == 0)
                t.first = word;
        }
    }
    return t;
}

static void offer_options(PoiseCompletion *c, const PoiseCommand *command)
{
    char word[64];
    for (const PoiseOption *o = command->options; o->name; o++) {
        snprintf(word, sizeof word, "--%s", o->name);
        poise_completion_offer(c, word, o->help);
    }
    poise_completion_offer(c, "--help", "show what it takes");
}

static void offer_commands(PoiseCompletion *c)
{
    for (size_t i = 0; POISE_COMMANDS[i]; i++)
        poise_completion_offer(c, POISE_COMMANDS[i]->name, POISE_COMMANDS[i]->summary);
}

static void offer_kinds(PoiseCompletion *c)
{
    for (int k = 0; k < POISE_LISTED_KINDS; k++)
        poise_completion_offer(c, poise_listed_kind_name((PoiseListedKind)k), NULL);
}

static void offer_views(PoiseCompletion *c)
{
    for (int v = 0; v < POISE_PLOT_VIEWS; v++)
        poise_completion_offer(c, poise_plot_view_name((PoisePlotView)v), NULL);
}

/* Values of an option, by its name; "FILE" and "OUT" of any option are files. */
static void offer_values(PoiseCompletion *c, const Typed *t)
{
    const char *name = t->valued->name;
    if (strcmp(name, "variant") == 0 && t->first) {
        poise_completion_variants(c, t->first);
    } else if (strcmp(name, "vary") == 0 && t->first) {
        poise_completion_pointers(c, t->first);
    } else if (strcmp(name, "material") == 0) {
        poise_completion_library(c, POISE_IDS_MATERIALS, NULL);
    } else if (strcmp(name, "family") == 0) {
        poise_completion_library(c, POISE_IDS_FAMILIES, NULL);
    } else if (strcmp(name, "kind") == 0) {
        offer_kinds(c);
    } else if (strcmp(name, "mesh-unit") == 0) {
        for (size_t i = 0; poise_unit_names_of_meshes[i]; i++)
            poise_completion_offer(c, poise_unit_names_of_meshes[i], NULL);
    } else if (strcmp(name, "trials") == 0) {
        poise_completion_offer(c, "auto", "as many as two digits of each ± take");
    } else if (strcmp(t->valued->value, "FILE") == 0 || strcmp(t->valued->value, "OUT") == 0) {
        offer_files(c, "");
    }
}

static void offer_operands(PoiseCompletion *c, const Typed *t)
{
    const PoiseCommand *command = t->command;
    if (t->operands >= command->most)
        return;
    if (command == &POISE_COMMAND_PARTS)
        poise_completion_library(
            c, POISE_IDS_PARTS | POISE_IDS_MATERIALS | POISE_IDS_PRESETS | POISE_IDS_FAMILIES,
            NULL);
    else if (t->operands == 0 && strncmp(command->operands, "MESH", 4) == 0)
        offer_files(c, "stl 3mf obj");
    else if (t->operands == 0 && strncmp(command->operands, "FILE", 4) == 0)
        offer_files(c, "json");
    else if (command == &POISE_COMMAND_COMPARE)
        poise_completion_variants(c, t->first);
    else if (command == &POISE_COMMAND_PLOT)
        offer_views(c);
}

/* "--variant=li": the value of an option that is in the same word. */
static bool complete_attached(PoiseCompletion *c, Typed *t)
{
    const char *equals = strchr(c->word, '=');
    if (strncmp(c->word, "--", 2) != 0 || !equals || t->only_operands)
        return false;
    const PoiseOption *o = option_of(t->command, c->word);
    char *before = poise_copy_text_n(c->word, (size_t)(equals - c->word) + 1);
    if (o && o->value && before) {
        t->valued = o;
        c->before = before;
        offer_values(c, t);
        c->before = "";
    }
    poise_release(before);
    return true;
}

static void complete_words(PoiseCompletion *c, int argc, char **argv)
{
    if (argc == 1) {
        offer_commands(c);
        if (c->word[0] == '-') {
            poise_completion_offer(c, "--help", "what it is");
            poise_completion_offer(c, "--version", "the version");
        }
        return;
    }
    if (argc == 2 && strcmp(argv[0], "help") == 0) {
        offer_commands(c);
        return;
    }
    const PoiseCommand *command = poise_find_command(argv[0]);
    if (!command)
        return;
    Typed t = read_words(command, argc - 1, argv + 1);
    if (t.valued)
        offer_values(c, &t);
    else if (complete_attached(c, &t))
        return;
    else if (c->word[0] == '-' && !t.only_operands)
        offer_options(c, command);
    else
        offer_operands(c, &t);
}

int poise_complete(int argc, char **argv)
{
    PoiseCompletion c = {.word = argc ? argv[argc - 1] : "", .before = ""};
    if (argc)
        complete_words(&c, argc, argv);
    if (!c.lines.failed && c.lines.data)
        fputs(c.lines.data, stdout);
    poise_text_clear(&c.lines);
    return 0;
}
