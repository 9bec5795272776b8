#include "geometry/offset.h"

#include <math.h>

#include "geometry/carve.h"
#include "geometry/islands.h"
#include "geometry/reduce.h"

/* The area that the joining of near points in an offset can lose or win, as a part of the strip
 * along the outline. */
#define SLACK 1e-5
/* The part of a region's area that would be missed: the accuracy wanted of a whole section. */
#define NOTABLE 1e-4
/* Ways that are tried. */
#define MOST_STEPS 4
/* GEOS joins points of an offset nearer to each other than a thousandth of the distance. */
#define SNAPPED 0.002
/* Points of each ring of an answer whose distance is checked. */
#define SAMPLES 2
/* Points of a carved region lie on a grid this fine, mm: far below that of the contours, so
 * that no edge turns notably. */
#define CARVED_MM 1e-8

void poise_offset_release(PoiseOffsetWork *work)
{
    poise_geos_free(work->geos);
    poise_crossing_release(&work->crossing);
    poise_rings_release(&work->island);
    poise_rings_release(&work->moved);
    poise_rings_release(&work->best);
    poise_rings_release(&work->strips);
    *work = (PoiseOffsetWork){0};
}

static bool have_library(PoiseOffsetWork *work)
{
    if (!work->geos)
        work->geos = poise_geos_new();
    return work->geos != NULL;
}

/* The area of a mitre over the squared distance, for half a turning angle with tangent t: two
 * triangles, or what is left of them where the limit cuts them off across the bisector. */
static double mitre_area(double t)
{
    const double limit = POISE_MITRE_LIMIT;
    double cosine = isinf(t) ? 0 : 1 / sqrt(1 + t * t), sine = isinf(t) ? 1 : t * cosine;
    if (cosine * limit >= 1)
        return t;
    double reach = (limit - cosine) / sine, half_width = sine - reach * cosine;
    return reach + limit * half_width;
}

/* What the corner between edges u and v takes from the strips along them, over the squared
 * distance: positive for a left turn, where they overlap by two triangles, negative for a mitre. */
static double overlap_at(const double u[2], const double v[2])
{
    double sine = u[0] * v[1] - u[1] * v[0], cosine = u[0] * v[0] + u[1] * v[1];
    double length = sqrt(sine * sine + cosine * cosine), base = length + cosine;
    double t = base > 0 ? fabs(sine) / base : INFINITY; /* tan(θ/2) = sin θ/(1 + cos θ) */
    return sine < 0 ? -mitre_area(t) : t;
}

/* An edge, and the turns at its ends. */
typedef struct Edge {
    double along[2], length, turn, next_turn;
    bool roomy; /* longer than what the bisectors at its ends cut off its moved copy */
} Edge;

static Edge edge_after(const Edge *before, const double from[2], const double to[2],
                       const double then[2], double w)
{
    Edge e = {.along = {to[0] - from[0], to[1] - from[1]}, .turn = before->next_turn};
    const double next[2] = {then[0] - to[0], then[1] - to[1]};
    e.length = sqrt(e.along[0] * e.along[0] + e.along[1] * e.along[1]);
    e.next_turn = overlap_at(e.along, next);
    e.roomy = e.length >= w * (fmax(0, e.turn) + fmax(0, e.next_turn));
    return e;
}

/* The most area an offset can take: a strip along each edge, plus the mitre at each reflex corner,
 * less the two triangles that the strips at a convex corner have in common, where both edges reach
 * beyond them. Where all edges do, and the moved outlines do not meet, that
 * is the very area. */
static double most_lost(const PoiseRings *in, double w)
{
    double lost = 0;
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), n = in->ends[r] - start;
        const double(*p)[2] = (const double(*)[2])(in->points + start);
        Edge before = {0}, edge = {0};
        before = edge_after(&edge, p[n - 2], p[n - 1], p[0], w);
        before = edge_after(&before, p[n - 1], p[0], p[1], w);
        for (size_t i = 0; i < n; i++) {
            edge = edge_after(&before, p[i], p[(i + 1) % n], p[(i + 2) % n], w);
            lost += w * edge.length;
            if (edge.turn < 0 || (before.roomy && edge.roomy))
                lost -= w * w * edge.turn;
            before = edge;
        }
    }
    return lost;
}

typedef struct Size {
    double area, length; /* mm², and mm of outline */
} Size;

static Size size_of(const PoiseRings *in)
{
    Size size = {0, 0};
    for (size_t r = 0; r < in->rings; r++) {
        size_t end = in->ends[r];
        const double *a = in->points[end - 1];
        size.area += poise_ring_area(in, r);
        for (size_t i = poise_rings_start(in, r); i < end; i++) {
            const double *b = in->points[i];
            size.length += sqrt((b[0] - a[0]) * (b[0] - a[0]) + (b[1] - a[1]) * (b[1] - a[1]));
            a = b;
        }
    }
    return size;
}

/* Whether a point lies in the region, at least `distance` from its outline. */
static bool keeps_distance(const PoiseRings *in, const double at[2], double distance)
{
    int winding = 0;
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), end = in->ends[r];
        const double *a = in->points[end - 1];
        for (size_t i = start; i < end; a = in->points[i++]) {
            const double *b = in->points[i];
            double dx = b[0] - a[0], dy = b[1] - a[1], px = at[0] - a[0], py = at[1] - a[1];
            double squared = dx * dx + dy * dy, across = px * dy - py * dx;
            if ((a[1] <= at[1]) != (b[1] <= at[1]) && (across > 0) == (dy > 0))
                winding += dy > 0 ? -1 : 1;
            if (across * across >= distance * distance * squared)
                continue;
            double t = fmin(fmax(px * dx + py * dy, 0), squared) / squared;
            px -= t * dx;
            py -= t * dy;
            if (px * px + py * py < distance * distance)
                return false;
        }
    }
    return winding == 1;
}

/* Whether something must have happened on the way: where no edge vanishes and nothing meets, the
 * outline's length changes linearly, and the area by its mean. Or a part has been lost. */
static bool is_eventful(Size before, double distance, Size after)
{
    double lost = before.area - after.area, even = distance * (before.length + after.length) / 2;
    return fabs(lost - even) > NOTABLE * before.area;
}

static bool is_plausible(const PoiseRings *in, Size before, double distance, const PoiseRings *out,
                         Size after)
{
    double lost = before.area - after.area, slack = SLACK * distance * before.length;
    /* Each edge of the answer has swept at least a triangle on its way. */
    if (!(lost >= distance * after.length / 2 - slack))
        return false;
    if (is_eventful(before, distance, after) && !(lost <= most_lost(in, distance) + slack))
        return false;
    for (size_t r = 0; r < in->rings; r++) {
        const double *p = in->points[poise_rings_start(in, r)];
        if (poise_rings_winding(out, p[0], p[1]) != 0)
            return false;
    }
    for (size_t r = 0; r < out->rings; r++) {
        size_t start = poise_rings_start(out, r), n = out->ends[r] - start;
        for (size_t i = 0; i < SAMPLES; i++)
            if (!keeps_distance(in, out->points[start + n * i / SAMPLES], distance * (1 - SNAPPED)))
                return false;
    }
    return true;
}

/* Appends islands without points that came out on top of each other. */
static bool add_tidy(const PoiseRings *in, PoiseRings *out)
{
    double ignored = 0;
    for (size_t first = 0; first < in->rings;) {
        size_t end = poise_island_end(in, first), rings = out->rings;
        poise_reduce_ring(in, first, POISE_STRAIGHT_MM, INFINITY, &ignored, out);
        for (size_t r = first + 1; r < end && out->rings > rings; r++)
            poise_reduce_ring(in, r, POISE_STRAIGHT_MM, INFINITY, &ignored, out);
        first = end;
    }
    return !out->failed;
}

/* What offsets in different numbers of steps may differ by: how much is missed, and what they make
 * of corners that are too sharp for a mitre. */
static double tolerance_of(const PoiseRings *in, Size before, double w)
{
    size_t sharp = 0;
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), end = in->ends[r];
        for (size_t i = start; i < end; i++) {
            size_t j = i + 1 < end ? i + 1 : start, k = j + 1 < end ? j + 1 : start;
            const double *a = in->points[i], *b = in->points[j], *c = in->points[k];
            const double u[2] = {b[0] - a[0], b[1] - a[1]}, v[2] = {c[0] - b[0], c[1] - b[1]};
            sharp += overlap_at(u, v) <
                     -mitre_area(sqrt(POISE_MITRE_LIMIT * POISE_MITRE_LIMIT - 1) * (1 - SNAPPED));
        }
    }
    return NOTABLE * before.area + (double)sharp * mitre_area(INFINITY) * w * w;
}

/* Cuts the strips along the edges away. Slits may remain along the outline. */
static PoiseStatus carve_island(double distance, Size before, PoiseOffsetWork *work)
{
    poise_rings_reset(&work->strips);
    poise_carve_strips(&work->island, distance, &work->strips);
    if (work->strips.failed)
        return POISE_E_MEMORY;
    PoiseStatus status =
        poise_geos_without(work->geos, &work->island, &work->strips, CARVED_MM, &work->moved);
    if (status)
        return status;
    poise_rings_reset(&work->best);
    if (!add_tidy(&work->moved, &work->best))
        return POISE_E_MEMORY;
    Size after = size_of(&work->best);
    return is_plausible(&work->island, before, distance, &work->best, after) ? POISE_OK
                                                                             : POISE_E_INTERNAL;
}

/* Asks GEOS for the offset of work->island. Mitred offsets add up, so more steps lead to the same
 * place by other ways. They are tried when an answer cannot be right, and to confirm one after
 * which much has changed: GEOS may lose a part there, and never adds one, so an answer with more
 * area is taken. Where all of them lose a part (beside slivers), the slow way remains. */
static PoiseStatus shrink_island(double distance, PoiseOffsetWork *work)
{
    Size before = size_of(&work->island);
    double best = -1, tolerance = 0;
    for (int steps = 1; steps <= MOST_STEPS; steps++) {
        PoiseStatus status =
            poise_geos_shrink(work->geos, &work->island, distance, steps, &work->moved);
        if (status == POISE_E_MEMORY)
            return status;
        Size after = size_of(&work->moved);
        if (status || !is_plausible(&work->island, before, distance, &work->moved, after)) {
            work->retries++;
            continue;
        }
        if (best < 0 && is_eventful(before, distance, after))
            tolerance = tolerance_of(&work->island, before, distance);
        bool confirmed = best < 0 ? tolerance == 0 : fabs(after.area - best) <= tolerance;
        if (after.area > best + tolerance || best < 0) {
            best = after.area;
            poise_rings_swap(&work->moved, &work->best);
        }
        if (confirmed)
            break;
    }
    return best >= 0 ? POISE_OK : carve_island(distance, before, work);
}

bool poise_offset_plausible(const PoiseRings *in, double distance, const PoiseRings *out)
{
    return is_plausible(in, size_of(in), distance, out, size_of(out));
}

PoiseStatus poise_offset_inward(const PoiseRings *in, double distance, PoiseOffsetWork *work,
                                PoiseRings *out)
{
    poise_rings_reset(out);
    if (in->rings > 0 && !have_library(work))
        return POISE_E_MEMORY;
    for (size_t r = 0; r < in->rings;) {
        size_t end = poise_island_end(in, r);
        poise_rings_reset(&work->island);
        for (; r < end; r++)
            poise_rings_add_ring(&work->island, in, r);
        if (work->island.failed)
            return POISE_E_MEMORY;
        PoiseStatus status = shrink_island(distance, work);
        if (status)
            return status;
        if (!add_tidy(&work->best, out))
            return POISE_E_MEMORY;
    }
    return POISE_OK;
}

PoiseStatus poise_region_unite(const PoiseRings *in, double tolerance, PoiseOffsetWork *work,
                               bool *joined, PoiseRings *out)
{
    poise_rings_reset(out);
    PoiseMeeting how = poise_rings_meet(in, tolerance, &work->crossing);
    *joined = how != POISE_RINGS_APART;
    if (how == POISE_RINGS_APART)
        return POISE_OK;
    if (how == POISE_RINGS_NO_MEMORY || !have_library(work))
        return POISE_E_MEMORY;
    double grid = how == POISE_RINGS_TOUCH ? tolerance : 0;
    PoiseStatus status = poise_geos_positive(work->geos, in, grid, &work->moved);
    return status ? status : add_tidy(&work->moved, out) ? POISE_OK : POISE_E_MEMORY;
}
