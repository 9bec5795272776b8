#include "commands/command.h"
#include "input/schema.h"

static const PoiseOption OPTIONS[] = {{0}};

static int run(const PoiseArguments *a)
{
    (void)a;
    return poise_put_result(poise_schema_text());
}

const PoiseCommand POISE_COMMAND_SCHEMA = {
    .name = "schema",
    .operands = "",
    .summary = "the JSON Schema (2020-12) of the instrument file",
    .details = "For text editors that check and complete JSON as you type.",
    .least = 0,
    .most = 0,
    .options = OPTIONS,
    .run = run,
};
