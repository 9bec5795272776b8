#include "decide/front.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

/* The first step, in the unit of the three numbers (grams here): a hundredth of a gram is below
 * what a kitchen scale shows. */
static const double FIRST_STEP = 0.01;

static int compare(double a, double b)
{
    return (a > b) - (a < b);
}

static int by_place(const void *a, const void *b)
{
    const PoiseFrontPoint *x = a, *y = b;
    for (int i = 0; i < 3; i++)
        if (x->by[i] != y->by[i])
            return compare(x->by[i], y->by[i]);
    return (x->index > y->index) - (x->index < y->index);
}

/* Number of stairs (by rising by[1], falling by[2]) at or left of a point. */
static size_t stairs_at(const PoiseFrontPoint *stairs, size_t n, double at)
{
    size_t lo = 0, hi = n;
    while (lo < hi) {
        size_t middle = lo + (hi - lo) / 2;
        if (stairs[middle].by[1] <= at)
            lo = middle + 1;
        else
            hi = middle;
    }
    return lo;
}

/* Puts a stair in and takes out those it beats; false when it is beaten itself. */
static bool climb(PoiseFrontPoint *stairs, size_t *n, const PoiseFrontPoint *p)
{
    size_t at = stairs_at(stairs, *n, p->by[1]);
    if (at > 0 && stairs[at - 1].by[2] <= p->by[2])
        return false;
    /* Beaten: equal by[1] and larger by[2] just before, larger by[1] and by[2] from here on. */
    size_t first = at > 0 && stairs[at - 1].by[1] == p->by[1] ? at - 1 : at, last = at;
    while (last < *n && stairs[last].by[2] >= p->by[2])
        last++;
    memmove(&stairs[first + 1], &stairs[last], (*n - last) * sizeof *stairs);
    stairs[first] = *p;
    *n = *n - (last - first) + 1;
    return true;
}

static double whole_steps(double value, double step)
{
    return step > 0.0 ? floor(value / step) : value;
}

/* The same for points told apart by whole steps; of those in one step the first in the exact order
 * stays. They come in that order. */
static size_t reduce_stepped(PoiseFrontPoint *points, size_t n, double step,
                             PoiseFrontPoint *stairs)
{
    PoiseFrontPoint *ranked = stairs + n;
    for (size_t i = 0; i < n; i++) {
        ranked[i].index = i;
        for (int k = 0; k < 3; k++)
            ranked[i].by[k] = whole_steps(points[i].by[k], step);
    }
    qsort(ranked, n, sizeof *ranked, by_place);
    size_t height = 0, kept = 0;
    for (size_t i = 0; i < n; i++)
        if (climb(stairs, &height, &ranked[i]))
            ranked[kept++] = ranked[i];
    /* Back to the points, in their own order. */
    for (size_t i = 0; i < kept; i++)
        stairs[i] = points[ranked[i].index];
    memcpy(points, stairs, kept * sizeof *points);
    qsort(points, kept, sizeof *points, by_place);
    return kept;
}

/* In the order of by[0] a point can be beaten by earlier ones only, and those stand as a staircase
 * in the other two numbers (H. T. Kung, F. Luccio, F. P. Preparata, "On finding the maxima of a set
 * of vectors", J. ACM 22 (1975), from memory). */
size_t poise_front_reduce(PoiseFrontPoint *points, size_t n, double step, PoiseFrontPoint *stairs)
{
    qsort(points, n, sizeof *points, by_place);
    size_t height = 0, kept = 0;
    for (size_t i = 0; i < n; i++)
        if (climb(stairs, &height, &points[i]))
            points[kept++] = points[i];
    return step > 0.0 && kept ? reduce_stepped(points, kept, step, stairs) : kept;
}

/* --- the map --- */

static size_t cell_of(const PoiseFront *f, int k, double value)
{
    double steps = (value - f->from[k]) / f->width[k];
    size_t cell = steps >= POISE_FRONT_CELLS - 1 ? POISE_FRONT_CELLS - 1 : (size_t)steps;
    /* The quotient is rounded; the edge must not be above the value. */
    return cell > 0 && value < f->from[k] + (double)cell * f->width[k] ? cell - 1 : cell;
}

/* Down to a whole step: points are told apart by these. */
static double snapped(const PoiseFront *f, double value)
{
    return f->step > 0.0 ? whole_steps(value, f->step) * f->step : value;
}

bool poise_front_beaten(const PoiseFront *f, const double by[3])
{
    double x = snapped(f, by[0]), y = snapped(f, by[1]);
    if (f->count == 0 || !(x >= f->from[0]) || !(y >= f->from[1]))
        return false;
    return f->least[cell_of(f, 0, x)][cell_of(f, 1, y)] <= snapped(f, by[2]);
}

static void find_range(PoiseFront *f, int k)
{
    double lo = INFINITY, hi = -INFINITY;
    for (size_t i = 0; i < f->count; i++) {
        double value = snapped(f, f->points[i].by[k]);
        lo = fmin(lo, value);
        hi = fmax(hi, value);
    }
    f->from[k] = lo;
    /* Of no width (all hold, say): any width puts all that is above into the last cell. */
    f->width[k] = hi > lo ? (hi - lo) / (POISE_FRONT_CELLS - 1) : 1.0;
}

/* The first cell whose edge is at or above a value. */
static size_t cell_above(const PoiseFront *f, int k, double value)
{
    size_t cell = cell_of(f, k, value);
    while (cell < POISE_FRONT_CELLS && f->from[k] + (double)cell * f->width[k] < value)
        cell++;
    return cell;
}

static void draw_map(PoiseFront *f)
{
    find_range(f, 0);
    find_range(f, 1);
    for (size_t i = 0; i < POISE_FRONT_CELLS; i++)
        for (size_t j = 0; j < POISE_FRONT_CELLS; j++)
            f->least[i][j] = INFINITY;
    for (size_t p = 0; p < f->count; p++) {
        const double *by = f->points[p].by;
        size_t i = cell_above(f, 0, snapped(f, by[0])), j = cell_above(f, 1, snapped(f, by[1]));
        if (i < POISE_FRONT_CELLS && j < POISE_FRONT_CELLS)
            f->least[i][j] = fmin(f->least[i][j], snapped(f, by[2]));
    }
    for (size_t i = 0; i < POISE_FRONT_CELLS; i++)
        for (size_t j = 0; j < POISE_FRONT_CELLS; j++) {
            if (i > 0)
                f->least[i][j] = fmin(f->least[i][j], f->least[i - 1][j]);
            if (j > 0)
                f->least[i][j] = fmin(f->least[i][j], f->least[i][j - 1]);
        }
}

void poise_front_begin(PoiseFront *f)
{
    *f = (PoiseFront){0};
}

void poise_front_clear(PoiseFront *f)
{
    poise_release(f->points);
    poise_release(f->stairs);
    f->points = f->stairs = NULL;
    f->count = f->capacity = 0;
}

static bool reserve(PoiseFront *f, size_t n)
{
    if (n <= f->capacity)
        return true;
    n = n < 1024 ? 1024 : n + n / 2;
    PoiseFrontPoint *points = poise_resize(f->points, n, sizeof *points);
    f->points = points ? points : f->points;
    /* Twice: the stairs, and the points in steps. */
    PoiseFrontPoint *stairs = poise_resize(f->stairs, 2 * n, sizeof *stairs);
    f->stairs = stairs ? stairs : f->stairs;
    if (!points || !stairs)
        return false;
    f->capacity = n;
    return true;
}

PoiseStatus poise_front_merge(PoiseFront *f, const PoiseFrontPoint *points, size_t n)
{
    if (n == 0)
        return POISE_OK;
    if (!reserve(f, f->count + n))
        return POISE_E_MEMORY;
    memcpy(&f->points[f->count], points, n * sizeof *points);
    f->count = poise_front_reduce(f->points, f->count + n, f->step, f->stairs);
    while (f->count > POISE_FRONT_MOST) {
        f->step = f->step > 0.0 ? 2.0 * f->step : FIRST_STEP;
        f->count = poise_front_reduce(f->points, f->count, f->step, f->stairs);
    }
    draw_map(f);
    return POISE_OK;
}
