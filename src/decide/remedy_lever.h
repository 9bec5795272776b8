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
/* The amount within [lo, hi] that falls short by least, and by how much of which goal (NULL: all
 * are met). */
double poise_amount_best(const PoiseGoal *goals, size_t n, const PoiseAmount *amount, double lo,
                         double hi, const PoiseGoal **worst, double *short_by);
void poise_amount_at(const PoiseAmount *amount, double x, double *mass_g, double moment_gmm[3]);

/* What the balance goals alone need there, however much that is; NAN when no amount does it.
 * *heavy_g: by how much the whole is then above the target mass, 0 when it is not. */
double poise_ballast_wanted(const PoiseRemedyTask *task, const PoiseAmount *amount,
                            double *heavy_g);
/* "324 g would balance it, but make it 205 g too heavy" */
void poise_ballast_say_wanted(PoiseText *text, double wanted_g, double heavy_g);
bool poise_ballast_is_hopeless(const PoiseRemedyTask *task, double *over_g);

#endif
