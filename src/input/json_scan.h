/* A strict RFC 8259 scanner: says where a text stops being JSON, and where each of its values
 * stands. */
#ifndef POISE_INPUT_JSON_SCAN_H
#define POISE_INPUT_JSON_SCAN_H

#include <stddef.h>
#include <stdint.h>

#include "poise/status.h"

/* Where one value stands. Lines and columns count from 1, columns in code points. The key's place
 * is that of its opening quote; for a value that is no object's member it is the value's own. */
typedef struct PoiseNode {
    uint32_t line, column;
    uint32_t key_line, key_column;
    uint32_t size; /* values in this one, itself included: the next sibling is `size` further on */
} PoiseNode;

/* All values in the order of the text: a value, then its members or elements. */
typedef struct PoiseNodes {
    size_t count, capacity;
    PoiseNode *list;
} PoiseNodes;

/* Scans a whole text; `file` is used in messages. Stops at the first syntax fault (what follows
 * would be guesswork); numbers that are too long or not finite are faults that do not stop it.
 * Beyond the RFC's grammar: a leading byte order mark is ignored (§8.1), \u0000 is refused (no name
 * or path can hold it), and the limits of base/limits.h hold. Duplicate keys are found later
 * (json_doc.h). POISE_OK, POISE_E_INPUT or POISE_E_MEMORY; nodes are valid (free with
 * poise_nodes_clear()) in any case, and complete unless *stopped. */
PoiseStatus poise_json_scan(const char *text, size_t size, const char *file, PoiseNodes *nodes,
                            int *stopped, PoiseFaults *faults);
void poise_nodes_clear(PoiseNodes *nodes);

#endif
