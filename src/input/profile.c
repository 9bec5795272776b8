#include "input/profile.h"

#include <math.h>
#include <string.h>
#include <sys/stat.h>

#include "base/faults.h"
#include "base/memory.h"

static void note(PoiseReading *r, PoiseStatus status)
{
    if (status && !r->status)
        r->status = status;
}

/* A material as a new one of the file's own; NULL for want of memory. */
static PoiseMaterial *copy_of(const PoiseMaterial *from)
{
    PoiseMaterial *to = poise_alloc(sizeof *to);
    if (!to)
        return NULL;
    *to = *from;
    to->id = poise_copy_text(from->id);
    to->name = poise_copy_text(from->name);
    to->source = poise_copy_text(from->source);
    if (to->id && to->name && to->source)
        return to;
    poise_material_free(to);
    return NULL;
}

static PoiseMaterial *find_own(PoiseInstrument *in, const char *id)
{
    for (size_t i = 0; i < in->material_count; i++)
        if (strcmp(in->materials[i]->id, id) == 0)
            return in->materials[i];
    return NULL;
}

/* The file's own material, or one made from the library's; NULL: unknown, or no memory. */
static PoiseMaterial *own_of(PoiseReading *r, PoiseInstrument *in, const char *id)
{
    PoiseMaterial *own = find_own(in, id);
    const PoiseMaterial *known = own || !r->library ? NULL : poise_library_material(r->library, id);
    if (!known)
        return own;
    PoiseMaterial **larger =
        poise_resize(in->materials, in->material_count + 1, sizeof *in->materials);
    if (larger)
        in->materials = larger;
    own = larger ? copy_of(known) : NULL;
    if (own)
        in->materials[in->material_count++] = own;
    else
        poise_reading_memory(r);
    return own;
}

/* Names of all materials there are, as a new list. */
static const char **known_ids(const PoiseReading *r, const PoiseInstrument *in, size_t *n)
{
    size_t library = r->library ? r->library->material_count : 0;
    const char **ids = poise_alloc_zero(library + in->material_count, sizeof *ids);
    *n = 0;
    for (size_t i = 0; ids && i < in->material_count; i++)
        ids[(*n)++] = in->materials[i]->id;
    for (size_t i = 0; ids && i < library; i++)
        ids[(*n)++] = r->library->materials[i]->id;
    return ids;
}

static void pass_over(PoiseReading *r, const PoiseInstrument *in, const char *id)
{
    size_t n;
    if (!r->library)
        return;
    const char **ids = known_ids(r, in, &n);
    if (!ids)
        poise_reading_memory(r);
    else if (poise_nearest(id, ids, n))
        poise_reading_unknown(r, "the unknown material", id, ids, n);
    poise_release(ids);
}

static void take_material(PoiseReading *r, const cJSON *value, PoiseInstrument *in)
{
    PoiseProfileMaterial told;
    const char *id = value->string;
    PoiseStatus before = r->status;
    if (!poise_read_object(r, value, &poise_profile_material_keys, &told, NULL) ||
        r->status != before)
        return;
    PoiseMaterial *material = own_of(r, in, id);
    if (!material && r->status == before)
        pass_over(r, in, id);
    if (!material)
        return;
    if (!isnan(told.density_g_cm3.value))
        material->density_g_cm3 = told.density_g_cm3;
    if (!isnan(told.laid_g_cm3.value))
        material->laid_g_cm3 = told.laid_g_cm3;
}

static void take_materials(PoiseReading *r, const cJSON *root, PoiseInstrument *in)
{
    const cJSON *map = poise_member(root, "materials");
    char found[POISE_FOUND_SIZE];
    if (!map)
        return;
    size_t up = poise_reading_down(r, "materials");
    if (!cJSON_IsObject(map))
        poise_reading_fault(r, false, poise_found(map, found), "an object in braces", NULL);
    for (const cJSON *child = cJSON_IsObject(map) ? map->child : NULL; child; child = child->next) {
        size_t out = poise_reading_down(r, child->string);
        take_material(r, child, in);
        poise_reading_up(r, out);
    }
    poise_reading_up(r, up);
}

static void take(PoiseReading *r, const cJSON *root, PoiseInstrument *in)
{
    PoiseProfileHead head = {.from = NULL};
    if (!poise_read_object(r, root, &poise_profile_keys, &head, NULL)) {
        poise_release(head.from);
        return;
    }
    if (!isnan(head.flow.value))
        in->learned_flow = head.flow;
    poise_release(in->profile_from);
    in->profile_from = head.from;
    take_materials(r, root, in);
}

void poise_read_profile(PoiseReading *r, PoiseInstrument *in)
{
    if (!in->profile)
        return;
    PoiseDocument *document;
    PoiseStatus status = poise_document_read(in->profile, &document, r->faults);
    note(r, status);
    if (!document)
        return;
    PoiseLayer layer = {document, ""};
    PoiseReading of_profile = {
        .layers = &layer, .layer_count = 1, .faults = r->faults, .library = r->library};
    take(&of_profile, document->root, in);
    if (of_profile.pointer.failed)
        poise_reading_memory(&of_profile);
    note(r, of_profile.status);
    poise_text_clear(&of_profile.pointer);
    poise_document_free(document);
    r->own = in->materials; /* it may have moved and grown */
    r->own_count = in->material_count;
}

/* POISE_E_INPUT: it is none, or cannot be read as one. */
static PoiseStatus is_profile(const char *path)
{
    PoiseDocument *document;
    PoiseStatus status = poise_document_read(path, &document, NULL);
    if (status)
        return status == POISE_E_MEMORY ? status : POISE_E_INPUT;
    bool mark = cJSON_IsNumber(poise_member(document->root, "poise_profile"));
    poise_document_free(document);
    return mark ? POISE_OK : POISE_E_INPUT;
}

PoiseStatus poise_profile_may_replace(const char *path, PoiseFaults *faults)
{
    struct stat st;
    if (stat(path, &st) != 0 || !S_ISREG(st.st_mode))
        return POISE_OK;
    PoiseStatus status = is_profile(path);
    if (status == POISE_E_MEMORY)
        return poise_fault_memory(faults);
    if (status)
        return poise_fault_say(faults, POISE_E_IO, path,
                               "exists and is no profile of poise: left as it is; name another "
                               "file");
    return POISE_OK;
}
