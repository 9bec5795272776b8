/* Building JSON with cJSON: numbers that may not exist, vectors, and one check for memory at the
 * end. */
#ifndef POISE_OUTPUT_JSON_BUILD_H
#define POISE_OUTPUT_JSON_BUILD_H

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stddef.h>

/* A JSON object under construction. After an allocation failure `failed` stays set and adding does
 * nothing. */
typedef struct PoiseJson {
    cJSON *root;
    bool failed;
} PoiseJson;

PoiseJson poise_json_begin(void);
/* Adds to `parent`, or to the root when it is NULL. NAN and infinities become null, never 0. */
void poise_json_number(PoiseJson *json, cJSON *parent, const char *key, double value);
void poise_json_text(PoiseJson *json, cJSON *parent, const char *key,
                     const char *value); /* NULL: null */
void poise_json_bool(PoiseJson *json, cJSON *parent, const char *key, bool value);
void poise_json_null(PoiseJson *json, cJSON *parent, const char *key);
/* null when any of the n numbers does not exist */
void poise_json_vector(PoiseJson *json, cJSON *parent, const char *key, const double *values,
                       size_t n);
void poise_json_texts(PoiseJson *json, cJSON *parent, const char *key, char *const *texts,
                      size_t n);
/* A copy of a value; NULL: null */
void poise_json_copy(PoiseJson *json, cJSON *parent, const char *key, const cJSON *value);
/* A new object or array in parent; NULL once failed (adding to NULL then goes nowhere: failed is
 * set). With key NULL the parent is an array. */
cJSON *poise_json_object(PoiseJson *json, cJSON *parent, const char *key);
cJSON *poise_json_array(PoiseJson *json, cJSON *parent, const char *key);
/* The document as indented text with a final newline, and the end of it; NULL when out of memory.
 */
char *poise_json_end(PoiseJson *json);

#endif
