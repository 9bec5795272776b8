#include "plot/scene.h"

#include <math.h>

#include "geometry/silhouette.h"
#include "output/words.h"

PoiseStatus poise_scene_make(PoiseScene *scene, const PoiseInstrument *in, const PoiseWeighing *w,
                             bool hanging, PoiseFaults *faults)
{
    scene->in = in;
    scene->w = w;
    scene->axes = poise_frame_axes(&in->frame);
    scene->pose = (PoisePose){.angle_deg = hanging ? w->neck_angle_deg : 0.0};
    if (in->has_posts) {
        PoisePoint tail = poise_axes_point(&scene->axes, in->tail_mm);
        scene->pose.origin_mm[0] = tail.x_mm;
        scene->pose.origin_mm[1] = tail.y_mm;
    }
    PoiseStatus status = poise_plot_shapes(in, w, &scene->shapes, faults);
    if (status)
        return status;
    poise_pose_shapes(&scene->pose, &scene->shapes);
    for (int i = 0; i < 2; i++) {
        scene->min[i] = INFINITY;
        scene->max[i] = -INFINITY;
    }
    for (size_t i = 0; i < scene->shapes.count; i++) {
        double lo[2], hi[2];
        if (!poise_rings_box(&scene->shapes.list[i].rings, lo, hi))
            continue;
        poise_scene_show(scene, lo, 0.0);
        poise_scene_show(scene, hi, 0.0);
    }
    const double *points[3] = {w->total.centre_mm, in->tail_mm, in->horn_mm};
    for (int i = 0; i < (in->has_posts ? 3 : 1); i++) {
        double at[2];
        poise_scene_point(scene, points[i], at);
        poise_scene_show(scene, at, 0.0);
    }
    return POISE_OK;
}

void poise_scene_show_masses(PoiseScene *scene)
{
    for (size_t i = 0; i < scene->w->item_count; i++) {
        const PoiseBody *body = &scene->w->items[i].body;
        double at[2];
        poise_scene_point(scene, body->centre_mm, at);
        poise_scene_show(scene, at, POISE_CIRCLE_MM * sqrt(fmax(body->mass_g, 0.0)));
    }
}

void poise_scene_clear(PoiseScene *scene)
{
    poise_plot_shapes_free(&scene->shapes);
}

void poise_scene_point(const PoiseScene *scene, const double r_mm[3], double at[2])
{
    PoisePoint p = poise_axes_point(&scene->axes, r_mm);
    poise_pose_point(&scene->pose, (double[2]){p.x_mm, p.y_mm}, at);
}

void poise_scene_show(PoiseScene *scene, const double at[2], double margin_mm)
{
    for (int i = 0; i < 2; i++) {
        scene->min[i] = fmin(scene->min[i], at[i] - margin_mm);
        scene->max[i] = fmax(scene->max[i], at[i] + margin_mm);
    }
}

void poise_plot_words(PoiseSheet *sheet, PoiseText *title, PoiseText *subtitle, const char *across,
                      const char *up)
{
    bool failed = title->failed || subtitle->failed;
    const char *const words[] = {title->data, subtitle->data, across, up};
    poise_sheet_block(sheet, "words",
                      "title, subtitle, horizontal axis, vertical axis, one a line");
    for (size_t i = 0; i < 4 && !failed; i++) {
        poise_sheet_text(sheet, words[i]);
        poise_sheet_row(sheet);
    }
    poise_sheet_end(sheet, 1);
    sheet->data.failed = sheet->data.failed || failed;
    poise_text_clear(title);
    poise_text_clear(subtitle);
}

static void drop_full_stop(PoiseText *text)
{
    if (text->length && text->data[text->length - 1] == '.')
        text->data[--text->length] = '\0';
}

void poise_plot_verdict(PoiseText *out, const PoiseWeighing *w)
{
    if (w->has_strap && !w->hanging.has_verdict) { /* a picture has no warnings to refer to */
        poise_text_append(out, "No verdict: at ");
        poise_words_number(out, w->neck_angle_deg, 0);
        poise_text_append(out, "° the horn post is not headwards of the tail post");
        return;
    }
    poise_words_strap_verdict(out, w);
    drop_full_stop(out);
}

void poise_plot_seat_verdict(PoiseText *out, const PoiseWeighing *w)
{
    poise_words_seat_verdict(out, w);
    drop_full_stop(out);
}

void poise_plot_subtitle(PoiseText *out, const PoiseWeighing *w, bool with_mass)
{
    enum { NAME_COLUMNS = 40 };
    poise_plot_shown(out, w->name, NAME_COLUMNS);
    if (w->variant) {
        poise_text_append(out, ", ");
        poise_plot_shown(out, w->variant, NAME_COLUMNS);
    }
    if (!with_mass)
        return;
    poise_text_append(out, ": ");
    poise_words_mass(out, w->total.mass_g);
    poise_text_append(out, " ± ");
    poise_words_mass(out, w->mass_u_g);
}

/* Printed and solid, poured, neck. */
static int tone_of(const PoiseScene *scene, const PoisePlotShape *shape)
{
    PoiseItemKind kind = scene->in->items[shape->item].kind;
    return kind == POISE_ITEM_NECK ? 2 : kind == POISE_ITEM_POURED ? 1 : 0;
}

void poise_scene_solids(PoiseScene *scene)
{
    static const char *const fills[] = {"fill-body", "fill-pour", "fill-neck"};
    static const char *const edges[] = {"edge-body", "edge-pour", "edge-neck"};
    for (int pass = 0; pass < 2; pass++)
        for (int tone = 0; tone < 3; tone++) {
            poise_sheet_block(scene->sheet, pass ? edges[tone] : fills[tone],
                              "x, y; outlines divided by empty lines");
            for (size_t i = 0; i < scene->shapes.count; i++) {
                const PoisePlotShape *shape = &scene->shapes.list[i];
                if (tone_of(scene, shape) != tone)
                    continue;
                if (pass)
                    poise_sheet_rings(scene->sheet, &shape->rings);
                else
                    poise_sheet_fill(scene->sheet, &shape->rings);
            }
            poise_sheet_end(scene->sheet, 2);
        }
}

void poise_scene_masses(PoiseScene *scene)
{
    poise_sheet_block(scene->sheet, "masses", "x, y, radius: area by mass");
    for (size_t i = 0; i < scene->w->item_count; i++) {
        const PoiseItemResult *item = &scene->w->items[i];
        double at[2];
        if (!(item->body.mass_g > 0.0))
            continue;
        poise_scene_point(scene, item->body.centre_mm, at);
        poise_sheet_numbers(scene->sheet, at, 2);
        poise_sheet_number(scene->sheet, POISE_CIRCLE_MM * sqrt(item->body.mass_g));
        poise_sheet_row(scene->sheet);
    }
    poise_sheet_end(scene->sheet, 3);
}

void poise_scene_posts(PoiseScene *scene)
{
    poise_sheet_block(scene->sheet, "posts", "x, y: tail post, horn post");
    const double *posts[2] = {scene->in->tail_mm, scene->in->horn_mm};
    for (int i = 0; scene->in->has_posts && i < 2; i++) {
        double at[2];
        poise_scene_point(scene, posts[i], at);
        poise_sheet_numbers(scene->sheet, at, 2);
        poise_sheet_row(scene->sheet);
    }
    poise_sheet_end(scene->sheet, 2);
}

void poise_scene_name_posts(PoiseScene *scene)
{
    const double gap_px = 14.0;
    double tail[2], horn[2], side = scene->in->frame.left ? -1.0 : 1.0;
    if (!scene->in->has_posts)
        return;
    poise_scene_point(scene, scene->in->tail_mm, tail);
    poise_scene_point(scene, scene->in->horn_mm, horn);
    poise_notes_beside(scene->notes, scene->sheet, POISE_NOTE_SMALL, tail, -side, gap_px, 0.0,
                       false, "tail post");
    poise_notes_beside(scene->notes, scene->sheet, POISE_NOTE_SMALL, horn, side, gap_px, -6.0,
                       false, "horn post");
}
