#include "geometry/islands.h"

#include <math.h>
#include <stdint.h>

#include "base/memory.h"

typedef struct Ring {
    double lo[2], hi[2], area; /* negative for a hole */
    double at[2];              /* a point of it where it touches no other: the middle of an edge */
    size_t outline;            /* of a hole */
} Ring;

static Ring look_at(const PoiseRings *in, size_t r)
{
    Ring ring = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}, poise_ring_area(in, r), {0}, 0};
    size_t start = poise_rings_start(in, r), end = in->ends[r];
    double longest = -1;
    for (size_t i = start; i < end; i++) {
        const double *a = in->points[i], *b = in->points[i + 1 < end ? i + 1 : start];
        double length = fabs(b[0] - a[0]) + fabs(b[1] - a[1]);
        for (int c = 0; c < 2; c++) {
            ring.lo[c] = fmin(ring.lo[c], a[c]);
            ring.hi[c] = fmax(ring.hi[c], a[c]);
            if (length > longest)
                ring.at[c] = (a[c] + b[c]) / 2;
        }
        longest = fmax(longest, length);
    }
    return ring;
}

static bool surrounds(const PoiseRings *in, const Ring *rings, size_t outline, const double at[2])
{
    const Ring *r = &rings[outline];
    if (at[0] < r->lo[0] || at[0] > r->hi[0] || at[1] < r->lo[1] || at[1] > r->hi[1])
        return false;
    return poise_ring_winding(in, outline, at[0], at[1]) != 0;
}

/* A hole belongs to the smallest outline around it. */
static void find_outlines(const PoiseRings *in, Ring *rings)
{
    for (size_t h = 0; h < in->rings; h++) {
        size_t best = SIZE_MAX;
        for (size_t r = 0; rings[h].area < 0 && r < in->rings; r++)
            if (rings[r].area >= 0 && (best == SIZE_MAX || rings[r].area < rings[best].area) &&
                surrounds(in, rings, r, rings[h].at))
                best = r;
        rings[h].outline = best;
    }
}

bool poise_islands_sort(PoiseRings *rings, PoiseRings *scratch)
{
    if (rings->rings < 2)
        return !rings->failed;
    /* One list of holes per outline: first[r], then next[h]. */
    size_t n = rings->rings;
    Ring *found = poise_resize(NULL, n, sizeof *found);
    size_t *links = poise_resize(NULL, 2 * n, sizeof *links);
    if (found && links) {
        size_t *first = links, *next = links + n;
        for (size_t r = 0; r < n; r++) {
            found[r] = look_at(rings, r);
            first[r] = next[r] = SIZE_MAX;
        }
        find_outlines(rings, found);
        for (size_t h = n; h-- > 0;)
            if (found[h].outline != SIZE_MAX) {
                next[h] = first[found[h].outline];
                first[found[h].outline] = h;
            }
        poise_rings_reset(scratch);
        for (size_t r = 0; r < n; r++) {
            if (found[r].area < 0)
                continue;
            poise_rings_add_ring(scratch, rings, r);
            for (size_t h = first[r]; h != SIZE_MAX; h = next[h])
                poise_rings_add_ring(scratch, rings, h);
        }
        poise_rings_swap(rings, scratch);
    }
    bool good = found && links && !rings->failed;
    poise_release(found);
    poise_release(links);
    return good;
}

size_t poise_island_end(const PoiseRings *rings, size_t first)
{
    size_t end = first + 1;
    while (end < rings->rings && poise_ring_area(rings, end) < 0)
        end++;
    return end;
}
