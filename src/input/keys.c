#include "input/keys.h"

#include <string.h>

static const PoiseKey *find_in(const PoiseTable *table, const char *name)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++)
            if (strcmp(table->keys[i].key, name) == 0)
                return &table->keys[i];
    return NULL;
}

const PoiseKey *poise_key_find(const PoiseTable *table, const PoiseTable *chosen, const char *name)
{
    const PoiseKey *key = find_in(table, name);
    return key ? key : find_in(chosen, name);
}

static size_t names_of(const PoiseTable *table, const char **names, size_t n)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count && n < POISE_MOST_KEYS; i++)
            names[n++] = table->keys[i].key;
    return n;
}

size_t poise_key_names(const PoiseTable *table, const PoiseTable *chosen,
                       const char *names[POISE_MOST_KEYS])
{
    return names_of(chosen, names, names_of(table, names, 0));
}
