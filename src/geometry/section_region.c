#include "geometry/section_job.h"

#include <math.h>

#include "base/memory.h"
#include "geometry/reduce.h"

/* Shells nearer than this, mm, are one: ten thousandths of a line's width, and ten times what
 * turning a mesh to its build axes can move a point. */
#define JOIN_MM 1e-5
/* Outline points nearer than this to the chord that replaces them, mm, are dropped: a
 * four-hundredth of a line's width, well below what a printer can place. */
#define SIMPLE_MM 0.001
/* … as long as no more than this fraction of the layer's area is given or taken in all. */
#define SIMPLE_AREA 2e-5

void poise_layer_work_release(PoiseLayerWork *work)
{
    poise_contour_work_release(&work->contour);
    poise_offset_release(&work->offset);
    poise_scan_work_release(&work->scan);
    poise_rings_release(&work->raw);
    poise_rings_release(&work->now);
    poise_rings_release(&work->next);
    poise_rings_release(&work->turned);
}

void poise_layer_regions_release(PoiseLayerRegions *regions)
{
    for (int n = 0; n < POISE_SPLITS; n++)
        poise_spans_release(&regions->spans[n]);
}

PoiseStatus poise_layer_outline(const PoiseSectionPlan *plan, const PoiseSlices *slices,
                                const PoiseSliceRun *run, size_t layer, PoiseLayerWork *work,
                                PoiseRings *outline)
{
    size_t i = layer - run->begin;
    double given_up = 0;
    poise_rings_reset(&work->raw);
    PoiseStatus status =
        poise_contour(slices, run->triangles + run->start[i], run->start[i + 1] - run->start[i],
                      plan->planes[layer], plan->centre, &work->contour, &work->raw);
    if (status)
        return status;
    poise_rings_reset(&work->now);
    poise_reduce(&work->raw, POISE_STRAIGHT_MM, INFINITY, &given_up, &work->now);
    if (work->now.failed || !poise_rings_sort(&work->now, &work->next))
        return POISE_E_MEMORY;
    poise_rings_reset(outline); /* an exact copy: outlines of many layers are kept at a time */
    if (!poise_rings_reserve(outline, work->now.count))
        return POISE_E_MEMORY;
    for (size_t r = 0; r < work->now.rings; r++)
        poise_rings_add_ring(outline, &work->now, r);
    return outline->failed ? POISE_E_MEMORY : POISE_OK;
}

static void simplify(const PoiseRings *in, double *given_up, PoiseRings *out)
{
    *given_up = 0;
    poise_rings_reset(out);
    poise_reduce(in, SIMPLE_MM, SIMPLE_AREA * fabs(poise_rings_flat(in).area), given_up, out);
}

/* Leaves the outermost region in work->now and the overlap, in build axes about the centre, in
 * *overlap. */
static PoiseStatus outer_region(const PoiseRings *outline, PoiseLayerWork *work, PoiseFlat *overlap,
                                double *simplified)
{
    bool joined;
    *overlap = (PoiseFlat){0};
    simplify(outline, simplified, &work->now);
    if (work->now.failed)
        return POISE_E_MEMORY;
    PoiseStatus status =
        poise_region_unite(&work->now, JOIN_MM, &work->offset, &joined, &work->next);
    if (status || !joined)
        return status;
    /* Something crosses or touches: in the solid, or only since it was simplified? */
    status = poise_region_unite(outline, JOIN_MM, &work->offset, &joined, &work->next);
    if (status)
        return status;
    const PoiseRings *whole = joined ? &work->next : outline;
    if (joined)
        *overlap = poise_flat_add(poise_rings_flat(outline), poise_rings_flat(whole), -1);
    poise_rings_reset(&work->raw);
    for (size_t r = 0; r < whole->rings; r++)
        poise_rings_add_ring(&work->raw, whole, r);
    if (joined) {
        simplify(&work->raw, simplified, &work->now);
        if (work->raw.failed || work->now.failed)
            return POISE_E_MEMORY;
        status = poise_region_unite(&work->now, JOIN_MM, &work->offset, &joined, &work->next);
        if (status || !joined)
            return status;
    }
    *simplified = 0;
    poise_rings_swap(&work->raw, &work->now);
    return work->now.failed ? POISE_E_MEMORY : POISE_OK;
}

static void turn(const PoiseSectionPlan *plan, const PoiseRings *in, PoiseRings *out)
{
    poise_rings_reset(out);
    if (!poise_rings_reserve(out, in->count))
        return;
    for (size_t r = 0; r < in->rings; r++) {
        for (size_t i = poise_rings_start(in, r); i < in->ends[r]; i++) {
            double x = in->points[i][0], y = in->points[i][1];
            poise_rings_add(out, plan->cosine * x + plan->sine * y,
                            plan->cosine * y - plan->sine * x);
        }
        poise_rings_close(out);
    }
}

static PoiseFlat turn_flat(const PoiseSectionPlan *plan, PoiseFlat f)
{
    double c = plan->cosine, s = plan->sine;
    return (PoiseFlat){f.area,
                       c * f.x + s * f.y,
                       c * f.y - s * f.x,
                       c * c * f.xx + 2 * c * s * f.xy + s * s * f.yy,
                       s * s * f.xx - 2 * c * s * f.xy + c * c * f.yy,
                       (c * c - s * s) * f.xy + c * s * (f.yy - f.xx)};
}

PoiseStatus poise_layer_regions(const PoiseSectionPlan *plan, const PoiseRings *outline,
                                double line_mm, bool with_spans, PoiseLayerWork *work,
                                PoiseLayerRegions *regions)
{
    *regions = (PoiseLayerRegions){.empty = outline->rings == 0};
    PoiseFlat overlap;
    PoiseStatus status = outer_region(outline, work, &overlap, &regions->simplified_mm2);
    if (status)
        return status;
    regions->overlap = turn_flat(plan, overlap);
    for (int n = 0; n < POISE_SPLITS; n++) {
        if (n > 0) {
            status = poise_offset_inward(&work->now, line_mm, &work->offset, &work->next);
            if (status)
                return status;
            poise_rings_swap(&work->now, &work->next);
        }
        turn(plan, &work->now, &work->turned);
        if (work->turned.failed)
            return POISE_E_MEMORY;
        regions->exact[n] = poise_rings_flat(&work->turned);
        if (with_spans) {
            status = poise_spans_make(&work->turned, &plan->scan, &work->scan, &regions->spans[n]);
            if (status)
                return status;
        }
    }
    return POISE_OK;
}
