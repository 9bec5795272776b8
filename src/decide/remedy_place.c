/* Ballast at the best place inside the body's edge. */
#include "decide/remedy_place.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/vec.h"
#include "output/words.h"

static double tenth(double mm)
{
    return round(mm * 10.0) / 10.0;
}

cJSON *poise_point_json(const double r[3])
{
    double rounded[3] = {tenth(r[0]), tenth(r[1]), tenth(r[2])};
    return cJSON_CreateDoubleArray(rounded, 3);
}

void poise_point_say(PoiseText *text, const double r[3])
{
    static const char *const names[3] = {"x ", ", y ", ", z "};
    for (int i = 0; i < 3; i++) {
        poise_text_append(text, names[i]);
        poise_words_number(text, r[i], 0);
    }
}

PoiseStatus poise_task_outline(const PoiseRemedyTask *t, PoiseBodyOutline *outline,
                               PoiseFaults *faults)
{
    PoiseAxes axes = poise_frame_axes(&t->instrument->frame);
    const double *at =
        t->instrument->has_posts ? t->instrument->tail_mm : t->weighing->total.centre_mm;
    return poise_body_outline(t->instrument, t->weighing, poise_dot(axes.z, at),
                              POISE_REMEDY_EDGE_MM, outline, faults);
}

/* A point of the plane in whole millimetres of the file's coordinates. */
static void place_of(const PoiseAxes *axes, const double xy[2], double z, double at[3])
{
    for (int i = 0; i < 3; i++)
        at[i] = round(xy[0] * axes->x[i] + xy[1] * axes->y[i] + z * axes->z[i]);
}

static PoiseAmount at_place(const PoiseRemedyTask *t, const double at[3])
{
    PoiseAmount a = {.mass_g = t->total.mass_g, .per_g = 1.0};
    memcpy(a.moment_gmm, t->total.moment_gmm, sizeof a.moment_gmm);
    poise_task_per_gram(t, at, a.per_gmm);
    return a;
}

void poise_place_put(PoiseRemedyTask *t, PoiseRemedy *r, const double at[3], double grams)
{
    const cJSON *items = cJSON_GetObjectItemCaseSensitive(t->document->root, "items");
    char *id = poise_variant_free_name(items, "new-ballast");
    poise_task_patch(t, r, id ? id : "", "kind", NULL, cJSON_CreateString("mass"));
    poise_task_patch(t, r, id ? id : "", "mass", NULL, cJSON_CreateNumber(grams));
    poise_task_patch(t, r, id ? id : "", "at", NULL, poise_point_json(at));
    if (!id)
        t->out->failed = true;
    poise_release(id);
}

static void propose_place(PoiseRemedyTask *t, const double at[3], double grams)
{
    PoiseRemedy *r = poise_task_propose(t, POISE_REMEDY_PLACE, 3);
    if (!r)
        return;
    PoiseText title = {0}, step = {0};
    poise_words_mass(&title, grams);
    poise_text_append(&title, " of ballast at the best place inside the body, ");
    poise_point_say(&title, at);
    poise_text_append(&step, title.data ? title.data : "");
    poise_task_step(t, r, &step);
    poise_task_title(t, r, &title);
    poise_task_name(t, r, "%.0f g at the best place", grams);
    poise_place_put(t, r, at, grams);
    r->added_g = grams;
}

/* Nowhere inside is enough: say what the place with the least would take. */
static void place_is_short(PoiseRemedyTask *t, const double at[3])
{
    PoiseAmount a = at_place(t, at);
    PoiseText text = {0};
    poise_text_append(&text, "Ballast at the best place inside the body, ");
    poise_point_say(&text, at);
    poise_text_append(&text, ", alone does not do it: ");
    poise_ballast_say_short(t, "ballast inside the body", &text, &a, INFINITY);
}

/* The ballast needed, whole grams where the goals leave room for that; NAN when none does it. */
static double needed_at(const PoiseRemedyTask *t, const double at[3])
{
    PoiseInterval range;
    PoiseAmount a = at_place(t, at);
    if (!poise_amount_solve(t->goals, t->goal_count, &a, 0.0, INFINITY, &range))
        return (double)NAN;
    return poise_amount_least(range);
}

typedef struct Places {
    const PoiseRemedyTask *task;
    const PoiseBodyOutline *outline;
    PoiseAxes axes;
    double best[3], least_g;       /* meets the target; INFINITY: none does */
    double nearest[3], lightest_g; /* meets all but the mass; INFINITY: none does */
} Places;

/* Along a line of places the ballast needed, excess over arm, has no least but at an end: the best
 * place of a region is on its rim, and of an edge at one of its corners. */
static void search_places(Places *p)
{
    p->least_g = p->lightest_g = INFINITY;
    for (size_t i = 0; i < p->outline->inset.count; i++) {
        double at[3], heavy;
        place_of(&p->axes, p->outline->inset.points[i], p->outline->z_mm, at);
        double grams = needed_at(p->task, at);
        PoiseAmount a = at_place(p->task, at);
        double wanted = poise_ballast_wanted(p->task, &a, &heavy);
        if (grams > 0.0 && grams < p->least_g) {
            p->least_g = grams;
            memcpy(p->best, at, sizeof p->best);
        }
        if (wanted > 0.0 && wanted < p->lightest_g) {
            p->lightest_g = wanted;
            memcpy(p->nearest, at, sizeof p->nearest);
        }
    }
}

static bool is_same(const double a[3], const double b[3])
{
    return a[0] == b[0] && a[1] == b[1] && a[2] == b[2];
}

static void keep(PoiseRemedyTask *t, const double at[3])
{
    for (size_t i = 0; i < t->place_count; i++)
        if (is_same(t->places_mm[i], at))
            return;
    if (t->place_count < POISE_REMEDY_PLACES)
        memcpy(t->places_mm[t->place_count++], at, sizeof t->places_mm[0]);
}

/* The place furthest against a direction of the file: there a gram helps most. */
static void keep_furthest(PoiseRemedyTask *t, const Places *p, const double direction[3])
{
    double best[3] = {0.0}, least = INFINITY;
    for (size_t i = 0; i < p->outline->inset.count; i++) {
        double at[3];
        place_of(&p->axes, p->outline->inset.points[i], p->outline->z_mm, at);
        if (poise_dot(direction, at) < least) {
            least = poise_dot(direction, at);
            memcpy(best, at, sizeof best);
        }
    }
    keep(t, best);
}

/* For combinations: the best place by itself, those that help most with each target, and, at
 * several neck angles, those that help with two. */
static void keep_places(PoiseRemedyTask *t, const Places *p)
{
    if (isfinite(p->least_g))
        keep(t, p->best);
    if (isfinite(p->lightest_g))
        keep(t, p->nearest);
    t->place_alone_g = fmax(isfinite(p->least_g) ? p->least_g : 0.0,
                            isfinite(p->lightest_g) ? p->lightest_g : 0.0);
    for (size_t i = 0; i < t->goal_count; i++)
        if (t->goals[i].kind != POISE_GOAL_MASS)
            keep_furthest(t, p, t->goals[i].direction);
    for (size_t i = 0; i < t->goal_count; i++) {
        for (size_t k = i + 1; k < t->goal_count; k++) {
            const double *a = t->goals[i].direction, *b = t->goals[k].direction;
            double both[3] = {a[0] + b[0], a[1] + b[1], a[2] + b[2]};
            if (poise_dot(a, b) > 0.0)
                keep_furthest(t, p, both);
        }
    }
}

static void tell(PoiseRemedyTask *t, const Places *p)
{
    double over;
    PoiseText text = {0};
    if (poise_ballast_is_hopeless(t, &over)) {
        return; /* said already */
    } else if (isfinite(p->least_g)) {
        propose_place(t, p->best, p->least_g);
    } else if (isfinite(p->lightest_g)) {
        place_is_short(t, p->nearest);
    } else {
        poise_text_append(&text, "No amount of ballast at one place inside the body does it.");
        poise_task_short(t, "ballast inside the body", &text, (double)NAN, "g");
    }
}

PoiseStatus poise_remedy_place(PoiseRemedyTask *t, PoiseFaults *faults)
{
    PoiseBodyOutline outline;
    PoiseStatus status = poise_task_outline(t, &outline, faults);
    if (!status && outline.inset.count > 0) {
        Places p = {
            .task = t, .outline = &outline, .axes = poise_frame_axes(&t->instrument->frame)};
        search_places(&p);
        keep_places(t, &p);
        tell(t, &p);
    } else if (!status) {
        poise_task_note(t,
                        "The best place for ballast was not looked for: no printed section or "
                        "solid piece with an outline lies at the %s.",
                        t->instrument->has_posts ? "tail post's depth"
                                                 : "depth of the centre of mass");
    }
    poise_body_outline_clear(&outline);
    return !status && t->out->failed ? poise_fault_memory(faults) : status;
}
