/* From the maker of each kind to the item as it hangs on the instrument: turned, moved, counted,
 * weighed. */
#include "bodies/item_body.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "base/vec.h"
#include "bodies/doubt.h"
#include "bodies/item_fault.h"

static PoiseBodyMaker *maker_of(PoiseItemKind kind)
{
    switch (kind) {
    case POISE_ITEM_PRINTED:
        return poise_printed_body;
    case POISE_ITEM_POURED:
        return poise_poured_body;
    case POISE_ITEM_SOLID:
        return poise_solid_body;
    case POISE_ITEM_NECK:
        return poise_neck_body;
    case POISE_ITEM_STRINGS:
        return poise_strings_body;
    case POISE_ITEM_PART:
        return poise_part_body;
    case POISE_ITEM_MASS:
        return poise_mass_body;
    }
    return NULL;
}

/* All pieces together, at the same place. */
static void apply_count(PoiseItemBody *out, int count)
{
    if (count == 1)
        return;
    out->body = poise_body_with_mass(&out->body, out->body.mass_g * count);
    poise_doubt_times(&out->doubt, count);
    out->perimeter_mm3 *= count;
    out->skin_mm3 *= count;
    out->infill_mm3 *= count;
    out->solid_mm3 *= count;
    out->toolpath_g *= count;
    out->layers_g *= count;
    out->print.filament_g *= count;
    out->print.filament_m *= count;
    out->print.hours *= count;
    out->print.spools *= count;
    out->print.price *= count;
    out->pour.cup_a_g *= count;
    out->pour.cup_b_g *= count;
    out->pour.pigment_g *= count;
    out->predicted_g *= count;
    out->predicted_u_g *= count;
    poise_doubt_times(&out->predicted_doubt, count);
}

/* r_file = R r + shift for an item in its own axes. One that its maker has placed already turns
 * about its own origin, which the maker left in shift_mm: r_file = R (r − origin) + origin. */
static void apply_place(PoiseItemBody *out, const PoiseItem *item, bool placed)
{
    double rotation[3][3], shift[3] = {0.0, 0.0, 0.0};
    poise_rotation_xyz(item->turn_deg, rotation);
    if (placed) {
        double turned[3];
        poise_rotate(rotation, out->shift_mm, turned);
        for (int i = 0; i < 3; i++)
            shift[i] = out->shift_mm[i] - turned[i];
    } else if (item->has_at) {
        for (int i = 0; i < 3; i++)
            shift[i] = item->at_mm[i];
    }
    out->body = poise_body_move(&out->body, rotation, shift);
    poise_doubt_turn(&out->doubt, rotation);
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            out->turn[i][j] = rotation[i][j];
        out->shift_mm[i] = shift[i];
    }
}

/* A weighed mass says nothing about where it sits: the estimate's centre and the shape of its
 * inertia stay, and every source of doubt about the mass gives way to the balance's. The maker of a
 * weighed neck has left what it would have estimated; of everything else the estimate is the body
 * so far. */
static void apply_measured(PoiseItemBody *out, const PoiseItem *item)
{
    if (item->kind != POISE_ITEM_NECK || !item->as.neck.has_measured) {
        out->predicted_g = out->body.mass_g;
        out->predicted_u_g = poise_doubt_mass_u_g(&out->doubt);
        out->predicted_doubt = out->doubt;
    }
    if (item->has_measured) {
        out->body = poise_body_with_mass(&out->body, item->measured_g.value);
        out->doubt.density_u_g = out->doubt.flow_u_g = 0.0;
        out->doubt.own_u_g = item->measured_g.u;
    }
    out->mass_u_g = poise_doubt_mass_u_g(&out->doubt);
}

static bool sound(const PoiseItemBody *out)
{
    const PoiseBody *b = &out->body;
    double all = out->mass_u_g;
    for (int i = 0; i < 3; i++) {
        all += b->centre_mm[i] + out->doubt.place_u_mm[i];
        for (int j = 0; j < 3; j++)
            all += b->inertia_gmm2[i][j];
    }
    return b->mass_g >= 0.0 && isfinite(b->mass_g) && isfinite(all);
}

PoiseStatus poise_item_body(const PoiseInstrument *instrument, const PoiseItem *item,
                            const PoiseSectionOptions *options, PoiseItemBody *out,
                            PoiseFaults *faults)
{
    *out = (PoiseItemBody){0};
    PoiseBodyMaker *maker = maker_of(item->kind);
    if (!maker || item->count < 1)
        return poise_item_fault(instrument, item, POISE_E_INTERNAL, "",
                                "an item without a kind or a count", NULL, NULL, faults);
    bool placed = false;
    PoiseStatus status = maker(instrument, item, options, out, &placed, faults);
    if (!status) {
        apply_count(out, item->count);
        apply_place(out, item, placed);
        apply_measured(out, item);
        if (!sound(out))
            status =
                poise_item_fault(instrument, item, POISE_E_INPUT, "",
                                 "numbers that give no finite mass and place, or a mass below 0",
                                 "a body that weighs 0 or more", NULL, faults);
    }
    if (status) {
        poise_item_body_free(out);
        *out = (PoiseItemBody){0};
    }
    return status;
}

void poise_item_add_warning(PoiseItemBody *out, const char *sentence)
{
    size_t n = strlen(out->warning);
    snprintf(out->warning + n, sizeof out->warning - n, "%s%s", n ? "; " : "", sentence);
}

void poise_item_body_free(PoiseItemBody *body)
{
    poise_release(body->loaded);
    body->loaded = NULL;
}
