#include "geometry/slab.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "geometry/slab_region.h"

/* An outline whose area is below this times its perimeter squared is a line but for round-off; what
 * is left of a slab below this share is nothing. Dimensionless. */
static const double NOTHING = 1e-9;

typedef struct Cut {
    PoiseRegion region;
    double lo_mm, hi_mm;
    bool inside; /* within the outline */
} Cut;

typedef struct Slab {
    PoisePlane plane;
    const char *file, *pointer;
    PoiseFaults *faults;
    double origin_mm[2]; /* the middle of the outline's bounding box */
    double bottom_mm, top_mm;
    PoiseRegion outline;
    Cut *cuts;
    size_t cut_count;
    double *levels_mm; /* where the set of cuts changes, ascending */
    size_t level_count;
    const PoiseRegion **crowd; /* cuts that overlap something, of the layer at hand */
} Slab;

static PoiseStatus refuse(Slab *s, const char *rest, const char *found, const char *expected)
{
    char *pointer = poise_format("%s%s", s->pointer ? s->pointer : "", rest);
    if (!pointer)
        return poise_fault_memory(s->faults);
    poise_fault_add(s->faults, &(PoiseFault){.status = POISE_E_INPUT,
                                             .file = s->file,
                                             .pointer = pointer,
                                             .found = found,
                                             .expected = expected});
    poise_release(pointer);
    return POISE_E_INPUT;
}

static PoiseStatus geos_failed(Slab *s)
{
    if (!s->plane.complaint[0])
        return poise_fault_memory(s->faults);
    return poise_fault_say(s->faults, POISE_E_INTERNAL, s->file,
                           "the polygon arithmetic failed: %s", s->plane.complaint);
}

static bool is_number(const double p[2])
{
    return fabs(p[0]) <= POISE_LIMIT_COORDINATE_MM && fabs(p[1]) <= POISE_LIMIT_COORDINATE_MM;
}

static PoiseStatus check_points(Slab *s, const char *rest, const double (*points)[2], size_t n)
{
    if (n < 3)
        return refuse(s, rest, "an outline of fewer than three points", "three or more");
    if (n > POISE_LIMIT_OUTLINE_POINTS)
        return refuse(s, rest, "an outline of too many points", "20000 at most");
    double perimeter = 0.0;
    for (size_t k = 0; k < n; k++) {
        const double *p = points[k], *q = points[(k + 1) % n];
        if (!is_number(p))
            return refuse(s, rest, "a point that is no place on the bench",
                          "coordinates within 10 m");
        perimeter += hypot(q[0] - p[0], q[1] - p[1]);
    }
    double area = fabs(poise_ring_moments(points, n, points[0]).area_mm2);
    if (area <= NOTHING * perimeter * perimeter)
        return refuse(s, rest, "an outline without area", "points around a region");
    return POISE_OK;
}

/* A checked region from an outline. A last point that repeats the first is left out. */
static PoiseStatus make_ring(Slab *s, const char *rest, const double (*points)[2], size_t n,
                             PoiseRegion *region)
{
    if (n > 1 && points[0][0] == points[n - 1][0] && points[0][1] == points[n - 1][1])
        n--;
    PoiseStatus status = check_points(s, rest, points, n);
    if (status)
        return status;
    if (!poise_region_ring(&s->plane, points, n, s->origin_mm, region))
        return geos_failed(s);
    char valid = GEOSisValid_r(s->plane.geos, region->shape);
    if (valid == 1)
        return POISE_OK;
    char *reason = valid == 0 ? GEOSisValidReason_r(s->plane.geos, region->shape) : NULL;
    if (!reason)
        return geos_failed(s);
    /* The reason is "Self-intersection[12.5 40]" or the like. */
    char *found = poise_format("an outline that crosses or touches itself (%s)", reason);
    GEOSFree_r(s->plane.geos, reason);
    status = found ? refuse(s, rest, found, "a simple outline") : poise_fault_memory(s->faults);
    poise_release(found);
    return status;
}

/* "/cut/INDEX/KEY" */
static PoiseStatus refuse_cut(Slab *s, size_t index, const char *key, const char *found,
                              const char *expected)
{
    char *rest = poise_format("/cut/%zu%s", index, key);
    if (!rest)
        return poise_fault_memory(s->faults);
    PoiseStatus status = refuse(s, rest, found, expected);
    poise_release(rest);
    return status;
}

static PoiseStatus make_cut_region(Slab *s, const PoiseSlabCut *from, size_t index, Cut *cut)
{
    if (from->count == 0) {
        if (!(from->diameter_mm > 0.0 && from->diameter_mm <= POISE_LIMIT_COORDINATE_MM))
            return refuse_cut(s, index, "/diameter", "a hole without a diameter",
                              "a length above 0");
        if (!is_number(from->at_mm))
            return refuse_cut(s, index, "/at", "a point that is no place on the bench",
                              "coordinates within 10 m");
        return poise_region_disc(&s->plane, from->at_mm, 0.5 * from->diameter_mm, s->origin_mm,
                                 &cut->region)
                   ? POISE_OK
                   : geos_failed(s);
    }
    char *rest = poise_format("/cut/%zu/outline", index);
    if (!rest)
        return poise_fault_memory(s->faults);
    PoiseStatus status = make_ring(s, rest, from->points_mm, from->count, &cut->region);
    poise_release(rest);
    return status;
}

static PoiseStatus make_cut(Slab *s, const PoiseSlabCut *from, size_t index, Cut *cut)
{
    PoiseStatus status = make_cut_region(s, from, index, cut);
    if (status)
        return status;
    double thickness = s->top_mm - s->bottom_mm, depth = from->depth_mm;
    cut->lo_mm = s->bottom_mm;
    cut->hi_mm = s->top_mm;
    if (!isnan(depth)) {
        if (!(depth > 0.0))
            return refuse_cut(s, index, "/depth", "a cut without depth", "a length above 0");
        if (depth > thickness * (1.0 + NOTHING))
            return refuse_cut(s, index, "/depth", "a cut deeper than the slab is thick",
                              "at most the thickness; leave the depth out to cut through");
        if (depth < thickness && from->from_bottom)
            cut->hi_mm = s->bottom_mm + depth;
        else if (depth < thickness)
            cut->lo_mm = s->top_mm - depth;
    }
    int inside = poise_region_inside(&s->plane, &cut->region, &s->outline);
    cut->inside = inside == 1;
    return inside < 0 ? geos_failed(s) : POISE_OK;
}

static void insert_level(Slab *s, double z)
{
    size_t i = s->level_count++;
    for (; i > 0 && s->levels_mm[i - 1] > z; i--)
        s->levels_mm[i] = s->levels_mm[i - 1];
    s->levels_mm[i] = z;
}

static bool in_layer(const Cut *cut, double middle)
{
    return cut->lo_mm < middle && cut->hi_mm > middle;
}

/* 1 when the cut lies in the outline and meets no other cut at this height, so that its own moments
 * are what it takes away. */
static int stands_alone(Slab *s, size_t index, double middle)
{
    if (!s->cuts[index].inside)
        return 0;
    for (size_t k = 0; k < s->cut_count; k++) {
        if (k == index || !in_layer(&s->cuts[k], middle))
            continue;
        int overlap = poise_region_overlap(&s->plane, &s->cuts[index].region, &s->cuts[k].region);
        if (overlap != 0)
            return overlap < 0 ? -1 : 0;
    }
    return 1;
}

/* The region left between two neighbouring levels. */
static PoiseStatus layer_area(Slab *s, double middle, PoiseAreaMoments *area)
{
    size_t crowded = 0;
    *area = s->outline.exact;
    for (size_t k = 0; k < s->cut_count; k++) {
        if (!in_layer(&s->cuts[k], middle))
            continue;
        int alone = stands_alone(s, k, middle);
        if (alone < 0)
            return geos_failed(s);
        if (alone)
            poise_area_moments_add(area, &s->cuts[k].region.exact, -1.0);
        else
            s->crowd[crowded++] = &s->cuts[k].region;
    }
    if (!crowded)
        return POISE_OK;
    PoiseAreaMoments taken;
    if (!poise_region_union_moments(&s->plane, s->crowd, crowded, &s->outline, s->origin_mm,
                                    &taken))
        return geos_failed(s);
    poise_area_moments_add(area, &taken, -1.0);
    return POISE_OK;
}

static PoiseStatus add_layers(Slab *s, PoiseMoments *moments)
{
    *moments = (PoiseMoments){
        .origin_mm = {s->origin_mm[0], s->origin_mm[1], 0.5 * (s->bottom_mm + s->top_mm)}};
    for (size_t i = 0; i + 1 < s->level_count; i++) {
        double lo = s->levels_mm[i], hi = s->levels_mm[i + 1];
        if (!(hi > lo))
            continue;
        PoiseAreaMoments area;
        PoiseStatus status = layer_area(s, 0.5 * (lo + hi), &area);
        if (status)
            return status;
        PoiseMoments layer = poise_extrude_moments(&area, lo, hi);
        poise_moments_add(moments, &layer, 1.0);
    }
    if (moments->volume_mm3 <= NOTHING * s->outline.exact.area_mm2 * (s->top_mm - s->bottom_mm))
        return refuse(s, "/cut", "cuts that take the whole slab away", "cuts that leave something");
    return POISE_OK;
}

static PoiseStatus build(Slab *s, const double (*outline)[2], size_t count,
                         const PoiseSlabCut *cuts, size_t cut_count)
{
    if (!poise_plane_open(&s->plane))
        return poise_fault_memory(s->faults);
    double lo[2] = {INFINITY, INFINITY}, hi[2] = {-INFINITY, -INFINITY};
    for (size_t k = 0; k < count; k++)
        for (int i = 0; i < 2; i++) {
            lo[i] = fmin(lo[i], outline[k][i]);
            hi[i] = fmax(hi[i], outline[k][i]);
        }
    for (int i = 0; i < 2; i++)
        s->origin_mm[i] = 0.5 * (lo[i] + hi[i]);
    PoiseStatus status = make_ring(s, "/outline", outline, count, &s->outline);
    if (status)
        return status;
    s->cuts = poise_alloc_zero(cut_count, sizeof *s->cuts);
    s->crowd = poise_alloc_zero(cut_count, sizeof *s->crowd);
    s->levels_mm = poise_alloc_zero(2 * cut_count + 2, sizeof *s->levels_mm);
    if (!s->cuts || !s->crowd || !s->levels_mm)
        return poise_fault_memory(s->faults);
    insert_level(s, s->bottom_mm);
    insert_level(s, s->top_mm);
    for (size_t k = 0; k < cut_count; k++) {
        s->cut_count = k + 1; /* so that its region is freed even when it fails */
        status = make_cut(s, &cuts[k], k, &s->cuts[k]);
        if (status)
            return status;
        insert_level(s, s->cuts[k].lo_mm);
        insert_level(s, s->cuts[k].hi_mm);
    }
    return POISE_OK;
}

PoiseStatus poise_slab_moments(const double (*outline_mm)[2], size_t count, double thickness_mm,
                               double top_mm, const PoiseSlabCut *cuts, size_t cut_count,
                               const char *file, const char *pointer, PoiseMoments *moments,
                               PoiseFaults *faults)
{
    Slab s = {.file = file,
              .pointer = pointer,
              .faults = faults,
              .bottom_mm = top_mm - thickness_mm,
              .top_mm = top_mm};
    *moments = (PoiseMoments){0};
    if (!(thickness_mm > 0.0 && thickness_mm <= POISE_LIMIT_COORDINATE_MM))
        return refuse(&s, "/thickness", "a slab without thickness", "a length above 0");
    if (!(fabs(top_mm) <= POISE_LIMIT_COORDINATE_MM))
        return refuse(&s, "/top", "a height that is no place on the bench",
                      "a coordinate within 10 m");
    PoiseStatus status = build(&s, outline_mm, count, cuts, cut_count);
    if (!status)
        status = add_layers(&s, moments);
    if (s.plane.geos) {
        for (size_t k = 0; k < s.cut_count; k++)
            poise_region_clear(&s.plane, &s.cuts[k].region);
        poise_region_clear(&s.plane, &s.outline);
    }
    poise_plane_close(&s.plane);
    poise_release(s.cuts);
    poise_release(s.crowd);
    poise_release(s.levels_mm);
    return status;
}
