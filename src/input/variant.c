#include "input/variant.h"

#include <string.h>

#include "base/faults.h"
#include "base/memory.h"

/* The keys of an object; *n gets their number. NULL for want of memory. */
static const char **names_of(const cJSON *object, size_t *n)
{
    size_t count = 0;
    for (const cJSON *child = cJSON_IsObject(object) ? object->child : NULL; child;
         child = child->next)
        count++;
    const char **names = poise_alloc_zero(count, sizeof *names);
    *n = count;
    for (const cJSON *child = count && names ? object->child : NULL; child; child = child->next)
        names[--count] = child->string;
    for (size_t i = 0; names && i < *n / 2; i++) { /* back in file order */
        const char *swap = names[i];
        names[i] = names[*n - 1 - i];
        names[*n - 1 - i] = swap;
    }
    return names;
}

/* An item that the file does not have is new when it says its kind; otherwise its id is a slip. */
static bool id_is_slip(const cJSON *items, const cJSON *patch)
{
    if (poise_member(items, patch->string))
        return false;
    return cJSON_IsNull(patch) || (cJSON_IsObject(patch) && !poise_member(patch, "kind"));
}

/* Reports slips among the ids of `patch` (owned, changed) and takes them out. */
static void refuse_slips(PoiseReading *r, const cJSON *tree, cJSON *patch)
{
    const cJSON *items = poise_member(tree, "items");
    cJSON *changes = (cJSON *)poise_member(patch, "items");
    size_t n, up = poise_reading_down(r, "items");
    const char **ids = names_of(items, &n);
    if (!ids)
        poise_reading_memory(r);
    /* That the file has no items at all is said of the file. */
    bool told = n == 0;
    for (cJSON *child = ids && cJSON_IsObject(changes) ? changes->child : NULL, *next; child;
         child = next) {
        next = child->next;
        if (!id_is_slip(items, child))
            continue;
        size_t out = poise_reading_down(r, child->string);
        if (!told)
            poise_reading_unknown(r, "the unknown item", child->string, ids, n);
        poise_reading_up(r, out);
        cJSON_Delete(cJSON_DetachItemViaPointer(changes, child));
    }
    poise_release(ids);
    poise_reading_up(r, up);
}

static void refuse_fixed(PoiseReading *r, cJSON *patch)
{
    static const char *const fixed[] = {"poise", "variants"};
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++) {
        cJSON *child = (cJSON *)poise_member(patch, fixed[i]);
        if (!child)
            continue;
        size_t up = poise_reading_down(r, fixed[i]);
        poise_reading_fault(r, true, "a key that no variant may change", "keys of the instrument",
                            NULL);
        poise_reading_up(r, up);
        cJSON_Delete(cJSON_DetachItemViaPointer(patch, child));
    }
}

/* Weighed masses of items the patch changes, unless it weighs them again. */
static void forget_changed(cJSON *merged, const cJSON *tree, const cJSON *patch)
{
    const cJSON *changes = poise_member(patch, "items"), *items = poise_member(tree, "items");
    const cJSON *weighed = poise_member(patch, "measured");
    cJSON *measured = (cJSON *)poise_member(merged, "measured");
    for (const cJSON *c = cJSON_IsObject(changes) ? changes->child : NULL;
         c && cJSON_IsObject(measured); c = c->next)
        if (!poise_member(weighed, c->string) &&
            poise_merge_changes(poise_member(items, c->string), c))
            cJSON_DeleteItemFromObjectCaseSensitive(measured, c->string);
}

cJSON *poise_merge_variant(PoiseReading *r, const cJSON *tree, const cJSON *patch)
{
    cJSON *own = cJSON_Duplicate(patch, 1), *merged = cJSON_Duplicate(tree, 1);
    if (own && merged) {
        refuse_slips(r, tree, own);
        refuse_fixed(r, own);
        bool done = poise_merge_patch(&merged, own);
        if (done)
            forget_changed(merged, tree, own);
        cJSON_Delete(own);
        if (done)
            return merged;
        own = NULL;
    }
    poise_reading_memory(r);
    cJSON_Delete(own);
    cJSON_Delete(merged);
    return NULL;
}

PoiseStatus poise_no_variant(const PoiseDocument *document, const cJSON *tree, const char *variant,
                             PoiseFaults *faults)
{
    size_t n;
    const char **names = names_of(poise_member(tree, "variants"), &n);
    PoiseText expected = {0};
    poise_text_append(&expected, n ? "one of: " : "no --variant: the file has none");
    for (size_t i = 0; names && i < n; i++)
        poise_text_printf(&expected, "%s\"%s\"", i ? ", " : "", names[i]);
    const char *near = names ? poise_nearest(variant, names, n) : NULL;
    char *found = poise_format("no variant \"%s\"", variant);
    char *list = poise_text_take(&expected);
    char *hint = near ? poise_format("did you mean \"%s\"?", near) : NULL;
    PoiseStatus status = POISE_E_USAGE;
    if (names && found && list && (hint || !near))
        poise_fault_add(faults, &(PoiseFault){.status = status,
                                              .file = document->file,
                                              .found = found,
                                              .expected = list,
                                              .hint = hint});
    else
        status = poise_fault_memory(faults);
    poise_release(names);
    poise_release(found);
    poise_release(list);
    poise_release(hint);
    return status;
}

const cJSON *poise_document_variant(const PoiseDocument *document, const char *variant)
{
    return poise_member(poise_member(document->root, "variants"), variant);
}

bool poise_variant_changes(const PoiseDocument *document, const char *variant)
{
    const cJSON *patch = poise_document_variant(document, variant);
    return patch && poise_merge_changes(document->root, patch);
}

const char *const POISE_TOOLPATH_SETTLED[] = {"infill", "perimeters", "top",     "bottom",
                                              "flow",   "waste",      "support", NULL};

/* What a toolpath has settled does not count beside it: takes it out of every such item. */
static void strip_settled(cJSON *tree)
{
    const cJSON *items = poise_member(tree, "items");
    for (cJSON *item = cJSON_IsObject(items) ? items->child : NULL; item; item = item->next) {
        cJSON *print = (cJSON *)poise_member(item, "print");
        if (!cJSON_IsString(poise_member(item, "toolpath")) || !cJSON_IsObject(print))
            continue;
        for (size_t i = 0; POISE_TOOLPATH_SETTLED[i]; i++)
            cJSON_DeleteItemFromObjectCaseSensitive(print, POISE_TOOLPATH_SETTLED[i]);
        if (!print->child)
            cJSON_DeleteItemFromObjectCaseSensitive(item, "print");
    }
}

/* Does the variant change nothing but what toolpaths have settled? False when out of memory. */
static bool changes_settled_only(const PoiseDocument *document, const char *variant, bool *settled)
{
    cJSON *base = cJSON_Duplicate(document->root, true);
    cJSON *with = cJSON_Duplicate(document->root, true);
    bool good = base && with && poise_merge_patch(&with, poise_document_variant(document, variant));
    if (good) {
        strip_settled(base);
        strip_settled(with);
        *settled = poise_json_equal(base, with);
    }
    cJSON_Delete(base);
    cJSON_Delete(with);
    return good;
}

static PoiseStatus refuse_variant(const PoiseDocument *document, const char *variant,
                                  const char *found, const char *expected, PoiseFaults *faults)
{
    PoiseText pointer = {0};
    poise_text_append(&pointer, "/variants");
    poise_pointer_push(&pointer, variant);
    PoiseFault fault = {.status = POISE_E_INPUT,
                        .file = document->file,
                        .pointer = pointer.data,
                        .found = found,
                        .expected = expected};
    if (pointer.failed)
        return poise_fault_memory(faults);
    poise_document_place(document, pointer.data, true, &fault.line, &fault.column);
    poise_fault_add(faults, &fault);
    poise_text_clear(&pointer);
    return POISE_E_INPUT;
}

PoiseStatus poise_variant_refuse_idle(const PoiseDocument *document, const char *variant,
                                      PoiseFaults *faults)
{
    if (!poise_variant_changes(document, variant))
        return refuse_variant(document, variant, "a variant that changes nothing of the file",
                              "at least one value unlike the file's", faults);
    bool settled = false;
    if (!changes_settled_only(document, variant, &settled))
        return poise_fault_memory(faults);
    if (settled)
        return refuse_variant(
            document, variant,
            "a variant that changes only print settings that a toolpath has settled",
            "a value that weight or balance depends on, or \"toolpath\": null beside them", faults);
    return POISE_OK;
}

void poise_forget_measured(cJSON *tree, const char *pointer)
{
    static const char start[] = "/items/";
    if (strncmp(pointer, start, sizeof start - 1) != 0 || !poise_pointer_valid(pointer))
        return;
    cJSON *measured = (cJSON *)poise_member(tree, "measured");
    const char *token = pointer + sizeof start - 1;
    cJSON *child =
        cJSON_IsObject(measured) ? poise_pointer_step(measured, token, strcspn(token, "/")) : NULL;
    if (child)
        cJSON_Delete(cJSON_DetachItemViaPointer(measured, child));
}
