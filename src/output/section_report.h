/* The results of one printed section on its own. */
#ifndef POISE_OUTPUT_SECTION_REPORT_H
#define POISE_OUTPUT_SECTION_REPORT_H

#include "model/instrument.h"
#include "poise/weigh.h"

/* `w` is the weighing of an instrument with one item, which is printed. New strings, or NULL. */
char *poise_section_text(const PoiseInstrument *instrument, const PoiseWeighing *w);
char *poise_section_json(const PoiseInstrument *instrument, const PoiseWeighing *w);

#endif
