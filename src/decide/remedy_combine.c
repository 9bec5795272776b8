/* One change, the best of one kind, and the best combination of all kinds. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "decide/remedy_combine.h"
#include "output/words.h"

enum { FEW = 2, SOME = 3, ROUNDING_TRIES = 5 };

/* What a search may change, and in how many places. */
typedef struct Aim {
    unsigned classes;
    size_t most;
    PoiseRemedyKind kind;
    const char *name;
} Aim;

static const char *way_name(unsigned classes)
{
    switch (classes) {
    case POISE_CHOOSE_BALLAST:
        return "ballast";
    case POISE_CHOOSE_PRINT:
        return "infill and perimeters";
    case POISE_CHOOSE_SWAP:
        return "other parts";
    default:
        return "parts, infill and ballast";
    }
}

/* Solves, rounds to what people set, and where the rounding broke a goal asks for a little more. */
static PoiseStatus solve_rounded(const PoiseRemedyTask *t, const PoiseChoices *c, unsigned classes,
                                 size_t most, PoisePick *picks, bool *proved)
{
    static const double MORE = 1.1, A_LITTLE = 1e-3; /* times the excess, and g or g·mm on top */
    PoiseGoal goals[POISE_MOST_GOALS];
    memcpy(goals, t->goals, sizeof goals);
    for (int i = 0; i < ROUNDING_TRIES; i++) {
        PoiseStatus status =
            poise_choices_solve(c, goals, t->goal_count, classes, most, picks, proved);
        if (status)
            return status;
        poise_choices_round(c, t->goals, t->goal_count, picks);
        PoisePicked sum = poise_choices_sum(c, picks);
        bool good = true;
        for (size_t k = 0; k < t->goal_count; k++) {
            double excess = poise_goal_excess(&t->goals[k], sum.mass_g, sum.moment_gmm);
            if (poise_goal_met(&t->goals[k], excess, sum.mass_g))
                continue;
            goals[k].limit -= MORE * excess + A_LITTLE;
            good = false;
        }
        if (good)
            return POISE_OK;
    }
    return POISE_E_DOMAIN;
}

static bool proposed_before(const PoiseRemedyTask *t, const PoiseRemedy *r)
{
    for (size_t i = 0; i < t->out->count; i++)
        if (&t->out->list[i] != r && poise_json_equal(t->out->list[i].patch, r->patch))
            return true;
    return false;
}

static void title_of(PoiseRemedyTask *t, PoiseRemedy *r, unsigned classes, size_t most,
                     size_t changes)
{
    PoiseText title = {0};
    if (changes == 1)
        poise_text_append(&title, r->step_count ? r->steps[0] : "");
    else if (classes == POISE_CHOOSE_PRINT)
        poise_text_printf(&title, "infill and perimeters of %zu sections", changes);
    else if (classes == POISE_CHOOSE_SWAP)
        poise_text_printf(&title, "%zu other parts", changes);
    else if (classes == POISE_CHOOSE_BALLAST)
        poise_text_printf(&title, "ballast at %zu places", changes);
    else
        poise_text_printf(&title, "%zu changes together", changes);
    if (changes > 1)
        poise_text_append(&title, most > SOME ? ", the lightest way with any number of them"
                                              : ", the lightest way with so few");
    poise_task_title(t, r, &title);
}

/* `name` is NULL when there was no memory for it. */
static void propose(PoiseRemedyTask *t, const PoiseChoices *c, const PoisePick *picks, bool proved,
                    const Aim *aim, const char *name)
{
    PoisePicked sum = poise_choices_sum(c, picks);
    PoiseRemedy *r = poise_task_propose(t, aim->kind, sum.effort);
    if (!r)
        return;
    double price = sum.price, now = 0.0;
    for (size_t g = 0; g < c->group_count; g++) {
        now += c->list[c->groups[g].first].fixed_price;
        if (!c->list[picks[g].choice].unchanged)
            poise_choice_put(t, r, c, g, &picks[g]);
    }
    r->proved = proved;
    r->added_g = sum.mass_g - t->total.mass_g;
    r->price_change = price - now;
    title_of(t, r, aim->classes, aim->most, sum.changes);
    if (name)
        poise_task_name(t, r, "%s", name);
    else
        t->out->failed = true;
    if (t->out->failed || proposed_before(t, r)) {
        poise_remedy_clear(r);
        t->out->count--;
    }
}

static const Aim SWAP_ONE = {POISE_CHOOSE_SWAP, 1, POISE_REMEDY_SWAP, ""},
                 PRINT_ONE = {POISE_CHOOSE_PRINT, 1, POISE_REMEDY_PRINT, ""};

/* Every choice by itself. In a section the perimeters stay unless others save a weight that counts.
 */
static PoiseStatus single_changes(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    const double WORTH_G = 5.0;
    for (size_t g = 0; g < c->group_count; g++)
        /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference): the caller has one pick a group */
        picks[g] = (PoisePick){c->groups[g].first, 0.0};
    for (size_t g = 0; g < c->group_count; g++) {
        const PoiseChoiceGroup *group = &c->groups[g];
        const PoiseItem *item = &t->instrument->items[group->item];
        PoisePick best = {0};
        double least = INFINITY;
        if (group->kind == POISE_CHOOSE_BALLAST)
            continue; /* in closed form, with more to say: remedy_ballast.c */
        for (size_t i = group->first + 1; i < group->first + group->count; i++) {
            const PoiseChoice *o = &c->list[i];
            picks[g] = (PoisePick){i, 0.0};
            PoisePicked sum = poise_choices_sum(c, picks);
            PoiseAmount a = {.mass_g = sum.mass_g, .per_g = o->per_g};
            memcpy(a.moment_gmm, sum.moment_gmm, sizeof a.moment_gmm);
            memcpy(a.per_gmm, o->per_gmm, sizeof a.per_gmm);
            PoiseInterval range;
            if (!poise_amount_solve(t->goals, t->goal_count, &a, o->lo, o->hi, &range))
                continue;
            picks[g].x = range.lo;
            if (o->hi > o->lo)
                poise_choices_round(c, t->goals, t->goal_count, picks);
            sum = poise_choices_sum(c, picks);
            if (!poise_goals_met(t->goals, t->goal_count, sum.mass_g, sum.moment_gmm))
                continue;
            if (group->kind == POISE_CHOOSE_SWAP) {
                char *name = poise_format("%s for %s", o->part->id, item->id);
                propose(t, c, picks, true, &SWAP_ONE, name);
                poise_release(name);
                continue;
            }
            double mass =
                sum.mass_g - (o->perimeters == item->as.printed.perimeters ? WORTH_G : 0.0);
            if (mass < least) {
                least = mass;
                best = picks[g];
            }
        }
        if (isfinite(least)) {
            picks[g] = best;
            char *name = poise_format("infill of %s", item->id);
            propose(t, c, picks, true, &PRINT_ONE, name);
            poise_release(name);
        }
        picks[g] = (PoisePick){group->first, 0.0};
    }
    return t->out->failed ? POISE_E_MEMORY : POISE_OK;
}

static size_t groups_of(const PoiseChoices *c, unsigned classes)
{
    size_t n = 0;
    for (size_t g = 0; g < c->group_count; g++)
        n += (c->groups[g].kind & classes) != 0;
    return n;
}

/* "No infill alone does it: 62 g short at best." The other goals are kept where that is possible.
 */
static PoiseStatus say_short(PoiseRemedyTask *t, const PoiseChoices *c, unsigned classes,
                             PoisePick *picks)
{
    double by;
    bool proved;
    const PoiseGoal *target =
        poise_goals_worst(t->goals, t->goal_count, t->total.mass_g, t->total.moment_gmm, &by);
    if (!target)
        return POISE_OK;
    PoiseGoal others[POISE_MOST_GOALS];
    size_t n = 0;
    for (size_t i = 0; i < t->goal_count; i++)
        if (&t->goals[i] != target)
            others[n++] = t->goals[i];
    bool kept = true;
    PoiseStatus status = poise_choices_least(c, others, n, target, classes, picks, &proved);
    if (status == POISE_E_DOMAIN) {
        kept = false;
        status = poise_choices_least(c, NULL, 0, target, classes, picks, &proved);
    }
    if (status)
        return status == POISE_E_DOMAIN ? POISE_OK : status;
    PoisePicked sum = poise_choices_sum(c, picks);
    by =
        poise_goal_short(target, poise_goal_excess(target, sum.mass_g, sum.moment_gmm), sum.mass_g);
    PoiseText text = {0};
    const char *way = way_name(classes);
    const char *how = classes == POISE_CHOOSE_ALL ? " together" : " alone";
    bool one = classes == POISE_CHOOSE_BALLAST; /* the other names are plurals */
    if (by <= 0.0) {
        poise_text_printf(&text, "%c%s%s %s ", way[0] - 'a' + 'A', way + 1, how,
                          one ? "reaches" : "reach");
        poise_goal_say(&text, target);
        poise_text_append(&text, kept ? ", but not in whole grams and percent."
                                      : ", but only at the cost of another target.");
        by = (double)NAN;
    } else {
        poise_text_printf(&text, "%c%s%s %s not do it: at best ", way[0] - 'a' + 'A', way + 1, how,
                          one ? "does" : "do");
        poise_goal_say_short(&text, target, by);
        poise_text_append(&text, " (asked: ");
        poise_goal_say(&text, target);
        poise_text_append(&text, kept ? ")." : "), and another target is then missed.");
    }
    poise_task_short(t, way, &text, by, poise_goal_unit(target));
    return t->out->failed ? POISE_E_MEMORY : POISE_OK;
}

static PoiseStatus best_of(PoiseRemedyTask *t, const PoiseChoices *c, const Aim *aim,
                           PoisePick *picks)
{
    bool proved;
    PoiseStatus status = solve_rounded(t, c, aim->classes, aim->most, picks, &proved);
    if (status == POISE_E_DOMAIN)
        return aim->most <= SOME ? POISE_OK : say_short(t, c, aim->classes, picks);
    if (status)
        return status;
    if (poise_choices_sum(c, picks).changes > 1)
        propose(t, c, picks, proved, aim, aim->name);
    return t->out->failed ? POISE_E_MEMORY : POISE_OK;
}

static PoiseStatus search(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    static const Aim aims[] = {
        {POISE_CHOOSE_BALLAST, SIZE_MAX, POISE_REMEDY_BALLAST, "ballast"},
        {POISE_CHOOSE_PRINT, FEW, POISE_REMEDY_PRINT, "infill of two"},
        {POISE_CHOOSE_PRINT, SIZE_MAX, POISE_REMEDY_PRINT, "infill"},
        {POISE_CHOOSE_SWAP, FEW, POISE_REMEDY_SWAP, "two other parts"},
        {POISE_CHOOSE_SWAP, SIZE_MAX, POISE_REMEDY_SWAP, "other parts"},
        {POISE_CHOOSE_ALL, FEW, POISE_REMEDY_COMBINATION, "two changes"},
        {POISE_CHOOSE_ALL, SOME, POISE_REMEDY_COMBINATION, "three changes"},
        {POISE_CHOOSE_ALL, SIZE_MAX, POISE_REMEDY_COMBINATION, "all changes"},
    };
    PoiseStatus status = single_changes(t, c, picks);
    for (size_t i = 0; i < sizeof aims / sizeof *aims && !status; i++) {
        size_t groups = groups_of(c, aims[i].classes);
        /* One ballast place by itself has been told about. */
        if (groups == 0 || (groups == 1 && aims[i].classes == POISE_CHOOSE_BALLAST))
            continue;
        status = best_of(t, c, &aims[i], picks);
    }
    return status;
}

PoiseStatus poise_remedy_combine(PoiseRemedyTask *t, PoiseFaults *faults)
{
    PoiseChoices c = {0};
    PoiseStatus status = poise_choices_collect(t, &c, faults);
    PoisePick *picks = status ? NULL : poise_alloc_zero(c.group_count, sizeof *picks);
    if (!status && !picks)
        status = poise_fault_memory(faults);
    if (!status)
        status = search(t, &c, picks);
    if (!status && t->out->count == 0)
        status = poise_remedy_explain(t, &c, picks);
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    else if (status == POISE_E_INTERNAL)
        poise_fault_say(faults, status, t->instrument->file,
                        "the linear programme broke down; please report this file");
    poise_release(picks);
    poise_choices_clear(&c);
    return status;
}
