#include "poise/weigh.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "model/place.h"
#include "weigh/weigh_parts.h"

/* What the progress callback of one section needs to name its item. */
typedef struct ItemProgress {
    const PoiseWeighOptions *options;
    const char *id;
} ItemProgress;

static void pass_progress(double fraction, void *context)
{
    const ItemProgress *p = context;
    p->options->progress(p->id, fraction, p->options->context);
}

static double item_price(const PoiseItem *item, const PoiseItemBody *b)
{
    double price = (double)NAN;
    if (item->has_price)
        price = item->price * item->count;
    else if (item->kind == POISE_ITEM_PART && item->part->has_price)
        price = item->part->price * item->count;
    if (b->has_print && !isnan(b->print.price))
        price = (isnan(price) ? 0.0 : price) + b->print.price;
    return price;
}

static void fill_item(const PoiseItem *item, const PoiseItemBody *b, PoiseItemResult *r)
{
    double no = (double)NAN;
    bool weighed_neck = item->kind == POISE_ITEM_NECK && item->as.neck.has_measured;
    *r = (PoiseItemResult){.id = item->id,
                           .kind = poise_item_kind_name(item->kind),
                           .body = b->body,
                           .mass_u_g = b->mass_u_g,
                           .predicted_g = b->predicted_g,
                           .predicted_u_g = b->predicted_u_g,
                           .measured = item->has_measured || weighed_neck,
                           .perimeter_mm3 = no,
                           .skin_mm3 = no,
                           .infill_mm3 = no,
                           .solid_mm3 = no,
                           .filament_g = no,
                           .filament_m = no,
                           .filament_h = no,
                           .price = item_price(item, b),
                           .detail = b};
    if (b->has_volumes) {
        r->perimeter_mm3 = b->perimeter_mm3;
        r->skin_mm3 = b->skin_mm3;
        r->infill_mm3 = b->infill_mm3;
        r->solid_mm3 = b->solid_mm3;
    }
    if (b->has_print) {
        r->filament_g = b->print.filament_g;
        r->filament_m = b->print.filament_m;
        r->filament_h = b->print.hours;
    }
}

/* Every item is tried, so that one pass shows all faults. */
static PoiseStatus weigh_items(const PoiseInstrument *in, const PoiseWeighOptions *options,
                               PoiseItemBody *bodies, PoiseWeighing *w, PoiseFaults *faults)
{
    PoiseStatus first = POISE_OK;
    for (size_t i = 0; i < in->item_count; i++) {
        const PoiseItem *item = &in->items[i];
        ItemProgress progress = {options, item->id};
        PoiseSectionOptions section = {.threads = options->threads,
                                       .no_cache = options->no_cache,
                                       .progress = options->progress ? pass_progress : NULL,
                                       .context = &progress};
        PoiseStatus status = poise_item_body(in, item, &section, &bodies[i], faults);
        if (status) {
            if (!first)
                first = status;
            continue;
        }
        fill_item(item, &bodies[i], &w->items[i]);
    }
    return first;
}

static void fill_entries(const PoiseInstrument *in, const PoiseItemBody *bodies,
                         PoiseLedgerEntry *entries)
{
    for (size_t i = 0; i < in->item_count; i++)
        entries[i] = (PoiseLedgerEntry){.body = &bodies[i],
                                        .material = poise_item_material(&in->items[i]),
                                        .printed = in->items[i].kind == POISE_ITEM_PRINTED};
}

static PoiseStatus sum_items(const PoiseInstrument *in, const PoiseLedgerEntry *entries,
                             PoiseLedger *ledger, PoiseFaults *faults)
{
    PoiseStatus status = poise_ledger(entries, in->item_count, ledger);
    if (status == POISE_E_MEMORY)
        return poise_fault_memory(faults);
    if (status == POISE_E_DOMAIN || (!status && !(ledger->total.mass_g > 0.0)))
        status = poise_instrument_fault(in,
                                        &(PoiseFault){.status = POISE_E_INPUT,
                                                      .pointer = "/items",
                                                      .found = "items that weigh nothing together",
                                                      .expected = "a total mass above 0 g"},
                                        faults);
    return status;
}

static double along(const double axis[3], const double from[3], const double to[3])
{
    double d = 0.0;
    for (int i = 0; i < 3; i++)
        d += axis[i] * (to[i] - from[i]);
    return d;
}

static void fill_stations(const PoiseInstrument *in, const PoiseAxes *axes, PoiseWeighing *w)
{
    const double *g = w->total.centre_mm;
    double no = (double)NAN;
    w->from_tail_post_mm = in->has_posts ? along(axes->x, in->tail_mm, g) : no;
    w->from_saddle_mm = in->has_scale ? along(axes->x, in->saddle_mm, g) : no;
    w->from_nut_mm = in->has_scale ? along(axes->x, in->nut_mm, g) : no;
}

static void judge(PoiseWeighing *w, PoiseTargetResult result)
{
    w->targets[w->target_count++] = result;
    if (!result.met)
        w->targets_met = false;
}

/* How it is held when its balance is judged: on the strap if the file has one, else on the leg. */
typedef struct Held {
    bool known, on_leg;
    PoiseVerdict verdict;
    double hand_load_g, margin_mm;
} Held;

static Held held(const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    const PoiseResting *r = &w->resting;
    if (w->has_strap || !w->has_seat)
        return (Held){w->has_strap && h->has_verdict, false, h->verdict, h->hand_load_g,
                      h->margin_mm};
    return (Held){true, true, r->verdict, r->hand_load_g, r->window_mm.hi - r->horizontal_mm};
}

/* What cannot be judged is not met, and not known to be missed either. */
static void judge_targets(const PoiseInstrument *in, PoiseWeighing *w)
{
    Held h = held(w);
    w->targets_met = true;
    if (in->has_target_mass)
        judge(w, (PoiseTargetResult){.key = "mass",
                                     .limit = in->target_mass_g,
                                     .value = w->total.mass_g,
                                     .met = w->total.mass_g <= in->target_mass_g,
                                     .known = true});
    if (in->has_target_hand_load)
        judge(w, (PoiseTargetResult){.key = "hand_load",
                                     .limit = in->target_hand_load_g,
                                     .value = h.hand_load_g,
                                     .met = fabs(h.hand_load_g) <= in->target_hand_load_g,
                                     .known = h.known && (w->has_hand || h.verdict == POISE_HOLDS),
                                     .on_leg = h.on_leg});
    if (in->has_target_margin)
        judge(w, (PoiseTargetResult){.key = "margin",
                                     .limit = in->target_margin_mm,
                                     .value = h.margin_mm,
                                     .met = h.margin_mm >= in->target_margin_mm,
                                     .known = h.known,
                                     .on_leg = h.on_leg});
}

static void total_prints(PoiseWeighing *w)
{
    bool any_price = false;
    for (size_t i = 0; i < w->item_count; i++) {
        const PoiseItemResult *r = &w->items[i];
        if (!isnan(r->filament_g)) {
            w->filament_g += r->filament_g;
            w->filament_m += r->filament_m;
            w->filament_h += r->filament_h;
            w->spools += r->detail->print.spools;
        }
        if (!isnan(r->price)) {
            w->price += r->price;
            any_price = true;
        }
    }
    if (!any_price)
        w->price = (double)NAN;
}

/* From the sum of the items to everything else. */
static PoiseStatus weigh_sum(const PoiseInstrument *in, const PoiseWeighOptions *options,
                             const PoiseLedgerEntry *entries, PoiseWeighing *w, PoiseFaults *faults)
{
    PoiseLedger ledger;
    PoiseStatus status = sum_items(in, entries, &ledger, faults);
    if (status)
        return status;
    w->total = ledger.total;
    w->mass_u_g = ledger.mass_u_g;
    memcpy(w->centre_u_mm, ledger.centre_u_mm, sizeof w->centre_u_mm);
    memcpy(w->centre_covariance_mm2, ledger.centre_covariance_mm2, sizeof w->centre_covariance_mm2);
    PoiseAxes axes = poise_frame_axes(&in->frame);
    w->neck_angle_deg = in->neck_angle_deg.value;
    w->centre = poise_axes_point(&axes, w->total.centre_mm);
    w->has_hand = in->has_hand;
    w->hand_text = in->hand_text;
    w->hand = poise_axes_point(&axes, in->hand_mm);
    fill_stations(in, &axes, w);
    total_prints(w);
    PoisePosture posture = poise_weigh_posture(in, &axes, w);
    status = poise_weigh_strap(in, &axes, &posture, w, faults);
    PoiseStatus seat = poise_weigh_seat(in, &axes, &posture, w, faults);
    if (!status)
        status = seat;
    if (status)
        return status;
    status = poise_weigh_doubt(in, options, &axes, entries, &posture, w);
    if (!status) {
        judge_targets(in, w);
        status = poise_weigh_advice(in, w);
    }
    if (status == POISE_E_USAGE)
        return poise_fault_say(faults, status, NULL, "trials: from %zu to %zu", POISE_FEWEST_TRIALS,
                               POISE_MOST_TRIALS);
    return status == POISE_E_MEMORY ? poise_fault_memory(faults) : status;
}

static PoiseStatus weigh_into(const PoiseInstrument *in, const PoiseWeighOptions *options,
                              PoiseItemBody *bodies, PoiseWeighing *w, PoiseFaults *faults)
{
    PoiseStatus status = weigh_items(in, options, bodies, w, faults);
    if (status)
        return status;
    PoiseLedgerEntry *entries = poise_alloc_zero(in->item_count, sizeof *entries);
    if (!entries)
        return poise_fault_memory(faults);
    fill_entries(in, bodies, entries);
    status = weigh_sum(in, options, entries, w, faults);
    poise_release(entries);
    return status;
}

PoiseStatus poise_weigh(const PoiseInstrument *in, const PoiseWeighOptions *options,
                        PoiseWeighing **weighing, PoiseFaults *faults)
{
    static const PoiseWeighOptions plain = {0};
    *weighing = NULL;
    PoiseWeighing *w = poise_alloc_zero(1, sizeof *w);
    PoiseItemBody *bodies = poise_alloc_zero(in->item_count, sizeof *bodies);
    PoiseItemResult *items = poise_alloc_zero(in->item_count, sizeof *items);
    if (!w || !bodies || !items) {
        poise_release(w);
        poise_release(bodies);
        poise_release(items);
        return poise_fault_memory(faults);
    }
    w->bodies = bodies;
    w->items = items;
    w->item_count = in->item_count;
    w->name = in->name;
    w->file = in->file;
    w->variant = in->variant;
    PoiseStatus status = weigh_into(in, options ? options : &plain, bodies, w, faults);
    if (status) {
        poise_weighing_free(w);
        return status;
    }
    *weighing = w;
    return POISE_OK;
}

static void release_all(char **list, size_t n)
{
    for (size_t i = 0; i < n; i++)
        poise_release(list[i]);
    poise_release(list);
}

void poise_weighing_free(PoiseWeighing *w)
{
    if (!w)
        return;
    for (size_t i = 0; i < w->item_count; i++)
        poise_item_body_free(&w->bodies[i]);
    poise_release(w->bodies);
    poise_release(w->items);
    poise_release(w->budget);
    release_all(w->cautions, w->caution_count);
    release_all(w->warnings, w->warning_count);
    poise_release(w);
}
