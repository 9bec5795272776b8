/* What the sheet's explorer runs in the browser: an instrument as a few numbers, judged by the same
 * statics as everything else. Compiled twice, into the library and to WebAssembly. */
#ifndef POISE_REPORT_ENGINE_H
#define POISE_REPORT_ENGINE_H

#include "base/text.h"
#include "decide/stance.h"

/* Everything is a double, so that a page can fill it in as one array of numbers: this head, then
 * the sections, then the ballasts. */
typedef struct PoiseEngineHead {
    double origin_mm[3];        /* first moments are about this point, file coordinates */
    double rest_g, rest_gmm[3]; /* all that nothing here changes */
    PoiseStanceSetting stance;
    double hand_fret; /* 0: at the nut; NAN: somewhere else, or unknown */
    double section_count, ballast_count;
} PoiseEngineHead;

/* A printed section: mass = fixed_g + share·infill_g, and likewise the moment. */
typedef struct PoiseEngineSection {
    double infill; /* fraction 0 … 1 */
    double fixed_g, fixed_gmm[3], infill_g, infill_gmm[3];
} PoiseEngineSection;

typedef struct PoiseEngineBallast {
    double mass_g, at_mm[3];        /* where the file has it */
    double headwards_mm, upward_mm; /* how far it is moved from there, along the frame's axes */
} PoiseEngineBallast;

/* What comes out; NAN where there is no answer. Heights and horizontal distances are from the tail
 * post, as it hangs. */
typedef struct PoiseEngineResult {
    double mass_g, centre_mm[3];
    double station_mm, window_lo_mm, window_hi_mm, margin_mm;
    double verdict; /* a PoiseVerdict */
    double needed_friction, hand_load_g, hold_lo_deg, hold_hi_deg, settles_at_deg, free_hang_deg,
        lean_deg;
    double seat_verdict, seat_station_mm, seat_window_lo_mm, seat_window_hi_mm, seat_hand_load_g;
    double targets_met; /* 0 or 1 */
    double centre_v_mm, horn_h_mm, horn_v_mm, hand_h_mm, hand_v_mm, support_h_mm, support_v_mm;
} PoiseEngineResult;

/* The result's members by name, in order; NULL at the end. */
extern const char *const POISE_ENGINE_RESULTS[];

/* `numbers`: a head and what it counts. False when the strap or the mass make no sense; what could
 * be told is told all the same. */
bool poise_engine_solve(const double *numbers, PoiseEngineResult *result);
/* Where ballast i is with its moves, file coordinates. */
void poise_engine_place(const double *numbers, unsigned ballast, double at_mm[3]);
/* The sentences of "weigh" for a result: on the strap, and after a line feed on the leg. */
void poise_engine_words(const double *numbers, PoiseText *text);

#endif
