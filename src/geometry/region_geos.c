#include "geometry/region_geos.h"

#include <stdint.h>
#include <string.h>

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

/* Ring r as a closed sequence of points. */
static GEOSCoordSequence *sequence_of(GEOSContextHandle_t geos, const PoiseRings *in, size_t r)
{
    size_t start = poise_rings_start(in, r), n = in->ends[r] - start;
    double(*closed)[2] = n < UINT32_MAX ? poise_resize(NULL, n + 1, sizeof *closed) : NULL;
    if (!closed)
        return NULL;
    memcpy(closed, in->points + start, n * sizeof *closed);
    memcpy(closed + n, closed, sizeof *closed);
    GEOSCoordSequence *sequence =
        GEOSCoordSeq_copyFromBuffer_r(geos, closed[0], (unsigned)n + 1, 0, 0);
    poise_release(closed);
    return sequence;
}

/* What takes a sequence or a ring owns it, even when it fails. */
static GEOSGeometry *line_of(GEOSContextHandle_t geos, const PoiseRings *in, size_t r)
{
    GEOSCoordSequence *sequence = sequence_of(geos, in, r);
    return sequence ? GEOSGeom_createLineString_r(geos, sequence) : NULL;
}

static GEOSGeometry *ring_of(GEOSContextHandle_t geos, const PoiseRings *in, size_t r)
{
    GEOSCoordSequence *sequence = sequence_of(geos, in, r);
    return sequence ? GEOSGeom_createLinearRing_r(geos, sequence) : NULL;
}

static GEOSGeometry *piece_of(GEOSContextHandle_t geos, const PoiseRings *in, size_t r)
{
    GEOSGeometry *ring = ring_of(geos, in, r);
    return ring ? GEOSGeom_createPolygon_r(geos, ring, NULL, 0) : NULL;
}

static void destroy_all(GEOSContextHandle_t geos, GEOSGeometry **parts, size_t n)
{
    for (size_t i = 0; i < n; i++)
        GEOSGeom_destroy_r(geos, parts[i]);
    poise_release(parts);
}

/* All rings, each made into a part by `make`, as one collection of that type. */
static GEOSGeometry *collection_of(GEOSContextHandle_t geos, const PoiseRings *in, int type,
                                   GEOSGeometry *(*make)(GEOSContextHandle_t, const PoiseRings *,
                                                         size_t))
{
    GEOSGeometry **parts = poise_resize(NULL, in->rings, sizeof(GEOSGeometry *));
    if (!parts)
        return NULL;
    for (size_t r = 0; r < in->rings; r++) {
        parts[r] = make(geos, in, r);
        if (!parts[r]) {
            destroy_all(geos, parts, r);
            return NULL;
        }
    }
    GEOSGeometry *all = GEOSGeom_createCollection_r(geos, type, parts, (unsigned)in->rings);
    poise_release(parts); /* the collection took the parts, even if it failed */
    return all;
}

static void reverse_open(PoiseRings *out)
{
    size_t first = poise_rings_start(out, out->rings);
    for (size_t i = first, j = out->count - 1; i < j; i++, j--)
        for (int c = 0; c < 2; c++) {
            double t = out->points[i][c];
            out->points[i][c] = out->points[j][c];
            out->points[j][c] = t;
        }
}

static bool add_ring(GEOSContextHandle_t geos, const GEOSGeometry *ring, bool hole, PoiseRings *out)
{
    const GEOSCoordSequence *sequence = ring ? GEOSGeom_getCoordSeq_r(geos, ring) : NULL;
    unsigned n = 0;
    if (!sequence || !GEOSCoordSeq_getSize_r(geos, sequence, &n))
        return false;
    if (n < 4)
        return true;
    if (!poise_rings_reserve(out, n) ||
        !GEOSCoordSeq_copyToBuffer_r(geos, sequence, out->points[out->count], 0, 0))
        return false;
    size_t start = out->count;
    out->count += n - 1; /* the last point repeats the first */
    double twice = 0;
    const double *o = out->points[start];
    for (size_t i = start + 1; i + 1 < out->count; i++) {
        const double *a = out->points[i], *b = out->points[i + 1];
        twice += (a[0] - o[0]) * (b[1] - o[1]) - (b[0] - o[0]) * (a[1] - o[1]);
    }
    if ((twice > 0) == hole) /* the library promises no direction */
        reverse_open(out);
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
        return out->failed ? POISE_E_MEMORY : POISE_E_INTERNAL;
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

/* The union of those faces of the polygonized lines that are wound around. Sets out->failed when
 * memory runs out. */
static GEOSGeometry *union_of_faces(GEOSContextHandle_t geos, const GEOSGeometry *faces,
                                    const PoiseRings *in, PoiseRings *out)
{
    int n = GEOSGetNumGeometries_r(geos, faces);
    if (n < 0)
        return NULL;
    GEOSGeometry **kept = poise_resize(NULL, (size_t)n, sizeof(GEOSGeometry *));
    out->failed = !kept;
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
    if (!good) {
        destroy_all(geos, kept, count);
        return NULL;
    }
    GEOSGeometry *all =
        GEOSGeom_createCollection_r(geos, GEOS_GEOMETRYCOLLECTION, kept, (unsigned)count);
    poise_release(kept); /* the collection took the faces, even if it failed */
    if (!all)
        return NULL;
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
    GEOSGeometry *lines = collection_of(geos, in, GEOS_MULTILINESTRING, line_of);
    if (!lines)
        return POISE_E_MEMORY;
    GEOSGeometry *noded =
        grid > 0 ? GEOSUnaryUnionPrec_r(geos, lines, grid) : GEOSUnaryUnion_r(geos, lines);
    const GEOSGeometry *const one[1] = {noded};
    GEOSGeometry *faces = noded ? GEOSPolygonize_r(geos, one, 1) : NULL;
    GEOSGeometry *united = faces ? union_of_faces(geos, faces, in, out) : NULL;
    GEOSGeom_destroy_r(geos, lines);
    GEOSGeom_destroy_r(geos, noded);
    GEOSGeom_destroy_r(geos, faces);
    return finish(geos, united, out);
}

/* An island as a polygon. */
static GEOSGeometry *polygon_of(GEOSContextHandle_t geos, const PoiseRings *in)
{
    GEOSGeometry **holes = poise_resize(NULL, in->rings, sizeof(GEOSGeometry *));
    GEOSGeometry *outline = holes ? ring_of(geos, in, 0) : NULL;
    size_t n = 0;
    while (outline && n + 1 < in->rings) {
        holes[n] = ring_of(geos, in, n + 1);
        if (!holes[n])
            break;
        n++;
    }
    if (!outline || n + 1 < in->rings) {
        GEOSGeom_destroy_r(geos, outline);
        if (holes)
            destroy_all(geos, holes, n);
        return NULL;
    }
    /* owns the rings, even when it fails */
    GEOSGeometry *polygon = GEOSGeom_createPolygon_r(geos, outline, holes, (unsigned)n);
    poise_release(holes);
    return polygon;
}

PoiseStatus poise_geos_shrink(GEOSContextHandle_t geos, const PoiseRings *in, double distance,
                              int steps, PoiseRings *out)
{
    poise_rings_reset(out);
    if (in->rings == 0)
        return POISE_OK;
    GEOSGeometry *region = polygon_of(geos, in);
    if (!region)
        return POISE_E_MEMORY;
    for (int i = 0; i < steps && region; i++) {
        GEOSGeometry *less =
            GEOSBufferWithStyle_r(geos, region, -distance / steps, 8, GEOSBUF_CAP_ROUND,
                                  GEOSBUF_JOIN_MITRE, POISE_MITRE_LIMIT);
        GEOSGeom_destroy_r(geos, region);
        region = less;
    }
    return finish(geos, region, out);
}

PoiseStatus poise_geos_without(GEOSContextHandle_t geos, const PoiseRings *in,
                               const PoiseRings *pieces, double grid, PoiseRings *out)
{
    poise_rings_reset(out);
    if (in->rings == 0)
        return POISE_OK;
    GEOSGeometry *region = polygon_of(geos, in);
    GEOSGeometry *parts =
        region ? collection_of(geos, pieces, GEOS_GEOMETRYCOLLECTION, piece_of) : NULL;
    if (!parts) {
        GEOSGeom_destroy_r(geos, region);
        return POISE_E_MEMORY;
    }
    GEOSGeometry *united = GEOSUnaryUnionPrec_r(geos, parts, grid);
    GEOSGeometry *left = united ? GEOSDifferencePrec_r(geos, region, united, grid) : NULL;
    GEOSGeom_destroy_r(geos, region);
    GEOSGeom_destroy_r(geos, parts);
    GEOSGeom_destroy_r(geos, united);
    return finish(geos, left, out);
}
