/* From a mesh file to its split: read, check, slice, or take the answer from the cache. */
#ifndef POISE_GEOMETRY_SECTION_LOAD_H
#define POISE_GEOMETRY_SECTION_LOAD_H

#include <stdbool.h>

#include "poise/section.h"

typedef struct PoiseSectionOptions {
    int threads;                                      /* 0: one per core */
    bool no_cache;                                    /* neither read nor write the cache */
    void (*progress)(double fraction, void *context); /* may be NULL */
    void *context;
} PoiseSectionOptions;

typedef struct PoiseLoadedSection {
    PoiseSection section;
    double min_mm[3], max_mm[3]; /* bounding box in mesh axes, mm */
    size_t triangles;
    char unit_warning[128]; /* "" or why the size suggests another unit */
    bool from_cache;
} PoiseLoadedSection;

/* Reads, checks and slices a mesh file. POISE_OK, POISE_E_IO, POISE_E_MESH, POISE_E_USAGE,
 * POISE_E_MEMORY. */
PoiseStatus poise_section_load(const char *path, const char *unit, const PoiseSlicing *slicing,
                               const PoiseSectionOptions *options, PoiseLoadedSection *loaded,
                               PoiseFaults *faults);

#endif
