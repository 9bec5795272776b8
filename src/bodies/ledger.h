/* All items together: mass, centre of mass, inertia, and what their doubts add up to. */
#ifndef POISE_BODIES_LEDGER_H
#define POISE_BODIES_LEDGER_H

#include <stddef.h>

#include "bodies/sources.h"

typedef struct PoiseLedger {
    PoiseBody total;       /* inertia about the centre */
    double mass_u_g;       /* one standard uncertainty */
    double centre_u_mm[3]; /* likewise, along x, y, z: the roots of the covariance's diagonal */
    double centre_covariance_mm2[3][3];
} PoiseLedger;

/* Adds the items up, with compensated sums, and propagates their doubts to first order, JCGM
 * 100:2008 5.1.2 and 5.2.2. With the centre C = Σ m_i r_i / M, ∂C/∂m_i = (r_i − C)/M,   ∂C/∂r_i =
 * m_i/M. Which of them are one and the same quantity is said at poise_sources().
 *
 * POISE_OK; POISE_E_MEMORY; POISE_E_DOMAIN when the whole weighs nothing (or less): then the mass
 * and its uncertainty stand, and what concerns the centre is NAN. */
PoiseStatus poise_ledger(const PoiseLedgerEntry *entries, size_t n, PoiseLedger *out);

/* Standard uncertainty of the centre's coordinate along a unit vector, mm: √(dᵀ V d). */
double poise_ledger_station_u(const PoiseLedger *ledger, const double direction[3]);

#endif
