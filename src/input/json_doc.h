/* A JSON document: its tree, and where in the file each value stands. */
#ifndef POISE_INPUT_JSON_DOC_H
#define POISE_INPUT_JSON_DOC_H

#include <stdbool.h>
#include <stddef.h>

#include <cjson/cJSON.h>

#include "input/json_scan.h"
#include "input/pointer.h"

/* The tree must stay as it was read: places are found by walking it. Change a duplicate. */
typedef struct PoiseDocument {
    char *file; /* as used in messages */
    const cJSON *root;
    PoiseNodes nodes;
} PoiseDocument;

/* Parses a text that is known to be JSON, the same under every locale; NULL when out of memory. */
cJSON *poise_json_tree(const char *text, size_t size);

/* Scans and parses a text. Every fault has file, line and column; duplicate keys are faults that
 * name both places. POISE_OK, POISE_E_INPUT, POISE_E_MEMORY. Free with poise_document_free(). */
PoiseStatus poise_document_parse(const char *text, size_t size, const char *file,
                                 PoiseDocument **document, PoiseFaults *faults);
/* The same from a file ("-": standard input). Also POISE_E_IO. */
PoiseStatus poise_document_read(const char *path, PoiseDocument **document, PoiseFaults *faults);
void poise_document_free(PoiseDocument *document);

/* Where the value (or, with `key`, its key) that a pointer names stands; false when there is no
 * such value. */
bool poise_document_place(const PoiseDocument *document, const char *pointer, bool key,
                          size_t *line, size_t *column);

#endif
