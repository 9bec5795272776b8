/* The finished instrument as observed, against the result of weighing the file. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "bodies/ledger.h"
#include "model/place.h"
#include "scale/home_methods.h"
#include "tally/tally_parts.h"
#include "weigh/frame.h"

_Static_assert(POISE_MOST_OBSERVED_SUPPORTS <= POISE_MOST_SUPPORTS, "every scale is used");

/* Where the estimate puts the centre, in the plane of the face. */
typedef struct Predicted {
    PoiseQuantity x_mm, y_mm; /* along and across the strings */
    PoiseQuantity from_saddle_mm;
} Predicted;

static PoiseStatus predict(const PoiseTally *t, const PoiseAxes *axes, Predicted *out)
{
    const PoiseInstrument *in = t->instrument;
    PoiseLedgerEntry *entries = poise_alloc_zero(in->item_count, sizeof *entries);
    if (!entries)
        return POISE_E_MEMORY;
    for (size_t i = 0; i < in->item_count; i++)
        entries[i] = (PoiseLedgerEntry){.body = t->weighing->items[i].detail,
                                        .material = poise_item_material(&in->items[i]),
                                        .printed = in->items[i].kind == POISE_ITEM_PRINTED};
    PoiseLedger ledger;
    PoiseStatus status = poise_ledger(entries, in->item_count, &ledger);
    poise_release(entries);
    if (status)
        return status;
    PoisePoint centre = t->weighing->centre;
    *out = (Predicted){{centre.x_mm, poise_ledger_station_u(&ledger, axes->x)},
                       {centre.y_mm, poise_ledger_station_u(&ledger, axes->y)},
                       {t->weighing->from_saddle_mm, 0.0}};
    out->from_saddle_mm.u = out->x_mm.u;
    return POISE_OK;
}

static void compare(PoiseTally *t, const char *what, const char *method, const char *unit,
                    PoiseQuantity predicted, PoiseQuantity observed)
{
    if (t->reading_count == POISE_TALLY_MOST_READINGS)
        return;
    double u = hypot(predicted.u, observed.u);
    double z = u > 0.0 ? (observed.value - predicted.value) / u : (double)NAN;
    t->readings[t->reading_count++] = (PoiseTallyReading){.what = what,
                                                          .method = method,
                                                          .unit = unit,
                                                          .predicted = predicted.value,
                                                          .predicted_u = predicted.u,
                                                          .observed = observed.value,
                                                          .observed_u = observed.u,
                                                          .z = z,
                                                          .odd = fabs(z) > POISE_TALLY_ODD_Z};
}

static void compare_mass(PoiseTally *t, const char *method, PoiseQuantity observed)
{
    compare(t, "mass", method, "g", t->now, observed);
    /* Only where the readings corrected something. */
    if (fabs(t->learned.value - t->now.value) > t->now.u * 1e-3)
        compare(t, "mass, estimates corrected", method, "g", t->learned, observed);
}

/* The methods name their own readings; here they stand under the file's keys. */
static PoiseStatus pass_on(const PoiseTally *t, const char *key, const PoiseFaults *from,
                           PoiseFaults *to)
{
    PoiseStatus status = POISE_E_INPUT;
    bool of_hung = strcmp(key, "slip") == 0 && t->instrument->observed.has_hanging;
    for (size_t i = 0; i < poise_faults_count(from); i++) {
        PoiseFault fault = *poise_faults_get(from, i);
        if (fault.status == POISE_E_MEMORY) {
            status = poise_fault_memory(to);
            continue;
        }
        size_t number = 0;
        char *pointer;
        if (fault.pointer && strncmp(fault.pointer, "/supports/", 10) == 0 &&
            fault.pointer[10] >= '0' && fault.pointer[10] <= '3') {
            number = (size_t)(fault.pointer[10] - '0');
            pointer = poise_format("/observed/%s/%zu", key, number);
        } else {
            pointer = poise_format("/observed/%s", key);
        }
        fault.status = POISE_E_INPUT;
        fault.pointer = pointer;
        fault.hint = of_hung
                         ? "the balance point is the one that \"hanging\" gave; mend one of the "
                           "two, or take it out to see the rest"
                         : "mend it, or take it out to see the rest";
        if (pointer)
            poise_instrument_fault(t->instrument, &fault, to);
        else
            status = poise_fault_memory(to);
        poise_release(pointer);
    }
    return status;
}

static PoiseStatus on_scales(PoiseTally *t, const Predicted *p, PoiseFaults *own)
{
    const PoiseObserved *o = &t->instrument->observed;
    PoiseSupport supports[POISE_MOST_OBSERVED_SUPPORTS];
    for (size_t i = 0; i < o->support_count; i++)
        supports[i] = (PoiseSupport){o->supports[i].station_mm, o->supports[i].load_g};
    PoiseScaleResult result;
    PoiseStatus status = poise_weigh_on_scales(supports, o->support_count, &result, own);
    if (status)
        return status;
    compare_mass(t, "scales under it", result.mass_g);
    compare(t, "centre, from the saddle", "scales under it", "mm", p->from_saddle_mm,
            result.station_mm);
    return POISE_OK;
}

static PoiseHangReading hung(const PoiseAxes *axes, const double post_mm[3], bool by_mark,
                             const double mark_mm[3], PoiseQuantity angle_deg, double place_u_mm)
{
    return (PoiseHangReading){.post = poise_axes_point(axes, post_mm),
                              .by_mark = by_mark,
                              .mark = poise_axes_point(axes, mark_mm),
                              .angle_deg = angle_deg,
                              .place_u_mm = place_u_mm};
}

static PoiseStatus hanging(PoiseTally *t, const PoiseAxes *axes, const Predicted *p,
                           PoiseHangResult *result, PoiseFaults *own)
{
    const PoiseInstrument *in = t->instrument;
    const PoiseObserved *o = &in->observed;
    const PoiseHangReading readings[2] = {
        hung(axes, in->tail_mm, o->tail_by_mark, o->tail_mark_mm, o->tail_angle_deg, o->mark_u_mm),
        hung(axes, in->horn_mm, o->horn_by_mark, o->horn_mark_mm, o->horn_angle_deg, o->mark_u_mm)};
    PoiseStatus status = poise_hang_crossing(readings, result, own);
    if (status)
        return status;
    PoiseQuantity x = {result->centre.x_mm, result->x_u_mm};
    PoiseQuantity y = {result->centre.y_mm, result->y_u_mm};
    PoiseQuantity predicted = p->x_mm;
    if (!isnan(p->from_saddle_mm.value)) {
        x.value += p->from_saddle_mm.value - p->x_mm.value;
        predicted = p->from_saddle_mm;
    }
    compare(
        t, isnan(p->from_saddle_mm.value) ? "centre, along the strings" : "centre, from the saddle",
        "hanging from each post", "mm", predicted, x);
    compare(t, "centre, across the strings", "hanging from each post", "mm", p->y_mm, y);
    return POISE_OK;
}

static PoiseStatus on_edge(PoiseTally *t, const Predicted *p, PoiseFaults *own)
{
    const PoiseObserved *o = &t->instrument->observed;
    const PoiseEdgeReading reading = {o->tips_tail_mm, o->tips_head_mm, o->edge_u_mm};
    PoiseQuantity station;
    PoiseStatus status = poise_edge_balance(&reading, &station, own);
    if (!status)
        compare(t, "centre, from the saddle", "over a knife edge", "mm", p->from_saddle_mm,
                station);
    return status;
}

/* The centre as observed by its plumb lines, where that was done: the real one slips. */
static PoiseStatus slipping(PoiseTally *t, const Predicted *p, const PoiseHangResult *hung_at,
                            PoiseFaults *own)
{
    const PoiseInstrument *in = t->instrument;
    PoiseSlipReading reading = {.strap = t->weighing->strap,
                                .length_u_mm = in->strap_mm.u,
                                .centre = {p->x_mm.value, p->y_mm.value},
                                .x_u_mm = p->x_mm.u,
                                .y_u_mm = p->y_mm.u,
                                .angle_deg = in->observed.slip_deg};
    if (hung_at) {
        reading.centre = hung_at->centre;
        reading.x_u_mm = hung_at->x_u_mm;
        reading.y_u_mm = hung_at->y_u_mm;
    }
    PoiseSlipResult result;
    PoiseStatus status = poise_slip_friction(&reading, &result, own);
    if (status)
        return status;
    t->has_friction = true;
    t->friction = result.friction;
    t->slips = result.slips;
    double u = hypot(result.friction.u, in->friction.u);
    t->friction_z = u > 0.0 ? (result.friction.value - in->friction.value) / u : (double)NAN;
    return POISE_OK;
}

/* Every method is tried, so that one pass shows all faults. */
static PoiseStatus settle(PoiseTally *t, PoiseStatus before, PoiseStatus now, const char *key,
                          PoiseFaults *own, PoiseFaults *faults)
{
    if (!now)
        return before;
    PoiseStatus status =
        now == POISE_E_MEMORY ? poise_fault_memory(faults) : pass_on(t, key, own, faults);
    return before ? before : status;
}

static PoiseStatus try_method(PoiseTally *t, int method, const PoiseAxes *axes, const Predicted *p,
                              PoiseHangResult *hung_at, PoiseFaults *own)
{
    const PoiseObserved *o = &t->instrument->observed;
    switch (method) {
    case POISE_HOME_SCALES:
        return o->support_count ? on_scales(t, p, own) : POISE_OK;
    case POISE_HOME_HANGING:
        return o->has_hanging ? hanging(t, axes, p, hung_at, own) : POISE_OK;
    case POISE_HOME_EDGE:
        return o->has_edge ? on_edge(t, p, own) : POISE_OK;
    default:
        return o->has_slip && t->weighing->has_strap
                   ? slipping(t, p, o->has_hanging ? hung_at : NULL, own)
                   : POISE_OK;
    }
}

PoiseStatus poise_tally_observed(PoiseTally *t, PoiseFaults *faults)
{
    static const char *const keys[POISE_HOME_METHODS] = {"scales", "hanging", "edge", "slip"};
    const PoiseObserved *o = &t->instrument->observed;
    if (!t->instrument->has_observed)
        return POISE_OK;
    PoiseAxes axes = poise_frame_axes(&t->instrument->frame);
    Predicted predicted;
    PoiseHangResult hung_at = {.x_u_mm = (double)NAN};
    PoiseStatus status = predict(t, &axes, &predicted);
    if (status)
        return poise_fault_memory(faults);
    if (o->has_mass)
        compare_mass(t, "one scale", o->mass_g);
    for (int method = 0; method < POISE_HOME_METHODS && status != POISE_E_MEMORY; method++) {
        PoiseFaults *own = poise_faults_new();
        if (!own)
            return poise_fault_memory(faults);
        if (method == POISE_HOME_SLIP && status) { /* its centre may be missing */
            poise_faults_free(own);
            break;
        }
        PoiseStatus now = try_method(t, method, &axes, &predicted, &hung_at, own);
        status = settle(t, status, now, keys[method], own, faults);
        poise_faults_free(own);
    }
    return status;
}
