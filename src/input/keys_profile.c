/* Keys of a profile. */
#include "input/table.h"

#include "base/limits.h"
#include "input/profile.h"

#define A_DENSITY                                                                                  \
    AMOUNT(POISE_UNIT_DENSITY), BETWEEN(POISE_LIMIT_LEAST_DENSITY, POISE_LIMIT_MOST_DENSITY)

static const PoiseKey MATERIAL[] = {
    {"density", "density of the plastic itself", A_DENSITY,
     TO_QUANTITY(PoiseProfileMaterial, density_g_cm3)},
    {"laid", "grams laid for each cm³ told at a flow of 1: density times flow, as weighed",
     A_DENSITY, TO_QUANTITY(PoiseProfileMaterial, laid_g_cm3)},
};
const PoiseTable poise_profile_material_keys = {
    "profile-material", "what weighed prints taught about a material", KEYS(MATERIAL)};

static const PoiseKey PROFILE[] = {
    {"poise_profile", "version of the format: 1", WHOLE(1, 1), REQUIRED},
    {"from", "the instrument it was learned from", TEXT, TO_TEXT(PoiseProfileHead, from)},
    {"note", "anything worth saying", TEXT},
    {"flow", "what the printer lays over what it is told to lay", AMOUNT(POISE_UNIT_RATIO),
     BETWEEN(POISE_LIMIT_LEAST_FLOW, POISE_LIMIT_MOST_FLOW), TO_QUANTITY(PoiseProfileHead, flow)},
    {"materials", "what is known better, by material id", .kind = POISE_VALUE_MAP,
     .table = &poise_profile_material_keys},
};
const PoiseTable poise_profile_keys = {"profile", "A profile of poise", KEYS(PROFILE)};
