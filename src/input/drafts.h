/* What the tables fill where a library entry is worked out from more than it keeps. */
#ifndef POISE_INPUT_DRAFTS_H
#define POISE_INPUT_DRAFTS_H

#include "model/material.h"

typedef struct PoiseMaterialDraft {
    PoiseMaterial material; /* name, family, moisture, resin data, hazards, source */
    char *base;             /* id of the material it starts from */
    bool has_family, has_hazards, has_moisture, has_shrinkage;
    bool has_density, has_gravity, has_green;
    PoiseQuantity density_g_cm3, gravity, green;
    double at_moisture_percent, moisture_percent;
    double spread;
} PoiseMaterialDraft;

typedef struct PoisePartDraft {
    PoisePart part;
    bool has_mass, has_geometry, has_extent, has_shape, has_axis;
    int geometry_case; /* index into the geometry cases */
    int shape, axis;
} PoisePartDraft;

#endif
