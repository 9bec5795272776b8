/* The plan: sections with their masses, posts, the centre of mass with its 95 % ellipse. */
#include <math.h>

#include "base/vec.h"
#include "output/words.h"
#include "plot/ellipse.h"
#include "plot/room.h"
#include "plot/scene.h"

/* Items lighter than this share of the whole get no label. */
static const double LEAST_SHARE = 0.01;

/* Radius of the lens that enlarges the ellipse, px, and of the largest ellipse in it. */
static const double LENS_PX = 66.0, IN_LENS_PX = 48.0;
/* What stands under it, px. */
static const double CAPTION_WIDTH_PX = 240.0, CAPTION_HEIGHT_PX = 60.0;
/* A lens that enlarges less than this shows nothing that the picture does not. An ellipse shorter
 * than this is none, mm. */
static const double LEAST_TIMES = 5.0, LEAST_ELLIPSE_MM = 0.05;

static bool is_labelled(const PoiseScene *scene, size_t i)
{
    bool heavy = scene->w->items[i].body.mass_g >= LEAST_SHARE * scene->w->total.mass_g;
    switch (scene->in->items[i].kind) {
    case POISE_ITEM_PRINTED:
    case POISE_ITEM_POURED:
    case POISE_ITEM_SOLID:
    case POISE_ITEM_NECK:
        return heavy;
    case POISE_ITEM_STRINGS:
    case POISE_ITEM_PART:
    case POISE_ITEM_MASS:
        break;
    }
    return heavy && scene->shapes.count == 0;
}

static void name_sections(PoiseScene *scene)
{
    enum { ID_COLUMNS = 22 };
    for (size_t i = 0; i < scene->w->item_count; i++) {
        const PoiseItemResult *item = &scene->w->items[i];
        if (!is_labelled(scene, i))
            continue;
        double at[2];
        PoiseText text = {0};
        poise_scene_point(scene, item->body.centre_mm, at);
        poise_plot_shown(&text, item->id, ID_COLUMNS);
        poise_text_append(&text, "\n");
        poise_words_mass(&text, item->body.mass_g);
        if (!text.failed)
            poise_notes_add(scene->notes, scene->sheet, POISE_NOTE_NAME, at, 0.0, 0.0, true,
                            text.data);
        scene->notes->failed = scene->notes->failed || text.failed;
        poise_text_clear(&text);
    }
}

static void write_loop(PoiseSheet *sheet, const PoiseEllipse *ellipse, const double at[2],
                       double times)
{
    enum { STEPS = 72 };
    for (int i = 0; i <= STEPS; i++) {
        double p[2], s, c;
        poise_sincos_deg(360.0 * i / STEPS, &s, &c);
        for (int k = 0; k < 2; k++)
            p[k] = at[k] +
                   times * (c * ellipse->long_mm * ellipse->axis[k] +
                            s * ellipse->short_mm * (k ? ellipse->axis[0] : -ellipse->axis[1]));
        poise_sheet_numbers(sheet, p, 2);
        poise_sheet_row(sheet);
    }
}

/* The largest round enlargement at which the ellipse fits into the lens. */
static double enlargement(const PoiseEllipse *ellipse, double px_per_mm)
{
    static const double round_steps[] = {1, 2, 5, 10, 20, 50, 100, 200, 500};
    double best = round_steps[0];
    for (size_t i = 0; i < sizeof round_steps / sizeof *round_steps; i++)
        if (round_steps[i] * ellipse->long_mm * px_per_mm <= IN_LENS_PX)
            best = round_steps[i];
    return best;
}

static void write_lens(PoiseScene *scene, const PoiseEllipse *ellipse, const double px[2],
                       double times, const double centre[2])
{
    PoiseSheet *sheet = scene->sheet;
    double at[2], scale = fabs(poise_sheet_px_per_x(sheet));
    poise_sheet_from_px(sheet, px, at);
    poise_sheet_block(sheet, "lens", "x, y, radius");
    poise_sheet_numbers(sheet, at, 2);
    poise_sheet_number(sheet, LENS_PX / scale);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 3);
    poise_sheet_block(sheet, "large", "x, y: the ellipse enlarged");
    write_loop(sheet, ellipse, at, times);
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "ray", "x, y: from the lens to the centre of mass");
    double dx = centre[0] - at[0], dy = centre[1] - at[1], far = hypot(dx, dy);
    double start = far > 0.0 ? LENS_PX / scale / far : 0.0;
    double rim[2] = {at[0] + start * dx, at[1] + start * dy};
    poise_sheet_numbers(sheet, rim, 2);
    poise_sheet_row(sheet);
    poise_sheet_numbers(sheet, centre, 2);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 2);
    poise_notes_keep_off_line(scene->notes, sheet, rim, centre);
    poise_notes_keep_off(scene->notes, sheet, at, LENS_PX, LENS_PX);
    poise_notes_say(scene->notes, sheet, POISE_NOTE_SMALL, at, 0.0,
                    LENS_PX + 0.5 * CAPTION_HEIGHT_PX + 4.0, false,
                    "centre of mass,\n95 %% ellipse %.1f mm by %.1f mm,\ndrawn %.0f times as large",
                    2.0 * ellipse->long_mm, 2.0 * ellipse->short_mm, times);
}

static void write_no_lens(PoiseSheet *sheet)
{
    poise_sheet_block(sheet, "lens", "x, y, radius");
    poise_sheet_end(sheet, 3);
    poise_sheet_block(sheet, "large", "x, y: the ellipse enlarged");
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "ray", "x, y: from the lens to the centre of mass");
    poise_sheet_end(sheet, 2);
}

/* Where a lens helps and does not cover anything: the middle of it, px. */
static bool find_lens(const PoiseScene *scene, const PoiseEllipse *ellipse, double times,
                      double px[2])
{
    const PoiseRoomLines none = {0};
    if (ellipse->long_mm < LEAST_ELLIPSE_MM || times < LEAST_TIMES ||
        !poise_room_find(scene, scene->shapes.count == 0, &none, CAPTION_WIDTH_PX,
                         2.0 * LENS_PX + CAPTION_HEIGHT_PX, px))
        return false;
    px[1] -= 0.5 * CAPTION_HEIGHT_PX;
    return true;
}

/* The names that the picture has in any case are added before. */
static void name_centre(PoiseScene *scene, const PoiseEllipse *ellipse, const double centre[2])
{
    double side = scene->in->frame.left ? -90.0 : 90.0, down = 60.0;
    if (ellipse->long_mm < LEAST_ELLIPSE_MM)
        poise_notes_add(scene->notes, scene->sheet, POISE_NOTE_ACCENT, centre, side, down, true,
                        "centre of mass");
    else
        poise_notes_say(scene->notes, scene->sheet, POISE_NOTE_ACCENT, centre, side, down, true,
                        "centre of mass,\n95 %% ellipse %.1f mm by %.1f mm", 2.0 * ellipse->long_mm,
                        2.0 * ellipse->short_mm);
}

static void write_centre(PoiseScene *scene)
{
    PoiseSheet *sheet = scene->sheet;
    const PoiseWeighing *w = scene->w;
    double centre[2], lens[2];
    PoiseEllipse ellipse = poise_ellipse_95(w->centre_covariance_mm2, scene->axes.x, scene->axes.y);
    double times = enlargement(&ellipse, fabs(poise_sheet_px_per_x(sheet)));
    poise_scene_point(scene, w->total.centre_mm, centre);
    poise_sheet_block(sheet, "centre", "x, y: the centre of mass");
    poise_sheet_numbers(sheet, centre, 2);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "ellipse", "x, y: its 95 % ellipse");
    write_loop(sheet, &ellipse, centre, 1.0);
    poise_sheet_end(sheet, 2);
    poise_notes_keep_off(scene->notes, sheet, centre, 14.0, 14.0);
    if (find_lens(scene, &ellipse, times, lens)) {
        write_lens(scene, &ellipse, lens, times, centre);
    } else {
        write_no_lens(sheet);
        name_centre(scene, &ellipse, centre);
    }
}

static void say_title(PoiseText *t, const PoiseWeighing *w)
{
    poise_words_mass(t, w->total.mass_g);
    poise_text_append(t, " ± ");
    poise_words_mass(t, w->mass_u_g);
    const struct {
        double mm;
        const char *from;
    } stations[] = {{w->from_tail_post_mm, "tail post"}, {w->from_saddle_mm, "saddle"}};
    for (size_t i = 0; i < 2; i++) {
        if (!isfinite(stations[i].mm))
            continue;
        poise_text_printf(t, ", balancing %.0f mm %s of the %s", fabs(stations[i].mm),
                          stations[i].mm < 0.0 ? "tailwards" : "headwards", stations[i].from);
        break;
    }
}

PoiseStatus poise_view_front(const PoiseInstrument *in, const PoiseWeighing *w,
                             const PoisePlotOptions *options, PoiseSheet *sheet, PoiseNotes *notes,
                             PoiseFaults *faults)
{
    PoiseScene scene = {.sheet = sheet, .notes = notes, .options = options};
    PoiseStatus status = poise_scene_make(&scene, in, w, false, faults);
    if (status)
        return status;
    bool masses = scene.shapes.count == 0; /* nothing else to see them by */
    if (masses)
        poise_scene_show_masses(&scene);
    scene.min[0] -= 0.1 * (scene.max[0] - scene.min[0]); /* for the name of the tail post */
    scene.max[0] += 20.0;
    scene.min[1] -= 30.0;
    scene.max[1] += 20.0;
    poise_sheet_fit(sheet, scene.min, scene.max, 480.0, 790.0, in->frame.left);
    PoiseText title = {0}, subtitle = {0};
    say_title(&title, w);
    poise_plot_subtitle(&subtitle, w, false);
    poise_text_append(&subtitle, ". Seen from the front, the strings level.");
    poise_plot_words(sheet, &title, &subtitle,
                     in->has_posts ? "along the strings towards the head, mm from the tail post"
                                   : "along the strings towards the head, mm",
                     in->has_posts ? "up, mm from the tail post" : "up, mm");
    poise_scene_solids(&scene);
    if (masses) {
        poise_scene_masses(&scene);
    } else {
        poise_sheet_block(sheet, "masses", "x, y, radius: area by mass");
        poise_sheet_end(sheet, 3);
    }
    poise_scene_posts(&scene);
    write_centre(&scene);
    name_sections(&scene);
    poise_scene_name_posts(&scene);
    for (size_t i = 0; i < scene.shapes.count; i++)
        poise_notes_keep_off_rings(notes, sheet, &scene.shapes.list[i].rings);
    poise_notes_write(notes, sheet);
    poise_scene_clear(&scene);
    return POISE_OK;
}
