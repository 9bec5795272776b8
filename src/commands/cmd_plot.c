#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"
#include "commands/command.h"
#include "commands/plot_sweep.h"
#include "plot/plot.h"
#include "poise/poise.h"

static const PoiseOption OPTIONS[] = {
    {"out", 'o', "OUT", false, "picture: .svg, .png or .pdf; - is SVG to stdout"},
    {"data", 0, NULL, false, "also write its .dat and .gp, for gnuplot to draw it"},
    {"variant", 'v', "NAME", false, "draw this variant of the file"},
    {"vary", 0, "POINTER=VALUES", true, "sweep view: LO:HI:STEP or a list of values"},
    {"friction-range", 0, "LO:HI", false, "window view: shade this range, not the file's ±"},
    {"threads", 0, "N", false, "threads for slicing; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice every mesh anew"},
    {0},
};

static bool find_view(const PoiseArguments *a, PoisePlotView *view)
{
    const char *names[POISE_PLOT_VIEWS], *word = a->operands[1];
    for (int i = 0; i < POISE_PLOT_VIEWS; i++) {
        names[i] = poise_plot_view_name((PoisePlotView)i);
        if (strcmp(names[i], word) == 0) {
            *view = (PoisePlotView)i;
            return true;
        }
    }
    PoiseText inert = {0};
    poise_text_append_inert(&inert, word);
    const char *near = poise_nearest(word, names, POISE_PLOT_VIEWS),
               *shown = inert.data ? inert.data : "";
    if (near)
        poise_usage_error(a->command, "there is no view \"%s\"; did you mean \"%s\"?", shown, near);
    else
        poise_usage_error(
            a->command,
            "there is no view \"%s\": use side, front, window, ballast, budget or sweep", shown);
    poise_text_clear(&inert);
    return false;
}

/* "0.2:0.6" */
static bool find_range(const PoiseArguments *a, PoisePlotOptions *options)
{
    const char *text = poise_option_value(a, "friction-range");
    if (!text)
        return true;
    char *end = NULL, *last = NULL;
    double lo = strtod(text, &end), hi = end && *end == ':' ? strtod(end + 1, &last) : (double)NAN;
    bool whole = end != text && last && last != end + 1 && *last == '\0';
    if (!whole || !isfinite(lo) || !isfinite(hi) || lo < 0.0 || hi < lo) {
        poise_usage_error(
            a->command,
            "--friction-range takes two numbers from 0 up, the low one first, as in 0.2:0.6");
        return false;
    }
    options->has_friction_range = true;
    options->friction_lo = lo;
    options->friction_hi = hi;
    return true;
}

static bool has_screen(void)
{
    const char *x = getenv("DISPLAY"), *wayland = getenv("WAYLAND_DISPLAY");
    return isatty(STDOUT_FILENO) && ((x && *x) || (wayland && *wayland));
}

/* "DIR/NAME-VIEW.svg" beside the instrument file, as a new string: where a picture without a name
 * goes. */
static char *name_beside(const PoiseArguments *a)
{
    const char *file = strcmp(a->operands[0], "-") == 0 ? "poise.json" : a->operands[0];
    const char *variant = poise_option_value(a, "variant");
    char *dir = poise_path_dir(file), *stem = poise_plot_stem(file);
    char *change = variant ? poise_plot_stem(variant) : NULL;
    char *name = NULL, *path = NULL;
    if (stem && (change || !variant))
        name = poise_format("%s%s%s-%s.svg", stem, change ? "-" : "", change ? change : "",
                            a->operands[1]);
    if (dir && name)
        path = poise_path_join(dir, name);
    poise_release(dir);
    poise_release(stem);
    poise_release(change);
    poise_release(name);
    return path;
}

static void say_file(const char *path)
{
    PoiseText text = {0};
    poise_text_append_inert(&text, path);
    fprintf(stderr, "wrote %s\n", text.data ? text.data : "");
    poise_text_clear(&text);
}

static void say_done(const PoisePlotOptions *options, const PoisePlotDone *done, bool unnamed)
{
    if (done->remarks)
        fprintf(stderr, "gnuplot says: %s\n", done->remarks);
    if (options->out && (unnamed || options->data))
        say_file(options->out);
    if (done->script && done->table) {
        say_file(done->table);
        say_file(done->script);
    }
}

/* One view of the file as it stands. */
static PoiseStatus draw_one(const PoiseArguments *a, PoisePlotView view, int threads,
                            const PoisePlotOptions *options, PoisePlotDone *done,
                            PoiseFaults *faults)
{
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *weighing = NULL;
    PoiseWeighOptions weigh = {.threads = threads, .no_cache = poise_has_option(a, "no-cache")};
    PoiseStatus status = poise_weigh_operand(a, &weigh, &instrument, &weighing, faults);
    if (!status)
        status = poise_plot(instrument, weighing, view, options, done, faults);
    poise_weighing_free(weighing);
    poise_instrument_free(instrument);
    return status;
}

static PoiseStatus draw(const PoiseArguments *a, PoisePlotView view, int threads,
                        PoisePlotOptions *options, PoiseFaults *faults)
{
    PoisePlotDone done = {0};
    char *beside = NULL;
    if (!options->out && !(has_screen() && poise_plot_has_window())) {
        beside = name_beside(a);
        options->out = beside;
        if (!beside)
            return poise_fault_memory(faults);
    }
    PoiseStatus status = view == POISE_PLOT_SWEEP
                             ? poise_plot_sweep_file(a, threads, options, &done, faults)
                             : draw_one(a, view, threads, options, &done, faults);
    if (!status)
        say_done(options, &done, beside != NULL);
    poise_release(beside);
    poise_plot_done_free(&done);
    return status;
}

static int run(const PoiseArguments *a)
{
    int threads = 0;
    PoisePlotView view = POISE_PLOT_SIDE;
    PoisePlotOptions options = {.out = poise_option_value(a, "out"),
                                .data = poise_has_option(a, "data")};
    if (!find_view(a, &view) || !find_range(a, &options) ||
        !poise_option_count(a, "threads", 1024, &threads))
        return poise_status_exit_code(POISE_E_USAGE);
    if (view != POISE_PLOT_SWEEP && poise_has_option(a, "vary"))
        return poise_usage_error(a->command, "--vary belongs to the sweep view");
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    /* A wrong ending is said before anything is weighed. */
    PoiseStatus status = options.out ? poise_plot_check_name(options.out, faults) : POISE_OK;
    if (!status)
        status = draw(a, view, threads, &options, faults);
    int code = status ? poise_report_faults(faults, status) : 0;
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_PLOT = {
    .name = "plot",
    .operands = "FILE VIEW",
    .summary = "a picture: hanging, plan, holding window, ballast, budget, sweep",
    .details = "FILE is an instrument file, or - for standard input. VIEW is one of\n"
               "  side     the instrument as it hangs at its neck angle: strap, plumb line\n"
               "           through the centre of mass, the hand's force to scale; without a\n"
               "           strap as it rests on the leg\n"
               "  front    the plan: what each section weighs, the centre of mass\n"
               "  window   where the strap holds at each neck angle, and where it settles\n"
               "  ballast  grams needed at each place to meet the target\n"
               "  budget   what weighs what, as bars\n"
               "  sweep    mass against hand load for all values of --vary POINTER=LO:HI:STEP\n\n"
               "Without -o it opens a window where there is a display, and else writes\n"
               "NAME-VIEW.svg beside FILE and says so. Drawing takes gnuplot 5.4 or later.",
    .least = 2,
    .most = 2,
    .options = OPTIONS,
    .run = run,
};
