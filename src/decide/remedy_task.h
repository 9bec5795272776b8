/* What the searches for remedies share: the instrument as it stands, its goals, and the proposals
 * found so far. */
#ifndef POISE_DECIDE_REMEDY_TASK_H
#define POISE_DECIDE_REMEDY_TASK_H

#include "decide/linear.h"
#include "decide/remedy.h"
#include "decide/remedy_goal.h"

/* The best place for each neck angle either way, and for some pairs of angles. */
enum { POISE_REMEDY_PLACES = 24 };
/* Shortfalls that differ by less are told alike, g. */
#define POISE_REMEDY_SHOWS_G 0.5

typedef struct PoiseRemedyTask {
    const PoiseDocument *document;
    const char *variant, *dir;
    const PoiseShelf *shelf;
    PoiseRemedyOptions options;
    const PoiseInstrument *instrument; /* as read, variant merged */
    PoiseWeighing *weighing;
    PoiseLinear *linear;
    PoiseLinearSum total;
    bool strap, leg;
    size_t angle_count;
    double angles_deg[POISE_REMEDY_ANGLES];
    double hand_load_g, margin_mm; /* asked; NAN not */
    size_t goal_count;
    PoiseGoal goals[POISE_MOST_GOALS];
    /* Where new ballast inside the body does most, file; found by poise_remedy_place(). */
    size_t place_count;
    double places_mm[POISE_REMEDY_PLACES][3];
    double place_alone_g; /* what the best of them needs by itself; 0: none does it */
    PoiseRemedies *out;   /* proposals go to out->list, unranked and not weighed */
} PoiseRemedyTask;

/* Fills everything but `out` from the instrument: weighs it, solves the stances, makes the goals.
 */
PoiseStatus poise_task_open(PoiseRemedyTask *task, PoiseFaults *faults);
void poise_task_close(PoiseRemedyTask *task);

/* How a weighed instrument stands at the task's angles. */
PoiseStatus poise_task_state(const PoiseRemedyTask *task, const PoiseInstrument *instrument,
                             const PoiseWeighing *weighing, PoiseRemedyState *state,
                             PoiseFaults *faults);
/* The same goals for another stance (posts, strap). False when a window is missing. */
bool poise_task_goals(const PoiseRemedyTask *task, const PoiseStanceSetting *setting,
                      PoiseGoal *goals, size_t *n);

/* A mass and its moments against goals: the goal that is missed by most in proportion, or NULL when
 * all are met. Millimetres count as POISE_REMEDY_GRAMS_PER_MM. */
const PoiseGoal *poise_goals_worst(const PoiseGoal *goals, size_t n, double mass_g,
                                   const double moment_gmm[3], double *short_by);
/* True when all are met. */
bool poise_goals_met(const PoiseGoal *goals, size_t n, double mass_g, const double moment_gmm[3]);

/* The worst moment out of limits of the balance goals (not of the mass) for a stance, g·mm; ≤ 0
 * where all are met; INFINITY without a window. */
double poise_stance_miss(const PoiseRemedyTask *task, const PoiseStanceSetting *setting,
                         double mass_g, const double moment_gmm[3]);

/* What is short by most for a stance, as poise_goals_worst() finds it, in grams or what counts as
 * such; 0 where all goals are met (*worst is then unset); INFINITY without a window. */
double poise_stance_short(const PoiseRemedyTask *task, const PoiseStanceSetting *setting,
                          double mass_g, const double moment_gmm[3], PoiseGoal *worst,
                          double *short_by);

/* A new proposal at the end of the list; NULL (and out->failed) when out of memory. patch and
 * strings are filled by the caller. */
PoiseRemedy *poise_task_propose(PoiseRemedyTask *task, PoiseRemedyKind kind, int effort);
void poise_remedy_clear(PoiseRemedy *remedy);
/* Text that failed sets out->failed. */
void poise_task_title(PoiseRemedyTask *task, PoiseRemedy *remedy, PoiseText *title);
void poise_task_name(PoiseRemedyTask *task, PoiseRemedy *remedy, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void poise_task_step(PoiseRemedyTask *task, PoiseRemedy *remedy, PoiseText *step);
/* Sets a value at /items/ID/key/key2 of the patch (key2 may be NULL); takes the value over. */
void poise_task_patch(PoiseRemedyTask *task, PoiseRemedy *remedy, const char *id, const char *key,
                      const char *key2, cJSON *value);
/* Sets a value at a pointer of the patch; takes it over. */
void poise_task_patch_at(PoiseRemedyTask *task, PoiseRemedy *remedy, const char *pointer,
                         cJSON *value);
/* "way" does not do it alone: `text` (emptied) says by how much. */
void poise_task_short(PoiseRemedyTask *task, const char *way, PoiseText *text, double short_by,
                      const char *unit);
void poise_task_note(PoiseRemedyTask *task, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The item's mass and moments as it stands. */
PoiseLinearSum poise_task_item(const PoiseRemedyTask *task, size_t item);

/* The moment of one gram at a point of the file. */
void poise_task_per_gram(const PoiseRemedyTask *task, const double at_mm[3], double moment_mm[3]);

/* The searches; each adds proposals and shortfalls. POISE_OK, POISE_E_MEMORY or a status of reading
 * meshes. */
PoiseStatus poise_remedy_ballast(PoiseRemedyTask *task, PoiseFaults *faults);
PoiseStatus poise_remedy_place(PoiseRemedyTask *task, PoiseFaults *faults);
PoiseStatus poise_remedy_print(PoiseRemedyTask *task, PoiseFaults *faults);
PoiseStatus poise_remedy_swap(PoiseRemedyTask *task, PoiseFaults *faults);
PoiseStatus poise_remedy_strap(PoiseRemedyTask *task, PoiseFaults *faults);
PoiseStatus poise_remedy_posts(PoiseRemedyTask *task, PoiseFaults *faults);
PoiseStatus poise_remedy_combine(PoiseRemedyTask *task, PoiseFaults *faults);
void poise_remedy_leverage(PoiseRemedyTask *task);

#endif
