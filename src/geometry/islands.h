/* Regions as islands: an outline and the holes in it. */
#ifndef POISE_GEOMETRY_ISLANDS_H
#define POISE_GEOMETRY_ISLANDS_H

#include "geometry/rings.h"

/* Orders the rings of a region so that each outline is followed by its holes; otherwise they keep
 * their order. The rings bound a region and do not cross. False when out of memory. */
bool poise_islands_sort(PoiseRings *rings, PoiseRings *scratch);

/* The ring behind the last one of the island that begins at ring `first`. */
size_t poise_island_end(const PoiseRings *rings, size_t first);

#endif
