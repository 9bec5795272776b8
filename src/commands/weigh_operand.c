/* The beginning of every command that weighs one instrument. */
#include "commands/command.h"

PoiseStatus poise_weigh_operand(const PoiseArguments *a, PoiseWeighOptions *options,
                                PoiseInstrument **instrument, PoiseWeighing **weighing,
                                PoiseFaults *faults)
{
    PoiseStatus status = poise_instrument_read(a->operands[0], poise_option_value(a, "variant"),
                                               NULL, instrument, faults);
    if (status)
        return status;
    PoiseProgress progress;
    poise_progress_begin(&progress);
    options->progress = poise_progress_show;
    options->context = &progress;
    status = poise_weigh(*instrument, options, weighing, faults);
    poise_progress_end(&progress);
    options->progress = NULL; /* its context ends here */
    options->context = NULL;
    return status;
}
