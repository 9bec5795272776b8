/* A mesh that an item of uniform density fills. */
#ifndef POISE_BODIES_MESH_ITEM_H
#define POISE_BODIES_MESH_ITEM_H

#include "bodies/item_body.h"
#include "poise/mesh.h"

/* Reads and checks the mesh file of an item and takes its moments. What is wrong with the mesh is
 * told at the item's "mesh" or "mesh_unit". On success free *mesh with poise_mesh_free(). POISE_OK,
 * POISE_E_INPUT (no such unit), POISE_E_IO, POISE_E_MESH, POISE_E_MEMORY. */
PoiseStatus poise_mesh_item(const PoiseInstrument *instrument, const PoiseItem *item,
                            const char *path, const char *unit, PoiseMesh **mesh,
                            PoiseMoments *moments, PoiseFaults *faults);

/* Leaves in out->warning what the maker should know about a mesh that is filled as it is: a
 * suspicious unit, volume that several of its shells share and that is counted more than once.
 * POISE_OK or POISE_E_MEMORY (told). */
PoiseStatus poise_mesh_item_warn(const PoiseMesh *mesh, PoiseItemBody *out, PoiseFaults *faults);

/* Fills *out with a region of uniform density: body, volume and density doubt. */
void poise_fill_uniform(const PoiseMoments *moments, const PoiseMaterial *material,
                        PoiseItemBody *out);

#endif
