/* Predicted against weighed: what fits, what does not, what the scale teaches, what to weigh next.
 */
#ifndef POISE_TALLY_TALLY_H
#define POISE_TALLY_TALLY_H

#include <stdbool.h>
#include <stddef.h>

#include "model/instrument.h"
#include "poise/weigh.h"

/* The scale that the next item is thought to be weighed with: a kitchen scale, ± 1 g (common
 * practice, no source). */
#define POISE_TALLY_NEXT_U_G 1.0
/* What is further off than this many standard uncertainties does not fit: 1 in 370 by chance. */
#define POISE_TALLY_ODD_Z 3.0
/* Readings that are together less likely than this do not fit the file's ±: the same 1 in 370. */
#define POISE_TALLY_ODD_P 0.0027
/* Most items named as worth weighing next. */
enum { POISE_TALLY_NEXT = 3 };

typedef struct PoiseTallyItem {
    const char *id, *kind;
    bool weighed, taught; /* taught: its reading bears on others, by flow or density */
    double predicted_g, predicted_u_g;
    double weighed_g, scale_u_g; /* NAN when not weighed */
    double gap_g;                /* weighed less predicted */
    double z;                    /* gap over √(u²(predicted) + u²(scale)) */
    /* What the other weighed items that share its material or the printer's flow say of it; NAN
     * when there are none, or it shares nothing. */
    double expected_g, expected_u_g, expected_z;
    bool odd;             /* z or expected_z beyond POISE_TALLY_ODD_Z */
    double unexplained_g; /* by how much the worse of the two gaps is beyond that; 0 when not odd */
    /* With all that the scale taught: the reading of a weighed item, else the estimate corrected.
     */
    double corrected_g, corrected_u_g;
    double next_u_g; /* u of the whole once this one is weighed too; NAN: weighed, or of no use */
} PoiseTallyItem;

typedef struct PoiseTallyMaterial {
    const PoiseMaterial *material;
    size_t items, weighed; /* that share its density */
    bool printed;          /* some are printed: `laid` has a meaning */
    bool joint;            /* a profile knows the product: only that is learned about */
    PoiseQuantity density_before, density_after;
    PoiseQuantity laid_before, laid_after; /* g laid for each cm³ told: density × flow */
    double correlation;                    /* of density and flow after; NAN without flow */
} PoiseTallyMaterial;

/* One reading of the finished instrument against the result of weighing. */
typedef struct PoiseTallyReading {
    const char *what;   /* "mass", "centre, along the strings", … */
    const char *method; /* "a scale", "two kitchen scales", … */
    const char *unit;   /* "g" or "mm" */
    double predicted, predicted_u, observed, observed_u, z;
    bool odd;
} PoiseTallyReading;
enum { POISE_TALLY_MOST_READINGS = 8 };

typedef struct PoiseTally {
    const PoiseInstrument *instrument;
    const PoiseWeighing *weighing;
    size_t item_count, weighed_count, learned_count; /* learned: weighed, and it taught something */
    PoiseTallyItem *items;                           /* in file order */

    bool has_flow;   /* some printed item has a flow that is not known exactly */
    bool flow_mixed; /* items give their flow different ±; told is that of the first */
    PoiseQuantity flow_before, flow_after; /* what is laid over what is told */
    size_t material_count;
    PoiseTallyMaterial *materials;
    double chi2, p_value; /* of the readings that taught, against the file's ±; NAN without any */
    bool inconsistent;    /* p_value below POISE_TALLY_ODD_P */

    PoiseQuantity estimate;                    /* the whole as if nothing had been weighed */
    PoiseQuantity now;                         /* as `weigh` says: readings where there are any */
    PoiseQuantity learned;                     /* readings, and the other estimates corrected */
    size_t next_count, next[POISE_TALLY_NEXT]; /* items most worth weighing, best first */

    size_t reading_count;
    PoiseTallyReading readings[POISE_TALLY_MOST_READINGS];
    bool has_friction;
    PoiseQuantity friction; /* from the angle at which the strap slips */
    PoiseVerdict slips;
    double friction_z; /* against the file's */

    bool profile_counts_twice; /* the profile was learned from this very instrument */
} PoiseTally;

/* Tallies a weighed instrument; both must outlive the result. Faults about what was observed stand
 * at "/observed". POISE_OK, POISE_E_INPUT, POISE_E_MEMORY. Free with poise_tally_free(). */
PoiseStatus poise_tally(const PoiseInstrument *instrument, const PoiseWeighing *weighing,
                        PoiseTally **tally, PoiseFaults *faults);
void poise_tally_free(PoiseTally *tally);

/* Does a profile tell about this material? When a reading bore on it, or the profile at hand did;
 * woods are left out: the next instrument's board is another one. */
bool poise_tally_in_profile(const PoiseTallyMaterial *material);
/* How many readings taught something that a profile tells. */
size_t poise_tally_profile_count(const PoiseTally *tally);
/* Some reading that taught fits neither its estimate nor its siblings, or they do not fit together:
 * what they teach is doubtful. */
bool poise_tally_is_doubtful(const PoiseTally *tally);
/* Is all that a profile would say within what a profile may say? POISE_OK; POISE_E_INPUT with a
 * fault that names the reading to suspect. */
PoiseStatus poise_tally_check_profile(const PoiseTally *tally, PoiseFaults *faults);

#endif
