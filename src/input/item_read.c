#include "input/item_read.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

static bool has(const cJSON *object, const char *name)
{
    return poise_member(object, name) != NULL;
}

/* A member that has no business beside another. */
static void refuse_beside(PoiseReading *r, const cJSON *object, const char *name,
                          const char *beside)
{
    if (!has(object, name))
        return;
    size_t up = poise_reading_down(r, name);
    char *found = poise_format("\"%s\" beside \"%s\"", name, beside);
    if (found)
        poise_reading_fault(r, true, found, "one or the other", NULL);
    else
        poise_reading_memory(r);
    poise_release(found);
    poise_reading_up(r, up);
}

static void require(PoiseReading *r, const cJSON *object, const char *name, const char *expected,
                    const char *hint)
{
    if (!has(object, name))
        poise_reading_missing(r, name, expected, hint);
}

/* A material that comes from a default must be in the library too. */
static void require_material(PoiseReading *r, const cJSON *object, const char *name,
                             const PoiseMaterial *material)
{
    if (!material && r->library && !has(object, name))
        poise_reading_missing(r, name, "the id of a material",
                              "the component library lacks the usual one");
}

static void finish_printed(PoiseReading *r, const cJSON *object, const PoiseInstrument *instrument,
                           PoisePrinted *printed)
{
    static const char *const of_toolpaths[] = {"toolpath_at", "toolpath_turn",
                                               "toolpath_skip_below"};
    if (!has(object, "mesh") && !has(object, "toolpath"))
        poise_reading_missing(r, "mesh", "a mesh file, or a toolpath", NULL);
    else if (has(object, "mesh_unit"))
        require(r, object, "mesh", "the mesh whose unit is given", NULL);
    for (size_t i = 0; i < sizeof of_toolpaths / sizeof *of_toolpaths; i++)
        if (has(object, of_toolpaths[i]) && !has(object, "toolpath")) {
            require(r, object, "toolpath", "the toolpath that is placed", NULL);
            break;
        }
    printed->learned_flow = instrument->learned_flow;
}

static void finish_poured(PoiseReading *r, const cJSON *object)
{
    if (has(object, "mesh")) {
        refuse_beside(r, object, "volume", "mesh");
        refuse_beside(r, object, "depth", "mesh");
    } else {
        if (!has(object, "volume"))
            poise_reading_missing(r, "mesh", "a mesh file, or the volume of the pour", NULL);
        if (has(object, "mesh_unit"))
            require(r, object, "mesh", "the mesh whose unit is given", NULL);
    }
}

static void read_cuts(PoiseReading *r, const cJSON *list, PoiseSolid *solid)
{
    char found[POISE_FOUND_SIZE];
    if (!cJSON_IsArray(list)) {
        poise_reading_fault(r, false, poise_found(list, found), "a list of cuts", NULL);
        return;
    }
    size_t n = (size_t)cJSON_GetArraySize(list), i = 0;
    solid->cuts = poise_alloc_zero(n, sizeof *solid->cuts);
    if (!solid->cuts) {
        poise_reading_memory(r);
        return;
    }
    solid->cut_count = n;
    for (const cJSON *cut = list->child; cut; cut = cut->next, i++) {
        size_t up = poise_reading_down_index(r, i);
        if (poise_read_object(r, cut, &poise_cut_keys, &solid->cuts[i], NULL)) {
            if (has(cut, "outline")) {
                refuse_beside(r, cut, "at", "outline");
                refuse_beside(r, cut, "diameter", "outline");
            } else if (has(cut, "at") || has(cut, "diameter")) {
                require(r, cut, "at", "the centre of the hole, [x, y]", NULL);
                require(r, cut, "diameter", poise_unit_kind_example(POISE_UNIT_LENGTH), NULL);
            } else {
                poise_reading_missing(r, "outline",
                                      "an outline, or at and diameter of a round hole", NULL);
            }
        }
        poise_reading_up(r, up);
    }
}

static void finish_solid(PoiseReading *r, const cJSON *object, PoiseSolid *solid)
{
    static const char *const of_slabs[] = {"outline", "thickness", "top", "cut"};
    if (has(object, "mesh")) {
        for (size_t i = 0; i < sizeof of_slabs / sizeof *of_slabs; i++)
            refuse_beside(r, object, of_slabs[i], "mesh");
        return;
    }
    if (!has(object, "outline") && !has(object, "thickness")) {
        poise_reading_missing(r, "mesh", "a mesh file, or outline and thickness of a slab", NULL);
    } else {
        require(r, object, "outline", "a list of 3 to 20000 points [x, y]", NULL);
        require(r, object, "thickness", poise_unit_kind_example(POISE_UNIT_LENGTH), NULL);
    }
    const cJSON *cuts = poise_member(object, "cut");
    if (cuts) {
        size_t up = poise_reading_down(r, "cut");
        read_cuts(r, cuts, solid);
        poise_reading_up(r, up);
    }
}

static void require_scale(PoiseReading *r, const PoiseInstrument *instrument, const char *what)
{
    if (!instrument->has_scale)
        poise_reading_say(r, "a file with \"scale\": its nut and saddle", NULL,
                          "%s in a file without a scale", what);
}

/* A whole number that is there and above 0. */
static int count_of(const cJSON *number)
{
    return number && cJSON_IsNumber(number) && number->valueint > 0 ? number->valueint : 0;
}

/* Frets unless the file tells: the usual number for the scale. */
static int usual_frets(const PoiseReading *r)
{
    const PoiseKey *key =
        poise_key_find(&poise_item_keys, poise_item_keys.cases[POISE_ITEM_NECK].table, "frets");
    return atoi(r->long_scale ? key->long_fallback : key->fallback);
}

/* The neck's own number wins, then a scale without frets, its preset's number, the scale's. A
 * fretless neck is as long as it would be with the first of these that is not 0: a fretless one is
 * bought or made to the same length, and 0 frets say nothing of it. `own` is the item as the file
 * has it, `preset` what it starts from, or NULL. */
static void settle_frets(const PoiseReading *r, const cJSON *own, const cJSON *preset,
                         const PoiseInstrument *instrument, PoiseNeck *neck)
{
    const cJSON *said = poise_member(own, "frets");
    const cJSON *usual = cJSON_IsNull(said) ? NULL : poise_member(preset, "frets");
    bool silent = !said || cJSON_IsNull(said);
    if (silent && instrument->has_frets && instrument->frets == 0)
        neck->frets = 0;
    else if (silent && !usual && instrument->frets > 0)
        neck->frets = instrument->frets;
    if (neck->frets > 0)
        return;
    neck->length_as_frets = count_of(usual);
    if (!neck->length_as_frets)
        neck->length_as_frets = instrument->frets > 0 ? instrument->frets : usual_frets(r);
}

static void finish_neck(PoiseReading *r, const cJSON *object, const cJSON *own, const cJSON *preset,
                        const PoiseInstrument *instrument, PoiseNeck *neck)
{
    require_scale(r, instrument, "a neck");
    require(r, object, "shaft", "the wood of the shaft, or a preset that names it", NULL);
    if (neck->board_mm > 0.0)
        require(r, object, "board", "the wood of the fingerboard, or a board_thickness of 0", NULL);
    settle_frets(r, own, preset, instrument, neck);
}

/* "1.14 mm wound": the text without its last word. */
static bool wound_gauge(const char *text, char gauge[64])
{
    size_t n = strlen(text), word = strlen(" wound");
    if (n <= word || n >= 64 || strcmp(text + n - word, " wound") != 0)
        return false;
    memcpy(gauge, text, n - word);
    gauge[n - word] = '\0';
    return true;
}

static void read_gauge(PoiseReading *r, const cJSON *value, PoiseString *string)
{
    if (cJSON_IsObject(value)) {
        poise_read_object(r, value, &poise_gauge_keys, string, NULL);
        return;
    }
    const PoiseKey *key = poise_key_find(&poise_gauge_keys, NULL, "gauge");
    char gauge[64], found[POISE_FOUND_SIZE], why[POISE_WHY];
    *string = (PoiseString){.unit_mass_g_per_m = NAN};
    if (cJSON_IsString(value) && wound_gauge(value->valuestring, gauge)) {
        PoiseQuantity q;
        string->wound = true;
        if (!poise_quantity_parse(gauge, POISE_UNIT_LENGTH, &q, why)) {
            poise_reading_fault(r, false, poise_found(value, found),
                                "a gauge such as \"1.14 mm wound\"", why);
            return;
        }
        cJSON plain = {.type = cJSON_String, .valuestring = gauge};
        poise_read_quantity(r, &plain, key, &string->gauge_mm);
        return;
    }
    poise_read_quantity(r, value, key, &string->gauge_mm);
}

void poise_read_gauges(PoiseReading *r, const cJSON *object, PoiseStrings *strings)
{
    enum { MOST_STRINGS = 60 };
    char found[POISE_FOUND_SIZE];
    const cJSON *list = poise_member(object, "gauges");
    if (!list)
        return;
    size_t up = poise_reading_down(r, "gauges"), i = 0;
    int n = cJSON_IsArray(list) ? cJSON_GetArraySize(list) : 0;
    if (n < 1 || n > MOST_STRINGS) {
        poise_reading_fault(r, false, poise_found(list, found), "a list of 1 to 60 gauges", NULL);
    } else if (!(strings->strings = poise_alloc_zero((size_t)n, sizeof *strings->strings))) {
        poise_reading_memory(r);
    } else {
        strings->count = (size_t)n;
        for (const cJSON *gauge = list->child; gauge; gauge = gauge->next, i++) {
            size_t out = poise_reading_down_index(r, i);
            read_gauge(r, gauge, &strings->strings[i]);
            poise_reading_up(r, out);
        }
    }
    poise_reading_up(r, up);
}

static void finish_strings(PoiseReading *r, const cJSON *object, const PoiseInstrument *instrument,
                           PoiseStrings *strings)
{
    bool plain = false, wound = false;
    require_scale(r, instrument, "strings");
    require(r, object, "gauges", "a list of gauges, or a preset", NULL);
    poise_read_gauges(r, object, strings);
    for (size_t i = 0; i < strings->count; i++) {
        bool computed = isnan(strings->strings[i].unit_mass_g_per_m);
        plain = plain || computed;
        wound = wound || (computed && strings->strings[i].wound);
    }
    if (plain)
        require_material(r, object, "material", strings->material);
    if (wound)
        require_material(r, object, "wrap", strings->wrap);
}

/* Ballast put on in equal pieces may add up to the most by a rounding error more. */
static const double ROOM_TOLERANCE = 1e-9; /* of the most */

/* More ballast than the place is said to take: one of the two numbers is wrong. */
static void check_room(PoiseReading *r, const cJSON *object, const PoiseMass *mass)
{
    const cJSON *value = poise_member(object, "mass");
    const cJSON *most = poise_member(poise_member(object, "ballast"), "max");
    if (!mass->ballast || !value || !most ||
        !(mass->mass_g.value > mass->ballast_max_g * (1.0 + ROOM_TOLERANCE)))
        return;
    char found[POISE_FOUND_SIZE], number[32];
    poise_double_text(mass->ballast_max_g, number);
    char *expected = poise_format("at most %s g, the \"max\" of its \"ballast\"", number);
    size_t up = poise_reading_down(r, "mass");
    if (expected)
        poise_reading_fault(r, false, poise_found(value, found), expected, NULL);
    else
        poise_reading_memory(r);
    poise_reading_up(r, up);
    poise_release(expected);
}

static void finish_mass(PoiseReading *r, const cJSON *object, PoiseMass *mass)
{
    bool box = has(object, "box"), cylinder = has(object, "cylinder");
    if (box && cylinder)
        refuse_beside(r, object, "cylinder", "box");
    mass->shape = box ? POISE_SHAPE_BOX : cylinder ? POISE_SHAPE_CYLINDER : POISE_SHAPE_POINT;
    if (mass->shape == POISE_SHAPE_POINT)
        memset(mass->size_mm, 0, sizeof mass->size_mm);
    else if (mass->shape == POISE_SHAPE_CYLINDER)
        mass->size_mm[2] = 0.0;
    check_room(r, object, mass);
}

/* `object` is the item `own` of the file over its preset's values, or itself without one. */
static void finish(PoiseReading *r, const cJSON *object, const cJSON *own, const cJSON *preset,
                   const PoiseInstrument *instrument, PoiseItem *item)
{
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        finish_printed(r, object, instrument, &item->as.printed);
        break;
    case POISE_ITEM_POURED:
        finish_poured(r, object);
        break;
    case POISE_ITEM_SOLID:
        finish_solid(r, object, &item->as.solid);
        break;
    case POISE_ITEM_NECK:
        finish_neck(r, object, own, preset, instrument, &item->as.neck);
        break;
    case POISE_ITEM_STRINGS:
        finish_strings(r, object, instrument, &item->as.strings);
        break;
    case POISE_ITEM_MASS:
        finish_mass(r, object, &item->as.mass);
        break;
    case POISE_ITEM_PART:
        break;
    }
}

static void unknown_preset(PoiseReading *r, const PoisePresets *presets, PoiseItemKind kind,
                           const char *id)
{
    const char **ids = poise_alloc_zero(presets->count, sizeof *ids);
    size_t n = 0;
    if (!ids) {
        poise_reading_memory(r);
        return;
    }
    for (size_t i = 0; i < presets->count; i++)
        if (presets->list[i].kind == kind)
            ids[n++] = presets->list[i].id;
    poise_reading_unknown(r, "the unknown preset", id, ids, n);
    poise_release(ids);
}

/* The item over its preset, key by key (RFC 7396): a new tree, or NULL when there is no (good)
 * preset. *from gets the preset's own values. */
static cJSON *over_preset(PoiseReading *r, const cJSON *value, const PoisePresets *presets,
                          const cJSON **from)
{
    const cJSON *name = poise_member(value, "preset"), *tag = poise_member(value, "kind");
    char found[POISE_FOUND_SIZE];
    *from = NULL;
    if (!name || !cJSON_IsString(tag))
        return NULL;
    bool neck = strcmp(tag->valuestring, "neck") == 0;
    if (!neck && strcmp(tag->valuestring, "strings") != 0)
        return NULL; /* an unknown key there */
    PoiseItemKind kind = neck ? POISE_ITEM_NECK : POISE_ITEM_STRINGS;
    size_t up = poise_reading_down(r, "preset");
    cJSON *merged = NULL;
    const PoisePreset *preset = NULL;
    if (!cJSON_IsString(name))
        poise_reading_fault(r, false, poise_found(name, found), "the id of a preset", NULL);
    else if (presets && !(preset = poise_presets_find(presets, kind, name->valuestring)))
        unknown_preset(r, presets, kind, name->valuestring);
    poise_reading_up(r, up);
    if (preset) {
        *from = preset->value;
        merged = cJSON_Duplicate(preset->value, 1);
        if (!merged || !poise_merge_patch(&merged, value)) {
            cJSON_Delete(merged);
            merged = NULL;
            poise_reading_memory(r);
        }
    }
    return merged;
}

/* With an unknown preset, what it would have brought is not missing too. */
static bool preset_failed(const cJSON *value, const cJSON *merged)
{
    return poise_member(value, "preset") && !merged;
}

void poise_read_item(PoiseReading *r, const cJSON *value, const PoiseInstrument *instrument,
                     const PoisePresets *presets, PoiseItem *item)
{
    const PoiseTable *chosen;
    const cJSON *preset;
    cJSON *merged = over_preset(r, value, presets, &preset);
    const cJSON *object = merged ? merged : value;
    if (poise_read_object(r, object, &poise_item_keys, item, &chosen) && chosen &&
        !preset_failed(value, merged))
        finish(r, object, value, preset, instrument, item);
    cJSON_Delete(merged);
}
