/* Loading the component library: every *.json of a directory. */
#ifndef POISE_INPUT_LIBRARY_H
#define POISE_INPUT_LIBRARY_H

#include <cjson/cJSON.h>

#include "model/instrument.h"
#include "poise/status.h"

/* Presets that are not parts: necks (defaults for items of kind "neck") and string sets. */
typedef struct PoisePreset {
    PoiseItemKind kind; /* POISE_ITEM_NECK or POISE_ITEM_STRINGS */
    char *id, *name, *family, *source;
    cJSON *value; /* the preset's own keys, as in an item; owned */
} PoisePreset;

typedef struct PoisePresets {
    size_t count;
    PoisePreset *list; /* sorted by kind, then id */
} PoisePresets;

/* Reads all component files of a directory (not of its subdirectories). Faults as for an instrument
 * file: file, line, column, pointer. `presets` may be NULL. */
PoiseStatus poise_library_read(const char *dir, PoiseLibrary **library, PoisePresets *presets,
                               PoiseFaults *faults);
void poise_presets_clear(PoisePresets *presets);
/* The preset of this kind and id, or NULL. */
const PoisePreset *poise_presets_find(const PoisePresets *presets, PoiseItemKind kind,
                                      const char *id);

#endif
