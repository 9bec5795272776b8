/* From one item of an instrument to its mass, centre and inertia. One file per kind of item. */
#ifndef POISE_BODIES_ITEM_BODY_H
#define POISE_BODIES_ITEM_BODY_H

#include <stdbool.h>

#include "geometry/section_load.h"
#include "model/instrument.h"

/* Room for a warning about the unit, one about overlaps and those about a toolpath. */
#define POISE_ITEM_WARNING_SIZE 1200

/* Filament, print time and bed fit of a printed section (one piece). */
typedef struct PoisePrintFacts {
    double filament_g;        /* body + waste + supports */
    double filament_m;        /* length at the printer's filament diameter */
    double hours;             /* from volumetric flow and time per layer */
    double spools;            /* share of a spool */
    double price;             /* NAN when the spool's price is not known */
    bool bed_known, fits_bed; /* in some flat orientation with `up` kept up */
    double turn_deg;          /* the turn about `up` at which it fits best */
    double over_mm[3];        /* by how much it does not fit at that turn; 0 where it does */
    double size_mm[3];        /* footprint and height at that turn */
} PoisePrintFacts;

/* Cups and pours of a poured item. */
typedef struct PoisePourFacts {
    double depth_mm; /* NAN unknown */
    int pours;       /* 0 unknown, or too_steep */
    int level_pours; /* the same for a pocket that stands level */
    bool has_cups;
    double cup_a_g, cup_b_g, pigment_g; /* to weigh out, waste included, all pours together */
    double waste;         /* share of the poured mass that is mixed on top and stays in the cup */
    double limit_mm;      /* deepest single pour of the material; NAN unknown */
    double tilt_deg;      /* out of level, by the file */
    double tilt_error_mm; /* depth error across the pocket from the tilt; NAN unknown */
    double low_rise_mm;   /* by how much the low side stands deeper than level; NAN unknown */
    bool rise_at_least;   /* low_rise_mm is a lower bound: the pocket's width is not known */
    bool too_steep;       /* no number of pours covers the floor and keeps to limit_mm */
    bool floor_dry;       /* even all of it in one pour leaves part of the floor dry */
    bool over_rim;        /* a pocket filled to the rim runs over at the low side */
} PoisePourFacts;

/* Where an item's uncertainty comes from; kept apart because some sources are shared between items.
 */
typedef struct PoiseItemDoubt {
    double density_u_g; /* through the material's density (shared by items of the same material) */
    double flow_u_g;    /* through the printer's flow (shared by all printed sections) */
    double own_u_g;     /* everything else, this item's alone */
    double place_u_mm[3]; /* standard uncertainty of the centre, per axis */
} PoiseItemDoubt;

/* An item as a body in the file's coordinates; `count` pieces together. */
typedef struct PoiseItemBody {
    PoiseBody body;
    double mass_u_g; /* one standard uncertainty, all sources */
    PoiseItemDoubt doubt;
    double predicted_g; /* what the estimate says even when a weighed mass replaced it */
    double predicted_u_g;
    PoiseItemDoubt predicted_doubt; /* where that ± comes from */

    bool has_volumes; /* printed: all four; solid, poured, neck: solid only, the others NAN */
    double perimeter_mm3, skin_mm3, infill_mm3, solid_mm3;

    /* printed, with a toolpath: what the body is made from, and what the layer model says of the
     * same mesh (NAN without a mesh); all pieces together */
    bool has_toolpath;
    double toolpath_g, layers_g;

    bool has_print;
    PoisePrintFacts print; /* of all pieces together (filament, hours, price), size of one */
    bool has_pour;
    PoisePourFacts pour;

    /* Printed and mesh items: how the item's own axes lie in the file: r_file = turn · r_item +
     * shift. */
    double turn[3][3];
    double shift_mm[3];
    PoiseLoadedSection *loaded;            /* printed from a mesh only; owned */
    char warning[POISE_ITEM_WARNING_SIZE]; /* "" or something the maker should know */
} PoiseItemBody;

/* Computes one item. Faults carry the instrument's file name and the item's pointer.
 * POISE_OK, POISE_E_INPUT, POISE_E_MESH, POISE_E_IO, POISE_E_MEMORY. Free with
 * poise_item_body_free(). */
PoiseStatus poise_item_body(const PoiseInstrument *instrument, const PoiseItem *item,
                            const PoiseSectionOptions *options, PoiseItemBody *out,
                            PoiseFaults *faults);
void poise_item_body_free(PoiseItemBody *body);

/* One function per kind, in the item's own axes, one piece, before "at", "turn", "count" and
 * "measured" are applied (the neck and the strings, which take their place from "scale", give file
 * coordinates and set *placed when the item has no "at"; they then leave the place of their own
 * origin in out->shift_mm, for "turn"). */
typedef PoiseStatus PoiseBodyMaker(const PoiseInstrument *instrument, const PoiseItem *item,
                                   const PoiseSectionOptions *options, PoiseItemBody *out,
                                   bool *placed, PoiseFaults *faults);
PoiseBodyMaker poise_printed_body, poise_poured_body, poise_solid_body, poise_neck_body,
    poise_strings_body, poise_part_body, poise_mass_body;

/* Adds to out->warning, after "; " when there is one already; what does not fit is cut. */
void poise_item_add_warning(PoiseItemBody *out, const char *sentence);

/* "/items/ID" with `rest` behind it, RFC 6901 escapes applied; a new string or NULL. */
char *poise_item_pointer(const PoiseItem *item, const char *rest);

#endif
