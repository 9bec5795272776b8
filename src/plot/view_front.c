/* The plan: sections with their masses, posts, the centre of mass with its 95 % ellipse. */
#include <math.h>

#include "base/vec.h"
#include "output/words.h"
#include "plot/ellipse.h"
#include "plot/scene.h"

/* Items lighter than this share of the whole get no label. */
static const double LEAST_SHARE = 0.01;

/* Radius of the lens that enlarges the ellipse, px, and of the largest ellipse in it. */
static const double LENS_PX = 66.0, IN_LENS_PX = 48.0;

static bool is_labelled(const PoiseScene *scene, size_t i)
{
    switch (scene->in->items[i].kind) {
    case POISE_ITEM_PRINTED:
    case POISE_ITEM_POURED:
    case POISE_ITEM_SOLID:
    case POISE_ITEM_NECK:
        return scene->w->items[i].body.mass_g >= LEAST_SHARE * scene->w->total.mass_g;
    case POISE_ITEM_STRINGS:
    case POISE_ITEM_PART:
    case POISE_ITEM_MASS:
        break;
    }
    return false;
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

/* Middle of the lens: the corner under the head. */
static void lens_px(const PoiseSheet *sheet, double px[2])
{
    bool left = sheet->lo[0] > sheet->hi[0];
    px[0] = left ? sheet->left_px + LENS_PX + 12.0
                 : POISE_SHEET_WIDTH_PX - sheet->right_px - LENS_PX - 12.0;
    px[1] = sheet->height_px - sheet->bottom_px - LENS_PX - 42.0;
}

/* How far the solids reach down into the lens, px. */
static double lens_overlap(const PoiseScene *scene)
{
    double lens[2], most = 0.0;
    lens_px(scene->sheet, lens);
    for (size_t i = 0; i < scene->shapes.count; i++)
        for (size_t k = 0; k < scene->shapes.list[i].rings.count; k++) {
            double px[2];
            poise_sheet_to_px(scene->sheet, scene->shapes.list[i].rings.points[k], px);
            if (fabs(px[0] - lens[0]) < LENS_PX + 8.0)
                most = fmax(most, px[1] - (lens[1] - LENS_PX - 8.0));
        }
    return most;
}

static void write_lens(PoiseScene *scene, const PoiseEllipse *ellipse, const double centre[2])
{
    PoiseSheet *sheet = scene->sheet;
    double px[2], at[2], scale = fabs(poise_sheet_px_per_x(sheet));
    double times = enlargement(ellipse, scale);
    lens_px(sheet, px);
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
    poise_sheet_numbers(sheet, (double[2]){at[0] + start * dx, at[1] + start * dy}, 2);
    poise_sheet_row(sheet);
    poise_sheet_numbers(sheet, centre, 2);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 2);
    poise_notes_keep_off(scene->notes, sheet, at, LENS_PX, LENS_PX);
    poise_notes_say(scene->notes, sheet, POISE_NOTE_SMALL, at, -60.0, LENS_PX + 20.0, false,
                    "centre of mass, 95 %% ellipse %.1f mm by %.1f mm,\ndrawn %.0f times as large",
                    2.0 * ellipse->long_mm, 2.0 * ellipse->short_mm, times);
}

static void write_centre(PoiseScene *scene)
{
    PoiseSheet *sheet = scene->sheet;
    const PoiseWeighing *w = scene->w;
    double centre[2];
    PoiseEllipse ellipse = poise_ellipse_95(w->centre_covariance_mm2, scene->axes.x, scene->axes.y);
    poise_scene_point(scene, w->total.centre_mm, centre);
    poise_sheet_block(sheet, "centre", "x, y: the centre of mass");
    poise_sheet_numbers(sheet, centre, 2);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 2);
    poise_sheet_block(sheet, "ellipse", "x, y: its 95 % ellipse");
    write_loop(sheet, &ellipse, centre, 1.0);
    poise_sheet_end(sheet, 2);
    poise_notes_keep_off(scene->notes, sheet, centre, 14.0, 14.0);
    write_lens(scene, &ellipse, centre);
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
    scene.min[0] -= 0.1 * (scene.max[0] - scene.min[0]); /* for the name of the tail post */
    scene.max[0] += 20.0;
    scene.min[1] -= 30.0;
    scene.max[1] += 20.0;
    poise_sheet_fit(sheet, scene.min, scene.max, 480.0, 790.0, in->frame.left);
    scene.min[1] -= lens_overlap(&scene) / poise_sheet_px_per_y(sheet);
    poise_sheet_fit(sheet, scene.min, scene.max, 480.0, 790.0, in->frame.left);
    PoiseText title = {0}, subtitle = {0};
    say_title(&title, w);
    poise_plot_subtitle(&subtitle, w, false);
    poise_text_append(&subtitle, ". Seen along the face, the strings level.");
    poise_plot_words(sheet, &title, &subtitle,
                     in->has_posts ? "along the strings towards the head, mm from the tail post"
                                   : "along the strings towards the head, mm",
                     in->has_posts ? "up, mm from the tail post" : "up, mm");
    poise_scene_solids(&scene);
    poise_scene_posts(&scene);
    write_centre(&scene);
    name_sections(&scene);
    poise_scene_name_posts(&scene);
    poise_notes_write(notes, sheet);
    poise_scene_clear(&scene);
    return POISE_OK;
}
