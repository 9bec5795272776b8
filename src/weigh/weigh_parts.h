/* The steps of weighing, one file each; used by weigh.c only. */
#ifndef POISE_WEIGH_WEIGH_PARTS_H
#define POISE_WEIGH_WEIGH_PARTS_H

#include "bodies/item_body.h"
#include "bodies/ledger.h"
#include "model/instrument.h"
#include "poise/weigh.h"
#include "weigh/frame.h"

/* Fills the strap's results. Without posts or strap they stay NAN and has_strap false. */
PoiseStatus poise_weigh_strap(const PoiseInstrument *in, const PoiseAxes *axes,
                              const PoiseLedger *ledger, PoiseWeighing *w, PoiseFaults *faults);
PoiseStatus poise_weigh_seat(const PoiseInstrument *in, const PoiseAxes *axes, PoiseWeighing *w,
                             PoiseFaults *faults);
/* Appends one sentence; POISE_E_MEMORY when it cannot. `format` may be "%s". */
PoiseStatus poise_weigh_caution(PoiseWeighing *w, const char *sentence);
PoiseStatus poise_weigh_warning(PoiseWeighing *w, const char *sentence);
/* All cautions and warnings that the instrument and its results call for. */
PoiseStatus poise_weigh_advice(const PoiseInstrument *in, PoiseWeighing *w);

#endif
