/* Grams of ballast needed at each place of the instrument as it hangs. */
#include <math.h>

#include "base/faults.h"
#include "geometry/silhouette.h"
#include "plot/ballast_map.h"

/* Nearest that two contours may stand, px, so that their names fit over them. */
static const double CONTOUR_GAP_PX = 58.0;
static const double HATCH_MM = 14.0;

enum { SHADES = 6 };

/* The grams drawn: round numbers whose contours cross the instrument far enough apart. */
static void find_contours(PoiseBallastMap *map)
{
    static const double round_grams[POISE_MOST_CONTOURS] = {
        1,   2,   5,   10,  15,  20,  30,  40,   50,   60,   80,   100,  120,  150,
        200, 250, 300, 400, 500, 600, 800, 1000, 1200, 1500, 2000, 3000, 4000, 5000};
    double way = map->need.way,
           gap = CONTOUR_GAP_PX / fabs(poise_sheet_px_per_x(map->scene->sheet));
    double last = map->far_mm, limit = poise_need_limit(&map->need);
    for (size_t i = 0; i < POISE_MOST_CONTOURS; i++) {
        double at = poise_need_station(&map->need, round_grams[i]);
        bool beyond = way * (at - map->far_mm) < 0.15 * gap;
        bool crowded = map->count > 0 && way * (at - last) < gap;
        bool at_limit = way * (limit - at) < 0.6 * gap;
        if (beyond || crowded || at_limit)
            continue;
        map->grams[map->count] = round_grams[i];
        map->at_mm[map->count++] = at;
        last = at;
    }
}

static void find_best(PoiseBallastMap *map)
{
    const PoiseInstrument *in = map->scene->in;
    map->best = -1;
    map->best_g = INFINITY;
    bool best_fits = false;
    for (size_t i = 0; i < in->item_count; i++) {
        const PoiseMass *mass = &in->items[i].as.mass;
        double at[2];
        if (in->items[i].kind != POISE_ITEM_MASS || !mass->ballast)
            continue;
        poise_scene_point(map->scene, map->scene->w->items[i].body.centre_mm, at);
        double grams = poise_need_at(&map->need, at[0]);
        double room = fmax(mass->ballast_max_g - map->scene->w->items[i].body.mass_g, 0.0);
        bool fits = grams <= room;
        map->places++;
        if (map->best >= 0 && (fits < best_fits || (fits == best_fits && grams >= map->best_g)))
            continue;
        map->best = (long)i;
        map->best_mm = at[0];
        map->best_g = grams;
        map->best_room_g = room;
        best_fits = fits;
    }
}

static void write_strip(PoiseBallastMap *map, double from, double to)
{
    PoiseRings strip = {0};
    poise_rings_between(&map->body, fmin(from, to), fmax(from, to), &strip);
    poise_sheet_fill(map->scene->sheet, &strip);
    map->scene->sheet->data.failed = map->scene->sheet->data.failed || strip.failed;
    poise_rings_release(&strip);
}

/* Strip k lies outside contour k; the last one reaches to where no mass helps. */
static void write_shades(PoiseBallastMap *map)
{
    static const char *const blocks[SHADES] = {"shade-1", "shade-2", "shade-3",
                                               "shade-4", "shade-5", "shade-6"};
    PoiseSheet *sheet = map->scene->sheet;
    double limit = poise_need_limit(&map->need), way = map->need.way;
    double end = way * (limit - map->far_mm) > 0.0 ? limit : map->far_mm;
    for (size_t shade = 0; shade < SHADES; shade++) {
        poise_sheet_block(sheet, blocks[shade], "x, y; places that need alike");
        if (map->need.count == 0 && shade == SHADES - 2)
            poise_sheet_fill(sheet, &map->body);
        for (size_t k = 0; map->need.count && k <= map->count; k++) {
            size_t own = k * SHADES / (map->count + 1);
            if (own == shade)
                write_strip(map, k ? map->at_mm[k - 1] : map->far_mm,
                            k < map->count ? map->at_mm[k] : end);
        }
        poise_sheet_end(sheet, 2);
    }
}

/* No label may lie on them. */
static void write_segments(PoiseScene *scene, const PoiseRings *segments)
{
    PoiseSheet *sheet = scene->sheet;
    for (size_t i = 0; i + 1 < segments->count; i += 2) {
        for (size_t end = i; end <= i + 1; end++) {
            poise_sheet_numbers(sheet, segments->points[end], 2);
            poise_sheet_row(sheet);
        }
        poise_notes_keep_off_line(scene->notes, sheet, segments->points[i],
                                  segments->points[i + 1]);
        poise_sheet_break(sheet);
    }
    sheet->data.failed = sheet->data.failed || segments->failed;
}

/* The highest that the outline gets under a contour's name. */
static double height_over(const PoiseBallastMap *map, double at_mm, const PoiseRings *line)
{
    const double half_name_px = 24.0;
    double reach = half_name_px / fabs(poise_sheet_px_per_x(map->scene->sheet)), top = -INFINITY;
    for (size_t i = 0; i < line->count; i++)
        top = fmax(top, line->points[i][1]);
    for (size_t i = 0; i < map->body.count; i++)
        if (fabs(map->body.points[i][0] - at_mm) < reach)
            top = fmax(top, map->body.points[i][1]);
    return top;
}

static void write_contours(PoiseBallastMap *map)
{
    PoiseSheet *sheet = map->scene->sheet;
    poise_sheet_block(sheet, "contours", "x, y; lines of equal need");
    for (size_t k = 0; k < map->count; k++) {
        PoiseRings line = {0};
        poise_rings_upright(&map->body, map->at_mm[k], &line);
        write_segments(map->scene, &line);
        double top[2] = {map->at_mm[k], height_over(map, map->at_mm[k], &line)};
        poise_notes_say(map->scene->notes, sheet, POISE_NOTE_NAME, top, 0.0, -14.0, false, "%.0f g",
                        map->grams[k]);
        poise_rings_release(&line);
    }
    poise_sheet_end(sheet, 2);
}

static void write_no_help(PoiseBallastMap *map)
{
    PoiseSheet *sheet = map->scene->sheet;
    double lo[2], hi[2], limit = poise_need_limit(&map->need);
    PoiseRings rest = {0}, lines = {0};
    poise_sheet_block(sheet, "hatch", "x, y; lines over what no ballast can help");
    if (map->need.count && poise_rings_box(&map->body, lo, hi)) {
        if (map->need.way > 0.0)
            poise_rings_between(&map->body, fmax(limit, lo[0] - 1.0), fmax(limit, hi[0]), &rest);
        else
            poise_rings_between(&map->body, fmin(limit, lo[0]), fmin(limit, hi[0] + 1.0), &rest);
        poise_rings_hatch(&rest, 45.0, HATCH_MM, &lines);
        write_segments(map->scene, &lines);
        if (lines.count > 1) {
            const double(*ends)[2] = (const double(*)[2]) & lines.points[lines.count / 4 * 2];
            double at[2] = {0.5 * (ends[0][0] + ends[1][0]), 0.5 * (ends[0][1] + ends[1][1])};
            double side = map->scene->in->frame.left ? -60.0 : 60.0;
            poise_notes_add(map->scene->notes, sheet, POISE_NOTE_NAME, at, side, 90.0, true,
                            poise_need_clashes(&map->need)
                                ? "no amount here will do:\ntoo little, or already too much"
                                : "no help here: mass added here\nmakes it worse, or does nothing");
        }
    }
    poise_sheet_end(sheet, 2);
    sheet->data.failed = sheet->data.failed || rest.failed;
    poise_rings_release(&rest);
    poise_rings_release(&lines);
}

static void write_places(PoiseBallastMap *map)
{
    const PoiseScene *scene = map->scene;
    PoiseSheet *sheet = scene->sheet;
    for (int best = 0; best < 2; best++) {
        poise_sheet_block(sheet, best ? "best" : "places", "x, y: places for ballast");
        for (size_t i = 0; i < scene->in->item_count; i++) {
            const PoiseItem *item = &scene->in->items[i];
            if (item->kind != POISE_ITEM_MASS || !item->as.mass.ballast ||
                (best && map->best != (long)i))
                continue;
            double at[2];
            poise_scene_point(scene, scene->w->items[i].body.centre_mm, at);
            poise_sheet_numbers(sheet, at, 2);
            poise_sheet_row(sheet);
            if (best)
                continue;
            PoiseText text = {0};
            poise_ballast_say_place(map, i, at, &text);
            if (!text.failed)
                poise_notes_add(scene->notes, sheet, POISE_NOTE_ACCENT, at, 0.0, 110.0, true,
                                text.data);
            sheet->data.failed = sheet->data.failed || text.failed;
            poise_text_clear(&text);
            poise_notes_keep_off(scene->notes, sheet, at, 12.0, 12.0);
        }
        poise_sheet_end(sheet, 2);
    }
}

static void say_margin(PoiseBallastMap *map, const double at[2], double side)
{
    const PoiseHanging *h = &map->scene->w->hanging;
    PoiseText text = {0};
    poise_text_append(&text, "centre of mass");
    if (h->verdict == POISE_HOLDS)
        poise_text_printf(&text, ",\n%.0f mm from where the neck would dive", h->margin_mm);
    if (!text.failed)
        poise_notes_beside(map->scene->notes, map->scene->sheet, POISE_NOTE_NAME, at, side, 60.0,
                           140.0, true, text.data);
    map->scene->notes->failed = map->scene->notes->failed || text.failed;
    poise_text_clear(&text);
}

static void write_centre(PoiseBallastMap *map)
{
    double at[2], side = map->scene->in->frame.left ? -1.0 : 1.0;
    PoiseSheet *sheet = map->scene->sheet;
    poise_scene_point(map->scene, map->scene->w->total.centre_mm, at);
    poise_sheet_block(sheet, "centre", "x, y: the centre of mass");
    poise_sheet_numbers(sheet, at, 2);
    poise_sheet_row(sheet);
    poise_sheet_end(sheet, 2);
    poise_notes_keep_off(map->scene->notes, sheet, at, 10.0, 10.0);
    if (map->need.count)
        poise_notes_add(map->scene->notes, sheet, POISE_NOTE_NAME, at, side * 110.0, 130.0, true,
                        "centre of mass");
    else
        say_margin(map, at, side);
}

/* Without a body the need at each station is known all the same: a band from the tailmost to the
 * headmost thing that there is. */
static void take_band(PoiseBallastMap *map)
{
    const double half_mm = 30.0;
    PoiseScene *scene = map->scene;
    double lo = INFINITY, hi = -INFINITY, at[2];
    const double *posts[2] = {scene->in->tail_mm, scene->in->horn_mm};
    for (size_t i = 0; i < scene->w->item_count + 2; i++) {
        poise_scene_point(scene, i < 2 ? posts[i] : scene->w->items[i - 2].body.centre_mm, at);
        lo = fmin(lo, at[0]);
        hi = fmax(hi, at[0]);
    }
    poise_scene_point(scene, scene->w->total.centre_mm, at);
    const double corners[4][2] = {
        {lo, at[1] - half_mm}, {hi, at[1] - half_mm}, {hi, at[1] + half_mm}, {lo, at[1] + half_mm}};
    for (int i = 0; i < 4; i++)
        poise_rings_add(&map->body, corners[i][0], corners[i][1]);
    poise_rings_close(&map->body);
    poise_scene_show(scene, corners[0], 0.0);
    poise_scene_show(scene, corners[2], 0.0);
    map->is_band = true;
}

/* The whole instrument as one region, and the page around it and the places for ballast. */
static PoiseStatus take_body(PoiseBallastMap *map)
{
    PoiseScene *scene = map->scene;
    PoiseStatus status = poise_plot_shapes_union(&scene->shapes, &map->body);
    if (status)
        return status;
    if (map->body.rings == 0)
        take_band(map);
    if (map->body.failed)
        return POISE_E_MEMORY;
    for (size_t i = 0; i < scene->in->item_count; i++) {
        const PoiseItem *item = &scene->in->items[i];
        double at[2];
        if (item->kind != POISE_ITEM_MASS || !item->as.mass.ballast)
            continue;
        poise_scene_point(scene, scene->w->items[i].body.centre_mm, at);
        poise_scene_show(scene, at, 0.0);
    }
    scene->min[0] -= 20.0;
    scene->max[0] += 20.0;
    scene->min[1] -= 70.0;
    scene->max[1] += 45.0;
    poise_sheet_fit(scene->sheet, scene->min, scene->max, 480.0, 790.0, scene->in->frame.left);
    return POISE_OK;
}

static PoiseStatus fill_map(PoiseBallastMap *map)
{
    double lo[2], hi[2];
    PoiseStatus status = take_body(map);
    if (status)
        return status;
    poise_notes_keep_off_rings(map->scene->notes, map->scene->sheet, &map->body);
    map->need = poise_need_find(map->scene->in, map->scene->w);
    if (poise_rings_box(&map->body, lo, hi))
        map->far_mm = map->need.way > 0.0 ? lo[0] : hi[0];
    if (map->need.count)
        find_contours(map);
    find_best(map);
    poise_ballast_words(map);
    poise_sheet_block(map->scene->sheet, "outline", "x, y; the whole instrument");
    poise_sheet_fill(map->scene->sheet, &map->body);
    poise_sheet_end(map->scene->sheet, 2);
    poise_sheet_block(map->scene->sheet, "edge-whole", "x, y; its outline");
    poise_sheet_rings(map->scene->sheet, &map->body);
    poise_sheet_end(map->scene->sheet, 2);
    write_shades(map);
    write_contours(map);
    write_no_help(map);
    write_places(map);
    write_centre(map);
    return POISE_OK;
}

PoiseStatus poise_view_ballast(const PoiseInstrument *in, const PoiseWeighing *w,
                               const PoisePlotOptions *options, PoiseSheet *sheet,
                               PoiseNotes *notes, PoiseFaults *faults)
{
    if (!w->has_strap || !w->hanging.has_verdict)
        return poise_fault_add(
            faults, &(PoiseFault){.status = POISE_E_USAGE,
                                  .file = in->file,
                                  .found = "no holding window to bring the centre of mass into",
                                  .expected = "\"posts\" and \"strap\" in the file, and a neck "
                                              "angle at which the strap can hold"});
    PoiseScene scene = {.sheet = sheet, .notes = notes, .options = options};
    PoiseStatus status = poise_scene_make(&scene, in, w, true, faults);
    if (status)
        return status;
    PoiseBallastMap map = {.scene = &scene};
    status = fill_map(&map);
    poise_scene_posts(&scene);
    poise_notes_write(notes, sheet);
    poise_rings_release(&map.body);
    poise_scene_clear(&scene);
    if (status == POISE_E_MEMORY)
        return poise_fault_memory(faults);
    return status ? poise_fault_say(faults, status, in->file, "cannot unite the outlines")
                  : POISE_OK;
}
