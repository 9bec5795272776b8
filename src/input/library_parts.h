/* Parts and presets of component files; steps of reading a library. */
#ifndef POISE_INPUT_LIBRARY_PARTS_H
#define POISE_INPUT_LIBRARY_PARTS_H

#include "input/library.h"
#include "input/reading.h"

/* Reads one part; NULL after faults or for want of memory. */
PoisePart *poise_read_part(PoiseReading *r, const cJSON *value, const char *id, const char *family);

/* Reads one preset into *preset, checking its keys as an item's. False after faults or for want of
 * memory. */
bool poise_read_preset(PoiseReading *r, const cJSON *value, const char *id, const char *family,
                       PoiseItemKind kind, PoisePreset *preset);
void poise_preset_clear(PoisePreset *preset);

#endif
