/* The independent sources behind the doubts of all items: what a scale, a ruler or a test print
 * could each take away, with everything that is one and the same quantity taken together. */
#ifndef POISE_BODIES_SOURCES_H
#define POISE_BODIES_SOURCES_H

#include <stdbool.h>
#include <stddef.h>

#include "bodies/item_body.h"

typedef struct PoiseLedgerEntry {
    const PoiseItemBody *body;
    const PoiseMaterial *material; /* whose density doubt it shares; NULL: it shares none */
    bool printed;                  /* shares the printer's flow doubt */
} PoiseLedgerEntry;

typedef enum PoiseSourceKind {
    POISE_SOURCE_OWN,     /* of one item's mass */
    POISE_SOURCE_DENSITY, /* of a material, common to all items made of it */
    POISE_SOURCE_FLOW,    /* of the printer, common to all printed sections */
    POISE_SOURCE_PLACE    /* of one item, along one axis */
} PoiseSourceKind;

/* One source, independent of every other, by what one standard uncertainty of it does. */
typedef struct PoiseSource {
    PoiseSourceKind kind;
    size_t item;          /* the entry it belongs to, or the first of those that share it */
    size_t items;         /* how many share it */
    double mass_g;        /* change of the total mass */
    double moment_gmm[3]; /* change of Σ m (r − C), C the estimated centre; the centre moves by
                             this over the mass */
} PoiseSource;

typedef struct PoiseSources {
    size_t count;
    PoiseSource *list; /* owned */
    /* Σ u²(m_i) u²(r_i) along each axis: what the product of an item's mass and place adds to the
     * variance of the moment beyond first order. */
    double product_g2mm2[3];
} PoiseSources;

/* The sources of n entries about a centre. Those that do nothing are left out. The density doubts
 * of all items of one material are one and the same quantity (JCGM 100:2008, 5.2.2, r = +1: they
 * add before they are squared), and so is the flow of all printed sections; an item's own doubt and
 * its place are independent of everything else. POISE_OK or POISE_E_MEMORY. Free with
 * poise_sources_free(). */
PoiseStatus poise_sources(const PoiseLedgerEntry *entries, size_t n, const double centre_mm[3],
                          PoiseSources *out);
void poise_sources_free(PoiseSources *sources);

#endif
