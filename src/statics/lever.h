/* Moments about the edge of a window: what strap, leg, hand and ballast have in common. */
#ifndef POISE_STATICS_LEVER_H
#define POISE_STATICS_LEVER_H

#include "poise/statics.h"

/* Which side of the window the centre is on; within POISE_EDGE_MM of it, it holds. */
PoiseVerdict poise_lever_verdict(double station_mm, PoiseInterval window_mm);
/* The edge a centre has left (hi when neck-heavy, lo when tail-heavy). */
double poise_lever_edge(PoiseVerdict verdict, PoiseInterval window_mm);
/* The upward force F at `hand` that balances the weight about the edge: W (h_G − h_e) = F (h_n −
 * h_e). NAN when the hand is at the edge, or when F would exceed the weight: the support would have
 * to pull. */
double poise_lever_hand_load(double weight_g, double station_mm, double edge_mm, double hand_mm);
/* The same on a strap: NAN also where the hand is not headwards of the edge, for then the strap can
 * not be relieved by lifting (nor a tail-heavy instrument held by pressing down there). */
double poise_lever_strap_load(double weight_g, double station_mm, double edge_mm, double hand_mm);

#endif
