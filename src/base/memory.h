/* The library's only door to the heap, so that a test can make each allocation fail in turn. */
#ifndef POISE_BASE_MEMORY_H
#define POISE_BASE_MEMORY_H

#include <stddef.h>

/* Like malloc, calloc, realloc and free; sizes of 0 give a unique pointer, products that overflow
 * give NULL. */
void *poise_alloc(size_t size);
void *poise_alloc_zero(size_t count, size_t size);
void *poise_resize(void *block, size_t count, size_t size);
void poise_release(void *block);

/* A copy of a string (of at most n bytes of it); NULL when out of memory or text is NULL. */
char *poise_copy_text(const char *text);
char *poise_copy_text_n(const char *text, size_t n);

/* Test hook: the allocation numbered `at` (from 0, counted from this call) fails, and with
 * `from_then_on` nonzero so do all after it. at < 0 turns it off. Returns how many allocations were
 * counted since the last call. */
long poise_alloc_fail_at(long at, int from_then_on);

#endif
