/* Characters that no font can draw. */
#ifndef POISE_PLOT_GLYPHS_H
#define POISE_PLOT_GLYPHS_H

#include "base/text.h"

/* gnuplot 5.4's bitmap and PDF terminals draw a character that no font has as a box twenty times
 * too large, which covers the picture. Appends a sheet's data to `out` with such characters spelled
 * out as \u{65E5}. Characters that the usual fonts have are never asked for; the others are left
 * as they are if `fonts_have` finds them all. */
void poise_plot_spell_out(const char *data, bool (*fonts_have)(const unsigned *codes, size_t n),
                          PoiseText *out);

#endif
