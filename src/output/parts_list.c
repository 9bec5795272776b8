#include "output/parts_list.h"

#include <math.h>

#include "base/faults.h"
#include "base/memory.h"
#include "bodies/item_body.h"

const char *poise_listed_kind_name(PoiseListedKind kind)
{
    static const char *const names[] = {"part", "neck", "strings", "material"};
    return kind < POISE_LISTED_KINDS ? names[kind] : "";
}

const char *poise_material_family_name(PoiseMaterialFamily family)
{
    switch (family) {
    case POISE_MATERIAL_PLASTIC:
        return "plastic";
    case POISE_MATERIAL_WOOD:
        return "wood";
    case POISE_MATERIAL_RESIN:
        return "resin";
    case POISE_MATERIAL_ADHESIVE:
        return "adhesive";
    case POISE_MATERIAL_METAL:
        return "metal";
    case POISE_MATERIAL_OTHER:
        break;
    }
    return "other";
}

PoiseStatus poise_listing_add(PoiseListing *listing, const PoiseListed *entry)
{
    if (listing->count == listing->capacity) {
        size_t capacity = listing->capacity ? 2 * listing->capacity : 64;
        PoiseListed *larger = poise_resize(listing->entries, capacity, sizeof *larger);
        if (!larger)
            return POISE_E_MEMORY;
        listing->entries = larger;
        listing->capacity = capacity;
    }
    listing->entries[listing->count++] = *entry;
    listing->library[entry->kind]++;
    return POISE_OK;
}

/* What one piece of it weighs as an item of its own. */
static PoiseStatus weigh_part(const PoiseLibrary *library, const PoisePart *part,
                              PoiseListed *entry, PoiseFaults *faults)
{
    const PoiseInstrument bench = {.file = library->dir,
                                   .frame = {.head = {1, 0, 0}, .face = {0, 0, 1}}};
    const PoiseItem item = {.id = part->id, .kind = POISE_ITEM_PART, .count = 1, .part = part};
    PoiseItemBody body;
    PoiseStatus status = poise_item_body(&bench, &item, NULL, &body, faults);
    if (status)
        return status;
    entry->mass_g = body.body.mass_g;
    entry->mass_u_g = body.mass_u_g;
    poise_item_body_free(&body);
    return POISE_OK;
}

static PoiseStatus add_part(PoiseListing *listing, const PoiseLibrary *library,
                            const PoisePart *part, PoiseFaults *faults)
{
    PoiseListed entry = {.kind = POISE_LISTED_PART,
                         .id = part->id,
                         .name = part->name,
                         .family = part->family,
                         .source = part->source,
                         .part = part};
    PoiseStatus status = weigh_part(library, part, &entry, faults);
    if (status)
        return status;
    return poise_listing_add(listing, &entry) ? poise_fault_memory(faults) : POISE_OK;
}

static PoiseStatus add_material(PoiseListing *listing, const PoiseMaterial *material,
                                PoiseFaults *faults)
{
    const PoiseListed entry = {.kind = POISE_LISTED_MATERIAL,
                               .id = material->id,
                               .name = material->name,
                               .family = poise_material_family_name(material->family),
                               .source = material->source,
                               .material = material,
                               .mass_g = (double)NAN,
                               .mass_u_g = (double)NAN};
    return poise_listing_add(listing, &entry) ? poise_fault_memory(faults) : POISE_OK;
}

PoiseStatus poise_listing_fill(PoiseListing *listing, const PoiseLibrary *library,
                               PoiseFaults *faults)
{
    *listing = (PoiseListing){0};
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < library->part_count && !status; i++)
        status = add_part(listing, library, library->parts[i], faults);
    for (size_t i = 0; i < library->material_count && !status; i++)
        status = add_material(listing, library->materials[i], faults);
    return status;
}

void poise_listing_clear(PoiseListing *listing)
{
    poise_release(listing->entries);
    *listing = (PoiseListing){0};
}
