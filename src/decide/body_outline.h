/* The body's outline at a depth under its face. */
#ifndef POISE_DECIDE_BODY_OUTLINE_H
#define POISE_DECIDE_BODY_OUTLINE_H

#include "geometry/rings.h"
#include "model/instrument.h"
#include "poise/weigh.h"
#include "weigh/frame.h"

/* Sections are joined across gaps up to twice this, mm: glue, and what a printer is off. */
#define POISE_OUTLINE_GAP_MM 1.0

typedef struct PoiseBodyOutline {
    double z_mm;     /* along the frame's z */
    PoiseRings edge; /* one ring, the largest, in the plane of the face: x towards the head, y up as
                        worn; holes left out. No ring when nothing was found there */
    PoiseRings inset; /* rings at `inset_mm` inside it */
} PoiseBodyOutline;

/* Cuts the meshes and slabs of all printed and solid items (of one piece) at z, and joins the cuts.
 * POISE_OK (also when there is nothing), POISE_E_MEMORY, a status of reading meshes,
 * POISE_E_INTERNAL. Clear in either case. */
PoiseStatus poise_body_outline(const PoiseInstrument *instrument, const PoiseWeighing *weighing,
                               double z_mm, double inset_mm, PoiseBodyOutline *outline,
                               PoiseFaults *faults);
void poise_body_outline_clear(PoiseBodyOutline *outline);

/* A closed ring by the distance along it. */
typedef struct PoiseEdgePath {
    const double (*points)[2];
    size_t count;
    double *along; /* count + 1 distances from the first point; the last is the whole length */
} PoiseEdgePath;
/* False when out of memory. */
bool poise_edge_path(const PoiseRings *rings, size_t ring, PoiseEdgePath *path);
void poise_edge_path_clear(PoiseEdgePath *path);
/* The distance along the ring of the point nearest to p; *distance_mm from p. */
double poise_edge_nearest(const PoiseEdgePath *path, PoisePoint p, double *distance_mm);
/* The point at a distance along the ring (any number: it goes round), and the unit normal to the
 * left of the way there, of the chord over ±half_chord_mm. */
PoisePoint poise_edge_at(const PoiseEdgePath *path, double s, double half_chord_mm,
                         double normal[2]);

#endif
