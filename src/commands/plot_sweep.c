#include "commands/plot_sweep.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "decide/sweep.h"
#include "output/words.h"

/* More points than this on one page are a stain; of a larger grid every so many are drawn. The
 * front is always drawn whole. */
enum { MOST_DRAWN = 3000 };

typedef struct Cloud {
    uint64_t every; /* one row of so many is kept */
    size_t count, front_count;
    PoiseSweepPoint *points;
    bool on_leg;
    bool has_best; /* lightest of all that meet every target, of these the easiest */
    PoiseSweepRow best;
} Cloud;

static PoiseSweepPoint point_of(const PoiseSweepRow *row, bool on_leg)
{
    return (PoiseSweepPoint){.mass_g = row->mass_g,
                             .hand_load_g = on_leg ? row->seat_hand_load_g : row->hand_load_g,
                             .filament_g = row->filament_g,
                             .misses = !row->targets_met};
}

static void take_best(Cloud *cloud, const PoiseSweepRow *row)
{
    double load = fabs(point_of(row, cloud->on_leg).hand_load_g);
    if (!row->targets_met || !isfinite(load) || !isfinite(row->mass_g))
        return;
    double least = fabs(point_of(&cloud->best, cloud->on_leg).hand_load_g);
    if (cloud->has_best &&
        (row->mass_g > cloud->best.mass_g || (row->mass_g == cloud->best.mass_g && load >= least)))
        return;
    cloud->has_best = true;
    cloud->best = *row;
}

static PoiseStatus take_rows(const PoiseSweepRow *rows, size_t n, void *context)
{
    Cloud *cloud = context;
    for (size_t i = 0; i < n; i++) {
        take_best(cloud, &rows[i]);
        if (cloud->count < MOST_DRAWN && rows[i].index % cloud->every == 0)
            cloud->points[cloud->count++] = point_of(&rows[i], cloud->on_leg);
    }
    return POISE_OK;
}

/* "wing-bout infill" for /items/wing-bout/print/infill, else the last word of the pointer, its
 * escapes (RFC 6901, section 3) undone. */
static void append_pointer(PoiseText *text, const char *pointer)
{
    const char *last = strrchr(pointer, '/');
    const char *parts[2] = {NULL, last ? last + 1 : pointer};
    if (strncmp(pointer, "/items/", 7) == 0 && last && last > pointer + 6)
        parts[0] = pointer + 7;
    for (int i = 0; i < 2; i++) {
        for (const char *c = parts[i]; c && *c && *c != '/'; c++)
            if (c[0] == '~' && (c[1] == '0' || c[1] == '1'))
                poise_text_append(text, *++c == '0' ? "~" : "/");
            else
                poise_text_append_n(text, c, 1);
        if (parts[i])
            poise_text_append(text, " ");
    }
}

/* "wing-bout infill 12 %", "lead mass 40": each pointer and its value on a line of its own. */
static char *label_of(const PoiseSweep *sweep, uint64_t index)
{
    size_t choice[POISE_SWEEP_MOST_AXES];
    PoiseText text = {0}, line = {0};
    poise_sweep_choice(sweep, index, choice);
    for (size_t axis = 0; axis < poise_sweep_axis_count(sweep); axis++) {
        const PoiseVary *vary = poise_sweep_axis(sweep, axis);
        poise_text_clear(&line);
        append_pointer(&line, vary->pointer);
        poise_text_append(&line, vary->labels[choice[axis]]);
        poise_text_append(&text, axis ? "\n" : "");
        poise_text_append_inert(&text, line.data ? line.data : "");
        text.failed = text.failed || line.failed;
    }
    poise_text_clear(&line);
    return poise_text_take(&text);
}

/* The findings' front is one of mass, hand load and filament; the line that is drawn joins those of
 * them to which nothing else is preferable in the first two. They come by rising mass. */
static PoiseStatus take_front(const PoiseSweep *sweep, const PoiseSweepFindings *findings,
                              Cloud *cloud)
{
    double least = INFINITY;
    for (size_t i = 0; i < findings->front_count; i++) {
        const PoiseSweepRow *row = &findings->front[i];
        PoiseSweepPoint point = point_of(row, cloud->on_leg);
        double load = fabs(point.hand_load_g);
        if (!isfinite(load))
            continue;
        size_t last = cloud->front_count ? cloud->count - 1 : 0;
        if (cloud->front_count && load < least && cloud->points[last].on_front &&
            point.mass_g <= cloud->points[last].mass_g)
            cloud->points[last].on_front = false; /* as light and easier */
        point.on_front = load < least;
        if (point.on_front) {
            char *label = label_of(sweep, row->index);
            if (!label)
                return POISE_E_MEMORY;
            point.label = label;
            cloud->front_count++;
            least = load;
        }
        cloud->points[cloud->count++] = point;
    }
    return POISE_OK;
}

/* The best is drawn and named, be it one of those left out of a large grid. */
static PoiseStatus add_best(const PoiseSweep *sweep, Cloud *cloud)
{
    if (!cloud->has_best || poise_sweep_base(sweep)->target_count == 0)
        return POISE_OK;
    PoiseSweepPoint point = point_of(&cloud->best, cloud->on_leg);
    char *label = label_of(sweep, cloud->best.index);
    if (!label)
        return POISE_E_MEMORY;
    point.label = label;
    cloud->points[cloud->count++] = point;
    return POISE_OK;
}

static const PoiseTargetResult *find_target(const PoiseWeighing *w, const char *key)
{
    for (size_t i = 0; i < w->target_count; i++)
        if (strcmp(w->targets[i].key, key) == 0)
            return &w->targets[i];
    return NULL;
}

static double target_of(const PoiseWeighing *w, const char *key)
{
    const PoiseTargetResult *target = find_target(w, key);
    return target ? target->limit : (double)NAN;
}

/* The limit of the hand load, when it is judged where the axis shows it. */
static double load_target(const PoiseWeighing *w, bool on_leg)
{
    const PoiseTargetResult *target = find_target(w, "hand_load");
    return target && (!on_leg || target->known) ? target->limit : (double)NAN;
}

/* The targets that the picture's axes do not show: the margin; and the hand load, when the axis is
 * the one on the leg and it is not judged there. How many there are. */
static int say_unseen(PoiseText *text, const PoiseWeighing *w, bool on_leg)
{
    const PoiseTargetResult *load = find_target(w, "hand_load"), *margin = find_target(w, "margin");
    bool unseen_load = load && isnan(load_target(w, on_leg));
    if (unseen_load)
        poise_text_printf(text, "the hand load of %.0f g", load->limit);
    if (margin) {
        poise_text_append(text, unseen_load ? " and the margin of " : "the margin of ");
        poise_words_number(text, margin->limit, 0);
        poise_text_append(text, on_leg && margin->known ? " mm on the leg" : " mm");
    }
    if (on_leg && ((load && !load->known) || (margin && !margin->known)))
        poise_text_append(text, ",\nwhich the file gives no way to judge");
    return unseen_load + (margin != NULL);
}

static PoiseStatus draw(const PoiseSweep *sweep, const Cloud *cloud,
                        const PoisePlotOptions *options, PoisePlotDone *done, PoiseFaults *faults)
{
    const PoiseWeighing *base = poise_sweep_base(sweep);
    PoiseText unseen = {0};
    int unseen_count = say_unseen(&unseen, base, cloud->on_leg);
    PoiseSweepPlot plot = {.name = base->name,
                           .count = cloud->count,
                           .candidates = poise_sweep_count(sweep),
                           .points = cloud->points,
                           .on_leg = cloud->on_leg,
                           .target_mass_g = target_of(base, "mass"),
                           .target_hand_load_g = load_target(base, cloud->on_leg),
                           .unseen_target = unseen.length ? unseen.data : NULL,
                           .unseen_target_count = unseen_count};
    PoiseStatus status =
        unseen.failed ? poise_fault_memory(faults) : poise_plot_sweep(&plot, options, done, faults);
    poise_text_clear(&unseen);
    return status;
}

/* Room for the cloud is made before the run, room for the front behind it. */
static PoiseStatus run_and_draw(const PoiseSweep *sweep, const PoisePlotOptions *options,
                                PoisePlotDone *done, PoiseFaults *faults)
{
    const PoiseWeighing *base = poise_sweep_base(sweep);
    Cloud cloud = {.every = poise_sweep_count(sweep) / MOST_DRAWN + 1,
                   .points = poise_alloc_zero(MOST_DRAWN, sizeof *cloud.points),
                   .on_leg = !base->has_strap && base->has_seat};
    PoiseSweepFindings findings = {0};
    if (!cloud.points)
        return poise_fault_memory(faults);
    PoiseStatus status = poise_sweep_run(sweep, take_rows, &cloud, &findings, faults);
    if (!status) {
        PoiseSweepPoint *larger =
            poise_resize(cloud.points, cloud.count + findings.front_count + 2, sizeof *larger);
        if (larger)
            cloud.points = larger;
        status = larger ? take_front(sweep, &findings, &cloud) : POISE_E_MEMORY;
        if (!status)
            status = add_best(sweep, &cloud);
        if (status)
            poise_fault_memory(faults);
    }
    if (!status)
        status = draw(sweep, &cloud, options, done, faults);
    for (size_t i = 0; i < cloud.count; i++)
        poise_release((void *)cloud.points[i].label);
    poise_release(cloud.points);
    poise_sweep_findings_free(&findings);
    return status;
}

PoiseStatus poise_plot_sweep_file(const PoiseArguments *a, int threads,
                                  const PoisePlotOptions *options, PoisePlotDone *done,
                                  PoiseFaults *faults)
{
    const char *vary[POISE_MOST_ARGUMENTS];
    size_t count = 0;
    for (size_t i = 0; i < a->given_count; i++)
        if (strcmp(a->given[i].option->name, "vary") == 0)
            vary[count++] = a->given[i].value;
    if (count == 0)
        return poise_fault_say(faults, POISE_E_USAGE, NULL,
                               "the sweep view needs --vary POINTER=LO:HI:STEP, at least once");
    PoiseProgress progress;
    poise_progress_begin(&progress);
    PoiseSweepOptions sweep_options = {.variant = poise_option_value(a, "variant"),
                                       .threads = threads,
                                       .no_cache = poise_has_option(a, "no-cache"),
                                       .progress = poise_progress_show,
                                       .context = &progress};
    PoiseSweep *sweep = NULL;
    PoiseStatus status =
        poise_sweep_open(a->operands[0], vary, count, &sweep_options, &sweep, faults);
    poise_progress_end(&progress);
    if (!status)
        status = run_and_draw(sweep, options, done, faults);
    poise_sweep_free(sweep);
    return status;
}
