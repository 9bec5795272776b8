#include "input/library_parts.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "input/drafts.h"
#include "input/item_read.h"

static bool take(PoiseReading *r, char **to, const char *text)
{
    *to = poise_copy_text(text);
    if (!*to)
        poise_reading_memory(r);
    return *to != NULL;
}

/* Length along the part's axis and width across it. */
static void sizes_of(const PoiseGeometry *g, double *length, double *width)
{
    switch (g->kind) {
    case POISE_GEOMETRY_SQUARE_NUT:
    case POISE_GEOMETRY_HEX_NUT:
        *length = g->height_mm;
        *width = g->across_flats_mm;
        break;
    case POISE_GEOMETRY_MACHINE_SCREW:
    case POISE_GEOMETRY_WOOD_SCREW:
        /* A countersunk screw's length is measured over its head. */
        *length = g->length_mm + (g->head == POISE_HEAD_COUNTERSUNK ? 0.0 : g->head_height_mm);
        *width = fmax(g->head_diameter_mm, g->thread_mm);
        break;
    default:
        *length = g->length_mm;
        *width = g->diameter_mm;
        break;
    }
}

static void settle_computed(PoiseReading *r, PoisePartDraft *d)
{
    PoisePart *part = &d->part;
    PoiseGeometry *g = &part->geometry;
    g->kind = (PoiseGeometryKind)(d->geometry_case + 1);
    part->axis = d->axis;
    part->shape = g->kind == POISE_GEOMETRY_BOX || g->kind == POISE_GEOMETRY_SQUARE_NUT
                      ? POISE_SHAPE_BOX
                      : POISE_SHAPE_CYLINDER;
    if (g->kind == POISE_GEOMETRY_TUBE && !(g->bore_mm < g->diameter_mm))
        poise_reading_fault(r, false, "a bore as wide as the tube", "a bore below the diameter",
                            NULL);
    if ((g->kind == POISE_GEOMETRY_SQUARE_NUT || g->kind == POISE_GEOMETRY_HEX_NUT) &&
        !(g->thread_mm < g->across_flats_mm))
        poise_reading_fault(r, false, "a thread as wide as the nut",
                            "a thread below the width across flats", NULL);
    if (d->has_extent)
        return;
    double length, width;
    sizes_of(g, &length, &width);
    for (int i = 0; i < 3; i++)
        part->extent_mm[i] = g->kind == POISE_GEOMETRY_BOX ? g->size_mm[i]
                             : i == d->axis                ? length
                                                           : width;
}

static void settle_typed(PoiseReading *r, PoisePartDraft *d)
{
    enum { BOX = 1, CYLINDER_X = 2 };
    PoisePart *part = &d->part;
    int shape = d->has_shape ? d->shape : d->has_extent ? BOX : 0;
    part->shape = shape == 0     ? POISE_SHAPE_POINT
                  : shape == BOX ? POISE_SHAPE_BOX
                                 : POISE_SHAPE_CYLINDER;
    part->axis = shape >= CYLINDER_X ? shape - CYLINDER_X : 0;
    if (part->shape != POISE_SHAPE_POINT && !d->has_extent)
        poise_reading_missing(r, "extent", "the overall size that the shape fills", NULL);
}

/* What must stand together and what may not, whether the values are good or not. */
static void check_members(PoiseReading *r, const cJSON *value)
{
    bool mass = poise_member(value, "mass"), geometry = poise_member(value, "geometry");
    bool shape = poise_member(value, "shape"), axis = poise_member(value, "axis");
    if (mass && geometry)
        poise_reading_fault(r, false, "both a mass and a geometry", "one or the other", NULL);
    if (!mass && !geometry)
        poise_reading_missing(r, "mass", "a mass, or geometry and material to compute it from",
                              NULL);
    if (geometry && shape)
        poise_reading_fault(r, false, "a shape beside a geometry", "one or the other", NULL);
    if (geometry && !poise_member(value, "material"))
        poise_reading_missing(r, "material", "what the computed part is made of", NULL);
    if (axis && !geometry)
        poise_reading_fault(r, false, "an axis without a geometry",
                            "a shape such as \"cylinder-z\"", NULL);
}

PoisePart *poise_read_part(PoiseReading *r, const cJSON *value, const char *id, const char *family)
{
    PoisePartDraft d = {0};
    PoiseStatus before = r->status;
    r->status = POISE_OK;
    if (poise_read_object(r, value, &poise_part_keys, &d, NULL))
        check_members(r, value);
    if (!r->status) /* what is built on faulty numbers would only repeat the faults */
        (d.has_geometry ? settle_computed : settle_typed)(r, &d);
    PoisePart *part = NULL;
    if (!r->status && take(r, &d.part.id, id) && take(r, &d.part.family, family)) {
        part = poise_alloc(sizeof *part);
        if (part)
            *part = d.part;
        else
            poise_reading_memory(r);
    }
    if (!part) {
        poise_release(d.part.id);
        poise_release(d.part.name);
        poise_release(d.part.family);
        poise_release(d.part.origin);
        poise_release(d.part.source);
    }
    if (before && r->status != POISE_E_MEMORY)
        r->status = before;
    return part;
}

/* An item is read from the preset's keys only to check them. */
static void check_keys(PoiseReading *r, const cJSON *value, PoiseItemKind kind)
{
    PoiseInstrument *scratch = poise_alloc_zero(1, sizeof *scratch);
    if (scratch)
        scratch->items = poise_alloc_zero(1, sizeof *scratch->items);
    if (!scratch || !scratch->items) {
        poise_reading_memory(r);
        poise_release(scratch);
        return;
    }
    scratch->item_count = 1;
    PoiseItem *item = scratch->items;
    item->kind = kind;
    bool neck = kind == POISE_ITEM_NECK;
    if (poise_read_object(r, value, neck ? &poise_neck_preset_keys : &poise_strings_preset_keys,
                          item, NULL) &&
        !neck)
        poise_read_gauges(r, value, &item->as.strings);
    poise_instrument_free(scratch);
}

bool poise_read_preset(PoiseReading *r, const cJSON *value, const char *id, const char *family,
                       PoiseItemKind kind, PoisePreset *preset)
{
    PoiseStatus before = r->status;
    r->status = POISE_OK;
    *preset = (PoisePreset){.kind = kind};
    check_keys(r, value, kind);
    if (!r->status) {
        preset->value = cJSON_Duplicate(value, 1);
        if (!preset->value)
            poise_reading_memory(r);
    }
    if (!r->status) {
        bool ok = take(r, &preset->id, id) && take(r, &preset->family, family) &&
                  take(r, &preset->name, poise_member(value, "name")->valuestring) &&
                  take(r, &preset->source, poise_member(value, "source")->valuestring);
        if (ok) { /* what is left are keys of an item */
            cJSON_DeleteItemFromObjectCaseSensitive(preset->value, "name");
            cJSON_DeleteItemFromObjectCaseSensitive(preset->value, "source");
        }
    }
    bool good = !r->status;
    if (!good)
        poise_preset_clear(preset);
    if (before && r->status != POISE_E_MEMORY)
        r->status = before;
    return good;
}

void poise_preset_clear(PoisePreset *preset)
{
    poise_release(preset->id);
    poise_release(preset->name);
    poise_release(preset->family);
    poise_release(preset->source);
    cJSON_Delete(preset->value);
    *preset = (PoisePreset){0};
}
