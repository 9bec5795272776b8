#include "doubt/monte_carlo.h"

#include "doubt/random.h"

typedef struct Problem {
    PoiseModel *model;
    const void *context;
    size_t n, m;
    const PoiseDistribution *inputs;
    uint64_t seed;
} Problem;

static void run_block(void *context, uint64_t first, size_t n, double *const *out)
{
    const Problem *p = context;
    double x[POISE_MOST_INPUTS], y[POISE_MOST_SAMPLED], u[2];
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < p->n; k++) {
            if (k % 2 == 0)
                poise_uniform_pair(p->seed, first + i, (uint32_t)(k / 2), u);
            x[k] = poise_distribution_at(&p->inputs[k], u[k % 2]);
        }
        p->model(x, y, p->context);
        for (size_t k = 0; k < p->m; k++)
            out[k][i] = y[k];
    }
}

PoiseStatus poise_monte_carlo(PoiseModel *model, const void *context, size_t n,
                              const PoiseDistribution *inputs, size_t m,
                              const PoiseTrialOptions *options, PoiseSamples *samples)
{
    *samples = (PoiseSamples){0};
    if (n > POISE_MOST_INPUTS)
        return POISE_E_USAGE;
    Problem problem = {model, context, n, m, inputs, options->seed};
    PoiseRun run = {run_block, &problem, m, *options, POISE_MOST_TRIALS};
    return poise_run_trials(&run, samples);
}
