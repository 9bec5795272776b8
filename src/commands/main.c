#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "commands/command.h"
#include "commands/complete.h"
#include "poise/version.h"

static void print_overview(FILE *to)
{
    fprintf(to, "poise: what a solid-body string instrument will weigh and how it will balance\n\n"
                "  poise COMMAND [ARGUMENTS]\n\n");
    for (size_t i = 0; POISE_COMMANDS[i]; i++)
        fprintf(to, "  %-9s %s\n", POISE_COMMANDS[i]->name, POISE_COMMANDS[i]->summary);
    fprintf(to, "\n  poise COMMAND --help   what a command takes\n"
                "  poise --version        the version\n"
                "  man poise              the manual, once installed\n\n"
                "Start with \"poise new\".\n");
}

static int unknown_command(const char *word)
{
    const char *names[32];
    size_t n = 0;
    for (; n < 32 && POISE_COMMANDS[n]; n++)
        names[n] = POISE_COMMANDS[n]->name;
    const char *near = poise_nearest(word, names, n);
    PoiseText inert = {0};
    poise_text_append_inert(&inert, word);
    const char *shown = inert.data ? inert.data : "";
    int code = near ? poise_usage_error(NULL, "there is no command \"%s\"; did you mean \"%s\"?",
                                        shown, near)
                    : poise_usage_error(NULL, "there is no command \"%s\"", shown);
    poise_text_clear(&inert);
    return code;
}

static bool wants_help(int argc, char **argv)
{
    for (int i = 0; i < argc && strcmp(argv[i], "--") != 0; i++)
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0)
            return true;
    return false;
}

static bool wants_version(int argc, char **argv)
{
    for (int i = 0; i < argc && strcmp(argv[i], "--") != 0; i++)
        if (strcmp(argv[i], "--version") == 0)
            return true;
    return false;
}

/* Buffered output that could not be written (a full disk) must not pass for success. */
static int finish(int code)
{
    if ((fflush(stdout) != 0 || ferror(stdout)) && code == 0) {
        fprintf(stderr, "error: standard output: cannot write\n");
        return poise_status_exit_code(POISE_E_IO);
    }
    return code;
}

int main(int argc, char **argv)
{
    poise_watch_files();
    if (argc < 2) {
        print_overview(stderr);
        return poise_status_exit_code(POISE_E_USAGE);
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("poise %s\n", poise_version());
        return finish(0);
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 ||
        (strcmp(argv[1], "help") == 0 && argc == 2)) {
        print_overview(stdout);
        return finish(0);
    }
    if (strcmp(argv[1], "complete") == 0)
        return finish(poise_complete(argc - 2, argv + 2));
    bool help = strcmp(argv[1], "help") == 0;
    const PoiseCommand *command = poise_find_command(argv[help ? 2 : 1]);
    if (!command)
        return unknown_command(argv[help ? 2 : 1]);
    if (help || wants_help(argc - 2, argv + 2)) {
        poise_print_help(command);
        return finish(0);
    }
    if (wants_version(argc - 2, argv + 2)) {
        printf("poise %s\n", poise_version());
        return finish(0);
    }
    static PoiseArguments arguments; /* too large for a small stack */
    if (!poise_arguments_parse(command, argc - 2, argv + 2, &arguments))
        return poise_status_exit_code(POISE_E_USAGE);
    return finish(command->run(&arguments));
}
