/* The instrument as it hangs at its neck angle, seen from the front. */
#include <math.h>
#include <string.h>

#include "output/words.h"
#include "plot/scene.h"

/* The hand's force is drawn at this scale, mm for a gram-force, halved while it is longer than
 * LONGEST_MM. */
static const double ARROW_MM_PER_G = 0.5, LONGEST_MM = 320.0;

typedef struct Hanging {
    bool has_support;
    double support[2]; /* the shoulder */
    double centre[2], hand[2];
    double arrow_mm_per_g;
} Hanging;

/* Over the centre while the strap holds; else at the edge of the window where it stops slipping. */
static void find_support(const PoiseWeighing *w, Hanging *hanging)
{
    const PoiseHanging *h = &w->hanging;
    if (!w->has_strap || !h->has_verdict)
        return;
    double station = fmin(fmax(h->station_mm, h->window_mm.lo), h->window_mm.hi), height;
    if (poise_strap_support(&w->strap, w->neck_angle_deg, station, &height))
        return;
    hanging->has_support = true;
    hanging->support[0] = station;
    hanging->support[1] = height;
}

static bool hand_works(const PoiseWeighing *w)
{
    return w->has_strap && w->has_hand && isfinite(w->hanging.hand_load_g) &&
           w->hanging.hand_load_g != 0.0;
}

static void find_points(PoiseScene *scene, Hanging *hanging)
{
    const PoiseWeighing *w = scene->w;
    poise_scene_point(scene, w->total.centre_mm, hanging->centre);
    find_support(w, hanging);
    if (hanging->has_support)
        poise_scene_show(scene, hanging->support, 25.0);
    if (!hand_works(w))
        return;
    poise_scene_point(scene, scene->in->hand_mm, hanging->hand);
    hanging->arrow_mm_per_g = ARROW_MM_PER_G;
    while (hanging->arrow_mm_per_g * fabs(w->hanging.hand_load_g) > LONGEST_MM)
        hanging->arrow_mm_per_g *= 0.5;
    double tip[2] = {hanging->hand[0],
                     hanging->hand[1] + hanging->arrow_mm_per_g * w->hanging.hand_load_g};
    poise_scene_show(scene, tip, 10.0);
}

static void row(PoiseSheet *sheet, double x, double y)
{
    poise_sheet_numbers(sheet, (double[2]){x, y}, 2);
    poise_sheet_row(sheet);
}

static void write_window(PoiseScene *scene)
{
    PoiseSheet *sheet = scene->sheet;
    const PoiseInterval *window = &scene->w->hanging.window_mm;
    poise_sheet_block(sheet, "window", "x, y: where the strap holds the centre of mass");
    if (scene->w->has_strap && scene->w->hanging.has_verdict) {
        row(sheet, window->lo, sheet->lo[1]);
        row(sheet, window->lo, sheet->hi[1]);
        row(sheet, window->hi, sheet->hi[1]);
        row(sheet, window->hi, sheet->lo[1]);
        row(sheet, window->lo, sheet->lo[1]);
    }
    poise_sheet_end(sheet, 2);
}

static void write_strap(PoiseScene *scene, const Hanging *hanging)
{
    PoiseSheet *sheet = scene->sheet;
    double horn[2];
    poise_sheet_block(sheet, "strap", "x, y: tail post, shoulder, horn post");
    if (hanging->has_support) {
        poise_scene_point(scene, scene->in->horn_mm, horn);
        row(sheet, 0.0, 0.0);
        row(sheet, hanging->support[0], hanging->support[1]);
        row(sheet, horn[0], horn[1]);
    }
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "shoulder", "x, y");
    if (hanging->has_support)
        row(sheet, hanging->support[0], hanging->support[1]);
    poise_sheet_end(sheet, 2);
}

static void write_plumb(PoiseScene *scene, const Hanging *hanging)
{
    PoiseSheet *sheet = scene->sheet;
    poise_sheet_block(sheet, "plumb", "x, y: the line through the centre of mass");
    row(sheet, hanging->centre[0], hanging->has_support ? hanging->support[1] : sheet->hi[1]);
    row(sheet, hanging->centre[0], sheet->lo[1]);
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "centre", "x, y: the centre of mass");
    row(sheet, hanging->centre[0], hanging->centre[1]);
    poise_sheet_end(sheet, 2);
}

static void arrow(PoiseSheet *sheet, double x, double y, double length_mm)
{
    poise_sheet_numbers(sheet, (double[4]){x, y, 0.0, length_mm}, 4);
    poise_sheet_row(sheet);
}

/* The hand's force, the scales of force and area, and what they are called. */
static void write_scales(PoiseScene *scene, const Hanging *hanging)
{
    const double sample_g = 100.0, from_right_px = 170.0, from_left_px = 36.0,
                 from_bottom_px = 34.0;
    PoiseSheet *sheet = scene->sheet;
    bool hand = hanging->arrow_mm_per_g > 0.0;
    /* under the head */
    double px[2] = {scene->in->frame.left ? sheet->left_px + from_left_px
                                          : POISE_SHEET_WIDTH_PX - sheet->right_px - from_right_px,
                    sheet->height_px - sheet->bottom_px - from_bottom_px};
    double disc[2], base[2], middle[2];
    poise_sheet_from_px(sheet, px, disc);
    px[1] -= 52.0;
    poise_sheet_from_px(sheet, px, base);
    poise_sheet_block(sheet, "scale-mass", "x, y, radius: 100 g");
    poise_sheet_numbers(sheet, (double[3]){disc[0], disc[1], POISE_CIRCLE_MM * sqrt(sample_g)}, 3);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 3);
    poise_notes_beside(scene->notes, sheet, POISE_NOTE_SMALL, disc, 1.0, 26.0, 0.0, false,
                       "mass of 100 g");
    poise_notes_keep_off(scene->notes, sheet, disc, 16.0, 18.0);
    poise_sheet_block(sheet, "force", "x, y, dx, dy: the hand's force, and 100 g to scale");
    if (hand) {
        double length = hanging->arrow_mm_per_g * sample_g;
        arrow(sheet, hanging->hand[0], hanging->hand[1],
              hanging->arrow_mm_per_g * scene->w->hanging.hand_load_g);
        arrow(sheet, base[0], base[1], length);
        middle[0] = base[0];
        middle[1] = base[1] + 0.5 * length;
        poise_notes_beside(scene->notes, sheet, POISE_NOTE_SMALL, middle, 1.0, 26.0, 0.0, false,
                           "hand load of 100 g");
        poise_notes_keep_off(scene->notes, sheet, middle, 10.0,
                             0.5 * length * poise_sheet_px_per_y(sheet) + 4.0);
    }
    poise_sheet_end(sheet, 4);
}

static void name_hand(PoiseScene *scene, const Hanging *hanging)
{
    double load = scene->w->hanging.hand_load_g;
    if (!(hanging->arrow_mm_per_g > 0.0))
        return;
    double tip[2] = {hanging->hand[0], hanging->hand[1] + hanging->arrow_mm_per_g * load};
    PoiseText text = {0};
    poise_text_append(&text, load > 0.0 ? "the hand holds up\n" : "the hand pulls down\n");
    poise_words_mass(&text, fabs(load));
    if (!text.failed)
        poise_notes_add(scene->notes, scene->sheet, POISE_NOTE_ACCENT, tip, 0.0,
                        load > 0.0 ? -30.0 : 30.0, false, text.data);
    scene->notes->failed = scene->notes->failed || text.failed;
    poise_text_clear(&text);
    double middle[2] = {tip[0], 0.5 * (tip[1] + hanging->hand[1])};
    poise_notes_keep_off(scene->notes, scene->sheet, middle, 8.0,
                         0.5 * fabs(load) * hanging->arrow_mm_per_g *
                             poise_sheet_px_per_y(scene->sheet));
}

/* "centre of mass," and how it lies to the window. */
static void say_centre(PoiseText *text, const PoiseHanging *h)
{
    poise_text_append(text, "centre of mass");
    if (!h->has_verdict)
        return;
    if (h->verdict == POISE_NECK_HEAVY)
        poise_text_printf(text, ",\n%.0f mm too near the head", -h->margin_mm);
    else if (h->verdict == POISE_TAIL_HEAVY)
        poise_text_printf(text, ",\n%.0f mm too near the tail", h->window_mm.lo - h->station_mm);
    else
        poise_text_printf(text, ",\n%.0f mm to spare", h->margin_mm);
}

/* At the foot of the picture: the window's name on one side of it, the centre's on the other, where
 * the centre is. `out` is the sign of the centre's side on the page. */
static void name_foot(PoiseScene *scene, const Hanging *hanging)
{
    const double up_px = 26.0, gap_px = 10.0;
    const PoiseHanging *h = &scene->w->hanging;
    const PoiseSheet *sheet = scene->sheet;
    bool window = scene->w->has_strap && h->has_verdict;
    bool headwards = !window || h->verdict != POISE_TAIL_HEAVY;
    double page = scene->in->frame.left ? -1.0 : 1.0, out = headwards ? page : -page;
    double foot[2] = {hanging->centre[0], sheet->lo[1]};
    double edge[2] = {foot[0], sheet->lo[1]};
    if (window)
        edge[0] = headwards ? fmax(foot[0], h->window_mm.hi) : fmin(foot[0], h->window_mm.lo);
    PoiseText text = {0};
    say_centre(&text, h);
    if (!text.failed)
        poise_notes_beside(scene->notes, sheet, POISE_NOTE_ACCENT, edge, out, gap_px, -up_px, false,
                           text.data);
    scene->notes->failed = scene->notes->failed || text.failed;
    poise_text_clear(&text);
    if (!window)
        return;
    double other[2] = {headwards ? h->window_mm.lo : h->window_mm.hi, sheet->lo[1]};
    poise_notes_beside(scene->notes, sheet, POISE_NOTE_SMALL, other, -out, gap_px, -up_px, false,
                       "the strap holds a centre\nof mass in this band");
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
    find_points(&scene, &hanging);
    scene.min[0] -= 40.0;
    scene.min[1] -= 70.0; /* for the names under the picture */
    scene.max[1] += 20.0;
    poise_sheet_fit(sheet, scene.min, scene.max, 480.0, 790.0, in->frame.left);
    PoiseText title = {0}, subtitle = {0};
    poise_plot_verdict(&title, w);
    poise_plot_subtitle(&subtitle, w, true);
    poise_text_append(&subtitle, ". Seen from the front, as it hangs at its neck angle.");
    poise_plot_words(sheet, &title, &subtitle,
                     in->has_posts ? "towards the head, mm from the tail post"
                                   : "towards the head, mm",
                     in->has_posts ? "up, mm from the tail post" : "up, mm");
    write_window(&scene);
    poise_scene_solids(&scene);
    poise_scene_masses(&scene);
    poise_scene_posts(&scene);
    write_strap(&scene, &hanging);
    write_plumb(&scene, &hanging);
    name_hand(&scene, &hanging);
    write_scales(&scene, &hanging);
    name_foot(&scene, &hanging);
    poise_scene_name_posts(&scene);
    if (hanging.has_support)
        poise_notes_beside(notes, sheet, POISE_NOTE_SMALL, hanging.support,
                           in->frame.left ? 1.0 : -1.0, 16.0, -6.0, false, "shoulder");
    poise_notes_write(notes, sheet);
    poise_scene_clear(&scene);
    return POISE_OK;
}
