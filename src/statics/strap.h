/* The belt at one neck angle, seen from the tail post; shared by the files of this room. */
#ifndef POISE_STATICS_STRAP_H
#define POISE_STATICS_STRAP_H

#include <stdbool.h>

#include "poise/statics.h"

/* mm. A centre this far outside an edge of its window still counts as on the edge. Ten thousand
 * times finer than anything on an instrument is measured, ten thousand times coarser than the
 * round-off of a station at drawing sizes; it makes "exactly on the edge" hold. */
#define POISE_EDGE_MM 1e-6
/* mm. Posts nearer than this are one post (a post's shank is some 4 mm thick), and posts whose
 * horizontal distance is smaller stand one above the other: there is no window between them. */
#define POISE_MIN_SPREAD_MM 1e-3
/* mm. Coordinates and lengths beyond a kilometre are damage; refusing them keeps every square and
 * product in this room far from overflow and its digits meaningful. */
#define POISE_MAX_LENGTH_MM 1e6

/* One neck angle: sine and cosine. */
typedef struct PoiseTurn {
    double s, c;
} PoiseTurn;
PoiseTurn poise_turn(double neck_angle_deg);
/* p − origin, turned: horizontal and vertical distance from the origin. */
static inline PoisePoint poise_from(PoisePoint origin, PoisePoint p)
{
    return (PoisePoint){p.x_mm - origin.x_mm, p.y_mm - origin.y_mm};
}
static inline double poise_turned_h(PoiseTurn t, PoisePoint p)
{
    return p.x_mm * t.c - p.y_mm * t.s;
}
static inline double poise_turned_v(PoiseTurn t, PoisePoint p)
{
    return p.x_mm * t.s + p.y_mm * t.c;
}

/* True for a finite number within ±limit. */
bool poise_within(double value, double limit);
bool poise_point_ok(PoisePoint p);

/* Adds a fault of status POISE_E_DOMAIN without a file; returns that status. */
PoiseStatus poise_refuse(PoiseFaults *faults, const char *pointer, const char *found,
                         const char *expected);
/* As poise_refuse(); found is "name value unit", the value shown to 0.001 of its unit. */
PoiseStatus poise_refuse_value(PoiseFaults *faults, const char *pointer, const char *name,
                               double value, const char *unit, const char *expected);

/* The belt turned to a neck angle. */
typedef struct PoiseBelt {
    double span_mm;     /* horn post, towards the head from the tail post (may be ≤ 0) */
    double rise_mm;     /* horn post, up from the tail post */
    double distance_mm; /* between the posts */
    double length_mm;
    double friction;
} PoiseBelt;
PoiseBelt poise_belt(const PoiseStrap *strap, PoiseTurn turn);
/* Whether there is a window at all: the horn post stands headwards of the tail post. */
static inline bool poise_belt_spreads(const PoiseBelt *belt)
{
    return belt->span_mm > POISE_MIN_SPREAD_MM;
}

/* Height above the tail post of the support point over a station strictly between the posts. */
double poise_belt_height(const PoiseBelt *belt, double station_mm);
/* Station of the highest point the belt can be supported at, where both sides hang equally steep.
 */
double poise_belt_top_station(const PoiseBelt *belt);
/* ln(T_horn/T_tail)/θ with the support over a station: the friction that just holds it there,
 * positive when the centre pulls headwards of the top point, negative when tailwards. Rises with
 * the station from −∞ at the tail post to +∞ at the horn post, and stays there beyond. The belt
 * must spread. */
double poise_belt_friction(const PoiseBelt *belt, double station_mm);
/* The same with the benefit of POISE_EDGE_MM: the value nearest 0 within that distance of the
 * station. A centre holds where |value| ≤ belt->friction. Continuous in the station and the belt.
 */
double poise_belt_eased_friction(const PoiseBelt *belt, double station_mm);
/* The window of a belt that spreads. */
PoiseInterval poise_belt_window(const PoiseBelt *belt);

#endif
