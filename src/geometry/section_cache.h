/* Finished sections kept on disk, by what they were made from. */
#ifndef POISE_GEOMETRY_SECTION_CACHE_H
#define POISE_GEOMETRY_SECTION_CACHE_H

#include "geometry/hash.h"
#include "geometry/section_load.h"

/* All records together, bytes; the least recently used go first. A record takes 4 KiB, so this is
 * some four thousand sections: more than a person compares, and few enough to list within
 * milliseconds. */
#define POISE_CACHE_LIMIT_BYTES ((size_t)16 << 20)

/* The name of what a mesh file, its unit and a slicing give. It changes with every release of the
 * program and with the layout of records. `unit` may be NULL (mm). */
PoiseFingerprint poise_cache_key(const void *mesh, size_t size, const char *unit,
                                 const PoiseSlicing *slicing);

/* The directory for records as a new string: $XDG_CACHE_HOME/poise, else $HOME/.cache/poise (XDG
 * Base Directory Specification 0.8); made with mode 0700 when it is missing. NULL when there is
 * none to be had, or someone else owns it or may write to it. */
char *poise_cache_dir(void);

/* Fetches a record. False when there is none, or it is damaged. Sets loaded->from_cache. */
bool poise_cache_get(const char *dir, const PoiseFingerprint *key, PoiseLoadedSection *loaded);
/* Keeps a record: it appears whole or not at all, and whoever else writes it writes the same. Then
 * drops old records until all together hold at most `limit` bytes. Failure to write is no failure:
 * there is no record then. */
void poise_cache_put(const char *dir, const PoiseFingerprint *key, const PoiseLoadedSection *loaded,
                     size_t limit);

#endif
