/* What the picture of the ballast says. */
#include <math.h>
#include <string.h>

#include "output/words.h"
#include "plot/ballast_map.h"

/* The mass that is needed at a station, rounded up, for less would not do; but not past what may
 * stand there. */
static void say_needed(PoiseText *text, const PoiseBallastMap *map, double station_mm)
{
    const double kilograms_g = 999.5, grams = poise_need_at(&map->need, station_mm);
    double step = grams > kilograms_g ? 10.0 : 1.0, up = ceil(grams / step) * step;
    while (step > 1e-3 && up > poise_need_most(&map->need, station_mm)) {
        step *= 0.1;
        up = ceil(grams / step) * step;
    }
    if (step < 1.0 || (step < 10.0 && up > kilograms_g))
        poise_text_printf(text, "%.*f g", step < 1.0 ? (int)lround(-log10(step)) : 0, up);
    else
        poise_words_mass(text, up);
}

void poise_ballast_say_place(const PoiseBallastMap *map, size_t i, const double at[2],
                             PoiseText *text)
{
    enum { ID_COLUMNS = 22 };
    const PoiseItem *item = &map->scene->in->items[i];
    double grams = poise_need_at(&map->need, at[0]);
    poise_plot_shown(text, item->id, ID_COLUMNS);
    poise_text_append(text, ":\n");
    if (isinf(grams)) {
        poise_text_append(text,
                          poise_need_clashes(&map->need) ? "no amount will do, " : "no help, ");
    } else if (grams > 0.0) {
        poise_text_append(text, "needs ");
        say_needed(text, map, at[0]);
        poise_text_append(text, ", ");
    }
    poise_text_append(text, "room for ");
    poise_words_mass(text,
                     fmax(item->as.mass.ballast_max_g - map->scene->w->items[i].body.mass_g, 0.0));
}

static void say_aim(PoiseText *t, const PoiseBallastMap *map)
{
    bool load = isfinite(map->need.hand_load_g);
    /* A tail-heavy one has all of its margin: it is the hand, or holding, that asks for mass. */
    bool margin = isfinite(map->need.margin_mm) && (load || map->need.way > 0.0);
    if (margin && load) {
        poise_text_append(t, "for both balance targets");
    } else if (margin) {
        poise_text_printf(t, "for a margin of %.0f mm", map->need.margin_mm);
    } else if (load) {
        poise_text_append(t, "for a hand load of ");
        poise_words_mass(t, map->need.hand_load_g);
    } else {
        poise_text_append(t, "for it to hold");
    }
}

/* Nothing is needed for balance; but ballast cannot make it lighter. */
static void say_none_needed(PoiseText *t, const PoiseWeighing *w)
{
    poise_text_append(t, "No ballast needed for balance");
    for (size_t i = 0; i < w->target_count; i++) {
        const PoiseTargetResult *target = &w->targets[i];
        if (strcmp(target->key, "mass") != 0 || target->met || !target->known)
            continue;
        poise_text_append(t, ", but the target mass of ");
        poise_words_mass(t, target->limit);
        poise_text_append(t, " is missed");
        return;
    }
    poise_text_append(t, w->hanging.verdict == POISE_HOLDS ? ": it holds as it is"
                                                           : ": its target is met");
}

/* At the place that takes least, which there is, by what it takes and has room for. */
static void say_best(PoiseText *t, const PoiseBallastMap *map)
{
    enum { ID_COLUMNS = 20 };
    const char *id = map->scene->in->items[map->best].id;
    if (isinf(map->best_g)) {
        poise_text_append(t, "No amount at ");
        poise_plot_shown(t, id, ID_COLUMNS);
        poise_text_append(t, map->places > 1 ? " or the other places will do " : " will do ");
    } else if (map->best_g > map->best_room_g) {
        poise_plot_shown(t, id, ID_COLUMNS);
        poise_text_append(t, " has room for ");
        poise_words_mass(t, map->best_room_g);
        poise_text_append(t, " of the ");
        say_needed(t, map, map->best_mm);
        poise_text_append(t, " needed there");
        return;
    } else {
        say_needed(t, map, map->best_mm);
        poise_text_append(t, " at ");
        poise_plot_shown(t, id, ID_COLUMNS);
        poise_text_append(t, " is enough ");
    }
    say_aim(t, map);
}

/* Where least is needed. */
static void say_far_end(PoiseText *t, const PoiseBallastMap *map)
{
    double tail[2];
    poise_scene_point(map->scene, map->scene->in->tail_mm, tail);
    bool tail_post = map->is_band && map->far_mm == tail[0];
    poise_text_append(t, tail_post             ? " at the tail post "
                         : map->need.way > 0.0 ? " at the tail end "
                                               : " at the head end ");
}

static void say_title(PoiseText *t, const PoiseBallastMap *map)
{
    double least = poise_need_at(&map->need, map->far_mm);
    if (map->need.count == 0) {
        say_none_needed(t, map->scene->w);
        return;
    }
    if (map->best >= 0 && (isfinite(map->best_g) || isfinite(least))) {
        say_best(t, map);
        return;
    }
    if (isfinite(least)) {
        poise_text_append(t, "At least ");
        say_needed(t, map, map->far_mm);
        say_far_end(t, map);
    } else {
        poise_text_append(t, "No place where ballast would help ");
    }
    say_aim(t, map);
}

void poise_ballast_words(PoiseBallastMap *map)
{
    PoiseText title = {0}, subtitle = {0};
    say_title(&title, map);
    poise_plot_subtitle(&subtitle, map->scene->w, true);
    poise_text_append(&subtitle, ". At ");
    poise_words_number(&subtitle, map->scene->w->neck_angle_deg, 0);
    bool somewhere = map->need.count && isfinite(poise_need_at(&map->need, map->far_mm));
    if (somewhere && map->count == 0) {
        poise_text_append(&subtitle, "°, at least ");
        say_needed(&subtitle, map, map->far_mm);
        say_far_end(&subtitle, map);
        say_aim(&subtitle, map);
        poise_text_append(&subtitle, ".");
    } else if (somewhere) {
        poise_text_append(&subtitle, "°, grams to add at each place ");
        say_aim(&subtitle, map);
        poise_text_append(&subtitle, "; the darker, the fewer.");
    } else {
        poise_text_append(&subtitle, "°.");
    }
    if (map->is_band)
        poise_text_append(&subtitle, " No body in the file.");
    poise_plot_words(map->scene->sheet, &title, &subtitle,
                     "towards the head, mm from the tail post", "up, mm from the tail post");
}
