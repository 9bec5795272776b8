#include "bodies/print_facts.h"

#include <math.h>

#include "base/vec.h"

static const double PI = 3.14159265358979323846;
static const double DEG_PER_RAD = 57.295779513082320877; /* 180/π */
/* Kinks nearer than this are one, told apart by rounding only; the line through two values would be
 * noise. */
static const double KINK_GAP_DEG = 1e-6;

static double or_default(double value, double fallback)
{
    return value > 0.0 && isfinite(value) ? value : fallback;
}

static void find_filament(const PoisePrintJob *job, const PoisePrinter *printer,
                          PoisePrintFacts *facts)
{
    facts->filament_g = job->body_g * (1.0 + job->waste) + job->support_g;
    double volume_mm3 = 1000.0 * facts->filament_g / job->density_g_cm3;
    double filament_mm = or_default(printer->filament_mm, POISE_PRINT_FILAMENT_MM);
    facts->filament_m = volume_mm3 / (PI / 4.0 * filament_mm * filament_mm) / 1000.0;

    double flow = or_default(printer->flow_mm3_s.value, POISE_PRINT_FLOW_MM3_S);
    double per_layer =
        printer->layer_seconds >= 0.0 ? printer->layer_seconds : POISE_PRINT_LAYER_SECONDS;
    double seconds = volume_mm3 / flow + (double)job->layers * per_layer;
    facts->hours = seconds / 3600.0;

    facts->spools = printer->spool_g > 0.0 ? facts->filament_g / printer->spool_g : NAN;
    facts->price = facts->spools * printer->price;
}

/* The box's three edges as seen from above, in the bed's axes at turn 0. */
typedef struct Footprint {
    double edge[3][2];
    double height;
} Footprint;

void poise_bed_axes(const double up[3], double axes[3][3])
{
    double *x = axes[0], *z = axes[2], length = poise_length(up);
    int nearest = 0;
    for (int i = 0; i < 3; i++) {
        z[i] = up[i] / length;
        if (fabs(up[i]) > fabs(up[nearest]))
            nearest = i;
    }
    int next = (nearest + 1) % 3;
    for (int i = 0; i < 3; i++)
        x[i] = (i == next ? 1.0 : 0.0) - z[next] * z[i];
    length = poise_length(x);
    for (int i = 0; i < 3; i++)
        x[i] /= length;
    poise_cross(z, x, axes[1]);
}

static Footprint footprint_of(const double size_mm[3], const double up[3])
{
    double axes[3][3];
    poise_bed_axes(up, axes);
    Footprint f = {.height = 0.0};
    for (int i = 0; i < 3; i++) {
        f.edge[i][0] = size_mm[i] * axes[0][i];
        f.edge[i][1] = size_mm[i] * axes[1][i];
        f.height += size_mm[i] * fabs(axes[2][i]);
    }
    return f;
}

/* Extents along the bed's x and y of the turned footprint: the shadow of a box is the sum of its
 * edges' shadows. */
static void extents(const Footprint *f, double turn_deg, double size[2])
{
    double s, c;
    poise_sincos_deg(turn_deg, &s, &c);
    size[0] = size[1] = 0.0;
    for (int i = 0; i < 3; i++) {
        size[0] += fabs(c * f->edge[i][0] - s * f->edge[i][1]);
        size[1] += fabs(s * f->edge[i][0] + c * f->edge[i][1]);
    }
}

/* The best turn so far and by how much the tighter side is over the bed there (negative: room to
 * spare). */
typedef struct Best {
    double turn_deg, excess_mm;
} Best;

static double excess_at(const Footprint *f, const double bed_mm[3], double turn_deg)
{
    double size[2];
    extents(f, turn_deg, size);
    return fmax(size[0] - bed_mm[0], size[1] - bed_mm[1]);
}

static void consider(Best *best, const Footprint *f, const double bed_mm[3], double turn_deg)
{
    double excess = excess_at(f, bed_mm, turn_deg);
    if (excess < best->excess_mm)
        *best = (Best){turn_deg, excess};
}

/* Turns between two neighbouring kinks at which both sides are equally tight: there width − depth
 * is one sinusoid a cos t + b sin t, and it has to equal the bed's own difference. */
static void consider_crossings(Best *best, const Footprint *f, const double bed_mm[3],
                               double lo_deg, double hi_deg)
{
    if (hi_deg - lo_deg < KINK_GAP_DEG)
        return;
    /* Two of its values give a and b. */
    double quarter = (hi_deg - lo_deg) / 4.0, s1, c1, s2, c2, size1[2], size2[2];
    extents(f, lo_deg + quarter, size1);
    extents(f, hi_deg - quarter, size2);
    poise_sincos_deg(lo_deg + quarter, &s1, &c1);
    poise_sincos_deg(hi_deg - quarter, &s2, &c2);
    double d1 = size1[0] - size1[1], d2 = size2[0] - size2[1];
    double det = c1 * s2 - c2 * s1;
    double a = (d1 * s2 - d2 * s1) / det, b = (d2 * c1 - d1 * c2) / det;
    double wanted = bed_mm[0] - bed_mm[1], amplitude = hypot(a, b);
    if (!(amplitude > fabs(wanted)))
        return;
    double phase_deg = atan2(b, a) * DEG_PER_RAD,
           swing_deg = acos(wanted / amplitude) * DEG_PER_RAD;
    for (int sign = -1; sign <= 1; sign += 2) {
        double t = phase_deg + sign * swing_deg;
        t -= 360.0 * floor((t - lo_deg) / 360.0); /* by whole turns to where it is not below lo */
        if (t < hi_deg)
            consider(best, f, bed_mm, t);
    }
}

static void sort(double *values, int n)
{
    for (int i = 1; i < n; i++)
        for (int j = i; j > 0 && values[j] < values[j - 1]; j--) {
            double swapped = values[j];
            values[j] = values[j - 1];
            values[j - 1] = swapped;
        }
}

/* Where an edge comes to lie along the bed's x or y the extents have a kink; between kinks they are
 * concave, so the tighter of the two is least at a kink or where both are equally tight. Half a
 * turn is all there is, and the quarter turns are tried first, so that a tie leaves the part square
 * to the bed. */
static Best best_turn(const Footprint *f, const double bed_mm[3])
{
    Best best = {0.0, excess_at(f, bed_mm, 0.0)};
    if (best.excess_mm > POISE_BED_SLACK_MM)
        consider(&best, f, bed_mm, 90.0);
    if (best.excess_mm <= POISE_BED_SLACK_MM)
        return best;
    double kinks[8] = {0.0, 180.0};
    int count = 2;
    for (int i = 0; i < 3; i++) {
        double along = fmod(360.0 - atan2(f->edge[i][1], f->edge[i][0]) * DEG_PER_RAD, 90.0);
        kinks[count++] = along;
        kinks[count++] = along + 90.0;
    }
    sort(kinks, count);
    for (int i = 0; i + 1 < count; i++) {
        consider(&best, f, bed_mm, kinks[i]);
        consider_crossings(&best, f, bed_mm, kinks[i], kinks[i + 1]);
    }
    return best;
}

PoiseBedFit poise_bed_fit(const double size_mm[3], const double up[3], const double bed_mm[3])
{
    Footprint f = footprint_of(size_mm, up);
    Best best = best_turn(&f, bed_mm);
    PoiseBedFit fit = {.turn_deg = best.turn_deg};
    extents(&f, best.turn_deg, fit.size_mm);
    fit.size_mm[2] = f.height;
    fit.fits = true;
    for (int i = 0; i < 3; i++) {
        double over = fit.size_mm[i] - bed_mm[i];
        if ((i == 2 && bed_mm[2] <= 0.0) || over <= POISE_BED_SLACK_MM)
            continue;
        fit.over_mm[i] = over;
        fit.fits = false;
    }
    return fit;
}

void poise_print_facts(const PoisePrintJob *job, const PoisePrinter *printer,
                       PoisePrintFacts *facts)
{
    *facts = (PoisePrintFacts){0};
    find_filament(job, printer, facts);
    facts->bed_known = printer->bed_mm[0] > 0.0 && printer->bed_mm[1] > 0.0;
    /* Without a bed any part fits; the size is told as it stands. */
    const double endless[3] = {INFINITY, INFINITY, 0.0};
    PoiseBedFit fit =
        poise_bed_fit(job->size_mm, job->up, facts->bed_known ? printer->bed_mm : endless);
    facts->fits_bed = facts->bed_known && fit.fits;
    facts->turn_deg = fit.turn_deg;
    for (int i = 0; i < 3; i++) {
        facts->over_mm[i] = fit.over_mm[i];
        facts->size_mm[i] = fit.size_mm[i];
    }
}

void poise_bed_words(const PoisePrintFacts *facts, PoiseText *text)
{
    const double *over = facts->over_mm;
    bool flat = over[0] > 0.0 || over[1] > 0.0;
    if (over[0] > 0.0 && over[1] > 0.0)
        poise_text_printf(text, "%.1f mm too large one way and %.1f mm the other", over[0],
                          over[1]);
    else if (flat)
        poise_text_printf(text, "%.1f mm too long", over[0] + over[1]);
    if (flat && fmod(facts->turn_deg, 90.0) != 0.0)
        poise_text_printf(text, ", even turned by %.0f° on the bed", facts->turn_deg);
    if (over[2] > 0.0)
        poise_text_printf(text, "%s%.1f mm too high", flat ? "; " : "", over[2]);
}
