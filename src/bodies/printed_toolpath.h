/* A printed item whose mass is what its toolpath lays. */
#ifndef POISE_BODIES_PRINTED_TOOLPATH_H
#define POISE_BODIES_PRINTED_TOOLPATH_H

#include "bodies/item_body.h"

/* Skirts, brims and purge lines lie in the first layers. To find where on the bed the part stands,
 * only what lies higher than this is looked at, mm; a flatter part is taken whole. Common practice,
 * no source. */
#define POISE_TOOLPATH_SKIRT_MM 1.0

/* How far the laid part's box may differ from the mesh's before it is said, mm: three lines of a
 * common nozzle. Path ends, rounded corners and a first layer squeezed wide stay below; another
 * part, or the part turned on the bed, is above. */
#define POISE_TOOLPATH_BOX_MM 1.5

/* What one printer's sections scatter by beside what they have in common (flow, density): priming,
 * ooze, the filament's diameter along the spool. One standard uncertainty, as a share of the mass;
 * common practice, no source. */
#define POISE_TOOLPATH_OWN_U 0.005

/* Reads item->as.printed.toolpath and makes the body from what it lays, in the mesh's axes (without
 * a mesh: the bed's, moved by toolpath_at). Fills body, doubt, the print facts, the toolpath's
 * numbers and the warning.
 *
 * The bed's axes lie in the mesh's as poise_bed_axes() says, turned by toolpath_turn. With a mesh
 * and no toolpath_at, the middle of the laid part's box in the bed's x and y is put on that of the
 * mesh's box, and the bed's surface at the mesh's lowest point. Then only what is laid inside the
 * mesh counts: moves are judged by their middles. What of the part lies outside of the mesh (a
 * brim, supports, a raft) is counted as thrown away with skirt and purge.
 *
 *  layers_g  what the layer model says of the mesh, NAN without one
 * POISE_OK, POISE_E_INPUT, POISE_E_MESH, POISE_E_IO, POISE_E_MEMORY; faults stand at the item's
 * "toolpath". */
PoiseStatus poise_printed_toolpath(const PoiseInstrument *instrument, const PoiseItem *item,
                                   double layers_g, PoiseItemBody *out, PoiseFaults *faults);

#endif
