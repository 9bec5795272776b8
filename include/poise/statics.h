/** @file statics.h  How an instrument hangs on a strap, settles, and rests on a leg.
 *
 *  Plane statics in the plane of the face. Coordinates: x along the strings towards the head, y up
 * for the player, z out of the face, all in mm, any origin. At neck angle φ (head above horizontal
 * is positive) a point lies at h = x cos φ − y sin φ (towards the head) and v = x sin φ + y cos φ
 * (up). Left-handed instruments are mirrored (y := −y) by the caller before they come here. */
#ifndef POISE_STATICS_H
#define POISE_STATICS_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A point of the plane of the face, mm. */
typedef struct PoisePoint {
    double x_mm, y_mm;
} PoisePoint;

/** Horizontal (towards the head) and vertical (up) position of a point at a neck angle; NAN when
 * the angle is not finite. */
POISE_API double poise_horizontal_mm(PoisePoint p, double neck_angle_deg);
POISE_API double poise_vertical_mm(PoisePoint p, double neck_angle_deg);

/** An instrument hanging from a strap over one support point. */
typedef struct PoiseStrap {
    PoisePoint tail, horn; /**< strap posts; horn is the one nearer the head */
    double length_mm;      /**< belt length between the posts */
    double friction;       /**< strap on shoulder, ≥ 0 */
} PoiseStrap;

/** An interval; lo ≤ hi. */
typedef struct PoiseInterval {
    double lo, hi;
} PoiseInterval;

typedef enum PoiseVerdict { POISE_HOLDS, POISE_NECK_HEAVY, POISE_TAIL_HEAVY } PoiseVerdict;
/** "holds", "neck-heavy" or "tail-heavy". */
POISE_API const char *poise_verdict_name(PoiseVerdict verdict);

/** Checks that the posts and the strap make sense.
 *  @return POISE_OK, or POISE_E_DOMAIN with a fault (no file; pointer "/posts" or "/strap/length"
 * or
 *  "/strap/friction"): posts coincide; the strap is not longer than the posts' distance; the horn
 * post is not nearer the head than the tail post; a number is not finite or a place beyond a
 * kilometre; friction negative. Posts within 0.001 mm of each other coincide. */
POISE_API PoiseStatus poise_strap_check(const PoiseStrap *strap, PoiseFaults *faults);

/** The holding window: horizontal distances from the tail post, towards the head, between which the
 *  centre of mass may lie without the strap slipping.
 *  @return POISE_OK; POISE_E_DOMAIN when there is no window at this angle (the horn post is not
 *  headwards of the tail post), or the strap fails poise_strap_check(). */
POISE_API PoiseStatus poise_strap_window(const PoiseStrap *strap, double neck_angle_deg,
                                         PoiseInterval *window_mm);

/** The support point vertically above a station (horizontal distance from the tail post), for
 * drawing the strap: height above the tail post in mm.
 *  @return POISE_OK; POISE_E_DOMAIN unless the station lies strictly between the posts. */
POISE_API PoiseStatus poise_strap_support(const PoiseStrap *strap, double neck_angle_deg,
                                          double station_mm, double *height_mm);

/** The smallest friction that holds a centre of mass at a station.
 *  @return POISE_OK; POISE_E_DOMAIN when none does (station not between the posts). */
POISE_API PoiseStatus poise_strap_needed_friction(const PoiseStrap *strap, double neck_angle_deg,
                                                  double station_mm, double *friction);

/** A way of hanging freely on a frictionless strap, anywhere in the whole turn (−180°, 180°].
 * Beyond the angle at which the posts stand one above the other it has turned over, and says no
 * more than that. */
typedef struct PoiseFreeHang {
    double neck_angle_deg;
    bool stable; /**< v_P − v_G has a local maximum here */
} PoiseFreeHang;

#define POISE_MAX_FREE_HANGS 8

/** Everything about hanging at one neck angle. Values that do not exist are NAN. */
typedef struct PoiseHanging {
    double station_mm;       /**< h_G − h_tail */
    PoiseInterval window_mm; /**< NAN both when no window exists */
    double margin_mm;        /**< hi − station; negative is a dive */
    bool has_verdict;        /**< false when no window exists */
    PoiseVerdict verdict;
    double needed_friction;
    double hand_load_g; /**< upward force of the hand, grams-force; 0 when it holds; NAN where no
                             hand there can hold it: not headwards of the edge, or nearer than
                             the centre, where it would have to lift more than the weight */
    bool holds_somewhere;
    PoiseInterval
        hold_range_deg; /**< the interval with the playing angle, or the nearest, in [−90°, 90°] */
    double settles_at_deg; /**< NAN: does not settle */
    size_t free_hang_count;
    PoiseFreeHang free_hangs[POISE_MAX_FREE_HANGS]; /**< stable ones first, each kind nearest the
                                                       playing angle first; [0] is always stable */
} PoiseHanging;

/** Solves the hanging problem.
 *  @param centre      centre of mass in the plane of the face
 *  @param weight_g    > 0
 *  @param neck_angle_deg  playing angle, between −90° and 90°
 *  @param hand        where the fretting hand pushes (usually the nut)
 *  A centre within 1e-6 mm of an edge of the window counts as on it, and holds.
 *  @return POISE_OK, or POISE_E_DOMAIN with faults from poise_strap_check(), or for a weight that
 * is not positive, an angle out of range, a position that is not finite. */
POISE_API PoiseStatus poise_strap_hang(const PoiseStrap *strap, PoisePoint centre, double weight_g,
                                       double neck_angle_deg, PoisePoint hand,
                                       PoiseHanging *hanging, PoiseFaults *faults);

/** Ballast at station q that just brings a neck-heavy instrument to the window's edge,
 *  m = M (h_G − h_hi)/(h_hi − h_q); tail-heavy by the same rule at h_lo.
 *  All stations are from the tail post. @return POISE_OK (0 g when it holds already);
 * POISE_E_DOMAIN when no mass at q helps. */
POISE_API PoiseStatus poise_ballast_needed(double weight_g, double station_mm,
                                           PoiseInterval window_mm, double ballast_station_mm,
                                           double *ballast_g);
/** Mass to take away at station q: M (h_G − h_hi)/(h_q − h_hi) for h_q > h_hi (mirrored when
 * tail-heavy).
 *  @return POISE_OK (0 g when it holds already); POISE_E_DOMAIN when no removal at q helps, or only
 * one of the whole weight or more would. */
POISE_API PoiseStatus poise_removal_needed(double weight_g, double station_mm,
                                           PoiseInterval window_mm, double removal_station_mm,
                                           double *removal_g);

/** Lean: with the line through the posts as a hinge, the angle between the face and vertical once
 * the centre hangs below it; positive when the face tips down. Points are (x, y, z), z out of the
 * face.
 *  @return POISE_OK; POISE_E_DOMAIN when the posts coincide, the line is vertical or has no
 *  run along the strings, or the centre is on it. */
POISE_API PoiseStatus poise_lean(const double tail_mm[3], const double horn_mm[3],
                                 const double centre_mm[3], double neck_angle_deg,
                                 double *lean_deg);

/** An instrument resting on the leg, with the playing arm on it. */
typedef struct PoiseSeat {
    PoisePoint rest;      /**< where the waist rests on the leg */
    double half_width_mm; /**< the leg carries anywhere within rest ± this, ≥ 0 */
    bool has_arm;
    PoisePoint arm; /**< where the arm rests */
    double arm_g;   /**< its weight there, ≥ 0 */
} PoiseSeat;

typedef struct PoiseResting {
    double horizontal_mm; /**< combined centre, h in plane coordinates (not from the tail post) */
    PoiseInterval window_mm; /**< likewise */
    PoiseVerdict verdict;
    double hand_load_g; /**< upward; 0 when it holds; negative where the hand must press down; NAN
                           when no upward or downward push at the hand can hold it */
} PoiseResting;

/** Solves resting on the leg at a neck angle. @return POISE_OK or POISE_E_DOMAIN (numbers out of
 * range). */
POISE_API PoiseStatus poise_seat_rest(const PoiseSeat *seat, PoisePoint centre, double weight_g,
                                      double neck_angle_deg, PoisePoint hand,
                                      PoiseResting *resting);

#ifdef __cplusplus
}
#endif
#endif
