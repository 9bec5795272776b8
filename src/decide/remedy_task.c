#include "decide/remedy_task.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"

static const double NONE = (double)NAN;

/* What the file asks of the balance; without a word about it, that nothing dives. */
static void read_target(PoiseRemedyTask *t)
{
    const PoiseInstrument *in = t->instrument;
    PoiseRemedies *out = t->out;
    out->target_mass_g = in->has_target_mass ? in->target_mass_g : NONE;
    out->target_hand_load_g = in->has_target_hand_load ? in->target_hand_load_g : NONE;
    out->target_margin_mm = in->has_target_margin ? in->target_margin_mm : NONE;
    out->default_target = !in->has_target_hand_load && !in->has_target_margin;
    t->hand_load_g = out->default_target ? 0.0 : out->target_hand_load_g;
    t->margin_mm = out->target_margin_mm;
}

static PoiseStatus no_window(const PoiseRemedyTask *t, double angle_deg, PoiseFaults *faults)
{
    char *found = poise_format(
        "a neck angle of %g degrees, at which the strap has no holding window", angle_deg);
    PoiseStatus status =
        found
            ? poise_fault_add(
                  faults, &(PoiseFault){.status = POISE_E_USAGE,
                                        .file = t->instrument->file,
                                        .found = found,
                                        .expected = "an angle at which the horn post is headwards "
                                                    "of the tail post"})
            : poise_fault_memory(faults);
    poise_release(found);
    return status;
}

bool poise_task_goals(const PoiseRemedyTask *t, const PoiseStanceSetting *setting, PoiseGoal *goals,
                      size_t *n)
{
    *n = 0;
    if (!isnan(t->out->target_mass_g))
        goals[(*n)++] = poise_goal_mass(t->out->target_mass_g);
    for (size_t i = 0; i < t->angle_count; i++) {
        PoiseStanceSetting at = *setting;
        PoiseStance stance;
        at.neck_angle_deg = t->angles_deg[i];
        PoiseStatus status = poise_stance_solve(&at, t->linear->origin_mm, &stance, NULL);
        if (status || (t->strap && !stance.has_strap))
            return false;
        poise_goals_add(&stance, t->angles_deg[i], t->hand_load_g, t->margin_mm, t->strap, t->leg,
                        goals, n);
    }
    return true;
}

static PoiseStatus make_goals(PoiseRemedyTask *t, PoiseFaults *faults)
{
    PoiseRemedyTask one = *t;
    for (size_t i = 0; i < t->angle_count; i++) {
        one.angle_count = 1;
        one.angles_deg[0] = t->angles_deg[i];
        if (!poise_task_goals(&one, &t->linear->stance, t->goals, &t->goal_count))
            return no_window(t, t->angles_deg[i], faults);
    }
    poise_task_goals(t, &t->linear->stance, t->goals, &t->goal_count);
    return POISE_OK;
}

static PoiseStatus nothing_to_balance_on(const PoiseRemedyTask *t, PoiseFaults *faults)
{
    return poise_fault_add(
        faults, &(PoiseFault){.status = POISE_E_INPUT,
                              .file = t->instrument->file,
                              .pointer = "",
                              .found = t->options.leg ? "no \"seat\"" : "nothing to balance on",
                              .expected = t->options.leg ? "\"seat\" for the leg"
                                                         : "\"posts\" and \"strap\", or \"seat\""});
}

PoiseStatus poise_task_open(PoiseRemedyTask *t, PoiseFaults *faults)
{
    const PoiseInstrument *in = t->instrument;
    t->strap = in->has_posts && in->has_strap;
    t->leg = in->has_seat && (t->options.leg || !t->strap);
    if ((!t->strap && !t->leg) || (t->options.leg && !t->leg))
        return nothing_to_balance_on(t, faults);
    t->angle_count = t->options.angle_count;
    memcpy(t->angles_deg, t->options.angles_deg, sizeof t->angles_deg);
    if (t->angle_count == 0) {
        t->angle_count = 1;
        t->angles_deg[0] = in->neck_angle_deg.value;
    }
    PoiseStatus status = poise_weigh(in, &t->options.weigh, &t->weighing, faults);
    if (!status)
        status = poise_linear_new(in, t->weighing, &t->linear, faults);
    if (status)
        return status;
    t->total = poise_linear_total(t->linear);
    read_target(t);
    t->out->strap = t->strap;
    t->out->leg = t->leg;
    return make_goals(t, faults);
}

void poise_task_close(PoiseRemedyTask *t)
{
    poise_linear_free(t->linear);
    poise_weighing_free(t->weighing);
    t->linear = NULL;
    t->weighing = NULL;
}

static PoiseRemedyHold hold_on_strap(const PoiseWeighing *w, double angle_deg)
{
    PoiseRemedyHold h = {.neck_angle_deg = angle_deg, .margin_mm = NONE, .hand_load_g = NONE};
    PoiseHanging hanging;
    if (!w->has_strap ||
        poise_strap_hang(&w->strap, w->centre, w->total.mass_g, angle_deg,
                         w->has_hand ? w->hand : w->strap.horn, &hanging, NULL) ||
        !hanging.has_verdict)
        return h;
    h.known = true;
    h.verdict = hanging.verdict;
    h.margin_mm = hanging.margin_mm;
    h.hand_load_g = w->has_hand || hanging.hand_load_g == 0.0 ? hanging.hand_load_g : NONE;
    return h;
}

static PoiseRemedyHold hold_on_leg(const PoiseInstrument *in, const PoiseAxes *axes,
                                   const PoiseWeighing *w, double angle_deg)
{
    PoiseRemedyHold h = {.neck_angle_deg = angle_deg, .margin_mm = NONE, .hand_load_g = NONE};
    PoiseResting resting;
    if (!in->has_seat)
        return h;
    PoiseSeat seat = {.rest = poise_axes_point(axes, in->rest_mm),
                      .half_width_mm = 0.5 * in->seat_width_mm,
                      .has_arm = in->has_arm,
                      .arm = poise_axes_point(axes, in->arm_mm),
                      .arm_g = in->arm_g.value};
    if (poise_seat_rest(&seat, w->centre, w->total.mass_g, angle_deg,
                        w->has_hand ? w->hand : seat.rest, &resting))
        return h;
    h.known = true;
    h.verdict = resting.verdict;
    h.margin_mm = resting.window_mm.hi - resting.horizontal_mm;
    h.hand_load_g = w->has_hand || resting.verdict == POISE_HOLDS ? resting.hand_load_g : NONE;
    return h;
}

PoiseStatus poise_task_state(const PoiseRemedyTask *t, const PoiseInstrument *in,
                             const PoiseWeighing *w, PoiseRemedyState *state, PoiseFaults *faults)
{
    (void)faults;
    PoiseAxes axes = poise_frame_axes(&in->frame);
    *state = (PoiseRemedyState){.mass_g = w->total.mass_g,
                                .filament_g = w->filament_g,
                                .hours = w->filament_h,
                                .price = w->price,
                                .angle_count = t->angle_count};
    for (size_t i = 0; i < t->angle_count; i++) {
        state->strap[i] = hold_on_strap(w, t->angles_deg[i]);
        state->leg[i] = hold_on_leg(in, &axes, w, t->angles_deg[i]);
    }
    return POISE_OK;
}

static double comparable(const PoiseGoal *g, double by)
{
    return *poise_goal_unit(g) == 'g' ? by : POISE_REMEDY_GRAMS_PER_MM * by;
}

const PoiseGoal *poise_goals_worst(const PoiseGoal *goals, size_t n, double mass_g,
                                   const double moment_gmm[3], double *short_by)
{
    const PoiseGoal *worst = NULL;
    double most = -INFINITY;
    for (size_t i = 0; i < n; i++) {
        double excess = poise_goal_excess(&goals[i], mass_g, moment_gmm);
        if (poise_goal_met(&goals[i], excess, mass_g))
            continue;
        double by = poise_goal_short(&goals[i], excess, mass_g);
        double grams = comparable(&goals[i], by);
        if (grams > most) {
            most = grams;
            worst = &goals[i];
            *short_by = by;
        }
    }
    return worst;
}

bool poise_goals_met(const PoiseGoal *goals, size_t n, double mass_g, const double moment_gmm[3])
{
    double by;
    return !poise_goals_worst(goals, n, mass_g, moment_gmm, &by);
}

double poise_stance_short(const PoiseRemedyTask *t, const PoiseStanceSetting *setting,
                          double mass_g, const double moment_gmm[3], PoiseGoal *worst,
                          double *short_by)
{
    PoiseGoal goals[POISE_MOST_GOALS];
    size_t n;
    if (!poise_task_goals(t, setting, goals, &n))
        return INFINITY;
    const PoiseGoal *g = poise_goals_worst(goals, n, mass_g, moment_gmm, short_by);
    if (!g)
        return 0.0;
    *worst = *g;
    return comparable(g, *short_by);
}

PoiseLinearSum poise_task_item(const PoiseRemedyTask *t, size_t item)
{
    return poise_linear_sum(&t->linear->items[item].setting, t->linear->origin_mm);
}

void poise_task_per_gram(const PoiseRemedyTask *t, const double at_mm[3], double moment_mm[3])
{
    for (int i = 0; i < 3; i++)
        moment_mm[i] = at_mm[i] - t->linear->origin_mm[i];
}
