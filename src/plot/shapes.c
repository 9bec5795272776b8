#include "plot/shapes.h"

#include <math.h>
#include <stdlib.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/vec.h"
#include "bodies/mesh_item.h"
#include "bodies/neck.h"
#include "bodies/neck_shape.h"
#include "bodies/scale_axes.h"
#include "geometry/silhouette.h"

/* How an item's own axes appear in the plane of the face. */
static PoiseProjection projection_of(const PoiseAxes *axes, const PoiseItemBody *body)
{
    PoiseProjection p;
    for (int j = 0; j < 3; j++) {
        double column[3] = {body->turn[0][j], body->turn[1][j], body->turn[2][j]};
        p.across[j] = poise_dot(axes->x, column);
        p.up[j] = poise_dot(axes->y, column);
    }
    p.shift_mm[0] = poise_dot(axes->x, body->shift_mm);
    p.shift_mm[1] = poise_dot(axes->y, body->shift_mm);
    return p;
}

static void without_specks(const PoiseRings *in, PoiseRings *out)
{
    poise_rings_reset(out);
    for (size_t r = 0; r < in->rings; r++)
        if (fabs(poise_ring_area(in, r)) >= POISE_SPECK_MM2)
            poise_rings_add_ring(out, in, r);
}

static PoiseStatus mesh_shape(const PoiseInstrument *in, const PoiseItem *item, const char *path,
                              const char *unit, const PoiseProjection *projection,
                              PoiseRings *rings, PoiseFaults *faults)
{
    PoiseMesh *mesh = NULL;
    PoiseMoments moments;
    PoiseStatus status = poise_mesh_item(in, item, path, unit, &mesh, &moments, faults);
    if (status)
        return status;
    PoiseRings all = {0};
    status = poise_silhouette_mesh(mesh, projection, &all);
    poise_mesh_free(mesh);
    if (!status)
        without_specks(&all, rings);
    poise_rings_release(&all);
    return !status && rings->failed ? POISE_E_MEMORY : status;
}

static void add_corner(PoiseRings *rings, const PoiseProjection *projection, PoiseScaleAxes *axes,
                       bool at_nut, double x_mm, double y_mm)
{
    double r[3], picture[2], at[3] = {x_mm, y_mm, 0.0};
    poise_rotate(axes->to_file, at, r);
    for (int i = 0; i < 3 && at_nut; i++)
        r[i] += axes->nut_mm[i];
    poise_project(projection, r, picture);
    poise_rings_add(rings, picture[0], picture[1]);
}

/* Board and headstock, as bodies/neck_shape.h describes their plan. */
static PoiseStatus neck_shape(const PoiseInstrument *in, const PoiseItem *item,
                              const PoiseProjection *projection, PoiseRings *rings,
                              PoiseFaults *faults)
{
    const PoiseNeck *neck = &item->as.neck;
    PoiseScaleAxes axes;
    PoiseStatus status = poise_scale_axes(in, item, &axes, faults);
    if (status)
        return status;
    double length = poise_neck_length_mm(neck, axes.length_mm);
    double nut = 0.5 * neck->nut_width_mm.value, heel = 0.5 * neck->heel_width_mm.value;
    bool at_nut = !item->has_at;
    add_corner(rings, projection, &axes, at_nut, -length, -heel);
    add_corner(rings, projection, &axes, at_nut, 0.0, -nut);
    if (neck->headstock_length_mm > 0.0) {
        double head = 0.5 * neck->headstock_width_mm;
        add_corner(rings, projection, &axes, at_nut, 0.0, -head);
        add_corner(rings, projection, &axes, at_nut, neck->headstock_length_mm, -head);
        add_corner(rings, projection, &axes, at_nut, neck->headstock_length_mm, head);
        add_corner(rings, projection, &axes, at_nut, 0.0, head);
    }
    add_corner(rings, projection, &axes, at_nut, 0.0, nut);
    add_corner(rings, projection, &axes, at_nut, -length, heel);
    poise_rings_close(rings);
    return rings->failed ? POISE_E_MEMORY : POISE_OK;
}

static PoiseStatus item_shape(const PoiseInstrument *in, const PoiseWeighing *w, size_t i,
                              PoiseRings *rings, PoiseFaults *faults)
{
    const PoiseItem *item = &in->items[i];
    PoiseAxes axes = poise_frame_axes(&in->frame);
    PoiseProjection projection = projection_of(&axes, w->items[i].detail);
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        if (!item->as.printed.mesh) /* a toolpath alone */
            return POISE_OK;
        return mesh_shape(in, item, item->as.printed.mesh, item->as.printed.mesh_unit, &projection,
                          rings, faults);
    case POISE_ITEM_POURED:
        if (!item->as.poured.mesh)
            return POISE_OK;
        return mesh_shape(in, item, item->as.poured.mesh, item->as.poured.mesh_unit, &projection,
                          rings, faults);
    case POISE_ITEM_SOLID:
        if (item->as.solid.mesh)
            return mesh_shape(in, item, item->as.solid.mesh, item->as.solid.mesh_unit, &projection,
                              rings, faults);
        return poise_silhouette_outline((const double(*)[2])item->as.solid.outline.points_mm,
                                        item->as.solid.outline.count, &projection, rings);
    case POISE_ITEM_NECK:
        return neck_shape(in, item, &projection, rings, faults);
    case POISE_ITEM_STRINGS:
    case POISE_ITEM_PART:
    case POISE_ITEM_MASS:
        break;
    }
    return POISE_OK;
}

/* What is drawn over what: bodies first, then what is poured into them, then the neck. */
static int layer_of(PoiseItemKind kind)
{
    return kind == POISE_ITEM_NECK ? 2 : kind == POISE_ITEM_POURED ? 1 : 0;
}

static PoiseStatus take_layer(const PoiseInstrument *in, const PoiseWeighing *w, int layer,
                              PoisePlotShapes *shapes, PoiseFaults *faults)
{
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; !status && i < in->item_count; i++) {
        if (layer_of(in->items[i].kind) != layer)
            continue;
        PoisePlotShape *shape = &shapes->list[shapes->count];
        *shape = (PoisePlotShape){.item = i};
        status = item_shape(in, w, i, &shape->rings, faults);
        if (shape->rings.rings > 0 || shape->rings.count > 0)
            shapes->count++;
        else
            poise_rings_release(&shape->rings);
    }
    return status;
}

PoiseStatus poise_plot_shapes(const PoiseInstrument *in, const PoiseWeighing *w,
                              PoisePlotShapes *shapes, PoiseFaults *faults)
{
    *shapes = (PoisePlotShapes){.list = poise_alloc_zero(in->item_count, sizeof *shapes->list)};
    if (!shapes->list)
        return poise_fault_memory(faults);
    PoiseStatus status = POISE_OK;
    for (int layer = 0; !status && layer < 3; layer++)
        status = take_layer(in, w, layer, shapes, faults);
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    if (status)
        poise_plot_shapes_free(shapes);
    return status;
}

void poise_plot_shapes_free(PoisePlotShapes *shapes)
{
    for (size_t i = 0; i < shapes->count; i++)
        poise_rings_release(&shapes->list[i].rings);
    poise_release(shapes->list);
    *shapes = (PoisePlotShapes){0};
}

void poise_pose_point(const PoisePose *pose, const double plane_mm[2], double view_mm[2])
{
    PoisePoint p = {plane_mm[0] - pose->origin_mm[0], plane_mm[1] - pose->origin_mm[1]};
    view_mm[0] = poise_horizontal_mm(p, pose->angle_deg);
    view_mm[1] = poise_vertical_mm(p, pose->angle_deg);
}

void poise_pose_shapes(const PoisePose *pose, PoisePlotShapes *shapes)
{
    for (size_t i = 0; i < shapes->count; i++) {
        PoiseRings *rings = &shapes->list[i].rings;
        for (size_t k = 0; k < rings->count; k++)
            poise_pose_point(pose, rings->points[k], rings->points[k]);
    }
}

PoiseStatus poise_plot_shapes_union(const PoisePlotShapes *shapes, PoiseRings *all)
{
    PoiseRings rings = {0};
    for (size_t i = 0; i < shapes->count; i++)
        for (size_t r = 0; r < shapes->list[i].rings.rings; r++)
            poise_rings_add_ring(&rings, &shapes->list[i].rings, r);
    PoiseRings united = {0};
    PoiseStatus status = poise_silhouette_union(&rings, &united);
    if (!status)
        without_specks(&united, all);
    if (!status && all->failed)
        status = POISE_E_MEMORY;
    poise_rings_release(&united);
    poise_rings_release(&rings);
    return status;
}
