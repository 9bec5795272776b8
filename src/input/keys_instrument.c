/* Keys of an instrument file outside its items. Defaults without a source are common practice. */
#include "input/table.h"

#include "base/limits.h"
#include "model/instrument.h"

#define I PoiseInstrument

static const char *const HANDS[] = {"right", "left", NULL};

static const PoiseKey FRAME[] = {
    {"head", "direction along the strings towards the head", DIRECTION, DEFAULT("[1, 0, 0]"),
     TO_VECTOR(I, frame.head)},
    {"face", "direction out of the face, square to head", DIRECTION, DEFAULT("[0, 0, 1]"),
     TO_VECTOR(I, frame.face)},
    {"handed", "the player's hand that plucks", CHOICE(HANDS), DEFAULT("\"right\""),
     TO_BOOL(I, frame.left)},
};
static const PoiseTable FRAME_KEYS = {"frame", "which way the drawing's axes lie", KEYS(FRAME)};

static const PoiseKey SCALE[] = {
    {"nut", "where the strings leave the nut", POINT(3), REQUIRED, TO_VECTOR(I, nut_mm)},
    {"saddle", "where the strings leave the saddle", POINT(3), REQUIRED, TO_VECTOR(I, saddle_mm)},
    {"frets", "number of frets", WHOLE(0, 60), TO_INT(I, frets)},
};
static const PoiseTable SCALE_KEYS = {"scale", "the speaking length of the strings", KEYS(SCALE)};

static const PoiseKey POSTS[] = {
    {"tail", "strap post at the tail", POINT(3), REQUIRED, TO_VECTOR(I, tail_mm)},
    {"horn", "strap post nearer the head", POINT(3), REQUIRED, TO_VECTOR(I, horn_mm)},
};
static const PoiseTable POSTS_KEYS = {"posts", "the strap posts", KEYS(POSTS)};

static const PoiseKey STRAP[] = {
    {"length", "belt length between the posts", LENGTH, REQUIRED, POSITIVE,
     TO_QUANTITY(I, strap_mm)},
    /* 0.2 (webbing on a smooth shirt) to 0.6 (suede on cotton): common practice, no source. */
    {"friction", "friction coefficient of the strap on the shoulder", AMOUNT(POISE_UNIT_FRICTION),
     NOT_NEGATIVE, DEFAULT("\"0.35 ± 0.1\""), TO_QUANTITY(I, friction)},
};
static const PoiseTable STRAP_KEYS = {"strap", "the strap", KEYS(STRAP)};

static const PoiseKey STANCE[] = {
    {"neck_angle", "playing angle, head above horizontal positive", AMOUNT(POISE_UNIT_ANGLE),
     BETWEEN(-89, 89), DEFAULT("20"), TO_QUANTITY(I, neck_angle_deg)},
    {"hand",
     "where the fretting hand carries: \"nut\", \"fret N\" or a point; \"nut\" unless given",
     .kind = POISE_VALUE_HAND},
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
};
static const PoiseTable SEAT_KEYS = {"seat", "playing seated, the body on the leg", KEYS(SEAT)};

static const PoiseKey TARGET[] = {
    {"mass", "at most this heavy", MASS, POSITIVE, TO_DOUBLE(I, target_mass_g),
     FLAG(I, has_target_mass)},
    {"hand_load", "at most this much load on the fretting hand", MASS, NOT_NEGATIVE,
     TO_DOUBLE(I, target_hand_load_g), FLAG(I, has_target_hand_load)},
    {"margin", "at least this far from a neck dive", LENGTH, TO_DOUBLE(I, target_margin_mm),
     FLAG(I, has_target_margin)},
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
};
static const PoiseTable PRINTER_KEYS = {"printer", "the printer and its filament", KEYS(PRINTER)};

static const PoiseKey INSTRUMENT[] = {
    {"poise", "version of the format: 1", WHOLE(1, 1), REQUIRED},
    {"name", "what the instrument is called; the file's name unless given", TEXT, TO_TEXT(I, name)},
    {"note", "anything worth saying", TEXT},
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
    {"items", "everything that has mass, by id", .kind = POISE_VALUE_MAP, .table = &poise_item_keys,
     REQUIRED, BETWEEN(1, POISE_LIMIT_ITEMS)},
    {"measured", "weighed masses, by item id", .kind = POISE_VALUE_MASSES, .unit = POISE_UNIT_MASS,
     POSITIVE},
    {"variants", "merge patches (RFC 7396) over this file, by name", .kind = POISE_VALUE_PATCHES},
};
const PoiseTable poise_instrument_keys = {"instrument", "An instrument file of poise",
                                          KEYS(INSTRUMENT)};
