/* The engine's doors for a page: memory and results cross as numbers. */
#ifdef __wasm__

#include <stdlib.h>

#include "base/memory.h"
#include "report/engine.h"

#define DOOR(name) __attribute__((export_name(name)))

double *poise_page_room(unsigned count);
int poise_page_solve(const double *numbers, PoiseEngineResult *result);
void poise_page_place(const double *numbers, unsigned ballast, double *at_mm);
char *poise_page_words(const double *numbers);
void poise_page_free(void *block);

DOOR("room") double *poise_page_room(unsigned count)
{
    return poise_alloc_zero(count, sizeof(double));
}

DOOR("solve") int poise_page_solve(const double *numbers, PoiseEngineResult *result)
{
    return poise_engine_solve(numbers, result);
}

DOOR("place") void poise_page_place(const double *numbers, unsigned ballast, double *at_mm)
{
    poise_engine_place(numbers, ballast, at_mm);
}

/* A string to be freed with "free", or 0. */
DOOR("words") char *poise_page_words(const double *numbers)
{
    PoiseText text = {0};
    poise_engine_words(numbers, &text);
    return poise_text_take(&text);
}

DOOR("free") void poise_page_free(void *block)
{
    poise_release(block);
}

#else
/* A translation unit may not be empty (ISO C 6.9). */
typedef int PoiseNoPage;
#endif
