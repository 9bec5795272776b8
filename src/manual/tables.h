/* What the manual takes out of the program's own tables. */
#ifndef POISE_MANUAL_TABLES_H
#define POISE_MANUAL_TABLES_H

#include <stdbool.h>

#include "base/text.h"

/* All commands: usage, what each does, its options. */
void poise_manual_commands(PoiseText *page);
/* One line for each command. */
void poise_manual_synopsis(PoiseText *page);
/* The keys of a table, with those of the objects in it as "object/key". Names: "instrument",
 * "item", the kinds of items, "own-material", "profile", "profile-material". False when there is no
 * such table. */
bool poise_manual_keys(PoiseText *page, const char *table);
/* The units that each sort of quantity may be written in. */
void poise_manual_units(PoiseText *page);

#endif
