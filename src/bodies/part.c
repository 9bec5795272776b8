/* Items of kind "part": a library part at its place.
 *
 * A part's own axes are the instrument's: x towards the head, y up as worn, z out of the face. They
 * are laid along the file's axes by "frame" here, so that "turn", applied afterwards, is about the
 * file's axes through the part's origin, as for every other item. */
#include <math.h>

#include "base/vec.h"
#include "bodies/doubt.h"
#include "bodies/fastener.h"
#include "bodies/item_fault.h"

/* Columns: the part's x, y, z in the file's axes. y = z × x is up for a right-handed player and
 * down for a left-handed one, whose parts are the mirror image: there the matrix is a reflection.
 */
static void part_axes(const PoiseFrame *frame, double axes[3][3])
{
    double up[3];
    poise_cross(frame->face, frame->head, up);
    for (int i = 0; i < 3; i++) {
        axes[i][0] = frame->head[i];
        axes[i][1] = frame->left ? -up[i] : up[i];
        axes[i][2] = frame->face[i];
    }
}

/* A round part whose extent is not round across its axis: the root mean square of both widths,
 * which keeps the inertia about the axis that of the ellipse, m(a² + b²)/4. */
static PoiseBody cylinder(const PoisePart *part)
{
    double a = part->extent_mm[(part->axis + 1) % 3], b = part->extent_mm[(part->axis + 2) % 3];
    return poise_body_cylinder(part->mass_g.value, part->centre_mm, sqrt((a * a + b * b) / 2.0),
                               part->extent_mm[part->axis], part->axis);
}

static PoiseBody typed(const PoisePart *part)
{
    switch (part->shape) {
    case POISE_SHAPE_BOX:
        return poise_body_box(part->mass_g.value, part->centre_mm, part->extent_mm);
    case POISE_SHAPE_CYLINDER:
        return cylinder(part);
    case POISE_SHAPE_POINT:
        break;
    }
    return poise_body_point(part->mass_g.value, part->centre_mm);
}

/* Turns a body that lies along x so that it lies along `axis`, by a cyclic change of axes. A box is
 * given along x, y, z as it is. */
static PoiseBody laid_along(const PoiseBody *body, int axis)
{
    double cycle[3][3] = {{0.0}};
    static const double nowhere[3] = {0.0, 0.0, 0.0};
    for (int j = 0; j < 3; j++)
        cycle[(j + axis) % 3][j] = 1.0;
    return poise_body_move(body, cycle, nowhere);
}

static PoiseStatus computed(const PoiseInstrument *instrument, const PoiseItem *item,
                            PoiseItemBody *out, PoiseFaults *faults)
{
    const PoisePart *part = item->part;
    const char *complaint = NULL;
    PoiseFastener fastener;
    if (!part->material)
        return poise_item_fault(instrument, item, POISE_E_INPUT, "/part",
                                "a part with a geometry and no material", "both or neither", NULL,
                                faults);
    if (poise_fastener(&part->geometry, part->material->density_g_cm3.value, &fastener, &complaint))
        return poise_item_fault(instrument, item, POISE_E_INPUT, "/part", complaint,
                                "dimensions that make a solid", part->id, faults);
    bool box = part->geometry.kind == POISE_GEOMETRY_BOX;
    out->body = box ? fastener.body : laid_along(&fastener.body, part->axis);
    for (int i = 0; i < 3; i++)
        out->body.centre_mm[i] = part->centre_mm[i];
    out->doubt.density_u_g = poise_density_doubt_g(part->material, out->body.mass_g);
    out->doubt.own_u_g = fastener.volume_u_mm3 / fastener.volume_mm3 * out->body.mass_g;
    return POISE_OK;
}

PoiseStatus poise_part_body(const PoiseInstrument *instrument, const PoiseItem *item,
                            const PoiseSectionOptions *options, PoiseItemBody *out, bool *placed,
                            PoiseFaults *faults)
{
    (void)options;
    (void)placed;
    static const double nowhere[3] = {0.0, 0.0, 0.0};
    const PoisePart *part = item->part;
    if (part->geometry.kind != POISE_GEOMETRY_NONE) {
        PoiseStatus status = computed(instrument, item, out, faults);
        if (status)
            return status;
    } else {
        out->body = typed(part);
        out->doubt.own_u_g = part->mass_g.u;
    }
    double axes[3][3];
    part_axes(&instrument->frame, axes);
    out->body = poise_body_move(&out->body, axes, nowhere);
    for (int i = 0; i < 3; i++)
        out->doubt.place_u_mm[i] = POISE_PLACE_U_MM;
    return POISE_OK;
}
