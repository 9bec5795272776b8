/* A remedy as a variant of its file. */
#include <string.h>

#include "base/memory.h"
#include "decide/remedy.h"
#include "input/reading.h"

/* Puts a copy of `value` in place of (or beside) the member of that name; false without memory. */
static bool put(cJSON *object, const char *name, const cJSON *value)
{
    cJSON *copy = cJSON_Duplicate(value, 1);
    if (!copy)
        return false;
    cJSON_DeleteItemFromObjectCaseSensitive(object, name);
    if (cJSON_AddItemToObject(object, name, copy))
        return true;
    cJSON_Delete(copy);
    return false;
}

/* `patch` becomes the patch that does what it did and then what `second` does. A null stays where
 * there is something to take away, and goes where there is not. */
static bool follow(const cJSON *base, cJSON *patch, const cJSON *second)
{
    for (const cJSON *change = second->child; change; change = change->next) {
        const char *name = change->string;
        const cJSON *below = cJSON_IsObject(base) ? poise_member(base, name) : NULL;
        cJSON *had = (cJSON *)poise_member(patch, name);
        if (cJSON_IsNull(change) && !below) {
            cJSON_DeleteItemFromObjectCaseSensitive(patch, name);
        } else if (cJSON_IsObject(change) && (cJSON_IsObject(had) || (!had && below))) {
            if (!had) {
                had = cJSON_CreateObject();
                if (!had || !cJSON_AddItemToObject(patch, name, had)) {
                    cJSON_Delete(had);
                    return false;
                }
            }
            if (!follow(below, had, change))
                return false;
        } else if (!put(patch, name, change)) {
            return false;
        }
    }
    return true;
}

cJSON *poise_patch_after(const cJSON *base, const cJSON *first, const cJSON *second)
{
    cJSON *patch = first ? cJSON_Duplicate(first, 1) : cJSON_CreateObject();
    if (patch && follow(base, patch, second))
        return patch;
    cJSON_Delete(patch);
    return NULL;
}

char *poise_variant_free_name(const cJSON *taken, const char *wanted)
{
    char *name = poise_copy_text(wanted);
    for (int n = 2; name && poise_member(taken, name); n++) {
        poise_release(name);
        name = poise_format("%s %d", wanted, n);
    }
    return name;
}

/* A mass that the variant states as weighed is not that of the changed item. */
static void forget_weighed(cJSON *patch, const cJSON *changes)
{
    cJSON *measured = (cJSON *)poise_member(patch, "measured");
    const cJSON *items = poise_member(changes, "items");
    for (const cJSON *c = cJSON_IsObject(items) ? items->child : NULL; c; c = c->next)
        if (cJSON_IsObject(measured))
            cJSON_DeleteItemFromObjectCaseSensitive(measured, c->string);
}

cJSON *poise_remedy_variant(const PoiseDocument *document, const char *variant,
                            const PoiseRemedy *remedy)
{
    const cJSON *first = variant ? poise_document_variant(document, variant) : NULL;
    cJSON *patch = poise_patch_after(document->root, first, remedy->patch);
    if (patch)
        forget_weighed(patch, remedy->patch);
    return patch;
}
