/* Items of kind "neck": two woods, truss rod and fret wire on the line from saddle to nut. */
#include "bodies/neck.h"

#include <math.h>
#include <stdio.h>

#include "base/vec.h"
#include "bodies/doubt.h"
#include "bodies/neck_shape.h"
#include "bodies/refuse.h"
#include "bodies/scale_axes.h"

/* Between these shares of its length from the nut a neck balances: as a bar of even weight that a
 * headstock of a third of its length and the tuners on it pull towards the nut, or one without a
 * headstock and with a heavy heel (common practice, no source). */
static const double LIKELY_BALANCE[2] = {0.1, 0.7};

/* Everything the body depends on, so that a doubt can be pushed through it. */
typedef struct NeckModel {
    PoiseNeckShape shape;
    int frets;
    bool one_wood; /* the board follows the shaft's density, and its doubt */
    double shaft_g_cm3, board_g_cm3;
    double rod_g, wire_g_per_m;
} NeckModel;

double poise_neck_length_mm(const PoiseNeck *neck, double scale_mm)
{
    if (!isnan(neck->length_mm))
        return neck->length_mm;
    int last = neck->length_as_frets > 0 ? neck->length_as_frets : neck->frets;
    return poise_fret_station_mm(scale_mm, last) + POISE_NECK_BEYOND_LAST_FRET_MM;
}

static NeckModel model_of(const PoiseNeck *neck, double scale_mm)
{
    bool heel = neck->heel_length_mm > 0.0;
    const PoiseMaterial *board = neck->board ? neck->board : neck->shaft;
    return (NeckModel){
        .shape = {.scale_mm = scale_mm,
                  .length_mm = poise_neck_length_mm(neck, scale_mm),
                  .nut_width_mm = neck->nut_width_mm.value,
                  .heel_width_mm = neck->heel_width_mm.value,
                  .first_mm = neck->first_mm.value,
                  .twelfth_mm = neck->twelfth_mm.value,
                  .board_mm = neck->board_mm,
                  .heel_length_mm = heel ? neck->heel_length_mm : 0.0,
                  .heel_mm = neck->heel_mm,
                  .headstock_length_mm = neck->headstock_length_mm,
                  .headstock_width_mm = neck->headstock_width_mm,
                  .headstock_mm = neck->headstock_mm,
                  .headstock_drop_mm = neck->headstock_drop_mm,
                  .exponent = POISE_NECK_EXPONENT},
        .frets = neck->frets,
        .one_wood = board == neck->shaft,
        .shaft_g_cm3 = neck->shaft->density_g_cm3.value,
        .board_g_cm3 = board->density_g_cm3.value,
        .rod_g = neck->truss_rod_g.value,
        .wire_g_per_m = neck->fret_wire_g_per_m.value,
    };
}

/* The rod's mass less the wood it stands in for, as a thin bar. */
static PoiseBody rod_body(const NeckModel *model)
{
    const PoiseNeckShape *shape = &model->shape;
    double rod = POISE_NECK_ROD_SHARE * shape->length_mm;
    double thinnest = fmin(poise_neck_thickness_mm(shape, 0.0),
                           poise_neck_thickness_mm(shape, poise_neck_heel_start_mm(shape))) -
                      shape->board_mm;
    double depth = fmin(POISE_NECK_ROD_DEPTH_MM, thinnest / 2.0);
    double net_g = model->rod_g * (1.0 - model->shaft_g_cm3 / POISE_NECK_ROD_G_CM3);
    return poise_body_box(net_g, (double[3]){-rod / 2.0, 0.0, -shape->board_mm - depth},
                          (double[3]){rod, 0.0, 0.0});
}

/* One wire across the board at a fret: a thin bar at the board's top. */
static PoiseBody fret_body(const NeckModel *model, int fret)
{
    double station = poise_fret_station_mm(model->shape.scale_mm, fret);
    double width = poise_neck_width_mm(&model->shape, station);
    return poise_body_box(model->wire_g_per_m * width / 1000.0, (double[3]){-station, 0.0, 0.0},
                          (double[3]){0.0, width, 0.0});
}

/* The whole neck in its axes at the nut. */
static PoiseBody neck_body(const NeckModel *model)
{
    PoiseMoments shaft, board;
    poise_neck_wood(&model->shape, 1, &shaft, &board);
    PoiseBody body = poise_body_from_moments(&shaft, model->shaft_g_cm3);
    PoiseBody more =
        poise_body_from_moments(&board, model->one_wood ? model->shaft_g_cm3 : model->board_g_cm3);
    body = poise_body_add(&body, &more);
    more = rod_body(model);
    body = poise_body_add(&body, &more);
    for (int fret = 1; fret <= model->frets; fret++) {
        more = fret_body(model, fret);
        body = poise_body_add(&body, &more);
    }
    return body;
}

/* The doubtful values. The shaft's density comes first: it alone is shared with other items. */
typedef enum Doubtful {
    SHAFT_DENSITY,
    BOARD_DENSITY,
    NUT_WIDTH,
    HEEL_WIDTH,
    FIRST,
    TWELFTH,
    ROD,
    WIRE,
    HEADSTOCK_WIDTH,
    EXPONENT,
    DOUBTFUL_COUNT
} Doubtful;

static double *value_of(NeckModel *model, Doubtful which)
{
    switch (which) {
    case SHAFT_DENSITY:
        return &model->shaft_g_cm3;
    case BOARD_DENSITY:
        return &model->board_g_cm3;
    case NUT_WIDTH:
        return &model->shape.nut_width_mm;
    case HEEL_WIDTH:
        return &model->shape.heel_width_mm;
    case FIRST:
        return &model->shape.first_mm;
    case TWELFTH:
        return &model->shape.twelfth_mm;
    case ROD:
        return &model->rod_g;
    case WIRE:
        return &model->wire_g_per_m;
    case HEADSTOCK_WIDTH:
        return &model->shape.headstock_width_mm;
    case EXPONENT:
    case DOUBTFUL_COUNT:
        break;
    }
    return &model->shape.exponent;
}

/* One standard uncertainty of each value; the exponent's is a range, see effect_of(). */
static void doubts_of(const PoiseNeck *neck, double u[DOUBTFUL_COUNT])
{
    u[SHAFT_DENSITY] = neck->shaft->density_g_cm3.u;
    u[BOARD_DENSITY] = neck->board ? neck->board->density_g_cm3.u : 0.0;
    u[NUT_WIDTH] = neck->nut_width_mm.u;
    u[HEEL_WIDTH] = neck->heel_width_mm.u;
    u[FIRST] = neck->first_mm.u;
    u[TWELFTH] = neck->twelfth_mm.u;
    u[ROD] = neck->truss_rod_g.u;
    u[WIRE] = neck->fret_wire_g_per_m.u;
    u[HEADSTOCK_WIDTH] = POISE_NECK_HEADSTOCK_U * neck->headstock_width_mm;
    u[EXPONENT] = 0.0;
}

/* What one doubtful value does to the mass and the centre: half the difference between the value a
 * standard uncertainty up and down (JCGM 100, 5.1.3 note 2), exact for the mass, which is linear in
 * every value but the exponent. The exponent's whole range is run and counts as a rectangular
 * distribution. */
static void effect_of(const NeckModel *model, Doubtful which, double u, double *mass_g,
                      double centre_mm[3])
{
    NeckModel up = *model, down = *model;
    double spread = 0.5;
    if (which == EXPONENT) {
        up.shape.exponent = POISE_NECK_EXPONENT_FULL;
        down.shape.exponent = POISE_NECK_EXPONENT_LEAN;
        spread *= POISE_RECTANGULAR;
    } else {
        *value_of(&up, which) += u;
        *value_of(&down, which) -= u;
    }
    PoiseBody upper = neck_body(&up), lower = neck_body(&down);
    *mass_g = spread * (upper.mass_g - lower.mass_g);
    for (int i = 0; i < 3; i++)
        centre_mm[i] = spread * (upper.centre_mm[i] - lower.centre_mm[i]);
}

/* All of them, the centre's along the file's axes (to_file turns into them). The effects are
 * independent of each other. */
static void find_doubt(const NeckModel *model, const PoiseNeck *neck, double to_file[3][3],
                       PoiseItemDoubt *doubt)
{
    double u[DOUBTFUL_COUNT];
    doubts_of(neck, u);
    for (int which = 0; which < DOUBTFUL_COUNT; which++) {
        double mass_g, moved[3];
        effect_of(model, (Doubtful)which, u[which], &mass_g, moved);
        if (which == SHAFT_DENSITY)
            doubt->density_u_g = fabs(mass_g);
        else
            doubt->own_u_g = hypot(doubt->own_u_g, mass_g);
        poise_rotate(to_file, moved, moved);
        for (int i = 0; i < 3; i++)
            doubt->place_u_mm[i] = hypot(doubt->place_u_mm[i], moved[i]);
    }
}

/* A weighed neck: the scales know its mass, and a knife edge its balance point along the axis. */
static void apply_weighing(const PoiseNeck *neck, double to_file[3][3], PoiseItemBody *out)
{
    out->body = poise_body_with_mass(&out->body, neck->measured_g.value);
    out->doubt.density_u_g = 0.0;
    out->doubt.own_u_g = neck->measured_g.u;
    if (isnan(neck->balance_from_nut_mm))
        return;
    out->body.centre_mm[0] = -neck->balance_from_nut_mm;
    /* Along the axis the knife edge speaks; what the model leaves open across it is small beside
     * that. */
    for (int i = 0; i < 3; i++)
        out->doubt.place_u_mm[i] = fabs(to_file[i][0]) * POISE_NECK_BALANCE_U_MM;
}

/* What no single value can be blamed for: sizes that do not fit each other. */
static PoiseStatus check_model(const PoiseInstrument *instrument, const PoiseItem *item,
                               const NeckModel *model, PoiseFaults *faults)
{
    const PoiseNeckShape *shape = &model->shape;
    if (!(shape->length_mm > 0.0))
        return poise_item_refuse(instrument, item, "/length", "a length above 0", faults,
                                 "a neck %.6g mm long", shape->length_mm);
    if (!(shape->nut_width_mm > 0.0 && shape->heel_width_mm > 0.0))
        return poise_item_refuse(instrument, item, "", "widths above 0", faults,
                                 "a neck %.6g mm wide at the nut and %.6g mm at the heel",
                                 shape->nut_width_mm, shape->heel_width_mm);
    double last = poise_fret_station_mm(shape->scale_mm, model->frets);
    if (model->frets > 0 && last > shape->length_mm)
        return poise_item_refuse(
            instrument, item, "/length", "a neck that reaches its last fret", faults,
            "a neck that ends at %.1f mm from the nut, with fret %d at %.1f mm", shape->length_mm,
            model->frets, last);
    double heel = poise_neck_heel_start_mm(shape);
    if (heel < 0.0)
        return poise_item_refuse(instrument, item, "/heel/length", "a heel shorter than the neck",
                                 faults, "a heel %.6g mm long on a neck of %.6g mm",
                                 shape->heel_length_mm, shape->length_mm);
    if (shape->heel_length_mm > 0.0 && shape->heel_mm < shape->board_mm)
        return poise_item_refuse(instrument, item, "/heel/thickness",
                                 "at least the thickness of the board, which it includes", faults,
                                 "a heel %.6g mm thick under a board of %.6g mm", shape->heel_mm,
                                 shape->board_mm);
    double thinnest =
        fmin(poise_neck_thickness_mm(shape, 0.0), poise_neck_thickness_mm(shape, heel));
    if (!(thinnest > 0.0 && thinnest >= shape->board_mm))
        return poise_item_refuse(
            instrument, item, "/first",
            "thicknesses at the 1st and 12th fret, board included, that leave wood "
            "under the board from nut to heel",
            faults, "a neck that thins to %.2f mm with a board of %.6g mm", thinnest,
            shape->board_mm);
    return POISE_OK;
}

/* A neck cannot balance beyond its own ends. */
static PoiseStatus check_balance(const PoiseInstrument *instrument, const PoiseItem *item,
                                 const NeckModel *model, PoiseFaults *faults)
{
    double at = item->as.neck.balance_from_nut_mm, head = model->shape.headstock_length_mm;
    if (!item->as.neck.has_measured || isnan(at) || (at >= -head && at <= model->shape.length_mm))
        return POISE_OK;
    return poise_item_refuse(instrument, item, "/weighed/balance",
                             "a place on the neck, from the nut towards the heel", faults,
                             "%.6g mm on a neck that runs from %.6g mm to %.6g mm", at,
                             head > 0.0 ? -head : 0.0, model->shape.length_mm);
}

/* Bare or with tuners, necks balance well below the nut and well above the heel. */
static void warn_balance(const PoiseNeck *neck, double length_mm, PoiseItemBody *out)
{
    double at = neck->balance_from_nut_mm;
    char sentence[POISE_ITEM_WARNING_SIZE];
    if (isnan(at) || (at >= LIKELY_BALANCE[0] * length_mm && at <= LIKELY_BALANCE[1] * length_mm))
        return;
    snprintf(sentence, sizeof sentence,
             "its balance point lies %.0f mm %s the nut; necks of its length commonly balance %.0f "
             "to %.0f mm from it towards the heel",
             fabs(at), at < 0.0 ? "beyond" : "from", LIKELY_BALANCE[0] * length_mm,
             LIKELY_BALANCE[1] * length_mm);
    poise_item_add_warning(out, sentence);
}

PoiseStatus poise_neck_body(const PoiseInstrument *instrument, const PoiseItem *item,
                            const PoiseSectionOptions *options, PoiseItemBody *out, bool *placed,
                            PoiseFaults *faults)
{
    (void)options;
    const PoiseNeck *neck = &item->as.neck;
    PoiseScaleAxes axes;
    PoiseStatus status = poise_scale_axes(instrument, item, &axes, faults);
    if (status != POISE_OK)
        return status;
    NeckModel model = model_of(neck, axes.length_mm);
    status = check_model(instrument, item, &model, faults);
    if (status == POISE_OK)
        status = check_balance(instrument, item, &model, faults);
    if (status != POISE_OK)
        return status;

    PoiseMoments shaft, board;
    poise_neck_wood(&model.shape, 1, &shaft, &board);
    out->has_volumes = true;
    out->perimeter_mm3 = out->skin_mm3 = out->infill_mm3 = NAN;
    out->solid_mm3 =
        shaft.volume_mm3 + board.volume_mm3 - 1000.0 * model.rod_g / POISE_NECK_ROD_G_CM3;
    out->body = neck_body(&model);
    find_doubt(&model, neck, axes.to_file, &out->doubt);
    out->predicted_g = out->body.mass_g;
    out->predicted_u_g = poise_doubt_mass_u_g(&out->doubt);
    out->predicted_doubt = out->doubt;
    if (neck->has_measured) {
        apply_weighing(neck, axes.to_file, out);
        warn_balance(neck, model.shape.length_mm, out);
    }
    out->mass_u_g = poise_doubt_mass_u_g(&out->doubt);
    poise_scale_place(&axes, item, out, placed);
    return POISE_OK;
}
