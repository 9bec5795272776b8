/* Where a solid is, asked point by point: the mesh cut into upright columns on a square grid. */
#ifndef POISE_GEOMETRY_COLUMNS_H
#define POISE_GEOMETRY_COLUMNS_H

#include <stdbool.h>

#include "poise/mesh.h"

typedef struct PoiseColumns PoiseColumns;

/* Most columns of one solid: 8 bytes each and about 8 more for each surface that one goes through.
 * A solid that would take more gets wider columns. */
#define POISE_MOST_COLUMNS 4000000.0

/* Cuts a closed mesh. `axes` has the columns' x, y and upward z as rows, unit vectors in the mesh's
 * axes; points are asked for in these turned axes, their origin being the mesh's.
 *  pitch_mm  width of a column, > 0. A point is judged by the middle of its column, so whatever
 *            lies deeper than 0.71 pitches inside or outside (measured across) is judged rightly.
 * POISE_OK or POISE_E_MEMORY. Free with poise_columns_free(). */
PoiseStatus poise_columns_new(const PoiseMesh *mesh, double axes[3][3], double pitch_mm,
                              PoiseColumns **columns);
void poise_columns_free(PoiseColumns *columns);

/* The solid's box in the turned axes. */
void poise_columns_box(const PoiseColumns *columns, double min_mm[3], double max_mm[3]);

/* Is there solid in the point's column within reach_mm above or below it? Overlapping shells count
 * as one; a hollow is none. */
bool poise_columns_hold(const PoiseColumns *columns, const double at_mm[3], double reach_mm);

#endif
