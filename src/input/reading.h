/* Reading a JSON tree by the key tables, faults placed in the files the values came from. */
#ifndef POISE_INPUT_READING_H
#define POISE_INPUT_READING_H

#include <stdbool.h>

#include "input/json_doc.h"
#include "input/keys.h"

/* A document whose values may have gone into the tree: what stands at P in the tree may stand at
 * prefix + P in the document. */
typedef struct PoiseLayer {
    const PoiseDocument *document;
    const char *prefix; /* "" or a pointer such as "/variants/light wings" */
} PoiseLayer;

typedef struct PoiseReading {
    const PoiseLayer *layers; /* the one that won last comes first */
    size_t layer_count;
    PoiseFaults *faults;
    PoiseStatus status; /* of the first fault */
    PoiseText pointer;  /* of the value being read, in the tree */

    const char *dir;             /* file names start here */
    const PoiseLibrary *library; /* NULL: names of materials and parts are not looked up */
    PoiseMaterial *const *own;   /* the file's own materials come first */
    size_t own_count;
    bool long_scale; /* which defaults hold */
    bool rounded;    /* some reading had no ±: that of its last digit was taken */
} PoiseReading;

/* Goes one step down; give the result to poise_reading_up(). */
size_t poise_reading_down(PoiseReading *r, const char *name);
size_t poise_reading_down_index(PoiseReading *r, size_t index);
void poise_reading_up(PoiseReading *r, size_t length);

/* A fault at the value being read (or at its key). */
void poise_reading_fault(PoiseReading *r, bool at_key, const char *found, const char *expected,
                         const char *hint);
/* Nobody will see a further fault's words: the list is full, or there is none. */
bool poise_reading_is_full(const PoiseReading *r);
/* The same with `found` written as by printf. */
void poise_reading_say(PoiseReading *r, const char *expected, const char *hint, const char *format,
                       ...) __attribute__((format(printf, 4, 5)));
void poise_reading_memory(PoiseReading *r);
/* A member that is not there: `found` is `no key "name"`, placed at the object being read. */
void poise_reading_missing(PoiseReading *r, const char *name, const char *expected,
                           const char *hint);
/* A name that is in no list: says so, with the nearest one. */
void poise_reading_unknown(PoiseReading *r, const char *what, const char *name,
                           const char *const *known, size_t n);

/* "one of: a, b, c", or of one name `"a", the only one there is`, as a new string, a long list cut;
 * NULL for want of memory. */
char *poise_list_of(const char *const *names, size_t n);

enum { POISE_FOUND_SIZE = 96 };
/* What a value is, for a message: `"text"`, `5`, `a list of 3`, … */
const char *poise_found(const cJSON *value, char out[POISE_FOUND_SIZE]);

/* Reads an object into `target`: defaults first, then every known member; unknown and missing keys,
 * wrong types, units and ranges are faults. MAP, LIST, GAUGES, HAND, MASSES, PATCHES and PRESET
 * members are left to the caller. *chosen gets the case's table when the table has a tag (NULL when
 * it names none). False when `value` is no object (a fault). */
bool poise_read_object(PoiseReading *r, const cJSON *value, const PoiseTable *table, void *target,
                       const PoiseTable **chosen);
/* Only the defaults. */
void poise_read_defaults(PoiseReading *r, const PoiseTable *table, void *target);
/* One value of a key. False when it is faulty. */
bool poise_read_value(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target);
/* A quantity of the key's unit and range, whatever its store. */
bool poise_read_quantity(PoiseReading *r, const cJSON *value, const PoiseKey *key,
                         PoiseQuantity *quantity);
bool poise_read_mix(PoiseReading *r, const cJSON *value, void *poured);

/* The member of an object, or NULL (exact name). */
const cJSON *poise_member(const cJSON *object, const char *name);

#endif
