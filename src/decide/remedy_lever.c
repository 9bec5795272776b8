#include "decide/remedy_lever.h"

#include <math.h>

#include "base/vec.h"
#include "decide/remedy_task.h"

void poise_amount_at(const PoiseAmount *a, double x, double *mass_g, double moment_gmm[3])
{
    *mass_g = a->mass_g + x * a->per_g;
    for (int i = 0; i < 3; i++)
        moment_gmm[i] = a->moment_gmm[i] + x * a->per_gmm[i];
}

static double rate(const PoiseGoal *g, const PoiseAmount *a)
{
    return g->per_gram * a->per_g + poise_dot(g->direction, a->per_gmm);
}

bool poise_amount_solve(const PoiseGoal *goals, size_t n, const PoiseAmount *a, double lo,
                        double hi, PoiseInterval *range)
{
    for (size_t i = 0; i < n; i++) {
        double excess = poise_goal_excess(&goals[i], a->mass_g, a->moment_gmm);
        double slope = rate(&goals[i], a);
        if (slope < 0.0)
            lo = fmax(lo, excess / -slope);
        else if (slope > 0.0)
            hi = fmin(hi, -excess / slope);
        else if (!poise_goal_met(&goals[i], excess, a->mass_g))
            return false;
    }
    *range = (PoiseInterval){lo, hi};
    return lo <= hi;
}

typedef struct Trial {
    const PoiseGoal *worst;
    double short_by, x;
} Trial;

static Trial try_amount(const PoiseGoal *goals, size_t n, const PoiseAmount *a, double x)
{
    Trial t = {.x = x};
    double mass, moment[3];
    poise_amount_at(a, x, &mass, moment);
    t.worst = poise_goals_worst(goals, n, mass, moment, &t.short_by);
    return t;
}

/* The worst excess is convex and piecewise smooth in x: golden sections close in on its least. */
double poise_amount_best(const PoiseGoal *goals, size_t n, const PoiseAmount *a, double lo,
                         double hi, const PoiseGoal **worst, double *short_by)
{
    static const double GOLDEN = 0.6180339887498949;
    enum { ROUNDS = 60 };
    double left = lo, right = hi;
    for (int i = 0; i < ROUNDS && right > left; i++) {
        double x1 = right - GOLDEN * (right - left), x2 = left + GOLDEN * (right - left);
        Trial t1 = try_amount(goals, n, a, x1), t2 = try_amount(goals, n, a, x2);
        double s1 = t1.worst ? t1.short_by : 0.0, s2 = t2.worst ? t2.short_by : 0.0;
        if (s1 <= s2)
            right = x2;
        else
            left = x1;
    }
    Trial best = try_amount(goals, n, a, 0.5 * (left + right));
    const double ends[2] = {lo, hi};
    for (int i = 0; i < 2; i++) {
        Trial t = try_amount(goals, n, a, ends[i]);
        if (!t.worst || (best.worst && t.short_by < best.short_by))
            best = t;
    }
    *worst = best.worst;
    *short_by = best.worst ? best.short_by : 0.0;
    return best.x;
}

double poise_amount_least(PoiseInterval range)
{
    return ceil(range.lo) <= range.hi ? ceil(range.lo) : range.lo;
}
