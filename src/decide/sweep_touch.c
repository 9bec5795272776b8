/* What the pointer of an axis bears on, told from its text and the kinds of the items. In doubt it
 * bears on more: that costs a reading, never a digit. */
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/near.h"
#include "decide/sweep_plan.h"
#include "input/keys.h"

/* The n-th token of a pointer, from 0; NULL when it has fewer. */
static const char *token_at(const char *pointer, size_t n, size_t *length)
{
    for (; *pointer; n--) {
        pointer++;
        *length = strcspn(pointer, "/");
        if (n == 0)
            return pointer;
        pointer += *length;
    }
    *length = 0;
    return NULL;
}

static bool token_is(const char *pointer, size_t n, const char *word)
{
    size_t length;
    const char *token = token_at(pointer, n, &length);
    return token && length == strlen(word) && strncmp(token, word, length) == 0;
}

static bool token_among(const char *pointer, size_t n, const char *const *words)
{
    for (; *words; words++)
        if (token_is(pointer, n, *words))
            return true;
    return false;
}

/* Does the second token name this item? */
static bool names_item(const PoiseSweep *s, const char *pointer, const PoiseItem *item)
{
    size_t length;
    const char *token = token_at(pointer, 1, &length);
    const cJSON *items = cJSON_GetObjectItemCaseSensitive(s->tree, "items");
    const cJSON *named = token ? poise_pointer_step(items, token, length) : NULL;
    return named && strcmp(named->string, item->id) == 0;
}

static PoiseSweepAspect aspect_of_printed(const char *pointer)
{
    static const char *const mesh[] = {"mesh", "mesh_unit", NULL};
    static const char *const slicing[] = {"layer", "line", "top", "bottom", "up", NULL};
    static const char *const numbers[] = {"infill", "perimeters", "flow", "waste", "support", NULL};
    if (token_is(pointer, 2, "material"))
        return POISE_TOUCH_MATERIAL;
    if (token_among(pointer, 2, mesh))
        return POISE_TOUCH_SLICING;
    if (!token_is(pointer, 2, "print"))
        return POISE_TOUCH_WHOLE;
    if (token_among(pointer, 3, slicing))
        return POISE_TOUCH_SLICING;
    return token_among(pointer, 3, numbers) ? POISE_TOUCH_DIRECT : POISE_TOUCH_WHOLE;
}

static PoiseSweepAspect aspect_of_own(const char *pointer, const PoiseItem *item)
{
    static const char *const place[] = {"at", "turn", NULL};
    size_t length;
    bool scaled = item->kind == POISE_ITEM_NECK || item->kind == POISE_ITEM_STRINGS;
    if (!token_at(pointer, 2, &length) || token_is(pointer, 2, "kind"))
        return POISE_TOUCH_WHOLE;
    if (token_is(pointer, 2, "note"))
        return POISE_TOUCH_NOTHING;
    if (token_is(pointer, 2, "price")) /* a part has one of its own, which another may replace */
        return item->kind == POISE_ITEM_PART ? POISE_TOUCH_PIECE : POISE_TOUCH_DIRECT;
    if (token_is(pointer, 2, "count") || (!scaled && token_among(pointer, 2, place)))
        return POISE_TOUCH_DIRECT;
    if (item->kind != POISE_ITEM_PRINTED)
        return POISE_TOUCH_PIECE;
    return poise_item_is_split(item) ? aspect_of_printed(pointer) : POISE_TOUCH_WHOLE;
}

static bool is_own(const PoiseInstrument *in, const PoiseMaterial *material)
{
    for (size_t i = 0; material && i < in->material_count; i++)
        if (in->materials[i] == material)
            return true;
    return false;
}

static bool uses_own_material(const PoiseInstrument *in, const PoiseItem *item)
{
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        return is_own(in, item->as.printed.material);
    case POISE_ITEM_POURED:
        return is_own(in, item->as.poured.material);
    case POISE_ITEM_SOLID:
        return is_own(in, item->as.solid.material);
    case POISE_ITEM_NECK:
        return is_own(in, item->as.neck.shaft) || is_own(in, item->as.neck.board);
    case POISE_ITEM_STRINGS:
        return is_own(in, item->as.strings.material) || is_own(in, item->as.strings.wrap);
    case POISE_ITEM_PART:
        return is_own(in, item->part->material);
    case POISE_ITEM_MASS:
        break;
    }
    return false;
}

/* A material of the file's own bears on what is made of such a one, and on what another axis may
 * make of it. */
static PoiseSweepAspect aspect_of_material(const PoiseSweep *s, size_t number)
{
    const PoiseItem *item = &s->base->items[number];
    bool touched = uses_own_material(s->base, item);
    for (size_t a = 0; a < s->axis_count && !touched; a++) {
        const char *pointer = s->axes[a].pointer;
        if (token_is(pointer, 0, "items") && names_item(s, pointer, item)) {
            PoiseSweepAspect aspect = aspect_of_own(pointer, item);
            touched = aspect == POISE_TOUCH_MATERIAL || aspect == POISE_TOUCH_PIECE ||
                      aspect == POISE_TOUCH_WHOLE;
        }
    }
    if (!touched)
        return POISE_TOUCH_NOTHING;
    return poise_item_is_split(item) ? POISE_TOUCH_MATERIAL : POISE_TOUCH_PIECE;
}

PoiseSweepAspect poise_sweep_touches_item(const PoiseSweep *s, size_t axis, size_t number)
{
    static const char *const scale[] = {"scale", "frame", NULL};
    const char *pointer = s->axes[axis].pointer;
    const PoiseItem *item = &s->base->items[number];
    if (token_is(pointer, 0, "items"))
        return names_item(s, pointer, item) ? aspect_of_own(pointer, item) : POISE_TOUCH_NOTHING;
    if (token_is(pointer, 0, "measured"))
        return names_item(s, pointer, item) ? POISE_TOUCH_WHOLE : POISE_TOUCH_NOTHING;
    if (token_is(pointer, 0, "materials"))
        return aspect_of_material(s, number);
    if (token_is(pointer, 0, "profile"))
        return POISE_TOUCH_WHOLE;
    if (token_is(pointer, 0, "printer") && item->kind == POISE_ITEM_PRINTED)
        return poise_item_is_split(item) ? POISE_TOUCH_DIRECT : POISE_TOUCH_PIECE;
    return token_among(pointer, 0, scale) ? POISE_TOUCH_PIECE : POISE_TOUCH_NOTHING;
}

PoiseSweepAspect poise_sweep_touches_stance(const PoiseSweep *s, size_t axis)
{
    static const char *const direct[] = {"posts", "strap", "seat", NULL};
    static const char *const derived[] = {"scale", "frame", "stance", NULL};
    const char *pointer = s->axes[axis].pointer;
    if (token_among(pointer, 0, direct) ||
        (token_is(pointer, 0, "stance") && token_is(pointer, 1, "neck_angle")))
        return POISE_TOUCH_DIRECT;
    return token_among(pointer, 0, derived) ? POISE_TOUCH_PIECE : POISE_TOUCH_NOTHING;
}

bool poise_sweep_meet(const PoiseSweep *s, const PoiseSweepSpan *span, size_t item)
{
    size_t of[POISE_TOUCH_WHOLE + 1] = {0};
    if (span->count < 2)
        return false;
    for (size_t k = 0; k < span->count; k++) {
        size_t axis = span->axes[k];
        of[item == SIZE_MAX ? poise_sweep_touches_stance(s, axis)
                            : poise_sweep_touches_item(s, axis, item)]++;
    }
    return of[POISE_TOUCH_MATERIAL] > 1 || of[POISE_TOUCH_SLICING] > 1 ||
           of[POISE_TOUCH_PIECE] > 1 || of[POISE_TOUCH_WHOLE] > 0;
}

/* A usage fault: no such id among the members of an object. */
static PoiseStatus unknown_id(const char *pointer, const char *what, const cJSON *map,
                              const char *token, size_t length, PoiseFaults *faults)
{
    size_t n = 0;
    for (const cJSON *c = map ? map->child : NULL; c; c = c->next)
        n++;
    const char **names = poise_alloc_zero(n, sizeof *names);
    char *word = poise_copy_text_n(token, length);
    char *found = word ? poise_format("no %s \"%s\" in the file", what, word) : NULL;
    n = 0;
    for (const cJSON *c = map && names ? map->child : NULL; c; c = c->next)
        names[n++] = c->string;
    PoiseNear near = {0};
    if (names && word)
        near = poise_near_names(word, names, n);
    char *hint;
    bool hinted = poise_near_hint(&near, &hint);
    PoiseStatus status = POISE_E_MEMORY;
    if (names && found && hinted)
        status = poise_vary_refuse(pointer, found, "a pointer into the file", hint, faults);
    poise_release(names);
    poise_release(word);
    poise_release(found);
    poise_release(hint);
    return status;
}

/* Is one the other's beginning, up to a "/" or the end? */
static bool overlap(const char *a, const char *b)
{
    size_t m = strlen(a), n = strlen(b), shorter = m < n ? m : n;
    const char *longer = m < n ? b : a;
    return strncmp(a, b, shorter) == 0 && (longer[shorter] == '\0' || longer[shorter] == '/');
}

static bool bears_on_nothing(const PoiseSweep *s, size_t axis)
{
    if (poise_sweep_touches_stance(s, axis))
        return false;
    for (size_t i = 0; i < s->base->item_count; i++)
        if (poise_sweep_touches_item(s, axis, i))
            return false;
    return true;
}

static PoiseStatus unknown_key(const char *pointer, PoiseFaults *faults)
{
    const char *names[POISE_MOST_KEYS];
    size_t length, n = poise_key_names(&poise_instrument_keys, NULL, names);
    const char *token = token_at(pointer, 0, &length);
    char *word = poise_copy_text_n(token, length);
    const char *near = word ? poise_nearest(word, names, n) : NULL;
    char *hint = near ? poise_format("did you mean \"/%s\"?", near) : NULL;
    PoiseStatus status = POISE_E_MEMORY;
    if (word && (hint || !near))
        status = poise_vary_refuse(pointer, "no such key in an instrument file",
                                   "a pointer into the file", hint, faults);
    poise_release(word);
    poise_release(hint);
    return status;
}

/* Does the pointer name one of these keys of the item's own? */
static bool names_own(const PoiseSweep *s, const char *pointer, const PoiseItem *item,
                      const char *const *keys)
{
    return token_is(pointer, 0, "items") && names_item(s, pointer, item) &&
           token_among(pointer, 2, keys);
}

/* The item's id when the axis sets what its toolpath has settled, and no axis sets another toolpath
 * or kind of item; else NULL. */
static const char *settled_by_toolpath(const PoiseSweep *s, size_t axis)
{
    static const char *const print[] = {"print", NULL}, *const other[] = {"toolpath", "kind", NULL};
    const char *pointer = s->axes[axis].pointer;
    for (size_t i = 0; i < s->base->item_count; i++) {
        const PoiseItem *item = &s->base->items[i];
        if (item->kind != POISE_ITEM_PRINTED || poise_item_is_split(item) ||
            !names_own(s, pointer, item, print) || !token_among(pointer, 3, POISE_TOOLPATH_SETTLED))
            continue;
        for (size_t a = 0; a < s->axis_count; a++)
            if (names_own(s, s->axes[a].pointer, item, other))
                return NULL;
        return item->id;
    }
    return NULL;
}

static PoiseStatus refuse_settled(const char *pointer, const char *id, PoiseFaults *faults)
{
    char *found = poise_format("a print setting that the toolpath of \"%s\" has settled", id);
    PoiseStatus status = found ? poise_vary_refuse(pointer, found,
                                                   "a pointer to a value that weight or balance "
                                                   "depends on",
                                                   "without its \"toolpath\" the item follows the "
                                                   "print settings",
                                                   faults)
                               : poise_fault_memory(faults);
    poise_release(found);
    return status;
}

PoiseStatus poise_sweep_check_pointer(const PoiseSweep *s, size_t axis, PoiseFaults *faults)
{
    static const struct {
        const char *map, *members, *what;
    } ids[] = {{"items", "items", "item"},
               {"measured", "items", "item"},
               {"materials", "materials", "material of its own"}};
    const char *pointer = s->axes[axis].pointer;
    size_t length, first;
    const char *id = token_at(pointer, 1, &length), *key = token_at(pointer, 0, &first);
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
        if (!token_is(pointer, 0, ids[i].map))
            continue;
        const cJSON *map = cJSON_GetObjectItemCaseSensitive(s->tree, ids[i].members);
        if (!id)
            return poise_vary_refuse(pointer, "all items or materials at once",
                                     "a pointer to one value", NULL, faults);
        if (!poise_pointer_step(map, id, length))
            return unknown_id(pointer, ids[i].what, map, id, length, faults);
    }
    char *word = poise_copy_text_n(key, first);
    if (!word)
        return poise_fault_memory(faults);
    bool known = poise_key_find(&poise_instrument_keys, NULL, word) != NULL;
    poise_release(word);
    if (!known)
        return unknown_key(pointer, faults);
    if (token_is(pointer, 0, "target")) /* rows that differ in nothing but the verdict on them */
        return poise_vary_refuse(pointer, "a target, which changes neither weight nor balance",
                                 "a pointer to a value that they depend on", NULL, faults);
    const char *laid = settled_by_toolpath(s, axis);
    if (laid)
        return refuse_settled(pointer, laid, faults);
    if (bears_on_nothing(s, axis))
        return poise_vary_refuse(pointer, "a value that neither weight nor balance depends on",
                                 "a pointer to one that they do", NULL, faults);
    for (size_t b = 0; b < axis; b++)
        if (overlap(s->axes[b].pointer, pointer))
            return poise_vary_refuse(pointer, "a value that another --vary sets too",
                                     "each value varied once", NULL, faults);
    return POISE_OK;
}
