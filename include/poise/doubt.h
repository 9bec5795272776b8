/** @file doubt.h  How far the results may be off: uncertainty to first order, its budget, trials.
 */
#ifndef POISE_DOUBT_H
#define POISE_DOUBT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "poise/statics.h"

#ifdef __cplusplus
extern "C" {
#endif

/** One standard uncertainty of each result of the balance, to first order (JCGM 100:2008, clause
 * 5). NAN where the result itself has no meaning, or its doubt cannot be told to first order: a
 * hand load that is 0, or whose 95 % interval reaches 0, has a corner there, and only its interval
 * is told. */
typedef struct PoiseDoubts {
    double along_mm; /**< of the centre along the strings: of all three stations of that line */
    double station_mm, margin_mm;
    PoiseInterval window_mm; /**< of either end */
    double needed_friction, hand_load_g;
    PoiseInterval hold_range_deg; /**< of either end */
    double settles_at_deg, free_hang_deg, lean_deg;
    double seat_station_mm;
    PoiseInterval seat_window_mm; /**< of either end */
    double seat_hand_load_g;

    /** 95 % intervals, y ± 1.96 u; where friction, strap, angle or arm would leave its own bounds
     *  within 1.96 u (a negative friction), it is taken at the bound. The hand load is 0 over the
     * whole window: its interval is that of the lever about the window's edge, which is smooth, cut
     * off at 0. It holds the load. */
    PoiseInterval mass_95_g, margin_95_mm, hand_load_95_g, seat_hand_load_95_g;
} PoiseDoubts;

/** What a line of the budget is about. */
typedef enum PoiseDoubtKind {
    POISE_DOUBT_ITEM,     /**< an item's mass: what weighing it would take away */
    POISE_DOUBT_DENSITY,  /**< a material's density, common to several items */
    POISE_DOUBT_FLOW,     /**< the printer's flow, common to all printed sections */
    POISE_DOUBT_PLACE,    /**< where an item sits */
    POISE_DOUBT_FRICTION, /**< strap on shoulder */
    POISE_DOUBT_STRAP,    /**< the strap's length */
    POISE_DOUBT_ANGLE,    /**< the neck angle */
    POISE_DOUBT_ARM       /**< the playing arm's weight */
} PoiseDoubtKind;
/** "item", "density", "flow", "place", "friction", "strap", "angle" or "arm". */
POISE_API const char *poise_doubt_kind_name(PoiseDoubtKind kind);

/** The results a budget is kept for. */
typedef enum PoiseBudgetResult {
    POISE_BUDGET_MASS,           /**< g */
    POISE_BUDGET_MARGIN,         /**< mm */
    POISE_BUDGET_HAND_LOAD,      /**< g, on the strap */
    POISE_BUDGET_SEAT_HAND_LOAD, /**< g, on the leg */
    POISE_BUDGET_RESULTS
} PoiseBudgetResult;
/** "mass_g", "margin_mm", "hand_load_g" or "seat_hand_load_g". */
POISE_API const char *poise_budget_result_name(PoiseBudgetResult result);

/** One source of doubt, independent of all others. */
typedef struct PoiseBudgetLine {
    PoiseDoubtKind kind;
    const char *id; /**< of the item or material; NULL when the kind says it all. Not owned */
    bool weighed;   /**< an item whose mass comes from a scale already */
    size_t items;   /**< how many items share it */
    double u[POISE_BUDGET_RESULTS];     /**< its part of the result's uncertainty, in its unit */
    double share[POISE_BUDGET_RESULTS]; /**< u² over the result's variance, 0 to 1; NAN: none */
} PoiseBudgetLine;

/** The lines that matter most to a result, largest share first.
 *  @param order  out, `most` indices into lines
 *  @return how many of them have a share above 0, at most `most` */
POISE_API size_t poise_budget_order(const PoiseBudgetLine *lines, size_t count,
                                    PoiseBudgetResult result, size_t *order, size_t most);

/** Most trials that may be asked for: their results take 40 bytes each while they run. */
#define POISE_MOST_TRIALS ((size_t)5000000)
/** Fewest: below this a 95 % interval is noise. */
#define POISE_FEWEST_TRIALS ((size_t)1000)

/** How to run trials. */
typedef struct PoiseTrialOptions {
    size_t trials; /**< how many; ignored when adaptive */
    bool adaptive; /**< until every result's mean, u and 95 % ends are settled to two significant
                        digits of u (JCGM 101:2008, clause 7.9), at most POISE_MOST_TRIALS */
    uint64_t seed; /**< the same seed, the same results, whatever the number of threads */
    int threads;   /**< 0: one per core */
} PoiseTrialOptions;

/** A result over the trials in which it exists. */
typedef struct PoiseSampled {
    size_t count;              /**< in how many trials it exists */
    double mean, u;            /**< NAN when in fewer than two */
    PoiseInterval interval_95; /**< probabilistically symmetric; NAN both when in fewer than two */
} PoiseSampled;

/** What trials found (Monte Carlo, JCGM 101:2008). Masses, places, strap length, neck angle,
 *  friction and arm are drawn from normal distributions with the file's ± as standard deviation;
 *  friction and arm are cut off below 0, the strap's length below the posts' distance. */
typedef struct PoiseTrials {
    size_t trials;
    uint64_t seed;
    bool adaptive, settled; /**< settled: adaptive, and the criterion was met */
    PoiseSampled mass_g, margin_mm, needed_friction, hand_load_g, seat_hand_load_g;
    double p_neck_heavy, p_tail_heavy;           /**< on the strap; NAN without */
    double p_seat_neck_heavy, p_seat_tail_heavy; /**< on the leg; NAN without */
    /** Finding the angle it settles at is slow; the first settle_trials trials have it. */
    size_t settle_trials;
    PoiseSampled settles_at_deg;
    double p_does_not_settle;
    /** Window edges are interpolated between exact ones: measured largest error, mm; 0 when every
     *  one was solved exactly. */
    double window_error_mm;
} PoiseTrials;

#ifdef __cplusplus
}
#endif
#endif
