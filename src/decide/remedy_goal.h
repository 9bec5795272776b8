/* The target as conditions that are linear in the mass and its first moments. */
#ifndef POISE_DECIDE_REMEDY_GOAL_H
#define POISE_DECIDE_REMEDY_GOAL_H

#include "base/text.h"
#include "decide/stance.h"

typedef enum PoiseGoalKind {
    POISE_GOAL_MASS,   /* not heavier than */
    POISE_GOAL_LIFT,   /* the hand holds up no more than */
    POISE_GOAL_PRESS,  /* the hand presses down no more than (tail-heavy) */
    POISE_GOAL_MARGIN, /* at least so many mm before it dives */
} PoiseGoalKind;

/* The condition per_gram·M + direction·S ≤ limit, S = Σ m (r − origin). */
typedef struct PoiseGoal {
    PoiseGoalKind kind;
    bool leg;
    double neck_angle_deg;
    double per_gram, direction[3], limit;
    double arm_mm; /* the hand's from the edge: an excess of arm_mm g·mm is 1 g in the hand; 0: no
                      hand can help, then short in mm */
    double asked;  /* g or mm, as in the target */
    double beside_g; /* weight that the centre is judged with, and no mass of ours: the arm's */
} PoiseGoal;

/* For each angle: strap lift, press, margin and leg lift, press; or leg lift, press, margin. */
enum { POISE_GOALS_PER_STANCE = 5, POISE_MOST_GOALS = 1 + 8 * POISE_GOALS_PER_STANCE };

/* Appends the goals of a solved stance to goals[*n]: hand load and margin (NAN: not asked) on the
 * strap, and with `leg` the same hand load on the leg. Without `strap` the margin is the leg's. */
void poise_goals_add(const PoiseStance *stance, double neck_angle_deg, double hand_load_g,
                     double margin_mm, bool strap, bool leg, PoiseGoal *goals, size_t *n);
PoiseGoal poise_goal_mass(double most_g);

/* per_gram·M + direction·S − limit: above 0 the goal is missed. */
double poise_goal_excess(const PoiseGoal *goal, double mass_g, const double moment_gmm[3]);
/* The excess in the goal's own unit: g (mass, hand) or mm (margin, or a hand that cannot help). */
double poise_goal_short(const PoiseGoal *goal, double excess, double mass_g);
/* "g" or "mm". */
const char *poise_goal_unit(const PoiseGoal *goal);
/* Met but for round-off. */
bool poise_goal_met(const PoiseGoal *goal, double excess, double mass_g);
/* "at most 100 g in the hand at 20°", "a mass of at most 3.80 kg", … */
void poise_goal_say(PoiseText *text, const PoiseGoal *goal);
/* "62 g short", "62 g too heavy", "4 mm short" */
void poise_goal_say_short(PoiseText *text, const PoiseGoal *goal, double short_by);

#endif
