#include "geometry/toolpath_path.h"

#include <math.h>
#include <stdio.h>

#include "base/limits.h"
#include "base/text.h"

#define PI 3.14159265358979323846

/* mm. How far the ends of an arc may differ in their distance from its middle. Words written to
 * 0.01 mm put ends and middle off by up to 0.02 mm together; the half of 0.05 mm that the arc used
 * here is off is a twentieth of a bead. */
static const double MOST_RADIUS_GAP_MM = 0.05;
/* mm. Ends nearer than this are one place, so that the arc is a full turn: a tenth of the last
 * digit that programs write. */
static const double SAME_PLACE_MM = 1e-5;

/* rad. Below this sin a − a cos a = a³/3 − … loses digits to cancellation, and its first term is
 * right to a²/10. */
static const double SMALL_ANGLE = 1e-4;

static PoiseStatus no_arc(const PoiseBlock *block, char letter, const char *what, double value,
                          const char *expected, PoiseFaults *faults)
{
    char number[32], found[96];
    poise_double_text(value, number);
    snprintf(found, sizeof found, "an arc %s %s mm", what, number);
    return poise_block_refuse(block, block->place[letter - 'A'], found, expected, faults);
}

/* The angle turned from the start to the end, in the sense of the arc. A full turn when they are
 * one place. */
static double swept(const PoisePath *path, bool clockwise)
{
    const double *a = path->from_mm, *b = path->to_mm, *m = path->middle_mm;
    double end = atan2(b[1] - m[1], b[0] - m[0]);
    if (hypot(b[0] - a[0], b[1] - a[1]) < SAME_PLACE_MM)
        return clockwise ? -2 * PI : 2 * PI;
    double sweep = end - path->start_rad;
    if (clockwise && sweep >= 0)
        sweep -= 2 * PI;
    else if (!clockwise && sweep <= 0)
        sweep += 2 * PI;
    return sweep;
}

static PoiseStatus by_middle(PoisePath *path, const PoiseBlock *block, double unit,
                             PoiseFaults *faults)
{
    const double *a = path->from_mm, *b = path->to_mm;
    char letter = poise_block_has(block, 'I') ? 'I' : 'J';
    double i = poise_block_has(block, 'I') ? poise_block_value(block, 'I') * unit : 0;
    double j = poise_block_has(block, 'J') ? poise_block_value(block, 'J') * unit : 0;
    path->middle_mm[0] = a[0] + i;
    path->middle_mm[1] = a[1] + j;
    double start = hypot(i, j);
    double end = hypot(b[0] - path->middle_mm[0], b[1] - path->middle_mm[1]);
    if (!(start <= POISE_LIMIT_COORDINATE_MM))
        return poise_block_refuse_word(block, letter, "a radius of at most 10000 mm", faults);
    if (!(start > SAME_PLACE_MM))
        return no_arc(block, letter, "of radius", start, "a radius above 0", faults);
    if (!(fabs(end - start) <= MOST_RADIUS_GAP_MM))
        return no_arc(block, letter, "whose ends' distances from the middle differ by",
                      fabs(end - start), "at most 0.05 mm", faults);
    path->radius_mm = 0.5 * (start + end);
    return POISE_OK;
}

/* The middle lies on the bisector of the chord, √(r² − c²/4) from it: to the left of the way for
 * the shorter counter-clockwise arc. */
static PoiseStatus by_radius(PoisePath *path, const PoiseBlock *block, double unit, bool clockwise,
                             PoiseFaults *faults)
{
    const double *a = path->from_mm, *b = path->to_mm;
    double signed_radius = poise_block_value(block, 'R') * unit, r = fabs(signed_radius);
    double dx = b[0] - a[0], dy = b[1] - a[1], chord = hypot(dx, dy);
    if (!(chord > SAME_PLACE_MM))
        return no_arc(block, 'R', "given by its radius with a chord of", chord,
                      "two ends apart, or I and J", faults);
    if (!(r <= POISE_LIMIT_COORDINATE_MM))
        return poise_block_refuse_word(block, 'R', "a radius of at most 10000 mm", faults);
    if (r < 0.5 * chord - MOST_RADIUS_GAP_MM) {
        char half[32], expected[64];
        poise_double_text(0.5 * chord, half);
        snprintf(expected, sizeof expected, "at least half the chord, %s mm", half);
        return no_arc(block, 'R', "of radius", r, expected, faults);
    }
    r = fmax(r, 0.5 * chord);
    bool left = clockwise == (signed_radius < 0);
    double height = sqrt((r - 0.5 * chord) * (r + 0.5 * chord)) * (left ? 1 : -1);
    path->middle_mm[0] = 0.5 * (a[0] + b[0]) - dy / chord * height;
    path->middle_mm[1] = 0.5 * (a[1] + b[1]) + dx / chord * height;
    path->radius_mm = r;
    return POISE_OK;
}

PoiseStatus poise_path_arc(PoisePath *path, const PoiseBlock *block, double mm_per_unit,
                           bool clockwise, PoiseFaults *faults)
{
    bool middle = poise_block_has(block, 'I') || poise_block_has(block, 'J');
    bool radius = poise_block_has(block, 'R');
    if (middle == radius)
        return poise_block_refuse(block, NULL,
                                  middle ? "an arc with both a middle and a radius"
                                         : "an arc without I, J or R",
                                  "I and J, or R", faults);
    path->arc = true;
    PoiseStatus status = middle ? by_middle(path, block, mm_per_unit, faults)
                                : by_radius(path, block, mm_per_unit, clockwise, faults);
    if (status)
        return status;
    path->start_rad =
        atan2(path->from_mm[1] - path->middle_mm[1], path->from_mm[0] - path->middle_mm[0]);
    path->sweep_rad = swept(path, clockwise);
    return POISE_OK;
}

double poise_path_length_mm(const PoisePath *path)
{
    double dx = path->to_mm[0] - path->from_mm[0], dy = path->to_mm[1] - path->from_mm[1];
    double dz = path->to_mm[2] - path->from_mm[2];
    /* Coordinates are limited, so the squares can not overflow. */
    double turned = path->radius_mm * path->sweep_rad;
    return sqrt((path->arc ? turned * turned : dx * dx + dy * dy) + dz * dz);
}

void poise_path_at(const PoisePath *path, double fraction, double at_mm[3])
{
    for (int i = 0; i < 3; i++)
        at_mm[i] = path->from_mm[i] + fraction * (path->to_mm[i] - path->from_mm[i]);
    if (!path->arc)
        return;
    double angle = path->start_rad + fraction * path->sweep_rad;
    at_mm[0] = path->middle_mm[0] + path->radius_mm * cos(angle);
    at_mm[1] = path->middle_mm[1] + path->radius_mm * sin(angle);
}

static void grow(PoisePathMeans *means, const double at_mm[3])
{
    for (int i = 0; i < 3; i++) {
        means->min_mm[i] = poise_path_least(means->min_mm[i], at_mm[i]);
        means->max_mm[i] = poise_path_most(means->max_mm[i], at_mm[i]);
    }
}

/* A uniform rod between two points: mean square d²/12 about its middle. */
static PoisePathMeans line_means(const double a[3], const double b[3])
{
    PoisePathMeans means;
    double d[3];
    for (int i = 0; i < 3; i++) {
        d[i] = b[i] - a[i];
        means.at_mm[i] = a[i] + 0.5 * d[i];
        means.min_mm[i] = poise_path_least(a[i], b[i]);
        means.max_mm[i] = poise_path_most(a[i], b[i]);
    }
    means.spread_mm2[0] = d[0] * d[0] * (1.0 / 12);
    means.spread_mm2[1] = d[1] * d[1] * (1.0 / 12);
    means.spread_mm2[2] = d[2] * d[2] * (1.0 / 12);
    means.spread_mm2[3] = d[0] * d[1] * (1.0 / 12);
    means.spread_mm2[4] = d[1] * d[2] * (1.0 / 12);
    means.spread_mm2[5] = d[2] * d[0] * (1.0 / 12);
    return means;
}

/* The farthest points of the arc along the axes, where they lie on it. */
static void grow_over_arc(PoisePathMeans *means, const PoisePath *path, double start, double sweep)
{
    double lo = fmin(start, start + sweep), hi = fmax(start, start + sweep);
    for (double quarter = ceil(lo / (PI / 2)); quarter * (PI / 2) <= hi; quarter++) {
        double angle = quarter * (PI / 2);
        double at[3] = {path->middle_mm[0] + path->radius_mm * cos(angle),
                        path->middle_mm[1] + path->radius_mm * sin(angle), means->at_mm[2]};
        grow(means, at);
    }
}

/* With u along the bisector of the angle 2a from the middle, v across it, s the angle from the
 * bisector, z = z̄ + dz s/(2a):
 *     ū = r sin a/a,  mean u² = r² (1/2 + sin 2a/(4a)),  mean v² = r² (1/2 − sin 2a/(4a)),
 *     mean v(z − z̄) = dz r (sin a − a cos a)/(2a²),  mean (z − z̄)² = dz²/12,
 * the others 0 by symmetry. All are even in a but the last with dz, whose sign a carries. */
static PoisePathMeans arc_means(const PoisePath *path, double fraction)
{
    double from[3];
    poise_path_at(path, fraction, from);
    PoisePathMeans means = line_means(from, path->to_mm);
    double start = path->start_rad + fraction * path->sweep_rad;
    double sweep = (1 - fraction) * path->sweep_rad;
    grow_over_arc(&means, path, start, sweep);

    double a = 0.5 * sweep, r = path->radius_mm, dz = path->to_mm[2] - from[2];
    double c = cos(start + a), s = sin(start + a), sa = sin(a), ca = cos(a);
    double u = r * sa / a, half = sa * ca / (2 * a);
    double uu = r * r * (0.5 + half) - u * u, vv = r * r * (0.5 - half);
    double vz = dz * r * (fabs(a) < SMALL_ANGLE ? a / 6 : (sa - a * ca) / (2 * a * a));
    means.at_mm[0] = path->middle_mm[0] + u * c;
    means.at_mm[1] = path->middle_mm[1] + u * s;
    means.spread_mm2[0] = c * c * uu + s * s * vv;
    means.spread_mm2[1] = s * s * uu + c * c * vv;
    means.spread_mm2[3] = c * s * (uu - vv);
    means.spread_mm2[4] = c * vz;
    means.spread_mm2[5] = -s * vz;
    return means;
}

PoisePathMeans poise_path_means(const PoisePath *path, double fraction)
{
    if (path->arc)
        return arc_means(path, fraction);
    if (fraction == 0)
        return line_means(path->from_mm, path->to_mm);
    double from[3];
    poise_path_at(path, fraction, from);
    return line_means(from, path->to_mm);
}
