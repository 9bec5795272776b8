#include "model/material.h"

#include <string.h>

#include "base/memory.h"

/* Both tables are sorted by id: a binary search over the first member, which is the id in both. */
static void *find_by_id(void *const *table, size_t n, const char *id)
{
    size_t lo = 0, hi = n;
    while (lo < hi) {
        size_t mid = lo + (hi - lo) / 2;
        int order = strcmp(id, *(char *const *)table[mid]);
        if (order == 0)
            return table[mid];
        if (order < 0)
            hi = mid;
        else
            lo = mid + 1;
    }
    return NULL;
}

const PoiseMaterial *poise_library_material(const PoiseLibrary *library, const char *id)
{
    return find_by_id((void *const *)library->materials, library->material_count, id);
}

const PoisePart *poise_library_part(const PoiseLibrary *library, const char *id)
{
    return find_by_id((void *const *)library->parts, library->part_count, id);
}

void poise_material_free(PoiseMaterial *material)
{
    if (!material)
        return;
    poise_release(material->id);
    poise_release(material->name);
    poise_release(material->source);
    poise_release(material);
}

void poise_part_free(PoisePart *part)
{
    if (!part)
        return;
    poise_release(part->id);
    poise_release(part->name);
    poise_release(part->family);
    poise_release(part->origin);
    poise_release(part->source);
    poise_release(part);
}

void poise_library_free(PoiseLibrary *library)
{
    if (!library)
        return;
    for (size_t i = 0; i < library->material_count; i++)
        poise_material_free(library->materials[i]);
    for (size_t i = 0; i < library->part_count; i++)
        poise_part_free(library->parts[i]);
    poise_release(library->materials);
    poise_release(library->parts);
    poise_release(library->dir);
    poise_release(library);
}
