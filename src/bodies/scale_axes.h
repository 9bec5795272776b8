/* The line from saddle to nut as axes for what is built along it: the neck and the strings. */
#ifndef POISE_BODIES_SCALE_AXES_H
#define POISE_BODIES_SCALE_AXES_H

#include <stdbool.h>

#include "bodies/item_body.h"

/* Axes at the nut point: x towards the head along the line from saddle to nut, z out of the face
 * and square to x, y = z × x. */
typedef struct PoiseScaleAxes {
    double length_mm; /* scale length: saddle to nut */
    double to_file[3]
                  [3]; /* r_file = to_file · r_axes + nut; its columns are the axes in the file */
    double nut_mm[3];
} PoiseScaleAxes;

/* Scale lengths outside this range are a unit mistake: the shortest are of small bowed and plucked
 * instruments, the longest of bowed basses (common practice, no source). */
#define POISE_SCALE_LEAST_MM 100.0
#define POISE_SCALE_MOST_MM  2000.0

/* The strings' line must stand at least this far from the frame's "face" direction for the two to
 * define axes: sine of the angle between them. Real necks are within 0.1 of square (0.995). */
#define POISE_SCALE_LEAST_SINE 0.5

/* POISE_OK; POISE_E_INPUT with a fault at "/scale" when the file has none, the nut and saddle are
 * no scale length apart, or the line does not lie along the face. */
PoiseStatus poise_scale_axes(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseScaleAxes *axes, PoiseFaults *faults);

/* Carries a body built at these axes into the file's directions. Without "at" it takes its place
 * where "scale" puts the nut: *placed is set and out->shift_mm is the nut, for the item's "turn" to
 * turn about. With "at" the nut stays the body's own origin, for "turn" and "at" to move. */
void poise_scale_place(PoiseScaleAxes *axes, const PoiseItem *item, PoiseItemBody *out,
                       bool *placed);

#endif
