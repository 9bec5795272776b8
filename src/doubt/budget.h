/* The doubt of every result of the balance to first order, and which source it comes from. */
#ifndef POISE_DOUBT_BUDGET_H
#define POISE_DOUBT_BUDGET_H

#include "bodies/sources.h"
#include "doubt/balance.h"
#include "model/instrument.h"
#include "poise/doubt.h"

/* What is to be propagated. */
typedef struct PoiseDoubtProblem {
    PoisePosture posture;
    const PoiseInstrument *instrument; /* names the items and materials; entry i is item i */
    const PoiseLedgerEntry *entries;   /* instrument->item_count */
    const PoiseSources *sources;       /* of the entries about the centre of mass, file axes */
    double axes[3][3];                 /* rows: the frame's x, y, z in file coordinates */
    double friction_u, length_u, angle_u, arm_u;
} PoiseDoubtProblem;

/* A source's moment in the frame's axes, g·mm. */
void poise_source_moment(const PoiseDoubtProblem *problem, const PoiseSource *source,
                         double moment_gmm[3]);

/* Propagates every source to every result. A result's doubt is √(Σ_s (Σ_i c_i e_si)²), e_si being
 * what one standard uncertainty of source s does to input i of the balance model and c_i that
 * input's sensitivity: sources are independent, inputs are not (JCGM 100:2008, 5.2.2).
 *  lines  out, owned by the caller (poise_release()): the sources that do anything, the largest
 *         part of the margin's doubt first (of the mass's where there is no margin)
 * POISE_OK or POISE_E_MEMORY. */
PoiseStatus poise_doubts(const PoiseDoubtProblem *problem, PoiseDoubts *doubts,
                         PoiseBudgetLine **lines, size_t *line_count);

#endif
