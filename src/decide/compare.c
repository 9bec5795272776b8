#include "decide/compare.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"

static double mass(const PoiseWeighing *w)
{
    return w->total.mass_g;
}
static double mass_u(const PoiseWeighing *w)
{
    return w->mass_u_g;
}
/* Level at the playing angle, with a strap or without one: a row compares like with like. */
static double station(const PoiseWeighing *w)
{
    return w->has_strap ? w->hanging.station_mm
                        : poise_horizontal_mm(w->centre, w->neck_angle_deg) - w->tail_h_mm;
}
static double from_saddle(const PoiseWeighing *w)
{
    return w->from_saddle_mm;
}
static double margin(const PoiseWeighing *w)
{
    return w->hanging.margin_mm;
}
static double hand_load(const PoiseWeighing *w)
{
    return w->hanging.hand_load_g;
}
static double seat_hand_load(const PoiseWeighing *w)
{
    return w->has_seat ? w->resting.hand_load_g : (double)NAN;
}
static double filament(const PoiseWeighing *w)
{
    return w->filament_g > 0.0 ? w->filament_g : (double)NAN;
}
static double hours(const PoiseWeighing *w)
{
    return w->filament_g > 0.0 ? w->filament_h : (double)NAN;
}
static double price(const PoiseWeighing *w)
{
    return w->price;
}

const PoiseMeasure POISE_MEASURES[] = {
    {"mass_g", "Mass, g", 0, mass},
    {"mass_u_g", "  its ±, g", 0, mass_u},
    {"station_mm", "Centre from tail post, mm", 0, station},
    {"from_saddle_mm", "Centre from saddle, mm", 0, from_saddle},
    {"margin_mm", "Margin on strap, mm", 0, margin},
    {"hand_load_g", "Hand load on strap, g", 0, hand_load},
    {"seat_hand_load_g", "Hand load on leg, g", 0, seat_hand_load},
    {"filament_g", "Filament, g", 0, filament},
    {"hours", "Printing, h", 1, hours},
    {"price", "Price", 0, price},
};
const size_t POISE_MEASURE_COUNT = sizeof POISE_MEASURES / sizeof *POISE_MEASURES;

static const char *strap_word(const PoiseWeighing *w)
{
    return w->hanging.has_verdict ? poise_verdict_name(w->hanging.verdict) : NULL;
}
static const char *seat_word(const PoiseWeighing *w)
{
    return w->has_seat ? poise_verdict_name(w->resting.verdict) : NULL;
}
static const char *target_word(const PoiseWeighing *w)
{
    if (w->target_count == 0)
        return NULL;
    if (w->targets_met)
        return "met";
    for (size_t i = 0; i < w->target_count; i++)
        if (w->targets[i].known && !w->targets[i].met)
            return "not met";
    return "not known";
}

const PoiseWordMeasure POISE_WORD_MEASURES[] = {
    {"verdict", "On the strap", strap_word},
    {"seat_verdict", "On the leg", seat_word},
    {"targets", "Targets", target_word},
};
const size_t POISE_WORD_MEASURE_COUNT = sizeof POISE_WORD_MEASURES / sizeof *POISE_WORD_MEASURES;

static PoiseStatus add_one(PoiseComparison *c, const char *variant, const char *dir,
                           const PoiseWeighOptions *options, PoiseFaults *faults)
{
    PoiseInstrument *in = NULL;
    PoiseStatus status =
        poise_instrument_from_document(c->document, NULL, variant, dir, &c->shelf, &in, faults);
    if (!status && variant)
        status = poise_variant_refuse_idle(c->document, variant, faults);
    PoiseWeighing *w = NULL;
    if (!status)
        status = poise_weigh(in, options, &w, faults);
    if (status) {
        poise_instrument_free(in);
        return status;
    }
    c->instruments[c->count] = in;
    c->weighings[c->count++] = w;
    return POISE_OK;
}

/* The file, then each variant; every one is tried, so that one pass shows all faults. */
static PoiseStatus add_all(PoiseComparison *c, const char *const *variants, size_t n,
                           const char *dir, const PoiseWeighOptions *options, PoiseFaults *faults)
{
    c->instruments = poise_alloc_zero(1, sizeof *c->instruments);
    c->weighings = poise_alloc_zero(1, sizeof *c->weighings);
    if (!c->instruments || !c->weighings)
        return poise_fault_memory(faults);
    PoiseStatus first = add_one(c, NULL, dir, options, faults);
    if (first)
        return first;
    const PoiseInstrument *base = c->instruments[0];
    size_t count = n ? n : base->variant_count;
    PoiseInstrument **instruments = poise_resize(c->instruments, count + 1, sizeof *instruments);
    c->instruments = instruments ? instruments : c->instruments;
    PoiseWeighing **weighings = poise_resize(c->weighings, count + 1, sizeof *weighings);
    c->weighings = weighings ? weighings : c->weighings;
    if (!instruments || !weighings)
        return poise_fault_memory(faults);
    for (size_t i = 0; i < count; i++) {
        PoiseStatus status = add_one(c, n ? variants[i] : base->variants[i], dir, options, faults);
        first = first ? first : status;
    }
    return first;
}

PoiseStatus poise_compare(const char *path, const char *const *variants, size_t n,
                          const char *components, const PoiseWeighOptions *options,
                          PoiseComparison **comparison, PoiseFaults *faults)
{
    *comparison = NULL;
    PoiseComparison *c = poise_alloc_zero(1, sizeof *c);
    char *dir = poise_path_dir(path);
    PoiseStatus status = c && dir ? POISE_OK : poise_fault_memory(faults);
    if (!status)
        status = poise_shelf_read(components, &c->shelf, faults);
    if (!status)
        status = poise_document_read(path, &c->document, faults);
    if (c && !status)
        status = add_all(c, variants, n, dir, options, faults);
    poise_release(dir);
    if (status) {
        poise_comparison_free(c);
        return status;
    }
    *comparison = c;
    return POISE_OK;
}

void poise_comparison_free(PoiseComparison *c)
{
    if (!c)
        return;
    for (size_t i = 0; i < c->count; i++) {
        poise_weighing_free(c->weighings[i]);
        poise_instrument_free(c->instruments[i]);
    }
    poise_release(c->weighings);
    poise_release(c->instruments);
    poise_shelf_clear(&c->shelf);
    poise_document_free(c->document);
    poise_release(c);
}
