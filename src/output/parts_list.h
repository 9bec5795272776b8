/* The component library as a list that can be searched and shown. */
#ifndef POISE_OUTPUT_PARTS_LIST_H
#define POISE_OUTPUT_PARTS_LIST_H

#include <cjson/cJSON.h>

#include "base/text.h"
#include "model/material.h"
#include "poise/status.h"

typedef enum PoiseListedKind {
    POISE_LISTED_PART,
    POISE_LISTED_NECK,
    POISE_LISTED_STRINGS,
    POISE_LISTED_MATERIAL,
    POISE_LISTED_KINDS
} PoiseListedKind;

/* One entry. Strings and pointers belong to the library. */
typedef struct PoiseListed {
    PoiseListedKind kind;
    const char *id, *name, *family, *source;
    const PoisePart *part;         /* of a part */
    const PoiseMaterial *material; /* of a material */
    const cJSON *settings;         /* of a neck or a string set: its keys */
    double mass_g, mass_u_g;       /* of a part, computed or typed; NAN otherwise */
    size_t distance;               /* from the words asked for; 0 but for near misses */
    bool exact;                    /* the one word asked for is its id */
} PoiseListed;

/* How the words were found. */
typedef enum PoiseMatch {
    POISE_MATCH_ALL,   /* nothing was asked for */
    POISE_MATCH_WORDS, /* every word, or what else the trade calls it, starts a word of the entry */
    POISE_MATCH_PARTS, /* every word stands somewhere inside */
    POISE_MATCH_NEAR,  /* by edit distance */
    POISE_MATCH_NONE
} PoiseMatch;

/* The entries in the order they are shown: by kind, family, distance, id. */
typedef struct PoiseListing {
    PoiseListed *entries;
    size_t count, capacity;
    size_t library[POISE_LISTED_KINDS]; /* entries of each kind in the whole library */
    PoiseMatch match;
} PoiseListing;

/* What is asked for; any of it may be absent. */
typedef struct PoisePartsQuery {
    size_t word_count;
    const char *const *words;
    const char *family; /* NULL: any */
    int kind;           /* a PoiseListedKind, or −1: any */
} PoisePartsQuery;

/* All parts and materials of a library, each part weighed. POISE_OK, or the status of a part that
 * cannot be computed, with its fault. Free with poise_listing_clear(). */
PoiseStatus poise_listing_fill(PoiseListing *listing, const PoiseLibrary *library,
                               PoiseFaults *faults);
/* POISE_OK or POISE_E_MEMORY. */
PoiseStatus poise_listing_add(PoiseListing *listing, const PoiseListed *entry);
void poise_listing_clear(PoiseListing *listing);

/* Keeps what matches: all words, letter case aside, at the start of a word of id, name or family;
 * else inside one; else, by edit distance, the nearest. */
void poise_listing_search(PoiseListing *listing, const PoisePartsQuery *query);
/* How many entries one word finds (as the start of a word or inside one). */
size_t poise_listing_hits(const PoiseListing *listing, const char *word);

/* "part", "neck", "strings", "material" */
const char *poise_listed_kind_name(PoiseListedKind kind);
/* "plastic", "wood", … as the library's files have it */
const char *poise_material_family_name(PoiseMaterialFamily family);

/* What can be found, family by family. */
char *poise_parts_overview(const PoiseListing *listing);
/* The entries as a table, or in full when there is one or `in_full`. New strings, or NULL. */
char *poise_parts_text(const PoiseListing *listing, bool in_full);
char *poise_parts_json(const PoiseListing *listing);

#endif
