#include "bodies/item_fault.h"

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "bodies/item_body.h"

char *poise_item_pointer(const PoiseItem *item, const char *rest)
{
    PoiseText text = {0};
    poise_text_append(&text, "/items/");
    for (const char *c = item->id; *c; c++) {
        /* RFC 6901, section 3: "~" is written ~0 and "/" ~1. */
        if (*c == '~')
            poise_text_append(&text, "~0");
        else if (*c == '/')
            poise_text_append(&text, "~1");
        else
            poise_text_append_n(&text, c, 1);
    }
    poise_text_append(&text, rest);
    return poise_text_take(&text);
}

PoiseStatus poise_item_fault(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseStatus status, const char *rest, const char *found,
                             const char *expected, const char *hint, PoiseFaults *faults)
{
    char *pointer = poise_item_pointer(item, rest);
    if (!pointer)
        return poise_fault_memory(faults);
    poise_fault_add(faults, &(PoiseFault){.status = status,
                                          .file = instrument->file,
                                          .line = item->line,
                                          .column = item->column,
                                          .pointer = pointer,
                                          .found = found,
                                          .expected = expected,
                                          .hint = hint});
    poise_release(pointer);
    return status;
}
