#include "plot/room.h"

#include <math.h>

/* Clear space around the box and around posts, and how far the search goes on, px. */
static const double AROUND_PX = 8.0, POST_PX = 12.0, STEP_PX = 12.0;

void poise_room_line(PoiseRoomLines *lines, double x, double y, double to_x, double to_y)
{
    if (lines->count == sizeof lines->ends / sizeof *lines->ends)
        return;
    double(*ends)[2] = lines->ends[lines->count++];
    ends[0][0] = x;
    ends[0][1] = y;
    ends[1][0] = to_x;
    ends[1][1] = to_y;
}

static bool crosses(const PoiseSheet *sheet, const double from[2], const double to[2],
                    const double box[4])
{
    PoiseLabelLine line;
    poise_sheet_to_px(sheet, from, line.from);
    poise_sheet_to_px(sheet, to, line.to);
    return poise_line_meets_box(&line, box);
}

/* An edge in the box, or all of the box in the solid. */
static bool covers(const PoiseSheet *sheet, const PoiseRings *rings, const double box[4])
{
    for (size_t r = 0; r < rings->rings; r++) {
        size_t last = rings->ends[r] - 1;
        for (size_t i = poise_rings_start(rings, r); i < rings->ends[r]; last = i++)
            if (crosses(sheet, rings->points[last], rings->points[i], box))
                return true;
    }
    double middle[2] = {0.5 * (box[0] + box[2]), 0.5 * (box[1] + box[3])}, at[2];
    poise_sheet_from_px(sheet, middle, at);
    return poise_rings_winding(rings, at[0], at[1]) != 0;
}

static bool near_disc(const PoiseSheet *sheet, const double at[2], double radius_px,
                      const double box[4])
{
    double px[2];
    poise_sheet_to_px(sheet, at, px);
    double dx = fmax(fmax(box[0] - px[0], px[0] - box[2]), 0.0);
    double dy = fmax(fmax(box[1] - px[1], px[1] - box[3]), 0.0);
    return hypot(dx, dy) < radius_px;
}

static bool is_free(const PoiseScene *scene, bool with_masses, const PoiseRoomLines *lines,
                    const double box[4])
{
    const PoiseSheet *sheet = scene->sheet;
    double scale = fabs(poise_sheet_px_per_x(sheet)), at[2];
    for (size_t i = 0; i < scene->shapes.count; i++)
        if (covers(sheet, &scene->shapes.list[i].rings, box))
            return false;
    for (size_t i = 0; with_masses && i < scene->w->item_count; i++) {
        const PoiseBody *body = &scene->w->items[i].body;
        poise_scene_point(scene, body->centre_mm, at);
        if (near_disc(sheet, at, scale * POISE_CIRCLE_MM * sqrt(fmax(body->mass_g, 0.0)), box))
            return false;
    }
    const double *posts[2] = {scene->in->tail_mm, scene->in->horn_mm};
    for (int i = 0; scene->in->has_posts && i < 2; i++) {
        poise_scene_point(scene, posts[i], at);
        if (near_disc(sheet, at, POST_PX, box))
            return false;
    }
    for (size_t i = 0; i < lines->count; i++)
        if (crosses(sheet, lines->ends[i][0], lines->ends[i][1], box))
            return false;
    return true;
}

bool poise_room_find(const PoiseScene *scene, bool with_masses, const PoiseRoomLines *lines,
                     double width_px, double height_px, double px[2])
{
    const PoiseSheet *sheet = scene->sheet;
    bool left = sheet->lo[0] > sheet->hi[0];
    double half[2] = {0.5 * width_px + AROUND_PX, 0.5 * height_px + AROUND_PX};
    double side[2] = {sheet->left_px + half[0], POISE_SHEET_WIDTH_PX - sheet->right_px - half[0]};
    double foot = sheet->height_px - sheet->bottom_px - half[1], top = sheet->top_px + half[1];
    for (int other = 0; other < 2; other++)
        for (int step = 0; foot - STEP_PX * step >= top; step++) {
            double x = side[left == (other == 1)], y = foot - STEP_PX * step;
            const double box[4] = {x - half[0], y - half[1], x + half[0], y + half[1]};
            if (!is_free(scene, with_masses, lines, box))
                continue;
            px[0] = x;
            px[1] = y;
            return true;
        }
    px[0] = side[!left];
    px[1] = foot;
    return false;
}
