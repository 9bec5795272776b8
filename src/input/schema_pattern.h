/* Quantities in words as a regular expression: ECMA-262, which JSON Schema refers to. */
#ifndef POISE_INPUT_SCHEMA_PATTERN_H
#define POISE_INPUT_SCHEMA_PATTERN_H

#include "base/text.h"
#include "input/quantity.h"

/* What may stand for a value in a file. */
typedef enum PoiseSchemaText {
    POISE_TEXT_DOUBTFUL, /* "185 g ± 10 g" */
    POISE_TEXT_EXACT,    /* no ±, but for one of 0 */
    POISE_TEXT_GAUGE,    /* "1.14 mm wound", with ± too */
    POISE_TEXT_FORMS
} PoiseSchemaText;

/* Appends a pattern that matches every text that poise_quantity_parse() takes for this kind, and
 * little else: it knows the kind's units and where numbers stand. What it lets pass is what needs
 * arithmetic, such as "7 lb 20 oz" or 1/0. */
void poise_schema_pattern(PoiseText *text, PoiseUnitKind kind, PoiseSchemaText form);

/* A number > 0, without sign. */
#define POISE_PATTERN_POSITIVE "(?=[0-9.]*[1-9])(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)(?:[eE][-+]?[0-9]+)?"

#endif
