#include "geometry/section_skin.h"

#include "base/memory.h"

/* Lines handled by one round: their intervals over a few hundred layers stay in a core's own cache.
 */
#define BAND ((size_t)64)

/* The window of a layer. Layers beyond the part are empty, so that its first and last layers are
 * skin. */
typedef enum Window { WHOLE, NONE, ASK } Window;

typedef struct Job {
    const PoiseLayerRuns *runs;
    size_t bands;
    size_t base, regions; /* runs base … base + regions − 1 are asked about */
    size_t queries;
    PoiseCommonQuery *ask; /* the queries; then for each round the same with its answers */
    PoiseFlat *own;        /* for each round, each region alone */
} Job;

static Window window_of(const PoiseLayerRuns *r, size_t layer, size_t *from, size_t *to)
{
    if (r->top == 0 && r->bottom == 0)
        return WHOLE;
    if (layer < r->bottom || r->plan->layers - 1 - layer < r->top)
        return NONE;
    *from = r->run_of[layer - r->bottom];
    *to = r->run_of[layer + r->top];
    return *from == *to ? WHOLE : ASK;
}

/* The different windows of the layers, in order; their number when `queries` is NULL too. */
static size_t list_queries(const PoiseLayerRuns *r, size_t first, size_t end,
                           PoiseCommonQuery *queries)
{
    size_t n = 0, from, to, last_from = SIZE_MAX, last_to = SIZE_MAX;
    for (size_t k = first; k < end; k++) {
        if (window_of(r, k, &from, &to) != ASK || (from == last_from && to == last_to))
            continue;
        if (queries)
            queries[n] = (PoiseCommonQuery){.from = from, .to = to};
        n++;
        last_from = from;
        last_to = to;
    }
    return n;
}

static PoiseStatus ask_band(void *context, size_t worker, size_t round)
{
    (void)worker;
    Job *job = context;
    const PoiseScan *scan = &job->runs->plan->scan;
    size_t n = round / job->bands, band = round % job->bands;
    size_t first = band * BAND, last = first + BAND < scan->lines ? first + BAND : scan->lines;
    const PoiseSpans **spans = poise_resize(NULL, job->regions, sizeof(const PoiseSpans *));
    if (!spans)
        return POISE_E_MEMORY;
    for (size_t r = 0; r < job->regions; r++)
        spans[r] = &job->runs->regions[job->base + r].spans[n];
    PoiseCommonQuery *queries = job->ask + (round + 1) * job->queries;
    for (size_t q = 0; q < job->queries; q++)
        queries[q] = (PoiseCommonQuery){.from = job->ask[q].from - job->base,
                                        .to = job->ask[q].to - job->base};
    PoiseStatus status =
        poise_spans_common((const PoiseSpans *const *)spans, job->regions, scan, first, last,
                           job->own + round * job->regions, queries, job->queries);
    poise_release(spans);
    return status;
}

/* What the regions of query q have in common inside n perimeters. The lines' answer is corrected by
 * what the lines get wrong about the smallest of the regions, in proportion to how much of it is
 * common: exact when the common part is one of the regions, as it is wherever a solid only tapers,
 * widens or steps. */
static PoiseFlat common_of(const Job *job, size_t n, size_t q)
{
    PoiseFlat common = {0}, least = {0};
    for (size_t b = 0; b < job->bands; b++)
        common =
            poise_flat_add(common, job->ask[(n * job->bands + b + 1) * job->queries + q].common, 1);
    size_t smallest = job->ask[q].from;
    for (size_t r = job->ask[q].from; r <= job->ask[q].to; r++) {
        PoiseFlat own = {0};
        for (size_t b = 0; b < job->bands; b++)
            own = poise_flat_add(
                own, job->own[(n * job->bands + b) * job->regions + (r - job->base)], 1);
        if (r == job->ask[q].from || own.area < least.area) {
            least = own;
            smallest = r;
        }
    }
    if (!(least.area > 0))
        return (PoiseFlat){0};
    double share = common.area < least.area ? common.area / least.area : 1;
    common = poise_flat_add(common, job->runs->regions[smallest].exact[n], share);
    return poise_flat_add(common, least, -share);
}

static void add_layers(const Job *job, size_t first, size_t end, size_t n, PoiseTally tally[3])
{
    const PoiseLayerRuns *r = job->runs;
    double height = r->plan->layer_mm;
    size_t q = 0, from, to;
    PoiseFlat common = {0};
    bool have = false;
    for (size_t k = first; k < end; k++) {
        const PoiseLayerRegions *regions = &r->regions[r->run_of[k]];
        double z = r->plan->planes[k] - r->plan->centre[2];
        PoiseFlat inside = regions->exact[n], infill = {0};
        switch (window_of(r, k, &from, &to)) {
        case WHOLE:
            infill = inside;
            break;
        case NONE:
            break;
        case ASK:
            if (!have || job->ask[q].from != from || job->ask[q].to != to) {
                q += have ? 1 : 0;
                have = true;
                common = common_of(job, n, q);
            }
            infill = common.area < inside.area ? common : inside;
            break;
        }
        PoiseFlat rim = poise_flat_add(regions->exact[0], inside, -1);
        PoiseFlat skin = poise_flat_add(inside, infill, -1);
        poise_tally_prism(&tally[0], &rim, z, height, 1);
        poise_tally_prism(&tally[1], &skin, z, height, 1);
        poise_tally_prism(&tally[2], &infill, z, height, 1);
    }
}

PoiseStatus poise_skins_divide(const PoiseLayerRuns *runs, size_t from, size_t to,
                               PoiseTally tallies[POISE_SPLITS][3])
{
    Job job = {.runs = runs, .bands = (runs->plan->scan.lines + BAND - 1) / BAND};
    job.queries = list_queries(runs, from, to, NULL);
    PoiseStatus status = POISE_OK;
    if (job.queries) {
        size_t rounds = POISE_SPLITS * job.bands;
        job.ask = poise_resize(NULL, (rounds + 1) * job.queries, sizeof *job.ask);
        if (job.ask) {
            list_queries(runs, from, to, job.ask);
            job.base = job.ask[0].from;
            job.regions = job.ask[job.queries - 1].to - job.base + 1;
            job.own = poise_resize(NULL, rounds * job.regions, sizeof *job.own);
        }
        status = job.own ? poise_parallel(runs->threads, rounds, ask_band, &job, runs->progress)
                         : POISE_E_MEMORY;
    }
    for (size_t n = 0; !status && n < POISE_SPLITS; n++)
        add_layers(&job, from, to, n, tallies[n]);
    poise_release(job.ask);
    poise_release(job.own);
    return status;
}
