#include "geometry/simplify.h"

#include <math.h>

#include "base/memory.h"
#include "geometry/reduce.h"

void poise_simplify_release(PoiseSimplifyWork *work)
{
    poise_release(work->owed);
    *work = (PoiseSimplifyWork){0};
}

static bool make_room(PoiseSimplifyWork *work, size_t n)
{
    if (n <= work->capacity)
        return true;
    double *owed = poise_resize(work->owed, n + n / 2, sizeof *owed);
    if (!owed)
        return false;
    work->owed = owed;
    work->capacity = n + n / 2;
    return true;
}

/* Twice the area of the triangle a, b, c; positive when it turns left. */
static double twice_area(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
}

/* Moves the points of a ring one after the other, each across the line between its neighbours: that
 * changes the ring's area by half the move times the neighbours' distance, exactly. No point moves
 * by more than `farthest`. */
static void win_back(double (*p)[2], const double *owed, size_t n, double farthest)
{
    for (size_t i = 0; i < n; i++) {
        if (owed[i] == 0)
            continue;
        const double *before = p[i ? i - 1 : n - 1], *after = p[i + 1 < n ? i + 1 : 0];
        double dx = after[0] - before[0], dy = after[1] - before[1],
               length = sqrt(dx * dx + dy * dy);
        if (!(2 * fabs(owed[i]) <= farthest * length))
            continue;
        double move = 2 * owed[i] / length;
        p[i][0] += move * dy / length; /* to the right: away from the region */
        p[i][1] -= move * dx / length;
    }
}

static bool is_at(const double a[2], const double b[2])
{
    return a[0] == b[0] && a[1] == b[1];
}

/* Finds what the chords between the kept points gave up. The kept points are points of the old
 * ring, in its order. */
static void settle_chords(const PoiseRings *in, size_t ring, double (*kept)[2], size_t n,
                          double *owed)
{
    size_t start = poise_rings_start(in, ring), old = in->ends[ring] - start, at = 0;
    while (at + 1 < old && !is_at(in->points[start + at], kept[0]))
        at++;
    for (size_t i = 0; i < n; i++)
        owed[i] = 0;
    for (size_t i = 0, steps = 0; i < n; i++) {
        const double *from = kept[i], *to = kept[i + 1 < n ? i + 1 : 0];
        double twice = 0;
        const double *p = in->points[start + at];
        do {
            at = at + 1 < old ? at + 1 : 0;
            const double *q = in->points[start + at];
            twice += twice_area(from, p, q);
            p = q;
        } while (!is_at(p, to) && ++steps < old);
        owed[i] += twice / 4;
        owed[i + 1 < n ? i + 1 : 0] += twice / 4;
    }
}

bool poise_simplify(const PoiseRings *in, double tolerance, double budget_mm2,
                    PoiseSimplifyWork *work, double *given_up_mm2, PoiseRings *out)
{
    double left = budget_mm2;
    for (size_t r = 0; r < in->rings; r++) {
        double given_up = 0;
        size_t rings = out->rings;
        /* half of the budget: what is won back is given or taken once more */
        poise_reduce_ring(in, r, tolerance, left / 2, &given_up, out);
        left = fmax(0, left - 2 * given_up);
        *given_up_mm2 += 2 * given_up;
        if (out->rings == rings || given_up == 0)
            continue;
        size_t start = poise_rings_start(out, rings), n = out->count - start;
        if (!make_room(work, n))
            return false;
        settle_chords(in, r, out->points + start, n, work->owed);
        win_back(out->points + start, work->owed, n, tolerance);
    }
    return !out->failed;
}
