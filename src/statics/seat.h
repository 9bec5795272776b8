/* Instrument and arm together as one lever about the leg. */
#ifndef POISE_STATICS_SEAT_H
#define POISE_STATICS_SEAT_H

#include "statics/strap.h"

/* All distances from the rest, so that a far-away drawing origin costs no digits; the window is ±
 * the seat's half width. */
typedef struct PoiseSeatLever {
    double weight_g;   /* instrument and arm */
    double station_mm; /* of their common centre */
    double hand_mm;
} PoiseSeatLever;

/* The numbers are the caller's to check. */
PoiseSeatLever poise_seat_lever(const PoiseSeat *seat, PoiseTurn turn, PoisePoint centre,
                                double weight_g, PoisePoint hand);

#endif
