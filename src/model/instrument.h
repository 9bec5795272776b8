/* An instrument as read from its file: plain data, every default filled in, every name resolved.
 * All positions are in the file's own coordinates, mm. Filled by the input room, used by every
 * other. */
#ifndef POISE_MODEL_INSTRUMENT_H
#define POISE_MODEL_INSTRUMENT_H

#include <stdbool.h>
#include <stddef.h>

#include "model/material.h"
#include "poise/instrument.h"
#include "poise/section.h"

typedef struct PoiseFrame {
    double head[3]; /* unit vector along the strings towards the head */
    double face[3]; /* unit vector out of the face, perpendicular to head */
    bool left;      /* handed "left" */
} PoiseFrame;

typedef enum PoiseItemKind {
    POISE_ITEM_PRINTED,
    POISE_ITEM_POURED,
    POISE_ITEM_SOLID,
    POISE_ITEM_NECK,
    POISE_ITEM_STRINGS,
    POISE_ITEM_PART,
    POISE_ITEM_MASS
} PoiseItemKind;

/* A closed outline in the item's own x, y. Either winding. */
typedef struct PoiseOutline {
    size_t count;
    double (*points_mm)[2];
} PoiseOutline;

typedef struct PoisePrinted {
    char *mesh;      /* path as usable from the working directory; NULL: a toolpath alone */
    char *mesh_unit; /* NULL: mm */
    const PoiseMaterial *material;
    PoiseSlicing slicing;
    int perimeters;       /* 0 … POISE_MAX_PERIMETERS */
    PoiseQuantity infill; /* fraction 0 … 1 */
    PoiseQuantity flow;   /* plastic told to be laid over plastic computed, default 1 ± 0.02 */
    /* From a profile: what the printer lays over what it is told to; value 0: not known. Its ±
     * takes the place of that of `flow`. */
    PoiseQuantity learned_flow;
    double waste; /* fraction of filament printed and thrown away (purge, brim, supports); not in
                     the body */
    double support_g; /* support material thrown away; not in the body */

    char *toolpath;                /* the printer's program, or NULL */
    bool has_toolpath_at;          /* else it is laid over the mesh */
    double toolpath_at_mm[3];      /* where the bed's origin lies in the mesh's axes */
    double toolpath_turn_deg;      /* how the part is turned on the bed, anticlockwise from above */
    double toolpath_skip_below_mm; /* plastic laid lower than this is no part of the section */
} PoisePrinted;

typedef struct PoisePoured {
    char *mesh; /* NULL when given as a volume */
    char *mesh_unit;
    PoiseQuantity volume_ml; /* used when mesh is NULL; the centre is then the item's origin */
    double depth_mm;         /* pour depth when there is no mesh; NAN unknown */
    const PoiseMaterial *material;
    bool has_mix;
    double ratio_a, ratio_b; /* parts A : B */
    bool ratio_by_mass;
    double waste;    /* mixed but left in the cup, a fraction of the poured mass */
    double pigment;  /* fraction of the mixed mass */
    double tilt_deg; /* how level the pocket stands while it cures */
    double up[3];    /* up while pouring, item axes */
} PoisePoured;

/* A pocket or hole in a solid slab. Depth is from the top face, or from the bottom face; NAN =
 * right through. */
typedef struct PoiseCut {
    PoiseOutline outline; /* count 0: a round hole */
    double at_mm[2], diameter_mm;
    double depth_mm;
    bool from_bottom;
} PoiseCut;

typedef struct PoiseSolid {
    char *mesh; /* NULL: a slab */
    char *mesh_unit;
    PoiseOutline outline;
    PoiseQuantity thickness_mm;
    double top_mm; /* z of the top face in the item's axes; the slab reaches down from it */
    size_t cut_count;
    PoiseCut *cuts;
    const PoiseMaterial *material;
} PoiseSolid;

/* A neck, built along the line from the saddle to the nut. Its place follows from "scale" and
 * "frame": the nut point lies on the fingerboard's top surface at the nut. */
typedef struct PoiseNeck {
    const PoiseMaterial *shaft, *board;
    int frets;           /* number of frets, for wire mass and default length; 0: fretless */
    int length_as_frets; /* the number that a neck without frets has its default length from; 0:
                            the one above */
    PoiseQuantity nut_width_mm, heel_width_mm;
    PoiseQuantity first_mm,
        twelfth_mm;   /* total thickness, board top to back, at the 1st and 12th fret */
    double board_mm;  /* fingerboard thickness, part of the above; 0 = no separate board */
    double length_mm; /* nut to the heel end; NAN: derived from the last fret */
    double heel_length_mm, heel_mm; /* block at the heel end: length, total thickness */
    double headstock_length_mm, headstock_width_mm, headstock_mm; /* block beyond the nut */
    double headstock_drop_mm;        /* how far the headstock's top lies behind the board's top */
    PoiseQuantity truss_rod_g;       /* 0 = none */
    PoiseQuantity fret_wire_g_per_m; /* mass of fret wire per metre */
    bool has_measured; /* weighed neck: overrides mass and, with a balance point, the centre */
    PoiseQuantity measured_g;
    double balance_from_nut_mm; /* towards the heel is positive; NAN = not found */
} PoiseNeck;

typedef struct PoiseString {
    PoiseQuantity gauge_mm;
    bool wound;
    double unit_mass_g_per_m; /* NAN: computed from the gauge */
} PoiseString;

typedef struct PoiseStrings {
    size_t count;
    PoiseString *strings; /* in order; evenly spread across the nut and bridge widths is not needed:
                             one line */
    const PoiseMaterial *material; /* core and plain wire */
    const PoiseMaterial *wrap;     /* wound strings' wrap */
    double beyond_nut_mm,
        beyond_saddle_mm; /* string past the nut to the post, and past the saddle */
} PoiseStrings;

typedef struct PoiseMass {
    PoiseQuantity mass_g;
    PoiseShape shape;
    double size_mm[3]; /* box: x, y, z; cylinder: diameter, length */
    int axis;
    bool ballast; /* a place where ballast may go */
    double ballast_max_g;
} PoiseMass;

typedef struct PoiseItem {
    char *id;
    PoiseItemKind kind;
    size_t line, column; /* in the file */
    bool has_at;
    double at_mm[3];
    double turn_deg[3];
    int count;
    char *note;
    bool has_price;
    double price;
    bool has_measured; /* from "measured": the mass of all `count` pieces together */
    PoiseQuantity measured_g;
    bool measured_aside;   /* the file weighed it, but the variant changes it */
    const PoisePart *part; /* POISE_ITEM_PART */
    union {
        PoisePrinted printed;
        PoisePoured poured;
        PoiseSolid solid;
        PoiseNeck neck;
        PoiseStrings strings;
        PoiseMass mass;
    } as;
} PoiseItem;

typedef struct PoisePrinter {
    double bed_mm[3];         /* 0 in all: not given */
    PoiseQuantity flow_mm3_s; /* average volumetric flow */
    double layer_seconds;     /* time lost per layer */
    double spool_g;
    double price;       /* of one spool; NAN not given */
    double filament_mm; /* filament diameter */
} PoisePrinter;

/* Most scales that can stand under it. */
#define POISE_MOST_OBSERVED_SUPPORTS 4

/* One scale under the instrument. Stations are distances from the saddle along the strings, towards
 * the head. */
typedef struct PoiseObservedSupport {
    PoiseQuantity station_mm, load_g;
} PoiseObservedSupport;

/* The finished instrument on scales, on a cord, over an edge, on its strap. */
typedef struct PoiseObserved {
    bool has_mass;
    PoiseQuantity mass_g;

    size_t support_count; /* 0: not on scales */
    PoiseObservedSupport supports[POISE_MOST_OBSERVED_SUPPORTS];

    bool has_hanging; /* from either post: by a mark that the plumb line crosses, or by the angle */
    bool tail_by_mark, tail_by_angle, horn_by_mark, horn_by_angle;
    double tail_mark_mm[3], horn_mark_mm[3];
    PoiseQuantity tail_angle_deg, horn_angle_deg;
    double mark_u_mm; /* of a post's and a mark's place, each axis */

    bool has_edge;
    double tips_tail_mm, tips_head_mm, edge_u_mm; /* stations, and how well they are read */

    bool has_slip;
    PoiseQuantity slip_deg; /* the neck angle at which the strap starts to slip */
} PoiseObserved;

/* Places that are kept for faults found after reading. */
enum { POISE_KEPT_PLACE_COUNT = 15 };

/* A value of the file; line 0: the file does not have it. */
typedef struct PoisePlace {
    char *pointer; /* as the file has it: in a variant, with its prefix */
    size_t line, column;
} PoisePlace;

typedef struct PoiseInstrument {
    char *file; /* as the user gave it */
    char *dir;  /* its directory: relative names start here */
    char *name;
    char *variant; /* NULL: the file as it stands */
    PoiseFrame frame;

    bool has_scale;
    double nut_mm[3], saddle_mm[3];
    bool has_frets;
    int frets; /* 0 with has_frets: fretless */

    bool has_posts;
    double tail_mm[3], horn_mm[3];

    bool has_strap;
    PoiseQuantity strap_mm, friction;

    PoiseQuantity neck_angle_deg;
    bool has_hand;   /* false: no nut and no hand position is known */
    char *hand_text; /* how the file says it: "nut", "fret 5", "position" */
    double hand_mm[3];

    bool has_seat;
    double rest_mm[3];
    double seat_width_mm; /* full width */
    bool has_arm;
    double arm_mm[3];
    PoiseQuantity arm_g;

    bool has_target_mass, has_target_hand_load, has_target_margin;
    double target_mass_g, target_hand_load_g, target_margin_mm;

    PoisePrinter printer;
    char *profile;              /* path of what other builds taught, or NULL */
    char *profile_from;         /* the instrument it was learned from; NULL: it does not say */
    PoiseQuantity learned_flow; /* see PoisePrinted; value 0: not known */
    bool has_rounded_readings;  /* some weighed mass has no ±: it is its last digit's */
    bool has_observed;
    PoiseObserved observed;
    size_t material_count;
    PoiseMaterial **materials; /* the file's own, and those that the profile knows better */
    size_t item_count;
    PoiseItem *items; /* in file order */
    size_t variant_count;
    char **variants;                           /* names, in file order */
    PoisePlace places[POISE_KEPT_PLACE_COUNT]; /* of POISE_KEPT_PLACES (place.h) */
    PoiseLibrary *library;
    bool library_borrowed; /* somebody else frees the library: many instruments share one */
} PoiseInstrument;

void poise_outline_free(PoiseOutline *outline);
/* The item with this id, or NULL. */
const PoiseItem *poise_instrument_item(const PoiseInstrument *instrument, const char *id);
const char *poise_item_kind_name(PoiseItemKind kind);
/* The material whose density its mass follows, shared with all items of that material; NULL: none.
 */
const PoiseMaterial *poise_item_material(const PoiseItem *item);
/* Is it printed, and its mass that of a mesh split into perimeters, skins and infill? A toolpath's
 * is as the printer's program lays it, whatever the settings here say. */
bool poise_item_is_split(const PoiseItem *item);
/* Has it been on a scale: under "measured", or as a weighed neck? */
bool poise_item_is_weighed(const PoiseItem *item);

#endif
