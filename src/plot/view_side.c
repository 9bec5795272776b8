/* The instrument at its neck angle, seen from the front: as it hangs on the strap, else as it rests
 * on the leg. */
#include <math.h>
#include <string.h>

#include "output/words.h"
#include "plot/room.h"
#include "plot/scene.h"

/* The hand's force is drawn at this scale, mm for a gram-force, halved while it is longer than
 * LONGEST_MM. */
static const double ARROW_MM_PER_G = 0.5, LONGEST_MM = 320.0;
/* What the legend shows of force and of area. */
static const double SAMPLE_G = 100.0;

/* What holds it up in the picture. */
typedef enum Held { HELD_BY_NOTHING, HELD_BY_STRAP, HELD_BY_LEG } Held;

typedef struct Hanging {
    Held held;
    bool has_window;
    PoiseInterval window_mm; /* in the picture */
    double station_mm;       /* what has to be within it: the centre, on the leg with the arm */
    PoiseVerdict verdict;
    double load_g; /* of the hand, upward */
    bool has_support;
    double support[2]; /* the shoulder, or where the leg is */
    double centre[2], hand[2], arm[2];
    double arm_g; /* 0: no arm */
    double arrow_mm_per_g;
} Hanging;

/* Over the centre while the strap holds; else at the edge of the window where it stops slipping. */
static void hang_on_strap(const PoiseWeighing *w, Hanging *hanging)
{
    const PoiseHanging *h = &w->hanging;
    hanging->held = HELD_BY_STRAP;
    hanging->has_window = h->has_verdict;
    if (!h->has_verdict)
        return;
    hanging->window_mm = h->window_mm;
    hanging->station_mm = h->station_mm;
    hanging->verdict = h->verdict;
    hanging->load_g = h->hand_load_g;
    double station = fmin(fmax(h->station_mm, h->window_mm.lo), h->window_mm.hi), height;
    if (poise_strap_support(&w->strap, w->neck_angle_deg, station, &height))
        return;
    hanging->has_support = true;
    hanging->support[0] = station;
    hanging->support[1] = height;
}

static void rest_on_leg(const PoiseScene *scene, Hanging *hanging)
{
    const PoiseResting *r = &scene->w->resting;
    PoisePoint origin = {scene->pose.origin_mm[0], scene->pose.origin_mm[1]};
    double from = poise_horizontal_mm(origin, scene->w->neck_angle_deg);
    hanging->held = HELD_BY_LEG;
    hanging->has_window = hanging->has_support = true;
    hanging->window_mm = (PoiseInterval){r->window_mm.lo - from, r->window_mm.hi - from};
    hanging->station_mm = r->horizontal_mm - from;
    hanging->verdict = r->verdict;
    hanging->load_g = r->hand_load_g;
    poise_scene_point(scene, scene->in->rest_mm, hanging->support);
    if (!scene->w->has_arm)
        return;
    hanging->arm_g = scene->in->arm_g.value;
    poise_scene_point(scene, scene->in->arm_mm, hanging->arm);
}

static bool hand_works(const PoiseWeighing *w, const Hanging *hanging)
{
    return hanging->has_window && w->has_hand && isfinite(hanging->load_g) &&
           hanging->load_g != 0.0;
}

static void find_points(PoiseScene *scene, Hanging *hanging)
{
    const PoiseWeighing *w = scene->w;
    poise_scene_point(scene, w->total.centre_mm, hanging->centre);
    hanging->station_mm = hanging->centre[0];
    if (w->has_strap)
        hang_on_strap(w, hanging);
    else if (w->has_seat)
        rest_on_leg(scene, hanging);
    if (!hand_works(w, hanging))
        hanging->load_g = 0.0;
    if (hanging->has_support)
        poise_scene_show(scene, hanging->support, 25.0);
    double most = fmax(fabs(hanging->load_g), hanging->arm_g);
    if (!(most > 0.0))
        return;
    hanging->arrow_mm_per_g = ARROW_MM_PER_G;
    while (hanging->arrow_mm_per_g * most > LONGEST_MM)
        hanging->arrow_mm_per_g *= 0.5;
    if (hanging->load_g != 0.0) {
        poise_scene_point(scene, scene->in->hand_mm, hanging->hand);
        double tip[2] = {hanging->hand[0],
                         hanging->hand[1] + hanging->arrow_mm_per_g * hanging->load_g};
        poise_scene_show(scene, tip, 45.0); /* for its name */
    }
    if (hanging->arm_g > 0.0) {
        double start[2] = {hanging->arm[0],
                           hanging->arm[1] + hanging->arrow_mm_per_g * hanging->arm_g};
        poise_scene_show(scene, start, 45.0);
    }
}

static void row(PoiseSheet *sheet, double x, double y)
{
    poise_sheet_numbers(sheet, (double[2]){x, y}, 2);
    poise_sheet_row(sheet);
}

static void write_window(PoiseScene *scene, const Hanging *hanging)
{
    PoiseSheet *sheet = scene->sheet;
    const PoiseInterval *window = &hanging->window_mm;
    poise_sheet_block(sheet, "window", "x, y: where the centre of mass is held");
    if (hanging->has_window) {
        row(sheet, window->lo, sheet->lo[1]);
        row(sheet, window->lo, sheet->hi[1]);
        row(sheet, window->hi, sheet->hi[1]);
        row(sheet, window->hi, sheet->lo[1]);
        row(sheet, window->lo, sheet->lo[1]);
    }
    poise_sheet_end(sheet, 2);
}

/* The belt, or the stretch of the waist that may rest on the leg, from end to end. */
static int support_corners(const PoiseScene *scene, const Hanging *hanging, double corners[3][2])
{
    if (!hanging->has_support)
        return 0;
    if (hanging->held == HELD_BY_LEG) {
        for (int end = 0; end < 2; end++) {
            corners[end][0] = end ? hanging->window_mm.hi : hanging->window_mm.lo;
            corners[end][1] = hanging->support[1];
        }
        return 2;
    }
    corners[0][0] = corners[0][1] = 0.0;
    memcpy(corners[1], hanging->support, sizeof corners[1]);
    poise_scene_point(scene, scene->in->horn_mm, corners[2]);
    return 3;
}

static void write_support(PoiseScene *scene, const Hanging *hanging)
{
    PoiseSheet *sheet = scene->sheet;
    double corners[3][2];
    int n = support_corners(scene, hanging, corners);
    poise_sheet_block(sheet, "strap", "x, y: tail post, shoulder, horn post; or along the leg");
    for (int i = 0; i < n; i++) {
        row(sheet, corners[i][0], corners[i][1]);
        if (i)
            poise_notes_keep_off_line(scene->notes, sheet, corners[i - 1], corners[i]);
    }
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "shoulder", "x, y");
    if (hanging->held == HELD_BY_STRAP && hanging->has_support)
        row(sheet, hanging->support[0], hanging->support[1]);
    poise_sheet_end(sheet, 2);
}

static void name_support(PoiseScene *scene, const Hanging *hanging)
{
    if (!hanging->has_support)
        return;
    double head = scene->in->frame.left ? -1.0 : 1.0;
    if (hanging->held == HELD_BY_STRAP) {
        poise_notes_beside(scene->notes, scene->sheet, POISE_NOTE_SMALL, hanging->support, -head,
                           16.0, -6.0, false, "shoulder");
    } else {
        double end[2] = {hanging->window_mm.hi, hanging->support[1]};
        poise_notes_beside(scene->notes, scene->sheet, POISE_NOTE_SMALL, end, head, 8.0, 0.0, false,
                           "leg");
    }
}

/* The top of the plumb line: the strap's support, else the picture's edge. */
static double plumb_top(const PoiseScene *scene, const Hanging *hanging)
{
    return hanging->held == HELD_BY_STRAP && hanging->has_support ? hanging->support[1]
                                                                  : scene->sheet->hi[1];
}

static void write_plumb(PoiseScene *scene, const Hanging *hanging)
{
    PoiseSheet *sheet = scene->sheet;
    double top[2] = {hanging->station_mm, plumb_top(scene, hanging)};
    double foot[2] = {hanging->station_mm, sheet->lo[1]};
    poise_sheet_block(sheet, "plumb", "x, y: the line through the centre of mass");
    row(sheet, top[0], top[1]);
    row(sheet, foot[0], foot[1]);
    poise_sheet_end(sheet, 2);
    poise_notes_keep_off_line(scene->notes, sheet, top, foot);
    poise_sheet_block(sheet, "centre", "x, y: the centre of mass");
    row(sheet, hanging->centre[0], hanging->centre[1]);
    poise_sheet_end(sheet, 2);
}

static void arrow(PoiseSheet *sheet, double x, double y, double length_mm)
{
    poise_sheet_numbers(sheet, (double[4]){x, y, 0.0, length_mm}, 4);
    poise_sheet_row(sheet);
}

/* What the legend must not cover besides the solids: lines, and words at their ends. */
static void find_lines(const PoiseScene *scene, const Hanging *hanging, PoiseRoomLines *lines)
{
    const double word_px = 130.0, foot_px = 210.0, over_px = 60.0;
    const PoiseSheet *sheet = scene->sheet;
    double scale = fabs(poise_sheet_px_per_x(sheet)), corners[3][2];
    double foot = sheet->lo[1] + 20.0 / scale;
    int n = support_corners(scene, hanging, corners);
    for (int i = 1; i < n; i++)
        poise_room_line(lines, corners[i - 1][0], corners[i - 1][1], corners[i][0], corners[i][1]);
    poise_room_line(lines, hanging->station_mm, plumb_top(scene, hanging), hanging->station_mm,
                    sheet->lo[1]);
    double lo = hanging->station_mm, hi = lo;
    if (hanging->has_window) {
        lo = fmin(lo, hanging->window_mm.lo);
        hi = fmax(hi, hanging->window_mm.hi);
    }
    poise_room_line(lines, lo - foot_px / scale, foot, hi + foot_px / scale, foot);
    double up = hanging->arrow_mm_per_g * hanging->load_g;
    double past = copysign(over_px / scale, up);
    if (hanging->load_g != 0.0)
        poise_room_line(lines, hanging->hand[0], hanging->hand[1], hanging->hand[0],
                        hanging->hand[1] + up + past);
    if (hanging->arm_g > 0.0)
        poise_room_line(lines, hanging->arm[0], hanging->arm[1], hanging->arm[0],
                        hanging->arm[1] + hanging->arrow_mm_per_g * hanging->arm_g +
                            over_px / scale);
    const double *posts[2] = {scene->in->tail_mm, scene->in->horn_mm};
    for (int i = 0; scene->in->has_posts && i < 2; i++) {
        double at[2];
        poise_scene_point(scene, posts[i], at);
        poise_room_line(lines, at[0], at[1], at[0] + (i ? word_px : -word_px) / scale, at[1]);
    }
}

/* The scales of area and force: where they stand, px, from the upper left corner of the two. */
typedef struct Legend {
    double width_px, height_px, arrow_px, disc_px, corner_px[2];
} Legend;

static void lay_out(PoiseScene *scene, const Hanging *hanging, Legend *legend)
{
    const double least_row_px = 36.0, words_px = 150.0, gap_px = 12.0;
    PoiseSheet *sheet = scene->sheet;
    for (int again = 0; again < 2; again++) {
        PoiseRoomLines lines = {0};
        double px[2], scale = poise_sheet_px_per_y(sheet);
        legend->arrow_px = SAMPLE_G * hanging->arrow_mm_per_g * scale;
        legend->disc_px = POISE_CIRCLE_MM * sqrt(SAMPLE_G) * scale;
        double disc_row_px = fmax(least_row_px, 2.0 * legend->disc_px + 4.0);
        legend->width_px = disc_row_px + 8.0 + words_px;
        legend->height_px =
            disc_row_px + (legend->arrow_px > 0.0 ? fmax(legend->arrow_px, 16.0) + gap_px : 0.0);
        find_lines(scene, hanging, &lines);
        bool found = poise_room_find(scene, true, &lines, legend->width_px, legend->height_px, px);
        legend->corner_px[0] = px[0] - 0.5 * legend->width_px;
        legend->corner_px[1] = px[1] - 0.5 * legend->height_px;
        if (found || again)
            return;
        /* below everything */
        scene->min[1] -= (legend->height_px + 24.0) / scale;
        poise_sheet_fit(sheet, scene->min, scene->max, 480.0, 790.0, scene->in->frame.left);
    }
}

/* The forces, the scales of force and area, and what they are called. */
static void write_scales(PoiseScene *scene, const Hanging *hanging, const Legend *legend)
{
    PoiseSheet *sheet = scene->sheet;
    double scale = hanging->arrow_mm_per_g, disc[2], base[2];
    double half = fmax(18.0, legend->disc_px + 2.0), beside = half + 8.0;
    double px[2] = {legend->corner_px[0] + half, legend->corner_px[1] + legend->height_px - half};
    poise_sheet_from_px(sheet, px, disc);
    poise_sheet_block(sheet, "scale-mass", "x, y, radius: 100 g");
    poise_sheet_numbers(sheet, (double[3]){disc[0], disc[1], POISE_CIRCLE_MM * sqrt(SAMPLE_G)}, 3);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 3);
    poise_notes_beside(scene->notes, sheet, POISE_NOTE_SMALL, disc, 1.0, beside, 0.0, false,
                       "mass of 100 g");
    poise_notes_keep_off(scene->notes, sheet, disc, half - 2.0, half);
    poise_sheet_block(sheet, "force", "x, y, dx, dy: the forces, and 100 g to scale");
    if (hanging->load_g != 0.0)
        arrow(sheet, hanging->hand[0], hanging->hand[1], scale * hanging->load_g);
    if (hanging->arm_g > 0.0)
        arrow(sheet, hanging->arm[0], hanging->arm[1] + scale * hanging->arm_g,
              -scale * hanging->arm_g);
    if (scale > 0.0) {
        px[1] = legend->corner_px[1] + legend->arrow_px;
        poise_sheet_from_px(sheet, px, base);
        double length = scale * SAMPLE_G, middle[2] = {base[0], base[1] + 0.5 * length};
        arrow(sheet, base[0], base[1], length);
        poise_notes_beside(scene->notes, sheet, POISE_NOTE_SMALL, middle, 1.0, beside, 0.0, false,
                           hanging->arm_g > 0.0 ? "force of 100 g" : "hand load of 100 g");
        poise_notes_keep_off(scene->notes, sheet, middle, 10.0, 0.5 * legend->arrow_px + 4.0);
    }
    poise_sheet_end(sheet, 4);
}

/* "the hand holds up", "235 g", over the end of a force's arrow; nothing may cover the arrow. */
static void name_force(PoiseScene *scene, const char *what, const double at[2], double length_mm,
                       double force_g, bool over)
{
    const double up_px = 30.0;
    double end[2] = {at[0], at[1] + length_mm};
    PoiseText text = {0};
    poise_text_append(&text, what);
    poise_words_mass(&text, fabs(force_g));
    if (!text.failed)
        poise_notes_add(scene->notes, scene->sheet, POISE_NOTE_ACCENT, end, 0.0,
                        over ? -up_px : up_px, false, text.data);
    scene->notes->failed = scene->notes->failed || text.failed;
    poise_text_clear(&text);
    double middle[2] = {at[0], at[1] + 0.5 * length_mm};
    poise_notes_keep_off(scene->notes, scene->sheet, middle, 8.0,
                         0.5 * fabs(length_mm) * poise_sheet_px_per_y(scene->sheet));
}

static void name_forces(PoiseScene *scene, const Hanging *hanging)
{
    double load = hanging->load_g, scale = hanging->arrow_mm_per_g;
    if (load != 0.0)
        name_force(scene, load > 0.0 ? "the hand holds up\n" : "the hand pulls down\n",
                   hanging->hand, scale * load, load, load > 0.0);
    if (hanging->arm_g > 0.0)
        name_force(scene, "the arm rests with\n", hanging->arm, scale * hanging->arm_g,
                   hanging->arm_g, true);
}

/* "centre of mass," and how it lies to the window. */
static void say_centre(PoiseText *text, const Hanging *h)
{
    poise_text_append(text, h->arm_g > 0.0 ? "centre of mass with the arm" : "centre of mass");
    if (!h->has_window)
        return;
    if (h->verdict == POISE_NECK_HEAVY)
        poise_text_printf(text, ",\n%.0f mm too near the head", h->station_mm - h->window_mm.hi);
    else if (h->verdict == POISE_TAIL_HEAVY)
        poise_text_printf(text, ",\n%.0f mm too near the tail", h->window_mm.lo - h->station_mm);
    else
        poise_text_printf(text, ",\n%.0f mm to spare", h->window_mm.hi - h->station_mm);
}

/* At the foot of the picture: the window's name on one side of it, the centre's on the other, where
 * the centre is. `out` is the sign of the centre's side on the page. */
static void name_foot(PoiseScene *scene, const Hanging *h)
{
    const double up_px = 26.0, gap_px = 10.0;
    const PoiseSheet *sheet = scene->sheet;
    bool headwards = !h->has_window || h->verdict != POISE_TAIL_HEAVY;
    double page = scene->in->frame.left ? -1.0 : 1.0, out = headwards ? page : -page;
    double edge[2] = {h->station_mm, sheet->lo[1]};
    if (h->has_window)
        edge[0] = headwards ? fmax(edge[0], h->window_mm.hi) : fmin(edge[0], h->window_mm.lo);
    PoiseText text = {0};
    say_centre(&text, h);
    if (!text.failed)
        poise_notes_beside(scene->notes, sheet, POISE_NOTE_ACCENT, edge, out, gap_px, -up_px, false,
                           text.data);
    scene->notes->failed = scene->notes->failed || text.failed;
    poise_text_clear(&text);
    if (!h->has_window)
        return;
    double other[2] = {headwards ? h->window_mm.lo : h->window_mm.hi, sheet->lo[1]};
    poise_notes_beside(scene->notes, sheet, POISE_NOTE_SMALL, other, -out, gap_px, -up_px, false,
                       h->held == HELD_BY_LEG ? "the leg carries a centre\nof mass in this band"
                                              : "the strap holds a centre\nof mass in this band");
}

static void write_words(PoiseScene *scene, const Hanging *hanging)
{
    static const char *const how[] = {", at its neck angle.", ", as it hangs at its neck angle.",
                                      ", as it rests on the leg at its neck angle."};
    PoiseText title = {0}, subtitle = {0};
    if (hanging->held == HELD_BY_STRAP)
        poise_plot_verdict(&title, scene->w);
    else if (hanging->held == HELD_BY_LEG)
        poise_plot_seat_verdict(&title, scene->w);
    else
        poise_text_append(&title, "No verdict: there is no strap it hangs on, and no leg");
    poise_plot_subtitle(&subtitle, scene->w, true);
    poise_text_append(&subtitle, ". Seen from the front");
    poise_text_append(&subtitle, how[hanging->held]);
    bool posts = scene->in->has_posts;
    poise_plot_words(scene->sheet, &title, &subtitle,
                     posts ? "towards the head, mm from the tail post" : "towards the head, mm",
                     posts ? "up, mm from the tail post" : "up, mm");
}

PoiseStatus poise_view_side(const PoiseInstrument *in, const PoiseWeighing *w,
                            const PoisePlotOptions *options, PoiseSheet *sheet, PoiseNotes *notes,
                            PoiseFaults *faults)
{
    PoiseScene scene = {.sheet = sheet, .notes = notes, .options = options};
    PoiseStatus status = poise_scene_make(&scene, in, w, true, faults);
    if (status)
        return status;
    Hanging hanging = {0};
    Legend legend = {0};
    poise_scene_show_masses(&scene);
    find_points(&scene, &hanging);
    scene.min[0] -= 40.0;
    scene.min[1] -= 70.0; /* for the names under the picture */
    scene.max[1] += 20.0;
    poise_sheet_fit(sheet, scene.min, scene.max, 480.0, 790.0, in->frame.left);
    lay_out(&scene, &hanging, &legend);
    write_words(&scene, &hanging);
    write_window(&scene, &hanging);
    poise_scene_solids(&scene);
    poise_scene_masses(&scene);
    poise_scene_posts(&scene);
    write_support(&scene, &hanging);
    write_plumb(&scene, &hanging);
    name_forces(&scene, &hanging);
    write_scales(&scene, &hanging, &legend);
    name_foot(&scene, &hanging);
    poise_scene_name_posts(&scene);
    name_support(&scene, &hanging);
    poise_notes_write(notes, sheet);
    poise_scene_clear(&scene);
    return POISE_OK;
}
