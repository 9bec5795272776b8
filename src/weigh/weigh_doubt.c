/* How far the results of weighing may be off. */
#include <string.h>

#include "doubt/normal.h"
#include "doubt/trials.h"
#include "weigh/weigh_parts.h"

static PoiseStatus run_trials(const PoiseDoubtProblem *problem, const PoiseWeighOptions *options,
                              PoiseWeighing *w)
{
    if (options->trials == 0 && !options->adaptive_trials)
        return POISE_OK;
    const PoiseTrialOptions how = {.trials = options->trials,
                                   .adaptive = options->adaptive_trials,
                                   .seed = options->seed,
                                   .threads = options->threads};
    PoiseStatus status = poise_trials(problem, &how, &w->trials);
    if (status)
        return status;
    w->has_trials = true;
    w->p_neck_heavy = w->trials.p_neck_heavy;
    return POISE_OK;
}

PoiseStatus poise_weigh_doubt(const PoiseInstrument *in, const PoiseWeighOptions *options,
                              const PoiseAxes *axes, const PoiseLedgerEntry *entries,
                              const PoisePosture *posture, PoiseWeighing *w)
{
    PoiseSources sources;
    PoiseStatus status = poise_sources(entries, in->item_count, w->total.centre_mm, &sources);
    if (status)
        return status;
    PoiseDoubtProblem problem = {.posture = *posture,
                                 .instrument = in,
                                 .entries = entries,
                                 .sources = &sources,
                                 .friction_u = in->friction.u,
                                 .length_u = in->strap_mm.u,
                                 .angle_u = in->neck_angle_deg.u,
                                 .arm_u = in->arm_g.u};
    memcpy(problem.axes[0], axes->x, sizeof axes->x);
    memcpy(problem.axes[1], axes->y, sizeof axes->y);
    memcpy(problem.axes[2], axes->z, sizeof axes->z);
    status = poise_doubts(&problem, &w->doubts, &w->budget, &w->budget_count);
    if (!status) {
        w->margin_u_mm = w->doubts.margin_mm;
        w->p_neck_heavy = poise_normal_below(0.0, w->hanging.margin_mm, w->margin_u_mm);
        status = run_trials(&problem, options, w);
    }
    poise_sources_free(&sources);
    return status;
}
