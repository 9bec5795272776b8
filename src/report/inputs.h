/* The files an instrument is made from. */
#ifndef POISE_REPORT_INPUTS_H
#define POISE_REPORT_INPUTS_H

#include "model/instrument.h"

/* A file's name as the sheet shows it: relative to the instrument file, or without its directory:
 * a published sheet must not tell where its maker keeps things. A new string, NULL out of memory.
 */
char *poise_shown_name(const PoiseInstrument *instrument, const char *path);

#endif
