#include "bodies/neck_shape.h"

#include <math.h>

#include "base/sum.h"

double poise_fret_station_mm(double scale_mm, int fret)
{
    return scale_mm * (1.0 - exp2(-fret / 12.0));
}

double poise_neck_width_mm(const PoiseNeckShape *shape, double station_mm)
{
    return shape->nut_width_mm +
           (shape->heel_width_mm - shape->nut_width_mm) * (station_mm / shape->length_mm);
}

double poise_neck_thickness_mm(const PoiseNeckShape *shape, double station_mm)
{
    double first = poise_fret_station_mm(shape->scale_mm, 1);
    double twelfth = poise_fret_station_mm(shape->scale_mm, 12);
    return shape->first_mm +
           (shape->twelfth_mm - shape->first_mm) * ((station_mm - first) / (twelfth - first));
}

double poise_neck_heel_start_mm(const PoiseNeckShape *shape)
{
    return shape->length_mm - shape->heel_length_mm;
}

static double dirichlet(double p, double q, double n)
{
    return tgamma(p / n) * tgamma(q / n) / (n * n * tgamma(1.0 + (p + q) / n));
}

PoiseHalfSection poise_half_section(double exponent)
{
    /* Two quadrants of half-width w/2: ∫y² carries (w/2)³, the others w/2. */
    return (PoiseHalfSection){
        .area = dirichlet(1, 1, exponent),
        .first = dirichlet(1, 2, exponent),
        .depth2 = dirichlet(1, 3, exponent),
        .width2 = dirichlet(3, 1, exponent) / 4.0,
    };
}

/* Area moments of one section about the neck's axis: ∫dA, ∫z, ∫z², ∫y². All sections are symmetric
 * in y. */
typedef struct Section {
    double area, z, zz, yy;
} Section;

static Section rectangle(double width, double top, double bottom)
{
    double depth = top - bottom, middle = (top + bottom) / 2.0;
    Section s = {.area = width * depth};
    s.z = s.area * middle;
    s.zz = s.area * (middle * middle + depth * depth / 12.0);
    s.yy = s.area * width * width / 12.0;
    return s;
}

static Section half_superellipse(const PoiseHalfSection *half, double width, double depth,
                                 double top)
{
    double first = half->first * width * depth * depth;
    Section s = {.area = half->area * width * depth};
    s.z = s.area * top - first;
    s.zz = s.area * top * top - 2.0 * top * first + half->depth2 * width * depth * depth * depth;
    s.yy = half->width2 * width * width * width * depth;
    return s;
}

typedef enum Piece { BOARD, SHAFT, HEEL, HEADSTOCK } Piece;

static Section section_at(const PoiseNeckShape *shape, const PoiseHalfSection *half, Piece piece,
                          double station)
{
    double width = poise_neck_width_mm(shape, station);
    double below = -shape->board_mm;
    switch (piece) {
    case BOARD:
        return rectangle(width, 0.0, below);
    case SHAFT:
        return half_superellipse(half, width, poise_neck_thickness_mm(shape, station) + below,
                                 below);
    case HEEL:
        return rectangle(width, below, -shape->heel_mm);
    case HEADSTOCK:
        return rectangle(shape->headstock_width_mm, -shape->headstock_drop_mm,
                         -shape->headstock_drop_mm - shape->headstock_mm);
    }
    return (Section){0};
}

/* The terms of PoiseMoments that a neck has; xy and yz vanish by symmetry. */
typedef struct Sums {
    PoiseSum volume, x, z, xx, yy, zz, zx;
} Sums;

static void add_station(Sums *sums, const Section *s, double x, double weight)
{
    poise_sum_add(&sums->volume, weight * s->area);
    poise_sum_add(&sums->x, weight * s->area * x);
    poise_sum_add(&sums->z, weight * s->z);
    poise_sum_add(&sums->xx, weight * s->area * x * x);
    poise_sum_add(&sums->yy, weight * s->yy);
    poise_sum_add(&sums->zz, weight * s->zz);
    poise_sum_add(&sums->zx, weight * s->z * x);
}

static void add_piece(Sums *sums, const PoiseNeckShape *shape, const PoiseHalfSection *half,
                      Piece piece, double from, double to, int panels)
{
    if (!(to > from))
        return;
    /* Legendre nodes and weights on [−1, 1]: 0 and ±√(3/5); 8/9 and 5/9. */
    static const double weight[POISE_NECK_STATIONS] = {5.0 / 9.0, 8.0 / 9.0, 5.0 / 9.0};
    const double node[POISE_NECK_STATIONS] = {-sqrt(0.6), 0.0, sqrt(0.6)};
    double half_panel = (to - from) / (2.0 * panels);
    for (int i = 0; i < panels; i++) {
        double middle = from + (2 * i + 1) * half_panel;
        for (int k = 0; k < POISE_NECK_STATIONS; k++) {
            double station = middle + node[k] * half_panel;
            Section s = section_at(shape, half, piece, station);
            add_station(sums, &s, -station, weight[k] * half_panel);
        }
    }
}

static PoiseMoments moments_of(const Sums *sums)
{
    return (PoiseMoments){
        .volume_mm3 = poise_sum_value(&sums->volume),
        .first_mm4 = {poise_sum_value(&sums->x), 0.0, poise_sum_value(&sums->z)},
        .second_mm5 = {poise_sum_value(&sums->xx), poise_sum_value(&sums->yy),
                       poise_sum_value(&sums->zz), 0.0, 0.0, poise_sum_value(&sums->zx)},
    };
}

void poise_neck_wood(const PoiseNeckShape *shape, int panels, PoiseMoments *shaft,
                     PoiseMoments *board)
{
    PoiseHalfSection half = poise_half_section(shape->exponent);
    double heel = poise_neck_heel_start_mm(shape);
    Sums wood = {0};
    add_piece(&wood, shape, &half, SHAFT, 0.0, heel, panels);
    add_piece(&wood, shape, &half, HEEL, heel, shape->length_mm, panels);
    add_piece(&wood, shape, &half, HEADSTOCK, -shape->headstock_length_mm, 0.0, panels);
    *shaft = moments_of(&wood);
    Sums top = {0};
    add_piece(&top, shape, &half, BOARD, 0.0, shape->length_mm, panels);
    *board = moments_of(&top);
}
