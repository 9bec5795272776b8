#include "geometry/offset.h"

#include <math.h>

#include "base/memory.h"
#include "geometry/reduce.h"

/* Offset outlines nearer to each other than this, mm, are left to exact arithmetic. The points come
 * out of divisions of 300 mm numbers, good to 1e-12. */
#define NEAR_MM 1e-7
/* 1 + cos of the turning angle at which a mitre reaches the limit: reach = √(2/(1+cos)). */
#define SHARPEST (2 / (POISE_MITRE_LIMIT * POISE_MITRE_LIMIT))
/* Sine of the angle under which two edges count as one straight line when they are made to meet. */
#define PARALLEL 1e-9

/* An edge of the outline and the line it moves to. Edges that the offset swallows leave the list.
 */
typedef struct PoiseOffsetEdge {
    double x, y;       /* where it starts */
    double dx, dy;     /* unit direction */
    double sx, sy;     /* where the moved line starts: meets its predecessor's */
    size_t next, prev; /* neighbours in the list */
    bool convex;       /* the outline turns left at its start */
    bool original;     /* its predecessor is the one it had in the outline */
    bool open;         /* the moved lines do not meet within their edges here */
} Edge;

void poise_offset_release(PoiseOffsetWork *work)
{
    poise_geos_free(work->geos);
    poise_arrange_release(&work->arrange);
    poise_rings_release(&work->raw);
    poise_release(work->edges);
    *work = (PoiseOffsetWork){0};
}

static bool make_edges(const PoiseRings *in, size_t ring, PoiseOffsetWork *work, size_t *count)
{
    size_t start = poise_rings_start(in, ring), n = in->ends[ring] - start;
    if (n > work->edge_capacity) {
        Edge *edges = poise_resize(work->edges, n + n / 2, sizeof *edges);
        if (!edges)
            return false;
        work->edges = edges;
        work->edge_capacity = n + n / 2;
    }
    for (size_t i = 0; i < n; i++) {
        size_t j = i + 1 == n ? 0 : i + 1;
        const double *a = in->points[start + i], *b = in->points[start + j];
        double dx = b[0] - a[0], dy = b[1] - a[1], length = sqrt(dx * dx + dy * dy);
        work->edges[i] = (Edge){.x = a[0],
                                .y = a[1],
                                .dx = dx / length,
                                .dy = dy / length,
                                .next = j,
                                .prev = i == 0 ? n - 1 : i - 1};
    }
    *count = n;
    return true;
}

static double turn_sine(const Edge *a, const Edge *b)
{
    return a->dx * b->dy - a->dy * b->dx;
}

static double turn_cosine(const Edge *a, const Edge *b)
{
    return a->dx * b->dx + a->dy * b->dy;
}

/* The moved start of every edge: v + w (n1 + n2)/(1 + n1·n2). False when a corner is too sharp. */
static bool move_corners(Edge *edges, size_t n, double w)
{
    for (size_t i = 0; i < n; i++) {
        Edge *e = &edges[i];
        const Edge *p = &edges[e->prev];
        double cosine = turn_cosine(p, e);
        e->convex = turn_sine(p, e) >= 0;
        e->original = true;
        e->open = false;
        /* A reflex corner's mitre has its limit; a convex corner that nearly folds back has no
         * digits. */
        if (1 + cosine < (e->convex ? PARALLEL : SHARPEST))
            return false;
        double f = w / (1 + cosine);
        e->sx = e->x - f * (p->dy + e->dy);
        e->sy = e->y + f * (p->dx + e->dx);
    }
    return true;
}

/* Length of the moved edge between its neighbours; negative when they have swallowed it. */
static double moved_length(const Edge *edges, const Edge *e)
{
    const Edge *n = &edges[e->next];
    return (n->sx - e->sx) * e->dx + (n->sy - e->sy) * e->dy;
}

/* Makes the moved lines of two edges meet at the start of the second. */
static bool meet(const Edge *a, Edge *b, double w)
{
    double sine = turn_sine(a, b);
    if (!(sine > PARALLEL))
        return false;
    /* From a point of line b along b to line a. */
    double bx = b->x - w * b->dy, by = b->y + w * b->dx, ax = a->x - w * a->dy,
           ay = a->y + w * a->dx;
    double t = ((bx - ax) * a->dy - (by - ay) * a->dx) / -sine;
    b->sx = bx - t * b->dx;
    b->sy = by - t * b->dy;
    b->convex = true;
    b->original = false;
    return true;
}

typedef enum Swallowed { SOME_LEFT, ALL_GONE, NOT_SURE } Swallowed;

/* Takes out edges between two convex corners that their neighbours have swallowed, one at a time:
 * the half- plane of such an edge holds the part that its neighbours leave, so it bounds nothing.
 * What remains swallowed next to a reflex corner is opened for the winding numbers to sort out. */
static Swallowed take_out_swallowed(Edge *edges, size_t *head, size_t n, double w)
{
    size_t at = *head, left = n, unseen = n;
    bool all_convex = true;
    for (size_t i = 0; i < n; i++)
        all_convex = all_convex && edges[i].convex;
    while (unseen > 0) {
        Edge *e = &edges[at], *next = &edges[e->next], *prev = &edges[e->prev];
        if (!(e->convex && next->convex && moved_length(edges, e) < 0)) {
            at = e->next;
            unseen--;
            continue;
        }
        if (left == 3 || !meet(prev, next, w))
            return all_convex ? ALL_GONE : NOT_SURE;
        prev->next = e->next;
        next->prev = e->prev;
        at = e->prev; /* both neighbours have another length now: look at them again */
        left--;
        unseen = unseen < 2 ? 2 : unseen;
    }
    *head = at;
    size_t i = at;
    do {
        Edge *e = &edges[i], *next = &edges[e->next];
        if (moved_length(edges, e) < 0) {
            if ((e->convex && !e->original) || (next->convex && !next->original))
                return NOT_SURE;
            e->open = e->open || e->convex;
            next->open = next->open || next->convex;
        }
        i = e->next;
    } while (i != at);
    return SOME_LEFT;
}

/* Adds the moved ring. At an open corner the outline runs from the end of one moved edge through
 * the old corner to the start of the next: with that the ring winds around a point once less for
 * every edge whose strip of width w covers it, so that only points out of reach of all edges keep a
 * winding number of 1. */
static void add_moved(const Edge *edges, size_t head, double w, PoiseRings *out)
{
    size_t i = head;
    do {
        const Edge *e = &edges[i], *p = &edges[e->prev];
        if (e->open) {
            poise_rings_add(out, e->x - w * p->dy, e->y + w * p->dx);
            poise_rings_add(out, e->x, e->y);
            poise_rings_add(out, e->x - w * e->dy, e->y + w * e->dx);
        } else {
            poise_rings_add(out, e->sx, e->sy);
        }
        i = e->next;
    } while (i != head);
    poise_rings_close(out);
}

static PoiseArranged try_plain(const PoiseRings *in, double w, PoiseOffsetWork *work,
                               PoiseRings *out)
{
    poise_rings_reset(&work->raw);
    for (size_t r = 0; r < in->rings; r++) {
        size_t n, head = 0;
        if (!make_edges(in, r, work, &n))
            return POISE_RINGS_NO_MEMORY;
        if (!move_corners(work->edges, n, w))
            return POISE_RINGS_UNSURE;
        Swallowed how = take_out_swallowed(work->edges, &head, n, w);
        if (how == NOT_SURE)
            return POISE_RINGS_UNSURE;
        if (how == SOME_LEFT)
            add_moved(work->edges, head, w, &work->raw);
    }
    if (work->raw.failed)
        return POISE_RINGS_NO_MEMORY;
    PoiseArranged how = poise_rings_arrange(&work->raw, NEAR_MM, &work->arrange, out);
    if (how == POISE_RINGS_FINE)
        poise_rings_swap(&work->raw, out);
    return how;
}

static bool have_library(PoiseOffsetWork *work)
{
    if (!work->geos)
        work->geos = poise_geos_new();
    work->library_calls++;
    return work->geos != NULL;
}

/* Drops points that came out on top of each other. */
static PoiseStatus tidy(PoiseOffsetWork *work, PoiseRings *rings)
{
    double ignored = 0;
    poise_rings_reset(&work->raw);
    poise_reduce(rings, POISE_STRAIGHT_MM, INFINITY, &ignored, &work->raw);
    poise_rings_swap(rings, &work->raw);
    return rings->failed ? POISE_E_MEMORY : POISE_OK;
}

PoiseStatus poise_offset_inward(const PoiseRings *in, double distance, PoiseOffsetWork *work,
                                PoiseRings *out)
{
    poise_rings_reset(out);
    if (in->rings == 0)
        return POISE_OK;
    switch (try_plain(in, distance, work, out)) {
    case POISE_RINGS_FINE:
        return POISE_OK;
    case POISE_RINGS_RESOLVED:
        return tidy(work, out);
    case POISE_RINGS_NO_MEMORY:
        return POISE_E_MEMORY;
    case POISE_RINGS_UNSURE:
        break;
    }
    if (!have_library(work))
        return POISE_E_MEMORY;
    PoiseStatus status = poise_geos_shrink(work->geos, in, distance, out);
    return status ? status : tidy(work, out);
}

PoiseStatus poise_region_unite(const PoiseRings *in, double tolerance, PoiseOffsetWork *work,
                               bool *joined, PoiseRings *out)
{
    *joined = false;
    switch (poise_rings_arrange(in, tolerance, &work->arrange, out)) {
    case POISE_RINGS_FINE:
        return POISE_OK;
    case POISE_RINGS_RESOLVED:
        *joined = true;
        return tidy(work, out);
    case POISE_RINGS_NO_MEMORY:
        return POISE_E_MEMORY;
    case POISE_RINGS_UNSURE:
        break;
    }
    *joined = true;
    if (!have_library(work))
        return POISE_E_MEMORY;
    PoiseStatus status = poise_geos_positive(work->geos, in, tolerance, out);
    return status ? status : tidy(work, out);
}
