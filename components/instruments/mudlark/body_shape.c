#include "body_shape.h"

#include <math.h>
#include <stddef.h>

static const double ROUNDOVER_MM = 6;

/* The joints beside the spine are staggered, like bricks, so that no line of glue runs right
 * across. */
const MudlarkSection MUDLARK_SECTION[MUDLARK_SECTIONS] = {
    {"spine-tail", {-92, -56}, {100, 56}},  {"spine-neck", {100, -56}, {310, 56}},
    {"wing-bout", {-80, 56}, {144, 154}},   {"wing-horn", {144, 56}, {364, 154}},
    {"wing-knee", {-92, -188}, {122, -56}}, {"wing-toe", {122, -188}, {318, -56}}};

/* Control points of the outline, a closed uniform cubic B-spline, counter-clockwise from the neck.
 */
enum { CONTROL_POINTS = 28, STEPS = MUDLARK_OUTLINE_POINTS / CONTROL_POINTS };
static const double CONTROL_MM[CONTROL_POINTS][2] = {
    {304, 0},    {306, 34},   {276, 58},   {264, 82},   {306, 85},  {356, 70},   {364, 116},
    {310, 142},  {234, 126},  {168, 104},  {104, 116},  {40, 146},  {-28, 154},  {-70, 104},
    {-72, 30},   {-86, -44},  {-94, -122}, {-40, -190}, {48, -182}, {112, -128}, {176, -104},
    {236, -128}, {296, -146}, {324, -110}, {282, -86},  {252, -74}, {268, -52},  {304, -36}};

/* A pocket with upright walls, from floor_mm up through the face or down through the back. */
typedef struct Pocket {
    double lo_mm[2], hi_mm[2], corner_mm, floor_mm;
    bool from_back;
} Pocket;

static const Pocket POCKETS[] = {
    {{228, -30}, {400, 30}, 4, -16, false},  /* neck */
    {{148, -46}, {190, 46}, 6, -22, false},  /* neck pickup */
    {{36, -46}, {74, 46}, 6, -22, false},    /* bridge pickup */
    {{-24, -136}, {64, -84}, 8, -10, true},  /* controls */
    {{-32, -144}, {72, -76}, 10, -42, true}, /* their cover */
    {{60, 66}, {70, 70}, 0.5, -12, true},    /* slots for the square nuts of the wing bolts */
    {{164, 66}, {174, 70}, 0.5, -12, true},   {{60, -70}, {70, -66}, 0.5, -12, true},
    {{164, -70}, {174, -66}, 0.5, -12, true},
};

static const double DOWEL_MM = 8.2, PILOT_MM = 4.4, BOLT_MM = 6, SHAFT_MM = 8.2, WIRE_MM = 10,
                    JACK_MM = 14;

enum { X, Y, Z };
typedef enum HoleKind { DOWEL, PILOT, BOLT, SHAFT, WIRE, JACK } HoleKind;
/* A round hole along one axis, with flat ends. */
typedef struct Drilling {
    HoleKind kind;
    int axis;
    double across_mm[2], from_mm,
        to_mm; /* the two other coordinates in the order x, y, z; the ends */
} Drilling;

static const Drilling DRILLINGS[] = {
    {BOLT, Z, {243, -17}, -60, 10},
    {BOLT, Z, {243, 17}, -60, 10}, /* neck bolts */
    {BOLT, Z, {287, -17}, -60, 10},
    {BOLT, Z, {287, 17}, -60, 10},
    {BOLT, Y, {65, -17}, -80, -40},
    {BOLT, Y, {65, -17}, 40, 80}, /* wing bolts */
    {BOLT, Y, {169, -17}, -80, -40},
    {BOLT, Y, {169, -17}, 40, 80},
    {DOWEL, X, {-23, -23}, 80, 120},
    {DOWEL, X, {23, -23}, 80, 120}, /* dowels: the spine's halves */
    {DOWEL, X, {83, -23}, 124, 164},
    {DOWEL, X, {-89, -23}, 102, 142}, /* wing to wing */
    {DOWEL, Y, {-41, -23}, 36, 76},
    {DOWEL, Y, {121, -23}, 36, 76}, /* upper wings to the spine */
    {DOWEL, Y, {205, -23}, 36, 76},
    {DOWEL, Y, {251, -23}, 36, 76},
    {DOWEL, Y, {-41, -23}, -76, -36},
    {DOWEL, Y, {101, -31}, -76, -36}, /* lower wings to the spine */
    {DOWEL, Y, {141, -23}, -76, -36},
    {DOWEL, Y, {235, -23}, -76, -36},
    {PILOT, X, {1, -23}, -120, -46},
    {PILOT, X, {97, -23}, 326, 400}, /* strap posts */
    {PILOT, Z, {-33, -33}, -20, 10},
    {PILOT, Z, {-33, -11}, -20, 10}, /* bridge */
    {PILOT, Z, {-33, 11}, -20, 10},
    {PILOT, Z, {-33, 33}, -20, 10},
    {PILOT, Z, {-27, -79}, -60, -30},
    {PILOT, Z, {67, -79}, -60, -30}, /* cover */
    {PILOT, Z, {-27, -141}, -60, -30},
    {PILOT, Z, {67, -141}, -60, -30},
    {SHAFT, Z, {47, -119}, -20, 10},
    {SHAFT, Z, {15, -123}, -20, 10}, /* controls */
    {SHAFT, Z, {-11, -101}, -20, 10},
    {WIRE, X, {1, -15}, 60, 160},
    {WIRE, Y, {43, -15}, -96, -40}, /* wiring */
    {JACK, Y, {1, -27}, -220, -120},
};

/* The inlay, "the river": the band along an arc, narrow at the horn and wide at the bout, with
 * round ends. */
static const double RIVER_CENTRE_MM[2] = {158, 538}, RIVER_RADIUS_MM = 456;
static const double RIVER_ANGLE_RAD = 0.33;            /* to either side of straight down */
static const double RIVER_HALF_WIDTH_MM[2] = {24, 10}; /* bout end, horn end */

void mudlark_shape_init(MudlarkShape *shape)
{
    *shape = (MudlarkShape){0};
    for (int i = 0; i < CONTROL_POINTS; i++)
        for (int j = 0; j < STEPS; j++) {
            double t = (double)j / STEPS, u = 1 - t;
            double weight[4] = {u * u * u / 6, (3 * t * t * t - 6 * t * t + 4) / 6,
                                (-3 * t * t * t + 3 * t * t + 3 * t + 1) / 6, t * t * t / 6};
            for (int k = 0; k < 4; k++)
                for (int x = 0; x < 2; x++)
                    shape->outline_mm[i * STEPS + j][x] +=
                        weight[k] * CONTROL_MM[(i + k) % CONTROL_POINTS][x];
        }
}

/* Distance to the outline, negative inside; kept for the next call because a grid asks column by
 * column. */
static double outline_distance(MudlarkShape *shape, const double at[3])
{
    if (shape->column_known && shape->column_mm[0] == at[0] && shape->column_mm[1] == at[1])
        return shape->column_distance_mm;
    double nearest = HUGE_VAL;
    bool inside = false;
    for (int i = 0; i < MUDLARK_OUTLINE_POINTS; i++) {
        const double *a = shape->outline_mm[i];
        const double *b = shape->outline_mm[(i + 1) % MUDLARK_OUTLINE_POINTS];
        double ex = b[0] - a[0], ey = b[1] - a[1], px = at[0] - a[0], py = at[1] - a[1];
        double t = fmin(fmax((px * ex + py * ey) / (ex * ex + ey * ey), 0), 1);
        nearest = fmin(nearest, hypot(px - t * ex, py - t * ey));
        if ((a[1] > at[1]) != (b[1] > at[1]) && px < ex * py / ey)
            inside = !inside;
    }
    shape->column_known = true;
    shape->column_mm[0] = at[0];
    shape->column_mm[1] = at[1];
    shape->column_distance_mm = inside ? -nearest : nearest;
    return shape->column_distance_mm;
}

/* The outline made into a slab with its upper and lower edge rounded over. */
static double blank(MudlarkShape *shape, const double at[3])
{
    double half = MUDLARK_THICKNESS_MM / 2;
    double side = outline_distance(shape, at) + ROUNDOVER_MM;
    double height = fabs(at[2] + half) - half + ROUNDOVER_MM;
    return fmin(fmax(side, height), 0) + hypot(fmax(side, 0), fmax(height, 0)) - ROUNDOVER_MM;
}

static double pocket(const Pocket *p, const double at[3])
{
    double q[2];
    for (int x = 0; x < 2; x++)
        q[x] = fmax(p->lo_mm[x] - at[x], at[x] - p->hi_mm[x]) + p->corner_mm;
    double wall = fmin(fmax(q[0], q[1]), 0) + hypot(fmax(q[0], 0), fmax(q[1], 0)) - p->corner_mm;
    return fmax(wall, p->from_back ? at[2] - p->floor_mm : p->floor_mm - at[2]);
}

static double drilling(const Drilling *d, const double at[3])
{
    static const int OTHER[3][2] = {{1, 2}, {0, 2}, {0, 1}};
    const double diameter[] = {[DOWEL] = DOWEL_MM, [PILOT] = PILOT_MM, [BOLT] = BOLT_MM,
                               [SHAFT] = SHAFT_MM, [WIRE] = WIRE_MM,   [JACK] = JACK_MM};
    const int *other = OTHER[d->axis];
    double radial = hypot(at[other[0]] - d->across_mm[0], at[other[1]] - d->across_mm[1]);
    double along = fmax(d->from_mm - at[d->axis], at[d->axis] - d->to_mm);
    return fmax(radial - diameter[d->kind] / 2, along);
}

/* Distance to the river's banks in plan. The half-width changes by 14 mm over 300 mm of length, so
 * the distance is right to about one part in a thousand. */
static double river(const double at[3])
{
    double dx = at[0] - RIVER_CENTRE_MM[0], dy = RIVER_CENTRE_MM[1] - at[1];
    double angle = fmin(fmax(atan2(dx, dy), -RIVER_ANGLE_RAD), RIVER_ANGLE_RAD);
    double share = (angle / RIVER_ANGLE_RAD + 1) / 2;
    double half_width =
        RIVER_HALF_WIDTH_MM[0] + share * (RIVER_HALF_WIDTH_MM[1] - RIVER_HALF_WIDTH_MM[0]);
    return hypot(dx - RIVER_RADIUS_MM * sin(angle), dy - RIVER_RADIUS_MM * cos(angle)) - half_width;
}

double mudlark_section_field(void *context, const double at_mm[3])
{
    MudlarkShape *shape = context;
    double field = blank(shape, at_mm);
    for (int x = 0; x < 2; x++)
        field = fmax(
            field, fmax(shape->section->lo_mm[x] - at_mm[x], at_mm[x] - shape->section->hi_mm[x]));
    for (size_t i = 0; i < sizeof POCKETS / sizeof POCKETS[0]; i++)
        field = fmax(field, -pocket(&POCKETS[i], at_mm));
    for (size_t i = 0; i < sizeof DRILLINGS / sizeof DRILLINGS[0]; i++)
        field = fmax(field, -drilling(&DRILLINGS[i], at_mm));
    return fmax(field, -fmax(river(at_mm), -MUDLARK_INLAY_DEPTH_MM - at_mm[2]));
}

double mudlark_inlay_field(void *context, const double at_mm[3])
{
    (void)context;
    return fmax(river(at_mm), fmax(-MUDLARK_INLAY_DEPTH_MM - at_mm[2], at_mm[2]));
}
