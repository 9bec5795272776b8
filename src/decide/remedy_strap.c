/* A longer or a shorter strap, or one with another grip: bracketed roots, since the window follows
 * neither in proportion. */
#include <math.h>

#include "base/memory.h"
#include "base/vec.h"
#include "decide/remedy_task.h"
#include "output/words.h"
#include "statics/root.h"

/* Steps of the search for a change of sign, and how near its root is found. */
static const double LENGTH_STEP_MM = 10.0, FRICTION_STEP = 0.01;
static const double LENGTH_TOLERANCE_MM = 0.01, FRICTION_TOLERANCE = 1e-5;

/* What is moved and how far the goals are missed there. */
typedef struct Search {
    const PoiseRemedyTask *task;
    double *value;               /* in `setting` */
    PoiseStanceSetting *setting; /* changed while searching */
} Search;

/* The worst shortfall, below 0 where all goals are met. A signed measure, so that it has a root. */
double poise_stance_miss(const PoiseRemedyTask *t, const PoiseStanceSetting *setting, double mass_g,
                         const double moment_gmm[3])
{
    PoiseGoal goals[POISE_MOST_GOALS];
    size_t n;
    if (!poise_task_goals(t, setting, goals, &n))
        return INFINITY;
    double worst = -INFINITY;
    for (size_t i = 0; i < n; i++)
        if (goals[i].kind != POISE_GOAL_MASS)
            worst = fmax(worst, poise_goal_excess(&goals[i], mass_g, moment_gmm));
    return worst;
}

static double miss_at(double x, const void *context)
{
    const Search *s = context;
    *s->value = x;
    return poise_stance_miss(s->task, s->setting, s->task->total.mass_g, s->task->total.moment_gmm);
}

static double short_at(const Search *s, double x, PoiseGoal *worst, double *short_by)
{
    *s->value = x;
    return poise_stance_short(s->task, s->setting, s->task->total.mass_g, s->task->total.moment_gmm,
                              worst, short_by);
}

/* The first value from `from` towards `to` that meets the goals; NAN when none does, and then
 * *best the one that is short by least, as it is told. */
static double first_good(const Search *s, double from, double to, double step, double tolerance,
                         double *best)
{
    PoiseGoal worst;
    double by, x = from, f = miss_at(x, s), now = short_at(s, x, &worst, &by), least = now;
    *best = from;
    int steps = (int)ceil(fabs(to - from) / step);
    for (int i = 1; i <= steps; i++) {
        double y = from + (to - from) * i / steps, g = miss_at(y, s);
        if (g <= 0.0 && isfinite(f))
            return y > x ? poise_root(miss_at, s, x, f, y, g, tolerance)
                         : poise_root(miss_at, s, y, g, x, f, tolerance);
        double grams = short_at(s, y, &worst, &by);
        if (grams < least) {
            least = grams;
            *best = y;
        }
        x = y;
        f = g;
    }
    if (least > now - POISE_REMEDY_SHOWS_G)
        *best = from;
    return (double)NAN;
}

static bool mass_is_met(const PoiseRemedyTask *t)
{
    return isnan(t->out->target_mass_g) || t->total.mass_g <= t->out->target_mass_g;
}

static void say_short(PoiseRemedyTask *t, const char *way, const char *what, Search *s, double best)
{
    PoiseGoal worst;
    double by;
    if (!(short_at(s, best, &worst, &by) > 0.0))
        return;
    PoiseText text = {0};
    poise_text_append(&text, what);
    poise_goal_say_short(&text, &worst, by);
    poise_text_append(&text, ".");
    poise_task_short(t, way, &text, by, poise_goal_unit(&worst));
}

static void propose_strap(PoiseRemedyTask *t, const char *key, double value, double u,
                          PoiseText *title, const char *name)
{
    PoiseRemedy *r = poise_task_propose(t, POISE_REMEDY_STRAP, 1);
    if (!r) {
        poise_text_clear(title);
        return;
    }
    char number[32], doubt[32];
    PoiseText step = {0};
    poise_text_append(&step, title->data ? title->data : "");
    poise_task_step(t, r, &step);
    poise_task_title(t, r, title);
    poise_task_name(t, r, "%s", name);
    poise_double_text(value, number);
    poise_double_text(u, doubt);
    char *pointer = poise_format("/strap/%s", key);
    const char *unit = *key == 'l' ? " mm" : "";
    char *text = u > 0.0 ? poise_format("%s%s ± %s%s", number, unit, doubt, unit) : NULL;
    if (u > 0.0 && !text)
        t->out->failed = true;
    poise_task_patch_at(t, r, pointer, text ? cJSON_CreateString(text) : cJSON_CreateNumber(value));
    poise_release(pointer);
    poise_release(text);
}

/* The shortest strap that is tried: whole mm, and no longer than the one there is. */
static double shortest(const PoiseStanceSetting *s)
{
    double between[3];
    for (int i = 0; i < 3; i++)
        between[i] = s->horn_mm[i] - s->tail_mm[i];
    double least =
        fmax(POISE_REMEDY_STRAP_SHORTEST_MM, POISE_REMEDY_STRAP_SHORTEST * poise_length(between));
    return fmin(ceil(least), s->strap_mm);
}

static void propose_length(PoiseRemedyTask *t, double now, double found)
{
    bool longer = found > now;
    found = longer ? ceil(found + LENGTH_TOLERANCE_MM) : floor(found - LENGTH_TOLERANCE_MM);
    PoiseText title = {0};
    poise_text_printf(&title, "a strap %.0f mm %s: %.0f mm instead of %.0f mm", fabs(found - now),
                      longer ? "longer" : "shorter", found, now);
    propose_strap(t, "length", found, t->instrument->strap_mm.u, &title,
                  longer ? "longer strap" : "shorter strap");
}

/* No length does it: what the best of those tried leaves. */
static void say_no_length(PoiseRemedyTask *t, Search *s, double now, const double ends[2],
                          const double bests[2])
{
    PoiseGoal worst;
    double by, best = short_at(s, bests[0], &worst, &by) < short_at(s, bests[1], &worst, &by)
                          ? bests[0]
                          : bests[1];
    char *what = fabs(best - now) > LENGTH_STEP_MM / 2
                     ? poise_format("Another strap length alone does not do it: of %.0f to %.0f mm "
                                    "%.0f mm instead of %.0f mm does best and leaves it ",
                                    ends[0], ends[1], best, now)
                     : poise_format("Another strap length does not help: of %.0f to %.0f mm the "
                                    "present %.0f mm does best and leaves it ",
                                    ends[0], ends[1], now);
    if (what)
        say_short(t, "strap length", what, s, best);
    else
        t->out->failed = true;
    poise_release(what);
}

static void other_length(PoiseRemedyTask *t)
{
    PoiseStanceSetting setting = t->linear->stance;
    Search s = {t, &setting.strap_mm, &setting};
    double now = setting.strap_mm, bests[2];
    const double ends[2] = {shortest(&setting), now * POISE_REMEDY_STRAP_LONGEST};
    bool any = false;
    for (int i = 0; i < 2; i++) {
        double found = first_good(&s, now, ends[i], LENGTH_STEP_MM, LENGTH_TOLERANCE_MM, &bests[i]);
        if (isnan(found))
            continue;
        any = true;
        propose_length(t, now, found);
    }
    if (!any)
        say_no_length(t, &s, now, ends, bests);
}

static void other_friction(PoiseRemedyTask *t)
{
    PoiseStanceSetting setting = t->linear->stance;
    Search s = {t, &setting.friction, &setting};
    double now = setting.friction, most = fmax(now, POISE_REMEDY_FRICTION_MOST), best;
    double found = first_good(&s, now, most, FRICTION_STEP, FRICTION_TOLERANCE, &best);
    if (isnan(found)) {
        char *what =
            !(best > now) ? poise_format("A strap that grips better does not help: with the "
                                         "friction of %.2f it is ",
                                         now)
            : best > most - FRICTION_STEP
                ? poise_format("A strap that grips better does not do it alone: even with a "
                               "friction of %.2f (suede on cotton) it is ",
                               best)
                : poise_format("A strap that grips better does not do it: at best, with a friction "
                               "of %.2f, it is ",
                               best);
        if (what)
            say_short(t, "strap friction", what, &s, best);
        else
            t->out->failed = true;
        poise_release(what);
        return;
    }
    found = ceil((found + FRICTION_TOLERANCE) * 100.0) / 100.0;
    PoiseText title = {0};
    poise_text_printf(&title,
                      "a strap that grips better: friction %.2f instead of %.2f (webbing on a "
                      "smooth shirt 0.2, suede on cotton 0.6)",
                      found, now);
    propose_strap(t, "friction", found, t->instrument->friction.u, &title, "grippier strap");
}

PoiseStatus poise_remedy_strap(PoiseRemedyTask *t, PoiseFaults *faults)
{
    (void)faults;
    if (!t->strap || !mass_is_met(t))
        return POISE_OK; /* no strap makes it lighter */
    other_length(t);
    other_friction(t);
    return POISE_OK;
}
