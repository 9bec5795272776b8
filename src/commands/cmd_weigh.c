#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "commands/command.h"
#include "commands/watch.h"
#include "poise/poise.h"

/* Eight digits are seeds enough. */
enum { MOST_SEED = 99999999 };

static const PoiseOption OPTIONS[] = {
    {"variant", 'v', "NAME", false, "weigh this variant of the file"},
    {"json", 0, NULL, false, "results as JSON"},
    {"csv", 0, NULL, false, "results as a CSV table"},
    {"markdown", 0, NULL, false, "results as Markdown"},
    {"strict", 0, NULL, false, "exit with 1 unless every target of the file is met"},
    {"trials", 0, "N", false, "draw N random instruments, or \"auto\" (see above)"},
    {"seed", 0, "N", false, "same seed, same draws; default 1"},
    {"threads", 0, "N", false, "threads to use; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice every mesh anew"},
    {"watch", 'w', NULL, false, "weigh again at every save and show what it changed"},
    {0},
};

static char *format_result(const PoiseArguments *a, const PoiseWeighing *w)
{
    if (poise_has_option(a, "json"))
        return poise_weighing_json(w);
    if (poise_has_option(a, "csv"))
        return poise_weighing_csv(w);
    if (poise_has_option(a, "markdown"))
        return poise_weighing_markdown(w);
    return poise_weighing_text(w);
}

/* Reads the options into `options`; false after a message. */
static bool read_options(const PoiseArguments *a, PoiseWeighOptions *options)
{
    int threads = 0, trials = 0, seed = 1;
    const char *text = poise_option_value(a, "trials");
    options->adaptive_trials = text && strcmp(text, "auto") == 0;
    bool none = text && strcmp(text, "0") == 0;
    if (!options->adaptive_trials && !none &&
        !poise_option_range(a, "trials", "a whole number from ", (int)POISE_FEWEST_TRIALS,
                            (int)POISE_MOST_TRIALS, ", or \"auto\"", &trials))
        return false;
    if (!poise_option_count(a, "seed", MOST_SEED, &seed) ||
        !poise_option_count(a, "threads", 1024, &threads))
        return false;
    options->threads = threads;
    options->trials = (size_t)trials;
    options->seed = (uint64_t)seed;
    options->no_cache = poise_has_option(a, "no-cache");
    return true;
}

static int run(const PoiseArguments *a)
{
    PoiseWeighOptions options = {0};
    int formats =
        poise_has_option(a, "json") + poise_has_option(a, "csv") + poise_has_option(a, "markdown");
    if (formats > 1)
        return poise_usage_error(a->command, "--json, --csv and --markdown exclude each other");
    bool watch = poise_has_option(a, "watch");
    if (watch && (formats || poise_has_option(a, "strict")))
        return poise_usage_error(a->command,
                                 "--watch goes with none of --json, --csv, --markdown, --strict");
    if (watch && strcmp(a->operands[0], "-") == 0)
        return poise_usage_error(a->command, "--watch needs a file, not standard input");
    if (!read_options(a, &options))
        return poise_status_exit_code(POISE_E_USAGE);
    if (watch)
        return poise_watch(a, &options);
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *weighing = NULL;
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    PoiseStatus status = poise_weigh_operand(a, &options, &instrument, &weighing, faults);
    int code =
        status ? poise_report_faults(faults, status) : poise_put_result(format_result(a, weighing));
    if (code == 0 && poise_has_option(a, "strict") && !weighing->targets_met) {
        bool missed = false;
        for (size_t i = 0; i < weighing->target_count; i++)
            missed = missed || (weighing->targets[i].known && !weighing->targets[i].met);
        fprintf(stderr, "poise: a target of the file is not %s\n",
                missed ? "met" : "known to be met");
        code = 1;
    }
    poise_weighing_free(weighing);
    poise_instrument_free(instrument);
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_WEIGH = {
    .name = "weigh",
    .operands = "FILE",
    .summary = "weight, centre of mass, balance on the strap and on the leg",
    .details = "FILE is an instrument file (see \"poise new\"), or - for standard input.\n"
               "\n"
               "Every ± is one standard uncertainty, carried to first order; a hand load that\n"
               "is 0 or may be has no ±, only an interval. --trials draws instruments at random\n"
               "within them (normal distributions; friction and the arm's weight cut off below\n"
               "0) and gives 95 % intervals and chances where the balance is not linear;\n"
               "\"auto\" draws until two digits of each ± stand.\n"
               "\n"
               "--watch keeps one screen: it weighs anew whenever FILE, or a mesh, toolpath or\n"
               "profile it names, is saved. Ctrl-C ends it.\n"
               "\n"
               "Without a strap, the targets of hand load and margin are judged on the leg.\n"
               "\n"
               "Exit codes: 0 done; 1 a target is not met, or not known to be for want of a\n"
               "strap and seat, or of a hand (with --strict); 2 usage; 3 bad instrument file;\n"
               "4 bad mesh; 5 cannot read or write; 70 internal.",
    .least = 1,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
