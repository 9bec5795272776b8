#include "input/reader.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/vec.h"
#include "input/item_read.h"
#include "input/material_read.h"
#include "input/observed_read.h"
#include "input/place_read.h"
#include "input/profile.h"
#include "input/variant.h"
#include "model/place.h"

/* The members of a map, or a fault and NULL. *n gets their number. */
static const cJSON *map_members(PoiseReading *r, const cJSON *map, size_t *n)
{
    char found[POISE_FOUND_SIZE];
    *n = 0;
    if (!cJSON_IsObject(map)) {
        poise_reading_fault(r, false, poise_found(map, found), "an object in braces", NULL);
        return NULL;
    }
    for (const cJSON *child = map->child; child; child = child->next)
        ++*n;
    return map->child;
}

static bool empty_id(PoiseReading *r, const char *id)
{
    if (*id)
        return false;
    size_t up = poise_reading_down(r, id);
    poise_reading_fault(r, true, "an empty id", "an id", NULL);
    poise_reading_up(r, up);
    return true;
}

static void read_materials(PoiseReading *r, const cJSON *root, PoiseInstrument *in)
{
    const cJSON *map = poise_member(root, "materials");
    if (!map)
        return;
    size_t n, up = poise_reading_down(r, "materials");
    const cJSON *child = map_members(r, map, &n);
    in->materials = n ? poise_alloc_zero(n, sizeof *in->materials) : NULL;
    if (n && !in->materials)
        poise_reading_memory(r);
    for (; child && in->materials; child = child->next) {
        if (empty_id(r, child->string))
            continue;
        size_t out = poise_reading_down(r, child->string);
        PoiseMaterial *material = poise_read_material(r, child, child->string, true);
        if (material)
            in->materials[in->material_count++] = material;
        poise_reading_up(r, out);
    }
    r->own = in->materials;
    r->own_count = in->material_count;
    poise_reading_up(r, up);
}

static void read_items(PoiseReading *r, const cJSON *root, const PoisePresets *presets,
                       PoiseInstrument *in)
{
    const cJSON *map = poise_member(root, "items");
    if (!map)
        return;
    size_t n, up = poise_reading_down(r, "items");
    const cJSON *child = map_members(r, map, &n);
    if (cJSON_IsObject(map) && (n == 0 || n > POISE_LIMIT_ITEMS)) {
        poise_reading_say(r, "from 1 to 1000 items", NULL, "%zu items", n);
        n = 0;
    }
    in->items = n ? poise_alloc_zero(n, sizeof *in->items) : NULL;
    if (n && !in->items)
        poise_reading_memory(r);
    for (; child && in->items; child = child->next) {
        if (empty_id(r, child->string))
            continue;
        PoiseItem *item = &in->items[in->item_count];
        item->id = poise_copy_text(child->string);
        if (!item->id) {
            poise_reading_memory(r);
            break;
        }
        in->item_count++;
        size_t out = poise_reading_down(r, child->string);
        poise_read_item(r, child, in, presets, item);
        for (size_t i = 0; i < r->layer_count && !item->line; i++) {
            char *pointer = poise_format("%s%s", r->layers[i].prefix, r->pointer.data);
            if (pointer)
                poise_document_place(r->layers[i].document, pointer, false, &item->line,
                                     &item->column);
            poise_release(pointer);
        }
        poise_reading_up(r, out);
    }
    poise_reading_up(r, up);
}

static void unknown_item(PoiseReading *r, const PoiseInstrument *in, const char *id)
{
    const char **ids = poise_alloc_zero(in->item_count, sizeof *ids);
    if (!ids) {
        poise_reading_memory(r);
        return;
    }
    for (size_t i = 0; in->items && i < in->item_count; i++)
        ids[i] = in->items[i].id;
    poise_reading_unknown(r, "the unknown item", id, ids, in->item_count);
    poise_release(ids);
}

/* Of two readings of one neck neither may win unsaid. */
static void refuse_weighed_twice(PoiseReading *r, const PoiseItem *item, PoiseQuantity mass)
{
    if (item->kind == POISE_ITEM_NECK && item->as.neck.has_measured)
        poise_reading_say(r, "one mass: here, or under the neck's \"weighed\"", NULL,
                          "%.6g g for a neck that has %.6g g under \"weighed\"", mass.value,
                          item->as.neck.measured_g.value);
}

/* `base` is the file without the variant: a variant may leave out an item that was weighed. */
static void read_measured(PoiseReading *r, const cJSON *root, const cJSON *base,
                          PoiseInstrument *in)
{
    const cJSON *map = poise_member(root, "measured"), *known = poise_member(base, "items");
    const PoiseKey *key = poise_key_find(&poise_instrument_keys, NULL, "measured");
    if (!map)
        return;
    size_t n, up = poise_reading_down(r, "measured");
    for (const cJSON *child = map_members(r, map, &n); child; child = child->next) {
        size_t out = poise_reading_down(r, child->string);
        PoiseItem *item = (PoiseItem *)poise_instrument_item(in, child->string);
        PoiseQuantity mass;
        bool before = r->rounded, good = poise_read_quantity(r, child, key, &mass);
        r->rounded = item ? r->rounded : before;
        if (item && good) {
            refuse_weighed_twice(r, item, mass);
            item->has_measured = true;
            item->measured_g = mass;
        } else if (!item && !poise_member(known, child->string)) {
            unknown_item(r, in, child->string);
        }
        poise_reading_up(r, out);
    }
    poise_reading_up(r, up);
}

static void read_variants(PoiseReading *r, const cJSON *root, PoiseInstrument *in)
{
    const cJSON *map = poise_member(root, "variants");
    if (!map)
        return;
    size_t n, up = poise_reading_down(r, "variants");
    const cJSON *child = map_members(r, map, &n);
    if (n > POISE_LIMIT_VARIANTS) {
        poise_reading_say(r, "at most 200 variants", NULL, "%zu variants", n);
        n = 0;
    }
    in->variants = n ? poise_alloc_zero(n, sizeof *in->variants) : NULL;
    if (n && !in->variants)
        poise_reading_memory(r);
    for (; child && in->variants; child = child->next) {
        char found[POISE_FOUND_SIZE];
        size_t out = poise_reading_down(r, child->string);
        if (!cJSON_IsObject(child))
            poise_reading_fault(r, false, poise_found(child, found),
                                "an object with what the variant changes", NULL);
        poise_reading_up(r, out);
        in->variants[in->variant_count] = poise_copy_text(child->string);
        if (!in->variants[in->variant_count])
            poise_reading_memory(r);
        else
            in->variant_count++;
    }
    poise_reading_up(r, up);
}

/* The file's name without directory and ".json". */
static char *name_of_file(const char *file)
{
    const char *slash = strrchr(file, '/'), *name = slash ? slash + 1 : file;
    size_t n = strlen(name);
    if (n > 5 && strcmp(name + n - 5, ".json") == 0)
        n -= 5;
    return poise_copy_text_n(name, n);
}

/* Where the values stand that can still be found wrong together. */
static void keep_places(PoiseReading *r, PoiseInstrument *in)
{
    for (size_t k = 0; k < POISE_KEPT_PLACE_COUNT; k++) {
        PoisePlace *place = &in->places[k];
        for (size_t i = 0; i < r->layer_count && !place->line; i++) {
            char *pointer = poise_format("%s%s", r->layers[i].prefix, POISE_KEPT_PLACES[k]);
            if (!pointer)
                poise_reading_memory(r);
            else if (poise_document_place(r->layers[i].document, pointer, false, &place->line,
                                          &place->column))
                place->pointer = pointer;
            if (!place->pointer)
                poise_release(pointer);
        }
    }
}

static void read_hand(PoiseReading *r, const cJSON *root, PoiseInstrument *in)
{
    size_t up = poise_reading_down(r, "stance"), out = poise_reading_down(r, "hand");
    poise_read_hand(r, poise_member(poise_member(root, "stance"), "hand"), in);
    poise_reading_up(r, out);
    poise_reading_up(r, up);
}

static void read_root(PoiseReading *r, const cJSON *root, const cJSON *base,
                      const PoisePresets *presets, PoiseInstrument *in)
{
    if (!poise_read_object(r, root, &poise_instrument_keys, in, NULL))
        return;
    /* A name of nothing but spaces would print an empty title. */
    if (in->name && in->name[strspn(in->name, " \t\r\n")] == '\0') {
        poise_release(in->name);
        in->name = NULL;
    }
    if (!in->name && !(in->name = name_of_file(in->file)))
        poise_reading_memory(r);
    poise_settle_frame(r, &in->frame);
    poise_settle_scale(r, in);
    read_hand(r, root, in);
    double strings[3];
    for (int i = 0; i < 3; i++)
        strings[i] = in->nut_mm[i] - in->saddle_mm[i];
    r->long_scale = in->has_scale && poise_length(strings) > POISE_LONG_SCALE_MM;
    read_materials(r, root, in);
    poise_read_profile(r, in);
    poise_read_observed(r, root, in);
    read_items(r, root, presets, in);
    read_measured(r, root, base, in);
    in->has_rounded_readings = r->rounded;
    read_variants(r, root, in);
    keep_places(r, in);
}

static PoiseInstrument *blank(const PoiseDocument *document, const char *variant, const char *dir)
{
    PoiseInstrument *in = poise_alloc_zero(1, sizeof *in);
    if (!in)
        return NULL;
    in->file = poise_copy_text(document->file);
    in->dir = poise_copy_text(dir);
    in->variant = poise_copy_text(variant);
    if (in->file && in->dir && (in->variant || !variant))
        return in;
    poise_instrument_free(in);
    return NULL;
}

/* Marks the items whose reading the merge took away, not the variant's own words. */
static void mark_aside(const cJSON *base, const cJSON *patch, const cJSON *merged,
                       PoiseInstrument *in)
{
    const cJSON *before = poise_member(base, "measured"), *after = poise_member(merged, "measured");
    const cJSON *own = poise_member(patch, "measured");
    for (size_t i = 0; in->items && i < in->item_count; i++) {
        PoiseItem *item = &in->items[i];
        item->measured_aside = item->id && poise_member(before, item->id) &&
                               !poise_member(after, item->id) && !poise_member(own, item->id);
    }
}

/* Merges (when there is a variant) and reads. `merged` is scratch for the caller to free. */
static PoiseStatus fill(PoiseReading *r, const cJSON *base, const cJSON *patch,
                        const PoiseShelf *shelf, PoiseInstrument *in, cJSON **merged)
{
    const cJSON *root = base;
    *merged = NULL;
    if (patch) {
        *merged = poise_merge_variant(r, base, patch);
        if (!*merged)
            return r->status;
        root = *merged;
    }
    read_root(r, root, base, shelf ? &shelf->presets : NULL, in);
    if (patch)
        mark_aside(base, patch, root, in);
    if (r->pointer.failed)
        poise_reading_memory(r);
    return r->status;
}

PoiseStatus poise_instrument_from_document(const PoiseDocument *document, const cJSON *tree,
                                           const char *variant, const char *dir,
                                           const PoiseShelf *shelf, PoiseInstrument **instrument,
                                           PoiseFaults *faults)
{
    const cJSON *base = tree ? tree : document->root;
    const cJSON *patch = variant ? poise_member(poise_member(base, "variants"), variant) : NULL;
    *instrument = NULL;
    if (variant && !patch)
        return poise_no_variant(document, base, variant, faults);
    PoiseText prefix = {0};
    poise_text_append(&prefix, "/variants");
    poise_pointer_push(&prefix, variant ? variant : "");
    PoiseInstrument *in = blank(document, variant, dir);
    if (!in || prefix.failed) {
        poise_instrument_free(in);
        poise_text_clear(&prefix);
        return poise_fault_memory(faults);
    }
    PoiseLayer layers[2] = {{document, prefix.data}, {document, ""}};
    PoiseReading r = {.layers = variant ? layers : layers + 1,
                      .layer_count = variant ? 2 : 1,
                      .faults = faults,
                      .dir = dir,
                      .library = shelf ? shelf->library : NULL};
    cJSON *merged;
    PoiseStatus status = fill(&r, base, patch, shelf, in, &merged);
    cJSON_Delete(merged);
    poise_text_clear(&r.pointer);
    poise_text_clear(&prefix);
    in->library = shelf ? shelf->library : NULL;
    in->library_borrowed = true;
    if (!status && shelf) {
        *instrument = in;
        return POISE_OK;
    }
    poise_instrument_free(in);
    return status ? status : POISE_E_INPUT;
}

PoiseStatus poise_shelf_read(const char *components, PoiseShelf *shelf, PoiseFaults *faults)
{
    *shelf = (PoiseShelf){0};
    if (components)
        return poise_library_read(components, &shelf->library, &shelf->presets, faults);
    char *dir = poise_components_dir();
    if (!dir)
        return poise_fault_say(
            faults, POISE_E_IO, NULL,
            "no component library beside the program or installed; set POISE_COMPONENTS to "
            "its directory");
    PoiseStatus status = poise_library_read(dir, &shelf->library, &shelf->presets, faults);
    poise_release(dir);
    return status;
}

void poise_shelf_clear(PoiseShelf *shelf)
{
    poise_library_free(shelf->library);
    poise_presets_clear(&shelf->presets);
    *shelf = (PoiseShelf){0};
}
