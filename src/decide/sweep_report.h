/* A sweep in words and in tables. Rows stream: CSV and JSON are written piece by piece. */
#ifndef POISE_DECIDE_SWEEP_REPORT_H
#define POISE_DECIDE_SWEEP_REPORT_H

#include "base/text.h"
#include "decide/sweep.h"

/* CSV (RFC 4180): one column for each pointer, then the numbers with their units in the names. */
void poise_sweep_csv_head(PoiseText *text, const PoiseSweep *sweep);
void poise_sweep_csv_row(PoiseText *text, const PoiseSweep *sweep, const PoiseSweepRow *row);

/* JSON: the head opens an object and its list "rows"; the tail closes both. `first`: no row stands
 * before this one. */
void poise_sweep_json_head(PoiseText *text, const PoiseSweep *sweep);
void poise_sweep_json_row(PoiseText *text, const PoiseSweep *sweep, const PoiseSweepRow *row,
                          bool first);
void poise_sweep_json_tail(PoiseText *text, const PoiseSweep *sweep,
                           const PoiseSweepFindings *found);

/* For a terminal of 80 columns: what was varied, the front (at most `most` of its rows, evenly
 * spread), what stands out, then `rows` as a table of their own (n may be 0). */
void poise_sweep_text(PoiseText *text, const PoiseSweep *sweep, const PoiseSweepFindings *found,
                      size_t most, const PoiseSweepRow *rows, size_t n);

/* Row i of `most` (> 0) that are spread evenly over n, both ends included. */
size_t poise_sweep_spread(size_t i, size_t most, size_t n);

#endif
