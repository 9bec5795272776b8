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

/* May a profile be written here? Yes where nothing is, where a profile is (JSON with the mark of
 * one, sound or not), and to what is no file, since that replaces nothing. Anything else may be
 * dear to somebody: POISE_E_IO with a fault. Also POISE_E_MEMORY. */
PoiseStatus poise_profile_may_replace(const char *path, PoiseFaults *faults);

#endif
