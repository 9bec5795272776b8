#include "input/json_doc.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/locale_guard.h"
#include "base/memory.h"

/* cJSON reads numbers with strtod and the locale's decimal point; under the C locale both are
 * plain. */
cJSON *poise_json_tree(const char *text, size_t size)
{
    PoiseLocaleGuard guard = poise_locale_enter();
    if (!guard.own)
        return NULL;
    cJSON *root = cJSON_ParseWithLength(text, size);
    poise_locale_leave(&guard);
    return root;
}

typedef struct Member {
    const char *name;
    size_t node;
} Member;

static int by_name_then_place(const void *a, const void *b)
{
    const Member *x = a, *y = b;
    int order = strcmp(x->name, y->name);
    return order ? order : (x->node > y->node) - (x->node < y->node);
}

static PoiseStatus duplicate_fault(const PoiseDocument *document, const PoiseText *pointer,
                                   const Member *first, const Member *again, PoiseFaults *faults)
{
    const PoiseNode *place = &document->nodes.list[again->node],
                    *before = &document->nodes.list[first->node];
    PoiseText where = {0};
    poise_text_append(&where, pointer->data ? pointer->data : "");
    poise_pointer_push(&where, again->name);
    char *at = poise_text_take(&where);
    char *found = poise_format("the key \"%s\" a second time", again->name);
    char *hint = poise_format("it stands first at line %u, column %u", (unsigned)before->key_line,
                              (unsigned)before->key_column);
    PoiseStatus status = POISE_E_INPUT;
    if (at && found && hint)
        poise_fault_add(faults, &(PoiseFault){.status = status,
                                              .file = document->file,
                                              .line = place->key_line,
                                              .column = place->key_column,
                                              .pointer = at,
                                              .found = found,
                                              .expected = "each key once in an object",
                                              .hint = hint});
    else
        status = poise_fault_memory(faults);
    poise_release(at);
    poise_release(found);
    poise_release(hint);
    return status;
}

/* Duplicate keys of one object (RFC 8259 §4: names SHOULD be unique; what a reader does otherwise
 * differs). */
static PoiseStatus check_members(const PoiseDocument *document, const cJSON *object, size_t node,
                                 const PoiseText *pointer, PoiseFaults *faults)
{
    size_t n = 0, k = 0;
    for (const cJSON *child = object->child; child; child = child->next)
        n++;
    if (n < 2)
        return POISE_OK;
    Member *members = poise_alloc_zero(n, sizeof *members);
    if (!members)
        return poise_fault_memory(faults);
    size_t at = node + 1;
    for (const cJSON *child = object->child; child; child = child->next) {
        members[k++] = (Member){child->string, at};
        at += document->nodes.list[at].size;
    }
    qsort(members, n, sizeof *members, by_name_then_place);
    PoiseStatus status = POISE_OK;
    size_t first = 0;
    for (size_t i = 1; i < n; i++) {
        if (strcmp(members[i].name, members[first].name) != 0) {
            first = i;
            continue;
        }
        PoiseStatus one = duplicate_fault(document, pointer, &members[first], &members[i], faults);
        if (!status)
            status = one;
    }
    poise_release(members);
    return status;
}

static PoiseStatus check_duplicates(const PoiseDocument *document, const cJSON *value, size_t node,
                                    PoiseText *pointer, PoiseFaults *faults)
{
    PoiseStatus status = POISE_OK;
    if (cJSON_IsObject(value))
        status = check_members(document, value, node, pointer, faults);
    size_t at = node + 1, k = 0, length = pointer->length;
    for (const cJSON *child = value->child; child; child = child->next, k++) {
        if (child->child) {
            if (child->string)
                poise_pointer_push(pointer, child->string);
            else
                poise_text_printf(pointer, "/%zu", k);
            PoiseStatus one = check_duplicates(document, child, at, pointer, faults);
            if (!status)
                status = one;
            if (pointer->failed)
                return status;
            pointer->length = length;
            pointer->data[length] = '\0';
        }
        at += document->nodes.list[at].size;
    }
    return status;
}

static PoiseStatus finish(PoiseDocument *document, const char *text, size_t size,
                          PoiseFaults *faults)
{
    document->root = poise_json_tree(text, size);
    if (!document->root) /* the scanner has passed the text: only memory is left */
        return poise_fault_memory(faults);
    PoiseText pointer = {0};
    PoiseStatus status = check_duplicates(document, document->root, 0, &pointer, faults);
    if (pointer.failed)
        status = poise_fault_memory(faults);
    poise_text_clear(&pointer);
    return status;
}

/* A mesh given for the instrument: by the ending of its name, and it does not begin like JSON. */
static bool is_mesh(const char *text, size_t size, const char *file)
{
    static const char *const endings[] = {".stl", ".3mf", ".obj"};
    const char *ending = strrchr(file, '.');
    size_t i = 0;
    while (i < size && strchr(" \t\r\n", text[i]) && text[i])
        i++;
    if (!ending || (i < size && text[i] == '{'))
        return false;
    for (size_t k = 0; k < sizeof endings / sizeof *endings; k++)
        if (strcasecmp(ending, endings[k]) == 0)
            return true;
    return false;
}

PoiseStatus poise_document_parse(const char *text, size_t size, const char *file,
                                 PoiseDocument **document, PoiseFaults *faults)
{
    *document = NULL;
    if (is_mesh(text, size, file))
        return poise_fault_add(
            faults, &(PoiseFault){.status = POISE_E_INPUT,
                                  .file = file,
                                  .found = "a mesh",
                                  .expected = "an instrument file that names it; \"poise section\" "
                                              "weighs a mesh alone"});
    PoiseDocument *d = poise_alloc_zero(1, sizeof *d);
    if (!d)
        return poise_fault_memory(faults);
    d->file = poise_copy_text(file);
    if (!d->file) {
        poise_document_free(d);
        return poise_fault_memory(faults);
    }
    int stopped = 0;
    PoiseStatus status = poise_json_scan(text, size, file, &d->nodes, &stopped, faults);
    if (!stopped) {
        PoiseStatus later = finish(d, text, size, faults);
        if (!status)
            status = later;
    }
    if (status) {
        poise_document_free(d);
        return status;
    }
    *document = d;
    return POISE_OK;
}

PoiseStatus poise_document_read(const char *path, PoiseDocument **document, PoiseFaults *faults)
{
    char *text;
    size_t size;
    *document = NULL;
    PoiseStatus status = poise_file_read(path, POISE_LIMIT_JSON_BYTES, &text, &size, faults);
    if (status)
        return status;
    status = poise_document_parse(text, size, poise_shown_path(path), document, faults);
    poise_release(text);
    return status;
}

void poise_document_free(PoiseDocument *document)
{
    if (!document)
        return;
    poise_release(document->file);
    cJSON_Delete((cJSON *)document->root);
    poise_nodes_clear(&document->nodes);
    poise_release(document);
}

bool poise_document_place(const PoiseDocument *document, const char *pointer, bool key,
                          size_t *line, size_t *column)
{
    if (!poise_pointer_valid(pointer))
        return false;
    /* Walk the tree and the table side by side, one level for each token of the pointer. */
    const cJSON *value = document->root;
    size_t node = 0;
    while (*pointer) {
        size_t n = strcspn(pointer + 1, "/");
        const cJSON *child = poise_pointer_step(value, pointer + 1, n);
        if (!child)
            return false;
        node++;
        for (const cJSON *c = value->child; c != child; c = c->next)
            node += document->nodes.list[node].size;
        value = child;
        pointer += 1 + n;
    }
    const PoiseNode *place = &document->nodes.list[node];
    *line = key ? place->key_line : place->line;
    *column = key ? place->key_column : place->column;
    return true;
}
