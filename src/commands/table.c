/* All commands: the program, its manual and its completion take them from here. */
#include <string.h>

#include "commands/command.h"

/* One to a line, so that adding one changes one line. */
/* clang-format off */
const PoiseCommand *const POISE_COMMANDS[] = {
    &POISE_COMMAND_WEIGH,
    &POISE_COMMAND_SECTION,
    &POISE_COMMAND_COMPARE,
    &POISE_COMMAND_SWEEP,
    &POISE_COMMAND_REMEDY,
    &POISE_COMMAND_PLOT,
    &POISE_COMMAND_REPORT,
    &POISE_COMMAND_TALLY,
    &POISE_COMMAND_PARTS,
    &POISE_COMMAND_NEW,
    &POISE_COMMAND_CHECK,
    &POISE_COMMAND_SCHEMA,
    NULL,
};
/* clang-format on */

const PoiseCommand *poise_find_command(const char *name)
{
    for (size_t i = 0; POISE_COMMANDS[i]; i++)
        if (strcmp(POISE_COMMANDS[i]->name, name) == 0)
            return POISE_COMMANDS[i];
    return NULL;
}
