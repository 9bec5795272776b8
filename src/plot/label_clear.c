#include "plot/label_clear.h"

#include <math.h>

#include "base/vec.h"

/* How far a label may go, px: beyond that it would not be seen to belong to its point, which a
 * leader makes plain a little longer. */
static const double REACH_PX = 110.0, LED_REACH_PX = 260.0, STEP_PX = 5.0;

/* Directions tried on each circle; rounds over all labels, for one that moves may free another. */
enum { DIRECTIONS = 24, MOST_ROUNDS = 4 };

/* A label nearer than this to its point needs no leader, px. */
static const double BESIDE_PX = 8.0;

static const double SLACK_PX = 1e-6;

typedef struct Page {
    PoiseLabel *labels;
    size_t n;
    const PoiseLabelLine *lines;
    size_t line_count;
    const double *area;
} Page;

/* Liang and Barsky's clipping: is any part of the piece left? */
bool poise_line_meets_box(const PoiseLabelLine *line, const double box[4])
{
    double from = 0.0, to = 1.0;
    for (int k = 0; k < 2; k++) {
        double start = line->from[k], way = line->to[k] - start;
        if (way == 0.0) {
            if (start <= box[k] || start >= box[k + 2])
                return false;
            continue;
        }
        double in = (box[k] - start) / way, out = (box[k + 2] - start) / way;
        from = fmax(from, fmin(in, out));
        to = fmin(to, fmax(in, out));
    }
    return from < to;
}

/* `gap` is kept at its sides only: the pitch of its lines leaves some above and below. */
static void box_of(const PoiseLabel *label, double gap, double box[4])
{
    box[0] = label->x - 0.5 * label->width - gap;
    box[1] = label->y - 0.5 * label->height;
    box[2] = label->x + 0.5 * label->width + gap;
    box[3] = label->y + 0.5 * label->height;
}

bool poise_label_leader(const PoiseLabel *label, PoiseLabelLine *leader)
{
    double box[4];
    if (!label->leader)
        return false;
    box_of(label, 0.0, box);
    for (int k = 0; k < 2; k++) {
        leader->from[k] = fmin(fmax(label->at[k], box[k]), box[k + 2]);
        leader->to[k] = label->at[k];
    }
    return hypot(leader->to[0] - leader->from[0], leader->to[1] - leader->from[1]) >= BESIDE_PX;
}

static bool overlap(const double a[4], const double b[4])
{
    return a[0] < b[2] - SLACK_PX && b[0] < a[2] - SLACK_PX && a[1] < b[3] - SLACK_PX &&
           b[1] < a[3] - SLACK_PX;
}

static bool inside(const double box[4], const double area[4])
{
    return box[0] >= area[0] && box[1] >= area[1] && box[2] <= area[2] && box[3] <= area[3];
}

static bool is_clear(const Page *page, size_t i)
{
    const PoiseLabel *own = &page->labels[i];
    double box[4], tight[4];
    PoiseLabelLine leader, other_leader;
    bool leads = poise_label_leader(own, &leader);
    box_of(own, 0.0, tight);
    for (size_t k = 0; k < page->line_count; k++) {
        box_of(own, page->lines[k].gap, box);
        if (poise_line_meets_box(&page->lines[k], box))
            return false;
    }
    box_of(own, POISE_EDGE_GAP_PX, box);
    for (size_t j = 0; j < page->n; j++) {
        double other[4];
        if (j == i)
            continue;
        box_of(&page->labels[j], 0.0, other);
        if (overlap(tight, other) ||
            (leads && !page->labels[j].fixed && poise_line_meets_box(&leader, other)))
            return false;
        if (poise_label_leader(&page->labels[j], &other_leader) &&
            poise_line_meets_box(&other_leader, box))
            return false;
    }
    return true;
}

/* To the nearest clear place; back again if there is none. */
static bool move_clear(Page *page, size_t i)
{
    PoiseLabel *label = &page->labels[i];
    const double x = label->x, y = label->y;
    double reach = label->leader ? LED_REACH_PX : REACH_PX, box[4];
    for (int ring = 1; STEP_PX * ring <= reach; ring++)
        for (int k = 0; k < DIRECTIONS; k++) {
            double s, c, r = STEP_PX * ring;
            poise_sincos_deg(360.0 * k / DIRECTIONS, &s, &c);
            label->x = x + r * s;
            label->y = y - r * c;
            box_of(label, 0.0, box);
            if (inside(box, page->area) && is_clear(page, i))
                return true;
        }
    label->x = x;
    label->y = y;
    return false;
}

bool poise_labels_clear(PoiseLabel *labels, size_t n, const PoiseLabelLine *lines,
                        size_t line_count, const double area_px[4])
{
    Page page = {labels, n, lines, line_count, area_px};
    bool all = false;
    for (int round = 0; !all && round < MOST_ROUNDS; round++) {
        all = true;
        for (size_t i = 0; i < n; i++)
            if (!labels[i].fixed && !is_clear(&page, i)) {
                bool moved = move_clear(&page, i);
                all = all && moved;
            }
    }
    return all;
}
