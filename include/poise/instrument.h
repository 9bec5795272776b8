/** @file instrument.h  Reading an instrument file. */
#ifndef POISE_INSTRUMENT_H
#define POISE_INSTRUMENT_H

#include <stddef.h>

#include "poise/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** An instrument as read from its file, every name resolved and every default filled in. Opaque. */
typedef struct PoiseInstrument PoiseInstrument;

/** Where the component library comes from when none is given: $POISE_COMPONENTS, else a directory
 *  "components" beside the executable, else the installed one.
 *  @return a new string (free with poise_string_free()), or NULL when none was found or memory ran
 * out. */
POISE_API char *poise_components_dir(void);

/** Reads an instrument file.
 *  @param path        file name; "-" is standard input (relative names then start in the working
 * directory)
 *  @param variant     a name from "variants", merged over the file (RFC 7396), or NULL
 *  @param components  component library directory, or NULL for poise_components_dir()
 *  @param instrument  out; free with poise_instrument_free()
 *  @param faults      every fault found in one pass
 *  @return POISE_OK; POISE_E_INPUT; POISE_E_IO; POISE_E_USAGE (no such variant); POISE_E_MEMORY */
POISE_API PoiseStatus poise_instrument_read(const char *path, const char *variant,
                                            const char *components, PoiseInstrument **instrument,
                                            PoiseFaults *faults);

/** The same from memory. `name` is used in messages; relative names start in directory `dir`. With
 *  dir "" they stand as typed, and a mesh "-" is standard input. */
POISE_API PoiseStatus poise_instrument_parse(const char *text, size_t size, const char *name,
                                             const char *dir, const char *variant,
                                             const char *components, PoiseInstrument **instrument,
                                             PoiseFaults *faults);

POISE_API void poise_instrument_free(PoiseInstrument *instrument);

#ifdef __cplusplus
}
#endif
#endif
