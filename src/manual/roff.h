/* Writing manual pages: text that the formatter takes as text. */
#ifndef POISE_MANUAL_ROFF_H
#define POISE_MANUAL_ROFF_H

#include "base/text.h"

/* Words within a line: backslashes and dashes are made literal. A line must not begin with it
 * unless poise_roff_begin was called. */
void poise_roff_words(PoiseText *page, const char *words);
/* In bold. */
void poise_roff_bold(PoiseText *page, const char *words);
/* Help text as the commands hold it: paragraphs between empty lines, filled; lines that are
 * indented stand as they are. */
void poise_roff_paragraphs(PoiseText *page, const char *text);

#endif
