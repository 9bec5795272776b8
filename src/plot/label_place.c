#include "plot/label_place.h"

#include <math.h>
#include <string.h>

/* Every round settles at least the worst pair of a small set; measured, thirty labels on one point
 * take about 60 rounds. */
enum { MOST_ROUNDS = 600, MOST_LABELS = 256 };

/* Overlaps below this are rounding, px. */
static const double SLACK_PX = 1e-6;

static double clamp(double value, double half, double lo, double hi)
{
    if (hi - lo < 2.0 * half)
        return 0.5 * (lo + hi);
    return fmin(fmax(value, lo + half), hi - half);
}

static void keep_inside(PoiseLabel *label, const double area[4])
{
    if (label->fixed)
        return;
    label->x = clamp(label->x, 0.5 * label->width, area[0], area[2]);
    label->y = clamp(label->y, 0.5 * label->height, area[1], area[3]);
}

static bool above(const PoiseLabel *a, const PoiseLabel *b)
{
    if (a->y != b->y)
        return a->y < b->y;
    if (a->x != b->x)
        return a->x < b->x;
    return a->width < b->width;
}

static void sort(const PoiseLabel *labels, size_t *order, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        size_t k = i;
        for (; k > 0 && above(&labels[i], &labels[order[k - 1]]); k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
}

/* One way out for a pair: along an axis (0 x, 1 y), b by `way` px relative to a, shared. */
typedef struct Move {
    int axis;
    double way, share_a;
} Move;

static bool fits(const PoiseLabel *label, int axis, double by, const double area[4])
{
    double at = (axis ? label->y : label->x) + by;
    double half = 0.5 * (axis ? label->height : label->width);
    return by == 0.0 ||
           (at - half >= area[axis] - SLACK_PX && at + half <= area[axis + 2] + SLACK_PX);
}

static void move(PoiseLabel *label, int axis, double by)
{
    if (axis)
        label->y += by;
    else
        label->x += by;
}

/* The cheapest way out that keeps both in the area: how far they go, and a fifth more where only
 * one of two free labels gives way. The natural one, were there no area, if none does. */
static Move way_out(const PoiseLabel *a, const PoiseLabel *b, const double over[2],
                    const double apart[2], const double area[4])
{
    const double one_sided = 1.2;
    double even = b->fixed ? 1.0 : a->fixed ? 0.0 : 0.5;
    int natural = over[1] <= over[0];
    Move best = {natural, apart[natural] < 0.0 ? -over[natural] : over[natural], even};
    double least = INFINITY;
    for (int axis = 0; axis < 2; axis++)
        for (int side = -1; side <= 1; side += 2)
            for (int k = 0; k < 3; k++) {
                double share = k == 0 ? even : k == 1 ? 0.0 : 1.0;
                if ((share > 0.0 && a->fixed) || (share < 1.0 && b->fixed))
                    continue;
                /* past each other it is the farther, the more they have been apart */
                double far =
                    over[axis] + (side * apart[axis] < 0.0 ? 2.0 * fabs(apart[axis]) : 0.0);
                double cost = far * (share == even ? 1.0 : one_sided);
                if (cost >= least - SLACK_PX || !fits(a, axis, -share * side * far, area) ||
                    !fits(b, axis, (1.0 - share) * side * far, area))
                    continue;
                least = cost;
                best = (Move){axis, side * far, share};
            }
    return best;
}

/* Moves the pair apart; b stands after a in the order. Returns whether they overlapped. */
static bool push(PoiseLabel *a, PoiseLabel *b, const double area[4])
{
    const double apart[2] = {b->x - a->x, b->y - a->y};
    const double over[2] = {0.5 * (a->width + b->width) + POISE_LABEL_GAP_PX - fabs(apart[0]),
                            0.5 * (a->height + b->height) + POISE_LABEL_GAP_PX - fabs(apart[1])};
    if (over[0] <= SLACK_PX || over[1] <= SLACK_PX || (a->fixed && b->fixed))
        return false;
    Move out = way_out(a, b, over, apart, area);
    move(a, out.axis, -out.share_a * out.way);
    move(b, out.axis, (1.0 - out.share_a) * out.way);
    return true;
}

bool poise_labels_place(PoiseLabel *labels, size_t n, const double area[4])
{
    size_t order[MOST_LABELS];
    n = n < MOST_LABELS ? n : MOST_LABELS;
    sort(labels, order, n);
    for (size_t i = 0; i < n; i++)
        keep_inside(&labels[i], area);
    bool overlapped = n > 1;
    for (int round = 0; overlapped && round < MOST_ROUNDS; round++) {
        overlapped = false;
        for (size_t i = 0; i < n; i++)
            for (size_t j = i + 1; j < n; j++)
                overlapped |= push(&labels[order[i]], &labels[order[j]], area);
        for (size_t i = 0; i < n; i++)
            keep_inside(&labels[i], area);
    }
    return !overlapped;
}
