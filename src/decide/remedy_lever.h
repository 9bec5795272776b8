/* One amount that changes mass and moments in proportion: ballast at a point, infill of a section.
 */
#ifndef POISE_DECIDE_REMEDY_LEVER_H
#define POISE_DECIDE_REMEDY_LEVER_H

#include "decide/remedy_task.h"

/* With x of it: mass = mass_g + x·per_g, moments = moment_gmm + x·per_gmm. */
typedef struct PoiseAmount {
    double mass_g, moment_gmm[3];
    double per_g, per_gmm[3];
} PoiseAmount;

/* The amounts within [lo, hi] that meet all goals: each goal is linear in x and cuts off one side,
 * at excess/rate, which for "just holds" is the ballast rule m = M (h_G − h_e)/(h_e − h_q). False
 * when there is none. */
bool poise_amount_solve(const PoiseGoal *goals, size_t n, const PoiseAmount *amount, double lo,
                        double hi, PoiseInterval *range);
/* The least of a range of grams, a whole one where there is one: ballast is weighed out to the
 * gram. */
double poise_amount_least(PoiseInterval range);
/* The amount within [lo, hi] that falls short by least, and by how much of which goal (NULL: all
 * are met). */
double poise_amount_best(const PoiseGoal *goals, size_t n, const PoiseAmount *amount, double lo,
                         double hi, const PoiseGoal **worst, double *short_by);
void poise_amount_at(const PoiseAmount *amount, double x, double *mass_g, double moment_gmm[3]);

/* What the balance goals alone need there, however much that is; NAN when no amount does it.
 * *heavy_g: by how much the whole is then above the target mass, 0 when it is not. */
double poise_ballast_wanted(const PoiseRemedyTask *task, const PoiseAmount *amount,
                            double *heavy_g);
/* That ballast at one place, up to most_g of it (INFINITY: no end), does not do it: what is short
 * with as much as the target mass leaves, what with all the place takes, and what would balance it.
 * Goes on from `text` and empties it. */
void poise_ballast_say_short(PoiseRemedyTask *task, const char *way, PoiseText *text,
                             const PoiseAmount *amount, double most_g);
/* The mass without any ballast is over the target already: no ballast by itself is the answer. */
bool poise_ballast_is_hopeless(const PoiseRemedyTask *task, double *over_g);

#endif
