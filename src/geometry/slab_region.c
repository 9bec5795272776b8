#include "geometry/slab_region.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"

static const double PI = 3.141592653589793238463;

/* Sides of the polygon that stands for a disc where it overlaps something: its radius is chosen so
 * that the areas agree, and the rim then strays by less than r π²/(3·256²), 0.5 µm on a 20 mm hole.
 */
enum { DISC_SIDES = 256 };

static void keep_complaint(const char *message, void *context)
{
    PoisePlane *plane = context;
    snprintf(plane->complaint, sizeof plane->complaint, "%s", message);
}

bool poise_plane_open(PoisePlane *plane)
{
    *plane = (PoisePlane){.geos = GEOS_init_r()};
    if (!plane->geos)
        return false;
    GEOSContext_setErrorMessageHandler_r(plane->geos, keep_complaint, plane);
    return true;
}

void poise_plane_close(PoisePlane *plane)
{
    if (plane->geos)
        GEOS_finish_r(plane->geos);
    plane->geos = NULL;
}

/* A polygon from a ring; NULL on failure. */
static GEOSGeometry *polygon(PoisePlane *plane, const double (*points)[2], size_t n)
{
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(plane->geos, (unsigned)n + 1, 2);
    if (!sequence)
        return NULL;
    for (size_t k = 0; k <= n; k++)
        if (!GEOSCoordSeq_setXY_r(plane->geos, sequence, (unsigned)k, points[k % n][0],
                                  points[k % n][1])) {
            GEOSCoordSeq_destroy_r(plane->geos, sequence);
            return NULL;
        }
    GEOSGeometry *ring =
        GEOSGeom_createLinearRing_r(plane->geos, sequence); /* takes the sequence */
    return ring ? GEOSGeom_createPolygon_r(plane->geos, ring, NULL, 0) : NULL; /* takes the ring */
}

bool poise_region_ring(PoisePlane *plane, const double (*points)[2], size_t n,
                       const double origin[2], PoiseRegion *region)
{
    PoiseAreaMoments m = poise_ring_moments(points, n, origin);
    *region = (PoiseRegion){.shape = polygon(plane, points, n)};
    poise_area_moments_add(&region->exact, &m, m.area_mm2 < 0.0 ? -1.0 : 1.0);
    for (int i = 0; i < 2; i++) {
        region->min_mm[i] = region->max_mm[i] = points[0][i];
        for (size_t k = 1; k < n; k++) {
            region->min_mm[i] = fmin(region->min_mm[i], points[k][i]);
            region->max_mm[i] = fmax(region->max_mm[i], points[k][i]);
        }
    }
    return region->shape != NULL;
}

bool poise_region_disc(PoisePlane *plane, const double at[2], double radius, const double origin[2],
                       PoiseRegion *region)
{
    double points[DISC_SIDES][2], step = 2.0 * PI / DISC_SIDES;
    double rim = radius * sqrt(step / sin(step)); /* n r'² sin(2π/n)/2 = π r² */
    for (int k = 0; k < DISC_SIDES; k++) {
        points[k][0] = at[0] + rim * cos(step * k);
        points[k][1] = at[1] + rim * sin(step * k);
    }
    double area = PI * radius * radius, quarter = 0.25 * area * radius * radius; /* ∫x² = πr⁴/4 */
    PoiseAreaMoments m = {
        .origin_mm = {at[0], at[1]}, .area_mm2 = area, .second_mm4 = {quarter, quarter, 0.0}};
    *region = (PoiseRegion){.shape = polygon(plane, (const double(*)[2])points, DISC_SIDES),
                            .centre = GEOSGeom_createPointFromXY_r(plane->geos, at[0], at[1]),
                            .at_mm = {at[0], at[1]},
                            .radius_mm = radius,
                            .min_mm = {at[0] - radius, at[1] - radius},
                            .max_mm = {at[0] + radius, at[1] + radius},
                            .exact = {.origin_mm = {origin[0], origin[1]}}};
    poise_area_moments_add(&region->exact, &m, 1.0);
    return region->shape && region->centre;
}

void poise_region_clear(PoisePlane *plane, PoiseRegion *region)
{
    if (region->shape)
        GEOSGeom_destroy_r(plane->geos, region->shape);
    if (region->centre)
        GEOSGeom_destroy_r(plane->geos, region->centre);
    region->shape = region->centre = NULL;
}

int poise_region_inside(PoisePlane *plane, const PoiseRegion *inner, const PoiseRegion *outer)
{
    if (inner->radius_mm == 0.0) {
        char covers = GEOSCovers_r(plane->geos, outer->shape, inner->shape);
        return covers > 1 ? -1 : covers;
    }
    char within = GEOSCovers_r(plane->geos, outer->shape, inner->centre);
    if (within != 1)
        return within == 0 ? 0 : -1;
    const GEOSGeometry *rim = GEOSGetExteriorRing_r(plane->geos, outer->shape);
    double distance;
    if (!rim || !GEOSDistance_r(plane->geos, rim, inner->centre, &distance))
        return -1;
    return distance >= inner->radius_mm;
}

int poise_region_overlap(PoisePlane *plane, const PoiseRegion *a, const PoiseRegion *b)
{
    for (int i = 0; i < 2; i++)
        if (a->max_mm[i] <= b->min_mm[i] || b->max_mm[i] <= a->min_mm[i])
            return 0;
    if (a->radius_mm > 0.0 && b->radius_mm > 0.0)
        return hypot(a->at_mm[0] - b->at_mm[0], a->at_mm[1] - b->at_mm[1]) <
               a->radius_mm + b->radius_mm;
    if (a->radius_mm > 0.0 || b->radius_mm > 0.0) {
        const PoiseRegion *disc = a->radius_mm > 0.0 ? a : b, *other = disc == a ? b : a;
        double distance; /* 0 within the polygon */
        if (!GEOSDistance_r(plane->geos, other->shape, disc->centre, &distance))
            return -1;
        return distance < disc->radius_mm;
    }
    char apart = GEOSRelatePattern_r(plane->geos, a->shape, b->shape,
                                     "F********"); /* interiors do not meet */
    return apart > 1 ? -1 : !apart;
}

/* Adds a ring of a GEOS polygon: as a positive area, times scale. */
static bool add_ring(PoisePlane *plane, const GEOSGeometry *ring, const double origin[2],
                     double scale, PoiseAreaMoments *sum)
{
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(plane->geos, ring);
    unsigned n = 0;
    if (!sequence || !GEOSCoordSeq_getSize_r(plane->geos, sequence, &n))
        return false;
    if (n < 4)
        return true;
    double(*points)[2] = poise_resize(NULL, n, sizeof *points);
    bool ok = points && GEOSCoordSeq_copyToBuffer_r(plane->geos, sequence, points[0], 0, 0);
    if (ok) {
        PoiseAreaMoments m = poise_ring_moments((const double(*)[2])points, n - 1, origin);
        poise_area_moments_add(sum, &m, m.area_mm2 < 0.0 ? -scale : scale);
    }
    poise_release(points);
    return ok;
}

static bool add_polygon(PoisePlane *plane, const GEOSGeometry *shape, const double origin[2],
                        PoiseAreaMoments *sum)
{
    const GEOSGeometry *rim = GEOSGetExteriorRing_r(plane->geos, shape);
    int holes = GEOSGetNumInteriorRings_r(plane->geos, shape);
    bool ok = rim && holes >= 0 && add_ring(plane, rim, origin, 1.0, sum);
    for (int k = 0; k < holes && ok; k++) {
        const GEOSGeometry *hole = GEOSGetInteriorRingN_r(plane->geos, shape, k);
        ok = hole && add_ring(plane, hole, origin, -1.0, sum);
    }
    return ok;
}

/* Polygons count; the points and lines of a mixed collection have no area. */
static bool add_shape(PoisePlane *plane, const GEOSGeometry *shape, const double origin[2],
                      PoiseAreaMoments *sum)
{
    int parts = GEOSGetNumGeometries_r(plane->geos, shape);
    if (parts < 0)
        return false;
    for (int k = 0; k < parts; k++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(plane->geos, shape, k);
        int type = part ? GEOSGeomTypeId_r(plane->geos, part) : -1;
        if (type < 0)
            return false;
        bool nested = type == GEOS_MULTIPOLYGON || type == GEOS_GEOMETRYCOLLECTION;
        if (nested && !add_shape(plane, part, origin, sum))
            return false;
        char empty = type == GEOS_POLYGON ? GEOSisEmpty_r(plane->geos, part) : 1;
        if (empty > 1 || (!empty && !add_polygon(plane, part, origin, sum)))
            return false; /* 2: GEOS failed */
    }
    return true;
}

bool poise_region_union_moments(PoisePlane *plane, const PoiseRegion *const *regions, size_t n,
                                const PoiseRegion *within, const double origin[2],
                                PoiseAreaMoments *moments)
{
    *moments = (PoiseAreaMoments){.origin_mm = {origin[0], origin[1]}};
    GEOSGeometry **copies = poise_alloc_zero(n, sizeof *copies);
    bool ok = copies != NULL;
    for (size_t k = 0; k < n && ok; k++) {
        copies[k] = GEOSGeom_clone_r(plane->geos, regions[k]->shape);
        ok = copies[k] != NULL;
    }
    GEOSGeometry *all =
        ok ? GEOSGeom_createCollection_r(plane->geos, GEOS_MULTIPOLYGON, copies, (unsigned)n)
           : NULL;
    if (!ok) /* else the collection took them, even if it failed */
        for (size_t k = 0; copies && k < n; k++)
            if (copies[k])
                GEOSGeom_destroy_r(plane->geos, copies[k]);
    poise_release(copies);
    GEOSGeometry *joined = all ? GEOSUnaryUnion_r(plane->geos, all) : NULL;
    GEOSGeometry *cut = joined ? GEOSIntersection_r(plane->geos, joined, within->shape) : NULL;
    ok = cut && add_shape(plane, cut, origin, moments);
    if (all)
        GEOSGeom_destroy_r(plane->geos, all);
    if (joined)
        GEOSGeom_destroy_r(plane->geos, joined);
    if (cut)
        GEOSGeom_destroy_r(plane->geos, cut);
    return ok;
}
