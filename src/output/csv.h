/* CSV fields by RFC 4180. */
#ifndef POISE_OUTPUT_CSV_H
#define POISE_OUTPUT_CSV_H

#include "base/text.h"

/* A text field, quoted when it has to be. One that a spreadsheet would run as a formula (=, +, -, @
 * first) gets an apostrophe in front: names come from strangers' files. */
void poise_csv_field(PoiseText *text, const char *value);
/* A number with every digit it has, or nothing when it is not finite. */
void poise_csv_number(PoiseText *text, double value);

#endif
