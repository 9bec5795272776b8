/* Weighing the whole instrument and finding its balance point at home: three methods, and what they
 * are worth. Uncertainties are one standard uncertainty, propagated to first order (JCGM 100:2008,
 * 5.1.2); readings are taken as independent of each other. Nothing here reads files: the numbers
 * are plain data.
 *
 * Every function returns POISE_OK, or POISE_E_DOMAIN with a fault without a file, whose pointer
 * names the reading relative to the method's own object ("/supports/1/load", …). */
#ifndef POISE_SCALE_HOME_METHODS_H
#define POISE_SCALE_HOME_METHODS_H

#include <stddef.h>

#include "model/material.h"
#include "poise/statics.h"

/* --- on kitchen scales ------------------------------------------------------------------------ */

/* Most supports of one weighing. */
#define POISE_MOST_SUPPORTS 4

/* One scale: where its support touches the instrument, along one line (any origin), and what it
 * shows, its own support taken off. */
typedef struct PoiseSupport {
    PoiseQuantity station_mm, load_g;
} PoiseSupport;

typedef struct PoiseScaleResult {
    PoiseQuantity mass_g, station_mm;
    double correlation; /* of mass and station, −1 … 1 */
} PoiseScaleResult;

/* M = Σ F_i,  x = Σ F_i x_i / M;  ∂x/∂F_i = (x_i − x)/M,  ∂x/∂x_i = F_i/M.
 * Refused: fewer than two supports, supports in one place, a load below 0, no load at all. */
PoiseStatus poise_weigh_on_scales(const PoiseSupport *supports, size_t count,
                                  PoiseScaleResult *result, PoiseFaults *faults);

/* --- hanging from each post ------------------------------------------------------------------- */

/* One hanging, in the plane of the face. The plumb line runs through the post; its direction is
 * given by a second point that it crosses, or by the neck angle: how far the strings' direction
 * towards the head stands above the horizontal as the instrument hangs, past ±90° when the edge
 * that is up for the player has come to point down. */
typedef struct PoiseHangReading {
    PoisePoint post;
    bool by_mark;
    PoisePoint mark;         /* by_mark: a point of the face that the line crosses */
    PoiseQuantity angle_deg; /* else */
    double place_u_mm;       /* of the post's and the mark's coordinates, each axis */
} PoiseHangReading;

typedef struct PoiseHangResult {
    PoisePoint centre;
    double x_u_mm, y_u_mm;
    double correlation;  /* of x and y */
    double crossing_deg; /* between the two lines, 0 … 90 */
} PoiseHangResult;

/* The centre of mass lies on both lines: n_i · G = n_i · P_i with n_i across line i. A shift of a
 * line across itself at G, of variance σ_i² = u² + (L_i u(angle))², or with a mark at distance D
 * ((1 − t)² + t²) u², t = L_i/D, moves G by A⁻¹, A having the rows n_i.
 * Refused: lines that cross at less than POISE_LEAST_CROSSING_DEG, a mark at its post. */
PoiseStatus poise_hang_crossing(const PoiseHangReading readings[2], PoiseHangResult *result,
                                PoiseFaults *faults);

/* Degrees. Below this an error along the lines is more than eleven times the error across. */
#define POISE_LEAST_CROSSING_DEG 5.0

/* --- over a knife edge ------------------------------------------------------------------------ */

/* The edge stands across the strings. It balances nowhere exactly: tips_tail is the last station of
 * the edge at which the instrument still falls to the tail's side, tips_head the last from there at
 * which it falls to the head's. With the edge headwards of the centre the weight is on the tail's
 * side, so tips_tail is the larger. The centre lies between: half-width a gives a/√3 (JCGM 100,
 * 4.3.7), with the reading's own uncertainty. One station alone is the same with both equal.
 * Refused: tips_tail the smaller. */
typedef struct PoiseEdgeReading {
    double tips_tail_mm, tips_head_mm; /* stations along the strings, headwards, any origin */
    double read_u_mm;                  /* of a station read off a rule */
} PoiseEdgeReading;

PoiseStatus poise_edge_balance(const PoiseEdgeReading *reading, PoiseQuantity *station_mm,
                               PoiseFaults *faults);

/* --- the strap's friction --------------------------------------------------------------------- */

/* The real instrument on its strap, the neck let go slowly: the neck angle at which the strap
 * starts to slip. */
typedef struct PoiseSlipReading {
    PoiseStrap strap;      /* its friction is not used */
    double length_u_mm;    /* of the strap */
    PoisePoint centre;     /* of mass */
    double x_u_mm, y_u_mm; /* of the centre */
    PoiseQuantity angle_deg;
} PoiseSlipReading;

typedef struct PoiseSlipResult {
    PoiseQuantity friction;
    PoiseVerdict slips; /* neck-heavy: the neck sinks; tail-heavy: it rises */
} PoiseSlipResult;

/* The friction that just holds at that angle, |ln(sin α/sin β)|/θ (Euler and Eytelwein), its
 * derivatives by central differences. Refused: an angle at which no strap holds, or where less than
 * one standard uncertainty of friction is needed, since such a reading says nothing about it. */
PoiseStatus poise_slip_friction(const PoiseSlipReading *reading, PoiseSlipResult *result,
                                PoiseFaults *faults);

/* --- how it is done --------------------------------------------------------------------------- */

typedef enum PoiseHomeMethod {
    POISE_HOME_SCALES,
    POISE_HOME_HANGING,
    POISE_HOME_EDGE,
    POISE_HOME_SLIP
} PoiseHomeMethod;
#define POISE_HOME_METHODS 4

/* A short name, and the way to do it with its formula, error and cautions, in lines of at most 80
 * columns that end in a newline. Never NULL. */
const char *poise_home_method_name(PoiseHomeMethod method);
const char *poise_home_method_text(PoiseHomeMethod method);

#endif
