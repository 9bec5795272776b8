/* The public ways to read an instrument: everything that is wrong with a file, in the order of its
 * lines. */
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "input/reader.h"

static int by_place(const void *a, const void *b)
{
    const PoiseFault *x = *(const PoiseFault *const *)a, *y = *(const PoiseFault *const *)b;
    int order = poise_text_order(x->file, y->file);
    if (order)
        return order;
    if (x->line != y->line)
        return x->line < y->line ? -1 : 1;
    if (x->column != y->column)
        return x->column < y->column ? -1 : 1;
    order = poise_text_order(x->pointer, y->pointer);
    return order ? order : poise_text_order(x->found, y->found);
}

/* Copies faults sorted by place, each once. */
static void hand_over(const PoiseFaults *from, PoiseFaults *to)
{
    size_t n = poise_faults_count(from);
    const PoiseFault **list = poise_alloc_zero(n, sizeof *list);
    for (size_t i = 0; list && i < n; i++)
        list[i] = poise_faults_get(from, i);
    if (list && n)
        qsort(list, n, sizeof *list, by_place);
    for (size_t i = 0; i < n; i++) {
        const PoiseFault *fault = list ? list[i] : poise_faults_get(from, i);
        if (list && i && by_place(&list[i - 1], &list[i]) == 0 && fault->line)
            continue; /* found again while a variant was read */
        if (fault->status == POISE_E_MEMORY)
            poise_fault_memory(to);
        else
            poise_fault_add(to, fault);
    }
    poise_release(list);
}

/* Is a fault of a variant the file's own, seen through the variant: the same words about the same
 * value, whose pointer follows the variant's prefix? */
static bool is_the_files(const PoiseFault *fault, size_t prefix, const PoiseFaults *own)
{
    for (size_t i = 0; i < poise_faults_count(own); i++) {
        const PoiseFault *of_file = poise_faults_get(own, i);
        if (of_file->pointer && poise_text_order(of_file->pointer, fault->pointer + prefix) == 0 &&
            poise_text_order(of_file->found, fault->found) == 0 &&
            poise_text_order(of_file->expected, fault->expected) == 0)
            return true;
    }
    return false;
}

/* Faults that stand in a variant: the others are the file's own and are reported with it. */
static void keep_variant_faults(const PoiseFaults *from, const char *variant, PoiseFaults *to)
{
    PoiseText prefix = {0};
    poise_text_append(&prefix, "/variants");
    poise_pointer_push(&prefix, variant);
    if (prefix.failed)
        poise_fault_memory(to);
    for (size_t i = 0; i < poise_faults_count(from) && !prefix.failed; i++) {
        const PoiseFault *fault = poise_faults_get(from, i);
        if (fault->status == POISE_E_MEMORY)
            poise_fault_memory(to);
        else if (fault->pointer && strncmp(fault->pointer, prefix.data, prefix.length) == 0 &&
                 !is_the_files(fault, prefix.length, to))
            poise_fault_add(to, fault);
    }
    poise_text_clear(&prefix);
}

/* A variant is read as it would be used; its own faults count. */
static void check_variants(const PoiseDocument *document, const char *dir, const PoiseShelf *shelf,
                           PoiseFaults *faults)
{
    const cJSON *variants = cJSON_GetObjectItemCaseSensitive(document->root, "variants");
    const cJSON *variant = cJSON_IsObject(variants) ? variants->child : NULL;
    size_t n = 0; /* that there are too many has been said */
    for (; variant && n < POISE_LIMIT_VARIANTS && poise_faults_count(faults) < POISE_LIMIT_FAULTS;
         variant = variant->next, n++) {
        PoiseInstrument *in = NULL;
        PoiseFaults *found = poise_faults_new();
        if (!found) {
            poise_fault_memory(faults);
            return;
        }
        if (cJSON_IsObject(variant))
            poise_instrument_from_document(document, NULL, variant->string, dir, shelf, &in, found);
        keep_variant_faults(found, variant->string, faults);
        poise_faults_free(found);
        poise_instrument_free(in);
    }
}

/* With everything at hand. The instrument takes the shelf's library over. */
static PoiseStatus read_document(const PoiseDocument *document, const char *dir,
                                 const char *variant, PoiseShelf *shelf,
                                 PoiseInstrument **instrument, PoiseFaults *faults)
{
    const PoiseShelf *usable = shelf->library ? shelf : NULL;
    PoiseStatus status =
        poise_instrument_from_document(document, NULL, variant, dir, usable, instrument, faults);
    if (!variant)
        check_variants(document, dir, usable, faults);
    if (!status)
        status = poise_faults_status(faults);
    if (status) {
        poise_instrument_free(*instrument);
        *instrument = NULL;
        return status;
    }
    (*instrument)->library_borrowed = false;
    shelf->library = NULL;
    return POISE_OK;
}

static PoiseStatus parse(const char *text, size_t size, const char *name, const char *dir,
                         const char *variant, const char *components, PoiseInstrument **instrument,
                         PoiseFaults *faults)
{
    PoiseDocument *document;
    PoiseShelf shelf;
    PoiseStatus library = poise_shelf_read(components, &shelf, faults);
    PoiseStatus status = poise_document_parse(text, size, name, &document, faults);
    if (document)
        status = read_document(document, dir, variant, &shelf, instrument, faults);
    poise_document_free(document);
    poise_shelf_clear(&shelf);
    return library ? library : status;
}

PoiseStatus poise_instrument_parse(const char *text, size_t size, const char *name, const char *dir,
                                   const char *variant, const char *components,
                                   PoiseInstrument **instrument, PoiseFaults *faults)
{
    *instrument = NULL;
    PoiseFaults *found = poise_faults_new();
    if (!found)
        return poise_fault_memory(faults);
    PoiseStatus status = parse(text, size, name, dir, variant, components, instrument, found);
    hand_over(found, faults);
    poise_faults_free(found);
    return status;
}

PoiseStatus poise_instrument_read(const char *path, const char *variant, const char *components,
                                  PoiseInstrument **instrument, PoiseFaults *faults)
{
    char *text;
    size_t size;
    *instrument = NULL;
    PoiseStatus status = poise_file_read(path, POISE_LIMIT_JSON_BYTES, &text, &size, faults);
    if (status)
        return status;
    char *dir = poise_path_dir(path);
    if (dir)
        status = poise_instrument_parse(text, size, poise_shown_path(path), dir, variant,
                                        components, instrument, faults);
    else
        status = poise_fault_memory(faults);
    poise_release(dir);
    poise_release(text);
    return status;
}
