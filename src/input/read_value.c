/* Single values: quantities, numbers, texts, lists of numbers, names. */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/near.h"
#include "base/vec.h"
#include "input/reading.h"
#include "model/instrument.h"

static void *place(void *target, size_t offset)
{
    return (char *)target + offset;
}

static bool wrong(PoiseReading *r, const cJSON *value, const char *expected, const char *hint)
{
    char found[POISE_FOUND_SIZE];
    poise_reading_fault(r, false, poise_found(value, found), expected, hint);
    return false;
}

/* lo or hi of a range in the kept unit, as people read it: a time of 600 s, not of 0.1667 h. */
static void bound_text(const PoiseKey *key, double bound, char out[48])
{
    char number[32];
    const char *unit = key->unit == POISE_UNIT_TIME ? "s" : poise_unit_kind_plain(key->unit);
    poise_double_text(bound, number);
    snprintf(out, 48, "%s%s%s", number, *unit && strcmp(unit, "%") ? " " : "", unit);
}

static bool in_range(PoiseReading *r, const cJSON *value, const PoiseKey *key, double v)
{
    const char *name =
        key->kind == POISE_VALUE_INTEGER ? "whole number" : poise_unit_kind_name(key->unit);
    char expected[160], lo[48], hi[48], hint[96] = "";
    switch (key->range) {
    case POISE_RANGE_ANY:
        return true;
    case POISE_RANGE_POSITIVE:
        if (v > 0.0)
            return true;
        snprintf(expected, sizeof expected, "a %s above 0", name);
        break;
    case POISE_RANGE_NOT_NEGATIVE:
        if (v >= 0.0)
            return true;
        snprintf(expected, sizeof expected, "a %s of 0 or more", name);
        break;
    case POISE_RANGE_FRACTION:
        if (v >= 0.0 && v <= 1.0)
            return true;
        snprintf(expected, sizeof expected, "a fraction from 0 to 1");
        if (cJSON_IsNumber(value) && v > 1.0 && v <= 100.0) {
            char number[32];
            poise_double_text(v, number);
            snprintf(hint, sizeof hint, "did you mean \"%s %%\"?", number);
        }
        break;
    case POISE_RANGE_BETWEEN:
        if (v >= key->lo && v <= key->hi)
            return true;
        bound_text(key, key->lo, lo);
        bound_text(key, key->hi, hi);
        snprintf(expected, sizeof expected, key->lo == key->hi ? "%.0s%s" : "from %s to %s", lo,
                 hi);
        if (cJSON_IsNumber(value) && key->unit == POISE_UNIT_TIME)
            snprintf(hint, sizeof hint, "a plain number is in hours");
        else if (cJSON_IsNumber(value) && key->unit == POISE_UNIT_LENGTH && v > 0.0 && v < key->lo)
            snprintf(hint, sizeof hint, "a plain number is in mm; inches are written \"1 in\"");
        break;
    }
    return wrong(r, value, expected, *hint ? hint : NULL);
}

static bool parse_text(const char *text, const PoiseKey *key, PoiseQuantity *quantity,
                       bool *rounded, char why[POISE_WHY])
{
    return key->is_reading ? poise_quantity_parse_reading(text, key->unit, quantity, rounded, why)
                           : poise_quantity_parse(text, key->unit, quantity, why);
}

bool poise_read_quantity(PoiseReading *r, const cJSON *value, const PoiseKey *key,
                         PoiseQuantity *quantity)
{
    bool rounded = key->is_reading && cJSON_IsNumber(value);
    char why[POISE_WHY];
    if (cJSON_IsNumber(value))
        *quantity = key->is_reading ? poise_quantity_plain_reading(value->valuedouble, key->unit)
                                    : poise_quantity_plain(value->valuedouble, key->unit);
    else if (!cJSON_IsString(value))
        return wrong(r, value, poise_unit_kind_example(key->unit), NULL);
    else if (!parse_text(value->valuestring, key, quantity, &rounded, why))
        return wrong(r, value, poise_unit_kind_example(key->unit), why);
    r->rounded = r->rounded || rounded;
    if (key->unit == POISE_UNIT_LENGTH && fabs(quantity->value) > POISE_LIMIT_COORDINATE_MM)
        return wrong(r, value, "a length of at most 10 m", NULL);
    return in_range(r, value, key, quantity->value);
}

static bool read_plain(PoiseReading *r, const cJSON *value, const PoiseKey *key, double *out)
{
    PoiseQuantity q;
    if (!poise_read_quantity(r, value, key, &q))
        return false;
    if (q.u != 0.0)
        return wrong(r, value, "a value without ±", "poise carries no uncertainty here");
    *out = q.value;
    return true;
}

static bool store_quantity(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    if (key->store == POISE_STORE_DOUBLE) {
        double v;
        if (!read_plain(r, value, key, &v))
            return false;
        *(double *)place(target, key->at) = v;
        return true;
    }
    PoiseQuantity q;
    if (!poise_read_quantity(r, value, key, &q))
        return false;
    if (key->store == POISE_STORE_QUANTITY)
        *(PoiseQuantity *)place(target, key->at) = q;
    return true;
}

static bool read_integer(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    if (!cJSON_IsNumber(value) || value->valuedouble != floor(value->valuedouble) ||
        fabs(value->valuedouble) > INT_MAX)
        return wrong(r, value, "a whole number", NULL);
    PoiseKey plain = *key;
    plain.unit = POISE_UNIT_NUMBER;
    if (!in_range(r, value, &plain, value->valuedouble))
        return false;
    if (key->store == POISE_STORE_INT)
        *(int *)place(target, key->at) = (int)value->valuedouble;
    return true;
}

static bool store_text(PoiseReading *r, char *copy, const PoiseKey *key, void *target)
{
    if (!copy) {
        poise_reading_memory(r);
        return false;
    }
    if (key->store != POISE_STORE_TEXT) {
        poise_release(copy);
        return true;
    }
    char **to = place(target, key->at);
    poise_release(*to);
    *to = copy;
    return true;
}

static bool read_text(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    if (!cJSON_IsString(value))
        return wrong(r, value, "text", NULL);
    if (key->required && !*value->valuestring)
        return wrong(r, value, key->about, "the text is empty");
    return store_text(r, poise_copy_text(value->valuestring), key, target);
}

static bool read_path(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    if (!cJSON_IsString(value) || !*value->valuestring)
        return wrong(r, value, "a file name", NULL);
    return store_text(r, poise_path_join(r->dir ? r->dir : ".", value->valuestring), key, target);
}

static bool read_choice(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    size_t n = 0;
    while (key->choices[n])
        n++;
    if (!cJSON_IsString(value)) {
        char *choices = poise_list_of(key->choices, n);
        if (choices)
            wrong(r, value, choices, key->about);
        else
            poise_reading_memory(r);
        poise_release(choices);
        return false;
    }
    for (size_t i = 0; i < n; i++) {
        if (strcmp(value->valuestring, key->choices[i]) != 0)
            continue;
        if (key->store == POISE_STORE_INT)
            *(int *)place(target, key->at) = (int)i;
        else if (key->store == POISE_STORE_BOOL)
            *(bool *)place(target, key->at) = i != 0;
        else if (key->store == POISE_STORE_TEXT)
            return store_text(r, poise_copy_text(value->valuestring), key, target);
        return true;
    }
    poise_reading_unknown(r, "the unknown word", value->valuestring, key->choices, n);
    return false;
}

static bool read_flag(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    if (!cJSON_IsBool(value))
        return wrong(r, value, "true or false", NULL);
    if (key->store == POISE_STORE_BOOL)
        *(bool *)place(target, key->at) = cJSON_IsTrue(value);
    return true;
}

static bool read_vector(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    int most = key->most ? key->most : 3, n = cJSON_IsArray(value) ? cJSON_GetArraySize(value) : -1,
        i = 0;
    double v[3] = {0.0, 0.0, 0.0};
    bool good = true;
    if (n < key->least || n > most) {
        char expected[64];
        snprintf(expected, sizeof expected, "a list of %s numbers",
                 key->least == most ? (most == 2 ? "2" : "3") : "2 or 3");
        return wrong(r, value, expected, key->about);
    }
    for (const cJSON *element = value->child; element; element = element->next, i++) {
        size_t up = poise_reading_down_index(r, (size_t)i);
        good = read_plain(r, element, key, &v[i]) && good;
        poise_reading_up(r, up);
    }
    if (!good)
        return false;
    if (key->kind == POISE_VALUE_DIRECTION && poise_length(v) == 0.0)
        return wrong(r, value, "a direction, not all 0", NULL);
    memcpy(place(target, key->at), v, (size_t)most * sizeof *v);
    return true;
}

/* Twice the signed area, from the first point. */
static double twice_area(const PoiseOutline *outline)
{
    double sum = 0.0;
    const double *o = outline->points_mm[0];
    for (size_t i = 1; i + 1 < outline->count; i++) {
        const double *a = outline->points_mm[i], *b = outline->points_mm[i + 1];
        sum += (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    }
    return sum;
}

static bool read_points(PoiseReading *r, const cJSON *value, PoiseOutline *outline)
{
    static const PoiseKey POINT_KEY = {.about = "a point of the outline",
                                       .kind = POISE_VALUE_VECTOR,
                                       .unit = POISE_UNIT_LENGTH,
                                       .store = POISE_STORE_VECTOR,
                                       .least = 2,
                                       .most = 2};
    size_t i = 0;
    bool good = true;
    for (const cJSON *point = value->child; point; point = point->next, i++) {
        size_t up = poise_reading_down_index(r, i);
        good = read_vector(r, point, &POINT_KEY, outline->points_mm[i]) && good;
        poise_reading_up(r, up);
    }
    return good;
}

static bool read_outline(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    int n = cJSON_IsArray(value) ? cJSON_GetArraySize(value) : -1;
    if (n < 3 || n > POISE_LIMIT_OUTLINE_POINTS)
        return wrong(r, value, "a list of 3 to 20000 points [x, y]", NULL);
    PoiseOutline outline = {.count = (size_t)n,
                            .points_mm = poise_alloc_zero((size_t)n, 2 * sizeof(double))};
    if (!outline.points_mm) {
        poise_reading_memory(r);
        return false;
    }
    bool good = read_points(r, value, &outline);
    if (good && twice_area(&outline) == 0.0)
        good = wrong(r, value, "an outline that encloses an area", NULL);
    if (!good) {
        poise_outline_free(&outline);
        return false;
    }
    PoiseOutline *to = place(target, key->at);
    poise_outline_free(to);
    *to = outline;
    return true;
}

static const PoiseMaterial *find_material(const PoiseReading *r, const char *id)
{
    for (size_t i = 0; i < r->own_count; i++)
        if (strcmp(r->own[i]->id, id) == 0)
            return r->own[i];
    return poise_library_material(r->library, id);
}

/* What it was meant to be, or how to search for it: a new string. The search knows more than ids:
 * titles, and other words for the same thing. */
static char *hint_of_ids(const char *id, const char *const *ids, size_t n)
{
    PoiseNear near = poise_near_names(id, ids, n);
    char *hint;
    if (!poise_near_hint(&near, &hint) || hint)
        return hint;
    PoiseText text = {0};
    poise_text_append(&text, "\"poise parts");
    poise_near_append_words(&text, id);
    poise_text_append(&text, "\" searches the library");
    return poise_text_take(&text);
}

/* The ids a name could have been, the file's own first. */
static void unknown_id(PoiseReading *r, const char *what, const char *id, bool part)
{
    if (poise_reading_is_full(r)) {
        poise_reading_fault(r, false, what, NULL, NULL);
        return;
    }
    size_t own = part ? 0 : r->own_count, n = 0;
    size_t count = part ? r->library->part_count : r->library->material_count;
    const char **ids = poise_alloc_zero(own + count, sizeof *ids);
    if (!ids) {
        poise_reading_memory(r);
        return;
    }
    for (size_t i = 0; i < own; i++)
        ids[n++] = r->own[i]->id;
    for (size_t i = 0; i < count; i++)
        ids[n++] = part ? r->library->parts[i]->id : r->library->materials[i]->id;
    char *hint = hint_of_ids(id, ids, n);
    char *found = poise_format("the unknown %s \"%.60s\"", what, id);
    if (found && hint)
        poise_reading_fault(r, false, found,
                            part ? "a part of the component library"
                                 : "a material of the component library or of this file",
                            hint);
    else
        poise_reading_memory(r);
    poise_release(hint);
    poise_release(found);
    poise_release(ids);
}

static bool read_name(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    bool part = key->kind == POISE_VALUE_PART;
    if (!cJSON_IsString(value) || !*value->valuestring)
        return wrong(r, value, part ? "the id of a part" : "the id of a material", NULL);
    if (!r->library)
        return true;
    const void *found = part ? (const void *)poise_library_part(r->library, value->valuestring)
                             : (const void *)find_material(r, value->valuestring);
    if (!found) {
        unknown_id(r, part ? "part" : "material", value->valuestring, part);
        return false;
    }
    if (key->store == POISE_STORE_PART)
        *(const PoisePart **)place(target, key->at) = found;
    else if (key->store == POISE_STORE_MATERIAL)
        *(const PoiseMaterial **)place(target, key->at) = found;
    return true;
}

static bool read_hazards(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    unsigned hazards = 0;
    size_t i = 0, n = 0;
    bool good = true;
    if (!cJSON_IsArray(value))
        return wrong(r, value, "a list of hazards", NULL);
    while (poise_hazard_names[n])
        n++;
    for (const cJSON *element = value->child; element; element = element->next, i++) {
        size_t up = poise_reading_down_index(r, i), bit = 0;
        while (cJSON_IsString(element) && bit < n &&
               strcmp(element->valuestring, poise_hazard_names[bit]) != 0)
            bit++;
        if (!cJSON_IsString(element))
            good = wrong(r, element, "the name of a hazard", NULL);
        else if (bit == n)
            poise_reading_unknown(r, "the unknown hazard", element->valuestring, poise_hazard_names,
                                  n),
                good = false;
        else
            hazards |= 1U << bit;
        poise_reading_up(r, up);
    }
    if (good && key->store == POISE_STORE_HAZARDS)
        *(unsigned *)place(target, key->at) = hazards;
    return good;
}

bool poise_read_value(PoiseReading *r, const cJSON *value, const PoiseKey *key, void *target)
{
    switch (key->kind) {
    case POISE_VALUE_QUANTITY:
        return store_quantity(r, value, key, target);
    case POISE_VALUE_INTEGER:
        return read_integer(r, value, key, target);
    case POISE_VALUE_FLAG:
        return read_flag(r, value, key, target);
    case POISE_VALUE_TEXT:
        return read_text(r, value, key, target);
    case POISE_VALUE_PATH:
        return read_path(r, value, key, target);
    case POISE_VALUE_CHOICE:
        return read_choice(r, value, key, target);
    case POISE_VALUE_VECTOR:
    case POISE_VALUE_DIRECTION:
        return read_vector(r, value, key, target);
    case POISE_VALUE_OUTLINE:
        return read_outline(r, value, key, target);
    case POISE_VALUE_MATERIAL:
    case POISE_VALUE_PART:
        return read_name(r, value, key, target);
    case POISE_VALUE_HAZARDS:
        return read_hazards(r, value, key, target);
    case POISE_VALUE_MIX:
        return poise_read_mix(r, value, place(target, key->at));
    case POISE_VALUE_OBJECT: /* by poise_read_object() */
    case POISE_VALUE_MAP:    /* these by the caller of poise_read_object() */
    case POISE_VALUE_LIST:
    case POISE_VALUE_PRESET:
    case POISE_VALUE_HAND:
    case POISE_VALUE_GAUGES:
    case POISE_VALUE_MASSES:
    case POISE_VALUE_PATCHES:
        break;
    }
    return true;
}
