/* Every bound on outside input stands here, with the reason for its size. */
#ifndef POISE_BASE_LIMITS_H
#define POISE_BASE_LIMITS_H

#include <stddef.h>

/* An instrument or component file: people write these by hand; 8 MiB is thousands of items. */
#define POISE_LIMIT_JSON_BYTES ((size_t)8 << 20)
/* Nesting: the format needs 8 (a variant's patch of a print setting); 32 leaves room, and keeps
 * every recursive walk shallow. */
#define POISE_LIMIT_JSON_DEPTH 32
/* Values in one JSON file: bounds the work of every later pass. */
#define POISE_LIMIT_JSON_VALUES ((size_t)400000)
/* Keys of one JSON object: keeps searches along an object's keys cheap whatever a file holds. */
#define POISE_LIMIT_JSON_KEYS 4000
/* Items of one instrument. */
#define POISE_LIMIT_ITEMS 1000
/* Variants of one instrument: each is read like the whole file. */
#define POISE_LIMIT_VARIANTS 200
/* Copies of one item ("count"). */
#define POISE_LIMIT_COUNT 10000
/* Faults reported in one pass; past it a closing line says that there are more. */
#define POISE_LIMIT_FAULTS 100
/* A mesh file: 20 million binary STL triangles. */
#define POISE_LIMIT_MESH_BYTES ((size_t)1 << 30)
/* Triangles of one mesh (indices fit 32 bits with room to spare). */
#define POISE_LIMIT_TRIANGLES ((size_t)20000000)
/* Layers of one section: a 1 m tall part at 0.02 mm. */
#define POISE_LIMIT_LAYERS ((size_t)50000)
/* Coordinates, mm: ten metres; anything further is a unit mistake or damage. */
#define POISE_LIMIT_COORDINATE_MM 10000.0
/* 3MF: bytes after inflation, and how much larger than the packed part it may be. */
#define POISE_LIMIT_INFLATED_BYTES ((size_t)2 << 30)
#define POISE_LIMIT_INFLATE_RATIO  200
/* A toolpath program: a week of printing at ten moves a second and 40 bytes a move is 240 MB; it is
 * read in place, so the bound is only against endless input. */
#define POISE_LIMIT_TOOLPATH_BYTES ((size_t)4 << 30)
/* The part of a program line that is read, comments aside. Controllers take some 100 bytes. */
#define POISE_LIMIT_TOOLPATH_LINE ((size_t)4096)
/* Filament position, mm: ten kilometres are thirty 1 kg spools of 1.75 mm filament. */
#define POISE_LIMIT_FILAMENT_MM 1e7
/* What a profile may say: flows that a printer still prints with, and g/cm³ from the lightest foams
 * to past the heaviest metals. What lies outside is a slip of the scale or of a unit. */
#define POISE_LIMIT_LEAST_FLOW    0.1
#define POISE_LIMIT_MOST_FLOW     2.0
#define POISE_LIMIT_LEAST_DENSITY 0.005
#define POISE_LIMIT_MOST_DENSITY  25.0
/* Points of an outline. */
#define POISE_LIMIT_OUTLINE_POINTS 20000

#endif
