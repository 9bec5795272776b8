#include "base/faults.h"
#include "commands/command.h"
#include "decide/compare.h"

static const PoiseOption OPTIONS[] = {
    {"json", 0, NULL, false, "results as JSON"},
    {"csv", 0, NULL, false, "results as a CSV table"},
    {"markdown", 0, NULL, false, "results as Markdown"},
    {"threads", 0, "N", false, "threads for slicing; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice every mesh anew"},
    {0},
};

static char *format_result(const PoiseArguments *a, const PoiseComparison *c)
{
    if (poise_has_option(a, "json"))
        return poise_comparison_json(c);
    if (poise_has_option(a, "csv"))
        return poise_comparison_csv(c);
    if (poise_has_option(a, "markdown"))
        return poise_comparison_markdown(c);
    return poise_comparison_text(c);
}

static int run(const PoiseArguments *a)
{
    int threads = 0;
    int formats =
        poise_has_option(a, "json") + poise_has_option(a, "csv") + poise_has_option(a, "markdown");
    if (formats > 1)
        return poise_usage_error(a->command, "--json, --csv and --markdown exclude each other");
    if (!poise_option_count(a, "threads", 1024, &threads))
        return poise_status_exit_code(POISE_E_USAGE);
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    PoiseProgress progress;
    poise_progress_begin(&progress);
    PoiseWeighOptions options = {.threads = threads,
                                 .no_cache = poise_has_option(a, "no-cache"),
                                 .progress = poise_progress_show,
                                 .context = &progress};
    PoiseComparison *comparison = NULL;
    PoiseStatus status = poise_compare(a->operands[0], &a->operands[1], a->operand_count - 1, NULL,
                                       &options, &comparison, faults);
    poise_progress_end(&progress);
    int code = status ? poise_report_faults(faults, status)
                      : poise_put_result(format_result(a, comparison));
    poise_comparison_free(comparison);
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_COMPARE = {
    .name = "compare",
    .operands = "FILE [VARIANT...]",
    .summary = "variants side by side, differences against the file as it stands",
    .details = "Weighs FILE as it stands and each VARIANT (all it has when none is named). A\n"
               "variant that changes nothing, or names an item the file does not have, is an\n"
               "error.",
    .least = 1,
    .most = 64,
    .options = OPTIONS,
    .run = run,
};
