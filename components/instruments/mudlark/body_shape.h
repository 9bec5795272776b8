/* The shape of the Mudlark's body as a field: negative inside, mm.
 *
 * Axes: x along the strings from the saddle (x = 0) towards the head, y up as worn, z out of the
 * face, with the face at z = 0. Joints, pocket walls and floors stand at even millimetres, drilled
 * holes are centred on odd ones: on a 2 mm grid with its nodes at odd millimetres the first come
 * out flat and the others round. */
#ifndef MUDLARK_BODY_SHAPE_H
#define MUDLARK_BODY_SHAPE_H

#include <stdbool.h>

enum { MUDLARK_OUTLINE_POINTS = 28 * 24, MUDLARK_SECTIONS = 6 };

/* The block a section is cut from: the part of the body between these joints. */
typedef struct MudlarkSection {
    const char *name;
    double lo_mm[2], hi_mm[2]; /* x, y */
} MudlarkSection;

extern const MudlarkSection MUDLARK_SECTION[MUDLARK_SECTIONS];

/* Thickness of the body and depth of the inlay's pocket. */
#define MUDLARK_THICKNESS_MM   46.0
#define MUDLARK_INLAY_DEPTH_MM 6.0

typedef struct MudlarkShape {
    double outline_mm[MUDLARK_OUTLINE_POINTS][2];
    const MudlarkSection *section; /* which one mudlark_section_field() cuts out */
    double column_mm[2];           /* the last x, y the outline's distance was worked out for */
    double column_distance_mm;
    bool column_known;
} MudlarkShape;

void mudlark_shape_init(MudlarkShape *shape);

/* One printed section, pockets and holes taken out. `context` is a MudlarkShape. */
double mudlark_section_field(void *context, const double at_mm[3]);
/* The poured inlay: exactly what fills its pocket up to the face. */
double mudlark_inlay_field(void *context, const double at_mm[3]);

#endif
