/* The steps of weighing, one file each; used by weigh.c only. */
#ifndef POISE_WEIGH_WEIGH_PARTS_H
#define POISE_WEIGH_WEIGH_PARTS_H

#include "bodies/ledger.h"
#include "doubt/balance.h"
#include "model/instrument.h"
#include "poise/weigh.h"
#include "weigh/frame.h"

/* The instrument in the frame's axes, from what is already in w. has_strap and has_seat stay false.
 */
PoisePosture poise_weigh_posture(const PoiseInstrument *in, const PoiseAxes *axes,
                                 const PoiseWeighing *w);
/* Fills the strap's results, and the posture's strap. Without posts or strap they stay NAN and
 * has_strap false. */
PoiseStatus poise_weigh_strap(const PoiseInstrument *in, const PoiseAxes *axes,
                              PoisePosture *posture, PoiseWeighing *w, PoiseFaults *faults);
PoiseStatus poise_weigh_seat(const PoiseInstrument *in, const PoiseAxes *axes,
                             PoisePosture *posture, PoiseWeighing *w, PoiseFaults *faults);
/* Fills the doubts of all that, the budget, and the trials when the options ask for them.
 * POISE_E_USAGE for a number of trials out of range. */
PoiseStatus poise_weigh_doubt(const PoiseInstrument *in, const PoiseWeighOptions *options,
                              const PoiseAxes *axes, const PoiseLedgerEntry *entries,
                              const PoisePosture *posture, PoiseWeighing *w);
/* Appends one sentence; POISE_E_MEMORY when it cannot. `format` may be "%s". */
PoiseStatus poise_weigh_caution(PoiseWeighing *w, const char *sentence);
PoiseStatus poise_weigh_warning(PoiseWeighing *w, const char *sentence);
/* All cautions and warnings that the instrument and its results call for. */
PoiseStatus poise_weigh_advice(const PoiseInstrument *in, PoiseWeighing *w);

#endif
