#include "input/library.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "input/library_parts.h"
#include "input/material_read.h"

/* One component file while the library is read. */
typedef struct Source {
    char *path;
    PoiseDocument *document; /* NULL when it is no good */
    const char *family;
} Source;

typedef struct Loader {
    PoiseFaults *faults;
    PoiseStatus status;
    size_t count;
    Source *sources; /* sorted by path */
    PoiseLibrary *library;
    PoisePresets presets;
    bool unreadable; /* some file is: names are not looked up, for many would be missing */
} Loader;

static void note(Loader *l, PoiseStatus status)
{
    if (!l->status)
        l->status = status;
}

static bool is_json(const char *name)
{
    size_t n = strlen(name);
    return n > 5 && name[0] != '.' && strcmp(name + n - 5, ".json") == 0;
}

/* `list` with room for one more; NULL (a fault) when there is no memory. */
static void *grown(Loader *l, void *list, size_t count, size_t size)
{
    void *larger = list;
    if ((count & (count - 1)) == 0) /* room is made at each power of two */
        larger = poise_resize(list, count ? 2 * count : 1, size);
    if (!larger)
        note(l, poise_fault_memory(l->faults));
    return larger;
}

static bool add_source(Loader *l, const char *dir, const char *name)
{
    Source *sources = grown(l, l->sources, l->count, sizeof *sources);
    if (!sources)
        return false;
    l->sources = sources;
    char *path = poise_path_join(dir, name);
    if (!path) {
        note(l, poise_fault_memory(l->faults));
        return false;
    }
    l->sources[l->count++] = (Source){.path = path};
    return true;
}

static int by_path(const void *a, const void *b)
{
    return strcmp(((const Source *)a)->path, ((const Source *)b)->path);
}

static void list_files(Loader *l, const char *dir)
{
    DIR *d = opendir(dir);
    if (!d) {
        note(l, poise_fault_say(l->faults, POISE_E_IO, dir, "cannot read the component library: %s",
                                strerror(errno)));
        return;
    }
    for (const struct dirent *e; (e = readdir(d));)
        if (is_json(e->d_name) && !add_source(l, dir, e->d_name))
            break;
    closedir(d);
    if (l->count)
        qsort(l->sources, l->count, sizeof *l->sources, by_path);
    else if (!l->status)
        note(l, poise_fault_say(l->faults, POISE_E_INPUT, dir,
                                "no component files (*.json) in this directory"));
}

static PoiseReading reading_of(const Loader *l, const PoiseLayer *layer)
{
    return (PoiseReading){.layers = layer, .layer_count = 1, .faults = l->faults, .library = NULL};
}

static void finish_reading(Loader *l, PoiseReading *r)
{
    if (r->pointer.failed)
        poise_reading_memory(r);
    note(l, r->status);
    poise_text_clear(&r->pointer);
}

/* The file's own keys; its sections are read later. */
static void read_head(Loader *l, Source *source)
{
    PoiseLayer layer = {source->document, ""};
    PoiseReading r = reading_of(l, &layer);
    poise_read_object(&r, source->document->root, &poise_component_file_keys, NULL, NULL);
    const cJSON *family = poise_member(source->document->root, "family");
    source->family = cJSON_IsString(family) ? family->valuestring : "";
    finish_reading(l, &r);
}

/* What is called for each entry of a section. */
typedef void Entry(Loader *l, PoiseReading *r, const Source *source, const cJSON *value,
                   const char *id);

static void each_entry(Loader *l, const char *section, Entry *entry)
{
    for (size_t i = 0; i < l->count; i++) {
        const Source *source = &l->sources[i];
        const cJSON *entries =
            source->document ? poise_member(source->document->root, section) : NULL;
        if (!entries)
            continue;
        PoiseLayer layer = {source->document, ""};
        PoiseReading r = reading_of(l, &layer);
        char found[POISE_FOUND_SIZE];
        size_t up = poise_reading_down(&r, section);
        if (!cJSON_IsObject(entries))
            poise_reading_fault(&r, false, poise_found(entries, found), "an object in braces",
                                NULL);
        for (const cJSON *value = cJSON_IsObject(entries) ? entries->child : NULL; value;
             value = value->next) {
            size_t out = poise_reading_down(&r, value->string);
            if (!*value->string)
                poise_reading_fault(&r, true, "an empty id", "an id", NULL);
            else
                entry(l, &r, source, value, value->string);
            poise_reading_up(&r, out);
        }
        poise_reading_up(&r, up);
        finish_reading(l, &r);
    }
}

/* An id that an earlier file has too; within one file the document has seen to it. */
static bool taken(const Loader *l, PoiseReading *r, const Source *source, const char *section,
                  const char *id)
{
    for (const Source *other = l->sources; other < source; other++) {
        const cJSON *entries =
            other->document ? poise_member(other->document->root, section) : NULL;
        if (!entries || !poise_member(entries, id))
            continue;
        char *found = poise_format("the id \"%s\" again", id);
        char *hint = poise_format("it stands in %s too", other->path);
        if (found && hint)
            poise_reading_fault(r, true, found, "each id once in the library", hint);
        else
            poise_reading_memory(r);
        poise_release(found);
        poise_release(hint);
        return true;
    }
    return false;
}

static void add_material(Loader *l, PoiseReading *r, const Source *source, const cJSON *value,
                         const char *id)
{
    PoiseLibrary *library = l->library;
    if (taken(l, r, source, "materials", id))
        return;
    PoiseMaterial **list = grown(l, library->materials, library->material_count, sizeof *list);
    if (!list)
        return;
    library->materials = list;
    PoiseMaterial *material = poise_read_material(r, value, id, false);
    if (material)
        library->materials[library->material_count++] = material;
}

static void add_part(Loader *l, PoiseReading *r, const Source *source, const cJSON *value,
                     const char *id)
{
    PoiseLibrary *library = l->library;
    if (taken(l, r, source, "parts", id))
        return;
    PoisePart **list = grown(l, library->parts, library->part_count, sizeof *list);
    if (!list)
        return;
    library->parts = list;
    r->library = l->unreadable ? NULL : library;
    PoisePart *part = poise_read_part(r, value, id, source->family);
    if (part)
        library->parts[library->part_count++] = part;
}

static void add_preset(Loader *l, PoiseReading *r, const Source *source, const cJSON *value,
                       const char *id, const char *section, PoiseItemKind kind)
{
    if (taken(l, r, source, section, id))
        return;
    PoisePreset *list = grown(l, l->presets.list, l->presets.count, sizeof *list);
    if (!list)
        return;
    l->presets.list = list;
    r->library = l->unreadable ? NULL : l->library;
    if (poise_read_preset(r, value, id, source->family, kind, &list[l->presets.count]))
        l->presets.count++;
}

static void add_neck(Loader *l, PoiseReading *r, const Source *source, const cJSON *value,
                     const char *id)
{
    add_preset(l, r, source, value, id, "necks", POISE_ITEM_NECK);
}

static void add_strings(Loader *l, PoiseReading *r, const Source *source, const cJSON *value,
                        const char *id)
{
    add_preset(l, r, source, value, id, "string_sets", POISE_ITEM_STRINGS);
}

static int by_material_id(const void *a, const void *b)
{
    return strcmp((*(PoiseMaterial *const *)a)->id, (*(PoiseMaterial *const *)b)->id);
}

static int by_part_id(const void *a, const void *b)
{
    return strcmp((*(PoisePart *const *)a)->id, (*(PoisePart *const *)b)->id);
}

static int by_kind_and_id(const void *a, const void *b)
{
    const PoisePreset *x = a, *y = b;
    return x->kind != y->kind ? (x->kind > y->kind) - (x->kind < y->kind) : strcmp(x->id, y->id);
}

/* Materials first: parts and presets name them. */
static void read_all(Loader *l)
{
    for (size_t i = 0; i < l->count; i++) {
        note(l, poise_document_read(l->sources[i].path, &l->sources[i].document, l->faults));
        if (l->sources[i].document)
            read_head(l, &l->sources[i]);
        else
            l->unreadable = true;
    }
    PoiseLibrary *library = l->library;
    each_entry(l, "materials", add_material);
    if (library->material_count)
        qsort(library->materials, library->material_count, sizeof *library->materials,
              by_material_id);
    each_entry(l, "parts", add_part);
    if (library->part_count)
        qsort(library->parts, library->part_count, sizeof *library->parts, by_part_id);
    each_entry(l, "necks", add_neck);
    each_entry(l, "string_sets", add_strings);
    if (l->presets.count)
        qsort(l->presets.list, l->presets.count, sizeof *l->presets.list, by_kind_and_id);
}

PoiseStatus poise_library_read(const char *dir, PoiseLibrary **library, PoisePresets *presets,
                               PoiseFaults *faults)
{
    Loader l = {.faults = faults};
    *library = NULL;
    if (presets)
        *presets = (PoisePresets){0};
    l.library = poise_alloc_zero(1, sizeof *l.library);
    if (l.library)
        l.library->dir = poise_copy_text(dir);
    if (!l.library || !l.library->dir) {
        poise_library_free(l.library);
        return poise_fault_memory(faults);
    }
    list_files(&l, dir);
    if (!l.status)
        read_all(&l);
    for (size_t i = 0; i < l.count; i++) {
        poise_release(l.sources[i].path);
        poise_document_free(l.sources[i].document);
    }
    poise_release(l.sources);
    if (l.status)
        poise_library_free(l.library);
    else
        *library = l.library;
    if (presets && !l.status)
        *presets = l.presets;
    else
        poise_presets_clear(&l.presets);
    return l.status;
}

void poise_presets_clear(PoisePresets *presets)
{
    for (size_t i = 0; i < presets->count; i++)
        poise_preset_clear(&presets->list[i]);
    poise_release(presets->list);
    *presets = (PoisePresets){0};
}

const PoisePreset *poise_presets_find(const PoisePresets *presets, PoiseItemKind kind,
                                      const char *id)
{
    for (size_t i = 0; i < presets->count; i++)
        if (presets->list[i].kind == kind && strcmp(presets->list[i].id, id) == 0)
            return &presets->list[i];
    return NULL;
}
