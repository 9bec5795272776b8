/* A profile: what weighed prints taught about plastics and the printer, for other instruments to
 * include. */
#ifndef POISE_INPUT_PROFILE_H
#define POISE_INPUT_PROFILE_H

#include "input/reading.h"
#include "model/instrument.h"

/* What the tables fill. */
typedef struct PoiseProfileHead {
    char *from;
    PoiseQuantity flow; /* value NAN: not told */
} PoiseProfileHead;

typedef struct PoiseProfileMaterial {
    PoiseQuantity density_g_cm3, laid_g_cm3; /* value NAN: not told */
} PoiseProfileMaterial;

/* Reads the file that in->profile names, if any, and takes it over: in->learned_flow,
 * in->profile_from, and a material of the file's own for each that the profile knows better (a copy
 * of the library's, or the file's own changed). Comes after the file's own materials and before its
 * items. A material that neither the library nor the file has is passed over, since a profile may
 * have been learned from another instrument, unless its name looks like a slip.
 * Faults have the profile's name, line and pointer; r->status gets the first. */
void poise_read_profile(PoiseReading *r, PoiseInstrument *in);

#endif
