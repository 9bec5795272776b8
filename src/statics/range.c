/* The holding range by scan and refinement.
 *
 * s(φ), the friction that just holds the centre (signed: + headward of the top point), is
 * continuous where the centre is between the posts, and there the centre holds while |s| ≤ μ.
 * "Between the posts" is three half-planes of directions (the centre headwards of the tail post,
 * tailwards of the horn post, the posts spread), so in (−90°, 90°) it is one interval, known in
 * closed form. The scan walks that interval. Nothing is stepped over:
 *  - a holding interval narrower than a step that s crosses shows as a change of sign of s;
 *  - one that s only dips into, or a gap it only dips out of, shows as a local extremum of s, and
 * every extremum near enough to a threshold is refined and added to the nodes. */
#include "statics/range.h"

#include <math.h>

static const double DEG = 180.0 / 3.14159265358979323846;

/* Degrees between nodes, at most. s varies with the sines of φ and of the strap's angles, whose
 * scale is tens of degrees (sharp only where the belt is taut and the posts level, and then once),
 * so there is one extremum between neighbours of a node and no more; and ... */
static const double SCAN_STEP_DEG = 0.5;
/* ... at least this many steps, for the short intervals near the angle where the posts stand one
 * above the other, over which s runs its whole course. */
static const int MIN_STEPS = 48;
/* An extremum is refined when a threshold is nearer to it than this many times the larger
 * difference to its neighbours. For a parabola through the three nodes the factor is at most 1/8; 2
 * leaves room. */
static const double EXTREMUM_REACH = 2.0;
/* Golden section keeps 0.618 per step: 36 steps end at 3e-8 of the bracket, as fine as a flat
 * extremum can be told in doubles. */
static const int GOLDEN_STEPS = 36;
/* Bisection of an edge: 2^-44 of a step is 3e-14°, the round-off of an angle. */
static const int EDGE_STEPS = 44;

typedef struct Node {
    double deg, s;
} Node;

typedef struct Scan {
    const PoiseStrap *strap;
    PoisePoint centre;
    double from_deg; /* the playing angle */
    Node last;
    bool started, open;
    double open_deg;
    double nearest_gap;
    PoiseHoldRange range;
} Scan;

static Node node_at(const Scan *scan, double deg)
{
    PoiseTurn turn = poise_turn(deg);
    PoiseBelt belt = poise_belt(scan->strap, turn);
    return (Node){deg, poise_belt_eased_friction(&belt, poise_turned_h(turn, scan->centre))};
}

/* −1 tail-heavy, 0 holds, 1 neck-heavy */
static int side_of(const Scan *scan, double s)
{
    double friction = scan->strap->friction;
    return s > friction ? 1 : s < -friction ? -1 : 0;
}

/* The edge of the holding set between a node that holds and one that does not, on the holding side.
 */
static double edge_between(const Scan *scan, double inside, double outside)
{
    for (int i = 0; i < EDGE_STEPS; i++) {
        double middle = 0.5 * (inside + outside);
        if (side_of(scan, node_at(scan, middle).s) == 0)
            inside = middle;
        else
            outside = middle;
    }
    return inside;
}

/* A holding angle between a neck-heavy and a tail-heavy node. s is continuous, so one exists;
 * POISE_EDGE_MM makes the set wide enough to be met. */
static double angle_between(const Scan *scan, Node a, Node b)
{
    double lo = a.deg, hi = b.deg, middle = 0.5 * (lo + hi);
    int side_lo = side_of(scan, a.s);
    for (int i = 0; i < EDGE_STEPS; i++, middle = 0.5 * (lo + hi)) {
        int side = side_of(scan, node_at(scan, middle).s);
        if (side == 0)
            break;
        if (side == side_lo)
            lo = middle;
        else
            hi = middle;
    }
    return middle;
}

static void close_interval(Scan *scan, double end_deg)
{
    PoiseInterval found = {scan->open_deg, end_deg};
    double from = scan->from_deg;
    double gap = fmax(fmax(found.lo - from, from - found.hi), 0.0);
    PoiseHoldRange *range = &scan->range;
    if (!range->holds_somewhere || gap < scan->nearest_gap) {
        range->nearest_deg = found;
        scan->nearest_gap = gap;
    }
    range->holds_somewhere = true;
    if (found.lo < from)
        range->below_deg = fmin(found.hi, from); /* intervals come in rising order */
    if (found.hi > from && isnan(range->above_deg))
        range->above_deg = fmax(found.lo, from);
    scan->open = false;
}

static void open_interval(Scan *scan, double start_deg)
{
    scan->open = true;
    scan->open_deg = start_deg;
}

/* Takes the next node in rising order. */
static void walk_to(Scan *scan, Node node)
{
    int side = side_of(scan, node.s);
    if (!scan->started) {
        if (side == 0)
            open_interval(scan, node.deg);
    } else {
        int before = side_of(scan, scan->last.s);
        if (before != 0 && side == 0) {
            open_interval(scan, edge_between(scan, node.deg, scan->last.deg));
        } else if (before == 0 && side != 0) {
            close_interval(scan, edge_between(scan, scan->last.deg, node.deg));
        } else if (before * side < 0) {
            double inside = angle_between(scan, scan->last, node);
            open_interval(scan, edge_between(scan, inside, scan->last.deg));
            close_interval(scan, edge_between(scan, inside, node.deg));
        }
    }
    scan->started = true;
    scan->last = node;
}

/* The extremum of s between a and c, sign 1 for a minimum, −1 for a maximum. */
static Node extremum(const Scan *scan, double a, double c, double sign)
{
    const double golden = 0.61803398874989485;
    Node p = node_at(scan, c - golden * (c - a)), q = node_at(scan, a + golden * (c - a));
    for (int i = 0; i < GOLDEN_STEPS; i++) {
        if (sign * p.s < sign * q.s) {
            c = q.deg;
            q = p;
            p = node_at(scan, c - golden * (c - a));
        } else {
            a = p.deg;
            p = q;
            q = node_at(scan, a + golden * (c - a));
        }
    }
    return sign * p.s < sign * q.s ? p : q;
}

/* Whether b is an extremum among its neighbours whose true depth may reach a threshold it has not
 * passed: 1 minimum, −1 maximum, 0 neither. */
static int doubtful(const Scan *scan, Node a, Node b, Node c)
{
    int sign = b.s <= a.s && b.s <= c.s ? 1 : b.s >= a.s && b.s >= c.s ? -1 : 0;
    if (sign == 0 || !isfinite(b.s))
        return 0;
    double reach = EXTREMUM_REACH * fmax(fabs(a.s - b.s), fabs(c.s - b.s));
    double friction = scan->strap->friction;
    for (int threshold = -1; threshold <= 1; threshold += 2) {
        double beyond = sign * (b.s - threshold * friction);
        if (beyond >= 0 && beyond <= reach)
            return sign;
    }
    return 0;
}

/* The nodes of [lo, hi]: evenly spaced on either side of `split`, which is one of them, so that
 * what holds there is sure to be in an interval. */
typedef struct Grid {
    double lo, split, hi;
    int below, above; /* steps */
} Grid;

static int steps_over(double width_deg)
{
    return width_deg > 0 ? (int)fmax(ceil(width_deg / SCAN_STEP_DEG), MIN_STEPS) : 0;
}

static double grid_deg(const Grid *grid, int i)
{
    if (i < grid->below)
        return grid->lo + (grid->split - grid->lo) * i / grid->below;
    if (i == grid->below + grid->above)
        return grid->hi;
    return grid->split + (grid->hi - grid->split) * (i - grid->below) / grid->above;
}

static void walk(Scan *scan, double lo, double hi)
{
    double split = fmin(fmax(scan->from_deg, lo), hi);
    Grid grid = {lo, split, hi, steps_over(split - lo), steps_over(hi - split)};
    int steps = grid.below + grid.above;
    Node a = node_at(scan, lo), b = a;
    for (int i = 0; i <= steps; i++) {
        Node c = i < steps ? node_at(scan, grid_deg(&grid, i + 1)) : b;
        int sign = doubtful(scan, a, b, c);
        Node best = sign ? extremum(scan, a.deg, c.deg, sign) : b;
        if (best.deg < b.deg)
            walk_to(scan, best);
        walk_to(scan, b);
        if (best.deg > b.deg)
            walk_to(scan, best);
        a = b;
        b = c;
    }
    if (scan->open)
        close_interval(scan, scan->last.deg);
}

/* Narrows [lo, hi] to the angles at which `p` points headwards by more than `least`: |φ + ψ| <
 * acos(least/|p|) with ψ the direction of p. Whole turns need no care: [lo, hi] lies in [−90°,
 * 90°]. */
static void narrow_to_headward(PoisePoint p, double least, double *lo, double *hi)
{
    double length = hypot(p.x_mm, p.y_mm);
    if (!(length > least)) {
        *hi = *lo;
        return;
    }
    double half = DEG * acos(least / length);
    double middle = -DEG * atan2(p.y_mm, p.x_mm);
    *lo = fmax(*lo, middle - half);
    *hi = fmin(*hi, middle + half);
}

PoiseHoldRange poise_hold_range(const PoiseStrap *strap, PoisePoint centre, double neck_angle_deg)
{
    Scan scan = {.strap = strap,
                 .centre = centre,
                 .from_deg = neck_angle_deg,
                 .range = {.nearest_deg = {NAN, NAN}, .below_deg = NAN, .above_deg = NAN}};
    PoisePoint horn = poise_from(strap->tail, strap->horn);
    double lo = -90.0, hi = 90.0;
    narrow_to_headward(horn, POISE_MIN_SPREAD_MM, &lo, &hi);
    narrow_to_headward(centre, 0.0, &lo, &hi);
    narrow_to_headward(poise_from(centre, horn), 0.0, &lo, &hi);
    if (!(hi > lo))
        return scan.range;

    walk(&scan, lo, hi);
    return scan.range;
}

double poise_settles_at(const PoiseHoldRange *range, PoiseVerdict verdict, double neck_angle_deg)
{
    switch (verdict) {
    case POISE_HOLDS:
        break;
    case POISE_NECK_HEAVY:
        return range->below_deg;
    case POISE_TAIL_HEAVY:
        return range->above_deg;
    }
    return neck_angle_deg;
}
