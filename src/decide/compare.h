/* An instrument file and its variants, weighed side by side. */
#ifndef POISE_DECIDE_COMPARE_H
#define POISE_DECIDE_COMPARE_H

#include "input/reader.h"
#include "poise/weigh.h"

typedef struct PoiseComparison {
    PoiseDocument *document;
    PoiseShelf shelf;
    size_t count; /* the file as it stands first, then its variants */
    PoiseInstrument **instruments;
    PoiseWeighing **weighings;
} PoiseComparison;

/* Reads and weighs a file and the variants named (n = 0: all it has, in file order). A variant that
 * changes nothing, or an item the file does not have, is a fault. `components` NULL:
 * poise_components_dir(). POISE_OK; POISE_E_USAGE (no such variant); what reading and weighing
 * give. Free with poise_comparison_free(). */
PoiseStatus poise_compare(const char *path, const char *const *variants, size_t n,
                          const char *components, const PoiseWeighOptions *options,
                          PoiseComparison **comparison, PoiseFaults *faults);
void poise_comparison_free(PoiseComparison *comparison);

/* One number that is compared. */
typedef struct PoiseMeasure {
    const char *key;   /* of JSON and CSV, with its unit */
    const char *label; /* "Mass, g" */
    int decimals;
    double (*value)(const PoiseWeighing *w); /* NAN: none */
} PoiseMeasure;
extern const PoiseMeasure POISE_MEASURES[];
extern const size_t POISE_MEASURE_COUNT;

/* One word that is compared. */
typedef struct PoiseWordMeasure {
    const char *key, *label;
    const char *(*word)(const PoiseWeighing *w); /* NULL: none */
} PoiseWordMeasure;
extern const PoiseWordMeasure POISE_WORD_MEASURES[];
extern const size_t POISE_WORD_MEASURE_COUNT;

/* The comparison as a new string, NULL when out of memory. The text fits 80 columns: three variants
 * beside the first in each block. */
char *poise_comparison_text(const PoiseComparison *comparison);
char *poise_comparison_markdown(const PoiseComparison *comparison);
char *poise_comparison_csv(const PoiseComparison *comparison);
char *poise_comparison_json(const PoiseComparison *comparison);

#endif
