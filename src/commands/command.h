/* What a command is, and how its arguments reach it. */
#ifndef POISE_COMMANDS_COMMAND_H
#define POISE_COMMANDS_COMMAND_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/weigh.h"

/* One option of a command. */
typedef struct PoiseOption {
    const char *name;  /* without the dashes */
    char letter;       /* short form, or 0 */
    const char *value; /* placeholder of its value, or NULL when it takes none */
    bool repeats;      /* may be given more than once */
    const char *help;
} PoiseOption;

enum { POISE_MOST_ARGUMENTS = 256 };

/* A parsed command line. Strings belong to argv. */
typedef struct PoiseArguments {
    const struct PoiseCommand *command;
    size_t operand_count;
    const char *operands[POISE_MOST_ARGUMENTS];
    size_t given_count; /* options, in order */
    struct {
        const PoiseOption *option;
        const char *value;
    } given[POISE_MOST_ARGUMENTS];
} PoiseArguments;

typedef struct PoiseCommand {
    const char *name;
    const char *operands;                        /* as shown in usage: "FILE" */
    const char *summary;                         /* one line */
    const char *details;                         /* paragraphs for --help */
    size_t least, most;                          /* number of operands */
    const PoiseOption *options;                  /* ends with a name of NULL */
    int (*run)(const PoiseArguments *arguments); /* returns the exit code */
} PoiseCommand;

/* One file per command. */
extern const PoiseCommand POISE_COMMAND_WEIGH;
extern const PoiseCommand POISE_COMMAND_SECTION;
extern const PoiseCommand POISE_COMMAND_COMPARE;
extern const PoiseCommand POISE_COMMAND_SWEEP;
extern const PoiseCommand POISE_COMMAND_REMEDY;
extern const PoiseCommand POISE_COMMAND_PLOT;
extern const PoiseCommand POISE_COMMAND_REPORT;
extern const PoiseCommand POISE_COMMAND_TALLY;
extern const PoiseCommand POISE_COMMAND_PARTS;
extern const PoiseCommand POISE_COMMAND_NEW;
extern const PoiseCommand POISE_COMMAND_CHECK;
extern const PoiseCommand POISE_COMMAND_SCHEMA;

/* All commands, in the order of the help; NULL at the end. */
extern const PoiseCommand *const POISE_COMMANDS[];
/* The command of this name, or NULL. */
const PoiseCommand *poise_find_command(const char *name);

/* Parses what follows the command's name. Returns false after a message on standard error. "--help"
 * is handled by the caller. */
bool poise_arguments_parse(const PoiseCommand *command, int argc, char **argv,
                           PoiseArguments *arguments);
bool poise_has_option(const PoiseArguments *arguments, const char *name);
/* The (last) value of an option, or NULL when it was not given. */
const char *poise_option_value(const PoiseArguments *arguments, const char *name);
/* A whole number from 0 to most; false after a message. `value` keeps its content when the option
 * is absent. */
bool poise_option_count(const PoiseArguments *arguments, const char *name, int most, int *value);
/* The same from `least` to `most`. The message says what was expected: `what` ("a whole number
 * from "), the range, and `or_else`: what else the option takes, or "". */
bool poise_option_range(const PoiseArguments *arguments, const char *name, const char *what,
                        int least, int most, const char *or_else, int *value);

/* The command's help on standard output. */
void poise_print_help(const PoiseCommand *command);
/* "poise NAME: message" on standard error; returns exit code 2. */
int poise_usage_error(const PoiseCommand *command, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Prints all faults to standard error and returns the exit code for `status`. */
int poise_report_faults(const PoiseFaults *faults, PoiseStatus status);
/* Writes a result to standard output and frees it; NULL is "out of memory". Returns the exit code.
 */
int poise_put_result(char *text);

/* From now on, a file that shrinks while it is read ends the program with a message and exit code 5
 * (see PoiseView). */
void poise_watch_files(void);

/* Reads the first operand as an instrument file, in the variant that "variant" names, and weighs it
 * with a progress line. `options` gets that line's functions. */
PoiseStatus poise_weigh_operand(const PoiseArguments *arguments, PoiseWeighOptions *options,
                                PoiseInstrument **instrument, PoiseWeighing **weighing,
                                PoiseFaults *faults);

/* A progress line on standard error: only on a terminal, only after a second. */
typedef struct PoiseProgress {
    bool terminal, shown;
    double started;
} PoiseProgress;
void poise_progress_begin(PoiseProgress *progress);
void poise_progress_show(const char *what, double fraction, void *progress);
void poise_progress_end(PoiseProgress *progress);

#endif
