/* Names for completion, out of instrument files and the component library. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/memory.h"
#include "commands/complete.h"
#include "input/json_doc.h"
#include "input/library.h"
#include "input/pointer.h"
#include "output/parts_list.h"
#include "poise/poise.h"

/* The shell has not expanded what it completes: "~/" is still there. */
static PoiseDocument *open_file(const char *path)
{
    PoiseDocument *document = NULL;
    const char *home = getenv("HOME");
    if (strcmp(path, "-") == 0)
        return NULL; /* standard input is the shell's */
    char *whole = path[0] == '~' && path[1] == '/' && home ? poise_path_join(home, path + 2)
                                                           : poise_copy_text(path);
    if (whole && poise_document_read(whole, &document, NULL) != POISE_OK)
        document = NULL;
    poise_release(whole);
    return document;
}

void poise_completion_variants(PoiseCompletion *c, const char *path)
{
    PoiseDocument *document = open_file(path);
    if (!document)
        return;
    const cJSON *variants = poise_pointer_get_const(document->root, "/variants");
    for (const cJSON *v = variants && cJSON_IsObject(variants) ? variants->child : NULL; v;
         v = v->next)
        poise_completion_offer(c, v->string, "variant");
    poise_document_free(document);
}

/* What an item is, beside its id: its kind, and its part. */
static void describe(const cJSON *value, PoiseText *about)
{
    const cJSON *kind = cJSON_GetObjectItemCaseSensitive(value, "kind");
    const cJSON *part = cJSON_GetObjectItemCaseSensitive(value, "part");
    if (cJSON_IsString(value))
        poise_text_append(about, value->valuestring);
    else if (cJSON_IsString(part))
        poise_text_append(about, part->valuestring);
    else if (cJSON_IsString(kind))
        poise_text_append(about, kind->valuestring);
}

/* Lists are varied whole, save lists of objects. */
static bool goes_on(const cJSON *value)
{
    return value &&
           (cJSON_IsObject(value) || (cJSON_IsArray(value) && cJSON_IsObject(value->child)));
}

/* The members of the value that `parent` (a pointer) names. */
static void offer_steps(PoiseCompletion *c, const cJSON *root, const char *parent)
{
    const cJSON *object =
        poise_pointer_valid(parent) ? poise_pointer_get_const(root, parent) : NULL;
    int index = 0;
    for (const cJSON *v = object && goes_on(object) ? object->child : NULL; v;
         v = v->next, index++) {
        PoiseText pointer = {0}, about = {0};
        char number[16];
        snprintf(number, sizeof number, "%d", index);
        const char *name = v->string ? v->string : number;
        poise_text_append(&pointer, parent);
        poise_pointer_push(&pointer, name);
        poise_text_append(&pointer, goes_on(v) ? "/" : "=");
        describe(v, &about);
        if (!pointer.failed && strcmp(name, "note") != 0 && strcmp(name, "kind") != 0)
            poise_completion_offer(c, pointer.data, about.data);
        poise_text_clear(&pointer);
        poise_text_clear(&about);
    }
}

static int ids_for_key(const char *key)
{
    static const struct {
        const char *key;
        int ids;
    } takes[] = {{"part", POISE_IDS_PARTS},         {"preset", POISE_IDS_PRESETS},
                 {"material", POISE_IDS_MATERIALS}, {"shaft", POISE_IDS_MATERIALS},
                 {"board", POISE_IDS_MATERIALS},    {"wrap", POISE_IDS_MATERIALS},
                 {"base", POISE_IDS_MATERIALS}};
    for (size_t i = 0; i < sizeof takes / sizeof *takes; i++)
        if (strcmp(takes[i].key, key) == 0)
            return takes[i].ids;
    return 0;
}

/* "/items/tuners/part=a,b": values, of which the last is being typed. */
static void offer_list(PoiseCompletion *c, const cJSON *root, const char *pointer, size_t typed)
{
    const cJSON *value =
        poise_pointer_valid(pointer) ? poise_pointer_get_const(root, pointer) : NULL;
    const char *slash = strrchr(pointer, '/');
    const char *comma = strrchr(c->word + typed, ',');
    const char *outer = c->before;
    char *before = poise_copy_text_n(c->word, comma ? (size_t)(comma - c->word) + 1 : typed);
    int ids = slash ? ids_for_key(slash + 1) : 0;
    if (before && ids) {
        c->before = before;
        poise_completion_library(c, ids,
                                 value && cJSON_IsString(value) ? value->valuestring : NULL);
        c->before = outer;
    }
    poise_release(before);
}

void poise_completion_pointers(PoiseCompletion *c, const char *path)
{
    PoiseDocument *document = open_file(path);
    if (!document)
        return;
    const char *word = c->word + strlen(c->before);
    const char *equals = strchr(word, '=');
    const char *end = equals ? equals : strrchr(word, '/');
    char *pointer = poise_copy_text_n(word, end ? (size_t)(end - word) : 0);
    if (pointer && equals)
        offer_list(c, document->root, pointer, (size_t)(equals - c->word) + 1);
    else if (pointer)
        offer_steps(c, document->root, pointer);
    poise_release(pointer);
    poise_document_free(document);
}

/* Each family once: entries of one family need not stand together. */
static void offer_families(PoiseCompletion *c, const PoiseLibrary *library)
{
    for (size_t i = 0; i < library->part_count; i++) {
        size_t first = 0;
        while (strcmp(library->parts[first]->family, library->parts[i]->family) != 0)
            first++;
        if (first == i)
            poise_completion_offer(c, library->parts[i]->family, "family");
    }
    for (int f = POISE_MATERIAL_OTHER + 1; f <= POISE_MATERIAL_METAL; f++)
        poise_completion_offer(c, poise_material_family_name((PoiseMaterialFamily)f), "family");
}

static void offer_all(PoiseCompletion *c, const PoiseLibrary *library, const PoisePresets *presets,
                      int which, const PoisePart *like)
{
    for (size_t i = 0; which & POISE_IDS_PARTS && i < library->part_count; i++)
        if (!like || strcmp(like->family, library->parts[i]->family) == 0)
            poise_completion_offer(c, library->parts[i]->id, library->parts[i]->name);
    for (size_t i = 0; which & POISE_IDS_MATERIALS && i < library->material_count; i++)
        poise_completion_offer(c, library->materials[i]->id, library->materials[i]->name);
    for (size_t i = 0; which & POISE_IDS_PRESETS && i < presets->count; i++)
        poise_completion_offer(c, presets->list[i].id, presets->list[i].name);
    if (which & POISE_IDS_FAMILIES)
        offer_families(c, library);
}

void poise_completion_library(PoiseCompletion *c, int which, const char *like)
{
    PoiseLibrary *library = NULL;
    PoisePresets presets = {0};
    char *dir = poise_components_dir();
    if (dir && poise_library_read(dir, &library, &presets, NULL) == POISE_OK)
        offer_all(c, library, &presets, which, like ? poise_library_part(library, like) : NULL);
    poise_presets_clear(&presets);
    poise_library_free(library);
    poise_string_free(dir);
}
