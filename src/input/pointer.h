/* JSON Pointer (RFC 6901) and JSON Merge Patch (RFC 7396) on cJSON trees. */
#ifndef POISE_INPUT_POINTER_H
#define POISE_INPUT_POINTER_H

#include <stdbool.h>
#include <stddef.h>

#include <cjson/cJSON.h>

#include "base/text.h"
#include "poise/status.h"

/* True for "" and for "/…" whose every ~ is followed by 0 or 1 (RFC 6901 §3). */
bool poise_pointer_valid(const char *pointer);

/* The value a pointer names, or NULL. Names are compared byte by byte, case matters. */
cJSON *poise_pointer_get(cJSON *root, const char *pointer);
const cJSON *poise_pointer_get_const(const cJSON *root, const char *pointer);

/* The member or element of `parent` that one escaped token of n bytes names, or NULL. */
cJSON *poise_pointer_step(const cJSON *parent, const char *token, size_t n);

/* Appends "/" and the name with ~ and / escaped (RFC 6901 §3). */
void poise_pointer_push(PoiseText *pointer, const char *name);

/* Puts a value where a pointer says: replaces what is there, or adds a member to an object. Objects
 * that are missing on the way are made; list elements are not. Takes over `value` in every case.
 * `root` must not be the root of a document that is read later by place (json_doc.h): work on a
 * duplicate. POISE_OK; POISE_E_INPUT when the pointer leads through a value that is no object or
 * list, or past a list's end, or is the whole document; POISE_E_MEMORY. No fault is added. */
PoiseStatus poise_pointer_set(cJSON *root, const char *pointer, cJSON *value);

/* *target becomes MergePatch(*target, patch), RFC 7396 §2. *target may be NULL (absent). False when
 * out of memory; *target is then still a tree to be freed. */
bool poise_merge_patch(cJSON **target, const cJSON *patch);

/* Would the patch change the target at all? */
bool poise_merge_changes(const cJSON *target, const cJSON *patch);

/* Same values; order of members does not matter, of elements it does. */
bool poise_json_equal(const cJSON *a, const cJSON *b);

#endif
