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

static size_t groups_of(const PoiseChoices *c, unsigned classes)
{
    size_t n = 0;
    for (size_t g = 0; g < c->group_count; g++)
        n += (c->groups[g].kind & classes) != 0;
    return n;
}

/* Solves, rounds to what people set, and where the rounding broke a goal asks for a little more.
 * *above_g: by how much more than the least with any amounts that is; what can be set is no lighter
 * than that. */
static PoiseStatus solve_rounded(const PoiseRemedyTask *t, const PoiseChoices *c, unsigned classes,
                                 size_t most, PoisePick *picks, bool *proved, double *above_g)
{
    static const double MORE = 1.1, A_LITTLE = 1e-3; /* times the excess, and g or g·mm on top */
    PoiseGoal goals[POISE_MOST_GOALS];
    double least = 0.0;
    memcpy(goals, t->goals, sizeof goals);
    for (int i = 0; i < ROUNDING_TRIES; i++) {
        PoiseStatus status =
            poise_choices_solve(c, goals, t->goal_count, classes, most, picks, proved);
        if (status)
            return status;
        if (i == 0)
            least = poise_choices_sum(c, picks).mass_g - POISE_CHOICE_MASS_G;
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
        if (!good)
            continue;
        poise_choices_polish(c, t->goals, t->goal_count, classes, most, picks);
        *above_g = poise_choices_sum(c, picks).mass_g - least;
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

/* One change of `classes`, or a combination of them. */
static bool within(PoiseRemedyKind kind, unsigned classes)
{
    switch (kind) {
    case POISE_REMEDY_BALLAST:
    case POISE_REMEDY_REMOVE:
        return (classes & POISE_CHOOSE_BALLAST) != 0;
    case POISE_REMEDY_PLACE:
        return (classes & POISE_CHOOSE_PLACE) != 0;
    case POISE_REMEDY_SWAP:
        return (classes & POISE_CHOOSE_SWAP) != 0;
    case POISE_REMEDY_PRINT:
        return (classes & POISE_CHOOSE_PRINT) != 0;
    case POISE_REMEDY_COMBINATION: /* those with a new place come last */
        return (classes & POISE_CHOOSE_FILE) == POISE_CHOOSE_FILE;
    default:
        return false;
    }
}

/* Masses that differ by less are as light as each other. */
static const double ALIKE_G = 2.0 * POISE_CHOICE_MASS_G;

/* Rounding to what people set may leave the lightest way heavier than another one: then it is not
 * what it would be called. */
static bool beaten(const PoiseRemedyTask *t, const PoiseRemedy *r, const Aim *aim)
{
    for (size_t i = 0; i < t->out->count; i++) {
        const PoiseRemedy *other = &t->out->list[i];
        if (other != r && within(other->kind, aim->classes) && other->step_count <= aim->most &&
            other->added_g < r->added_g - ALIKE_G)
            return true;
    }
    return false;
}

static void title_of(PoiseRemedyTask *t, const PoiseChoices *c, PoiseRemedy *r, const Aim *aim,
                     size_t changes, double above_g)
{
    unsigned classes = aim->classes;
    bool any = aim->most > SOME;
    PoiseText title = {0};
    if (changes == 1)
        poise_text_append(&title, r->step_count ? r->steps[0] : "");
    else if (classes == POISE_CHOOSE_PRINT)
        poise_text_printf(&title, "infill and perimeters of %zu sections", changes);
    else if (classes == POISE_CHOOSE_SWAP)
        poise_text_printf(&title, "%zu other parts", changes);
    else if (classes == POISE_CHOOSE_BALLAST)
        poise_text_printf(&title, "ballast at %zu of the file's places", changes);
    else
        poise_text_printf(&title, "%zu changes of parts, infill and ballast", changes);
    if (changes > 1) {
        poise_text_append(&title, ", the lightest way");
        if (r->proved && above_g > ALIKE_G)
            poise_text_printf(&title, " (to within %.0f g)", ceil(above_g));
        poise_text_append(&title, any ? " with any number of them" : " with so few");
    }
    if (changes > 1 && classes == POISE_CHOOSE_FILE && groups_of(c, POISE_CHOOSE_PLACE))
        poise_text_append(&title, " and no new place for ballast");
    poise_task_title(t, r, &title);
}

/* above_g: as of solve_rounded(). `name` is NULL when there was no memory for it. */
static void propose(PoiseRemedyTask *t, const PoiseChoices *c, const PoisePick *picks, bool proved,
                    double above_g, const Aim *aim, const char *name)
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
    title_of(t, c, r, aim, sum.changes, above_g);
    if (name)
        poise_task_name(t, r, "%s", name);
    else
        t->out->failed = true;
    if (t->out->failed || proposed_before(t, r) || (sum.changes > 1 && beaten(t, r, aim))) {
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
        PoisePick best = {0};
        double least = INFINITY;
        if (group->kind == POISE_CHOOSE_BALLAST || group->kind == POISE_CHOOSE_PLACE)
            continue; /* in closed form, with more to say: remedy_ballast.c, remedy_place.c */
        const PoiseItem *item = &t->instrument->items[group->item];
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
                propose(t, c, picks, true, 0.0, &SWAP_ONE, name);
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
            propose(t, c, picks, true, 0.0, &PRINT_ONE, name);
            poise_release(name);
        }
        picks[g] = (PoisePick){group->first, 0.0};
    }
    return t->out->failed ? POISE_E_MEMORY : POISE_OK;
}

/* *found: there is a way, listed or not. */
static PoiseStatus best_of(PoiseRemedyTask *t, const PoiseChoices *c, const Aim *aim,
                           PoisePick *picks, bool *found)
{
    bool proved;
    double above = 0.0;
    PoiseStatus status = solve_rounded(t, c, aim->classes, aim->most, picks, &proved, &above);
    *found = !status;
    if (status)
        return status == POISE_E_DOMAIN ? POISE_OK : status;
    if (poise_choices_sum(c, picks).changes > 1)
        propose(t, c, picks, proved, above, aim, aim->name);
    return t->out->failed ? POISE_E_MEMORY : POISE_OK;
}

/* Few of one kind, then any number of them; what any number does not do is told. */
static PoiseStatus search_kind(PoiseRemedyTask *t, const PoiseChoices *c, const Aim *aims, size_t n,
                               PoisePick *picks, bool *found)
{
    PoiseStatus status = POISE_OK;
    *found = false;
    for (size_t i = 0; i < n && !status; i++)
        status = best_of(t, c, &aims[i], picks, found);
    return status;
}

static PoiseStatus search_kinds(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    static const Aim ballast[] = {
        {POISE_CHOOSE_BALLAST, SIZE_MAX, POISE_REMEDY_BALLAST, "ballast"}};
    static const Aim print[] = {{POISE_CHOOSE_PRINT, FEW, POISE_REMEDY_PRINT, "infill of two"},
                                {POISE_CHOOSE_PRINT, SIZE_MAX, POISE_REMEDY_PRINT, "infill"}};
    static const Aim swap[] = {{POISE_CHOOSE_SWAP, FEW, POISE_REMEDY_SWAP, "two other parts"},
                               {POISE_CHOOSE_SWAP, SIZE_MAX, POISE_REMEDY_SWAP, "other parts"}};
    static const struct {
        const Aim *aims;
        size_t count;
    } kinds[] = {{ballast, 1}, {print, 2}, {swap, 2}};
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds && !status; i++) {
        bool found;
        unsigned classes = kinds[i].aims->classes;
        size_t groups = groups_of(c, classes);
        /* One ballast place by itself has been told about. */
        if (groups == 0 || (groups == 1 && classes == POISE_CHOOSE_BALLAST))
            continue;
        status = search_kind(t, c, kinds[i].aims, kinds[i].count, picks, &found);
        if (!status && !found)
            status = poise_remedy_say_short(t, c, classes, picks);
    }
    return status;
}

/* All kinds together: without a new place for ballast, then with one. */
static PoiseStatus search_all(PoiseRemedyTask *t, const PoiseChoices *c, PoisePick *picks)
{
    static const Aim file[] = {
        {POISE_CHOOSE_FILE, FEW, POISE_REMEDY_COMBINATION, "two changes"},
        {POISE_CHOOSE_FILE, SOME, POISE_REMEDY_COMBINATION, "three changes"},
        {POISE_CHOOSE_FILE, SIZE_MAX, POISE_REMEDY_COMBINATION, "all changes"}};
    static const Aim all[] = {
        {POISE_CHOOSE_ALL, FEW, POISE_REMEDY_COMBINATION, "two changes with a new place"},
        {POISE_CHOOSE_ALL, SOME, POISE_REMEDY_COMBINATION, "three changes with a new place"},
        {POISE_CHOOSE_ALL, SIZE_MAX, POISE_REMEDY_COMBINATION, "all changes with a new place"}};
    bool within_file, found;
    if (groups_of(c, POISE_CHOOSE_FILE) == 0)
        return POISE_OK;
    PoiseStatus status = search_kind(t, c, file, sizeof file / sizeof *file, picks, &within_file);
    found = within_file;
    if (!status && groups_of(c, POISE_CHOOSE_PLACE))
        status = search_kind(t, c, all, sizeof all / sizeof *all, picks, &found);
    if (!status && !found)
        return poise_remedy_say_short(t, c, POISE_CHOOSE_ALL, picks);
    if (!status && !within_file)
        return poise_remedy_say_short(t, c, POISE_CHOOSE_FILE, picks);
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
        status = single_changes(t, &c, picks);
    if (!status)
        status = search_kinds(t, &c, picks);
    if (!status)
        status = search_all(t, &c, picks);
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
