/* Without friction the support stands at the ellipse's top. With V(φ) = v_P − v_G, the drop of the
 * centre below the support, dV/dφ = h_P − h_G: turning by dφ lifts a point fixed to the instrument
 * by h dφ, and at the top moving along the ellipse changes v_P by nothing (envelope theorem).
 * Equilibria are the roots of k(φ) = h_G − h_P; stable where V has a maximum, that is where k rises
 * through 0.
 *
 * Squaring away the root in h_P makes k = 0 a trigonometric polynomial of degree 4: at most 8
 * roots. */
#include "statics/free_hang.h"

#include <math.h>

#include "statics/root.h"

/* Steps of a turn, half a degree each. k is a first harmonic plus a second one whose sharpness the
 * strap's angles bound, so two roots within a step are a pair about an extremum, which is looked
 * for. Three within a step, about to merge, count as the one they merge into: it has their joint
 * sense. */
static const int STEPS = 720;
/* Degrees: round-off of an angle near 180°. */
static const double ROOT_TOLERANCE_DEG = 1e-12;
/* mm. Two roots that have run together: k touches 0 without crossing. Nearer than this it is a
 * root. */
static const double TOUCH_MM = 1e-9;
static const int GOLDEN_STEPS = 36; /* see range.c */

typedef struct Hang {
    const PoiseStrap *strap;
    PoisePoint centre;
    double near_deg;
    size_t count;
    PoiseFreeHang *found;
} Hang;

static double off_centre(double deg, const void *context)
{
    const Hang *hang = context;
    PoiseTurn turn = poise_turn(deg);
    PoiseBelt belt = poise_belt(hang->strap, turn);
    return poise_turned_h(turn, hang->centre) - poise_belt_top_station(&belt);
}

static void add(Hang *hang, double deg, bool stable)
{
    if (deg > 180.0)
        deg -= 360.0;
    else if (deg <= -180.0)
        deg += 360.0;
    if (hang->count < POISE_MAX_FREE_HANGS)
        hang->found[hang->count++] = (PoiseFreeHang){deg, stable};
}

static void add_between(Hang *hang, double a, double ka, double b, double kb)
{
    if (ka < 0 ? kb >= 0 : kb < 0)
        add(hang, poise_root(off_centre, hang, a, ka, b, kb, ROOT_TOLERANCE_DEG), ka < 0);
}

/* The angle in [a, c] where |k|, of one sign there, is least. */
static double least_between(const Hang *hang, double a, double c)
{
    const double golden = 0.61803398874989485;
    double p = c - golden * (c - a), q = a + golden * (c - a);
    double sign = off_centre(0.5 * (a + c), hang) < 0 ? -1.0 : 1.0;
    double kp = sign * off_centre(p, hang), kq = sign * off_centre(q, hang);
    for (int i = 0; i < GOLDEN_STEPS; i++) {
        if (kp < kq) {
            c = q, q = p, kq = kp;
            p = c - golden * (c - a);
            kp = sign * off_centre(p, hang);
        } else {
            a = p, p = q, kp = kq;
            q = a + golden * (c - a);
            kq = sign * off_centre(q, hang);
        }
    }
    return 0.5 * (a + c);
}

/* k has one sign at a, b and c and comes nearest to 0 about b: a pair of roots, a touch, or
 * neither. */
static void add_pair(Hang *hang, double a, double ka, double c, double kc)
{
    double middle = least_between(hang, a, c), k = off_centre(middle, hang);
    if ((k < 0) != (ka < 0)) {
        add_between(hang, a, ka, middle, k);
        add_between(hang, middle, k, c, kc);
    } else if (fabs(k) <= TOUCH_MM) {
        add(hang, middle, false); /* a point of inflection of V: it leaves it on one side */
    }
}

static double away(double a_deg, double b_deg)
{
    return fabs(remainder(a_deg - b_deg, 360.0));
}

static bool comes_before(const Hang *hang, const PoiseFreeHang *a, const PoiseFreeHang *b)
{
    if (a->stable != b->stable)
        return a->stable;
    return away(a->neck_angle_deg, hang->near_deg) < away(b->neck_angle_deg, hang->near_deg);
}

static void sort(Hang *hang)
{
    for (size_t i = 1; i < hang->count; i++) {
        PoiseFreeHang moving = hang->found[i];
        size_t j = i;
        for (; j > 0 && comes_before(hang, &moving, &hang->found[j - 1]); j--)
            hang->found[j] = hang->found[j - 1];
        hang->found[j] = moving;
    }
}

size_t poise_free_hangs(const PoiseStrap *strap, PoisePoint centre, double neck_angle_deg,
                        PoiseFreeHang found[POISE_MAX_FREE_HANGS])
{
    Hang hang = {.strap = strap, .centre = centre, .near_deg = neck_angle_deg, .found = found};
    double step = 360.0 / STEPS;
    double ka = off_centre(-180.0, &hang), kb = off_centre(-180.0 + step, &hang);
    double before = -180.0;
    for (int i = 1; i <= STEPS; i++) {
        double at = -180.0 + step * i, after = at + step;
        double kc = off_centre(after, &hang);
        add_between(&hang, before, ka, at, kb);
        bool one_side = (ka < 0) == (kb < 0) && (kb < 0) == (kc < 0);
        if (one_side && fabs(kb) <= fabs(ka) && fabs(kb) < fabs(kc))
            add_pair(&hang, before, ka, after, kc);
        before = at;
        ka = kb;
        kb = kc;
    }
    sort(&hang);
    return hang.count;
}
