/* The ballast that each place of the instrument would take to meet the targets of its balance. */
#ifndef POISE_PLOT_NEED_H
#define POISE_PLOT_NEED_H

#include <stdbool.h>

#include "model/instrument.h"
#include "poise/weigh.h"

/* One condition on the mass m put at station h: has + m·sense·(edge − h) ≥ 0, in
 * gram-millimetres. `has` below 0: it is not met yet, and m must be large enough; else m must not
 * be so large that it is met no more. */
typedef struct PoiseNeedRule {
    double sense, edge_mm, has_gmm;
} PoiseNeedRule;

/* What the targets, or holding at all, ask for. Moments about the headward edge e of the window:
 * M (h_G − e) + m (h − e) ≤ F (h_n − e) with F the hand load allowed at the station h_n, and the
 * same the other way round at the tailward edge, lest the ballast makes it tail-heavy; and with a
 * margin wanted, the headward edge moves inwards by it and F is 0. */
typedef struct PoiseNeed {
    double way; /* +1: mass must come tailwards of the edge; −1: headwards */
    int count;  /* rules that are not met yet; 0: nothing is needed */
    int rule_count;
    PoiseNeedRule rules[3];
    double hand_load_g; /* the target that is drawn for; NAN: none, it is to hold */
    double margin_mm;   /* likewise */
} PoiseNeed;

/* The instrument must have a window (hanging.has_verdict). */
PoiseNeed poise_need_find(const PoiseInstrument *in, const PoiseWeighing *w);
/* Grams needed at a station; 0 when nothing is; INFINITY where no mass helps, or where what is
 * enough for one rule is too much for another. */
double poise_need_at(const PoiseNeed *need, double station_mm);
/* The most that may be put at a station before another rule is broken; INFINITY: no limit. */
double poise_need_most(const PoiseNeed *need, double station_mm);
/* The station at which `grams` are just enough, the one nearest the edge. */
double poise_need_station(const PoiseNeed *need, double grams);
/* The station from which on no amount will do; infinite when there is no station at all. */
double poise_need_limit(const PoiseNeed *need);
/* Is that for the sake of a rule that what is enough would break? Else mass does not help there. */
bool poise_need_clashes(const PoiseNeed *need);

#endif
