#include "decide/body_outline.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/vec.h"
#include "bodies/item_body.h"
#include "geometry/contour.h"
#include "geometry/region_geos.h"
#include "poise/mesh.h"

typedef struct Work {
    const PoiseInstrument *instrument;
    PoiseAxes axes; /* right-handed here; a left-handed player's y is turned over at the end */
    double z_mm;
    GEOSContextHandle_t geos;
    PoiseRings rings;
    PoiseStatus
        status; /* of what the library was asked: a part left out would be a wrong outline */
} Work;

static void to_plane(const Work *w, const PoiseItemBody *body, const double r[3], double out[3])
{
    double file[3], turn[3][3];
    memcpy(turn, body->turn, sizeof turn);
    poise_rotate(turn, r, file);
    for (int i = 0; i < 3; i++)
        file[i] += body->shift_mm[i];
    poise_axes_xyz(&w->axes, file, out);
}

/* The rings of a mesh whose vertices are in plane axes. */
static PoiseStatus cut(Work *w, const PoiseMesh *mesh, double *vertices)
{
    static const double origin[2] = {0.0, 0.0};
    PoiseSlices slices = {.vertices = vertices,
                          .triangles = mesh->triangles,
                          .triangle_count = mesh->triangle_count,
                          .planes = &w->z_mm,
                          .layers = 1};
    PoiseSliceRun run = {0};
    PoiseContourWork scratch = {0};
    PoiseRings rings = {0};
    PoiseStatus status = poise_slices_build(&slices, 1);
    if (!status)
        status = poise_slices_run(&slices, 0, 1, &run);
    if (!status && run.start[1] > 0)
        status =
            poise_contour(&slices, run.triangles, run.start[1], w->z_mm, origin, &scratch, &rings);
    for (size_t r = 0; r < rings.rings && !status; r++)
        if (poise_ring_area(&rings, r) > 0.0)
            poise_rings_add_ring(&w->rings, &rings, r);
    if (rings.failed || w->rings.failed)
        status = POISE_E_MEMORY;
    poise_rings_release(&rings);
    poise_contour_work_release(&scratch);
    poise_slice_run_release(&run);
    poise_slices_release(&slices);
    return status;
}

static PoiseStatus add_mesh(Work *w, const PoiseItemBody *body, const char *path, const char *unit,
                            PoiseFaults *faults)
{
    PoiseMesh *mesh = NULL;
    PoiseStatus status = poise_mesh_read(path, unit, &mesh, faults);
    if (status)
        return status;
    double *vertices = poise_alloc_zero(mesh->vertex_count, 3 * sizeof *vertices);
    if (vertices) {
        for (size_t v = 0; v < mesh->vertex_count; v++)
            to_plane(w, body, &mesh->vertices_mm[3 * v], &vertices[3 * v]);
        status = cut(w, mesh, vertices);
    } else {
        status = poise_fault_memory(faults);
    }
    poise_release(vertices);
    poise_mesh_free(mesh);
    return status;
}

/* A slab that lies flat under the face and reaches through z. */
static void add_slab(Work *w, const PoiseItemBody *body, const PoiseSolid *solid)
{
    const PoiseOutline *o = &solid->outline;
    double lo = INFINITY, hi = -INFINITY;
    const double faces[2] = {solid->top_mm, solid->top_mm - solid->thickness_mm.value};
    for (size_t i = 0; i < o->count; i++) {
        double at[3];
        for (int k = 0; k < 2; k++) {
            double r[3] = {o->points_mm[i][0], o->points_mm[i][1], faces[k]};
            to_plane(w, body, r, at);
            lo = fmin(lo, at[2]);
            hi = fmax(hi, at[2]);
        }
        poise_rings_add(&w->rings, at[0], at[1]);
    }
    if (lo <= w->z_mm && w->z_mm <= hi)
        poise_rings_close(&w->rings);
    else
        poise_rings_drop_open(&w->rings);
}

static PoiseStatus add_item(Work *w, const PoiseItem *item, const PoiseItemBody *body,
                            PoiseFaults *faults)
{
    if (item->count != 1)
        return POISE_OK;
    if (item->kind == POISE_ITEM_PRINTED && !item->as.printed.mesh)
        return POISE_OK; /* a toolpath alone has no outline here */
    if (item->kind == POISE_ITEM_PRINTED)
        return add_mesh(w, body, item->as.printed.mesh, item->as.printed.mesh_unit, faults);
    if (item->kind != POISE_ITEM_SOLID)
        return POISE_OK;
    if (item->as.solid.mesh)
        return add_mesh(w, body, item->as.solid.mesh, item->as.solid.mesh_unit, faults);
    add_slab(w, body, &item->as.solid);
    return POISE_OK;
}

static GEOSGeometry *polygon_of(Work *w, size_t ring)
{
    size_t start = poise_rings_start(&w->rings, ring), n = w->rings.ends[ring] - start;
    double(*points)[2] = poise_alloc_zero(n + 1, sizeof *points);
    if (!points) {
        w->status = POISE_E_MEMORY;
        return NULL;
    }
    memcpy(points, &w->rings.points[start], n * sizeof *points);
    memcpy(points[n], points[0], sizeof *points);
    GEOSCoordSequence *s =
        GEOSCoordSeq_copyFromBuffer_r(w->geos, &points[0][0], (unsigned)(n + 1), 0, 0);
    poise_release(points);
    GEOSGeometry *shell = s ? GEOSGeom_createLinearRing_r(w->geos, s) : NULL;
    return shell ? GEOSGeom_createPolygon_r(w->geos, shell, NULL, 0) : NULL;
}

static GEOSGeometry *grown(Work *w, const GEOSGeometry *g, double by)
{
    enum { QUADRANT = 8 };
    return GEOSBufferWithStyle_r(w->geos, g, by, QUADRANT, GEOSBUF_CAP_ROUND, GEOSBUF_JOIN_MITRE,
                                 POISE_MITRE_LIMIT);
}

/* All rings together, joined over small gaps. */
static GEOSGeometry *joined(Work *w)
{
    size_t n = 0;
    GEOSGeometry **list = poise_alloc_zero(w->rings.rings, sizeof *list);
    if (!list)
        w->status = POISE_E_MEMORY;
    for (size_t r = 0; list && r < w->rings.rings; r++) {
        GEOSGeometry *polygon = polygon_of(w, r);
        GEOSGeometry *wide = polygon ? grown(w, polygon, POISE_OUTLINE_GAP_MM) : NULL;
        GEOSGeom_destroy_r(w->geos, polygon);
        if (wide)
            list[n++] = wide;
        else if (!w->status)
            w->status = POISE_E_INTERNAL;
    }
    GEOSGeometry *all =
        n ? GEOSGeom_createCollection_r(w->geos, GEOS_GEOMETRYCOLLECTION, list, (unsigned)n) : NULL;
    poise_release(list);
    GEOSGeometry *one = all ? GEOSUnaryUnion_r(w->geos, all) : NULL;
    GEOSGeom_destroy_r(w->geos, all);
    GEOSGeometry *edge = one ? grown(w, one, -POISE_OUTLINE_GAP_MM) : NULL;
    GEOSGeom_destroy_r(w->geos, one);
    return edge;
}

/* The outer ring of the polygon, y turned over for the left-handed. */
static bool copy_shell(Work *w, const GEOSGeometry *polygon, double y_sign, PoiseRings *out)
{
    const GEOSGeometry *shell = GEOSGetExteriorRing_r(w->geos, polygon);
    const GEOSCoordSequence *s = shell ? GEOSGeom_getCoordSeq_r(w->geos, shell) : NULL;
    unsigned n = 0;
    if (!s || !GEOSCoordSeq_getSize_r(w->geos, s, &n))
        return false;
    for (unsigned i = 0; i + 1 < n; i++) {
        double x, y;
        if (!GEOSCoordSeq_getXY_r(w->geos, s, i, &x, &y))
            return false;
        poise_rings_add(out, x, y_sign * y);
    }
    poise_rings_close(out);
    return !out->failed;
}

/* Copies all shells, or only the largest; *largest gets that polygon (borrowed). */
static bool copy_shells(Work *w, const GEOSGeometry *g, bool all, double y_sign, PoiseRings *out,
                        const GEOSGeometry **largest)
{
    double most = 0.0;
    *largest = NULL;
    int n = GEOSGetNumGeometries_r(w->geos, g);
    if (n < 0)
        return false;
    for (int i = 0; i < n; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(w->geos, g, i);
        int type = part ? GEOSGeomTypeId_r(w->geos, part) : -1;
        double area = 0.0;
        if (type < 0 || (type == GEOS_POLYGON && !GEOSArea_r(w->geos, part, &area)))
            return false;
        if (!(area > 0.0))
            continue;
        if (all && !copy_shell(w, part, y_sign, out))
            return false;
        if (area > most) {
            most = area;
            *largest = part;
        }
    }
    return all || !*largest || copy_shell(w, *largest, y_sign, out);
}

static PoiseStatus finish(Work *w, double y_sign, double inset_mm, PoiseBodyOutline *out)
{
    const GEOSGeometry *body = NULL, *unused;
    if (w->rings.rings == 0)
        return POISE_OK;
    GEOSGeometry *edge = joined(w);
    bool good = edge && copy_shells(w, edge, false, y_sign, &out->edge, &body);
    GEOSGeometry *inset = good && body ? grown(w, body, -inset_mm) : NULL;
    if (good && body)
        good = inset && copy_shells(w, inset, true, y_sign, &out->inset, &unused);
    GEOSGeom_destroy_r(w->geos, inset);
    GEOSGeom_destroy_r(w->geos, edge);
    if (out->edge.failed || out->inset.failed)
        return POISE_E_MEMORY;
    if (w->status)
        return w->status;
    return good ? POISE_OK : POISE_E_INTERNAL;
}

PoiseStatus poise_body_outline(const PoiseInstrument *in, const PoiseWeighing *weighing,
                               double z_mm, double inset_mm, PoiseBodyOutline *out,
                               PoiseFaults *faults)
{
    *out = (PoiseBodyOutline){.z_mm = z_mm};
    PoiseFrame frame = in->frame;
    frame.left = false;
    Work w = {
        .instrument = in, .axes = poise_frame_axes(&frame), .z_mm = z_mm, .geos = poise_geos_new()};
    if (!w.geos)
        return poise_fault_memory(faults);
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < in->item_count && !status; i++)
        status = add_item(&w, &in->items[i], weighing->items[i].detail, faults);
    if (!status && w.rings.failed)
        status = POISE_E_MEMORY;
    if (!status)
        status = finish(&w, in->frame.left ? -1.0 : 1.0, inset_mm, out);
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    else if (status == POISE_E_INTERNAL)
        poise_fault_say(faults, status, in->file, "the body's outline could not be joined up");
    poise_rings_release(&w.rings);
    poise_geos_free(w.geos);
    return status;
}

void poise_body_outline_clear(PoiseBodyOutline *out)
{
    poise_rings_release(&out->edge);
    poise_rings_release(&out->inset);
    *out = (PoiseBodyOutline){0};
}

bool poise_edge_path(const PoiseRings *rings, size_t ring, PoiseEdgePath *path)
{
    size_t start = poise_rings_start(rings, ring);
    *path = (PoiseEdgePath){.points = (const double(*)[2]) & rings->points[start],
                            .count = rings->ends[ring] - start};
    path->along = poise_alloc_zero(path->count + 1, sizeof *path->along);
    if (!path->along)
        return false;
    for (size_t i = 0; i < path->count; i++) {
        const double *a = path->points[i], *b = path->points[(i + 1) % path->count];
        path->along[i + 1] = path->along[i] + hypot(b[0] - a[0], b[1] - a[1]);
    }
    return true;
}

void poise_edge_path_clear(PoiseEdgePath *path)
{
    poise_release(path->along);
    *path = (PoiseEdgePath){0};
}

double poise_edge_nearest(const PoiseEdgePath *path, PoisePoint p, double *distance_mm)
{
    double best = 0.0;
    *distance_mm = INFINITY;
    for (size_t i = 0; i < path->count; i++) {
        const double *a = path->points[i], *b = path->points[(i + 1) % path->count];
        double dx = b[0] - a[0], dy = b[1] - a[1], length = path->along[i + 1] - path->along[i];
        if (!(length > 0.0))
            continue;
        double t = ((p.x_mm - a[0]) * dx + (p.y_mm - a[1]) * dy) / (length * length);
        t = fmin(fmax(t, 0.0), 1.0);
        double away = hypot(p.x_mm - a[0] - t * dx, p.y_mm - a[1] - t * dy);
        if (away < *distance_mm) {
            *distance_mm = away;
            best = path->along[i] + t * length;
        }
    }
    return best;
}

static PoisePoint point_at(const PoiseEdgePath *path, double s)
{
    double whole = path->along[path->count];
    s = fmod(s, whole);
    if (s < 0.0)
        s += whole;
    size_t lo = 0, hi = path->count; /* along[lo] ≤ s < along[hi] */
    while (hi - lo > 1) {
        size_t middle = lo + (hi - lo) / 2;
        if (path->along[middle] <= s)
            lo = middle;
        else
            hi = middle;
    }
    const double *a = path->points[lo], *b = path->points[(lo + 1) % path->count];
    double length = path->along[lo + 1] - path->along[lo];
    double t = length > 0.0 ? (s - path->along[lo]) / length : 0.0;
    return (PoisePoint){a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])};
}

PoisePoint poise_edge_at(const PoiseEdgePath *path, double s, double half_chord_mm,
                         double normal[2])
{
    PoisePoint back = point_at(path, s - half_chord_mm), on = point_at(path, s + half_chord_mm);
    double dx = on.x_mm - back.x_mm, dy = on.y_mm - back.y_mm, length = hypot(dx, dy);
    normal[0] = length > 0.0 ? -dy / length : 0.0;
    normal[1] = length > 0.0 ? dx / length : 0.0;
    return point_at(path, s);
}
