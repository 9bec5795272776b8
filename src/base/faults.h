/* Collecting faults; the reading side is public (poise/status.h). */
#ifndef POISE_BASE_FAULTS_H
#define POISE_BASE_FAULTS_H

#include "poise/status.h"

/* Appends a copy of the fault. `faults` may be NULL (nobody listens). Returns fault->status, so
 * that a function can end in `return poise_fault_add(…)`. Past POISE_LIMIT_FAULTS it only counts.
 */
PoiseStatus poise_fault_add(PoiseFaults *faults, const PoiseFault *fault);

/* A fault that is one formatted sentence about a file (either may be NULL). Returns status. */
PoiseStatus poise_fault_say(PoiseFaults *faults, PoiseStatus status, const char *file,
                            const char *format, ...) __attribute__((format(printf, 4, 5)));

/* The one message for running out of memory; allocates nothing. */
PoiseStatus poise_fault_memory(PoiseFaults *faults);

#endif
