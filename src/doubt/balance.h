/* The balance as one function of what is doubtful about it: an instrument of one mass and centre on
 * the strap and on the leg. */
#ifndef POISE_DOUBT_BALANCE_H
#define POISE_DOUBT_BALANCE_H

#include <stdbool.h>

#include "doubt/first_order.h"
#include "poise/statics.h"

/* Everything the balance depends on. Points are in the frame's axes: x towards the head, y up for
 * the player, z out of the face, mm. */
typedef struct PoisePosture {
    double mass_g, centre_mm[3];
    double neck_angle_deg;
    bool has_hand;
    PoisePoint hand;
    bool has_strap; /* a strap that passes poise_strap_check() */
    PoiseStrap strap;
    double tail_mm[3], horn_mm[3]; /* the strap's posts, with their z */
    bool has_seat;
    PoiseSeat seat;
} PoisePosture;

/* On the strap; NAN what does not exist. */
typedef struct PoiseStrapBalance {
    PoiseHanging hanging;
    double free_hang_deg; /* the stable way of hanging nearest to the playing angle */
    double lean_deg;
} PoiseStrapBalance;

/* All NAN, no verdict. */
PoiseStrapBalance poise_strap_balance_none(void);
/* Solves the strap of a posture that has one. Without a known hand there is no load, unless it
 * holds. As poise_strap_hang(). */
PoiseStatus poise_strap_balance(const PoisePosture *posture, PoiseStrapBalance *out,
                                PoiseFaults *faults);
/* Solves the seat of a posture that has one; likewise. As poise_seat_rest(). */
PoiseStatus poise_seat_balance(const PoisePosture *posture, PoiseResting *out);

/* The doubtful inputs, in the order of the model below. */
enum {
    POISE_IN_MASS,
    POISE_IN_X,
    POISE_IN_Y,
    POISE_IN_Z,
    POISE_IN_FRICTION,
    POISE_IN_LENGTH,
    POISE_IN_ANGLE,
    POISE_IN_ARM,
    POISE_IN_COUNT
};
/* Its results. A lever is the hand load about one edge of the window, also while it holds: unlike
 * the hand load it has no corner. */
enum {
    POISE_OUT_STATION,
    POISE_OUT_WINDOW_LO,
    POISE_OUT_WINDOW_HI,
    POISE_OUT_MARGIN,
    POISE_OUT_FRICTION,
    POISE_OUT_LOAD,
    POISE_OUT_LEVER_LO,
    POISE_OUT_LEVER_HI,
    POISE_OUT_HOLD_LO,
    POISE_OUT_HOLD_HI,
    POISE_OUT_SETTLES,
    POISE_OUT_FREE_HANG,
    POISE_OUT_LEAN,
    POISE_OUT_SEAT_STATION,
    POISE_OUT_SEAT_WINDOW_LO,
    POISE_OUT_SEAT_WINDOW_HI,
    POISE_OUT_SEAT_LOAD,
    POISE_OUT_SEAT_LEVER_LO,
    POISE_OUT_SEAT_LEVER_HI,
    POISE_OUT_COUNT
};

/* A PoiseModel whose context is the PoisePosture as estimated. Seat stations are from the tail post
 * when there is a strap, else from the rest. */
void poise_balance_model(const double *x, double *y, const void *posture);

/* The model's inputs at the posture, with no uncertainty yet and with the bounds of their meaning:
 * nothing negative, a strap longer than the posts' distance, an angle inside ±90°. */
void poise_balance_inputs(const PoisePosture *posture, PoiseInput inputs[POISE_IN_COUNT]);

/* Shortest strap that still reaches from post to post with some slack to solve for, mm. */
double poise_shortest_strap_mm(const PoiseStrap *strap);

#endif
