#include "base/faults.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>

#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"

struct PoiseFaults {
    PoiseFault *list;
    size_t count, capacity;
    PoiseStatus first; /* kept apart so that it survives running out of memory */
    size_t unlisted;
    char more[40]; /* the closing line's words, when there are unlisted ones */
    PoiseFault closing;
    bool memory;
};

static const PoiseFault MEMORY_FAULT = {.status = POISE_E_MEMORY, .found = "out of memory"};

const char *poise_status_name(PoiseStatus status)
{
    switch (status) {
    case POISE_OK:
        return "done";
    case POISE_E_USAGE:
        return "usage";
    case POISE_E_INPUT:
        return "bad input file";
    case POISE_E_MESH:
        return "bad mesh";
    case POISE_E_IO:
        return "cannot read or write";
    case POISE_E_DOMAIN:
        return "no answer for these numbers";
    case POISE_E_MEMORY:
        return "out of memory";
    case POISE_E_INTERNAL:
        break;
    }
    return "internal fault";
}

int poise_status_exit_code(PoiseStatus status)
{
    switch (status) {
    case POISE_OK:
        return 0;
    case POISE_E_USAGE:
        return 2;
    case POISE_E_INPUT:
    case POISE_E_DOMAIN: /* a file whose numbers have no answer is a bad file */
        return 3;
    case POISE_E_MESH:
        return 4;
    case POISE_E_IO:
        return 5;
    case POISE_E_MEMORY:
    case POISE_E_INTERNAL:
        break;
    }
    return 70;
}

PoiseFaults *poise_faults_new(void)
{
    return poise_alloc_zero(1, sizeof(PoiseFaults));
}

static void release_strings(PoiseFault *f)
{
    poise_release((void *)f->file);
    poise_release((void *)f->pointer);
    poise_release((void *)f->found);
    poise_release((void *)f->expected);
    poise_release((void *)f->hint);
}

void poise_faults_free(PoiseFaults *faults)
{
    if (!faults)
        return;
    for (size_t i = 0; i < faults->count; i++)
        release_strings(&faults->list[i]);
    poise_release(faults->list);
    poise_release(faults);
}

size_t poise_faults_count(const PoiseFaults *faults)
{
    return faults->count + (faults->unlisted ? 1 : 0) + (faults->memory ? 1 : 0);
}

size_t poise_faults_total(const PoiseFaults *faults)
{
    return faults->count + faults->unlisted + (faults->memory ? 1 : 0);
}

const PoiseFault *poise_faults_get(const PoiseFaults *faults, size_t i)
{
    if (i < faults->count)
        return &faults->list[i];
    i -= faults->count;
    if (faults->unlisted && i-- == 0)
        return &faults->closing;
    return i == 0 && faults->memory ? &MEMORY_FAULT : NULL;
}

PoiseStatus poise_faults_status(const PoiseFaults *faults)
{
    return faults->first;
}

PoiseStatus poise_fault_memory(PoiseFaults *faults)
{
    if (faults) {
        if (!faults->first)
            faults->first = POISE_E_MEMORY;
        faults->memory = true;
    }
    return POISE_E_MEMORY;
}

static bool copy_into(const char **to, const char *from)
{
    *to = poise_copy_text(from);
    return *to || !from;
}

/* Counts a fault that is not listed; the closing line says how many. */
static void leave_out(PoiseFaults *faults, PoiseStatus status)
{
    faults->unlisted++;
    snprintf(faults->more, sizeof faults->more, "… and %zu more", faults->unlisted);
    if (faults->unlisted == 1)
        faults->closing = (PoiseFault){.status = status, .found = faults->more};
}

PoiseStatus poise_fault_add(PoiseFaults *faults, const PoiseFault *fault)
{
    if (!faults)
        return fault->status;
    if (!faults->first)
        faults->first = fault->status;
    if (faults->count >= POISE_LIMIT_FAULTS) {
        leave_out(faults, fault->status);
        return fault->status;
    }
    if (faults->count == faults->capacity) {
        size_t capacity = faults->capacity ? 2 * faults->capacity : 8;
        PoiseFault *list = poise_resize(faults->list, capacity, sizeof *list);
        if (!list) {
            poise_fault_memory(faults);
            return fault->status;
        }
        faults->list = list;
        faults->capacity = capacity;
    }
    PoiseFault *copy = &faults->list[faults->count];
    *copy = (PoiseFault){.status = fault->status, .line = fault->line, .column = fault->column};
    bool ok = copy_into(&copy->file, fault->file);
    ok = copy_into(&copy->pointer, fault->pointer) && ok;
    ok = copy_into(&copy->found, fault->found) && ok;
    ok = copy_into(&copy->expected, fault->expected) && ok;
    ok = copy_into(&copy->hint, fault->hint) && ok;
    if (!ok) {
        release_strings(copy);
        poise_fault_memory(faults);
        return fault->status;
    }
    faults->count++;
    return fault->status;
}

PoiseStatus poise_fault_say(PoiseFaults *faults, PoiseStatus status, const char *file,
                            const char *format, ...)
{
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    char *sentence = poise_text_take(&text);
    if (!sentence)
        return poise_fault_memory(faults);
    poise_fault_add(faults, &(PoiseFault){.status = status, .file = file, .found = sentence});
    poise_release(sentence);
    return status;
}

char *poise_fault_text(const PoiseFault *f)
{
    PoiseText text = {0};
    if (f->file) {
        poise_text_append_inert(&text, f->file);
        if (f->line)
            poise_text_printf(&text, ":%zu:%zu", f->line, f->column);
        poise_text_append(&text, ": ");
    }
    if (f->pointer) {
        poise_text_append_inert(&text, *f->pointer ? f->pointer : "(whole document)");
        poise_text_append(&text, ": ");
    }
    if (f->expected && f->found)
        poise_text_append(&text, "found ");
    poise_text_append_inert(&text, f->found ? f->found : poise_status_name(f->status));
    if (f->expected) {
        poise_text_append(&text, ", expected ");
        poise_text_append_inert(&text, f->expected);
    }
    if (f->hint) {
        poise_text_append(&text, "; ");
        poise_text_append_inert(&text, f->hint);
    }
    return poise_text_take(&text);
}

void poise_string_free(char *text)
{
    poise_release(text);
}
