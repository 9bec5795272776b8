/** @file weigh.h  The main job: what an instrument weighs and how it balances. */
#ifndef POISE_WEIGH_H
#define POISE_WEIGH_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/doubt.h"
#include "poise/instrument.h"
#include "poise/moments.h"
#include "poise/statics.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How to weigh. A zeroed struct is the default. */
typedef struct PoiseWeighOptions {
    int threads;   /**< 0: one per core; the digits do not depend on it */
    bool no_cache; /**< neither read nor write the section cache */
    /** called while sections are sliced, from one thread at a time; may be NULL */
    void (*progress)(const char *item, double fraction, void *context);
    void *context;
    size_t trials;        /**< Monte Carlo trials; 0: none, doubts to first order only */
    bool adaptive_trials; /**< as many as it takes, see PoiseTrialOptions */
    uint64_t seed;        /**< of the trials */
} PoiseWeighOptions;

/** One item of the instrument, all its pieces together, in the file's coordinates. Values that have
 * no meaning for the item are NAN. */
typedef struct PoiseItemResult {
    const char *id;
    const char *kind; /**< "printed", "poured", … */
    PoiseBody body;
    double mass_u_g;    /**< one standard uncertainty */
    double predicted_g; /**< the estimate, also when a weighed mass replaced it */
    double predicted_u_g;
    bool measured; /**< a weighed mass replaced the estimate */
    double perimeter_mm3, skin_mm3, infill_mm3, solid_mm3;
    double filament_g, filament_m, filament_h;
    double price; /**< of the pieces and their filament, as far as prices are known */
    const struct PoiseItemBody *detail; /**< internal */
} PoiseItemResult;

/** A target of the file, and whether it is met. */
typedef struct PoiseTargetResult {
    const char *key; /**< "mass", "hand_load" or "margin" */
    double limit,
        value;   /**< g, g, mm; value NAN when it cannot be judged, or no hand can hold it */
    bool met;    /**< false also when it cannot be judged */
    bool known;  /**< false: it cannot be judged, for the file has neither a strap nor a seat, or no
                      hand, or the strap no window at the neck angle */
    bool on_leg; /**< judged on the leg, for the file has a seat but no strap; the margin then runs
                      from the centre (with the arm's weight) to the headward edge of what the leg
                      carries, level, at the neck angle */
} PoiseTargetResult;

/** What weighing found; the strings belong to the instrument, which must outlive it. All positions
 * in the file's coordinates unless said otherwise; values that have no meaning are NAN. */
typedef struct PoiseWeighing {
    const char *name, *file, *variant; /**< variant NULL: the file as it stands */
    PoiseBody total;                   /**< inertia about the centre of mass, file axes */
    double mass_u_g, centre_u_mm[3];
    double centre_covariance_mm2[3][3]; /**< its diagonal is centre_u_mm squared; file axes */
    double from_tail_post_mm, from_saddle_mm,
        from_nut_mm; /**< along the strings, towards the head positive */
    size_t item_count;
    PoiseItemResult *items;       /**< in file order */
    struct PoiseItemBody *bodies; /**< internal */

    double neck_angle_deg;
    PoisePoint centre, hand; /**< plane of the face: x towards the head, y up for the player */
    bool has_hand;
    const char *hand_text; /**< how the file says it: "nut", "fret 5", "position"; NULL unknown */

    bool has_strap; /**< posts and strap are given and make sense */
    PoiseStrap strap;
    double friction_u;
    PoiseHanging hanging;
    double free_hang_deg; /**< the stable way of hanging nearest to the playing angle */
    double lean_deg;
    double margin_u_mm;
    double p_neck_heavy; /**< to first order, the margin taken as normal; by trials when they ran */

    bool has_seat, has_arm;
    PoiseResting resting;  /**< plane coordinates; subtract seat_from_h_mm for stations */
    double tail_h_mm;      /**< h of the tail post; NAN without posts */
    double seat_from_h_mm; /**< h of what the leg's stations are measured from: the tail post, or
                                the seat's rest without posts; NAN without a seat */

    PoiseDoubts doubts; /**< one standard uncertainty of each result */
    size_t budget_count;
    PoiseBudgetLine *budget; /**< where they come from, what matters most to the margin first */
    bool has_trials;
    PoiseTrials trials;

    size_t target_count;
    PoiseTargetResult targets[3];
    bool targets_met;

    double filament_g, filament_m, filament_h, spools,
        price; /**< sums; 0 when there is nothing printed, NAN price unknown */

    size_t caution_count, warning_count;
    char **cautions, **warnings;
} PoiseWeighing;

/** Weighs an instrument.
 *  @return POISE_OK, or the status of the first fault (every item is tried, so one pass shows all
 * faults). */
POISE_API PoiseStatus poise_weigh(const PoiseInstrument *instrument,
                                  const PoiseWeighOptions *options, PoiseWeighing **weighing,
                                  PoiseFaults *faults);
POISE_API void poise_weighing_free(PoiseWeighing *weighing);

/** The result as JSON, CSV, Markdown or a table for a terminal of 80 columns. A new string; free
 * with poise_string_free(); NULL when out of memory. */
POISE_API char *poise_weighing_json(const PoiseWeighing *weighing);
POISE_API char *poise_weighing_csv(const PoiseWeighing *weighing);
POISE_API char *poise_weighing_markdown(const PoiseWeighing *weighing);
POISE_API char *poise_weighing_text(const PoiseWeighing *weighing);

#ifdef __cplusplus
}
#endif
#endif
