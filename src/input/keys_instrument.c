/* Keys of an instrument file outside its items. Defaults without a source are common practice. */
#include "input/table.h"

#include "base/limits.h"
#include "model/instrument.h"

#define I PoiseInstrument

/* JSON has no comments: a note may stand beside whatever it is about. */
#define NOTE                                                                                       \
    {                                                                                              \
        "note", "anything worth saying", TEXT                                                      \
    }

static const char *const HANDS[] = {"right", "left", NULL};

static const PoiseKey FRAME[] = {
    {"head", "direction along the strings towards the head", DIRECTION, DEFAULT("[1, 0, 0]"),
     TO_VECTOR(I, frame.head)},
    {"face", "direction out of the face, square to head", DIRECTION, DEFAULT("[0, 0, 1]"),
     TO_VECTOR(I, frame.face)},
    {"handed", "the player's hand that plucks", CHOICE(HANDS), DEFAULT("\"right\""),
     TO_BOOL(I, frame.left)},
    NOTE,
};
static const PoiseTable FRAME_KEYS = {"frame", "which way the drawing's axes lie", KEYS(FRAME)};

static const PoiseKey SCALE[] = {
    {"nut", "where the strings leave the nut", POINT(3), REQUIRED, TO_VECTOR(I, nut_mm)},
    {"saddle", "where the strings leave the saddle", POINT(3), REQUIRED, TO_VECTOR(I, saddle_mm)},
    {"frets", "number of frets; 0: fretless", WHOLE(0, 60), TO_INT(I, frets), FLAG(I, has_frets)},
    NOTE,
};
static const PoiseTable SCALE_KEYS = {"scale", "the speaking length of the strings", KEYS(SCALE)};

static const PoiseKey POSTS[] = {
    {"tail", "strap post at the tail", POINT(3), REQUIRED, TO_VECTOR(I, tail_mm)},
    {"horn", "strap post nearer the head", POINT(3), REQUIRED, TO_VECTOR(I, horn_mm)},
    NOTE,
};
static const PoiseTable POSTS_KEYS = {"posts", "the strap posts", KEYS(POSTS)};

static const PoiseKey STRAP[] = {
    {"length", "belt length between the posts", LENGTH, REQUIRED, POSITIVE,
     TO_QUANTITY(I, strap_mm)},
    /* 0.2 (webbing on a smooth shirt) to 0.6 (suede on cotton): common practice, no source. */
    {"friction", "friction coefficient of the strap on the shoulder", AMOUNT(POISE_UNIT_FRICTION),
     NOT_NEGATIVE, DEFAULT("\"0.35 ± 0.1\""), TO_QUANTITY(I, friction)},
    NOTE,
};
static const PoiseTable STRAP_KEYS = {"strap", "the strap", KEYS(STRAP)};

static const PoiseKey STANCE[] = {
    {"neck_angle", "playing angle, head above horizontal positive", AMOUNT(POISE_UNIT_ANGLE),
     BETWEEN(-89, 89), DEFAULT("20"), TO_QUANTITY(I, neck_angle_deg)},
    {"hand",
     "where the fretting hand carries: \"nut\", \"fret N\" or a point; \"nut\" unless given",
     .kind = POISE_VALUE_HAND},
    NOTE,
};
static const PoiseTable STANCE_KEYS = {"stance", "how the instrument is played", KEYS(STANCE)};

static const PoiseKey ARM[] = {
    {"at", "where the playing arm rests", POINT(2), REQUIRED, TO_VECTOR(I, arm_mm)},
    {"mass", "the arm's weight there", MASS, REQUIRED, NOT_NEGATIVE, TO_QUANTITY(I, arm_g)},
};
static const PoiseTable ARM_KEYS = {"arm", "the playing arm resting on the body", KEYS(ARM)};

static const PoiseKey SEAT[] = {
    {"rest", "where the waist rests on the leg", POINT(2), REQUIRED, TO_VECTOR(I, rest_mm)},
    {"width", "width over which the leg carries", LENGTH, POSITIVE, DEFAULT("90"),
     TO_DOUBLE(I, seat_width_mm)},
    {"arm", "the playing arm resting on the body", OBJECT(ARM_KEYS), FLAG(I, has_arm)},
    NOTE,
};
static const PoiseTable SEAT_KEYS = {"seat", "playing seated, the body on the leg", KEYS(SEAT)};

static const PoiseKey TARGET[] = {
    {"mass", "at most this heavy", MASS, POSITIVE, TO_DOUBLE(I, target_mass_g),
     FLAG(I, has_target_mass)},
    {"hand_load", "at most this much load on the fretting hand", MASS, NOT_NEGATIVE,
     TO_DOUBLE(I, target_hand_load_g), FLAG(I, has_target_hand_load)},
    {"margin", "at least this far from a neck dive", LENGTH, TO_DOUBLE(I, target_margin_mm),
     FLAG(I, has_target_margin)},
    NOTE,
};
static const PoiseTable TARGET_KEYS = {"target", "what the build should reach", KEYS(TARGET)};

static const PoiseKey PRINTER[] = {
    {"bed", "printable size along x, y, z", SIZES, TO_VECTOR(I, printer.bed_mm)},
    /* A desktop printer averages 11 to 12 mm³/s over a large body: common practice, no source. */
    {"flow", "average volumetric flow", AMOUNT(POISE_UNIT_FLOW), POSITIVE,
     DEFAULT("\"11.5 mm3/s ± 1.5 mm3/s\""), TO_QUANTITY(I, printer.flow_mm3_s)},
    {"layer_time", "time lost at each layer change", AMOUNT(POISE_UNIT_TIME), BETWEEN(0, 600),
     DEFAULT("\"8 s\""), TO_DOUBLE(I, printer.layer_seconds)},
    {"spool", "filament on one spool", MASS, POSITIVE, DEFAULT("\"1 kg\""),
     TO_DOUBLE(I, printer.spool_g)},
    {"price", "price of one spool", AMOUNT(POISE_UNIT_MONEY), NOT_NEGATIVE,
     TO_DOUBLE(I, printer.price)},
    {"filament", "filament diameter", LENGTH, BETWEEN(0.5, 10), DEFAULT("1.75"),
     TO_DOUBLE(I, printer.filament_mm)},
    NOTE,
};
static const PoiseTable PRINTER_KEYS = {"printer", "the printer and its filament", KEYS(PRINTER)};

/* The finished instrument. Stations are distances from the saddle, towards the head. */
#define O(member) observed.member

#define HUNG(side)                                                                                 \
    {                                                                                              \
        {"mark", "a point of the face that the plumb line crosses", POINT(2),                      \
         TO_VECTOR(I, O(side##_mark_mm)), FLAG(I, O(side##_by_mark))},                             \
            {"neck_angle",                                                                         \
             "in place of a mark: the strings' direction above the horizontal",                    \
             AMOUNT(POISE_UNIT_ANGLE),                                                             \
             BETWEEN(-180, 180),                                                                   \
             TO_QUANTITY(I, O(side##_angle_deg)),                                                  \
             FLAG(I, O(side##_by_angle))},                                                         \
    }
static const PoiseKey HUNG_TAIL[] = HUNG(tail), HUNG_HORN[] = HUNG(horn);
static const PoiseTable HUNG_TAIL_KEYS = {"hung-tail", "the instrument hanging from the tail post",
                                          KEYS(HUNG_TAIL)},
                        HUNG_HORN_KEYS = {"hung-horn", "the instrument hanging from the horn post",
                                          KEYS(HUNG_HORN)};

static const PoiseKey HANGING[] = {
    {"tail", "the plumb line from the tail post", OBJECT(HUNG_TAIL_KEYS), REQUIRED},
    {"horn", "the plumb line from the horn post", OBJECT(HUNG_HORN_KEYS), REQUIRED},
    {"within", "how well marks and posts are placed", LENGTH, POSITIVE, DEFAULT("2"),
     TO_DOUBLE(I, O(mark_u_mm))},
};
static const PoiseTable HANGING_KEYS = {"hanging", "plumb lines from both strap posts",
                                        KEYS(HANGING)};

static const PoiseKey SUPPORT[] = {
    {"at", "where it touches, from the saddle towards the head; ± 1 mm unless given", LENGTH,
     REQUIRED, TO_QUANTITY(PoiseObservedSupport, station_mm)},
    {"load", "what its scale shows", MASS, REQUIRED, NOT_NEGATIVE, IS_READING,
     TO_QUANTITY(PoiseObservedSupport, load_g)},
};
const PoiseTable poise_support_keys = {"support", "one scale under the instrument", KEYS(SUPPORT)};

static const PoiseKey EDGE[] = {
    {"tips_tail", "from the saddle to the edge where it tips to the tail: the larger", LENGTH,
     REQUIRED, TO_DOUBLE(I, O(tips_tail_mm))},
    {"tips_head", "from the saddle to the edge where it tips to the head: the smaller", LENGTH,
     REQUIRED, TO_DOUBLE(I, O(tips_head_mm))},
    {"within", "how well a station is read", LENGTH, POSITIVE, DEFAULT("1"),
     TO_DOUBLE(I, O(edge_u_mm))},
};
static const PoiseTable EDGE_KEYS = {"edge", "over a knife edge across the strings", KEYS(EDGE)};

static const PoiseKey OBSERVED[] = {
    {"mass", "what the whole weighs", MASS, POSITIVE, IS_READING, TO_QUANTITY(I, O(mass_g)),
     FLAG(I, O(has_mass))},
    {"scales", "the scales under it, two to four", .kind = POISE_VALUE_LIST,
     .table = &poise_support_keys, .least = 2, .most = 4},
    {"hanging", "plumb lines from both strap posts", OBJECT(HANGING_KEYS), FLAG(I, O(has_hanging))},
    {"edge", "over a knife edge across the strings", OBJECT(EDGE_KEYS), FLAG(I, O(has_edge))},
    {"slip", "the neck angle at which the strap starts to slip", AMOUNT(POISE_UNIT_ANGLE),
     BETWEEN(-89, 89), TO_QUANTITY(I, O(slip_deg)), FLAG(I, O(has_slip))},
};
static const PoiseTable OBSERVED_KEYS = {
    "observed", "the finished instrument, weighed and balanced", KEYS(OBSERVED)};

static const PoiseKey INSTRUMENT[] = {
    {"poise", "version of the format: 1", WHOLE(1, 1), REQUIRED},
    {"name", "what the instrument is called; the file's name unless given", TEXT, TO_TEXT(I, name)},
    NOTE,
    {"frame", "which way the drawing's axes lie", OBJECT(FRAME_KEYS)},
    {"scale", "the speaking length of the strings", OBJECT(SCALE_KEYS), FLAG(I, has_scale)},
    {"posts", "the strap posts", OBJECT(POSTS_KEYS), FLAG(I, has_posts)},
    {"strap", "the strap", OBJECT(STRAP_KEYS), FLAG(I, has_strap)},
    {"stance", "how the instrument is played", OBJECT(STANCE_KEYS)},
    {"seat", "playing seated, the body on the leg", OBJECT(SEAT_KEYS), FLAG(I, has_seat)},
    {"target", "what the build should reach", OBJECT(TARGET_KEYS)},
    {"printer", "the printer and its filament", OBJECT(PRINTER_KEYS)},
    {"materials", "materials of this file's own, by id", .kind = POISE_VALUE_MAP,
     .table = &poise_own_material_keys},
    {"profile", "a file of what weighed prints taught, written by `poise tally --learn`",
     .kind = POISE_VALUE_PATH, TO_TEXT(I, profile)},
    {"items", "everything that has mass, by id", .kind = POISE_VALUE_MAP, .table = &poise_item_keys,
     REQUIRED, BETWEEN(1, POISE_LIMIT_ITEMS)},
    {"measured", "weighed masses, by item id", .kind = POISE_VALUE_MASSES, .unit = POISE_UNIT_MASS,
     POSITIVE, IS_READING},
    {"observed", "the finished instrument, weighed and balanced", OBJECT(OBSERVED_KEYS),
     FLAG(I, has_observed)},
    {"variants", "merge patches (RFC 7396) over this file, by name", .kind = POISE_VALUE_PATCHES},
};
const PoiseTable poise_instrument_keys = {"instrument", "An instrument file of poise",
                                          KEYS(INSTRUMENT)};
