#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "geometry/crossing.h"

typedef PoiseArrangeEdge Edge;
typedef PoiseArrangeEvent Event;

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
    if (!poise_crossing_winding(w, s->edge, (s->x0 + s->x1) / 2, (s->y0 + s->y1) / 2, &winding))
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
    if (!poise_arrange_grow(&w->bases, &w->base_capacity, w->edge_count + 1 + n / 2,
                            sizeof *w->bases) ||
        !poise_arrange_grow(&w->walked, &w->walked_capacity, w->edge_count + n, 1))
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
    if (!poise_crossing_load(in, w))
        return POISE_RINGS_NO_MEMORY;
    PoiseArranged how = poise_crossing_find(w);
    if (how != POISE_RINGS_FINE)
        return how;
    return w->event_count == 0 ? arrange_apart(in, w, out) : arrange_crossing(w, out);
}
