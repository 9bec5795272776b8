/* Items of kind "poured": a cured resin layer, with what to weigh out and how often to pour.
 *
 * The mesh, or the volume, is that of the cured layer as it stays on the instrument: what shrinks
 * away while curing is topped up, so it adds nothing to the liquid's mass. */
#include <math.h>
#include <stdio.h>

#include "base/vec.h"
#include "bodies/doubt.h"
#include "bodies/item_fault.h"
#include "bodies/mesh_item.h"

static const double MM3_PER_ML = 1000.0;

/* A depth this little over a whole number of pours does not ask for another: far below what anyone
 * can pour to, above the round-off of a single-precision mesh, mm. */
static const double POUR_SLACK_MM = 0.01;

/* What a resin's surface tension holds back above a sharp rim: its capillary length √(γ/ρg) is some
 * 1.9 mm at 0.04 N/m and 1.15 g/cm³ (from memory); about half of that is on the safe side, mm. */
static const double RIM_HOLDS_MM = 1.0;

/* More pours than this is a mistake in the depth or the limit; keeps the count inside an int. */
static const double POURS_AT_MOST = 100000.0;

/* Directions tried for the pocket's longest span: it comes out low by at most 1 − cos(90°/32), 0.12
 * %. */
#define SPAN_DIRECTIONS 32

static double width_along(const PoiseMesh *mesh, const double direction[3])
{
    double lo = INFINITY, hi = -INFINITY;
    for (size_t i = 0; i < mesh->vertex_count; i++) {
        double reach = poise_dot(&mesh->vertices_mm[3 * i], direction);
        lo = fmin(lo, reach);
        hi = fmax(hi, reach);
    }
    return hi - lo;
}

/* Two unit vectors across `up`. */
static void level_axes(const double up[3], double u[3], double v[3])
{
    int least = fabs(up[0]) <= fabs(up[1]) ? (fabs(up[0]) <= fabs(up[2]) ? 0 : 2)
                                           : (fabs(up[1]) <= fabs(up[2]) ? 1 : 2);
    double seed[3] = {0.0, 0.0, 0.0};
    seed[least] = 1.0;
    poise_cross(up, seed, u);
    double length = poise_length(u);
    for (int i = 0; i < 3; i++)
        u[i] /= length;
    poise_cross(up, u, v);
}

/* The longest level distance across the pocket. */
static double span_mm(const PoiseMesh *mesh, const double up[3])
{
    double u[3], v[3], longest = 0.0;
    level_axes(up, u, v);
    for (int k = 0; k < SPAN_DIRECTIONS; k++) {
        double s, c, direction[3];
        poise_sincos_deg(180.0 * k / SPAN_DIRECTIONS, &s, &c);
        for (int i = 0; i < 3; i++)
            direction[i] = c * u[i] + s * v[i];
        longest = fmax(longest, width_along(mesh, direction));
    }
    return longest;
}

/* The longest level distance from the pocket's centre to its edge. */
static double reach_mm(const PoiseMesh *mesh, const double centre_mm[3], const double up[3])
{
    double longest = 0.0;
    for (size_t i = 0; i < mesh->vertex_count; i++) {
        double arm[3], across[3];
        for (int k = 0; k < 3; k++)
            arm[k] = mesh->vertices_mm[3 * i + (size_t)k] - centre_mm[k];
        poise_cross(up, arm, across);
        longest = fmax(longest, poise_length(across));
    }
    return longest;
}

/* A pocket that cures out of level by the slope t holds more resin at its low end. Over a level
 * floor of area A and mean depth d the depth changes by g·(r − c), |g| = t, so the centre moves by
 * S g / d with S = ∫(r − c)(r − c)ᵀ dA / A. For a pocket of even depth S equals the volume's own,
 * J/m, across `up`. Which end is low is not known: g may point any way, so each of its two
 * components has variance t²/2. */
static void add_tilt_doubt(const PoiseBody *body, const double up[3], double slope, double depth_mm,
                           double place_u_mm[3])
{
    if (!(depth_mm > 0.0) || !(body->mass_g > 0.0))
        return;
    double u[3], v[3], spread[3][3];
    level_axes(up, u, v);
    double half_trace =
        (body->inertia_gmm2[0][0] + body->inertia_gmm2[1][1] + body->inertia_gmm2[2][2]) / 2.0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            spread[i][j] = ((i == j ? half_trace : 0.0) - body->inertia_gmm2[i][j]) / body->mass_g;
    double along_u[3], along_v[3];
    poise_rotate(spread, u, along_u);
    poise_rotate(spread, v, along_v);
    /* Only the level part of S g: the rise of the centre is of second order. */
    double rise_u = poise_dot(along_u, up), rise_v = poise_dot(along_v, up);
    for (int i = 0; i < 3; i++) {
        double shift = hypot(along_u[i] - rise_u * up[i], along_v[i] - rise_v * up[i]);
        place_u_mm[i] = hypot(place_u_mm[i], shift * slope / sqrt(2.0) / depth_mm);
    }
}

static PoiseStatus from_mesh(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseItemBody *out, PoiseFaults *faults)
{
    const PoisePoured *poured = &item->as.poured;
    double length = poise_length(poured->up), up[3];
    if (!(length > 0.0))
        return poise_item_fault(instrument, item, POISE_E_INPUT, "/up", "a direction of no length",
                                "which way is up while pouring", NULL, faults);
    for (int i = 0; i < 3; i++)
        up[i] = poured->up[i] / length;
    double s, c;
    poise_sincos_deg(poured->tilt_deg, &s, &c);
    if (!(c > 0.0))
        return poise_item_fault(instrument, item, POISE_E_INPUT, "/tilt", "a pocket on its side",
                                "degrees out of level, below 90", NULL, faults);
    PoiseMesh *mesh;
    PoiseMoments moments;
    PoiseStatus status =
        poise_mesh_item(instrument, item, poured->mesh, poured->mesh_unit, &mesh, &moments, faults);
    if (status)
        return status;
    poise_fill_uniform(&moments, poured->material, out);
    out->doubt.own_u_g = POISE_POUR_U_SHARE * out->body.mass_g;
    double slope = fabs(s / c);
    out->pour.depth_mm = width_along(mesh, up);
    out->pour.tilt_error_mm = span_mm(mesh, up) * slope;
    /* Level resin over a covered floor has its mean depth at the floor's centre. */
    out->pour.low_rise_mm = reach_mm(mesh, out->body.centre_mm, up) * slope;
    add_tilt_doubt(&out->body, up, slope, out->pour.depth_mm, out->doubt.place_u_mm);
    status = poise_mesh_item_warn(mesh, out, faults);
    poise_mesh_free(mesh);
    return status;
}

/* The edge of a floor of area A is nowhere nearer to its centre, all around, than √(A/π), the
 * radius of the round floor: an edge nearer than that would hold less. */
static double least_rise_mm(const PoisePoured *poured)
{
    double s, c;
    poise_sincos_deg(poured->tilt_deg, &s, &c);
    if (s == 0.0)
        return 0.0;
    if (!(poured->depth_mm > 0.0))
        return NAN;
    double area_mm2 = poured->volume_ml.value * MM3_PER_ML / poured->depth_mm;
    return sqrt(area_mm2 / acos(-1.0)) * fabs(s / c);
}

static void from_volume(const PoisePoured *poured, PoiseItemBody *out)
{
    static const double origin[3] = {0.0, 0.0, 0.0};
    double density = poured->material->density_g_cm3.value;
    /* 1 g/cm³ is 1 g/mL. */
    out->body = poise_body_point(density * poured->volume_ml.value, origin);
    out->doubt.density_u_g = poise_density_doubt_g(poured->material, out->body.mass_g);
    bool stated = poured->volume_ml.u > 0.0;
    out->doubt.own_u_g =
        stated ? density * poured->volume_ml.u : POISE_POUR_U_SHARE * out->body.mass_g;
    for (int i = 0; i < 3; i++)
        out->doubt.place_u_mm[i] = POISE_PLACE_U_MM;
    out->has_volumes = true;
    out->perimeter_mm3 = out->skin_mm3 = out->infill_mm3 = NAN;
    out->solid_mm3 = poured->volume_ml.value * MM3_PER_ML;
    out->pour.depth_mm = poured->depth_mm;
    out->pour.tilt_error_mm = NAN;
    out->pour.low_rise_mm = least_rise_mm(poured);
    out->pour.rise_at_least = poured->tilt_deg != 0.0;
}

/* 0: unknown, or no number of them keeps to the limit. */
static int pours_for(double depth_mm, double limit_mm)
{
    if (!(depth_mm > 0.0) || !(limit_mm > 0.0))
        return 0;
    double pours = ceil((depth_mm - POUR_SLACK_MM) / limit_mm);
    if (!(pours <= POURS_AT_MOST))
        return 0;
    return pours < 1.0 ? 1 : (int)pours;
}

/* The deepest place of a pour decides how many it takes: level resin in a pocket out of level
 * stands at the low side by low_rise_mm deeper than its mean. A pour thinner than that rise leaves
 * the high side dry and gathers at the low one, so that thinner pours are no way out. */
static void plan_pours(const PoiseMaterial *material, PoisePourFacts *p)
{
    p->limit_mm = material->pour_limit_mm;
    p->level_pours = p->pours = pours_for(p->depth_mm, p->limit_mm);
    if (!(p->low_rise_mm > 0.0))
        return;
    p->over_rim = p->low_rise_mm > RIM_HOLDS_MM;
    if (p->level_pours > 0) {
        p->pours = pours_for(p->depth_mm, p->limit_mm - p->low_rise_mm);
        p->too_steep = p->pours == 0 || (p->pours > 1 && p->low_rise_mm * p->pours > p->depth_mm);
    }
    if (p->too_steep)
        p->pours = 0;
    p->floor_dry = p->low_rise_mm > p->depth_mm;
}

/* Curing keeps mass: the liquid weighs what the cured layer weighs, and what stays in the cup on
 * top. The pigment is a share of that mixture; parts A and B make up the rest. A ratio by volume
 * becomes one by mass with the densities of the two liquids. */
static PoiseStatus fill_cups(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseItemBody *out, PoiseFaults *faults)
{
    const PoisePoured *poured = &item->as.poured;
    double a = poured->ratio_a, b = poured->ratio_b;
    if (!(a > 0.0) || !(b > 0.0) || !isfinite(a + b))
        return poise_item_fault(instrument, item, POISE_E_INPUT, "/mix/ratio",
                                "a part that is not positive",
                                "\"2:1 by mass\" or \"1:1 by volume\"", NULL, faults);
    if (!(poured->pigment >= 0.0 && poured->pigment < 1.0))
        return poise_item_fault(instrument, item, POISE_E_INPUT, "/mix/pigment",
                                "a mixture of pigment alone",
                                "a fraction of the mixture, 0 to below 1", NULL, faults);
    if (!poured->ratio_by_mass) {
        const PoiseMaterial *m = poured->material;
        if (!(m->part_a_g_cm3 > 0.0) || !(m->part_b_g_cm3 > 0.0)) {
            poise_item_add_warning(out, "mixed by volume, but the material has no densities of its "
                                        "two parts: cups not weighed out");
            return POISE_OK;
        }
        a *= m->part_a_g_cm3;
        b *= m->part_b_g_cm3;
    }
    double mixture = out->body.mass_g * (1.0 + poured->waste);
    out->pour.has_cups = true;
    out->pour.waste = poured->waste;
    out->pour.pigment_g = mixture * poured->pigment;
    out->pour.cup_a_g = (mixture - out->pour.pigment_g) * (a / (a + b));
    out->pour.cup_b_g = (mixture - out->pour.pigment_g) * (b / (a + b));
    return POISE_OK;
}

PoiseStatus poise_poured_body(const PoiseInstrument *instrument, const PoiseItem *item,
                              const PoiseSectionOptions *options, PoiseItemBody *out, bool *placed,
                              PoiseFaults *faults)
{
    (void)options;
    (void)placed;
    const PoisePoured *poured = &item->as.poured;
    out->has_pour = true;
    if (poured->mesh) {
        PoiseStatus status = from_mesh(instrument, item, out, faults);
        if (status)
            return status;
    } else {
        from_volume(poured, out);
    }
    out->pour.tilt_deg = fabs(poured->tilt_deg);
    plan_pours(poured->material, &out->pour);
    return poured->has_mix ? fill_cups(instrument, item, out, faults) : POISE_OK;
}
