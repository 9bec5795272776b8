#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/text.h"
#include "commands/command.h"
#include "input/profile.h"
#include "output/tally_report.h"
#include "poise/poise.h"
#include "scale/home_methods.h"

static const PoiseOption OPTIONS[] = {
    {"variant", 'v', "NAME", false, "tally this variant of the file"},
    {"learn", 0, "OUT", false, "write what the scale taught as a profile (JSON)"},
    {"how-to", 0, NULL, false, "how to weigh and balance the real one at home"},
    {"json", 0, NULL, false, "results as JSON"},
    {"csv", 0, NULL, false, "results as a CSV table"},
    {"markdown", 0, NULL, false, "results as Markdown"},
    {"threads", 0, "N", false, "threads for slicing; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice every mesh anew"},
    {0},
};

static char *format_result(const PoiseArguments *a, const PoiseTally *t)
{
    if (poise_has_option(a, "json"))
        return poise_tally_json(t);
    if (poise_has_option(a, "csv"))
        return poise_tally_csv(t);
    if (poise_has_option(a, "markdown"))
        return poise_tally_markdown(t);
    return poise_tally_text(t);
}

static int print_how_to(void)
{
    PoiseText t = {0};
    for (int method = 0; method < POISE_HOME_METHODS; method++) {
        poise_text_append(&t, method ? "\n" : "");
        poise_text_append(&t, poise_home_method_text((PoiseHomeMethod)method));
    }
    poise_text_append(
        &t, "\nPut the readings under \"observed\" in the instrument file:\n\n"
            "  \"observed\": {\n"
            "    \"mass\": \"3.66 kg ± 2 g\",\n"
            "    \"scales\": [ { \"at\": \"-60 mm ± 1 mm\", \"load\": \"2.05 kg ± 1 g\" },\n"
            "                { \"at\": \"700 mm ± 1 mm\", \"load\": \"1.61 kg ± 1 g\" } ],\n"
            "    \"hanging\": { \"tail\": { \"mark\": [310, -5] },\n"
            "                 \"horn\": { \"neck_angle\": \"42 deg ± 1 deg\" } },\n"
            "    \"edge\": { \"tips_tail\": 277, \"tips_head\": 272 },\n"
            "    \"slip\": \"28 deg ± 2 deg\"\n"
            "  }\n");
    return poise_put_result(poise_text_take(&t));
}

static void say_doubtful(const char *path)
{
    PoiseText name = {0};
    poise_text_append_inert(&name, path);
    fprintf(stderr,
            "warning: %s: written, but the readings do not fit the file's estimates: do not rely "
            "on this profile before the cause is found\n",
            name.data && !name.failed ? name.data : "the profile");
    poise_text_clear(&name);
}

/* The profile first: a command that fails shows no result. */
static PoiseStatus learn(const PoiseArguments *a, const PoiseTally *t, PoiseFaults *faults)
{
    const char *path = poise_option_value(a, "learn");
    if (!path)
        return POISE_OK;
    if (poise_tally_profile_count(t) == 0)
        return poise_fault_say(faults, POISE_E_INPUT, t->weighing->file,
                               "nothing to learn: no weighed item is printed, or of a material "
                               "other than wood whose density is doubtful (\"measured\")");
    PoiseStatus status = poise_tally_check_profile(t, faults);
    if (status)
        return status;
    char *text = poise_tally_profile(t);
    if (!text)
        return poise_fault_memory(faults);
    status = poise_file_write(path, text, strlen(text), faults);
    poise_string_free(text);
    if (!status && poise_tally_is_doubtful(t))
        say_doubtful(path);
    return status;
}

static int tally(const PoiseArguments *a, PoiseWeighOptions *options, PoiseFaults *faults)
{
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *weighing = NULL;
    PoiseTally *t = NULL;
    const char *learn_to = poise_option_value(a, "learn");
    /* Before the work, not after it. */
    PoiseStatus status = learn_to ? poise_profile_may_replace(learn_to, faults) : POISE_OK;
    if (!status)
        status = poise_weigh_operand(a, options, &instrument, &weighing, faults);
    if (!status)
        status = poise_tally(instrument, weighing, &t, faults);
    if (!status)
        status = learn(a, t, faults);
    int code = status ? poise_report_faults(faults, status) : poise_put_result(format_result(a, t));
    poise_tally_free(t);
    poise_weighing_free(weighing);
    poise_instrument_free(instrument);
    return code;
}

static int run(const PoiseArguments *a)
{
    int threads = 0;
    if (poise_has_option(a, "how-to"))
        return print_how_to();
    if (a->operand_count == 0)
        return poise_usage_error(a->command, "FILE is missing");
    if (poise_has_option(a, "json") + poise_has_option(a, "csv") + poise_has_option(a, "markdown") >
        1)
        return poise_usage_error(a->command, "--json, --csv and --markdown exclude each other");
    if (poise_option_value(a, "learn") && strcmp(poise_option_value(a, "learn"), "-") == 0)
        return poise_usage_error(a->command, "--learn writes a file; the results go to standard "
                                             "output");
    if (!poise_option_count(a, "threads", 1024, &threads))
        return poise_status_exit_code(POISE_E_USAGE);
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    PoiseWeighOptions options = {.threads = threads, .no_cache = poise_has_option(a, "no-cache")};
    int code = tally(a, &options, faults);
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_TALLY = {
    .name = "tally",
    .operands = "FILE",
    .summary = "predicted against weighed, and what the scale teaches",
    .details = "FILE is an instrument file with readings under \"measured\" (items) or\n"
               "\"observed\" (the finished instrument). The readings tell the printer's flow and\n"
               "the plastic's density, correct the estimates of what is not printed yet, and\n"
               "show what does not fit. \"poise weigh\" keeps to the file; a profile written by\n"
               "--learn is for other instruments, which include it with \"profile\". A file that\n"
               "is there is replaced only when it is a profile.\n"
               "Exit codes: 0 done; 2 usage; 3 bad instrument file; 4 bad mesh or toolpath;\n"
               "5 cannot read or write; 70 internal.",
    .least = 0,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
