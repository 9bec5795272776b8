#include "geometry/crossing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

typedef PoiseArrangeEdge Edge;
typedef PoiseArrangeEntry Entry;
typedef PoiseArrangeEvent Event;

/* Edges per row that make a row short to search and the rows few to fill. */
#define EDGES_PER_ROW 3
#define MOST_ROWS     16384
/* More crossings than edges: something else than a few loops. */
#define FEW_CROSSINGS(edges) ((edges) + 64)

bool poise_arrange_grow(void *pointer, size_t *capacity, size_t wanted, size_t size)
{
    if (wanted <= *capacity)
        return true;
    void *block;
    memcpy(&block, pointer, sizeof block);
    block = poise_resize(block, wanted + wanted / 2 + 64, size);
    if (!block)
        return false;
    memcpy(pointer, &block, sizeof block);
    *capacity = wanted + wanted / 2 + 64;
    return true;
}

static bool make_edges(const PoiseRings *in, PoiseArrangeWork *w)
{
    w->edge_count = in->count;
    if (!poise_arrange_grow(&w->edges, &w->edge_capacity, in->count, sizeof(Edge)))
        return false;
    double lo = INFINITY, hi = -INFINITY, climbed = 0;
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), end = in->ends[r];
        for (size_t i = start; i < end; i++) {
            size_t j = i + 1 == end ? start : i + 1;
            const double *a = in->points[i], *b = in->points[j];
            double dx = b[0] - a[0], dy = b[1] - a[1];
            w->edges[i] = (Edge){a[0], a[1], b[0], b[1], sqrt(dx * dx + dy * dy), (uint32_t)j};
            climbed += fabs(dy);
            lo = a[1] < lo ? a[1] : lo;
            hi = a[1] > hi ? a[1] : hi;
        }
    }
    /* An edge stands in as many rows as it climbs through: all together in at most twice their
     * number. */
    double edges = (double)in->count, rows = climbed > 0 ? edges * (hi - lo) / climbed : 1;
    rows = fmin(rows, edges / EDGES_PER_ROW);
    w->row_count = rows < 1 ? 1 : rows > MOST_ROWS ? MOST_ROWS : (size_t)rows;
    w->low = lo;
    w->rows_per_mm = hi > lo ? (double)w->row_count / (hi - lo) : 0;
    return true;
}

static size_t row_of(const PoiseArrangeWork *w, double y)
{
    double r = (y - w->low) * w->rows_per_mm;
    return r <= 0 ? 0 : r >= (double)w->row_count ? w->row_count - 1 : (size_t)r;
}

static void rows_of(const PoiseArrangeWork *w, const Edge *e, size_t *first, size_t *last)
{
    double lo = e->y0 < e->y1 ? e->y0 : e->y1, hi = e->y0 < e->y1 ? e->y1 : e->y0;
    *first = row_of(w, lo - w->tolerance);
    *last = row_of(w, hi + w->tolerance);
}

/* The x an edge covers in a row, the tolerance included. */
static Entry entry_of(const PoiseArrangeWork *w, uint32_t index, size_t row, bool whole)
{
    const Edge *e = &w->edges[index];
    double lo = e->x0 < e->x1 ? e->x0 : e->x1, hi = e->x0 < e->x1 ? e->x1 : e->x0;
    if (!whole) {
        double height = 1 / w->rows_per_mm, slope = (e->x1 - e->x0) / (e->y1 - e->y0);
        double below = e->x0 + (w->low + (double)row * height - w->tolerance - e->y0) * slope;
        double above = e->x0 + (w->low + (double)(row + 1) * height + w->tolerance - e->y0) * slope;
        double left = below < above ? below : above, right = below < above ? above : below;
        lo = left > lo ? left : lo;
        hi = right < hi ? right : hi;
    }
    return (Entry){lo - w->tolerance, hi + w->tolerance, index};
}

static bool fill_rows(PoiseArrangeWork *w)
{
    if (!poise_arrange_grow(&w->rows, &w->row_capacity, w->row_count + 2, sizeof *w->rows))
        return false;
    memset(w->rows, 0, (w->row_count + 2) * sizeof *w->rows);
    size_t first, last;
    for (size_t i = 0; i < w->edge_count; i++) {
        rows_of(w, &w->edges[i], &first, &last);
        for (size_t r = first; r <= last; r++)
            w->rows[r + 2]++;
    }
    for (size_t r = 0; r < w->row_count; r++)
        w->rows[r + 2] += w->rows[r + 1];
    if (!poise_arrange_grow(&w->entries, &w->entry_capacity, w->rows[w->row_count + 1],
                            sizeof(Entry)))
        return false;
    for (size_t i = 0; i < w->edge_count; i++) {
        rows_of(w, &w->edges[i], &first, &last);
        for (size_t r = first; r <= last; r++)
            w->entries[w->rows[r + 1]++] = entry_of(w, (uint32_t)i, r, first == last);
    }
    return true;
}

static int by_lo(const void *pa, const void *pb)
{
    const Entry *a = pa, *b = pb;
    return a->lo < b->lo ? -1 : a->lo > b->lo;
}

static void sort_row(Entry *entries, size_t n)
{
    if (n > 24) {
        qsort(entries, n, sizeof *entries, by_lo);
        return;
    }
    for (size_t i = 1; i < n; i++) {
        Entry e = entries[i];
        size_t j = i;
        for (; j > 0 && entries[j - 1].lo > e.lo; j--)
            entries[j] = entries[j - 1];
        entries[j] = e;
    }
}

static double point_to_edge(double x, double y, const Edge *e)
{
    double dx = e->x1 - e->x0, dy = e->y1 - e->y0, px = x - e->x0, py = y - e->y0;
    double t = (px * dx + py * dy) / (e->length * e->length);
    t = t > 0 ? t < 1 ? t : 1 : 0; /* an edge without length has t = NaN: its start counts */
    return hypot(px - t * dx, py - t * dy);
}

typedef enum Meeting { APART, CROSSING, TOUCHING } Meeting;

/* How two edges that share no vertex meet; where, when they cross. */
static Meeting meet(const Edge *a, const Edge *b, double tolerance, double *ta, double *tb)
{
    double ax = a->x1 - a->x0, ay = a->y1 - a->y0, bx = b->x1 - b->x0, by = b->y1 - b->y0;
    double s0 = ax * (b->y0 - a->y0) - ay * (b->x0 - a->x0);
    double s1 = ax * (b->y1 - a->y0) - ay * (b->x1 - a->x0);
    double sa = tolerance * a->length;
    if ((s0 > sa && s1 > sa) || (s0 < -sa && s1 < -sa))
        return APART;
    double t0 = bx * (a->y0 - b->y0) - by * (a->x0 - b->x0);
    double t1 = bx * (a->y1 - b->y0) - by * (a->x1 - b->x0);
    double sb = tolerance * b->length;
    if ((t0 > sb && t1 > sb) || (t0 < -sb && t1 < -sb))
        return APART;
    if (fabs(s0) > sa && fabs(s1) > sa && fabs(t0) > sb && fabs(t1) > sb) {
        *ta = t0 / (t0 - t1);
        *tb = s0 / (s0 - s1);
        return CROSSING;
    }
    if ((s0 > 0) != (s1 > 0) && (t0 > 0) != (t1 > 0))
        return TOUCHING;
    double near = fmin(fmin(point_to_edge(b->x0, b->y0, a), point_to_edge(b->x1, b->y1, a)),
                       fmin(point_to_edge(a->x0, a->y0, b), point_to_edge(a->x1, a->y1, b)));
    return near > tolerance ? APART : TOUCHING;
}

/* Two edges that follow each other meet again only when the second folds back onto the first. */
static bool folds_back(const PoiseArrangeWork *w)
{
    for (size_t i = 0; i < w->edge_count; i++) {
        const Edge *a = &w->edges[i], *b = &w->edges[a->next];
        double dot = (a->x1 - a->x0) * (b->x1 - b->x0) + (a->y1 - a->y0) * (b->y1 - b->y0);
        if (a->length <= w->tolerance)
            return true;
        if (dot < 0 && (point_to_edge(b->x1, b->y1, a) <= w->tolerance ||
                        point_to_edge(a->x0, a->y0, b) <= w->tolerance))
            return true;
    }
    return false;
}

static PoiseArranged note_pair(PoiseArrangeWork *w, uint32_t i, uint32_t j, size_t row)
{
    if (i > j) { /* the same digits from whichever row */
        uint32_t t = i;
        i = j;
        j = t;
    }
    const Edge *a = &w->edges[i], *b = &w->edges[j];
    if (a->next == j || b->next == i)
        return POISE_RINGS_FINE;
    double ta, tb;
    Meeting how = meet(a, b, w->tolerance, &ta, &tb);
    if (how == APART)
        return POISE_RINGS_FINE;
    if (how == TOUCHING)
        return POISE_RINGS_UNSURE;
    double x = a->x0 + ta * (a->x1 - a->x0), y = a->y0 + ta * (a->y1 - a->y0);
    if (row_of(w, y) != row)
        return POISE_RINGS_FINE; /* noted in another row */
    size_t n = w->event_count;
    if (n / 2 >= FEW_CROSSINGS(w->edge_count))
        return POISE_RINGS_UNSURE;
    if (!poise_arrange_grow(&w->events, &w->event_capacity, n + 2, sizeof(Event)))
        return POISE_RINGS_NO_MEMORY;
    w->events[n] = (Event){ta, x, y, i, (uint32_t)(n / 2), 0};
    w->events[n + 1] = (Event){tb, x, y, j, (uint32_t)(n / 2), 0};
    w->event_count += 2;
    return POISE_RINGS_FINE;
}

PoiseArranged poise_crossing_find(PoiseArrangeWork *w)
{
    w->event_count = 0;
    if (folds_back(w))
        return POISE_RINGS_UNSURE;
    for (size_t r = 0; r < w->row_count; r++) {
        Entry *entries = w->entries + w->rows[r];
        size_t n = w->rows[r + 1] - w->rows[r];
        sort_row(entries, n);
        for (size_t i = 0; i < n; i++) {
            double reach = entries[i].hi;
            for (size_t j = i + 1; j < n && entries[j].lo <= reach; j++) {
                PoiseArranged how = note_pair(w, entries[i].edge, entries[j].edge, r);
                if (how != POISE_RINGS_FINE)
                    return how;
            }
        }
    }
    return POISE_RINGS_FINE;
}

bool poise_crossing_winding(const PoiseArrangeWork *w, uint32_t edge, double x, double y,
                            int *winding)
{
    size_t row = row_of(w, y);
    *winding = 0;
    for (size_t i = w->rows[row]; i < w->rows[row + 1]; i++) {
        const Edge *e = &w->edges[w->entries[i].edge];
        if (w->entries[i].edge == edge || (e->y0 <= y) == (e->y1 <= y))
            continue;
        double at = e->x0 + (y - e->y0) / (e->y1 - e->y0) * (e->x1 - e->x0);
        if (fabs(at - x) <= w->tolerance)
            return false;
        if (at < x)
            *winding += e->y1 > e->y0 ? -1 : 1;
    }
    return true;
}

bool poise_crossing_load(const PoiseRings *in, PoiseArrangeWork *w)
{
    return make_edges(in, w) && fill_rows(w);
}
