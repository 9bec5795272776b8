/* From what a file says about a material to the material. */
#ifndef POISE_INPUT_MATERIAL_READ_H
#define POISE_INPUT_MATERIAL_READ_H

#include "input/drafts.h"
#include "input/reading.h"

/* Reads one material. The result is never NULL but for want of memory: after faults it still has
 * its id, so that items that name it bring no further faults. `own`: an instrument file's own,
 * which may have a base. */
PoiseMaterial *poise_read_material(PoiseReading *r, const cJSON *value, const char *id, bool own);

/* Density of a wood, g/cm³, from its specific gravity at a moisture content. */
double poise_wood_density_from(double gravity, double at_moisture_percent, double moisture_percent);

#endif
