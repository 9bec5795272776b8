#include "geometry/contour.h"

#include <math.h>

#include "base/memory.h"

/* Triangles handled by one round of the parallel pass. */
#define BLOCK ((size_t)16384)

/* Number of planes at or below z: for z = the lowest vertex the first plane a triangle crosses, for
 * z = the highest the plane behind its last. */
static size_t planes_at_or_below(const PoiseSlices *s, double z, double inverse_step)
{
    double guess = (z - s->planes[0]) * inverse_step;
    size_t k = guess <= 0 ? 0 : guess >= (double)s->layers ? s->layers : (size_t)guess;
    while (k > 0 && s->planes[k - 1] > z)
        k--;
    while (k < s->layers && s->planes[k] <= z)
        k++;
    return k;
}

static PoiseStatus range_block(void *context, size_t worker, size_t round)
{
    (void)worker;
    PoiseSlices *s = context;
    size_t begin = round * BLOCK, end = begin + BLOCK;
    if (end > s->triangle_count)
        end = s->triangle_count;
    double inverse_step = s->layers > 1 ? 1 / (s->planes[1] - s->planes[0]) : 0;
    for (size_t t = begin; t < end; t++) {
        const uint32_t *corner = s->triangles + 3 * t;
        double a = s->vertices[3 * (size_t)corner[0] + 2];
        double b = s->vertices[3 * (size_t)corner[1] + 2];
        double c = s->vertices[3 * (size_t)corner[2] + 2];
        double lo = a < b ? a : b, hi = a < b ? b : a;
        lo = c < lo ? c : lo;
        hi = c > hi ? c : hi;
        s->first[t] = (uint16_t)planes_at_or_below(s, lo, inverse_step);
        s->end[t] = (uint16_t)planes_at_or_below(s, hi, inverse_step);
    }
    return POISE_OK;
}

PoiseStatus poise_slices_build(PoiseSlices *s, size_t threads)
{
    s->first = poise_resize(NULL, s->triangle_count, sizeof *s->first);
    s->end = poise_resize(NULL, s->triangle_count, sizeof *s->end);
    s->order_start = poise_alloc_zero(s->layers + 2, sizeof *s->order_start);
    s->crossings = poise_alloc_zero(s->layers + 1, sizeof *s->crossings);
    if (!s->first || !s->end || !s->order_start || !s->crossings)
        return POISE_E_MEMORY;
    PoiseStatus status =
        poise_parallel(threads, (s->triangle_count + BLOCK - 1) / BLOCK, range_block, s, NULL);
    if (status)
        return status;

    /* order_start[k + 2] counts the triangles that begin at plane k, crossings the changes. */
    for (size_t t = 0; t < s->triangle_count; t++) {
        if (s->first[t] == s->end[t])
            continue;
        s->order_start[s->first[t] + 2]++;
        s->crossings[s->first[t]]++;
        s->crossings[s->end[t]]--; /* wraps; the running sum below is never negative */
    }
    for (size_t k = 0; k < s->layers; k++) {
        s->order_start[k + 2] += s->order_start[k + 1];
        if (k > 0)
            s->crossings[k] += s->crossings[k - 1];
    }
    s->order = poise_resize(NULL, s->order_start[s->layers + 1], sizeof *s->order);
    if (!s->order)
        return POISE_E_MEMORY;
    for (size_t t = 0; t < s->triangle_count; t++)
        if (s->first[t] != s->end[t])
            s->order[s->order_start[s->first[t] + 1]++] = (uint32_t)t;
    return POISE_OK;
}

void poise_slices_release(PoiseSlices *s)
{
    poise_release(s->first);
    poise_release(s->end);
    poise_release(s->order);
    poise_release(s->order_start);
    poise_release(s->crossings);
    poise_release(s->carry);
    *s = (PoiseSlices){0};
}

static void fill(const PoiseSlices *s, PoiseSliceRun *run, const uint32_t *list, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        size_t t = list[i], from = s->first[t], to = s->end[t];
        from = from < run->begin ? run->begin : from;
        to = to > run->end ? run->end : to;
        for (size_t k = from; k < to; k++)
            run->triangles[run->start[k - run->begin + 1]++] = (uint32_t)t;
    }
}

/* The carried triangles and those that begin in the run, when they reach past its end. */
static bool carry_over(PoiseSlices *s, size_t begin, size_t end)
{
    size_t n = 0;
    for (size_t i = 0; i < s->carry_count; i++)
        if (s->end[s->carry[i]] > end)
            s->carry[n++] = s->carry[i];
    s->carry_count = n;
    for (size_t i = s->order_start[begin]; i < s->order_start[end]; i++) {
        if (s->end[s->order[i]] <= end)
            continue;
        if (s->carry_count == s->carry_capacity) {
            size_t capacity = 2 * s->carry_capacity + 1024;
            uint32_t *carry = poise_resize(s->carry, capacity, sizeof *carry);
            if (!carry)
                return false;
            s->carry = carry;
            s->carry_capacity = capacity;
        }
        s->carry[s->carry_count++] = s->order[i];
    }
    return true;
}

PoiseStatus poise_slices_run(PoiseSlices *s, size_t begin, size_t end, PoiseSliceRun *run)
{
    size_t total = 0;
    for (size_t k = begin; k < end; k++)
        total += s->crossings[k];
    *run = (PoiseSliceRun){.begin = begin, .end = end};
    run->triangles = poise_resize(NULL, total, sizeof *run->triangles);
    run->start = poise_alloc_zero(end - begin + 2, sizeof *run->start);
    if (!run->triangles || !run->start)
        return POISE_E_MEMORY;
    for (size_t k = begin; k + 1 < end; k++)
        run->start[k - begin + 2] = run->start[k - begin + 1] + s->crossings[k];
    fill(s, run, s->carry, s->carry_count);
    fill(s, run, s->order + s->order_start[begin], s->order_start[end] - s->order_start[begin]);
    return carry_over(s, begin, end) ? POISE_OK : POISE_E_MEMORY;
}

void poise_slice_run_release(PoiseSliceRun *run)
{
    poise_release(run->triangles);
    poise_release(run->start);
    *run = (PoiseSliceRun){0};
}

/* One triangle's cut: it enters over one mesh edge and leaves over another. */
typedef struct PoiseCut {
    uint64_t from, to; /* the edges, as lower and higher vertex index */
    double x, y;       /* where it enters */
    uint32_t waiting;  /* of the first cut over an edge: index + 1 of one not yet walked, else 0 */
    uint32_t next;     /* index + 1 of the next one waiting at the same edge, else 0 */
    bool used;
} PoiseCut;

void poise_contour_work_release(PoiseContourWork *work)
{
    poise_release(work->cuts);
    poise_release(work->table);
    *work = (PoiseContourWork){0};
}

static uint64_t edge_key(uint32_t a, uint32_t b)
{
    return a < b ? (uint64_t)a << 32 | b : (uint64_t)b << 32 | a;
}

/* Fibonacci hashing: the high bits of a product with 2^64/φ. */
static size_t slot_of(uint64_t key, unsigned shift)
{
    return (size_t)((key * UINT64_C(0x9E3779B97F4A7C15)) >> shift);
}

static double on_grid(double v)
{
    /* Adding 1.5·2^32 leaves 20 binary places in a double, rounded to nearest. */
    const double shift = 6442450944.0;
    return (v + shift) - shift;
}

/* Seen from outside, a counter-clockwise triangle is crossed downwards by one edge and upwards by
 * another; going from the first to the second keeps the solid on the left. */
static void make_cut(const PoiseSlices *s, uint32_t t, double plane, const double centre[2],
                     PoiseCut *cut)
{
    const uint32_t *corner = s->triangles + 3 * (size_t)t;
    const double *v[3];
    int above[3];
    for (int i = 0; i < 3; i++) {
        v[i] = s->vertices + 3 * (size_t)corner[i];
        above[i] = v[i][2] >= plane;
    }
    cut->used = false;
    cut->waiting = cut->next = 0;
    for (int i = 0; i < 3; i++) {
        int j = i == 2 ? 0 : i + 1;
        if (above[i] == above[j])
            continue;
        if (!above[i]) {
            cut->to = edge_key(corner[i], corner[j]);
            continue;
        }
        const double *hi = v[i], *lo = v[j];
        double f = (plane - lo[2]) / (hi[2] - lo[2]);
        cut->from = edge_key(corner[i], corner[j]);
        cut->x = on_grid(lo[0] + f * (hi[0] - lo[0]) - centre[0]);
        cut->y = on_grid(lo[1] + f * (hi[1] - lo[1]) - centre[1]);
    }
}

static bool make_room(PoiseContourWork *work, size_t n, size_t table)
{
    if (n > work->cut_capacity) {
        PoiseCut *cuts = poise_resize(work->cuts, n + n / 2, sizeof *cuts);
        if (!cuts)
            return false;
        work->cuts = cuts;
        work->cut_capacity = n + n / 2;
    }
    if (table > work->table_capacity) {
        uint32_t *larger = poise_resize(work->table, table, sizeof *larger);
        if (!larger)
            return false;
        work->table = larger;
        work->table_capacity = table;
    }
    return true;
}

/* The slot of an edge: it holds the index + 1 of the first cut that enters over it, or 0. */
static size_t slot_for(const PoiseContourWork *work, uint64_t key, size_t mask, unsigned shift)
{
    size_t slot = slot_of(key, shift);
    while (work->table[slot] != 0 && work->cuts[work->table[slot] - 1].from != key)
        slot = (slot + 1) & mask;
    return slot;
}

/* Takes a cut that enters over the edge and was not yet walked; n when there is none. An edge
 * shared by more than two triangles has several: any of them closes the rings. */
static size_t take(PoiseContourWork *work, uint64_t key, size_t n, size_t mask, unsigned shift)
{
    uint32_t entry = work->table[slot_for(work, key, mask, shift)];
    uint32_t found = entry ? work->cuts[entry - 1].waiting : 0;
    if (found == 0)
        return n;
    work->cuts[entry - 1].waiting = work->cuts[found - 1].next;
    work->cuts[found - 1].used = true;
    return found - 1;
}

PoiseStatus poise_contour(const PoiseSlices *s, const uint32_t *list, size_t n, double plane,
                          const double centre[2], PoiseContourWork *work, PoiseRings *rings)
{
    unsigned bits = 4;
    while (((size_t)1 << bits) < 2 * n)
        bits++;
    size_t size = (size_t)1 << bits, mask = size - 1;
    unsigned shift = 64 - bits;
    if (!make_room(work, n, size))
        return POISE_E_MEMORY;
    for (size_t i = 0; i < size; i++)
        work->table[i] = 0;
    for (size_t i = 0; i < n; i++) {
        make_cut(s, list[i], plane, centre, &work->cuts[i]);
        uint32_t *entry = &work->table[slot_for(work, work->cuts[i].from, mask, shift)];
        if (*entry == 0)
            *entry = (uint32_t)i + 1;
        PoiseCut *first = &work->cuts[*entry - 1];
        work->cuts[i].next = first->waiting;
        first->waiting = (uint32_t)i + 1;
    }
    for (size_t i = 0; i < n; i++) {
        if (work->cuts[i].used)
            continue;
        size_t at = i; /* stays waiting until the walk comes back to it, which closes the ring */
        do {
            PoiseCut *cut = &work->cuts[at];
            poise_rings_add(rings, cut->x, cut->y);
            at = take(work, cut->to, n, mask, shift);
            if (at == n)
                return POISE_E_MESH;
        } while (at != i);
        poise_rings_close(rings);
    }
    return rings->failed ? POISE_E_MEMORY : POISE_OK;
}
