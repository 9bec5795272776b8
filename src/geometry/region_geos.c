#include "geometry/region_geos.h"

#include <stdint.h>

#include "base/memory.h"

static void quiet(const char *message, void *context)
{
    (void)message;
    (void)context;
}

GEOSContextHandle_t poise_geos_new(void)
{
    GEOSContextHandle_t geos = GEOS_init_r();
    if (!geos)
        return NULL;
    GEOSContext_setErrorMessageHandler_r(geos, quiet, NULL);
    GEOSContext_setNoticeMessageHandler_r(geos, quiet, NULL);
    return geos;
}

void poise_geos_free(GEOSContextHandle_t geos)
{
    if (geos)
        GEOS_finish_r(geos);
}

/* Ring r as a closed line string. */
static GEOSGeometry *line_of(GEOSContextHandle_t geos, const PoiseRings *in, size_t r)
{
    size_t start = poise_rings_start(in, r), n = in->ends[r] - start;
    if (n >= UINT32_MAX)
        return NULL;
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, (unsigned)n + 1, 2);
    if (!sequence)
        return NULL;
    for (size_t i = 0; i <= n; i++) {
        const double *p = in->points[start + (i == n ? 0 : i)];
        if (!GEOSCoordSeq_setXY_r(geos, sequence, (unsigned)i, p[0], p[1])) {
            GEOSCoordSeq_destroy_r(geos, sequence);
            return NULL;
        }
    }
    return GEOSGeom_createLineString_r(geos, sequence); /* owns the sequence, even when it fails */
}

static void destroy_all(GEOSContextHandle_t geos, GEOSGeometry **parts, size_t n)
{
    for (size_t i = 0; i < n; i++)
        GEOSGeom_destroy_r(geos, parts[i]);
    poise_release(parts);
}

/* All rings as one MultiLineString. */
static GEOSGeometry *lines_of(GEOSContextHandle_t geos, const PoiseRings *in)
{
    GEOSGeometry **parts = poise_resize(NULL, in->rings, sizeof(GEOSGeometry *));
    if (!parts)
        return NULL;
    for (size_t r = 0; r < in->rings; r++) {
        parts[r] = line_of(geos, in, r);
        if (!parts[r]) {
            destroy_all(geos, parts, r);
            return NULL;
        }
    }
    GEOSGeometry *lines =
        GEOSGeom_createCollection_r(geos, GEOS_MULTILINESTRING, parts, (unsigned)in->rings);
    if (!lines)
        destroy_all(geos, parts, in->rings);
    else
        poise_release(parts);
    return lines;
}

static bool add_ring(GEOSContextHandle_t geos, const GEOSGeometry *ring, bool hole, PoiseRings *out)
{
    const GEOSCoordSequence *sequence = ring ? GEOSGeom_getCoordSeq_r(geos, ring) : NULL;
    unsigned n = 0;
    if (!sequence || !GEOSCoordSeq_getSize_r(geos, sequence, &n))
        return false;
    if (n < 4)
        return true;
    double twice = 0, x0 = 0, y0 = 0, px = 0, py = 0;
    size_t first = out->count;
    for (unsigned i = 0; i + 1 < n; i++) {
        double x, y;
        if (!GEOSCoordSeq_getXY_r(geos, sequence, i, &x, &y))
            return false;
        if (i == 0) {
            x0 = x;
            y0 = y;
        }
        twice += (px - x0) * (y - y0) - (x - x0) * (py - y0);
        px = x;
        py = y;
        poise_rings_add(out, x, y);
    }
    if (out->failed)
        return false;
    if ((twice > 0) == hole) /* the library promises no direction */
        for (size_t i = first, j = out->count - 1; i < j; i++, j--)
            for (int c = 0; c < 2; c++) {
                double t = out->points[i][c];
                out->points[i][c] = out->points[j][c];
                out->points[j][c] = t;
            }
    poise_rings_close(out);
    return !out->failed;
}

/* Takes the polygons out of whatever collection the library returned; points and lines bound no
 * area. */
static bool add_polygons(GEOSContextHandle_t geos, const GEOSGeometry *g, PoiseRings *out)
{
    int type = GEOSGeomTypeId_r(geos, g);
    if (type == GEOS_POLYGON) {
        if (GEOSisEmpty_r(geos, g) != 0)
            return GEOSisEmpty_r(geos, g) == 1;
        if (!add_ring(geos, GEOSGetExteriorRing_r(geos, g), false, out))
            return false;
        int holes = GEOSGetNumInteriorRings_r(geos, g);
        for (int i = 0; i < holes; i++)
            if (!add_ring(geos, GEOSGetInteriorRingN_r(geos, g, i), true, out))
                return false;
        return holes >= 0;
    }
    if (type != GEOS_MULTIPOLYGON && type != GEOS_GEOMETRYCOLLECTION)
        return type >= 0;
    int n = GEOSGetNumGeometries_r(geos, g);
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(geos, g, i);
        if (!part || !add_polygons(geos, part, out))
            return false;
    }
    return n >= 0;
}

/* Takes `g` apart into `out` and destroys it; a NULL is the library's failure. */
static PoiseStatus finish(GEOSContextHandle_t geos, GEOSGeometry *g, PoiseRings *out)
{
    if (!g)
        return POISE_E_INTERNAL;
    bool good = add_polygons(geos, g, out);
    GEOSGeom_destroy_r(geos, g);
    if (out->failed)
        return POISE_E_MEMORY;
    return good ? POISE_OK : POISE_E_INTERNAL;
}

/* Whether the rings wind around an inner point of the face; −1 when the library fails. */
static int is_inside(GEOSContextHandle_t geos, const GEOSGeometry *face, const PoiseRings *in)
{
    GEOSGeometry *point = GEOSPointOnSurface_r(geos, face);
    double x = 0, y = 0;
    int good =
        point && GEOSGeomGetX_r(geos, point, &x) == 1 && GEOSGeomGetY_r(geos, point, &y) == 1;
    GEOSGeom_destroy_r(geos, point);
    return good ? poise_rings_winding(in, x, y) > 0 : -1;
}

/* The union of those faces of the polygonized lines that are wound around. */
static GEOSGeometry *union_of_faces(GEOSContextHandle_t geos, const GEOSGeometry *faces,
                                    const PoiseRings *in)
{
    int n = GEOSGetNumGeometries_r(geos, faces);
    if (n < 0)
        return NULL;
    GEOSGeometry **kept = poise_resize(NULL, (size_t)n, sizeof(GEOSGeometry *));
    if (!kept)
        return NULL;
    size_t count = 0;
    bool good = true;
    for (int i = 0; good && i < n; i++) {
        const GEOSGeometry *face = GEOSGetGeometryN_r(geos, faces, i);
        int inside = face ? is_inside(geos, face, in) : -1;
        GEOSGeometry *copy = inside == 1 ? GEOSGeom_clone_r(geos, face) : NULL;
        if (copy)
            kept[count++] = copy;
        good = inside == 0 || (inside == 1 && copy);
    }
    GEOSGeometry *all =
        good ? GEOSGeom_createCollection_r(geos, GEOS_GEOMETRYCOLLECTION, kept, (unsigned)count)
             : NULL;
    if (!all) {
        destroy_all(geos, kept, count);
        return NULL;
    }
    poise_release(kept);
    GEOSGeometry *united = GEOSUnaryUnion_r(geos, all);
    GEOSGeom_destroy_r(geos, all);
    return united;
}

PoiseStatus poise_geos_positive(GEOSContextHandle_t geos, const PoiseRings *in, double grid,
                                PoiseRings *out)
{
    poise_rings_reset(out);
    if (in->rings == 0)
        return POISE_OK;
    GEOSGeometry *lines = lines_of(geos, in);
    GEOSGeometry *noded = lines ? GEOSUnaryUnionPrec_r(geos, lines, grid) : NULL;
    const GEOSGeometry *const one[1] = {noded};
    GEOSGeometry *faces = noded ? GEOSPolygonize_r(geos, one, 1) : NULL;
    GEOSGeometry *united = faces ? union_of_faces(geos, faces, in) : NULL;
    GEOSGeom_destroy_r(geos, lines);
    GEOSGeom_destroy_r(geos, noded);
    GEOSGeom_destroy_r(geos, faces);
    return finish(geos, united, out);
}

PoiseStatus poise_geos_shrink(GEOSContextHandle_t geos, const PoiseRings *in, double distance,
                              PoiseRings *out)
{
    poise_rings_reset(out);
    if (in->rings == 0)
        return POISE_OK;
    GEOSGeometry *lines = lines_of(geos, in);
    GEOSGeometry *region = lines ? GEOSBuildArea_r(geos, lines) : NULL;
    GEOSGeometry *shrunk =
        region ? GEOSBufferWithStyle_r(geos, region, -distance, 8, GEOSBUF_CAP_ROUND,
                                       GEOSBUF_JOIN_MITRE, POISE_MITRE_LIMIT)
               : NULL;
    GEOSGeom_destroy_r(geos, lines);
    GEOSGeom_destroy_r(geos, region);
    return finish(geos, shrunk, out);
}
