/* Running gnuplot. */
#ifndef POISE_PLOT_RENDER_H
#define POISE_PLOT_RENDER_H

#include <stdbool.h>

#include "plot/sheet.h"
#include "poise/status.h"

typedef enum PoisePictureFormat {
    POISE_PICTURE_SVG,
    POISE_PICTURE_PNG,
    POISE_PICTURE_PDF,
    POISE_PICTURE_WINDOW
} PoisePictureFormat;

/* Longest a picture may take, s; the slowest of ours is drawn in under two. */
#define POISE_PLOT_SECONDS 60
/* A picture larger than this is a mistake. */
#define POISE_PLOT_PICTURE_BYTES ((size_t)256 << 20)

/* A directory of one's own for the files of one picture. */
typedef struct PoisePlotPlace {
    char *dir;
} PoisePlotPlace;

/* Makes an unpredictably named directory that only the owner may enter, under $TMPDIR or /tmp.
 * POISE_OK, POISE_E_IO, POISE_E_MEMORY. */
PoiseStatus poise_plot_place_make(PoisePlotPlace *place, PoiseFaults *faults);
/* Removes it with the files of these names in it (NULL at the end). */
void poise_plot_place_remove(PoisePlotPlace *place, const char *const names[]);

/* Runs `gnuplot -d script` (persist: with -persist) in the directory: no shell, nothing on its
 * standard input, its standard error kept; ended after POISE_PLOT_SECONDS. *said gets what it wrote
 * to standard error, or NULL when it wrote nothing; free with poise_release(). POISE_OK, POISE_E_IO
 * (not installed, failed, too slow), POISE_E_MEMORY. */
PoiseStatus poise_plot_gnuplot(const PoisePlotPlace *place, const char *script, bool persist,
                               char **said, PoiseFaults *faults);

/* Runs a program, found as a shell finds it, in the directory: no shell, nothing on its standard
 * input, its words kept there; ended after POISE_PLOT_SECONDS. *how is as waitpid() tells it.
 * Returns 0, ETIMEDOUT, or the errno of why it did not start or how it ended cannot be told. */
int poise_plot_run(const PoisePlotPlace *place, char *const arguments[], int *how);

/* Whether a font of this system has all of these characters (by fontconfig's own program; false
 * when it is not there). */
bool poise_plot_fonts_have(const unsigned *codes, size_t n);

/* The text of a script of plots/, with its common part in front, as a new string.
 * POISE_OK, POISE_E_IO (no scripts found), POISE_E_MEMORY. */
PoiseStatus poise_plot_script(const char *view, char **text, PoiseFaults *faults);

/* Whether this gnuplot can open a window; sets *terminal to the name of a terminal that does. */
bool poise_plot_window_terminal(const char **terminal);

#endif
