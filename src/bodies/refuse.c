#include "bodies/refuse.h"

#include <stdarg.h>

#include "base/memory.h"
#include "base/text.h"
#include "bodies/item_body.h"
#include "bodies/item_fault.h"

/* A library user may have set a locale with a decimal comma; what poise writes has a point. None of
 * the sentences has a comma between digits otherwise. */
static void point_decimals(char *text)
{
    for (char *c = text; c && *c; c++)
        if (*c == ',' && c > text && c[-1] >= '0' && c[-1] <= '9' && c[1] >= '0' && c[1] <= '9')
            *c = '.';
}

PoiseStatus poise_item_refuse(const PoiseInstrument *instrument, const PoiseItem *item,
                              const char *key, const char *expected, PoiseFaults *faults,
                              const char *found_format, ...)
{
    PoiseText found = {0};
    va_list arguments;
    va_start(arguments, found_format);
    poise_text_vprintf(&found, found_format, arguments);
    va_end(arguments);
    point_decimals(found.data);
    PoiseStatus status = found.failed ? poise_fault_memory(faults)
                                      : poise_item_fault(instrument, item, POISE_E_INPUT, key,
                                                         found.data, expected, NULL, faults);
    poise_text_clear(&found);
    return status;
}

/* "MESH:LINE: what was found", as far as the fault knows its place. Where something was expected,
 * the message starts with "found" and goes on "in MESH". */
static char *found_with_place(const PoiseFault *fault)
{
    const char *found = fault->found ? fault->found : poise_status_name(fault->status);
    const char *in = fault->expected ? "in " : "";
    if (!fault->file)
        return poise_copy_text(found);
    if (fault->line == 0)
        return poise_format("%s%s: %s", in, fault->file, found);
    return poise_format("%s%s:%zu: %s", in, fault->file, fault->line, found);
}

static PoiseStatus pass_one_on(const PoiseInstrument *instrument, const PoiseItem *item,
                               const char *pointer, PoiseStatus status, const PoiseFault *fault,
                               PoiseFaults *faults)
{
    char *found = found_with_place(fault);
    if (!found)
        return poise_fault_memory(faults);
    PoiseFault moved = *fault;
    moved.status = status;
    moved.file = instrument->file;
    moved.line = item->line;
    moved.column = item->column;
    moved.pointer = pointer;
    moved.found = found;
    poise_fault_add(faults, &moved);
    poise_release(found);
    return POISE_OK;
}

PoiseStatus poise_item_pass_on(const PoiseInstrument *instrument, const PoiseItem *item,
                               const char *key, PoiseStatus status, const PoiseFaults *from,
                               PoiseFaults *faults)
{
    char *pointer = poise_item_pointer(item, key);
    if (!pointer)
        return poise_fault_memory(faults);
    PoiseStatus passed = POISE_OK;
    for (size_t i = 0; passed == POISE_OK && i < poise_faults_count(from); i++)
        passed = pass_one_on(instrument, item, pointer, status, poise_faults_get(from, i), faults);
    poise_release(pointer);
    return passed == POISE_OK ? status : passed;
}
