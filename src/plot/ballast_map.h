/* What the picture of the ballast needed is made from. */
#ifndef POISE_PLOT_BALLAST_MAP_H
#define POISE_PLOT_BALLAST_MAP_H

#include "plot/need.h"
#include "plot/scene.h"

enum { POISE_MOST_CONTOURS = 28 };

typedef struct PoiseBallastMap {
    PoiseScene *scene;
    PoiseNeed need;
    PoiseRings body; /* the whole instrument */
    bool is_band;    /* no item has an outline: a band over its stations stands for it */
    double far_mm;   /* the end of the instrument where least is needed */
    size_t count;
    double grams[POISE_MOST_CONTOURS],
        at_mm[POISE_MOST_CONTOURS]; /* contours, from the far end inwards */
    long best;                      /* item with the ballast place that takes least, or −1 */
    size_t places;                  /* for ballast */
    double best_mm, best_g;         /* its station, and what it takes there */
    double best_room_g;
} PoiseBallastMap;

/* "lead:", and what it would take and has room for; `at` is its place in the picture. */
void poise_ballast_say_place(const PoiseBallastMap *map, size_t item, const double at[2],
                             PoiseText *text);
/* Title, subtitle and names of the axes, once the contours and the best place are found. */
void poise_ballast_words(PoiseBallastMap *map);

#endif
