#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "commands/command.h"

int poise_usage_error(const PoiseCommand *command, const char *format, ...)
{
    fprintf(stderr, "poise%s%s: ", command ? " " : "", command ? command->name : "");
    va_list arguments;
    va_start(arguments, format);
    vfprintf(stderr, format, arguments);
    va_end(arguments);
    fprintf(stderr, "\nTry \"poise%s%s --help\".\n", command ? " " : "",
            command ? command->name : "");
    return poise_status_exit_code(POISE_E_USAGE);
}

/* Argument text as it may be shown: a copy that drives no terminal, cut to the buffer. */
static const char *shown(const char *text, char buffer[128])
{
    PoiseText inert = {0};
    poise_text_append_inert(&inert, text);
    snprintf(buffer, 128, "%s", inert.data ? inert.data : "");
    poise_text_clear(&inert);
    return buffer;
}

static const PoiseOption *find_long(const PoiseCommand *command, const char *name, size_t n)
{
    for (const PoiseOption *o = command->options; o->name; o++)
        if (strlen(o->name) == n && strncmp(o->name, name, n) == 0)
            return o;
    return NULL;
}

static const PoiseOption *find_letter(const PoiseCommand *command, char letter)
{
    for (const PoiseOption *o = command->options; o->name; o++)
        if (o->letter && o->letter == letter)
            return o;
    return NULL;
}

static bool unknown_option(const PoiseCommand *command, const char *word)
{
    const char *names[64];
    size_t n = 0;
    char buffer[128];
    for (const PoiseOption *o = command->options; o->name && n < 64; o++)
        names[n++] = o->name;
    const char *near = poise_nearest(word[1] == '-' ? word + 2 : word + 1, names, n);
    if (near)
        poise_usage_error(command, "there is no option \"%s\"; did you mean --%s?",
                          shown(word, buffer), near);
    else
        poise_usage_error(command, "there is no option \"%s\"", shown(word, buffer));
    return false;
}

static bool take_option(PoiseArguments *a, const PoiseOption *option, const char *value)
{
    if (!option->repeats && poise_has_option(a, option->name)) {
        poise_usage_error(a->command, "--%s is given twice", option->name);
        return false;
    }
    a->given[a->given_count].option = option;
    a->given[a->given_count].value = value;
    a->given_count++;
    return true;
}

/* argv[i] is an option; returns how many words it used, or 0 after a message. */
static int parse_option(PoiseArguments *a, int i, int argc, char **argv)
{
    const char *word = argv[i];
    bool is_long = word[1] == '-';
    const char *equals = is_long ? strchr(word, '=') : NULL;
    size_t n = equals ? (size_t)(equals - word) - 2 : strlen(word) - 2;
    const PoiseOption *option =
        is_long ? find_long(a->command, word + 2, n) : find_letter(a->command, word[1]);
    if (!option) {
        unknown_option(a->command, word);
        return 0;
    }
    const char *attached = is_long ? (equals ? equals + 1 : NULL) : (word[2] ? word + 2 : NULL);
    if (!option->value) {
        if (attached) {
            poise_usage_error(a->command, "--%s takes no value", option->name);
            return 0;
        }
        return take_option(a, option, NULL) ? 1 : 0;
    }
    if (attached)
        return take_option(a, option, attached) ? 1 : 0;
    if (i + 1 >= argc) {
        poise_usage_error(a->command, "--%s needs a value:\n  --%s %s  %s", option->name,
                          option->name, option->value, option->help);
        return 0;
    }
    return take_option(a, option, argv[i + 1]) ? 2 : 0;
}

static bool check_operands(const PoiseArguments *a)
{
    const PoiseCommand *c = a->command;
    char buffer[128];
    if (a->operand_count < c->least) {
        poise_usage_error(c, "needs %s", c->operands);
        return false;
    }
    if (a->operand_count > c->most) {
        poise_usage_error(c, "one argument too many: \"%s\"", shown(a->operands[c->most], buffer));
        return false;
    }
    return true;
}

bool poise_arguments_parse(const PoiseCommand *command, int argc, char **argv, PoiseArguments *a)
{
    *a = (PoiseArguments){.command = command};
    bool only_operands = false;
    if (argc > POISE_MOST_ARGUMENTS) {
        poise_usage_error(command, "more than %d arguments", POISE_MOST_ARGUMENTS);
        return false;
    }
    for (int i = 0; i < argc;) {
        const char *word = argv[i];
        if (!only_operands && strcmp(word, "--") == 0) {
            only_operands = true;
            i++;
        } else if (!only_operands && word[0] == '-' && word[1]) {
            int used = parse_option(a, i, argc, argv);
            if (used == 0)
                return false;
            i += used;
        } else {
            a->operands[a->operand_count++] = word;
            i++;
        }
    }
    return check_operands(a);
}

const char *poise_option_value(const PoiseArguments *a, const char *name)
{
    const char *value = NULL;
    for (size_t i = 0; i < a->given_count; i++)
        if (strcmp(a->given[i].option->name, name) == 0)
            value = a->given[i].value;
    return value;
}

bool poise_has_option(const PoiseArguments *a, const char *name)
{
    for (size_t i = 0; i < a->given_count; i++)
        if (strcmp(a->given[i].option->name, name) == 0)
            return true;
    return false;
}

bool poise_option_range(const PoiseArguments *a, const char *name, const char *what, int least,
                        int most, const char *or_else, int *value)
{
    const char *text = poise_option_value(a, name);
    char buffer[128];
    if (!text)
        return true;
    int n = 0;
    const char *c = text;
    for (; *c >= '0' && *c <= '9' && n <= most; c++)
        n = 10 * n + (*c - '0');
    if (c == text || *c || n > most || n < least) {
        poise_usage_error(a->command, "--%s: found \"%s\", expected %s%d to %d%s", name,
                          shown(text, buffer), what, least, most, or_else);
        return false;
    }
    *value = n;
    return true;
}

bool poise_option_count(const PoiseArguments *a, const char *name, int most, int *value)
{
    return poise_option_range(a, name, "a whole number from ", 0, most, "", value);
}

void poise_print_help(const PoiseCommand *command)
{
    printf("poise %s %s\n\n%s\n", command->name, command->operands, command->summary);
    if (command->details)
        printf("\n%s\n", command->details);
    printf("\nOptions\n");
    for (const PoiseOption *o = command->options; o->name; o++) {
        char left[48];
        if (o->letter)
            snprintf(left, sizeof left, "-%c, --%s%s%s", o->letter, o->name, o->value ? " " : "",
                     o->value ? o->value : "");
        else
            snprintf(left, sizeof left, "--%s%s%s", o->name, o->value ? " " : "",
                     o->value ? o->value : "");
        printf("  %-24s %s\n", left, o->help);
    }
    printf("  %-24s %s\n", "--help", "show this");
}
