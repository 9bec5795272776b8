#include "model/instrument.h"

#include <string.h>

#include "base/memory.h"

const char *poise_item_kind_name(PoiseItemKind kind)
{
    static const char *const names[] = {"printed", "poured", "solid", "neck",
                                        "strings", "part",   "mass"};
    return names[kind];
}

const PoiseMaterial *poise_item_material(const PoiseItem *item)
{
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        return item->as.printed.material;
    case POISE_ITEM_POURED:
        return item->as.poured.material;
    case POISE_ITEM_SOLID:
        return item->as.solid.material;
    case POISE_ITEM_PART: /* fasteners and dowels; NULL when its mass is typed */
        return item->part->material;
    case POISE_ITEM_NECK:    /* boards of its own, of two woods: its doubt stands by itself */
    case POISE_ITEM_STRINGS: /* drawn wire and wrap: likewise */
    case POISE_ITEM_MASS:
        break;
    }
    return NULL;
}

bool poise_item_is_split(const PoiseItem *item)
{
    return item->kind == POISE_ITEM_PRINTED && !item->as.printed.toolpath;
}

bool poise_item_is_weighed(const PoiseItem *item)
{
    return item->has_measured || (item->kind == POISE_ITEM_NECK && item->as.neck.has_measured);
}

void poise_outline_free(PoiseOutline *outline)
{
    poise_release(outline->points_mm);
    *outline = (PoiseOutline){0};
}

static void release_solid(PoiseSolid *solid)
{
    poise_release(solid->mesh);
    poise_release(solid->mesh_unit);
    poise_outline_free(&solid->outline);
    for (size_t i = 0; i < solid->cut_count; i++)
        poise_outline_free(&solid->cuts[i].outline);
    poise_release(solid->cuts);
}

static void release_item(PoiseItem *item)
{
    poise_release(item->id);
    poise_release(item->note);
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        poise_release(item->as.printed.mesh);
        poise_release(item->as.printed.mesh_unit);
        poise_release(item->as.printed.toolpath);
        break;
    case POISE_ITEM_POURED:
        poise_release(item->as.poured.mesh);
        poise_release(item->as.poured.mesh_unit);
        break;
    case POISE_ITEM_SOLID:
        release_solid(&item->as.solid);
        break;
    case POISE_ITEM_STRINGS:
        poise_release(item->as.strings.strings);
        break;
    case POISE_ITEM_NECK:
    case POISE_ITEM_PART:
    case POISE_ITEM_MASS:
        break;
    }
}

void poise_instrument_free(PoiseInstrument *in)
{
    if (!in)
        return;
    poise_release(in->file);
    poise_release(in->dir);
    poise_release(in->name);
    poise_release(in->variant);
    poise_release(in->hand_text);
    poise_release(in->profile);
    poise_release(in->profile_from);
    for (size_t i = 0; i < in->item_count; i++)
        release_item(&in->items[i]);
    poise_release(in->items);
    for (size_t i = 0; i < in->material_count; i++)
        poise_material_free(in->materials[i]);
    poise_release(in->materials);
    for (size_t i = 0; i < in->variant_count; i++)
        poise_release(in->variants[i]);
    poise_release(in->variants);
    for (size_t i = 0; i < POISE_KEPT_PLACE_COUNT; i++)
        poise_release(in->places[i].pointer);
    if (!in->library_borrowed)
        poise_library_free(in->library);
    poise_release(in);
}

const PoiseItem *poise_instrument_item(const PoiseInstrument *in, const char *id)
{
    for (size_t i = 0; i < in->item_count; i++)
        if (strcmp(in->items[i].id, id) == 0)
            return &in->items[i];
    return NULL;
}
