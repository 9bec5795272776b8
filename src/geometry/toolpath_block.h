/* One line of a program ("block" in ISO 6983-1), taken apart into words. */
#ifndef POISE_GEOMETRY_TOOLPATH_BLOCK_H
#define POISE_GEOMETRY_TOOLPATH_BLOCK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "poise/status.h"

/* Codes are held in tenths, so that G92.1 is 921. */
#define POISE_G(n) (10 * (n))
#define POISE_M(n) (100000 + 10 * (n))
/* A line never holds more codes than this that are read; more are damage. */
#define POISE_BLOCK_CODES 8

typedef struct PoiseBlock {
    const char *file;
    size_t line;
    const char *start, *end; /* the line's start, the data's end */
    int code_count;
    int codes[POISE_BLOCK_CODES]; /* POISE_G and POISE_M, in order; only those that are read */
    bool tool;                    /* the line is a T word */
    uint32_t letters;             /* bit 0 for A, … */
    uint32_t bare;                /* of them, those without a number; their value is NAN */
    double value[26];
    const char *place[26];
} PoiseBlock;

static inline bool poise_block_has(const PoiseBlock *block, char letter)
{
    return block->letters >> (letter - 'A') & 1U;
}
static inline double poise_block_value(const PoiseBlock *block, char letter)
{
    return block->value[letter - 'A'];
}

/* Takes the line at p apart; file and line must be set. *next gets the start of the next line. */
PoiseStatus poise_block_scan(PoiseBlock *block, const char *p, const char *end, const char **next,
                             PoiseFaults *faults);

/* A fault of status POISE_E_MESH at a place of the line (NULL: its start). */
PoiseStatus poise_block_refuse(const PoiseBlock *block, const char *place, const char *found,
                               const char *expected, PoiseFaults *faults);
/* The same; found is the word itself, with its number. */
PoiseStatus poise_block_refuse_word(const PoiseBlock *block, char letter, const char *expected,
                                    PoiseFaults *faults);

#endif
