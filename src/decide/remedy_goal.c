/* Moments about the edge e of a window at h_e: the hand at h_n carries F (h_n − h_e) = Σ m (h −
 * h_e), so F ≤ F_max is Σ m (h − h_e) ≤ F_max (h_n − h_e), linear in every mass; and a margin of at
 * least d is Σ m (h − h_hi + d) ≤ 0. */
#include "decide/remedy_goal.h"

#include <math.h>

#include "base/vec.h"
#include "output/words.h"
#include "statics/lever.h"

/* Excesses below this are round-off: a microgram, and its moment over a metre. */
static const double ROUND_OFF_G = 1e-6, ROUND_OFF_GMM = 1e-3;

PoiseGoal poise_goal_mass(double most_g)
{
    return (PoiseGoal){.kind = POISE_GOAL_MASS,
                       .neck_angle_deg = (double)NAN,
                       .per_gram = 1.0,
                       .limit = most_g,
                       .asked = most_g};
}

/* Mass at h from the origin of moments, edge at `edge` from it, sense +1 at the headward edge. */
static PoiseGoal edge_goal(const PoiseStance *s, PoiseGoalKind kind, double edge, double sense)
{
    PoiseGoal g = {.kind = kind, .per_gram = -sense * edge};
    for (int i = 0; i < 3; i++)
        g.direction[i] = sense * s->horizontal[i];
    return g;
}

/* `hand` is its arm from the edge: only a hand headwards of the edge counts. */
static void allow_hand(PoiseGoal *g, double hand_load_g, double hand_arm_mm)
{
    g->asked = hand_load_g;
    if (hand_arm_mm > 0.0) {
        g->arm_mm = hand_arm_mm;
        g->limit += hand_load_g * hand_arm_mm;
    }
}

static void add_strap(const PoiseStance *s, double hand_load_g, double margin_mm, PoiseGoal *goals,
                      size_t *n)
{
    double hi = s->tail_h_mm + s->window_mm.hi, lo = s->tail_h_mm + s->window_mm.lo;
    double allowed = isnan(hand_load_g) ? 0.0 : hand_load_g;
    if (!isnan(hand_load_g)) {
        PoiseGoal g = edge_goal(s, POISE_GOAL_LIFT, hi, 1.0);
        allow_hand(&g, allowed, s->hand_mm - s->window_mm.hi);
        goals[(*n)++] = g;
    }
    PoiseGoal press = edge_goal(s, POISE_GOAL_PRESS, lo, -1.0);
    allow_hand(&press, allowed, s->hand_mm - s->window_mm.lo);
    goals[(*n)++] = press;
    if (!isnan(margin_mm)) {
        PoiseGoal g = edge_goal(s, POISE_GOAL_MARGIN, hi - margin_mm, 1.0);
        g.asked = margin_mm;
        goals[(*n)++] = g;
    }
}

/* The arm rests at arm_h from the rest and its weight is no mass of ours: its moment goes to the
 * limit. `edge` is from the rest. */
static PoiseGoal leg_goal(const PoiseStance *s, PoiseGoalKind kind, double edge, double sense)
{
    PoiseGoal g = edge_goal(s, kind, s->rest_h_mm + edge, sense);
    g.leg = true;
    g.limit = -sense * s->arm_g * (s->arm_h_mm - edge);
    g.beside_g = s->arm_g;
    return g;
}

/* As on the strap, a margin alone says by itself what lift there may be. */
static void add_leg(const PoiseStance *s, double hand_load_g, double margin_mm, PoiseGoal *goals,
                    size_t *n)
{
    double hi = s->half_width_mm, lo = -s->half_width_mm;
    double allowed = isnan(hand_load_g) ? 0.0 : hand_load_g;
    if (!isnan(hand_load_g) || isnan(margin_mm)) {
        PoiseGoal g = leg_goal(s, POISE_GOAL_LIFT, hi, 1.0);
        allow_hand(&g, allowed, s->seat_hand_mm - hi);
        goals[(*n)++] = g;
    }
    PoiseGoal press = leg_goal(s, POISE_GOAL_PRESS, lo, -1.0);
    allow_hand(&press, allowed, s->seat_hand_mm - lo);
    goals[(*n)++] = press;
    if (!isnan(margin_mm)) {
        PoiseGoal g = leg_goal(s, POISE_GOAL_MARGIN, hi - margin_mm, 1.0);
        g.asked = margin_mm;
        goals[(*n)++] = g;
    }
}

void poise_goals_add(const PoiseStance *s, double neck_angle_deg, double hand_load_g,
                     double margin_mm, bool strap, bool leg, PoiseGoal *goals, size_t *n)
{
    size_t first = *n;
    if (strap)
        add_strap(s, hand_load_g, margin_mm, goals, n);
    if (leg)
        add_leg(s, hand_load_g, strap ? (double)NAN : margin_mm, goals, n);
    for (size_t i = first; i < *n; i++)
        goals[i].neck_angle_deg = neck_angle_deg;
}

double poise_goal_excess(const PoiseGoal *g, double mass_g, const double moment_gmm[3])
{
    return g->per_gram * mass_g + poise_dot(g->direction, moment_gmm) - g->limit;
}

double poise_goal_short(const PoiseGoal *g, double excess, double mass_g)
{
    if (g->kind == POISE_GOAL_MASS)
        return excess;
    return g->kind != POISE_GOAL_MARGIN && g->arm_mm > 0.0 ? excess / g->arm_mm
                                                           : excess / (mass_g + g->beside_g);
}

const char *poise_goal_unit(const PoiseGoal *g)
{
    bool grams = g->kind == POISE_GOAL_MASS || (g->kind != POISE_GOAL_MARGIN && g->arm_mm > 0.0);
    return grams ? "g" : "mm";
}

bool poise_goal_met(const PoiseGoal *g, double excess, double mass_g)
{
    (void)mass_g;
    return excess <= (g->kind == POISE_GOAL_MASS ? ROUND_OFF_G : ROUND_OFF_GMM);
}

static void say_where(PoiseText *t, const PoiseGoal *g)
{
    poise_text_append(t, g->leg ? " on the leg at " : " at ");
    poise_words_number(t, g->neck_angle_deg, 0);
    poise_text_append(t, "°");
}

void poise_goal_say(PoiseText *t, const PoiseGoal *g)
{
    switch (g->kind) {
    case POISE_GOAL_MASS:
        poise_text_append(t, "a mass of at most ");
        poise_words_mass(t, g->asked);
        return;
    case POISE_GOAL_LIFT:
        if (g->asked > 0.0) {
            poise_text_append(t, "at most ");
            poise_words_mass(t, g->asked);
            poise_text_append(t, " in the hand");
        } else {
            poise_text_append(t, "no neck dive");
        }
        break;
    case POISE_GOAL_PRESS:
        poise_text_append(t, "not tail-heavy");
        if (g->asked > 0.0) {
            poise_text_append(t, " by more than ");
            poise_words_mass(t, g->asked);
            poise_text_append(t, " in the hand");
        }
        break;
    case POISE_GOAL_MARGIN:
        poise_text_append(t, "a margin of at least ");
        poise_words_number(t, g->asked, 0);
        poise_text_append(t, " mm");
        break;
    }
    say_where(t, g);
}

void poise_goal_say_short(PoiseText *t, const PoiseGoal *g, double short_by)
{
    bool grams = *poise_goal_unit(g) == 'g';
    if (grams) {
        poise_words_mass(t, short_by);
    } else {
        poise_words_number(t, short_by, short_by < 3.0 ? 1 : 0);
        poise_text_append(t, " mm");
    }
    poise_text_append(t, g->kind == POISE_GOAL_MASS ? " too heavy" : " short");
}
