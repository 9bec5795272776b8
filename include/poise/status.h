/** @file status.h  Status codes and the list of faults that explains them. */
#ifndef POISE_STATUS_H
#define POISE_STATUS_H

#include <stddef.h>

#include "poise/export.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What a call came to. The order is the order of severity used by poise_faults_status(). */
typedef enum PoiseStatus {
    POISE_OK = 0,
    POISE_E_USAGE,  /**< the caller's command line or argument is wrong (exit code 2) */
    POISE_E_INPUT,  /**< a bad instrument or component file (exit code 3) */
    POISE_E_MESH,   /**< a bad mesh (exit code 4) */
    POISE_E_IO,     /**< cannot read or write (exit code 5) */
    POISE_E_DOMAIN, /**< the question has no answer for these numbers (never an exit code by itself)
                     */
    POISE_E_MEMORY, /**< out of memory (exit code 70) */
    POISE_E_INTERNAL /**< a fault of poise itself (exit code 70) */
} PoiseStatus;

/** A short English name of a status, for messages; never NULL. */
POISE_API const char *poise_status_name(PoiseStatus status);

/** The program's exit code for a status: 0, 2, 3, 4, 5 or 70. */
POISE_API int poise_status_exit_code(PoiseStatus status);

/** One fault: where, what was found, what was expected. Strings are owned by the list; any but
 *  `found` may be NULL. line and column count from 1; 0 means unknown. */
typedef struct PoiseFault {
    PoiseStatus status;
    const char *file;     /**< file name as the user gave it */
    size_t line, column;  /**< place in that file */
    const char *pointer;  /**< RFC 6901 JSON Pointer; "" is the whole document */
    const char *found;    /**< what was found (a sentence fragment) */
    const char *expected; /**< what was expected */
    const char *hint;     /**< nearest known key, or what to do */
} PoiseFault;

/** A growing list of faults and warnings. Opaque. */
typedef struct PoiseFaults PoiseFaults;

/** A new empty list, or NULL when out of memory. */
POISE_API PoiseFaults *poise_faults_new(void);
POISE_API void poise_faults_free(PoiseFaults *faults);
/** How many there are to get. A very long list is cut; its last entry then says "… and N more". */
POISE_API size_t poise_faults_count(const PoiseFaults *faults);
/** How many faults were found, listed or not. */
POISE_API size_t poise_faults_total(const PoiseFaults *faults);
/** Fault i of the list, or NULL when i is out of range. Valid until the list changes. */
POISE_API const PoiseFault *poise_faults_get(const PoiseFaults *faults, size_t i);
/** The status of the first fault; POISE_OK for an empty list. */
POISE_API PoiseStatus poise_faults_status(const PoiseFaults *faults);
/** The fault as one line of text "file:line:column: /pointer: found …, expected …; hint".
 *  Returns a new string the caller frees with poise_string_free(), or NULL when out of memory. */
POISE_API char *poise_fault_text(const PoiseFault *fault);
POISE_API void poise_string_free(char *text);

#ifdef __cplusplus
}
#endif
#endif
