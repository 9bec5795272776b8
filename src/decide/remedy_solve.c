/* The choices as a mixed-integer linear programme. Each choice o has a binary u_o, one of a group's
 * is 1; what is measured out of it is y_o with lo·u_o ≤ y_o ≤ hi·u_o, so that mass and moments,
 * which for given perimeters are linear in the infill's share, stay linear: Σ fixed_o u_o + per_o
 * y_o. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/vec.h"
#include "decide/milp.h"
#include "decide/remedy_choice.h"

/* Columns: u of choice i is i, y of choice i is count + i. */
typedef struct Model {
    const PoiseChoices *choices;
    PoiseMilp *milp;
    size_t columns;
    size_t *numbers; /* scratch */
    double *row, *x, *kept;
} Model;

static void close_model(Model *m)
{
    poise_milp_free(m->milp);
    poise_release(m->numbers);
    poise_release(m->row);
    poise_release(m->x);
    poise_release(m->kept);
}

static bool measured_out(const PoiseChoice *o)
{
    return o->hi > o->lo;
}

static bool add_columns(Model *m, unsigned classes)
{
    const PoiseChoices *c = m->choices;
    bool good = true;
    for (size_t g = 0; g < c->group_count && good; g++) {
        const PoiseChoiceGroup *group = &c->groups[g];
        bool open = (group->kind & classes) != 0;
        for (size_t i = group->first; i < group->first + group->count && good; i++) {
            const PoiseChoice *o = &c->list[i];
            double most = open || o->unchanged ? 1.0 : 0.0;
            good =
                poise_milp_column(m->milp, i, 0.0, most, true) &&
                poise_milp_column(m->milp, c->count + i, 0.0, measured_out(o) ? o->hi : 0.0, false);
        }
    }
    return good;
}

static bool add_group_rows(Model *m)
{
    const PoiseChoices *c = m->choices;
    for (size_t g = 0; g < c->group_count; g++) {
        const PoiseChoiceGroup *group = &c->groups[g];
        for (size_t k = 0; k < group->count; k++) {
            m->numbers[k] = group->first + k;
            m->row[k] = 1.0;
        }
        if (!poise_milp_equal(m->milp, group->count, m->numbers, m->row, 1.0))
            return false;
    }
    for (size_t i = 0; i < c->count; i++) {
        const PoiseChoice *o = &c->list[i];
        if (!measured_out(o))
            continue;
        const size_t pair[2] = {c->count + i, i};
        const double below[2] = {1.0, -o->hi}, above[2] = {-1.0, o->lo};
        if (!poise_milp_at_most(m->milp, 2, pair, below, 0.0) ||
            (o->lo > 0.0 && !poise_milp_at_most(m->milp, 2, pair, above, 0.0)))
            return false;
    }
    return true;
}

static bool open_model(Model *m, const PoiseChoices *c, unsigned classes)
{
    *m = (Model){.choices = c, .columns = 2 * c->count};
    m->milp = poise_milp_new(m->columns);
    m->numbers = poise_alloc_zero(m->columns, sizeof *m->numbers);
    m->row = poise_alloc_zero(m->columns, sizeof *m->row);
    m->x = poise_alloc_zero(m->columns, sizeof *m->x);
    m->kept = poise_alloc_zero(m->columns, sizeof *m->kept);
    return m->milp && m->numbers && m->row && m->x && m->kept && add_columns(m, classes) &&
           add_group_rows(m);
}

/* Coefficients of the goal's left side in m->row; returns what everything else brings to it. */
static double goal_row(Model *m, const PoiseGoal *goal)
{
    const PoiseChoices *c = m->choices;
    for (size_t i = 0; i < c->count; i++) {
        const PoiseChoice *o = &c->list[i];
        m->row[i] = goal->per_gram * o->fixed_g + poise_dot(goal->direction, o->fixed_gmm);
        m->row[c->count + i] = goal->per_gram * o->per_g + poise_dot(goal->direction, o->per_gmm);
    }
    return goal->per_gram * c->rest_g + poise_dot(goal->direction, c->rest_gmm);
}

static void price_row(Model *m)
{
    const PoiseChoices *c = m->choices;
    for (size_t i = 0; i < c->count; i++) {
        m->row[i] = c->list[i].fixed_price;
        m->row[c->count + i] = c->list[i].per_price;
    }
}

static void effort_row(Model *m)
{
    const PoiseChoices *c = m->choices;
    for (size_t i = 0; i < c->count; i++) {
        m->row[i] = c->list[i].effort;
        m->row[c->count + i] = 0.0;
    }
}

/* The row in m->row over all columns, at most `limit`. */
static bool limit_row(Model *m, double limit)
{
    size_t n = 0;
    for (size_t i = 0; i < m->columns; i++) {
        double value = m->row[i];
        if (value == 0.0)
            continue;
        m->numbers[n] = i;
        m->row[n++] = value;
    }
    return poise_milp_at_most(m->milp, n, m->numbers, m->row, limit);
}

static bool add_goals(Model *m, const PoiseGoal *goals, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        double rest = goal_row(m, &goals[i]);
        if (!limit_row(m, goals[i].limit - rest))
            return false;
    }
    return true;
}

static bool add_most(Model *m, size_t most)
{
    for (size_t i = 0; i < m->columns; i++)
        m->row[i] = i < m->choices->count && !m->choices->list[i].unchanged ? 1.0 : 0.0;
    return limit_row(m, (double)most);
}

static void read_picks(const Model *m, PoisePick *picks)
{
    const PoiseChoices *c = m->choices;
    for (size_t g = 0; g < c->group_count; g++) {
        const PoiseChoiceGroup *group = &c->groups[g];
        size_t best = group->first;
        for (size_t i = group->first; i < group->first + group->count; i++)
            if (m->x[i] > m->x[best])
                best = i;
        const PoiseChoice *o = &c->list[best];
        double y = measured_out(o) ? m->x[c->count + best] : 0.0;
        picks[g] = (PoisePick){best, measured_out(o) ? fmin(fmax(y, o->lo), o->hi) : 0.0};
    }
}

static PoiseStatus minimise(Model *m, double *value, bool *proved)
{
    PoiseMilpAnswer answer;
    PoiseStatus status = poise_milp_minimise(m->milp, m->row, m->x, &answer);
    *value = answer.value;
    *proved = *proved && answer.proved;
    return status;
}

/* How far the price and the effort may be from the best when the next aim is followed. */
static const double PRICE_SLACK = 0.005, EFFORT_SLACK = 0.5;

/* Lexicographic: each aim in turn, those before it held near their best. A later aim that runs out
 * of time leaves the picks of the earlier one. */
static PoiseStatus follow_aims(Model *m, PoisePick *picks, bool *proved)
{
    static const PoiseGoal mass = {.per_gram = 1.0};
    double best;
    goal_row(m, &mass);
    PoiseStatus status = minimise(m, &best, proved);
    if (status)
        return status;
    read_picks(m, picks);
    goal_row(m, &mass);
    if (!limit_row(m, best + POISE_CHOICE_MASS_G))
        return POISE_E_MEMORY;
    price_row(m);
    if (minimise(m, &best, proved))
        return POISE_OK;
    read_picks(m, picks);
    price_row(m);
    if (!limit_row(m, best + PRICE_SLACK))
        return POISE_E_MEMORY;
    effort_row(m);
    if (minimise(m, &best, proved))
        return POISE_OK;
    read_picks(m, picks);
    effort_row(m);
    if (!limit_row(m, best + EFFORT_SLACK))
        return POISE_E_MEMORY;
    goal_row(m, &mass);
    if (!minimise(m, &best, proved))
        read_picks(m, picks);
    return POISE_OK;
}

PoiseStatus poise_choices_solve(const PoiseChoices *c, const PoiseGoal *goals, size_t n,
                                unsigned classes, size_t most, PoisePick *picks, bool *proved)
{
    Model m;
    *proved = true;
    PoiseStatus status = POISE_E_MEMORY;
    if (open_model(&m, c, classes) && add_goals(&m, goals, n) &&
        (most >= c->group_count || add_most(&m, most)))
        status = follow_aims(&m, picks, proved);
    close_model(&m);
    return status;
}

/* The solver has no answer for a programme without columns: what is there meets the goals or not.
 */
static PoiseStatus without_choice(const PoiseChoices *c, const PoiseGoal *goals, size_t n)
{
    return poise_goals_met(goals, n, c->rest_g, c->rest_gmm) ? POISE_OK : POISE_E_DOMAIN;
}

/* Rounds of the search for the least ratio (each gains most of what is left), and the mm that are
 * not worth another. */
enum { RATIO_ROUNDS = 12 };
static const double RATIO_MM = 1e-3;

/* Least excess. Where short is told in mm, excess over mass, least excess is not least short: a
 * lighter instrument has less of the one and may have more of the other. Then by Dinkelbach's
 * method (On nonlinear fractional programming, Management Science 13, 1967): with the best ratio so
 * far as λ, the least of excess − λ·mass has a better one, until there is none. */
static PoiseStatus minimise_short(Model *m, const PoiseGoal *target, PoisePick *picks, bool *proved)
{
    double value, best = INFINITY;
    PoiseGoal g = *target;
    bool ratio = *poise_goal_unit(target) == 'm';
    for (int i = 0; i < RATIO_ROUNDS; i++) {
        goal_row(m, &g);
        PoiseStatus status = minimise(m, &value, proved);
        if (status && i == 0)
            return status;
        if (status)
            break;
        read_picks(m, picks);
        PoisePicked sum = poise_choices_sum(m->choices, picks);
        double excess = poise_goal_excess(target, sum.mass_g, sum.moment_gmm);
        double by = excess / (sum.mass_g + target->beside_g);
        if (!(by < best))
            break;
        memcpy(m->kept, m->x, m->columns * sizeof *m->kept);
        if (!ratio || !*proved || excess <= 0.0 || by > best - RATIO_MM)
            return POISE_OK;
        best = by;
        g.per_gram = target->per_gram - by;
    }
    memcpy(m->x, m->kept, m->columns * sizeof *m->x);
    read_picks(m, picks);
    return POISE_OK;
}

PoiseStatus poise_choices_least(const PoiseChoices *c, const PoiseGoal *goals, size_t n,
                                const PoiseGoal *target, unsigned classes, PoisePick *picks,
                                bool *proved)
{
    Model m;
    *proved = true;
    if (c->group_count == 0)
        return without_choice(c, goals, n);
    PoiseStatus status = POISE_E_MEMORY;
    if (open_model(&m, c, classes) && add_goals(&m, goals, n))
        status = minimise_short(&m, target, picks, proved);
    close_model(&m);
    return status;
}

PoiseStatus poise_choices_short(const PoiseChoices *c, const PoiseGoal *goals, size_t n,
                                const PoiseGoal *target, unsigned classes, PoisePick *picks,
                                double *short_by, bool *proved)
{
    *short_by = (double)NAN;
    PoiseStatus status = poise_choices_least(c, goals, n, target, classes, picks, proved);
    if (status)
        return status == POISE_E_DOMAIN ? POISE_OK : status;
    PoisePicked sum = poise_choices_sum(c, picks);
    double excess = poise_goal_excess(target, sum.mass_g, sum.moment_gmm);
    *short_by = poise_goal_met(target, excess, sum.mass_g)
                    ? 0.0
                    : poise_goal_short(target, excess, sum.mass_g);
    return POISE_OK;
}
