/* What the statics tests share: fixed-seed instruments and numerical ways to place the support that
 * use none of the program's closed forms. */
#ifndef POISE_TEST_STATICS_HELP_H
#define POISE_TEST_STATICS_HELP_H

#include <stdint.h>

#include "check.h"
#include "poise/statics.h"

#define PI 3.14159265358979323846

/* SplitMix64; a fixed seed makes every run the same. */
static inline double random_between(uint64_t *state, double lo, double hi)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    z ^= z >> 31;
    return lo + (hi - lo) * ((double)(z >> 11) * 0x1p-53);
}

typedef struct Sample {
    PoiseStrap strap;
    PoisePoint centre, hand;
    double weight_g, angle_deg;
} Sample;

/* An instrument of any sense at all: posts 150 to 600 mm apart, straps taut to long, slippery to
 * tacky. */
static inline Sample random_sample(uint64_t *state)
{
    Sample s;
    double x = random_between(state, -2000, 2000), y = random_between(state, -2000, 2000);
    double run = random_between(state, 150, 600), rise = random_between(state, -150, 250);
    double distance = sqrt(run * run + rise * rise);
    double slack = random_between(state, -4, 1.2);
    s.strap.tail = (PoisePoint){x, y};
    s.strap.horn = (PoisePoint){x + run, y + rise};
    s.strap.length_mm = distance * (1.0 + pow(10.0, slack));
    s.strap.friction = random_between(state, 0, 0.8);
    s.centre =
        (PoisePoint){x + random_between(state, -100, 700), y + random_between(state, -120, 120)};
    s.hand = (PoisePoint){x + random_between(state, 600, 900), y + random_between(state, -10, 10)};
    s.weight_g = random_between(state, 800, 6000);
    s.angle_deg = random_between(state, -30, 70);
    return s;
}

/* The support over a station by bisection on the height: above the line AB the two distances' sum
 * rises. */
static inline PoisePoint support_by_bisection(PoisePoint b, double length, double station)
{
    double lo = b.y_mm * station / b.x_mm, hi = lo + 2.0 * length;
    for (int i = 0; i < 200; i++) {
        double v = 0.5 * (lo + hi);
        double sum = hypot(station, v) + hypot(b.x_mm - station, v - b.y_mm);
        if (sum < length)
            lo = v;
        else
            hi = v;
    }
    return (PoisePoint){station, 0.5 * (lo + hi)};
}

/* The horn post as seen from the tail post at a neck angle, by the rotation itself. */
static inline PoisePoint horn_at(const PoiseStrap *strap, double angle_deg)
{
    double dx = strap->horn.x_mm - strap->tail.x_mm, dy = strap->horn.y_mm - strap->tail.y_mm;
    double c = cos(angle_deg * PI / 180), s = sin(angle_deg * PI / 180);
    return (PoisePoint){dx * c - dy * s, dx * s + dy * c};
}

static inline PoiseHanging hang_sample(const Sample *s)
{
    PoiseHanging h;
    assert_int_equal(
        poise_strap_hang(&s->strap, s->centre, s->weight_g, s->angle_deg, s->hand, &h, NULL),
        POISE_OK);
    return h;
}

static inline double station_at(const PoiseStrap *strap, PoisePoint p, double angle)
{
    return poise_horizontal_mm((PoisePoint){p.x_mm - strap->tail.x_mm, p.y_mm - strap->tail.y_mm},
                               angle);
}

/* Whether a centre is in the window at an angle, by the window alone; slack in mm, negative is
 * stricter. */
static inline bool in_window(const PoiseStrap *strap, PoisePoint centre, double angle, double slack)
{
    PoiseInterval w;
    if (poise_strap_window(strap, angle, &w))
        return false;
    double station = station_at(strap, centre, angle);
    return station >= w.lo - slack && station <= w.hi + slack;
}

#endif
