/* Blocks of trials. The adaptive procedure is that of JCGM 101:2008, 7.9.4: the mean, the standard
 * uncertainty and the two ends of the 95 % interval are found for each block; the spread of these
 * over the blocks tells how far their averages are settled. */
#include "doubt/run_trials.h"

#include <math.h>

#include "base/memory.h"
#include "geometry/parallel.h"

/* What a block says of a result: mean, u, low end, high end. */
enum { ESTIMATES = 4 };
/* Adaptive: blocks between looks. More keep every thread busy; what was run beyond the block at
 * which it settled is thrown away. */
enum { BLOCKS_PER_LOOK = 8 };
static const int DIGITS = 2;

typedef struct Block {
    PoiseTally tallies[POISE_MOST_SAMPLED];
    double estimates[POISE_MOST_SAMPLED][ESTIMATES];
} Block;

typedef struct Job {
    const PoiseRun *run;
    PoiseSamples *samples;
    Block *blocks;
    size_t first_block, end_trial;
} Job;

double poise_numerical_tolerance(double u, int digits)
{
    if (!(u > 0.0) || !isfinite(u))
        return 0.0;
    double power = floor(log10(u)) - (digits - 1);
    /* 9.96 to two digits is 10. */
    if (round(u / pow(10.0, power)) >= pow(10.0, digits))
        power += 1.0;
    return 0.5 * pow(10.0, power);
}

/* The four estimates of one block. */
static PoiseStatus estimate(Block *b, size_t k, const double *values, size_t n)
{
    PoiseSampled s;
    PoiseStatus status = poise_sampled(values, n, &b->tallies[k], &s);
    b->estimates[k][0] = s.mean;
    b->estimates[k][1] = s.u;
    b->estimates[k][2] = s.interval_95.lo;
    b->estimates[k][3] = s.interval_95.hi;
    return status;
}

static PoiseStatus run_block(void *context, size_t worker, size_t round)
{
    (void)worker;
    Job *job = context;
    PoiseSamples *samples = job->samples;
    size_t index = job->first_block + round, first = index * POISE_BLOCK_TRIALS;
    size_t n = job->end_trial - first;
    if (n > POISE_BLOCK_TRIALS)
        n = POISE_BLOCK_TRIALS;
    double *out[POISE_MOST_SAMPLED];
    for (size_t k = 0; k < samples->results; k++)
        out[k] = samples->values + k * samples->stride + first;
    job->run->block(job->run->context, first, n, out);
    Block *b = &job->blocks[index];
    PoiseStatus status = POISE_OK;
    for (size_t k = 0; k < samples->results && !status; k++) {
        b->tallies[k] = poise_tally_of(out[k], n);
        if (job->run->options.adaptive)
            status = estimate(b, k, out[k], n);
    }
    return status;
}

/* Twice the standard deviation of the average of h estimates (7.9.4 i). */
static double unsettled(const Block *blocks, size_t h, size_t k, int which)
{
    double estimates_sum = 0.0, squares = 0.0, n = (double)h;
    for (size_t i = 0; i < h; i++)
        estimates_sum += blocks[i].estimates[k][which];
    for (size_t i = 0; i < h; i++) {
        double d = blocks[i].estimates[k][which] - estimates_sum / n;
        squares += d * d;
    }
    return 2.0 * sqrt(squares / (n * (n - 1.0)));
}

/* A result that seldom exists, or whose 95 % interval is one value (a hand load that is 0 but for a
 * few trials in a hundred), does not hold the others up: its u hangs on a handful of trials. */
static bool result_settled(const Block *blocks, size_t h, size_t k)
{
    PoiseTally all = blocks[0].tallies[k];
    bool varies = false;
    for (size_t i = 0; i < h; i++) {
        if (i > 0)
            all = poise_tally_join(&all, &blocks[i].tallies[k]);
        varies = varies || blocks[i].estimates[k][2] < blocks[i].estimates[k][3];
    }
    if (!varies || all.count < h * POISE_BLOCK_TRIALS / 2)
        return true;
    double tolerance = poise_numerical_tolerance(poise_tally_u(&all), DIGITS);
    for (int which = 0; which < ESTIMATES; which++)
        if (unsettled(blocks, h, k, which) > tolerance)
            return false;
    return true;
}

/* The first h blocks, looked at for the first time at `from`, after which everything has settled; 0
 * when not yet. */
static size_t settled_after(const PoiseRun *run, const Block *blocks, size_t from, size_t to)
{
    for (size_t h = from < 2 ? 2 : from; h <= to; h++) {
        bool settled = true;
        for (size_t k = 0; k < run->results && settled; k++)
            settled = result_settled(blocks, h, k);
        if (settled)
            return h;
    }
    return 0;
}

static PoiseStatus run_blocks(Job *job, size_t blocks)
{
    size_t threads = poise_thread_count(job->run->options.threads);
    return poise_parallel(threads, blocks, run_block, job, NULL);
}

static PoiseStatus run_adaptive(Job *job, size_t most_blocks, size_t *used)
{
    size_t done = 0;
    *used = 0;
    while (*used == 0 && done < most_blocks) {
        size_t more = most_blocks - done < BLOCKS_PER_LOOK ? most_blocks - done : BLOCKS_PER_LOOK;
        job->first_block = done;
        PoiseStatus status = run_blocks(job, more);
        if (status)
            return status;
        *used = settled_after(job->run, job->blocks, done + 1, done + more);
        done += more;
    }
    job->samples->settled = *used > 0;
    if (*used == 0)
        *used = done;
    return POISE_OK;
}

static PoiseStatus run_all(Job *job, size_t trials)
{
    size_t blocks = (trials + POISE_BLOCK_TRIALS - 1) / POISE_BLOCK_TRIALS, used = blocks;
    job->end_trial = trials;
    PoiseStatus status =
        job->run->options.adaptive ? run_adaptive(job, blocks, &used) : run_blocks(job, blocks);
    if (status)
        return status;
    PoiseSamples *s = job->samples;
    s->trials = used < blocks ? used * POISE_BLOCK_TRIALS : trials;
    for (size_t k = 0; k < s->results; k++) {
        s->tallies[k] = job->blocks[0].tallies[k];
        for (size_t i = 1; i < used; i++)
            s->tallies[k] = poise_tally_join(&s->tallies[k], &job->blocks[i].tallies[k]);
    }
    return POISE_OK;
}

PoiseStatus poise_run_trials(const PoiseRun *run, PoiseSamples *samples)
{
    size_t trials = run->options.adaptive ? run->most : run->options.trials;
    *samples = (PoiseSamples){.results = run->results, .stride = trials};
    if (trials == 0 || trials > POISE_MOST_TRIALS || run->results == 0 ||
        run->results > POISE_MOST_SAMPLED)
        return POISE_E_USAGE;
    size_t blocks = (trials + POISE_BLOCK_TRIALS - 1) / POISE_BLOCK_TRIALS;
    Job job = {
        .run = run, .samples = samples, .blocks = poise_alloc_zero(blocks, sizeof *job.blocks)};
    /* Not cleared: an adaptive run touches only what it needs. */
    samples->values = poise_alloc(trials * run->results * sizeof *samples->values);
    PoiseStatus status = POISE_E_MEMORY;
    if (job.blocks && samples->values)
        status = run_all(&job, trials);
    poise_release(job.blocks);
    if (status)
        poise_samples_free(samples);
    return status;
}

void poise_samples_free(PoiseSamples *samples)
{
    poise_release(samples->values);
    samples->values = NULL;
}
