#include "geometry/scanline.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

/* An edge by the lines it crosses. */
typedef struct PoiseScanEdge {
    uint32_t first, end;
    double x, slope; /* x on line `first`, and how it changes per line */
} Edge;

void poise_scan_work_release(PoiseScanWork *work)
{
    poise_release(work->edges);
    poise_release(work->at);
    *work = (PoiseScanWork){0};
}

void poise_spans_release(PoiseSpans *spans)
{
    poise_release(spans->start);
    poise_release(spans->at);
    *spans = (PoiseSpans){0};
}

/* Lines with y0 ≤ y < y1: an edge's lower end belongs to it and its upper end does not, so that the
 * lines through a corner are crossed an even number of times. */
static uint32_t first_line(const PoiseScan *scan, double y)
{
    double f = ceil((y - scan->low_mm) / scan->step_mm - 0.5);
    return f <= 0 ? 0 : f >= (double)scan->lines ? (uint32_t)scan->lines : (uint32_t)f;
}

/* Counts crossings per line into start[line + 2]. */
static size_t collect_edges(const PoiseRings *rings, const PoiseScan *scan, Edge *edges,
                            uint32_t *start)
{
    size_t n = 0;
    for (size_t r = 0; r < rings->rings; r++) {
        size_t begin = poise_rings_start(rings, r), end = rings->ends[r];
        const double *a = rings->points[end - 1];
        uint32_t line_a = first_line(scan, a[1]);
        for (size_t i = begin; i < end; i++) {
            const double *b = rings->points[i];
            uint32_t line_b = first_line(scan, b[1]);
            if (line_a != line_b) {
                Edge *e = &edges[n++];
                e->first = line_a < line_b ? line_a : line_b;
                e->end = line_a < line_b ? line_b : line_a;
                double slope = (b[0] - a[0]) / (b[1] - a[1]);
                double y = scan->low_mm + ((double)e->first + 0.5) * scan->step_mm;
                e->x = a[0] + (y - a[1]) * slope;
                e->slope = slope * scan->step_mm;
                for (uint32_t k = e->first; k < e->end; k++)
                    start[k + 2]++;
            }
            a = b;
            line_a = line_b;
        }
    }
    return n;
}

static int rising(const void *pa, const void *pb)
{
    double a = *(const double *)pa, b = *(const double *)pb;
    return a < b ? -1 : a > b;
}

static void sort_line(double *at, size_t n)
{
    if (n > 48) { /* lattices; below it insertion is faster */
        qsort(at, n, sizeof *at, rising);
        return;
    }
    for (size_t i = 1; i < n; i++) {
        double v = at[i];
        size_t j = i;
        for (; j > 0 && at[j - 1] > v; j--)
            at[j] = at[j - 1];
        at[j] = v;
    }
}

static bool make_room(PoiseScanWork *work, size_t edges, size_t at)
{
    if (edges > work->edge_capacity) {
        Edge *block = poise_resize(work->edges, edges + edges / 2, sizeof *block);
        if (!block)
            return false;
        work->edges = block;
        work->edge_capacity = edges + edges / 2;
    }
    if (at > work->at_capacity) {
        double *block = poise_resize(work->at, at + at / 2, sizeof *block);
        if (!block)
            return false;
        work->at = block;
        work->at_capacity = at + at / 2;
    }
    return true;
}

PoiseStatus poise_spans_make(const PoiseRings *rings, const PoiseScan *scan, PoiseScanWork *work,
                             PoiseSpans *spans)
{
    *spans = (PoiseSpans){0};
    uint32_t *start = poise_alloc_zero(scan->lines + 2, sizeof *start);
    spans->start = start;
    if (!start || !make_room(work, rings->count, 0))
        return POISE_E_MEMORY;
    size_t n = collect_edges(rings, scan, work->edges, start);
    for (size_t k = 0; k < scan->lines; k++)
        start[k + 2] += start[k + 1];
    size_t total = start[scan->lines + 1];
    spans->at = poise_resize(NULL, total, sizeof *spans->at);
    if (!spans->at || !make_room(work, 0, total))
        return POISE_E_MEMORY;
    for (size_t i = 0; i < n; i++) {
        const Edge *e = &work->edges[i];
        for (uint32_t k = e->first; k < e->end; k++)
            work->at[start[k + 1]++] = e->x + (double)(k - e->first) * e->slope;
    }
    /* A region so thin that no line crosses it leaves nothing to sort, and no room to point into.
     */
    for (size_t k = 0; k < scan->lines && total; k++)
        sort_line(work->at + start[k], start[k + 1] - start[k]);
    for (size_t i = 0; i < total; i++)
        spans->at[i] = (float)work->at[i];
    return POISE_OK;
}

/* The intervals of one region on the lines of a part; `start` counts from `at`. */
typedef struct Part {
    const uint32_t *start;
    const float *at;
} Part;

/* All parts of one level of doubling, in one block. */
typedef struct Level {
    Part *parts;
    uint32_t *starts;
    float *at;
    size_t capacity; /* of `at` */
} Level;

/* Writes what two lists have in common; returns how many numbers. Never more than both lists hold.
 */
static inline size_t intersect(const float *a, size_t na, const float *b, size_t nb, float *out)
{
    size_t i = 0, j = 0, n = 0;
    while (i < na && j < nb) {
        float lo = a[i] > b[j] ? a[i] : b[j];
        float a_hi = a[i + 1], b_hi = b[j + 1];
        float hi = a_hi < b_hi ? a_hi : b_hi;
        /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference): room for na + nb was made */
        out[n] = lo;
        out[n + 1] = hi;
        n += lo < hi ? 2 : 0;
        i += a_hi <= b_hi ? 2 : 0;
        j += b_hi <= a_hi ? 2 : 0;
    }
    return n;
}

/* ∫dx, 2∫x dx, 3∫x² dx over intervals of a line. */
typedef struct LineSums {
    double m0, m1, m2;
} LineSums;

static inline void add_interval(LineSums *sums, double a, double b)
{
    double d = b - a, s = a + b;
    sums->m0 += d;
    sums->m1 += d * s;
    sums->m2 += d * (s * s - a * b);
}

/* Adds the line at y, before multiplication by the lines' spacing. */
static inline void add_line(PoiseFlat *sum, const LineSums *line, double y)
{
    double m0 = line->m0, m1 = line->m1 / 2;
    sum->area += m0;
    sum->x += m1;
    sum->y += y * m0;
    sum->xx += line->m2 / 3;
    sum->xy += y * m1;
    sum->yy += y * y * m0;
}

static PoiseFlat finish_lines(PoiseFlat sum, double step)
{
    sum.yy += step * step / 12 * sum.area; /* a line stands for a strip */
    return poise_flat_add((PoiseFlat){0}, sum, step);
}

static double line_y(const PoiseScan *scan, size_t line)
{
    return scan->low_mm + ((double)line + 0.5) * scan->step_mm;
}

static PoiseFlat part_moments(const Part *part, const PoiseScan *scan, size_t first, size_t lines)
{
    PoiseFlat sum = {0};
    for (size_t i = 0; i < lines; i++) {
        LineSums line = {0, 0, 0};
        for (size_t k = part->start[i]; k < part->start[i + 1]; k += 2)
            add_interval(&line, part->at[k], part->at[k + 1]);
        add_line(&sum, &line, line_y(scan, first + i));
    }
    return finish_lines(sum, scan->step_mm);
}

/* The moments of the intersection of two parts, which is not written down: of many sets of
 * intervals in common there may be more than in any of them. */
static PoiseFlat common_moments(const Part *a, const Part *b, const PoiseScan *scan, size_t first,
                                size_t lines)
{
    PoiseFlat sum = {0};
    for (size_t i = 0; i < lines; i++) {
        size_t j = a->start[i], k = b->start[i], j_end = a->start[i + 1], k_end = b->start[i + 1];
        LineSums line = {0, 0, 0};
        while (j < j_end && k < k_end) {
            float a_hi = a->at[j + 1], b_hi = b->at[k + 1];
            float lo = a->at[j] > b->at[k] ? a->at[j] : b->at[k], hi = a_hi < b_hi ? a_hi : b_hi;
            if (lo < hi)
                add_interval(&line, lo, hi);
            j += a_hi <= b_hi ? 2 : 0;
            k += b_hi <= a_hi ? 2 : 0;
        }
        add_line(&sum, &line, line_y(scan, first + i));
    }
    return finish_lines(sum, scan->step_mm);
}

static bool grow(Level *level, size_t wanted)
{
    if (wanted <= level->capacity)
        return true;
    float *at = poise_resize(level->at, wanted + wanted / 2, sizeof *at);
    if (!at)
        return false;
    level->at = at;
    level->capacity = wanted + wanted / 2;
    return true;
}

/* Makes the intersections of each part with the one `apart` places further on. */
static bool double_level(const Level *from, size_t regions, size_t apart, size_t lines, Level *to)
{
    size_t used = 0;
    for (size_t r = 0; r + apart < regions; r++) {
        const Part *a = &from->parts[r], *b = &from->parts[r + apart];
        if (!grow(to, used + a->start[lines] - a->start[0] + b->start[lines] - b->start[0] + 2))
            return false;
        uint32_t *start = to->starts + r * (lines + 1);
        for (size_t i = 0; i < lines; i++) {
            start[i] = (uint32_t)used;
            used += intersect(a->at + a->start[i], a->start[i + 1] - a->start[i],
                              b->at + b->start[i], b->start[i + 1] - b->start[i], to->at + used);
        }
        start[lines] = (uint32_t)used;
        to->parts[r].start = start;
    }
    for (size_t r = 0; r + apart < regions; r++)
        to->parts[r].at = to->at; /* only now: the block has stopped moving */
    return true;
}

static void answer(const Level *level, size_t width, const PoiseScan *scan, size_t first,
                   size_t lines, PoiseCommonQuery *queries, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        PoiseCommonQuery *q = &queries[i];
        size_t wanted = q->to - q->from + 1;
        if (wanted < width || wanted >= 2 * width)
            continue;
        const Part *a = &level->parts[q->from], *b = &level->parts[q->to + 1 - width];
        q->common =
            a == b ? part_moments(a, scan, first, lines) : common_moments(a, b, scan, first, lines);
    }
}

static void release_level(Level *level)
{
    poise_release(level->parts);
    poise_release(level->starts);
    poise_release(level->at);
}

PoiseStatus poise_spans_common(const PoiseSpans *const *spans, size_t regions,
                               const PoiseScan *scan, size_t first, size_t last, PoiseFlat *own,
                               PoiseCommonQuery *queries, size_t query_count)
{
    size_t lines = last - first, widest = 0;
    for (size_t i = 0; i < query_count; i++)
        widest = queries[i].to - queries[i].from + 1 > widest ? queries[i].to - queries[i].from + 1
                                                              : widest;
    Level levels[2] = {{0}, {0}};
    PoiseStatus status = POISE_E_MEMORY;
    bool good = true;
    for (int i = 0; i < 2; i++) {
        levels[i].parts = poise_resize(NULL, regions, sizeof *levels[i].parts);
        levels[i].starts = poise_resize(NULL, regions * (lines + 1), sizeof *levels[i].starts);
        good = good && levels[i].parts && levels[i].starts;
    }
    if (good) {
        for (size_t r = 0; r < regions; r++) {
            levels[0].parts[r] = (Part){spans[r]->start + first, spans[r]->at};
            own[r] = part_moments(&levels[0].parts[r], scan, first, lines);
        }
        Level *now = &levels[0], *then = &levels[1];
        for (size_t width = 1; good && width <= widest; width *= 2) {
            answer(now, width, scan, first, lines, queries, query_count);
            if (2 * width > widest)
                break;
            good = double_level(now, regions - (width - 1), width, lines, then);
            Level *t = now;
            now = then;
            then = t;
        }
        status = good ? POISE_OK : POISE_E_MEMORY;
    }
    release_level(&levels[0]);
    release_level(&levels[1]);
    return status;
}
