#include "decide/remedy_choice.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "bodies/printed_fill.h"

bool poise_choices_group(PoiseChoices *c, size_t item, PoiseChoiceClass kind)
{
    PoiseChoiceGroup *groups = poise_resize(c->groups, c->group_count + 1, sizeof *groups);
    if (!groups)
        return false;
    c->groups = groups;
    groups[c->group_count++] = (PoiseChoiceGroup){.item = item, .kind = kind, .first = c->count};
    return true;
}

bool poise_choices_add(PoiseChoices *c, const PoiseChoice *choice)
{
    PoiseChoice *list = poise_resize(c->list, c->count + 1, sizeof *list);
    if (!list)
        return false;
    c->list = list;
    list[c->count++] = *choice;
    c->groups[c->group_count - 1].count++;
    return true;
}

void poise_choices_clear(PoiseChoices *c)
{
    poise_release(c->list);
    poise_release(c->groups);
    *c = (PoiseChoices){0};
}

static PoiseChoice as_it_is(const PoiseLinearSum *now)
{
    PoiseChoice c = {.unchanged = true, .fixed_g = now->mass_g, .fixed_price = now->price};
    memcpy(c.fixed_gmm, now->moment_gmm, sizeof c.fixed_gmm);
    return c;
}

static bool add_ballast(const PoiseRemedyTask *t, size_t i, const PoiseLinearSum *now,
                        PoiseChoices *c)
{
    const PoiseItem *item = &t->instrument->items[i];
    PoiseChoice some = {.per_g = 1.0,
                        .hi = item->as.mass.ballast_max_g * item->count,
                        .fixed_price = now->price,
                        .effort = 2};
    PoiseChoice same = as_it_is(now);
    poise_task_per_gram(t, t->weighing->items[i].body.centre_mm, some.per_gmm);
    return poise_choices_group(c, i, POISE_CHOOSE_BALLAST) && poise_choices_add(c, &same) &&
           poise_choices_add(c, &some);
}

static PoiseChoice with_perimeters(const PoiseLinearSetting *setting, const double origin_mm[3],
                                   int perimeters)
{
    PoiseLinearPrinted p;
    PoiseLinearSetting s = *setting;
    poise_linear_printed(setting, perimeters, origin_mm, &p);
    PoiseChoice c = {.fixed_g = p.fixed_g,
                     .per_g = p.infill_g,
                     .lo = poise_infill_share(POISE_REMEDY_INFILL_LEAST),
                     .hi = poise_infill_share(POISE_REMEDY_INFILL_MOST),
                     .perimeters = perimeters,
                     .effort = 1};
    memcpy(c.fixed_gmm, p.fixed_gmm, sizeof c.fixed_gmm);
    memcpy(c.per_gmm, p.infill_gmm, sizeof c.per_gmm);
    s.perimeters = perimeters;
    s.infill = 0.0;
    c.fixed_price = poise_linear_sum(&s, origin_mm).price;
    s.infill = 1.0;
    c.per_price = poise_linear_sum(&s, origin_mm).price - c.fixed_price;
    return c;
}

/* A section that was weighed is printed already. */
static bool add_print(const PoiseRemedyTask *t, size_t i, const PoiseLinearSum *now,
                      PoiseChoices *c)
{
    PoiseChoice same = as_it_is(now);
    if (!poise_choices_group(c, i, POISE_CHOOSE_PRINT) || !poise_choices_add(c, &same))
        return false;
    for (int n = POISE_REMEDY_PERIMETERS_LEAST; n <= POISE_REMEDY_PERIMETERS_MOST; n++) {
        PoiseChoice other = with_perimeters(&t->linear->items[i].setting, t->linear->origin_mm, n);
        if (!poise_choices_add(c, &other))
            return false;
    }
    return true;
}

static PoiseStatus add_part(const PoiseRemedyTask *t, size_t i, const PoisePart *part,
                            PoiseChoices *c, PoiseFaults *faults)
{
    PoiseItem item = t->instrument->items[i];
    item.part = part;
    item.has_measured = item.has_price = false;
    PoiseItemBody body;
    PoiseStatus status =
        poise_item_body(t->instrument, &item, &(PoiseSectionOptions){0}, &body, faults);
    if (status)
        return status;
    PoiseLinearSetting setting = poise_linear_setting(t->instrument, &item, &body);
    PoiseLinearSum sum = poise_linear_sum(&setting, t->linear->origin_mm);
    poise_item_body_free(&body);
    PoiseChoice other = as_it_is(&sum);
    other.unchanged = false;
    other.part = part;
    other.effort = 3;
    if (fabs(sum.mass_g - poise_task_item(t, i).mass_g) < POISE_REMEDY_SWAP_LEAST_G)
        return POISE_OK;
    return poise_choices_add(c, &other) ? POISE_OK : poise_fault_memory(faults);
}

static PoiseStatus add_swaps(const PoiseRemedyTask *t, size_t i, const PoiseLinearSum *now,
                             PoiseChoices *c, PoiseFaults *faults)
{
    const PoiseItem *item = &t->instrument->items[i];
    PoiseChoice same = as_it_is(now);
    if (!poise_choices_group(c, i, POISE_CHOOSE_SWAP) || !poise_choices_add(c, &same))
        return poise_fault_memory(faults);
    const PoiseLibrary *library = t->shelf->library;
    for (size_t k = 0; k < library->part_count; k++) {
        if (library->parts[k] == item->part || !poise_part_fits(library->parts[k], item->part))
            continue;
        PoiseStatus status = add_part(t, i, library->parts[k], c, faults);
        if (status)
            return status;
    }
    return POISE_OK;
}

/* More than this at one place is no ballast for an instrument, g. It only keeps the numbers of the
 * programme within reason. */
static const double MOST_AT_PLACE_G = 1e5;

static double lightest(const PoiseChoices *c)
{
    double mass = c->rest_g;
    for (size_t g = 0; g < c->group_count; g++) {
        double least = INFINITY;
        for (size_t i = c->groups[g].first; i < c->groups[g].first + c->groups[g].count; i++)
            least = fmin(least, c->list[i].fixed_g + c->list[i].lo * c->list[i].per_g);
        mass += least;
    }
    return mass;
}

/* What the lightest way has of it is no more than the best place needs by itself, and what all else
 * could be lighter. */
static bool add_places(const PoiseRemedyTask *t, PoiseChoices *c)
{
    if (t->place_count == 0)
        return true;
    double least = lightest(c), alone = fmax(t->place_alone_g, t->total.mass_g);
    PoiseChoice none = {.unchanged = true};
    if (!poise_choices_group(c, SIZE_MAX, POISE_CHOOSE_PLACE) || !poise_choices_add(c, &none))
        return false;
    for (size_t i = 0; i < t->place_count; i++) {
        PoiseChoice some = {.per_g = 1.0,
                            .hi = fmin(alone + t->total.mass_g - least, MOST_AT_PLACE_G),
                            .at_mm = t->places_mm[i],
                            .effort = 3};
        poise_task_per_gram(t, some.at_mm, some.per_gmm);
        if (!poise_choices_add(c, &some))
            return false;
    }
    return true;
}

PoiseStatus poise_choices_collect(const PoiseRemedyTask *t, PoiseChoices *c, PoiseFaults *faults)
{
    for (size_t i = 0; i < t->instrument->item_count; i++) {
        const PoiseItem *item = &t->instrument->items[i];
        PoiseLinearSum now = poise_task_item(t, i);
        PoiseStatus status = POISE_OK;
        size_t groups = c->group_count;
        bool good = true;
        if (item->kind == POISE_ITEM_MASS && item->as.mass.ballast)
            good = add_ballast(t, i, &now, c);
        else if (poise_item_is_split(item) && !item->has_measured)
            good = add_print(t, i, &now, c);
        else if (item->kind == POISE_ITEM_PART)
            status = add_swaps(t, i, &now, c, faults);
        if (!good)
            status = poise_fault_memory(faults);
        if (status)
            return status;
        if (c->group_count > groups && c->groups[groups].count == 1) { /* no choice at all */
            c->group_count--;
            c->count--;
        }
        if (c->group_count == groups) {
            c->rest_g += now.mass_g;
            for (int k = 0; k < 3; k++)
                c->rest_gmm[k] += now.moment_gmm[k];
        }
    }
    return add_places(t, c) ? POISE_OK : poise_fault_memory(faults);
}

void poise_picked_add(PoisePicked *sum, const PoiseChoices *c, PoisePick pick, int times)
{
    const PoiseChoice *o = &c->list[pick.choice];
    sum->mass_g += times * (o->fixed_g + pick.x * o->per_g);
    for (int k = 0; k < 3; k++)
        sum->moment_gmm[k] += times * (o->fixed_gmm[k] + pick.x * o->per_gmm[k]);
    sum->price += times * (o->fixed_price + pick.x * o->per_price);
    sum->effort += times * o->effort;
    if (!o->unchanged)
        sum->changes = times > 0 ? sum->changes + 1 : sum->changes - 1;
}

PoisePicked poise_choices_sum(const PoiseChoices *c, const PoisePick *picks)
{
    PoisePicked sum = {.mass_g = c->rest_g};
    memcpy(sum.moment_gmm, c->rest_gmm, sizeof sum.moment_gmm);
    for (size_t g = 0; g < c->group_count; g++)
        poise_picked_add(&sum, c, picks[g], 1);
    return sum;
}

double poise_infill_of_share(double share)
{
    double lo = 0.0, hi = 1.0; /* the share grows with the fraction: halve until the digits end */
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (lo + hi);
        if (poise_infill_share(middle) < share)
            lo = middle;
        else
            hi = middle;
    }
    return 0.5 * (lo + hi);
}

/* Less than this of a step beyond a whole one is the solver's tolerance, not a wish for the next.
 */
static const double STEP_TOLERANCE = 1e-6;

static double step_to(double x, double step, bool up)
{
    double steps = x / step;
    return step * (up ? ceil(steps - STEP_TOLERANCE) : floor(steps + STEP_TOLERANCE));
}

void poise_choices_round(const PoiseChoices *c, const PoiseGoal *goals, size_t n, PoisePick *picks)
{
    PoisePicked sum = poise_choices_sum(c, picks);
    const PoiseGoal *tightest = NULL;
    double most = -INFINITY;
    for (size_t i = 0; i < n; i++) {
        double excess = poise_goal_excess(&goals[i], sum.mass_g, sum.moment_gmm);
        if (goals[i].kind != POISE_GOAL_MASS && excess > most) {
            most = excess;
            tightest = &goals[i];
        }
    }
    for (size_t g = 0; g < c->group_count; g++) {
        const PoiseChoice *o = &c->list[picks[g].choice];
        if (!(o->hi > o->lo))
            continue;
        double rate = 0.0;
        if (tightest) {
            rate = tightest->per_gram * o->per_g;
            for (int k = 0; k < 3; k++)
                rate += tightest->direction[k] * o->per_gmm[k];
        }
        bool print = c->groups[g].kind == POISE_CHOOSE_PRINT;
        double x =
            print ? poise_infill_share(step_to(poise_infill_of_share(picks[g].x), 0.01, rate < 0.0))
                  : step_to(picks[g].x, 1.0, rate < 0.0);
        picks[g].x = fmin(fmax(x, o->lo), o->hi);
    }
}
