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

/* How far above the mesh's top a toolpath may end and still be the same part, raised as a whole,
 * mm: a nozzle set some tenths too high or a thin raft. What ends higher has another part in it,
 * which says nothing about this one's height. Common practice, no source. */
#define POISE_TOOLPATH_RAISED_MM 1.0

/* In layers, what the top of a part may lie above the mesh's because its height is no whole number
 * of layers, without being raised: rounding stays within a half. */
#define POISE_TOOLPATH_ROUNDING 0.5

/* How far laid and layered mass may differ before it is said, as a share of the mass; and what of
 * the program may be left out unsaid. Slicing differs by the first from program to program; skirts
 * are less than the second. Common practice, no source. */
#define POISE_TOOLPATH_AGREES   0.02
#define POISE_TOOLPATH_LEFT_OUT 0.01

/* What one printer's sections scatter by beside what they have in common (flow, density): priming,
 * ooze, the filament's diameter along the spool. One standard uncertainty, as a share of the mass;
 * common practice, no source. */
#define POISE_TOOLPATH_OWN_U 0.005

/* Decimals that show three digits of a mass in grams, so that one and another 2 % off look
 * different. */
int poise_toolpath_decimals(double mass_g);

/* Reads item->as.printed.toolpath and makes the body from what it lays, in the mesh's axes (without
 * a mesh: the bed's, moved by toolpath_at). Fills body, doubt, the print facts, the toolpath's
 * numbers and the warning.
 *
 * The bed's axes lie in the mesh's as poise_bed_axes() says, turned by toolpath_turn. With a mesh
 * and no toolpath_at, the middle of the laid part's box in the bed's x and y is put on that of the
 * mesh's box, and the bed's surface at the mesh's lowest point; a part that ends a little above the
 * mesh's top is taken as raised, and lowered by that. Then only what is laid inside the
 * mesh counts: moves are judged by their middles. What of the part lies outside of the mesh (a
 * brim, supports, a raft) is counted as thrown away with skirt and purge.
 *
 *  layers_g  what the layer model says of the mesh, NAN without one
 * POISE_OK, POISE_E_INPUT, POISE_E_MESH, POISE_E_IO, POISE_E_MEMORY; faults stand at the item's
 * "toolpath". */
PoiseStatus poise_printed_toolpath(const PoiseInstrument *instrument, const PoiseItem *item,
                                   double layers_g, PoiseItemBody *out, PoiseFaults *faults);

#endif
