/* A weighed instrument as the explorer's numbers, and the sliders that move them. */
#ifndef POISE_REPORT_EXPLORER_MODEL_H
#define POISE_REPORT_EXPLORER_MODEL_H

#include "decide/linear.h"
#include "report/engine.h"
#include "report/report.h"

typedef struct PoiseExplorerModel {
    PoiseLinear *linear;
    size_t section_count, ballast_count, number_count;
    double *numbers;  /* as poise_engine_solve() takes them */
    size_t *sections; /* items with an infill to move, by index in the instrument */
    size_t *ballasts; /* items that are ballast, likewise */
} PoiseExplorerModel;

/* POISE_OK or POISE_E_MEMORY. Free with poise_explorer_model_clear() in either case. */
PoiseStatus poise_explorer_model(const PoiseSheetSource *source, PoiseExplorerModel *model,
                                 PoiseFaults *faults);
void poise_explorer_model_clear(PoiseExplorerModel *model);

/* Index of a number in the array: a section's infill, a ballast's first number. */
size_t poise_explorer_infill_at(size_t section);
size_t poise_explorer_ballast_at(const PoiseExplorerModel *model, size_t ballast);

/* Numbers, sliders and names of the results as JSON that holds nothing but ASCII and no "<", so
 * that it may stand in a page's <script>. A new string, or NULL. */
char *poise_explorer_json(const PoiseSheetSource *source, const PoiseExplorerModel *model);

#endif
