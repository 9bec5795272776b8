/* What printing one section takes: filament, hours, spools, and whether it fits the bed. */
#ifndef POISE_BODIES_PRINT_FACTS_H
#define POISE_BODIES_PRINT_FACTS_H

#include <stddef.h>

#include "base/text.h"
#include "bodies/item_body.h"

/* Used where the printer's own value is missing (0, negative or NaN). Common practice, no source: a
 * desktop printer averages 11 to 12 mm³/s over a large body, loses about 8 s a layer to travel and
 * slowing down, and takes 1.75 mm filament. */
#define POISE_PRINT_FLOW_MM3_S    11.5
#define POISE_PRINT_LAYER_SECONDS 8.0
#define POISE_PRINT_FILAMENT_MM   1.75

/* Less than this over the bed is a rounding of the mesh's coordinates (STL keeps 24 bits, 2e-5 mm
 * at 300 mm), not a part that does not fit, mm. */
#define POISE_BED_SLACK_MM 1e-4

/* What goes through the nozzle for one piece, and how it lies. */
typedef struct PoisePrintJob {
    double body_g;        /* one piece as it comes off the bed, cleaned */
    double density_g_cm3; /* > 0 */
    double waste;         /* thrown away, as a fraction of body_g */
    double support_g;     /* support material, thrown away too */
    size_t layers;
    double size_mm[3]; /* the mesh's box along the mesh's own axes */
    double up[3];      /* build direction in those axes, any length but 0 */
} PoisePrintJob;

/* Fills the facts. spools and price are NAN when the printer's spool or price is not known. */
void poise_print_facts(const PoisePrintJob *job, const PoisePrinter *printer,
                       PoisePrintFacts *facts);

/* The bed's axes as rows, unit vectors in the mesh's axes, for a part that lies at turn 0: z is
 * `up`, x the mesh axis after the one nearest `up` (x for z), made square to `up`. */
void poise_bed_axes(const double up[3], double axes[3][3]);

/* A box seen along `up`: footprint and height at a turn about `up`. */
typedef struct PoiseBedFit {
    bool fits;
    double
        turn_deg; /* [0, 180), anticlockwise seen from above; 0 when the part fits as it stands */
    double size_mm[3], over_mm[3];
} PoiseBedFit;

/* The turn about `up` at which a box lies best on a bed: the box as it stands if that fits, else
 * turned by 90° if that fits, else the turn with the most room to spare (or the least excess) on
 * the tighter side. Exact for the box; a part that does not reach its box's corners may fit where
 * the box does not. Turn 0 is as in poise_bed_axes(). bed_mm[2] ≤ 0: no limit to the height. */
PoiseBedFit poise_bed_fit(const double size_mm[3], const double up[3], const double bed_mm[3]);

/* Says how much a part that does not fit is beyond the bed, and how it lies then: "120.0 mm too
 * long", "54.1 mm too large one way and 54.1 mm the other, even turned by 45° on the bed; 3.0 mm
 * too high". Appends nothing when it fits. */
void poise_bed_words(const PoisePrintFacts *facts, PoiseText *text);

#endif
