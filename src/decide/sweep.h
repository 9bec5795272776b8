/* Every combination of the values that some pointers of an instrument file may take. */
#ifndef POISE_DECIDE_SWEEP_H
#define POISE_DECIDE_SWEEP_H

#include <stdbool.h>
#include <stdint.h>

#include "decide/vary.h"
#include "poise/weigh.h"

/* Most pointers of one sweep. */
#define POISE_SWEEP_MOST_AXES 12
/* Most candidates: a day's work. */
#define POISE_SWEEP_MOST_CANDIDATES ((uint64_t)1000000000000)

typedef struct PoiseSweepOptions {
    const char *variant;    /* NULL: the file as it stands */
    const char *components; /* NULL: poise_components_dir() */
    int threads;            /* 0: one per core; no result depends on it */
    bool no_cache;
    void (*progress)(const char *what, double fraction, void *context); /* may be NULL */
    void *context;
} PoiseSweepOptions;

/* A file and what is varied in it, ready to be evaluated. Opaque. */
typedef struct PoiseSweep PoiseSweep;

/* Reads and weighs the file, then reads it with each value of each pointer alone, and turns all
 * that follows into tables. `vary` are texts as for poise_vary_parse(). POISE_OK; POISE_E_USAGE (a
 * fault names the pointer and the nearest key); what reading and weighing give. */
PoiseStatus poise_sweep_open(const char *path, const char *const *vary, size_t vary_count,
                             const PoiseSweepOptions *options, PoiseSweep **sweep,
                             PoiseFaults *faults);
void poise_sweep_free(PoiseSweep *sweep);

uint64_t poise_sweep_count(const PoiseSweep *sweep); /* candidates */
size_t poise_sweep_axis_count(const PoiseSweep *sweep);
const PoiseVary *poise_sweep_axis(const PoiseSweep *sweep, size_t axis);
/* Which value of each axis candidate `index` has. The last axis changes fastest. */
void poise_sweep_choice(const PoiseSweep *sweep, uint64_t index,
                        size_t choice[POISE_SWEEP_MOST_AXES]);
/* The file (with the variant) as it stands, weighed. */
const PoiseWeighing *poise_sweep_base(const PoiseSweep *sweep);
const char *poise_sweep_variant(const PoiseSweep *sweep); /* NULL: none */
/* What the reader of the results should know, one sentence each. */
size_t poise_sweep_note_count(const PoiseSweep *sweep);
const char *poise_sweep_note(const PoiseSweep *sweep, size_t i);
/* Candidate `index` read in full, to weigh it the long way. Free the instrument before the sweep.
 */
PoiseStatus poise_sweep_instrument(const PoiseSweep *sweep, uint64_t index,
                                   PoiseInstrument **instrument, PoiseFaults *faults);

/* One candidate. Values without a meaning are NAN; a combination that no instrument can have (a
 * neck too short for its frets) has a mass of NAN. */
typedef struct PoiseSweepRow {
    uint64_t index;
    double mass_g;
    double station_mm;  /* centre of mass from the tail post, horizontally at the neck angle */
    double margin_mm;   /* to the headward edge of the holding window; negative dives */
    double hand_load_g; /* on the strap; 0 when it holds */
    double seat_hand_load_g;
    double filament_g, hours, price;
    PoiseVerdict verdict, seat_verdict;
    bool has_strap, has_seat; /* is there a verdict? */
    bool targets_met;
} PoiseSweepRow;

/* What running the grid found. The front: candidates of which none other is better in one of mass,
 * hand load and filament without being worse in another, by rising mass; of equal ones the first.
 */
typedef struct PoiseSweepFindings {
    uint64_t count, impossible; /* candidates; combinations that no instrument can have */
    uint64_t judged;            /* with a verdict on the load below */
    uint64_t holding, met;      /* no hand needed; all targets of the file met */
    bool on_strap, on_leg;      /* whose hand load the front is about; neither: mass and filament */
    size_t front_count;
    PoiseSweepRow *front;
    double
        front_step_g; /* 0: every point; else points nearer than this in all three were made one */
    bool has_best;
    PoiseSweepRow best; /* smallest hand load, then mass, then filament */
} PoiseSweepFindings;

/* Takes rows in grid order as they are computed. Any status but POISE_OK ends the run with it. */
typedef PoiseStatus PoiseSweepSink(const PoiseSweepRow *rows, size_t n, void *context);

/* Evaluates all candidates; memory does not grow with their number. `sink` may be NULL. POISE_OK,
 * POISE_E_MEMORY, or the sink's status. Free the findings in any case. */
PoiseStatus poise_sweep_run(const PoiseSweep *sweep, PoiseSweepSink *sink, void *context,
                            PoiseSweepFindings *findings, PoiseFaults *faults);
void poise_sweep_findings_free(PoiseSweepFindings *findings);

#endif
