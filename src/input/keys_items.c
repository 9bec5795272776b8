/* Keys of the items. Defaults without a source are common practice. */
#include "input/table.h"

#include "base/limits.h"
#include "model/instrument.h"

#define T PoiseItem

const char *const poise_unit_names_of_meshes[] = {"mm", "cm", "m", "in", "ft", "um", NULL};
static const char *const AXES[] = {"x", "y", "z", NULL};
static const char *const SIDES[] = {"top", "bottom", NULL};

#define MESH      .kind = POISE_VALUE_PATH
#define MESH_UNIT CHOICE(poise_unit_names_of_meshes)

/* Printed. */
static const PoiseKey PRINT[] = {
    {"infill", "share of the inside that is filled", RATIO, DEFAULT("\"20 %\""),
     TO_QUANTITY(T, as.printed.infill)},
    {"perimeters", "number of walls", WHOLE(0, POISE_MAX_PERIMETERS), DEFAULT("3"),
     TO_INT(T, as.printed.perimeters)},
    {"layer", "layer height", LENGTH, BETWEEN(0.01, 5), DEFAULT("0.2"),
     TO_DOUBLE(T, as.printed.slicing.layer_mm)},
    {"line", "width of one extruded line", LENGTH, BETWEEN(0.05, 10), DEFAULT("0.45"),
     TO_DOUBLE(T, as.printed.slicing.line_mm)},
    {"top", "solid layers under an upward surface", WHOLE(0, 1000), DEFAULT("5"),
     TO_INT(T, as.printed.slicing.top)},
    {"bottom", "solid layers over a downward surface", WHOLE(0, 1000), DEFAULT("4"),
     TO_INT(T, as.printed.slicing.bottom)},
    {"up", "build direction, in the mesh's axes", DIRECTION, DEFAULT("[0, 0, 1]"),
     TO_VECTOR(T, as.printed.slicing.up)},
    {"flow", "plastic the printer is told to lay, over what the drawing takes",
     AMOUNT(POISE_UNIT_RATIO), BETWEEN(0.1, 2), DEFAULT("\"1 ± 0.02\""),
     TO_QUANTITY(T, as.printed.flow)},
    {"waste", "filament thrown away, as a share of the part", RATIO, DEFAULT("0"),
     TO_DOUBLE(T, as.printed.waste)},
    {"support", "support material thrown away", MASS, NOT_NEGATIVE, DEFAULT("0"),
     TO_DOUBLE(T, as.printed.support_g)},
};
static const PoiseTable PRINT_KEYS = {"print", "how a section is printed", KEYS(PRINT)};

static const PoiseKey PRINTED[] = {
    {"mesh", "mesh file: STL, OBJ or 3MF; may be left out beside a toolpath", MESH,
     TO_TEXT(T, as.printed.mesh)},
    {"mesh_unit", "unit of a mesh file that has none; mm unless given", MESH_UNIT,
     TO_TEXT(T, as.printed.mesh_unit)},
    {"material", "filament material", MATERIAL(T, as.printed.material), REQUIRED},
    {"print", "how it is printed", OBJECT(PRINT_KEYS)},
    {"toolpath", "the printer's program: the mass is then what it lays", MESH,
     TO_TEXT(T, as.printed.toolpath)},
    {"toolpath_at",
     "where the bed's origin lies in the mesh's axes; laid over the mesh unless given", POINT(3),
     TO_VECTOR(T, as.printed.toolpath_at_mm), FLAG(T, as.printed.has_toolpath_at)},
    {"toolpath_turn", "how the part is turned on the bed, anticlockwise from above",
     AMOUNT(POISE_UNIT_ANGLE), BETWEEN(-360, 360), DEFAULT("0"),
     TO_DOUBLE(T, as.printed.toolpath_turn_deg)},
    {"toolpath_skip_below", "plastic laid lower than this above the bed is no part of it", LENGTH,
     NOT_NEGATIVE, DEFAULT("0"), TO_DOUBLE(T, as.printed.toolpath_skip_below_mm)},
};
static const char *const MESH_OR_TOOLPATH[] = {"mesh", "toolpath", NULL};
static const PoiseTable PRINTED_KEYS = {"printed", "a printed section", KEYS(PRINTED),
                                        .either = MESH_OR_TOOLPATH};

/* Poured. */
static const PoiseKey MIX[] = {
    {"ratio", "parts resin to hardener: \"2:1 by mass\" or \"1:1 by volume\"",
     .kind = POISE_VALUE_MIX, REQUIRED, .store = POISE_STORE_MIX, .at = offsetof(T, as.poured)},
    {"waste", "mixed but left in the cup, as a share of the pour", RATIO, DEFAULT("0"),
     TO_DOUBLE(T, as.poured.waste)},
    {"pigment", "pigment, as a share of the mixed mass", AMOUNT(POISE_UNIT_RATIO), BETWEEN(0, 0.5),
     DEFAULT("0"), TO_DOUBLE(T, as.poured.pigment)},
};
static const PoiseTable MIX_KEYS = {"mix", "how the resin is mixed", KEYS(MIX)};

static const PoiseKey POURED[] = {
    {"mesh", "mesh file of the poured space", MESH, TO_TEXT(T, as.poured.mesh)},
    {"mesh_unit", "unit of a mesh file that has none; mm unless given", MESH_UNIT,
     TO_TEXT(T, as.poured.mesh_unit)},
    {"volume", "poured volume, when there is no mesh", AMOUNT(POISE_UNIT_VOLUME), POSITIVE,
     TO_QUANTITY(T, as.poured.volume_ml)},
    {"depth", "depth of the pour, when there is no mesh", LENGTH, POSITIVE,
     TO_DOUBLE(T, as.poured.depth_mm)},
    {"material", "the cured resin", MATERIAL(T, as.poured.material), REQUIRED},
    {"mix", "how it is mixed", OBJECT(MIX_KEYS), FLAG(T, as.poured.has_mix)},
    {"tilt", "how far from level the pocket stands while it cures", AMOUNT(POISE_UNIT_ANGLE),
     BETWEEN(0, 45), DEFAULT("0"), TO_DOUBLE(T, as.poured.tilt_deg)},
    {"up", "up while pouring, in the item's axes", DIRECTION, DEFAULT("[0, 0, 1]"),
     TO_VECTOR(T, as.poured.up)},
};
static const PoiseTable POURED_KEYS = {"poured", "a poured resin layer", KEYS(POURED)};

/* Solid. */
static const PoiseKey CUT[] = {
    {"outline", "outline of the pocket", .kind = POISE_VALUE_OUTLINE, .store = POISE_STORE_OUTLINE,
     .at = offsetof(PoiseCut, outline)},
    {"at", "centre of a round hole", .kind = POISE_VALUE_VECTOR, .unit = POISE_UNIT_LENGTH,
     .least = 2, .most = 2, TO_VECTOR(PoiseCut, at_mm)},
    {"diameter", "diameter of a round hole", LENGTH, POSITIVE, TO_DOUBLE(PoiseCut, diameter_mm)},
    {"depth", "depth; right through unless given", LENGTH, POSITIVE, TO_DOUBLE(PoiseCut, depth_mm)},
    {"from", "the face it is cut from", CHOICE(SIDES), DEFAULT("\"top\""),
     TO_BOOL(PoiseCut, from_bottom)},
};
const PoiseTable poise_cut_keys = {"cut", "a pocket or hole in a slab", KEYS(CUT)};

static const PoiseKey SOLID[] = {
    {"mesh", "mesh file of the solid", MESH, TO_TEXT(T, as.solid.mesh)},
    {"mesh_unit", "unit of a mesh file that has none; mm unless given", MESH_UNIT,
     TO_TEXT(T, as.solid.mesh_unit)},
    {"outline", "outline of a slab", .kind = POISE_VALUE_OUTLINE, .store = POISE_STORE_OUTLINE,
     .at = offsetof(T, as.solid.outline)},
    {"thickness", "thickness of a slab", LENGTH, POSITIVE, TO_QUANTITY(T, as.solid.thickness_mm)},
    {"top", "z of a slab's top face", LENGTH, DEFAULT("0"), TO_DOUBLE(T, as.solid.top_mm)},
    {"cut", "pockets and holes of a slab", .kind = POISE_VALUE_LIST, .table = &poise_cut_keys},
    {"material", "what it is made of", MATERIAL(T, as.solid.material), REQUIRED},
};
static const PoiseTable SOLID_KEYS = {"solid", "a solid block, or a slab with pockets",
                                      KEYS(SOLID)};

/* Neck. Typical bolt-on necks of six-string guitars and, past POISE_LONG_SCALE_MM, of basses. */
#define N(member) as.neck.member

static const PoiseKey HEEL[] = {
    {"length", "length of the heel block", LENGTH, NOT_NEGATIVE, DEFAULT("76"), LONGER("90"),
     TO_DOUBLE(T, N(heel_length_mm))},
    {"thickness", "total thickness at the heel", LENGTH, POSITIVE, DEFAULT("25"), LONGER("27"),
     TO_DOUBLE(T, N(heel_mm))},
};
static const PoiseTable HEEL_KEYS = {"heel", "the block at the heel end", KEYS(HEEL)};

static const PoiseKey HEADSTOCK[] = {
    {"length", "length beyond the nut", LENGTH, NOT_NEGATIVE, DEFAULT("180"), LONGER("220"),
     TO_DOUBLE(T, N(headstock_length_mm))},
    {"width", "mean width", LENGTH, POSITIVE, DEFAULT("80"), LONGER("85"),
     TO_DOUBLE(T, N(headstock_width_mm))},
    {"thickness", "thickness", LENGTH, POSITIVE, DEFAULT("15"), TO_DOUBLE(T, N(headstock_mm))},
    {"drop", "how far its top lies behind the board's top", LENGTH, DEFAULT("10"), LONGER("12"),
     TO_DOUBLE(T, N(headstock_drop_mm))},
};
static const PoiseTable HEADSTOCK_KEYS = {"headstock", "the block beyond the nut", KEYS(HEADSTOCK)};

static const PoiseKey WEIGHED[] = {
    {"mass", "what the neck weighs", MASS, REQUIRED, POSITIVE, IS_READING,
     TO_QUANTITY(T, N(measured_g))},
    {"balance", "its balance point from the nut, towards the heel", LENGTH,
     TO_DOUBLE(T, N(balance_from_nut_mm))},
};
static const PoiseTable WEIGHED_KEYS = {"weighed", "a neck on the scale and on a knife edge",
                                        KEYS(WEIGHED)};

static const PoiseKey NECK[] = {
    {"shaft", "wood of the shaft", MATERIAL(T, N(shaft))},
    {"board", "wood of the fingerboard", MATERIAL(T, N(board))},
    {"frets", "number of frets, 0: fretless; its preset's or else scale's unless given",
     WHOLE(0, 60), DEFAULT("22"), LONGER("20"), TO_INT(T, N(frets))},
    {"nut_width", "width at the nut", LENGTH, POSITIVE, DEFAULT("\"43 mm ± 1 mm\""),
     LONGER("\"41 mm ± 2 mm\""), TO_QUANTITY(T, N(nut_width_mm))},
    {"heel_width", "width at the heel end", LENGTH, POSITIVE, DEFAULT("\"56 mm ± 1 mm\""),
     LONGER("\"62 mm ± 1 mm\""), TO_QUANTITY(T, N(heel_width_mm))},
    {"first", "total thickness at the first fret", LENGTH, POSITIVE, DEFAULT("\"21 mm ± 1 mm\""),
     LONGER("\"21.5 mm ± 1 mm\""), TO_QUANTITY(T, N(first_mm))},
    {"twelfth", "total thickness at the twelfth fret", LENGTH, POSITIVE,
     DEFAULT("\"23 mm ± 1 mm\""), LONGER("\"24 mm ± 1 mm\""), TO_QUANTITY(T, N(twelfth_mm))},
    {"board_thickness", "thickness of a separate fingerboard; 0: none", LENGTH, NOT_NEGATIVE,
     DEFAULT("6"), TO_DOUBLE(T, N(board_mm))},
    {"length", "nut to heel end; 8 mm past the last fret unless given", LENGTH, POSITIVE,
     TO_DOUBLE(T, N(length_mm))},
    {"heel", "the block at the heel end", OBJECT(HEEL_KEYS)},
    {"headstock", "the block beyond the nut", OBJECT(HEADSTOCK_KEYS)},
    {"truss_rod", "mass of the truss rod; 0: none", MASS, NOT_NEGATIVE, DEFAULT("\"110 g ± 25 g\""),
     LONGER("\"140 g ± 30 g\""), TO_QUANTITY(T, N(truss_rod_g))},
    {"fret_wire", "mass of the fret wire per length", AMOUNT(POISE_UNIT_LINEAR), NOT_NEGATIVE,
     DEFAULT("\"24 g/m ± 4 g/m\""), TO_QUANTITY(T, N(fret_wire_g_per_m))},
    {"weighed", "the neck as weighed", OBJECT(WEIGHED_KEYS), FLAG(T, N(has_measured))},
};
static const PoiseTable NECK_OWN_KEYS = {"neck-own", "", KEYS(NECK)};

static const PoiseKey NECK_PRESET[] = {
    {"preset", "a neck of the library to start from", .kind = POISE_VALUE_PRESET},
};
static const PoiseTable NECK_KEYS = {"neck", "a neck, built along the strings", KEYS(NECK_PRESET),
                                     .also = &NECK_OWN_KEYS};

/* Strings. */
static const PoiseKey GAUGE[] = {
    {"gauge", "diameter", LENGTH, REQUIRED, BETWEEN(0.1, 6), TO_QUANTITY(PoiseString, gauge_mm)},
    {"wound", "is it wound?", .kind = POISE_VALUE_FLAG, DEFAULT("false"),
     TO_BOOL(PoiseString, wound)},
    {"unit_mass", "mass per length, when it is known", AMOUNT(POISE_UNIT_LINEAR), POSITIVE,
     TO_DOUBLE(PoiseString, unit_mass_g_per_m)},
};
const PoiseTable poise_gauge_keys = {"gauge", "one string", KEYS(GAUGE)};

static const PoiseKey STRINGS[] = {
    {"gauges", "one gauge for each string", .kind = POISE_VALUE_GAUGES, .unit = POISE_UNIT_LENGTH,
     BETWEEN(0.1, 6), .table = &poise_gauge_keys},
    {"material", "plain wire and cores", MATERIAL(T, as.strings.material),
     DEFAULT("\"music-wire\"")},
    {"wrap", "wrap of wound strings", MATERIAL(T, as.strings.wrap), DEFAULT("\"nickel-wrap\"")},
    {"beyond_nut", "string past the nut to the tuner, on average", LENGTH, NOT_NEGATIVE,
     DEFAULT("90"), TO_DOUBLE(T, as.strings.beyond_nut_mm)},
    {"beyond_saddle", "string past the saddle", LENGTH, NOT_NEGATIVE, DEFAULT("25"),
     TO_DOUBLE(T, as.strings.beyond_saddle_mm)},
};
static const PoiseTable STRINGS_OWN_KEYS = {"strings-own", "", KEYS(STRINGS)};

static const PoiseKey STRINGS_PRESET[] = {
    {"preset", "a string set of the library to start from", .kind = POISE_VALUE_PRESET},
};
static const PoiseTable STRINGS_KEYS = {"strings", "the strings", KEYS(STRINGS_PRESET),
                                        .also = &STRINGS_OWN_KEYS};

/* Part. */
static const PoiseKey PART[] = {
    {"part", "a part of the library", .kind = POISE_VALUE_PART, REQUIRED, .store = POISE_STORE_PART,
     .at = offsetof(T, part)},
};
static const PoiseTable PART_KEYS = {"part", "a part of the library", KEYS(PART)};

/* Mass. */
static const PoiseKey CYLINDER[] = {
    {"diameter", "diameter", LENGTH, REQUIRED, POSITIVE, TO_DOUBLE(T, as.mass.size_mm[0])},
    {"length", "length along the axis", LENGTH, REQUIRED, POSITIVE,
     TO_DOUBLE(T, as.mass.size_mm[1])},
    {"axis", "which way it lies", CHOICE(AXES), DEFAULT("\"x\""), TO_INT(T, as.mass.axis)},
};
static const PoiseTable CYLINDER_KEYS = {"cylinder", "mass spread over a cylinder", KEYS(CYLINDER)};

static const PoiseKey BALLAST[] = {
    {"max", "at most this much; \"mass\" may not be more", MASS, REQUIRED, POSITIVE,
     TO_DOUBLE(T, as.mass.ballast_max_g)},
};
static const PoiseTable BALLAST_KEYS = {"ballast", "ballast may go here", KEYS(BALLAST)};

static const PoiseKey POINT_MASS[] = {
    {"mass", "the mass of one piece", MASS, REQUIRED, NOT_NEGATIVE, TO_QUANTITY(T, as.mass.mass_g)},
    {"box", "spread over a box of this size along x, y, z", SIZES, TO_VECTOR(T, as.mass.size_mm)},
    {"cylinder", "spread over a cylinder", OBJECT(CYLINDER_KEYS)},
    {"ballast", "ballast may go here", OBJECT(BALLAST_KEYS), FLAG(T, as.mass.ballast)},
};
static const PoiseTable MASS_KEYS = {"mass", "a known mass", KEYS(POINT_MASS)};

/* All kinds. */
static const char *const KINDS[] = {"printed", "poured", "solid", "neck",
                                    "strings", "part",   "mass",  NULL};

static const PoiseKey ITEM[] = {
    {"kind", "what sort of item it is", CHOICE(KINDS), REQUIRED, TO_INT(T, kind)},
    {"at", "where the item's own origin goes", POINT(3), TO_VECTOR(T, at_mm), FLAG(T, has_at)},
    {"turn", "turned about x, then y, then z", .kind = POISE_VALUE_VECTOR, .unit = POISE_UNIT_ANGLE,
     .least = 3, TO_VECTOR(T, turn_deg)},
    {"count", "number of pieces", WHOLE(1, POISE_LIMIT_COUNT), DEFAULT("1"), TO_INT(T, count)},
    {"note", "anything worth saying", TEXT, TO_TEXT(T, note)},
    {"price", "price of one piece", AMOUNT(POISE_UNIT_MONEY), NOT_NEGATIVE, TO_DOUBLE(T, price),
     FLAG(T, has_price)},
};
static const PoiseCase ITEM_CASES[] = {
    {"printed", &PRINTED_KEYS}, {"poured", &POURED_KEYS},   {"solid", &SOLID_KEYS},
    {"neck", &NECK_KEYS},       {"strings", &STRINGS_KEYS}, {"part", &PART_KEYS},
    {"mass", &MASS_KEYS},
};
const PoiseTable poise_item_keys = {"item", "something that has mass", KEYS(ITEM), .tag = "kind",
                                    CASES(ITEM_CASES)};

/* Presets of the library. */
static const PoiseKey PRESET[] = {
    {"name", "what a maker would call it", TEXT, REQUIRED},
    {"source", "where the numbers come from", TEXT, REQUIRED},
};
const PoiseTable poise_neck_preset_keys = {"neck-preset", "a neck to start from", KEYS(PRESET),
                                           .also = &NECK_OWN_KEYS};
const PoiseTable poise_strings_preset_keys = {"string-set", "a string set to start from",
                                              KEYS(PRESET), .also = &STRINGS_OWN_KEYS};
