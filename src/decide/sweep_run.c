/* Running a sweep: blocks of candidates on several threads, rounds of blocks in grid order. What is
 * kept from one round to the next is merged by one thread in the order of the blocks, so that
 * nothing depends on the number of threads. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "decide/front.h"
#include "decide/sweep_plan.h"
#include "geometry/parallel.h"

/* Candidates of one block, and blocks of one round: enough to keep 16 threads busy for a while,
 * small enough for the rows to stay in a cache. */
enum { BLOCK = 2048, BLOCKS = 16 };

/* What one block found. */
typedef struct Tally {
    size_t rows, points;
    uint64_t impossible, judged, holding, met;
    bool has_best;
    PoiseSweepRow best;
} Tally;

typedef struct Run {
    const PoiseSweep *sweep;
    const PoiseFront *front;
    bool on_strap, on_leg;
    uint64_t start, count; /* of the round */
    PoiseSweepRow *rows;
    PoiseFrontPoint *points, *stairs;
    Tally tallies[BLOCKS];
} Run;

/* Where a thread is in the grid: sums[t] is the fixed items' plus the terms' before t. */
typedef struct Walk {
    size_t values[POISE_SWEEP_MOST_AXES];
    PoiseLinearSum *sums;
    PoiseStance stance;
} Walk;

static PoiseLinearSum term_sum(const PoiseSweep *s, const PoiseSweepTerm *term,
                               const size_t *values)
{
    if (term->table)
        return term->table[poise_sweep_entry(&term->span, values)];
    return poise_sweep_put_together(s, term, values);
}

/* Brings the walk up to date after the values of axis `axis` and those behind it have changed. */
static void refresh(const PoiseSweep *s, Walk *w, size_t axis)
{
    for (size_t t = 0; t < s->term_count; t++) {
        const PoiseSweepTerm *term = &s->terms[t];
        if (term->span.axes[term->span.count - 1] < axis)
            continue;
        PoiseLinearSum one = term_sum(s, term, w->values);
        w->sums[t + 1] = w->sums[t];
        poise_linear_add(&w->sums[t + 1], &one);
    }
    const PoiseSweepSpan *span = &s->stance.span;
    if (span->count && span->axes[span->count - 1] >= axis)
        w->stance = poise_sweep_take_stance(s, w->values);
}

/* The next candidate; returns the first axis that changed. */
static size_t step(const PoiseSweep *s, Walk *w)
{
    size_t axis = s->axis_count;
    while (axis-- > 0) {
        if (++w->values[axis] < s->axes[axis].count)
            return axis;
        w->values[axis] = 0;
    }
    return 0;
}

static PoiseSweepRow row_of(const PoiseStance *stance, const PoiseLinearSum *sum, uint64_t index)
{
    double no = (double)NAN;
    PoiseSweepRow row = {.index = index,
                         .mass_g = sum->mass_g,
                         .station_mm = no,
                         .margin_mm = no,
                         .hand_load_g = no,
                         .seat_hand_load_g = no,
                         .filament_g = sum->filament_g,
                         .hours = sum->hours,
                         .price = sum->priced > 0.0 ? sum->price : no};
    if (!(sum->mass_g > 0.0)) { /* nothing that could be held */
        row.mass_g = row.filament_g = row.hours = row.price = no;
        return row;
    }
    PoiseBalance b = poise_stance_judge(stance, sum->mass_g, sum->moment_gmm);
    row.station_mm = b.station_mm;
    row.margin_mm = b.margin_mm;
    row.hand_load_g = b.hand_load_g;
    row.seat_hand_load_g = b.seat_hand_load_g;
    row.verdict = b.verdict;
    row.seat_verdict = b.seat_verdict;
    row.has_strap = b.has_strap;
    row.has_seat = b.has_seat;
    row.targets_met = b.targets_met;
    return row;
}

/* The load the front is about. */
static double load_of(bool on_strap, bool on_leg, const PoiseSweepRow *row)
{
    if (on_strap)
        return fabs(row->hand_load_g);
    return on_leg ? fabs(row->seat_hand_load_g) : 0.0;
}

static bool better(bool on_strap, bool on_leg, const PoiseSweepRow *a, const PoiseSweepRow *b)
{
    double x = load_of(on_strap, on_leg, a), y = load_of(on_strap, on_leg, b);
    if (x != y)
        return x < y;
    if (a->mass_g != b->mass_g)
        return a->mass_g < b->mass_g;
    return a->filament_g < b->filament_g;
}

static void judge_row(const Run *run, const PoiseSweepRow *row, double load, Tally *tally)
{
    tally->judged++;
    tally->holding += load == 0.0 ? 1 : 0;
    if (!tally->has_best || better(run->on_strap, run->on_leg, row, &tally->best)) {
        tally->has_best = true;
        tally->best = *row;
    }
}

static void count_row(const Run *run, const PoiseSweepRow *row, Tally *tally,
                      PoiseFrontPoint *points)
{
    if (isnan(row->mass_g)) {
        tally->impossible++;
        return;
    }
    double load = load_of(run->on_strap, run->on_leg, row);
    tally->met += row->targets_met ? 1 : 0;
    if (isnan(load))
        return;
    if (run->on_strap || run->on_leg)
        judge_row(run, row, load, tally);
    PoiseFrontPoint p = {{row->mass_g, load, row->filament_g}, row->index};
    if (!poise_front_beaten(run->front, p.by))
        points[tally->points++] = p;
}

static PoiseStatus run_block(void *context, size_t worker, size_t round)
{
    (void)worker;
    Run *run = context;
    const PoiseSweep *s = run->sweep;
    uint64_t first = round * (uint64_t)BLOCK, n = run->count - first;
    size_t rows = n < BLOCK ? (size_t)n : BLOCK;
    Tally *tally = &run->tallies[round];
    PoiseFrontPoint *points = &run->points[first];
    *tally = (Tally){.rows = rows};
    Walk walk = {.sums = poise_alloc_zero(s->term_count + 1, sizeof *walk.sums)};
    if (!walk.sums)
        return POISE_E_MEMORY;
    walk.sums[0] = s->fixed;
    poise_sweep_choice(s, run->start + first, walk.values);
    walk.stance = poise_sweep_take_stance(s, walk.values);
    refresh(s, &walk, 0);
    for (size_t i = 0; i < rows; i++) {
        PoiseSweepRow *row = &run->rows[first + i];
        *row = row_of(&walk.stance, &walk.sums[s->term_count], run->start + first + i);
        count_row(run, row, tally, points);
        if (i + 1 < rows)
            refresh(s, &walk, step(s, &walk));
    }
    tally->points =
        poise_front_reduce(points, tally->points, run->front->step, &run->stairs[2 * first]);
    poise_release(walk.sums);
    return POISE_OK;
}

static void add_tally(const Run *run, const Tally *t, PoiseSweepFindings *found)
{
    found->count += t->rows;
    found->impossible += t->impossible;
    found->judged += t->judged;
    found->holding += t->holding;
    found->met += t->met;
    if (t->has_best &&
        (!found->has_best || better(run->on_strap, run->on_leg, &t->best, &found->best))) {
        found->has_best = true;
        found->best = t->best;
    }
}

/* All blocks of a round at once: sorting the front again for each would cost more than the rest. */
static PoiseStatus merge_round(Run *run, size_t blocks, PoiseFront *front,
                               PoiseSweepFindings *found)
{
    size_t n = 0;
    for (size_t b = 0; b < blocks; b++) {
        add_tally(run, &run->tallies[b], found);
        memmove(&run->points[n], &run->points[b * BLOCK],
                run->tallies[b].points * sizeof *run->points);
        n += run->tallies[b].points;
    }
    return poise_front_merge(front, run->points, n);
}

static PoiseStatus run_rounds(Run *run, PoiseFront *front, PoiseSweepSink *sink, void *context,
                              PoiseSweepFindings *found)
{
    const PoiseSweep *s = run->sweep;
    size_t threads = poise_thread_count(s->options.threads);
    while (run->start < s->count) {
        uint64_t left = s->count - run->start, most = (uint64_t)BLOCK * BLOCKS;
        run->count = left < most ? left : most;
        size_t blocks = (size_t)((run->count + BLOCK - 1) / BLOCK);
        PoiseStatus status = poise_parallel(threads, blocks, run_block, run, NULL);
        if (!status)
            status = merge_round(run, blocks, front, found);
        if (!status && sink)
            status = sink(run->rows, (size_t)run->count, context);
        if (status)
            return status;
        run->start += run->count;
        if (s->options.progress)
            s->options.progress("sweep", (double)run->start / (double)s->count, s->options.context);
    }
    return POISE_OK;
}

/* The rows of the front, computed once more. */
static PoiseStatus gather_front(const PoiseSweep *s, const PoiseFront *front,
                                PoiseSweepFindings *found)
{
    found->front = poise_alloc_zero(front->count, sizeof *found->front);
    Walk walk = {.sums = poise_alloc_zero(s->term_count + 1, sizeof *walk.sums)};
    PoiseStatus status = found->front && walk.sums ? POISE_OK : POISE_E_MEMORY;
    for (size_t i = 0; i < front->count && !status; i++) {
        walk.sums[0] = s->fixed;
        poise_sweep_choice(s, front->points[i].index, walk.values);
        walk.stance = poise_sweep_take_stance(s, walk.values);
        refresh(s, &walk, 0);
        found->front[found->front_count++] =
            row_of(&walk.stance, &walk.sums[s->term_count], front->points[i].index);
    }
    found->front_step_g = front->step;
    poise_release(walk.sums);
    return status;
}

PoiseStatus poise_sweep_run(const PoiseSweep *s, PoiseSweepSink *sink, void *context,
                            PoiseSweepFindings *found, PoiseFaults *faults)
{
    *found = (PoiseSweepFindings){.on_strap = s->base->has_posts && s->base->has_strap,
                                  .on_leg = s->base->has_seat};
    Run run = {.sweep = s, .on_strap = found->on_strap, .on_leg = found->on_leg};
    PoiseFront *front = poise_alloc_zero(1, sizeof *front);
    size_t n = (size_t)BLOCK * BLOCKS;
    run.rows = poise_alloc(n * sizeof *run.rows);
    run.points = poise_alloc(n * sizeof *run.points);
    run.stairs = poise_alloc(2 * n * sizeof *run.stairs);
    run.front = front;
    PoiseStatus status = POISE_E_MEMORY;
    if (front && run.rows && run.points && run.stairs) {
        poise_front_begin(front);
        status = run_rounds(&run, front, sink, context, found);
        if (!status)
            status = gather_front(s, front, found);
        poise_front_clear(front);
    }
    poise_release(front);
    poise_release(run.rows);
    poise_release(run.points);
    poise_release(run.stairs);
    return status == POISE_E_MEMORY ? poise_fault_memory(faults) : status;
}

void poise_sweep_findings_free(PoiseSweepFindings *found)
{
    poise_release(found->front);
    *found = (PoiseSweepFindings){0};
}
