#include "input/reading.h"

#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/near.h"

size_t poise_reading_down(PoiseReading *r, const char *name)
{
    size_t length = r->pointer.length;
    poise_pointer_push(&r->pointer, name);
    return length;
}

size_t poise_reading_down_index(PoiseReading *r, size_t index)
{
    size_t length = r->pointer.length;
    poise_text_printf(&r->pointer, "/%zu", index);
    return length;
}

void poise_reading_up(PoiseReading *r, size_t length)
{
    if (r->pointer.failed)
        return;
    r->pointer.length = length;
    r->pointer.data[length] = '\0';
}

void poise_reading_memory(PoiseReading *r)
{
    PoiseStatus status = poise_fault_memory(r->faults);
    if (!r->status || r->status == POISE_E_INPUT)
        r->status = status;
}

/* Finds the document a value came from. When none has it (it came from a default, a preset or a
 * sweep), its nearest ancestor that some document has gives the line. *pointer (owned) is how that
 * document calls it. */
static bool locate(const PoiseReading *r, bool at_key, PoiseFault *fault, char **pointer)
{
    const char *here = r->pointer.data ? r->pointer.data : "";
    char *ancestor = poise_copy_text(here);
    bool exact = true;
    while (ancestor) {
        for (size_t i = 0; i < r->layer_count; i++) {
            const PoiseLayer *layer = &r->layers[i];
            *pointer = poise_format("%s%s", layer->prefix, ancestor);
            if (!*pointer)
                break;
            if (poise_document_place(layer->document, *pointer, at_key && exact, &fault->line,
                                     &fault->column)) {
                fault->file = layer->document->file;
                poise_release(*pointer);
                *pointer = poise_format("%s%s", exact ? layer->prefix : "", here);
                poise_release(ancestor);
                return *pointer != NULL;
            }
            poise_release(*pointer);
        }
        char *slash = strrchr(ancestor, '/');
        if (!slash)
            break;
        *slash = '\0';
        exact = false;
    }
    poise_release(ancestor);
    *pointer = NULL;
    return false;
}

bool poise_reading_is_full(const PoiseReading *r)
{
    return !r->faults || poise_faults_count(r->faults) >= POISE_LIMIT_FAULTS;
}

void poise_reading_fault(PoiseReading *r, bool at_key, const char *found, const char *expected,
                         const char *hint)
{
    PoiseFault fault = {
        .status = POISE_E_INPUT, .found = found, .expected = expected, .hint = hint};
    char *pointer = NULL;
    /* Past the limit nobody will see the place, and finding it costs a walk. */
    if (!poise_reading_is_full(r)) {
        if (r->pointer.failed || !locate(r, at_key, &fault, &pointer)) {
            poise_reading_memory(r);
            return;
        }
        fault.pointer = pointer;
    }
    poise_fault_add(r->faults, &fault);
    if (!r->status)
        r->status = POISE_E_INPUT;
    poise_release(pointer);
}

void poise_reading_say(PoiseReading *r, const char *expected, const char *hint, const char *format,
                       ...)
{
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    char *found = poise_text_take(&text);
    if (found)
        poise_reading_fault(r, false, found, expected, hint);
    else
        poise_reading_memory(r);
    poise_release(found);
}

void poise_reading_missing(PoiseReading *r, const char *name, const char *expected,
                           const char *hint)
{
    poise_reading_say(r, expected, hint, "no key \"%s\"", name);
}

char *poise_list_of(const char *const *names, size_t n)
{
    enum { SHOWN = 24 };
    PoiseText text = {0};
    if (n == 1) { /* without the marks "a" would be read as an article */
        poise_text_printf(&text, "\"%s\", the only one there is", names[0]);
        return poise_text_take(&text);
    }
    poise_text_append(&text, "one of: ");
    for (size_t i = 0; i < n && i < SHOWN; i++) {
        poise_text_append(&text, i ? ", " : "");
        poise_text_append(&text, names[i]);
    }
    if (n > SHOWN)
        poise_text_append(&text, ", …");
    return poise_text_take(&text);
}

void poise_reading_unknown(PoiseReading *r, const char *what, const char *name,
                           const char *const *known, size_t n)
{
    char shown[64];
    if (poise_reading_is_full(r)) {
        poise_reading_fault(r, true, what, NULL, NULL);
        return;
    }
    PoiseNear near = poise_near_names(name, known, n);
    size_t length = strlen(name);
    int shorter = length > 40 ? 40 : (int)length;
    while (shorter > 0 && ((unsigned char)name[shorter] & 0xC0U) == 0x80U)
        shorter--;
    snprintf(shown, sizeof shown, "%.*s%s", shorter, name, (size_t)shorter < length ? "…" : "");
    char *found = poise_format("%s \"%s\"", what, shown);
    char *expected = poise_list_of(known, n);
    char *hint;
    bool hinted = poise_near_hint(&near, &hint);
    if (found && expected && hinted)
        poise_reading_fault(r, true, found, n ? expected : "none here", hint);
    else
        poise_reading_memory(r);
    poise_release(found);
    poise_release(expected);
    poise_release(hint);
}

const char *poise_found(const cJSON *value, char out[POISE_FOUND_SIZE])
{
    enum { SHOWN = 48 };
    if (cJSON_IsNumber(value)) {
        poise_double_text(value->valuedouble, out);
        return out;
    }
    if (cJSON_IsString(value)) {
        size_t n = strlen(value->valuestring), shown = n > SHOWN ? SHOWN : n;
        while (shown > 0 && ((unsigned char)value->valuestring[shown] & 0xC0U) == 0x80U)
            shown--;
        snprintf(out, POISE_FOUND_SIZE, "\"%.*s%s\"", (int)shown, value->valuestring,
                 shown < n ? "…" : "");
        return out;
    }
    if (cJSON_IsArray(value)) {
        snprintf(out, POISE_FOUND_SIZE, "a list of %d", cJSON_GetArraySize(value));
        return out;
    }
    if (cJSON_IsObject(value))
        return "an object";
    if (cJSON_IsBool(value))
        return cJSON_IsTrue(value) ? "true" : "false";
    return "null";
}

const cJSON *poise_member(const cJSON *object, const char *name)
{
    if (!cJSON_IsObject(object))
        return NULL;
    for (const cJSON *child = object->child; child; child = child->next)
        if (child->string && strcmp(child->string, name) == 0)
            return child;
    return NULL;
}
