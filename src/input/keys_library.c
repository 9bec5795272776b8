/* Keys of component files, and of an instrument file's own materials. */
#include "input/table.h"

#include "input/drafts.h"

#define D         PoiseMaterialDraft
#define P         PoisePartDraft
#define G(member) part.geometry.member

const char *const poise_hazard_names[] = {"resin", "solvent-cement", "superglue",
                                          "lead",  "dust",           NULL};

/* In the order of PoiseMaterialFamily. */
static const char *const FAMILIES[] = {"other",    "plastic", "wood", "resin",
                                       "adhesive", "metal",   NULL};

#define HAZARDS_TO(type, member)                                                                   \
    .kind = POISE_VALUE_HAZARDS, .store = POISE_STORE_HAZARDS, .at = offsetof(type, member)
#define GRAVITY .kind = POISE_VALUE_QUANTITY, .unit = POISE_UNIT_NUMBER, BETWEEN(0.03, 2)
#define LIQUID  AMOUNT(POISE_UNIT_DENSITY), BETWEEN(0.5, 5)
/* Heaviest metal 22.6 g/cm³, lightest foam about 0.01. */
#define DENSITY AMOUNT(POISE_UNIT_DENSITY), BETWEEN(0.005, 25)

static const PoiseKey MATERIAL_FACTS[] = {
    {"density", "density, for a wood at its moisture", DENSITY, TO_QUANTITY(D, density_g_cm3),
     FLAG(D, has_density)},
    {"specific_gravity", "ovendry mass over volume at at_moisture, of a wood", GRAVITY,
     TO_QUANTITY(D, gravity), FLAG(D, has_gravity)},
    {"specific_gravity_green", "ovendry mass over green volume, of a wood", GRAVITY,
     TO_QUANTITY(D, green), FLAG(D, has_green)},
    {"at_moisture", "moisture content of specific_gravity", AMOUNT(POISE_UNIT_PERCENT),
     BETWEEN(0, 30), DEFAULT("12"), TO_DOUBLE(D, at_moisture_percent)},
    {"moisture", "moisture content of the wood as used", AMOUNT(POISE_UNIT_PERCENT), BETWEEN(0, 30),
     DEFAULT("12"), TO_DOUBLE(D, moisture_percent), FLAG(D, has_moisture)},
    {"spread", "one standard uncertainty as a share of the density", RATIO, TO_DOUBLE(D, spread)},
    {"pour_limit", "deepest single pour of a resin", LENGTH, POSITIVE,
     TO_DOUBLE(D, material.pour_limit_mm)},
    {"part_a_density", "liquid density of a resin's part A", LIQUID,
     TO_DOUBLE(D, material.part_a_g_cm3)},
    {"part_b_density", "liquid density of a resin's part B, the hardener", LIQUID,
     TO_DOUBLE(D, material.part_b_g_cm3)},
    {"shrinkage", "volume a resin loses on curing", AMOUNT(POISE_UNIT_RATIO), BETWEEN(0, 0.5),
     DEFAULT("0"), TO_DOUBLE(D, material.shrinkage), FLAG(D, has_shrinkage)},
    {"hazards", "what to be careful of", HAZARDS_TO(D, material.hazards), FLAG(D, has_hazards)},
};
static const PoiseTable MATERIAL_FACTS_KEYS = {"material-facts", "", KEYS(MATERIAL_FACTS)};

static const PoiseKey MATERIAL_HEAD[] = {
    {"name", "what a maker would call it", TEXT, REQUIRED, TO_TEXT(D, material.name)},
    {"family", "what sort of material it is", CHOICE(FAMILIES), REQUIRED,
     TO_INT(D, material.family)},
    {"source", "where the numbers come from", TEXT, REQUIRED, TO_TEXT(D, material.source)},
};
const PoiseTable poise_material_keys = {"material", "a material", KEYS(MATERIAL_HEAD),
                                        .also = &MATERIAL_FACTS_KEYS};

static const PoiseKey OWN_MATERIAL_HEAD[] = {
    {"base", "a material of the library to start from", TEXT, TO_TEXT(D, base)},
    {"name", "what it is called; its id unless given", TEXT, TO_TEXT(D, material.name)},
    {"family", "what sort of material it is", CHOICE(FAMILIES), DEFAULT("\"other\""),
     TO_INT(D, material.family), FLAG(D, has_family)},
    {"source", "where the numbers come from", TEXT, TO_TEXT(D, material.source)},
    {"note", "anything worth saying", TEXT},
};
const PoiseTable poise_own_material_keys = {"own-material", "a material of this file's own",
                                            KEYS(OWN_MATERIAL_HEAD), .also = &MATERIAL_FACTS_KEYS};

/* Geometry of computed parts, cases in the order of PoiseGeometryKind after NONE. */
static const char *const HEADS[] = {"pan", "countersunk", "cylinder", NULL};
static const char *const AXES[] = {"x", "y", "z", NULL};
static const char *const GEOMETRIES[] = {"square-nut", "hex-nut", "machine-screw", "wood-screw",
                                         "cylinder",   "tube",    "box",           NULL};

#define THREAD                                                                                     \
    {                                                                                              \
        "thread", "thread diameter", LENGTH, REQUIRED, POSITIVE, TO_DOUBLE(P, G(thread_mm))        \
    }
#define PITCH                                                                                      \
    {                                                                                              \
        "pitch", "thread pitch", LENGTH, REQUIRED, POSITIVE, TO_DOUBLE(P, G(pitch_mm))             \
    }
#define LONG                                                                                       \
    {                                                                                              \
        "length", "length", LENGTH, REQUIRED, POSITIVE, TO_DOUBLE(P, G(length_mm))                 \
    }
#define DIAMETER                                                                                   \
    {                                                                                              \
        "diameter", "outside diameter", LENGTH, REQUIRED, POSITIVE, TO_DOUBLE(P, G(diameter_mm))   \
    }
#define HEAD                                                                                       \
    {                                                                                              \
        "head", "shape of the head", CHOICE(HEADS), REQUIRED, TO_INT(P, G(head))                   \
    }
#define HEAD_DIAMETER                                                                              \
    {                                                                                              \
        "head_diameter", "diameter of the head", LENGTH, REQUIRED, POSITIVE,                       \
            TO_DOUBLE(P, G(head_diameter_mm))                                                      \
    }
#define HEAD_HEIGHT                                                                                \
    {                                                                                              \
        "head_height", "height of the head", LENGTH, REQUIRED, POSITIVE,                           \
            TO_DOUBLE(P, G(head_height_mm))                                                        \
    }

static const PoiseKey NUT[] = {
    THREAD,
    PITCH,
    {"across_flats", "width across flats", LENGTH, REQUIRED, POSITIVE,
     TO_DOUBLE(P, G(across_flats_mm))},
    {"height", "height", LENGTH, REQUIRED, POSITIVE, TO_DOUBLE(P, G(height_mm))},
};
static const PoiseKey MACHINE_SCREW[] = {THREAD, PITCH, LONG, HEAD, HEAD_DIAMETER, HEAD_HEIGHT};
static const PoiseKey WOOD_SCREW[] = {THREAD, LONG, HEAD, HEAD_DIAMETER, HEAD_HEIGHT};
static const PoiseKey ROD[] = {DIAMETER, LONG};
static const PoiseKey TUBE[] = {
    DIAMETER,
    {"bore", "inside diameter", LENGTH, REQUIRED, POSITIVE, TO_DOUBLE(P, G(bore_mm))},
    LONG,
};
static const PoiseKey BOX[] = {
    {"size", "size along x, y, z", SIZES, REQUIRED, TO_VECTOR(P, G(size_mm))},
};
static const PoiseTable SQUARE_NUT_KEYS = {"square-nut", "a square nut", KEYS(NUT)},
                        HEX_NUT_KEYS = {"hex-nut", "a hexagon nut", KEYS(NUT)},
                        MACHINE_SCREW_KEYS = {"machine-screw", "a machine screw",
                                              KEYS(MACHINE_SCREW)},
                        WOOD_SCREW_KEYS = {"wood-screw", "a wood screw", KEYS(WOOD_SCREW)},
                        ROD_KEYS = {"cylinder", "a dowel or rod", KEYS(ROD)},
                        TUBE_KEYS = {"tube", "a ferrule, bushing or washer", KEYS(TUBE)},
                        BOX_KEYS = {"box", "a plate or block", KEYS(BOX)};
static const PoiseCase GEOMETRY_CASES[] = {
    {"square-nut", &SQUARE_NUT_KEYS},
    {"hex-nut", &HEX_NUT_KEYS},
    {"machine-screw", &MACHINE_SCREW_KEYS},
    {"wood-screw", &WOOD_SCREW_KEYS},
    {"cylinder", &ROD_KEYS},
    {"tube", &TUBE_KEYS},
    {"box", &BOX_KEYS},
};
static const PoiseKey GEOMETRY[] = {
    {"kind", "what it is", CHOICE(GEOMETRIES), REQUIRED, TO_INT(P, geometry_case)},
};
static const PoiseTable GEOMETRY_KEYS = {"geometry", "standard dimensions to compute a part from",
                                         KEYS(GEOMETRY), .tag = "kind", CASES(GEOMETRY_CASES)};

/* The first is for no shape given. */
static const char *const SHAPES[] = {"point",      "box",        "cylinder-x",
                                     "cylinder-y", "cylinder-z", NULL};

static const PoiseKey PART[] = {
    {"name", "what a maker would call it", TEXT, REQUIRED, TO_TEXT(P, part.name)},
    {"mass", "its mass", MASS, POSITIVE, TO_QUANTITY(P, part.mass_g), FLAG(P, has_mass)},
    {"geometry", "standard dimensions to compute it from", OBJECT(GEOMETRY_KEYS),
     FLAG(P, has_geometry)},
    {"material", "of a computed part", MATERIAL(P, part.material)},
    {"origin", "the point a maker measures from, in words", TEXT, REQUIRED,
     TO_TEXT(P, part.origin)},
    {"centre", "centre of mass from that origin", POINT(3), TO_VECTOR(P, part.centre_mm)},
    {"extent", "overall size along x, y, z", POINT(3), NOT_NEGATIVE, TO_VECTOR(P, part.extent_mm),
     FLAG(P, has_extent)},
    {"shape", "how the mass is spread", CHOICE(SHAPES), TO_INT(P, shape), FLAG(P, has_shape)},
    {"axis", "which way a computed part lies", CHOICE(AXES), DEFAULT("\"x\""), TO_INT(P, axis),
     FLAG(P, has_axis)},
    {"price", "a rough guide, any currency", AMOUNT(POISE_UNIT_MONEY), NOT_NEGATIVE,
     TO_DOUBLE(P, part.price), FLAG(P, part.has_price)},
    {"hazards", "what to be careful of", HAZARDS_TO(P, part.hazards)},
    {"source", "where the numbers come from", TEXT, REQUIRED, TO_TEXT(P, part.source)},
};
const PoiseTable poise_part_keys = {"part", "a part", KEYS(PART)};

static const PoiseKey FILE_KEYS[] = {
    {"poise_components", "version of the format: 1", WHOLE(1, 1), REQUIRED},
    {"family", "short name of the family", TEXT, REQUIRED},
    {"title", "title of the family", TEXT},
    {"note", "anything worth saying", TEXT},
    {"materials", "materials, by id", .kind = POISE_VALUE_MAP, .table = &poise_material_keys},
    {"parts", "parts, by id", .kind = POISE_VALUE_MAP, .table = &poise_part_keys},
    {"necks", "necks to start from, by id", .kind = POISE_VALUE_MAP,
     .table = &poise_neck_preset_keys},
    {"string_sets", "string sets to start from, by id", .kind = POISE_VALUE_MAP,
     .table = &poise_strings_preset_keys},
};
const PoiseTable poise_component_file_keys = {"components", "A component file of poise",
                                              KEYS(FILE_KEYS)};
