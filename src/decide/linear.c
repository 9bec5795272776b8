#include "decide/linear.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/sum.h"
#include "base/vec.h"
#include "bodies/print_facts.h"
#include "bodies/printed_fill.h"

_Static_assert(sizeof(PoiseLinearSetting) % 8 == 0, "settings are compared by words of 8 bytes");

/* A neck and strings follow the scale: they are kept in file coordinates, wherever "at" puts them.
 */
static bool follows_scale(PoiseItemKind kind)
{
    return kind == POISE_ITEM_NECK || kind == POISE_ITEM_STRINGS;
}

static void restate_printed(const PoiseInstrument *in, const PoisePrinted *p, PoiseLinearSetting *s)
{
    s->perimeters = p->perimeters;
    s->infill = p->infill.value;
    PoiseLaying laying = poise_printed_laying(p, false);
    s->flow = laying.flow.value;
    s->density_g_cm3 = laying.density_g_cm3.value;
    s->waste = p->waste;
    s->support_g = p->support_g;
    s->printer = in->printer;
    memset(s->printer.bed_mm, 0, sizeof s->printer.bed_mm);
}

void poise_linear_restate(const PoiseInstrument *in, const PoiseItem *item, PoiseLinearSetting *s)
{
    s->count = item->count;
    for (int i = 0; i < 3 && !follows_scale(item->kind); i++) {
        s->turn_deg[i] = item->turn_deg[i];
        s->shift_mm[i] = item->has_at ? item->at_mm[i] : 0.0;
    }
    s->measured_g = item->has_measured ? item->measured_g.value : (double)NAN;
    s->piece_price = (double)NAN;
    if (item->has_price)
        s->piece_price = item->price;
    else if (item->kind == POISE_ITEM_PART && item->part->has_price)
        s->piece_price = item->part->price;
    if (poise_item_is_split(item))
        restate_printed(in, &item->as.printed, s);
}

PoiseLinearSetting poise_linear_setting(const PoiseInstrument *in, const PoiseItem *item,
                                        const PoiseItemBody *body)
{
    PoiseLinearSetting s;
    memset(&s, 0, sizeof s);
    poise_linear_restate(in, item, &s);
    if (poise_item_is_split(item)) {
        s.section = body->loaded;
        return s;
    }
    /* A weighed neck is what the scale says; a mass under "measured" stands beside the estimate. */
    s.piece_print_price = (double)NAN;
    s.piece_g = (item->has_measured ? body->predicted_g : body->body.mass_g) / item->count;
    if (body->has_print) {
        s.piece_filament_g = body->print.filament_g / item->count;
        s.piece_hours = body->print.hours / item->count;
        s.piece_print_price = body->print.price / item->count;
    }
    const double *c = body->body.centre_mm;
    for (int i = 0; i < 3; i++) {
        s.centre_mm[i] = c[i];
        if (follows_scale(item->kind))
            continue;
        double back = 0.0; /* R is a rotation: its inverse is its transpose */
        for (int j = 0; j < 3; j++)
            back += body->turn[j][i] * (c[j] - body->shift_mm[j]);
        s.centre_mm[i] = back;
    }
    return s;
}

PoiseStatus poise_linear_new(const PoiseInstrument *in, const PoiseWeighing *w,
                             PoiseLinear **linear, PoiseFaults *faults)
{
    *linear = NULL;
    PoiseLinear *l = poise_alloc_zero(1, sizeof *l);
    PoiseLinearItem *items = poise_alloc_zero(in->item_count, sizeof *items);
    if (!l || !items) {
        poise_release(l);
        poise_release(items);
        return poise_fault_memory(faults);
    }
    l->items = items;
    l->item_count = in->item_count;
    memcpy(l->origin_mm, w->total.centre_mm, sizeof l->origin_mm);
    for (size_t i = 0; i < in->item_count; i++) {
        const PoiseItem *item = &in->items[i];
        items[i].id = item->id;
        items[i].kind = item->kind;
        items[i].setting = poise_linear_setting(in, item, w->items[i].detail);
    }
    l->stance = poise_stance_setting(in);
    *linear = l;
    return POISE_OK;
}

void poise_linear_free(PoiseLinear *l)
{
    if (!l)
        return;
    poise_release(l->items);
    poise_release(l);
}

static void centre_in_file(const PoiseLinearSetting *s, const double centre_mm[3],
                           const double origin_mm[3], double out[3])
{
    double rotation[3][3], turned[3] = {centre_mm[0], centre_mm[1], centre_mm[2]};
    if (s->turn_deg[0] != 0.0 || s->turn_deg[1] != 0.0 || s->turn_deg[2] != 0.0) {
        poise_rotation_xyz(s->turn_deg, rotation);
        poise_rotate(rotation, centre_mm, turned);
    }
    for (int i = 0; i < 3; i++)
        out[i] = turned[i] + (s->shift_mm[i] - origin_mm[i]);
}

static PoisePrintFacts facts_of(const PoiseLinearSetting *s, double piece_g)
{
    PoisePrintJob job = {.body_g = piece_g,
                         .density_g_cm3 = s->density_g_cm3,
                         .waste = s->waste,
                         .support_g = s->support_g,
                         .layers = s->section->section.layers,
                         .up = {0.0, 0.0, 1.0}};
    PoisePrintFacts facts;
    poise_print_facts(&job, &s->printer, &facts);
    return facts;
}

PoiseLinearSum poise_linear_sum(const PoiseLinearSetting *s, const double origin_mm[3])
{
    double count = (double)s->count, piece_g = s->piece_g, centre[3];
    double price = s->piece_price * count;
    PoiseLinearSum sum = {0};
    if (s->section) {
        PoiseBody body = poise_printed_fill(&s->section->section.splits[s->perimeters], s->infill,
                                            s->flow, s->density_g_cm3);
        piece_g = body.mass_g;
        centre_in_file(s, body.centre_mm, origin_mm, centre);
        PoisePrintFacts facts = facts_of(s, piece_g);
        sum.filament_g = facts.filament_g * count;
        sum.hours = facts.hours * count;
        if (!isnan(facts.price))
            price = (isnan(price) ? 0.0 : price) + facts.price * count;
    } else {
        centre_in_file(s, s->centre_mm, origin_mm, centre);
        sum.filament_g = s->piece_filament_g * count;
        sum.hours = s->piece_hours * count;
        if (!isnan(s->piece_print_price))
            price = (isnan(price) ? 0.0 : price) + s->piece_print_price * count;
    }
    sum.mass_g = isnan(s->measured_g) ? piece_g * count : s->measured_g;
    for (int i = 0; i < 3; i++)
        sum.moment_gmm[i] = sum.mass_g * centre[i];
    sum.priced = isnan(price) ? 0.0 : 1.0;
    sum.price = isnan(price) ? 0.0 : price;
    return sum;
}

void poise_linear_add(PoiseLinearSum *a, const PoiseLinearSum *b)
{
    a->mass_g += b->mass_g;
    for (int i = 0; i < 3; i++)
        a->moment_gmm[i] += b->moment_gmm[i];
    a->filament_g += b->filament_g;
    a->hours += b->hours;
    a->price += b->price;
    a->priced += b->priced;
}

PoiseLinearSum poise_linear_total(const PoiseLinear *l)
{
    PoiseSum mass = {0}, moment[3] = {{0}}, filament = {0}, hours = {0}, price = {0};
    PoiseLinearSum total = {0};
    for (size_t i = 0; i < l->item_count; i++) {
        PoiseLinearSum one = poise_linear_sum(&l->items[i].setting, l->origin_mm);
        poise_sum_add(&mass, one.mass_g);
        for (int k = 0; k < 3; k++)
            poise_sum_add(&moment[k], one.moment_gmm[k]);
        poise_sum_add(&filament, one.filament_g);
        poise_sum_add(&hours, one.hours);
        poise_sum_add(&price, one.price);
        total.priced += one.priced;
    }
    total.mass_g = poise_sum_value(&mass);
    for (int k = 0; k < 3; k++)
        total.moment_gmm[k] = poise_sum_value(&moment[k]);
    total.filament_g = poise_sum_value(&filament);
    total.hours = poise_sum_value(&hours);
    total.price = poise_sum_value(&price);
    return total;
}

bool poise_linear_printed(const PoiseLinearSetting *setting, int perimeters,
                          const double origin_mm[3], PoiseLinearPrinted *out)
{
    *out = (PoiseLinearPrinted){0};
    if (!setting->section || perimeters < 0 || perimeters > POISE_MAX_PERIMETERS)
        return false;
    PoiseLinearSetting s = *setting;
    if (isnan(s.measured_g)) {
        s.perimeters = perimeters;
        s.infill = 0.0;
    }
    PoiseLinearSum empty = poise_linear_sum(&s, origin_mm);
    out->fixed_g = empty.mass_g;
    memcpy(out->fixed_gmm, empty.moment_gmm, sizeof out->fixed_gmm);
    if (!isnan(s.measured_g))
        return true;
    const PoiseMoments *infill = &s.section->section.splits[perimeters].infill;
    PoiseBody full = poise_body_from_moments(infill, s.density_g_cm3 * s.flow);
    double centre[3];
    centre_in_file(&s, full.centre_mm, origin_mm, centre);
    out->infill_g = full.mass_g * (double)s.count;
    for (int i = 0; i < 3; i++)
        out->infill_gmm[i] = out->infill_g * centre[i];
    return true;
}
