/* What "--vary POINTER=VALUES" asks for: a JSON Pointer and the values to put there. */
#ifndef POISE_DECIDE_VARY_H
#define POISE_DECIDE_VARY_H

#include <stddef.h>

#include <cjson/cJSON.h>

#include "poise/status.h"

/* Most values of one --vary: each is read with the whole file, some 0.1 ms, so these take seconds.
 */
#define POISE_VARY_MOST 20000

typedef struct PoiseVary {
    char *pointer; /* RFC 6901 */
    size_t count;
    char **labels;  /* the values as text, for people and tables */
    cJSON **values; /* the same as JSON */
} PoiseVary;

/* Reads POINTER=LO:HI:STEP or POINTER=a,b,c. A range takes plain decimal numbers, all in one unit
 * ("10 %:40 %:5 %", "10:40:5 %"); its values are lo + i·step in exact decimal arithmetic, both ends
 * included when the step meets them. A list takes numbers, quantities, names, and JSON in brackets,
 * braces or quotes. POISE_OK; POISE_E_USAGE with a fault; POISE_E_MEMORY. Clear in any case. */
PoiseStatus poise_vary_parse(const char *text, PoiseVary *vary, PoiseFaults *faults);
void poise_vary_clear(PoiseVary *vary);

/* A fault of the command line, "--vary POINTER" in front. Any but `found` may be NULL. */
PoiseStatus poise_vary_refuse(const char *pointer, const char *found, const char *expected,
                              const char *hint, PoiseFaults *faults);

#endif
