/* What a shell may offer next: one answer for all shells, from the same tables as the help. */
#ifndef POISE_COMMANDS_COMPLETE_H
#define POISE_COMMANDS_COMPLETE_H

#include "base/text.h"

/* "poise complete WORD...": the words after "poise" up to and with the one at the cursor, which may
 * be empty or half typed. Writes one candidate to a line, a tab and what it is; a line ":files EXT
 * EXT..." asks the shell for file names with these endings (any, when none is given). A candidate
 * that ends in "/" or "=" is to be gone on with. Wrong words give nothing, never a message. Returns
 * 0. */
int poise_complete(int argc, char **argv);

/* The answer as it is put together. */
typedef struct PoiseCompletion {
    PoiseText lines;
    const char *word;   /* as typed so far: only what it begins is offered */
    const char *before; /* put before each candidate: "--variant=" */
} PoiseCompletion;

/* Offers a candidate, if the word begins it. What would drive a terminal or break the line is left
 * out. `about` may be NULL. */
void poise_completion_offer(PoiseCompletion *completion, const char *candidate, const char *about);

/* From an instrument file, as far as it can be read; nothing when it cannot. */
void poise_completion_variants(PoiseCompletion *completion, const char *path);
/* Pointers into it, one step at a time, then values for the part, material or preset it names. */
void poise_completion_pointers(PoiseCompletion *completion, const char *path);

typedef enum PoiseLibraryIds {
    POISE_IDS_PARTS = 1,
    POISE_IDS_MATERIALS = 2,
    POISE_IDS_PRESETS = 4,
    POISE_IDS_FAMILIES = 8
} PoiseLibraryIds;
/* From the component library: which is a sum of PoiseLibraryIds. Parts only of the family that the
 * part `like` is of, unless that is NULL or no part. */
void poise_completion_library(PoiseCompletion *completion, int which, const char *like);

#endif
