/* What may be chosen for each item: another part, other perimeters with any infill, any ballast. */
#ifndef POISE_DECIDE_REMEDY_CHOICE_H
#define POISE_DECIDE_REMEDY_CHOICE_H

#include "decide/remedy_lever.h"
#include "decide/remedy_task.h"

typedef enum PoiseChoiceClass {
    POISE_CHOOSE_BALLAST = 1 << 0, /* at the file's places */
    POISE_CHOOSE_PRINT = 1 << 1,
    POISE_CHOOSE_SWAP = 1 << 2,
    POISE_CHOOSE_FILE = (1 << 3) - 1, /* all that needs no new place */
    POISE_CHOOSE_PLACE = 1 << 3,      /* new ballast inside the body */
    POISE_CHOOSE_ALL = (1 << 4) - 1
} PoiseChoiceClass;

/* One way an item may be: mass = fixed_g + x·per_g and so on, lo ≤ x ≤ hi. */
typedef struct PoiseChoice {
    bool unchanged;
    double fixed_g, fixed_gmm[3], fixed_price;
    double per_g, per_gmm[3], per_price;
    double lo, hi;         /* both 0: nothing to measure out */
    int perimeters;        /* print: x is the share of the infill region that is filled */
    const PoisePart *part; /* swap */
    const double *at_mm;   /* place: in the task */
    int effort;
} PoiseChoice;

/* Exactly one of a group's choices is taken; its first one leaves the item as it is. */
typedef struct PoiseChoiceGroup {
    size_t item; /* index in the instrument; SIZE_MAX when there is none (new ballast, tests) */
    PoiseChoiceClass kind;
    size_t first, count; /* in PoiseChoices.list */
} PoiseChoiceGroup;

/* Start from {0}. */
typedef struct PoiseChoices {
    double rest_g, rest_gmm[3]; /* everything that no group chooses */
    size_t count, group_count;
    PoiseChoice *list;
    PoiseChoiceGroup *groups;
} PoiseChoices;

/* What was chosen in one group. */
typedef struct PoisePick {
    size_t choice; /* index in PoiseChoices.list */
    double x;
} PoisePick;

/* False when out of memory. */
bool poise_choices_group(PoiseChoices *choices, size_t item, PoiseChoiceClass kind);
/* Adds to the last group. */
bool poise_choices_add(PoiseChoices *choices, const PoiseChoice *choice);
void poise_choices_clear(PoiseChoices *choices);
/* All there is to choose in the task's instrument. */
PoiseStatus poise_choices_collect(const PoiseRemedyTask *task, PoiseChoices *choices,
                                  PoiseFaults *faults);

/* The picks' mass, moments, price (of what is chosen) and number of changed groups. */
typedef struct PoisePicked {
    double mass_g, moment_gmm[3], price;
    size_t changes;
    int effort;
} PoisePicked;
PoisePicked poise_choices_sum(const PoiseChoices *choices, const PoisePick *picks);
/* Adds a pick to the sum, or takes it out of it (times 1 or −1). */
void poise_picked_add(PoisePicked *sum, const PoiseChoices *choices, PoisePick pick, int times);

/* The best picks that meet all goals, with changes only in groups of `classes` (bits) and in at
 * most `most` groups: least mass; within POISE_CHOICE_MASS_G of that the cheapest; of those the
 * least effort. picks gets one per group. POISE_OK; POISE_E_DOMAIN when there are none (*proved
 * false: none was found in time); POISE_E_MEMORY; POISE_E_INTERNAL. */
#define POISE_CHOICE_MASS_G 0.5
PoiseStatus poise_choices_solve(const PoiseChoices *choices, const PoiseGoal *goals, size_t n,
                                unsigned classes, size_t most, PoisePick *picks, bool *proved);
/* The picks with which `target` is short by least, in its own unit, among those that meet `goals`;
 * those with which it is met need not be the furthest beyond it. */
PoiseStatus poise_choices_least(const PoiseChoices *choices, const PoiseGoal *goals, size_t n,
                                const PoiseGoal *target, unsigned classes, PoisePick *picks,
                                bool *proved);

/* By how much target is short at least: 0 when it is met, NAN when `goals` cannot be met with it.
 * POISE_OK, POISE_E_MEMORY, POISE_E_INTERNAL. */
PoiseStatus poise_choices_short(const PoiseChoices *choices, const PoiseGoal *goals, size_t n,
                                const PoiseGoal *target, unsigned classes, PoisePick *picks,
                                double *short_by, bool *proved);

/* Rounds what is measured out to what people set: whole grams, whole percents of infill, towards
 * the side on which the tightest balance goal is met. */
void poise_choices_round(const PoiseChoices *choices, const PoiseGoal *goals, size_t n,
                         PoisePick *picks);

/* Makes rounded picks that meet the goals lighter, by POISE_CHOICE_MASS_G at least or not at all,
 * by other choices of what people set in two groups at a time; within `classes` and `most`. */
void poise_choices_polish(const PoiseChoices *choices, const PoiseGoal *goals, size_t n,
                          unsigned classes, size_t most, PoisePick *picks);

/* The fraction whose poise_infill_share() is `share`. */
double poise_infill_of_share(double share);

/* Puts one changed pick into a remedy: patch, and a step that says it. */
void poise_choice_put(PoiseRemedyTask *task, PoiseRemedy *remedy, const PoiseChoices *choices,
                      size_t group, const PoisePick *pick);
/* "infill of spine-tail 45 % instead of 22 %" and the like. */
void poise_choice_say(const PoiseRemedyTask *task, const PoiseChoices *choices, size_t group,
                      const PoisePick *pick, PoiseText *text);

/* May this part stand in for that one? Same family, and the ids speak of the same thing: the same
 * kind, numbers and instrument ("tuners-4-inline-…"). */
bool poise_part_fits(const PoisePart *part, const PoisePart *other);

#endif
