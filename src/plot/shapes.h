/* The instrument's solids as outlines in the plane of the face. */
#ifndef POISE_PLOT_SHAPES_H
#define POISE_PLOT_SHAPES_H

#include "geometry/rings.h"
#include "model/instrument.h"
#include "poise/weigh.h"
#include "weigh/frame.h"

typedef struct PoisePlotShape {
    size_t item; /* index in the instrument and the weighing */
    PoiseRings rings;
} PoisePlotShape;

/* In the order they are drawn: what lies to the front comes last. */
typedef struct PoisePlotShapes {
    size_t count;
    PoisePlotShape *list;
} PoisePlotShapes;

/* Rings smaller than this, mm², are screw holes and gaps of joints, not the shape of a part. */
#define POISE_SPECK_MM2 100.0

/* Outlines of printed, poured and solid items and of the neck in the plane of the face (x towards
 * the head, y up for the player), mm, without specks: meshes by their silhouettes, slabs by their
 * outlines, the neck by the plan its mass is computed from. Free with poise_plot_shapes_free().
 * POISE_OK, POISE_E_IO, POISE_E_MESH, POISE_E_INPUT, POISE_E_MEMORY, POISE_E_INTERNAL. */
PoiseStatus poise_plot_shapes(const PoiseInstrument *in, const PoiseWeighing *w,
                              PoisePlotShapes *shapes, PoiseFaults *faults);
void poise_plot_shapes_free(PoisePlotShapes *shapes);

/* How the picture lies to the plane of the face: turned to the neck angle (0: a plan) about an
 * origin that becomes (0, 0). Hanging pictures show (h, v) from the tail post. */
typedef struct PoisePose {
    double angle_deg;
    double origin_mm[2];
} PoisePose;

/* May work in place. */
void poise_pose_point(const PoisePose *pose, const double plane_mm[2], double view_mm[2]);
void poise_pose_shapes(const PoisePose *pose, PoisePlotShapes *shapes);

/* All shapes as one region, without specks. Replaces `all`. POISE_OK, POISE_E_MEMORY,
 * POISE_E_INTERNAL. */
PoiseStatus poise_plot_shapes_union(const PoisePlotShapes *shapes, PoiseRings *all);

#endif
