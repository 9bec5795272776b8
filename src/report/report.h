/* The build sheet: everything a maker needs beside the printer and the bench, as one document. */
#ifndef POISE_REPORT_REPORT_H
#define POISE_REPORT_REPORT_H

#include "decide/remedy.h"
#include "model/instrument.h"
#include "poise/weigh.h"
#include "report/doc.h"

/* What a sheet is made from. */
typedef struct PoiseSheetSource {
    const PoiseInstrument *instrument;
    const PoiseWeighing *weighing;
    const PoiseRemedies *remedies; /* NULL: nothing to balance on */
    const char *text;              /* the instrument file as it was read */
    size_t size;
} PoiseSheetSource;

/* Writes the sheet. *out is a new string (poise_release()). Pictures that cannot be drawn become a
 * line that says so. POISE_OK; POISE_E_IO (a mesh cannot be read again); POISE_E_MEMORY. */
PoiseStatus poise_build_sheet(const PoiseSheetSource *source, PoiseDocFormat format, char **out,
                              PoiseFaults *faults);

/* Prints an HTML document to PDF bytes with the Chromium browser, which must be installed: without
 * a shell, a network or the user's own profile, within a minute. *pdf is a new block
 * (poise_release()). POISE_OK; POISE_E_IO with a fault that says what to install; POISE_E_MEMORY.
 */
PoiseStatus poise_print_pdf(const char *html, char **pdf, size_t *size, PoiseFaults *faults);

#endif
