/* The ballast that each place of the instrument would take to meet the target. */
#ifndef POISE_PLOT_NEED_H
#define POISE_PLOT_NEED_H

#include <stdbool.h>

#include "model/instrument.h"
#include "poise/weigh.h"

/* One condition on the mass m put at station h: m (edge − h)·way ≥ excess, in gram-millimetres. */
typedef struct PoiseNeedRule {
    double edge_mm, excess_gmm;
} PoiseNeedRule;

/* What the target, or holding at all, asks for. Moments about the edge e of the window that the
 * centre has left: M (h_G − e) + m (h − e) ≤ F (h_n − e) with F the hand load allowed at the
 * station h_n; and with a margin wanted, e moves inwards by it and F is 0. */
typedef struct PoiseNeed {
    double way; /* +1: mass must come tailwards of the edge; −1: headwards */
    int count;  /* rules that are not met yet; 0: nothing is needed */
    PoiseNeedRule rules[2];
    double hand_load_g; /* the target that is drawn for; NAN: none, it is to hold */
    double margin_mm;   /* likewise */
} PoiseNeed;

/* The instrument must have a window (hanging.has_verdict). */
PoiseNeed poise_need_find(const PoiseInstrument *in, const PoiseWeighing *w);
/* Grams needed at a station; 0 when nothing is; INFINITY where no mass helps. */
double poise_need_at(const PoiseNeed *need, double station_mm);
/* The station at which `grams` are just enough, the one nearest the edge. */
double poise_need_station(const PoiseNeed *need, double grams);
/* The station from which on no mass helps. */
double poise_need_limit(const PoiseNeed *need);

#endif
