/* A weighed instrument as numbers that can be changed one at a time: the mass and its first moments
 * of every item, without slicing or reading anything again.
 *
 * A printed section with n perimeters and infill f weighs ρ·flow·(V_perimeter(n) + V_skin(n) +
 * share(f)·V_infill(n)), and its first moment is the same sum over the regions' first moments; the
 * split keeps all nine n. So mass and moment are linear in the share for a given n, and everything
 * about balance that follows from them is as exact as weighing anew. */
#ifndef POISE_DECIDE_LINEAR_H
#define POISE_DECIDE_LINEAR_H

#include <stdint.h>

#include "bodies/item_body.h"
#include "decide/stance.h"
#include "model/instrument.h"
#include "poise/weigh.h"

/* What an item's mass, place and printing follow from. Every member is eight bytes wide and none is
 * padded, so that two settings can be compared, and the differences taken over, word by word. */
typedef struct PoiseLinearSetting {
    /* printed sections split into layers; `section` is NULL for everything else, toolpaths too */
    const PoiseLoadedSection *section;
    int64_t perimeters; /* 0 … POISE_MAX_PERIMETERS */
    double infill;      /* fraction 0 … 1 */
    double flow, density_g_cm3, waste, support_g;
    PoisePrinter printer; /* bed_mm is 0: whether it fits is not asked here */

    /* every other kind: one piece, about the item's own origin, in its own axes (a neck or a set of
     * strings: in the file's, and then turn_deg and shift_mm are 0) */
    double piece_g, centre_mm[3];
    double piece_filament_g, piece_hours, piece_print_price; /* of a toolpath; price NAN: unknown */

    int64_t count;
    double turn_deg[3], shift_mm[3]; /* r_file = R(turn) r + shift */
    double measured_g;               /* of all pieces together; NAN: not weighed */
    double piece_price;              /* NAN: not known */
} PoiseLinearSetting;

typedef struct PoiseLinearItem {
    const char *id; /* the instrument's */
    PoiseItemKind kind;
    PoiseLinearSetting setting;
} PoiseLinearItem;

/* What an item, or several together, bring. */
typedef struct PoiseLinearSum {
    double mass_g;
    double moment_gmm[3]; /* Σ m (r − origin), file axes */
    double filament_g, hours;
    double price, priced; /* sum of the known prices; how many there are */
} PoiseLinearSum;

typedef struct PoiseLinear {
    double origin_mm[3]; /* moments are about this point, file coordinates: the centre of mass as
                            weighed */
    size_t item_count;
    PoiseLinearItem *items; /* as the file stands, in file order */
    PoiseStanceSetting stance;
} PoiseLinear;

/* The instrument as weighed. Both must outlive the result (the splits are the weighing's).
 * POISE_OK or POISE_E_MEMORY. Free with poise_linear_free(). */
PoiseStatus poise_linear_new(const PoiseInstrument *instrument, const PoiseWeighing *weighing,
                             PoiseLinear **linear, PoiseFaults *faults);
void poise_linear_free(PoiseLinear *linear);

/* The setting of an item whose body is known. For a printed section only body->loaded is used (and
 * not owned). */
PoiseLinearSetting poise_linear_setting(const PoiseInstrument *instrument, const PoiseItem *item,
                                        const PoiseItemBody *body);
/* Takes over what the file says of an item without computing its piece: place, count, weighed mass,
 * price; of a printed section also everything but its split. */
void poise_linear_restate(const PoiseInstrument *instrument, const PoiseItem *item,
                          PoiseLinearSetting *setting);

/* One item with this setting. Equals poise_weigh() to rounding. */
PoiseLinearSum poise_linear_sum(const PoiseLinearSetting *setting, const double origin_mm[3]);
/* a += b */
void poise_linear_add(PoiseLinearSum *a, const PoiseLinearSum *b);
/* All items as the file stands, with compensated sums. */
PoiseLinearSum poise_linear_total(const PoiseLinear *linear);

/* All pieces of a printed item with n perimeters: mass = fixed_g + share·infill_g with share =
 * poise_infill_share(f), and likewise the moment. A weighed section is printed already: then it is
 * fixed as it stands and its infill_g is 0. False when the setting is not a printed section's. */
typedef struct PoiseLinearPrinted {
    double fixed_g, fixed_gmm[3];
    double infill_g, infill_gmm[3];
} PoiseLinearPrinted;
bool poise_linear_printed(const PoiseLinearSetting *setting, int perimeters,
                          const double origin_mm[3], PoiseLinearPrinted *out);

#endif
