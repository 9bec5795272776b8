/* From a JSON document to an instrument. */
#ifndef POISE_INPUT_READER_H
#define POISE_INPUT_READER_H

#include "input/json_doc.h"
#include "input/library.h"
#include "poise/instrument.h"

/* The library and its presets together; one shelf serves any number of instruments. */
typedef struct PoiseShelf {
    PoiseLibrary *library;
    PoisePresets presets;
} PoiseShelf;

/* Reads the library of a directory (NULL: poise_components_dir()). As poise_library_read();
 * POISE_E_IO with a fault when there is none. */
PoiseStatus poise_shelf_read(const char *components, PoiseShelf *shelf, PoiseFaults *faults);
void poise_shelf_clear(PoiseShelf *shelf);

/* Reads an instrument from a document whose root may stand changed in `tree`.
 *  document  where values stand, for messages
 *  tree      the values to read; NULL: the document's own. To vary a value: duplicate
 * document->root, poise_pointer_set(), poise_forget_measured(), and pass it here. variant   a name
 * from "variants" to merge over it, or NULL. A weighed mass from the file's "measured" does not go
 * with an item that the variant changes, unless the variant states it again. dir       where file
 * names start shelf     outlives the instrument, which borrows its library; NULL: names of
 * materials and parts are not looked up (for telling all faults of a file when the library is
 * broken) and the status is not OK Every fault in one pass. POISE_OK; POISE_E_INPUT; POISE_E_USAGE
 * (no such variant); POISE_E_MEMORY. */
PoiseStatus poise_instrument_from_document(const PoiseDocument *document, const cJSON *tree,
                                           const char *variant, const char *dir,
                                           const PoiseShelf *shelf, PoiseInstrument **instrument,
                                           PoiseFaults *faults);

/* The patch of a variant, or NULL. */
const cJSON *poise_document_variant(const PoiseDocument *document, const char *variant);
/* Does the variant change anything of the file? False also when there is no such variant. */
bool poise_variant_changes(const PoiseDocument *document, const char *variant);
/* Keys of "print" that a toolpath beside them has settled; NULL ends the list. */
extern const char *const POISE_TOOLPATH_SETTLED[];
/* A fault when it does not, or changes only print settings that a toolpath has settled:
 * POISE_E_INPUT. */
PoiseStatus poise_variant_refuse_idle(const PoiseDocument *document, const char *variant,
                                      PoiseFaults *faults);

/* Takes the weighed mass of an item out of the tree when `pointer` ("/items/ID/…") changes that
 * item: what was on the scale is not what is now estimated. */
void poise_forget_measured(cJSON *tree, const char *pointer);

#endif
