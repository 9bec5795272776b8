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

/* Moves the pair apart; b stands after a in the order. Returns whether they overlapped. */
static bool push(PoiseLabel *a, PoiseLabel *b)
{
    double dx = b->x - a->x, dy = b->y - a->y;
    double over_x = 0.5 * (a->width + b->width) + POISE_LABEL_GAP_PX - fabs(dx);
    double over_y = 0.5 * (a->height + b->height) + POISE_LABEL_GAP_PX - fabs(dy);
    if (over_x <= SLACK_PX || over_y <= SLACK_PX || (a->fixed && b->fixed))
        return false;
    double share_a = b->fixed ? 1.0 : a->fixed ? 0.0 : 0.5, share_b = 1.0 - share_a;
    if (over_y <= over_x) {
        double way = dy < 0.0 ? -over_y : over_y;
        a->y -= share_a * way;
        b->y += share_b * way;
    } else {
        double way = dx < 0.0 ? -over_x : over_x;
        a->x -= share_a * way;
        b->x += share_b * way;
    }
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
                overlapped |= push(&labels[order[i]], &labels[order[j]]);
        for (size_t i = 0; i < n; i++)
            keep_inside(&labels[i], area);
    }
    return !overlapped;
}
