#include "model/place.h"

#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"

const char *const POISE_KEPT_PLACES[] = {"/scale",
                                         "/posts",
                                         "/strap",
                                         "/strap/length",
                                         "/strap/friction",
                                         "/seat",
                                         "/items",
                                         "/observed/scales",
                                         "/observed/scales/0",
                                         "/observed/scales/1",
                                         "/observed/scales/2",
                                         "/observed/scales/3",
                                         "/observed/edge",
                                         "/observed/hanging",
                                         "/observed/slip",
                                         NULL};

_Static_assert(sizeof POISE_KEPT_PLACES / sizeof *POISE_KEPT_PLACES == POISE_KEPT_PLACE_COUNT + 1,
               "one place for each pointer");

/* The longest kept pointer that is `pointer` or leads to it. */
static const PoisePlace *place_of(const PoiseInstrument *in, const char *pointer, size_t *length)
{
    const PoisePlace *best = NULL;
    *length = 0;
    for (size_t i = 0; i < POISE_KEPT_PLACE_COUNT; i++) {
        const char *kept = POISE_KEPT_PLACES[i];
        size_t n = strlen(kept);
        if (!in->places[i].line || n <= *length || strncmp(pointer, kept, n) != 0 ||
            (pointer[n] != '\0' && pointer[n] != '/'))
            continue;
        best = &in->places[i];
        *length = n;
    }
    return best;
}

PoiseStatus poise_instrument_fault(const PoiseInstrument *in, const PoiseFault *fault,
                                   PoiseFaults *faults)
{
    PoiseFault placed = *fault;
    size_t length;
    const PoisePlace *place = fault->pointer ? place_of(in, fault->pointer, &length) : NULL;
    placed.file = in->file;
    if (!place)
        return poise_fault_add(faults, &placed);
    /* The variant's prefix belongs before the rest only when the value is the variant's. */
    char *pointer = poise_format("%s%s", place->pointer, fault->pointer + length);
    if (!pointer)
        return poise_fault_memory(faults);
    placed.line = place->line;
    placed.column = place->column;
    placed.pointer = pointer;
    poise_fault_add(faults, &placed);
    poise_release(pointer);
    return fault->status;
}
