#include "bodies/fastener.h"

#include <math.h>
#include <stdbool.h>

#include "bodies/doubt.h"

static const double PI = 3.14159265358979323846;
static const double G_PER_MM3 = 1e-3; /* of 1 g/cm³ */
static const double ORIGIN[3] = {0.0, 0.0, 0.0};

/* How much of its enclosing solid a screw head fills once the driving recess, and on a pan head the
 * rounded crown, are taken off. The truth lies between this much missing twice over and nothing
 * missing: half-width 1 − fill of a rectangular distribution. Common practice, no source. */
static const double PAN_FILL = 0.75, COUNTERSUNK_FILL = 0.90, CYLINDER_FILL = 0.90;

/* A wood screw's thread as a plain cylinder: its diameter as a share of the nominal one lies
 * between the core's (0.65) and a coarse thread filled in (0.85). The point is a cone one diameter
 * long. Common practice, no source. */
static const double WOOD_THREAD_LO = 0.65, WOOD_THREAD = 0.75, WOOD_THREAD_HI = 0.85;

double poise_thread_pitch_diameter_mm(double thread_mm, double pitch_mm)
{
    return thread_mm - 0.64951905283832898507 * pitch_mm; /* 3√3/8 */
}

double poise_thread_nut_minor_diameter_mm(double thread_mm, double pitch_mm)
{
    return thread_mm - 1.08253175473054830845 * pitch_mm; /* 5√3/8 */
}

static double circle_mm2(double diameter_mm)
{
    return PI / 4.0 * diameter_mm * diameter_mm;
}

/* With the radius r(t) = a + (b − a)t at t = x/h:
 *   V = πh ∫r² dt            = πh (a² + ab + b²)/3
 *   ∫x dV = πh² ∫t r² dt     = πh² (a² + 2ab + 3b²)/12
 *   ∫x² dV = πh³ ∫t² r² dt   = πh³ (a²/30 + ab/10 + b²/5)
 *   axial ∫(y² + z²) dV = πh/2 ∫r⁴ dt = πh (a⁴ + a³b + a²b² + ab³ + b⁴)/10, half of it for y²
 * alone. */
PoiseBody poise_body_frustum(double density_g_cm3, double x_mm, double r0_mm, double r1_mm,
                             double length_mm)
{
    double a = r0_mm, b = r1_mm, h = length_mm, k = density_g_cm3 * G_PER_MM3 * PI * h;
    double mass = k * (a * a + a * b + b * b) / 3.0;
    if (!(mass > 0.0))
        return poise_body_point(0.0, (double[3]){x_mm, 0.0, 0.0});
    double middle = k * h * (a * a + 2.0 * a * b + 3.0 * b * b) / 12.0 / mass;
    double along = k * h * h * (a * a / 30.0 + a * b / 10.0 + b * b / 5.0) - mass * middle * middle;
    double axial =
        k * (a * a * a * a + a * a * a * b + a * a * b * b + a * b * b * b + b * b * b * b) / 10.0;
    return (PoiseBody){
        .mass_g = mass,
        .centre_mm = {x_mm + middle, 0.0, 0.0},
        .inertia_gmm2 = {{axial, 0.0, 0.0},
                         {0.0, axial / 2.0 + along, 0.0},
                         {0.0, 0.0, axial / 2.0 + along}},
    };
}

static PoiseBody rod(double density_g_cm3, double x_mm, double diameter_mm, double length_mm)
{
    double mass = density_g_cm3 * G_PER_MM3 * circle_mm2(diameter_mm) * length_mm;
    const double centre[3] = {x_mm + length_mm / 2.0, 0.0, 0.0};
    return poise_body_cylinder(mass, centre, diameter_mm, length_mm, 0);
}

/* A regular hexagonal prism about its middle. Side a = s/√3: area (√3/2)s², polar second moment of
 * area per area 5a²/12 = 5s²/36. */
static PoiseBody hexagon(double density_g_cm3, double flats_mm, double height_mm)
{
    double s2 = flats_mm * flats_mm;
    double mass = density_g_cm3 * G_PER_MM3 * sqrt(3.0) / 2.0 * s2 * height_mm;
    double axial = mass * 5.0 * s2 / 36.0;
    double across = axial / 2.0 + mass * height_mm * height_mm / 12.0;
    return (PoiseBody){.mass_g = mass,
                       .inertia_gmm2 = {{axial, 0.0, 0.0}, {0.0, across, 0.0}, {0.0, 0.0, across}}};
}

static bool positive(double value)
{
    return value > 0.0 && isfinite(value);
}

static void fill_volumes(PoiseFastener *f, double density_g_cm3)
{
    f->volume_mm3 = f->body.mass_g / (density_g_cm3 * G_PER_MM3);
    if (!(f->solid_mm3 > 0.0))
        f->solid_mm3 = f->volume_mm3;
}

/* The corners' chamfers are left on. The bore counts at the pitch diameter, where ridge and groove
 * are equally wide; what the truncated crests leave open lies between it and the minor diameter. */
static const char *nut(const PoiseGeometry *g, double density_g_cm3, PoiseFastener *f)
{
    bool square = g->kind == POISE_GEOMETRY_SQUARE_NUT;
    double s = g->across_flats_mm, m = g->height_mm;
    double bore = poise_thread_pitch_diameter_mm(g->thread_mm, g->pitch_mm);
    double minor = poise_thread_nut_minor_diameter_mm(g->thread_mm, g->pitch_mm);
    if (!positive(s) || !positive(m) || !positive(g->thread_mm) || !(g->pitch_mm >= 0.0))
        return "a nut without across_flats, height, thread and pitch";
    if (!(minor > 0.0))
        return "a pitch too coarse for the thread";
    if (!(g->thread_mm < s))
        return "a thread wider than the nut";
    PoiseBody block;
    if (square)
        block = poise_body_box(density_g_cm3 * G_PER_MM3 * s * s * m, ORIGIN,
                               (const double[3]){m, s, s});
    else
        block = hexagon(density_g_cm3, s, m);
    PoiseBody hole = rod(-density_g_cm3, -m / 2.0, bore, m);
    f->body = poise_body_add(&block, &hole);
    f->volume_u_mm3 = (circle_mm2(bore) - circle_mm2(minor)) * m * POISE_RECTANGULAR;
    f->extent_mm[0] = m;
    f->extent_mm[1] = s;
    f->extent_mm[2] = square ? s : 2.0 * s / sqrt(3.0);
    return NULL;
}

/* Adds the head. A countersunk head is a 90° cone from the head's diameter down to the neck (ISO
 * 7046), and a rim above it for what is left of the height; it lies within x = 0 … head_height.
 * Others are cylinders on the bearing plane, within x = −head_height … 0. */
static void add_head(const PoiseGeometry *g, double neck_mm, double density_g_cm3, PoiseFastener *f)
{
    double fill = g->head == POISE_HEAD_PAN           ? PAN_FILL
                  : g->head == POISE_HEAD_COUNTERSUNK ? COUNTERSUNK_FILL
                                                      : CYLINDER_FILL;
    double height = g->head_height_mm, density = fill * density_g_cm3;
    PoiseBody head;
    if (g->head == POISE_HEAD_COUNTERSUNK) {
        double cone = fmin((g->head_diameter_mm - neck_mm) / 2.0, height);
        PoiseBody rim = rod(density, 0.0, g->head_diameter_mm, height - cone);
        PoiseBody below = poise_body_frustum(density, height - cone, g->head_diameter_mm / 2.0,
                                             neck_mm / 2.0, cone);
        head = poise_body_add(&rim, &below);
    } else {
        head = rod(density, -height, g->head_diameter_mm, height);
    }
    double enclosing = head.mass_g / (density * G_PER_MM3);
    f->body = poise_body_add(&f->body, &head);
    f->solid_mm3 += enclosing;
    f->volume_u_mm3 = hypot(f->volume_u_mm3, (1.0 - fill) * enclosing * POISE_RECTANGULAR);
}

/* By trade rule a countersunk screw's length counts from the top of its head, any other's from
 * under it. */
static const char *screw(const PoiseGeometry *g, double density_g_cm3, PoiseFastener *f)
{
    bool wood = g->kind == POISE_GEOMETRY_WOOD_SCREW;
    bool flush = g->head == POISE_HEAD_COUNTERSUNK;
    double d = g->thread_mm;
    if (!positive(d) || !positive(g->length_mm) || !positive(g->head_diameter_mm) ||
        !positive(g->head_height_mm))
        return "a screw without thread, length, head_diameter and head_height";
    if (!(g->head_diameter_mm >= d))
        return "a head narrower than the thread";
    double from = flush ? g->head_height_mm : 0.0;
    double shank = g->length_mm - from;
    if (!(shank > 0.0))
        return "a countersunk screw no longer than its head";
    double diameter = wood ? WOOD_THREAD * d : poise_thread_pitch_diameter_mm(d, g->pitch_mm);
    if (!(g->pitch_mm >= 0.0) || !(diameter > 0.0))
        return "a pitch too coarse for the thread";
    double point = wood ? fmin(d, shank) : 0.0;
    PoiseBody straight = rod(density_g_cm3, from, diameter, shank - point);
    PoiseBody tip =
        poise_body_frustum(density_g_cm3, from + shank - point, diameter / 2.0, 0.0, point);
    f->body = poise_body_add(&straight, &tip);
    f->solid_mm3 = f->body.mass_g / (density_g_cm3 * G_PER_MM3);
    if (wood) {
        double spread = (WOOD_THREAD_HI * WOOD_THREAD_HI - WOOD_THREAD_LO * WOOD_THREAD_LO) / 2.0;
        f->volume_u_mm3 = spread / (WOOD_THREAD * WOOD_THREAD) * f->solid_mm3 * POISE_RECTANGULAR;
    }
    add_head(g, d, density_g_cm3, f);
    f->extent_mm[0] = g->length_mm + (flush ? 0.0 : g->head_height_mm);
    f->extent_mm[1] = f->extent_mm[2] = g->head_diameter_mm;
    return NULL;
}

static const char *tube(const PoiseGeometry *g, double bore_mm, double density_g_cm3,
                        PoiseFastener *f)
{
    double l = g->length_mm;
    if (!positive(g->diameter_mm) || !positive(l))
        return "a round part without diameter and length";
    if (!(bore_mm >= 0.0) || !(bore_mm < g->diameter_mm))
        return "a bore wider than the diameter";
    PoiseBody whole = rod(density_g_cm3, -l / 2.0, g->diameter_mm, l);
    PoiseBody hole = rod(-density_g_cm3, -l / 2.0, bore_mm, l);
    f->body = bore_mm > 0.0 ? poise_body_add(&whole, &hole) : whole;
    f->extent_mm[0] = l;
    f->extent_mm[1] = f->extent_mm[2] = g->diameter_mm;
    return NULL;
}

static const char *block(const PoiseGeometry *g, double density_g_cm3, PoiseFastener *f)
{
    double volume = 1.0;
    for (int i = 0; i < 3; i++) {
        if (!positive(g->size_mm[i]))
            return "a box without three sizes";
        volume *= g->size_mm[i];
        f->extent_mm[i] = g->size_mm[i];
    }
    f->body = poise_body_box(density_g_cm3 * G_PER_MM3 * volume, ORIGIN, g->size_mm);
    return NULL;
}

PoiseStatus poise_fastener(const PoiseGeometry *geometry, double density_g_cm3,
                           PoiseFastener *fastener, const char **complaint)
{
    const char *wrong = "a part without dimensions";
    *fastener = (PoiseFastener){0};
    if (!positive(density_g_cm3))
        wrong = "a density that is not positive";
    else
        switch (geometry->kind) {
        case POISE_GEOMETRY_NONE:
            break;
        case POISE_GEOMETRY_SQUARE_NUT:
        case POISE_GEOMETRY_HEX_NUT:
            wrong = nut(geometry, density_g_cm3, fastener);
            break;
        case POISE_GEOMETRY_MACHINE_SCREW:
        case POISE_GEOMETRY_WOOD_SCREW:
            wrong = screw(geometry, density_g_cm3, fastener);
            break;
        case POISE_GEOMETRY_CYLINDER:
            wrong = tube(geometry, 0.0, density_g_cm3, fastener);
            break;
        case POISE_GEOMETRY_TUBE:
            wrong = tube(geometry, geometry->bore_mm, density_g_cm3, fastener);
            break;
        case POISE_GEOMETRY_BOX:
            wrong = block(geometry, density_g_cm3, fastener);
            break;
        }
    if (complaint)
        *complaint = wrong;
    if (wrong)
        return POISE_E_DOMAIN;
    fill_volumes(fastener, density_g_cm3);
    return POISE_OK;
}
