#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "commands/command.h"
#include "decide/sweep_report.h"

/* Rows shown on a terminal unless --limit says otherwise. */
enum { FRONT_ROWS = 20, ALL_ROWS = 40, MOST_LIMIT = 1000000000 };
/* Bytes gathered before they are written. */
static const size_t PIECE = 1 << 16;

static const PoiseOption OPTIONS[] = {
    {"vary", 0, "POINTER=VALUES", true, "LO:HI:STEP or a,b,c; give it once for each value"},
    {"variant", 'v', "NAME", false, "start from this variant of the file"},
    {"front", 0, NULL, false, "only the trade-off front, not all combinations"},
    {"limit", 0, "N", false, "at most N rows of each table"},
    {"json", 0, NULL, false, "results as JSON"},
    {"csv", 0, NULL, false, "results as a CSV table"},
    {"threads", 0, "N", false, "threads; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice every mesh anew"},
    {0},
};

typedef enum Format { TEXT, CSV, JSON } Format;

/* Where rows go while they stream by. */
typedef struct Output {
    const PoiseSweep *sweep;
    Format format;
    bool front_only;
    size_t limit, written; /* rows */
    PoiseText text;
    PoiseSweepRow *kept; /* for the terminal, shown after the front */
} Output;

static PoiseStatus flush(Output *o)
{
    if (o->text.failed)
        return POISE_E_MEMORY;
    size_t done = o->text.length ? fwrite(o->text.data, 1, o->text.length, stdout) : 0;
    PoiseStatus status = done == o->text.length ? POISE_OK : POISE_E_IO;
    poise_text_clear(&o->text);
    return status;
}

static PoiseStatus put_row(Output *o, const PoiseSweepRow *row)
{
    if (o->format == TEXT) {
        o->kept[o->written++] = *row;
        return POISE_OK;
    }
    if (o->format == CSV)
        poise_sweep_csv_row(&o->text, o->sweep, row);
    else
        poise_sweep_json_row(&o->text, o->sweep, row, o->written == 0);
    o->written++;
    return o->text.length > PIECE || o->text.failed ? flush(o) : POISE_OK;
}

static PoiseStatus take_rows(const PoiseSweepRow *rows, size_t n, void *context)
{
    Output *o = context;
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < n && o->written < o->limit && !status; i++)
        status = put_row(o, &rows[i]);
    return status;
}

static PoiseStatus put_front(Output *o, const PoiseSweepFindings *found)
{
    PoiseStatus status = POISE_OK;
    size_t shown = found->front_count < o->limit ? found->front_count : o->limit;
    for (size_t i = 0; i < shown && !status; i++)
        status = put_row(o, &found->front[poise_sweep_spread(i, shown, found->front_count)]);
    return status;
}

static PoiseStatus run_sweep(Output *o, size_t front_rows, PoiseFaults *faults)
{
    PoiseSweepFindings found = {0};
    if (o->format == CSV)
        poise_sweep_csv_head(&o->text, o->sweep);
    else if (o->format == JSON)
        poise_sweep_json_head(&o->text, o->sweep);
    PoiseStatus status =
        poise_sweep_run(o->sweep, o->front_only ? NULL : take_rows, o, &found, faults);
    if (!status && o->format == CSV && o->front_only)
        status = put_front(o, &found);
    if (!status && o->format == JSON)
        poise_sweep_json_tail(&o->text, o->sweep, &found);
    if (!status && o->format == TEXT)
        poise_sweep_text(&o->text, o->sweep, &found, front_rows, o->kept, o->written);
    if (!status)
        status = flush(o);
    if (status == POISE_E_IO)
        poise_fault_say(faults, status, "standard output", "cannot write");
    poise_sweep_findings_free(&found);
    poise_text_clear(&o->text);
    return status;
}

static PoiseStatus sweep_file(const PoiseArguments *a, const PoiseSweepOptions *options, int limit,
                              PoiseFaults *faults)
{
    const char *vary[POISE_MOST_ARGUMENTS];
    size_t n = 0;
    for (size_t i = 0; i < a->given_count; i++)
        if (strcmp(a->given[i].option->name, "vary") == 0)
            vary[n++] = a->given[i].value;
    PoiseSweep *sweep = NULL;
    PoiseStatus status = poise_sweep_open(a->operands[0], vary, n, options, &sweep, faults);
    if (status)
        return status;
    Output o = {.sweep = sweep,
                .format = poise_has_option(a, "csv")    ? CSV
                          : poise_has_option(a, "json") ? JSON
                                                        : TEXT,
                .front_only = poise_has_option(a, "front"),
                .limit = limit >= 0 ? (size_t)limit : SIZE_MAX};
    size_t most = limit >= 0 ? (size_t)limit : ALL_ROWS;
    if (o.format == TEXT) {
        o.limit = most < poise_sweep_count(sweep) ? most : (size_t)poise_sweep_count(sweep);
        o.kept = poise_alloc_zero(o.limit, sizeof *o.kept);
    }
    status = o.format == TEXT && !o.kept
                 ? poise_fault_memory(faults)
                 : run_sweep(&o, limit >= 0 ? (size_t)limit : FRONT_ROWS, faults);
    poise_release(o.kept);
    poise_sweep_free(sweep);
    return status;
}

static int run(const PoiseArguments *a)
{
    int limit = -1, threads = 0;
    if (!poise_has_option(a, "vary"))
        return poise_usage_error(a->command, "needs at least one --vary POINTER=VALUES");
    if (poise_has_option(a, "json") && poise_has_option(a, "csv"))
        return poise_usage_error(a->command, "--json and --csv exclude each other");
    if (!poise_option_count(a, "limit", MOST_LIMIT, &limit) ||
        !poise_option_count(a, "threads", 1024, &threads))
        return poise_status_exit_code(POISE_E_USAGE);
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    PoiseProgress progress;
    poise_progress_begin(&progress);
    const PoiseSweepOptions options = {.variant = poise_option_value(a, "variant"),
                                       .threads = threads,
                                       .no_cache = poise_has_option(a, "no-cache"),
                                       .progress = poise_progress_show,
                                       .context = &progress};
    PoiseStatus status = sweep_file(a, &options, limit, faults);
    poise_progress_end(&progress);
    int code = status ? poise_report_faults(faults, status) : 0;
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_SWEEP = {
    .name = "sweep",
    .operands = "FILE",
    .summary = "a grid over any values in the file, with the trade-off front",
    .details = "Every combination of the values given by --vary, and the front: those of which\n"
               "none other is better in one of mass, hand load and filament without being\n"
               "worse in another. POINTER is a JSON Pointer into FILE (RFC 6901); VALUES is a\n"
               "range or a list, with units if you like:\n"
               "  --vary \"/items/body/print/infill=10 %:40 %:5 %\"\n"
               "  --vary /items/body/print/perimeters=3,4,5\n"
               "  --vary /items/tuners/part=tuners-6-inline-diecast,tuners-6-inline-locking\n"
               "  --vary \"/items/lead/at=[40,-60,-20],[0,-60,-20]\"\n"
               "Infill, perimeters, parts, masses and places are evaluated without slicing\n"
               "again; layer height and the like slice once for each value.",
    .least = 1,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
