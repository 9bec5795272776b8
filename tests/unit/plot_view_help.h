/* Views of instruments given as text. */
#ifndef POISE_TEST_PLOT_VIEW_HELP_H
#define POISE_TEST_PLOT_VIEW_HELP_H

#include "plot_help.h"

#include "plot/plot.h"
#include "poise/poise.h"

static PoiseInstrument *in;
static PoiseWeighing *w;

static inline void unload(void)
{
    poise_weighing_free(w);
    poise_instrument_free(in);
    w = NULL;
    in = NULL;
}

/* Reads and weighs an instrument with these members (each followed by a comma) and items. */
static inline void load(const char *members, const char *items)
{
    unload();
    char *text = poise_format("{\"poise\":1,\"name\":\"Reed\",%s\"materials\":{\"board\":"
                              "{\"density\":0.6}},\"items\":{%s}}",
                              members, items);
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status =
        poise_instrument_parse(text, strlen(text), "reed.json", fakes, NULL,
                               POISE_TEST_SOURCE_DIR "/tests/data/components", &in, faults);
    if (!status)
        status = poise_weigh(in, &(PoiseWeighOptions){.threads = 1, .no_cache = true}, &w, faults);
    if (status)
        fail_msg("%s: %s", text, last_fault(faults));
    poise_faults_free(faults);
    poise_release(text);
}

/* The table of a view that can be drawn, by the options but for the file's name; free it. */
static inline char *draw_by(PoisePlotView view, PoisePlotOptions options)
{
    char *out = in_fakes("p.svg");
    options.out = out;
    options.data = true;
    PoisePlotDone done;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_plot(in, w, view, &options, &done, faults);
    if (status)
        fail_msg("%s", last_fault(faults));
    char *table = text_of(done.table);
    poise_plot_done_free(&done);
    poise_faults_free(faults);
    poise_release(out);
    return table;
}

static inline char *draw(PoisePlotView view)
{
    return draw_by(view, (PoisePlotOptions){0});
}

/* Draws a view that cannot be drawn: its status, and that the fault has these words. */
static inline PoiseStatus draw_refused(PoisePlotView view, const char *words)
{
    PoisePlotDone done;
    PoiseFaults *faults = poise_faults_new();
    const PoisePlotOptions options = {.out = "never.svg"};
    PoiseStatus status = poise_plot(in, w, view, &options, &done, faults);
    says(last_fault(faults), words, true);
    poise_faults_free(faults);
    return status;
}

/* A mass of 10 g or more as titles say it. */
static inline const char *mass_words(char out[32], double grams)
{
    if (grams >= 999.5)
        snprintf(out, 32, "%.2f kg", grams / 1000);
    else
        snprintf(out, 32, "%.0f g", grams);
    return out;
}

/* Whether the title and the lines under it have these words around a mass. */
static inline void titled(const char *table, const char *before, double grams, const char *after)
{
    char number[32], *words = poise_format("%s%s%s", before, mass_words(number, grams), after);
    block_says(table, "words", words, true);
    poise_release(words);
}

#endif
