/* How an instrument is held, ready to judge any mass and centre: the holding window does not depend
 * on the masses, so it is solved once for all candidates. */
#ifndef POISE_DECIDE_STANCE_H
#define POISE_DECIDE_STANCE_H

#include <stdbool.h>

#include "model/instrument.h"
#include "poise/statics.h"
#include "weigh/frame.h"

/* What the stance follows from, in file coordinates. Every member is a double, NAN where the file
 * says nothing, so that two settings can be compared word by word. */
typedef struct PoiseStanceSetting {
    PoiseAxes axes;
    double neck_angle_deg;
    double tail_mm[3], horn_mm[3]; /* strap posts */
    double strap_mm, friction;
    double hand_mm[3];
    double rest_mm[3], seat_width_mm;
    double arm_mm[3], arm_g;
    double target_mass_g, target_hand_load_g, target_margin_mm;
} PoiseStanceSetting;

/* The stance at its neck angle. Distances run along h (horizontal, towards the head). */
typedef struct PoiseStance {
    double horizontal[3];    /* unit vector of h in file axes */
    double tail_h_mm;        /* tail post from the origin of the moments; NAN without posts */
    bool has_strap;          /* posts and strap are given and make sense at this angle */
    PoiseInterval window_mm; /* from the tail post */
    double hand_mm;          /* from the tail post; NAN unknown */
    bool has_seat;
    bool on_leg; /* a seat but no strap in the file: hand load and margin are judged on the leg */
    double rest_h_mm;              /* from the origin of the moments */
    double half_width_mm;          /* the leg carries within rest ± this */
    double seat_hand_mm, arm_h_mm; /* from the rest; NAN unknown */
    double arm_g;                  /* 0 without an arm */
    double target_mass_g, target_hand_load_g, target_margin_mm; /* NAN none */
} PoiseStance;

/* One candidate judged. NAN where there is no answer. */
typedef struct PoiseBalance {
    double mass_g;
    double station_mm; /* centre of mass from the tail post */
    double margin_mm;  /* to the window's headward edge; negative dives */
    bool has_strap, has_seat;
    PoiseVerdict verdict, seat_verdict;
    double hand_load_g, seat_hand_load_g;
    double seat_margin_mm; /* to the headward edge of what the leg carries, with the arm's weight */
    bool targets_met;      /* all that the file has */
} PoiseBalance;

PoiseStanceSetting poise_stance_setting(const PoiseInstrument *instrument);

/* Solves the window. POISE_OK; POISE_E_DOMAIN when the posts or the strap make no sense (a fault
 * says why, `faults` may be NULL): the stance then judges everything but the strap. */
PoiseStatus poise_stance_solve(const PoiseStanceSetting *setting, const double origin_mm[3],
                               PoiseStance *stance, PoiseFaults *faults);

/* Judges a mass and its first moments about the same origin. */
PoiseBalance poise_stance_judge(const PoiseStance *stance, double mass_g,
                                const double moment_gmm[3]);

#endif
