#include "poise/section.h"

#include <math.h>

#include "base/faults.h"
#include "base/memory.h"
#include "geometry/reduce.h"
#include "geometry/section_skin.h"

/* Layers are handled in runs of about this many triangle cuts, so that memory stays bounded however
 * large the mesh: a cut is an outline point of 16 bytes at most, and some 12 bytes in each of 9
 * regions. */
#define CUTS_AT_A_TIME   ((size_t)1 << 20)
#define LAYERS_AT_A_TIME ((size_t)1024)
/* Outlines that differ by less than this, mm, are equal: the grid of the contours and the
 * straightness of their edges leave differences of half of it. */
#define SAME_MM 1e-5

typedef struct Job {
    PoiseSectionPlan plan;
    PoiseSlices slices;
    PoiseSlicing slicing;
    size_t threads;
    PoiseLayerWork *work;       /* per thread */
    uint32_t *run_of;           /* per layer */
    PoiseLayerRegions *regions; /* per run of equal layers */
    size_t runs;
    size_t divided, released; /* layers done; runs whose spans are gone */
    PoiseRings last;          /* outline of the last run */
    PoiseTally tallies[POISE_SPLITS][3], overlap;
    PoiseProgress progress;
    /* of the layers under way */
    PoiseSliceRun cut;
    PoiseRings *outlines;
    size_t first_run;
    size_t *outline_of; /* per new run: which outline */
} Job;

PoiseSlicing poise_slicing_default(void)
{
    return (PoiseSlicing){.layer_mm = 0.2, .line_mm = 0.45, .top = 5, .bottom = 4, .up = {0, 0, 1}};
}

static PoiseStatus outline_round(void *context, size_t worker, size_t round)
{
    Job *job = context;
    return poise_layer_outline(&job->plan, &job->slices, &job->cut, job->cut.begin + round,
                               &job->work[worker], &job->outlines[round]);
}

static PoiseStatus region_round(void *context, size_t worker, size_t round)
{
    Job *job = context;
    bool with_spans = job->slicing.top > 0 || job->slicing.bottom > 0;
    return poise_layer_regions(&job->plan, &job->outlines[job->outline_of[round]],
                               job->slicing.line_mm, with_spans, &job->work[worker],
                               &job->regions[job->first_run + round]);
}

/* Tells which layers continue the run below them. */
static void find_runs(Job *job)
{
    size_t n = job->cut.end - job->cut.begin;
    const PoiseRings *last = job->runs ? &job->last : NULL;
    job->first_run = job->runs;
    for (size_t i = 0; i < n; i++) {
        if (!last || !poise_rings_same(last, &job->outlines[i], SAME_MM)) {
            last = &job->outlines[i];
            job->outline_of[job->runs - job->first_run] = i;
            job->runs++;
        }
        job->run_of[job->cut.begin + i] = (uint32_t)(job->runs - 1);
    }
}

static PoiseProgress part_of(const PoiseProgress *whole, double from, double to)
{
    PoiseProgress part = *whole;
    part.from = whole->from + (whole->to - whole->from) * from;
    part.to = whole->from + (whole->to - whole->from) * to;
    return part;
}

/* Divides the layers whose windows are complete and lets go of what no later window needs. */
static PoiseStatus divide(Job *job, const PoiseProgress *progress)
{
    size_t bottom = (size_t)job->slicing.bottom, top = (size_t)job->slicing.top,
           layers = job->plan.layers;
    size_t known = job->cut.end, ready = known == layers ? layers : known > top ? known - top : 0;
    if (ready <= job->divided)
        return POISE_OK;
    PoiseLayerRuns runs = {.plan = &job->plan,
                           .run_of = job->run_of,
                           .regions = job->regions,
                           .top = top,
                           .bottom = bottom,
                           .threads = job->threads,
                           .progress = progress};
    PoiseStatus status = poise_skins_divide(&runs, job->divided, ready, job->tallies);
    if (status)
        return status;
    for (size_t k = job->divided; k < ready; k++)
        poise_tally_prism(&job->overlap, &job->regions[job->run_of[k]].overlap,
                          job->plan.planes[k] - job->plan.centre[2], job->plan.layer_mm, 1);
    job->divided = ready;
    size_t needed = ready == layers ? job->runs : job->run_of[ready > bottom ? ready - bottom : 0];
    for (; job->released < needed; job->released++)
        poise_layer_regions_release(&job->regions[job->released]);
    return POISE_OK;
}

static PoiseStatus slice_some(Job *job, const PoiseProgress *progress)
{
    size_t n = job->cut.end - job->cut.begin;
    PoiseProgress cutting = part_of(progress, 0, 0.2), shrinking = part_of(progress, 0.2, 0.7),
                  dividing = part_of(progress, 0.7, 1);
    PoiseStatus status = poise_parallel(job->threads, n, outline_round, job, &cutting);
    if (status)
        return status;
    find_runs(job);
    status =
        poise_parallel(job->threads, job->runs - job->first_run, region_round, job, &shrinking);
    if (status)
        return status;
    if (job->runs > job->first_run) {
        poise_rings_release(&job->last);
        poise_rings_swap(&job->last,
                         &job->outlines[job->outline_of[job->runs - 1 - job->first_run]]);
    }
    return divide(job, &dividing);
}

static PoiseStatus slice_from(Job *job, size_t begin, size_t *end)
{
    size_t cuts = 0, layers = job->plan.layers;
    for (*end = begin; *end < layers && *end - begin < LAYERS_AT_A_TIME; (*end)++) {
        cuts += job->slices.crossings[*end];
        if (cuts > CUTS_AT_A_TIME && *end > begin)
            break;
    }
    size_t n = *end - begin;
    PoiseProgress progress =
        part_of(&job->progress, (double)begin / (double)layers, (double)*end / (double)layers);
    job->outlines = poise_alloc_zero(n, sizeof *job->outlines);
    job->outline_of = poise_resize(NULL, n, sizeof *job->outline_of);
    PoiseStatus status = POISE_E_MEMORY;
    if (job->outlines && job->outline_of) {
        status = poise_slices_run(&job->slices, begin, *end, &job->cut);
        if (!status)
            status = slice_some(job, &progress);
    }
    poise_slice_run_release(&job->cut);
    for (size_t i = 0; job->outlines && i < n; i++)
        poise_rings_release(&job->outlines[i]);
    poise_release(job->outlines);
    poise_release(job->outline_of);
    job->outlines = NULL;
    job->outline_of = NULL;
    return status;
}

static PoiseStatus slice_all(Job *job, const PoiseMesh *mesh)
{
    size_t layers = job->plan.layers;
    job->slices = (PoiseSlices){.vertices = job->plan.vertices,
                                .triangles = mesh->triangles,
                                .triangle_count = mesh->triangle_count,
                                .planes = job->plan.planes,
                                .layers = layers};
    job->work = poise_alloc_zero(job->threads, sizeof *job->work);
    job->run_of = poise_alloc_zero(layers, sizeof *job->run_of);
    job->regions = poise_alloc_zero(layers, sizeof *job->regions);
    if (!job->work || !job->run_of || !job->regions)
        return POISE_E_MEMORY;
    PoiseStatus status = poise_slices_build(&job->slices, job->threads);
    for (size_t k = 0; !status && k < layers;)
        status = slice_from(job, k, &k);
    return status;
}

static void release(Job *job)
{
    for (size_t i = 0; job->work && i < job->threads; i++)
        poise_layer_work_release(&job->work[i]);
    for (size_t i = job->released; job->regions && i < job->runs; i++)
        poise_layer_regions_release(&job->regions[i]);
    poise_release(job->work);
    poise_release(job->run_of);
    poise_release(job->regions);
    poise_rings_release(&job->last);
    poise_slices_release(&job->slices);
    poise_section_plan_release(&job->plan);
}

static PoiseStatus explain(PoiseStatus status, const char *name, PoiseFaults *faults)
{
    switch (status) {
    case POISE_E_MEMORY:
        return poise_fault_memory(faults);
    case POISE_E_MESH:
        return poise_fault_say(faults, status, name,
                               "the triangles do not close: a cut through the mesh "
                               "has a loose end, expected a closed solid");
    case POISE_E_INTERNAL:
        return poise_fault_say(faults, status, name,
                               "the geometry library could not shrink or unite the "
                               "outline of a layer");
    default:
        return status;
    }
}

/* The exact solid: overlapping shells count their common part more often than once in the mesh's
 * moments, which the layers have measured. */
static PoiseStatus sum_up(const Job *job, const char *name, const PoiseMoments *mesh_moments,
                          PoiseSection *section, PoiseFaults *faults)
{
    PoiseMoments overlap = poise_tally_moments(&job->overlap, &job->plan);
    section->solid = poise_moments_about(mesh_moments, overlap.origin_mm);
    poise_moments_add(&section->solid, &overlap, -1);
    section->layers = job->plan.layers;
    section->distinct_layers = job->runs;
    for (size_t k = 0; k < job->plan.layers; k++)
        section->simplified_mm2 += job->regions[job->run_of[k]].simplified_mm2;
    for (int n = 0; n < POISE_SPLITS; n++) {
        PoiseSplit *split = &section->splits[n];
        split->perimeter = poise_tally_moments(&job->tallies[n][0], &job->plan);
        split->skin = poise_tally_moments(&job->tallies[n][1], &job->plan);
        split->infill = poise_tally_moments(&job->tallies[n][2], &job->plan);
        double layered =
            split->perimeter.volume_mm3 + split->skin.volume_mm3 + split->infill.volume_mm3;
        if (n == 0)
            section->layered_mm3 = layered;
        if (!(layered > 0))
            return poise_fault_say(
                faults, POISE_E_MESH, name,
                "no layer's middle meets the solid, expected it to be thicker than a layer");
        poise_split_fit(split, &section->solid);
    }
    return POISE_OK;
}

PoiseStatus poise_section_slice(const PoiseMesh *mesh, const char *name,
                                const PoiseSlicing *slicing, int threads,
                                void (*progress)(double fraction, void *context), void *context,
                                PoiseSection *section, PoiseFaults *faults)
{
    *section = (PoiseSection){0};
    Job job = {.slicing = *slicing,
               .threads = poise_thread_count(threads),
               .progress = {.report = progress, .context = context, .from = 0, .to = 1}};
    PoiseStatus status = poise_section_plan(mesh, name, slicing, &job.plan, faults);
    if (!status) {
        PoiseMoments moments = poise_mesh_moments(mesh);
        if (!(moments.volume_mm3 > 0))
            status = poise_fault_say(
                faults, POISE_E_MESH, name,
                "the mesh encloses %g mm³, expected a positive volume; it is inside out "
                "when negative",
                moments.volume_mm3);
        if (!status)
            status = explain(slice_all(&job, mesh), name, faults);
        if (!status)
            status = sum_up(&job, name, &moments, section, faults);
    }
    release(&job);
    return status;
}
