#include "geometry/arrange.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

typedef struct PoiseArrangeEdge {
    double x0, y0, x1, y1, length;
    uint32_t next; /* the edge that follows in the ring */
} Edge;

/* An edge in a row: the part of x it covers there. */
typedef struct PoiseArrangeEntry {
    double lo, hi;
    uint32_t edge;
} Entry;

/* One of the two sides of a crossing. */
typedef struct PoiseArrangeEvent {
    double t, x, y; /* along the edge, 0 … 1, and where */
    uint32_t edge, crossing;
    uint32_t partner; /* index of the other side's event, once sorted */
} Event;

/* Edges per row that make a row short to search and the rows few to fill. */
#define EDGES_PER_ROW 3
#define MOST_ROWS     16384
/* More crossings than edges: something else than a few loops. */
#define FEW_CROSSINGS(edges) ((edges) + 64)

void poise_arrange_release(PoiseArrangeWork *w)
{
    poise_release(w->edges);
    poise_release(w->entries);
    poise_release(w->events);
    poise_release(w->rows);
    poise_release(w->bases);
    poise_release(w->walked);
    *w = (PoiseArrangeWork){0};
}

static bool grow(void *pointer, size_t *capacity, size_t wanted, size_t size)
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
    if (!grow(&w->edges, &w->edge_capacity, in->count, sizeof(Edge)))
        return false;
    double lo = INFINITY, hi = -INFINITY;
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), end = in->ends[r];
        for (size_t i = start; i < end; i++) {
            size_t j = i + 1 == end ? start : i + 1;
            const double *a = in->points[i], *b = in->points[j];
            double dx = b[0] - a[0], dy = b[1] - a[1];
            w->edges[i] = (Edge){a[0], a[1], b[0], b[1], sqrt(dx * dx + dy * dy), (uint32_t)j};
            lo = a[1] < lo ? a[1] : lo;
            hi = a[1] > hi ? a[1] : hi;
        }
    }
    size_t rows = in->count / EDGES_PER_ROW;
    w->row_count = rows < 1 ? 1 : rows > MOST_ROWS ? MOST_ROWS : rows;
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
    if (!grow(&w->rows, &w->row_capacity, w->row_count + 2, sizeof *w->rows))
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
    if (!grow(&w->entries, &w->entry_capacity, w->rows[w->row_count + 1], sizeof(Entry)))
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
    if (!grow(&w->events, &w->event_capacity, n + 2, sizeof(Event)))
        return POISE_RINGS_NO_MEMORY;
    w->events[n] = (Event){ta, x, y, i, (uint32_t)(n / 2), 0};
    w->events[n + 1] = (Event){tb, x, y, j, (uint32_t)(n / 2), 0};
    w->event_count += 2;
    return POISE_RINGS_FINE;
}

static PoiseArranged find_crossings(PoiseArrangeWork *w)
{
    w->event_count = 0;
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

/* Winding number just left (towards −x) of a point on an edge. False when another edge passes too
 * near. */
static bool winding_left_of(const PoiseArrangeWork *w, uint32_t edge, double x, double y,
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

/* Part of an edge, and the steepest part of a loop so far. */
typedef struct Stretch {
    uint32_t edge;
    double x0, y0, x1, y1;
} Stretch;

static void keep_steepest(Stretch *best, const Stretch *s)
{
    if (fabs(s->y1 - s->y0) > fabs(best->y1 - best->y0))
        *best = *s;
}

/* Whether the loop with this stretch separates winding number 1 on its left from 0 on its right. */
static PoiseArranged bounds_region(const PoiseArrangeWork *w, const Stretch *s, bool *bounds)
{
    if (!(fabs(s->y1 - s->y0) > 4 * w->tolerance))
        return POISE_RINGS_UNSURE;
    int winding;
    if (!winding_left_of(w, s->edge, (s->x0 + s->x1) / 2, (s->y0 + s->y1) / 2, &winding))
        return POISE_RINGS_UNSURE;
    /* Going up, the side towards −x is the left one. */
    *bounds = s->y1 > s->y0 ? winding == 1 : winding == 0;
    return POISE_RINGS_FINE;
}

static PoiseArranged arrange_apart(const PoiseRings *in, const PoiseArrangeWork *w, PoiseRings *out)
{
    bool all = true;
    for (size_t r = 0; r < in->rings; r++) {
        Stretch best = {0};
        for (size_t i = poise_rings_start(in, r); i < in->ends[r]; i++) {
            const Edge *e = &w->edges[i];
            keep_steepest(&best, &(Stretch){(uint32_t)i, e->x0, e->y0, e->x1, e->y1});
        }
        bool keep;
        if (bounds_region(w, &best, &keep) != POISE_RINGS_FINE)
            return POISE_RINGS_UNSURE;
        if (!keep && all) { /* the first to go: so far `out` was not needed */
            all = false;
            for (size_t i = 0; i < r; i++)
                poise_rings_add_ring(out, in, i);
        } else if (keep && !all) {
            poise_rings_add_ring(out, in, r);
        }
    }
    if (out->failed)
        return POISE_RINGS_NO_MEMORY;
    return all ? POISE_RINGS_FINE : POISE_RINGS_RESOLVED;
}

static int by_place(const void *pa, const void *pb)
{
    const Event *a = pa, *b = pb;
    if (a->edge != b->edge)
        return a->edge < b->edge ? -1 : 1;
    return a->t < b->t ? -1 : a->t > b->t;
}

/* Sorts the events along their edges and links the two sides of each crossing. bases[e] is the
 * first event of edge e. */
static PoiseArranged link_events(PoiseArrangeWork *w)
{
    size_t n = w->event_count;
    qsort(w->events, n, sizeof(Event), by_place);
    for (size_t i = 1; i < n; i++)
        if (w->events[i].edge == w->events[i - 1].edge &&
            (w->events[i].t - w->events[i - 1].t) * w->edges[w->events[i].edge].length <=
                w->tolerance)
            return POISE_RINGS_UNSURE;
    if (!grow(&w->bases, &w->base_capacity, w->edge_count + 1 + n / 2, sizeof *w->bases) ||
        !grow(&w->walked, &w->walked_capacity, w->edge_count + n, 1))
        return POISE_RINGS_NO_MEMORY;
    uint32_t *side = w->bases + w->edge_count + 1; /* per crossing: the side met first */
    memset(side, 0xff, n / 2 * sizeof *side);
    size_t at = 0;
    for (size_t e = 0; e <= w->edge_count; e++) {
        while (at < n && w->events[at].edge < e)
            at++;
        w->bases[e] = (uint32_t)at;
    }
    for (size_t i = 0; i < n; i++) {
        uint32_t *other = &side[w->events[i].crossing];
        if (*other == UINT32_MAX) {
            *other = (uint32_t)i;
        } else {
            w->events[i].partner = *other;
            w->events[*other].partner = (uint32_t)i;
        }
    }
    return POISE_RINGS_FINE;
}

/* Walks one loop from stretch k of an edge, turning onto the other edge at each crossing: the loops
 * so made touch at the crossings but cross nowhere, so the winding numbers on either side of a loop
 * are the same all along it. */
static void walk(PoiseArrangeWork *w, uint32_t edge, size_t k, PoiseRings *out, Stretch *best)
{
    for (;;) {
        size_t base = w->bases[edge], count = w->bases[edge + 1] - base;
        unsigned char *walked = &w->walked[base + edge + k];
        if (*walked)
            return;
        *walked = 1;
        const Edge *e = &w->edges[edge];
        Stretch s = {edge, e->x0, e->y0, e->x1, e->y1};
        if (k > 0) {
            s.x0 = w->events[base + k - 1].x;
            s.y0 = w->events[base + k - 1].y;
        }
        uint32_t on = e->next;
        size_t on_k = 0;
        if (k < count) {
            const Event *event = &w->events[base + k];
            s.x1 = event->x;
            s.y1 = event->y;
            on = w->events[event->partner].edge;
            on_k = event->partner - w->bases[on] + 1;
        }
        poise_rings_add(out, s.x0, s.y0);
        keep_steepest(best, &s);
        edge = on;
        k = on_k;
    }
}

static PoiseArranged arrange_crossing(PoiseArrangeWork *w, PoiseRings *out)
{
    PoiseArranged how = link_events(w);
    if (how != POISE_RINGS_FINE)
        return how;
    memset(w->walked, 0, w->edge_count + w->event_count);
    for (size_t e = 0; e < w->edge_count; e++) {
        size_t base = w->bases[e], count = w->bases[e + 1] - base;
        for (size_t k = 0; k <= count; k++) {
            if (w->walked[base + e + k])
                continue;
            Stretch best = {0};
            walk(w, (uint32_t)e, k, out, &best);
            bool keep;
            if (bounds_region(w, &best, &keep) != POISE_RINGS_FINE)
                return POISE_RINGS_UNSURE;
            if (keep)
                poise_rings_close(out);
            else
                poise_rings_drop_open(out);
        }
    }
    return out->failed ? POISE_RINGS_NO_MEMORY : POISE_RINGS_RESOLVED;
}

PoiseArranged poise_rings_arrange(const PoiseRings *in, double tolerance, PoiseArrangeWork *w,
                                  PoiseRings *out)
{
    poise_rings_reset(out);
    if (in->count == 0)
        return POISE_RINGS_FINE;
    w->tolerance = tolerance;
    if (!make_edges(in, w) || !fill_rows(w))
        return POISE_RINGS_NO_MEMORY;
    if (folds_back(w))
        return POISE_RINGS_UNSURE;
    PoiseArranged how = find_crossings(w);
    if (how != POISE_RINGS_FINE)
        return how;
    return w->event_count == 0 ? arrange_apart(in, w, out) : arrange_crossing(w, out);
}
