/* What a name that nobody knows was meant to be: a slip of a known one, or one that shares a word
 * with it. */
#ifndef POISE_BASE_NEAR_H
#define POISE_BASE_NEAR_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"

#define POISE_NEAR_SHOWN 3

typedef struct PoiseNear {
    size_t count;                        /* how many names are as near as each other */
    const char *names[POISE_NEAR_SHOWN]; /* the first of them */
} PoiseNear;

/* A slip (poise_nearest()) is one name. Else those of the n names that share most words with
 * `asked`: words are runs of letters and digits, letter case aside, and one of at least 4 letters
 * may be the other's beginning ("tuner" and "tuners"). A word of fewer than 3 letters or without a
 * letter says nothing. */
PoiseNear poise_near_names(const char *asked, const char *const *names, size_t n);

/* `did you mean "a", "b" or "c"?` as a new string in *hint; NULL when no name or more than
 * POISE_NEAR_SHOWN are near. False for want of memory. */
bool poise_near_hint(const PoiseNear *near, char **hint);

/* Appends the words of a text, a space before each. */
void poise_near_append_words(PoiseText *text, const char *of);

#endif
