#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "commands/command.h"
#include "model/instrument.h"
#include "poise/poise.h"

static const PoiseOption OPTIONS[] = {
    {"variant", 'v', "NAME", false, "check this variant only"},
    {0},
};

/* Reads and weighs one variant (NULL: the file as it stands), so that meshes and the statics are
 * checked too. */
static PoiseStatus check_one(const char *path, const char *variant, PoiseInstrument **instrument,
                             PoiseFaults *faults)
{
    PoiseWeighing *weighing = NULL;
    PoiseStatus status = poise_instrument_read(path, variant, NULL, instrument, faults);
    if (!status)
        status = poise_weigh(*instrument, NULL, &weighing, faults);
    poise_weighing_free(weighing);
    return status;
}

/* The file as it stands, then each of its variants. Standard input can be read only once. */
static PoiseStatus check_all(const char *path, PoiseFaults *faults)
{
    PoiseInstrument *base = NULL;
    PoiseStatus status = check_one(path, NULL, &base, faults);
    for (size_t i = 0; !status && i < base->variant_count && strcmp(path, "-") != 0; i++) {
        PoiseInstrument *changed = NULL;
        status = check_one(path, base->variants[i], &changed, faults);
        poise_instrument_free(changed);
    }
    poise_instrument_free(base);
    return status;
}

static int run(const PoiseArguments *a)
{
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    const char *variant = poise_option_value(a, "variant");
    PoiseInstrument *one = NULL;
    PoiseStatus status = variant ? check_one(a->operands[0], variant, &one, faults)
                                 : check_all(a->operands[0], faults);
    poise_instrument_free(one);
    int code = 0;
    if (status) {
        size_t n = poise_faults_total(faults);
        code = poise_report_faults(faults, status);
        fprintf(stderr, "%zu %s\n", n, n == 1 ? "fault" : "faults");
    } else {
        PoiseText text = {0};
        poise_text_append_inert(&text, a->operands[0]);
        poise_text_append(&text, ": no faults\n");
        code = poise_put_result(poise_text_take(&text));
    }
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_CHECK = {
    .name = "check",
    .operands = "FILE",
    .summary = "say all that is wrong with a file, nothing else",
    .details = "Reads the file and everything it names (parts, materials, meshes) and reports\n"
               "every fault with its place; then the same for each variant. Prints one line and "
               "exits with 0 when there is none.",
    .least = 1,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
