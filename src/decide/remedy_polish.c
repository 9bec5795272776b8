/* What people set are whole percents and grams, and the programme's least with any amount need not
 * stay the least when it is rounded: other perimeters may round better. From the rounded picks two
 * groups at a time are chosen anew, the one over all its settings, the other as light as then meets
 * the goals, until that gains nothing. */
#include <math.h>
#include <string.h>

#include "bodies/printed_fill.h"
#include "decide/remedy_choice.h"

/* Whole percents of infill, 0 to 100; grams of ballast tried either side of what there is; and
 * rounds, each of which gains POISE_CHOICE_MASS_G at least. */
enum { PERCENTS = 101, GRAMS_ASIDE = 2, GRAMS = 2 * GRAMS_ASIDE + 1, ROUNDS = 40 };

typedef struct Polish {
    const PoiseChoices *choices;
    const PoiseGoal *goals;
    size_t goal_count;
    unsigned classes;
    size_t most;
    double shares[PERCENTS];
    const PoisePick *picks;
    /* The best pair of picks so far. */
    double least_g;
    size_t groups[2];
    PoisePick pair[2];
} Polish;

static PoisePicked with(const Polish *p, PoisePicked sum, PoisePick pick, int times)
{
    poise_picked_add(&sum, p->choices, pick, times);
    return sum;
}

/* The least amount of the choice that people set and that meets the goals; false when none does. */
static bool least_amount(const Polish *p, size_t g, const PoisePicked *rest, const PoiseChoice *o,
                         double *x)
{
    PoiseAmount a = {.mass_g = rest->mass_g + o->fixed_g, .per_g = o->per_g};
    for (int k = 0; k < 3; k++) {
        a.moment_gmm[k] = rest->moment_gmm[k] + o->fixed_gmm[k];
        a.per_gmm[k] = o->per_gmm[k];
    }
    PoiseInterval range;
    if (!poise_amount_solve(p->goals, p->goal_count, &a, o->lo, o->hi, &range))
        return false;
    *x = ceil(range.lo);
    if (p->choices->groups[g].kind != POISE_CHOOSE_PRINT)
        return *x <= range.hi;
    size_t i = 0;
    while (i < PERCENTS && p->shares[i] < range.lo)
        i++;
    if (i == PERCENTS)
        return false;
    *x = p->shares[i];
    return *x <= range.hi;
}

/* `rest` is all but group h, with pick `one` in group g. */
static void choose_second(Polish *p, size_t g, PoisePick one, size_t h, const PoisePicked *rest)
{
    const PoiseChoiceGroup *group = &p->choices->groups[h];
    for (size_t i = group->first; i < group->first + group->count; i++) {
        const PoiseChoice *o = &p->choices->list[i];
        PoisePick two = {i, 0.0};
        if (rest->changes + !o->unchanged > p->most ||
            rest->mass_g + o->fixed_g + o->lo * o->per_g >= p->least_g)
            continue;
        if (o->hi > o->lo && !least_amount(p, h, rest, o, &two.x))
            continue;
        PoisePicked sum = with(p, *rest, two, 1);
        if (sum.mass_g >= p->least_g ||
            !poise_goals_met(p->goals, p->goal_count, sum.mass_g, sum.moment_gmm))
            continue;
        p->least_g = sum.mass_g;
        p->groups[0] = g;
        p->groups[1] = h;
        p->pair[0] = one;
        p->pair[1] = two;
    }
}

static void choose_pair(Polish *p, size_t g, size_t h, const PoisePicked *sum)
{
    const PoiseChoiceGroup *group = &p->choices->groups[g];
    PoisePicked rest = with(p, *sum, p->picks[g], -1);
    rest = with(p, rest, p->picks[h], -1);
    for (size_t i = group->first; i < group->first + group->count; i++) {
        const PoiseChoice *o = &p->choices->list[i];
        bool measured = o->hi > o->lo, print = group->kind == POISE_CHOOSE_PRINT;
        if (measured && !print && i != p->picks[g].choice)
            continue; /* as the second of the pair */
        int steps = !measured ? 1 : print ? PERCENTS : GRAMS;
        for (int k = 0; k < steps; k++) {
            PoisePick one = {i, 0.0};
            if (measured)
                one.x = print ? p->shares[k] : p->picks[g].x + k - GRAMS_ASIDE;
            if (measured && (one.x < o->lo || one.x > o->hi))
                continue;
            PoisePicked with_one = with(p, rest, one, 1);
            choose_second(p, g, one, h, &with_one);
        }
    }
}

void poise_choices_polish(const PoiseChoices *c, const PoiseGoal *goals, size_t n, unsigned classes,
                          size_t most, PoisePick *picks)
{
    Polish p = {.choices = c,
                .goals = goals,
                .goal_count = n,
                .classes = classes,
                .most = most,
                .picks = picks};
    for (int i = 0; i < PERCENTS; i++)
        p.shares[i] = poise_infill_share(i / 100.0);
    for (int round = 0; round < ROUNDS; round++) {
        PoisePicked sum = poise_choices_sum(c, picks);
        double enough = sum.mass_g - POISE_CHOICE_MASS_G;
        p.least_g = enough;
        for (size_t g = 0; g < c->group_count; g++)
            for (size_t h = 0; h < c->group_count; h++)
                if (g != h && (c->groups[g].kind & classes) && (c->groups[h].kind & classes))
                    choose_pair(&p, g, h, &sum);
        if (!(p.least_g < enough))
            return;
        for (int i = 0; i < 2; i++)
            picks[p.groups[i]] = p.pair[i];
    }
}
