#include "base/memory.h"

#include <stdatomic.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static atomic_long counted;
static atomic_long fail_at = -1;
static atomic_int fail_rest;

static int must_fail(void)
{
    long n = atomic_fetch_add(&counted, 1);
    long at = atomic_load(&fail_at);
    return at >= 0 && (n == at || (n > at && atomic_load(&fail_rest)));
}

long poise_alloc_fail_at(long at, int from_then_on)
{
    atomic_store(&fail_at, at);
    atomic_store(&fail_rest, from_then_on);
    return atomic_exchange(&counted, 0);
}

void *poise_alloc(size_t size)
{
    return must_fail() ? NULL : malloc(size ? size : 1);
}

void *poise_alloc_zero(size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size)
        return NULL;
    if (must_fail())
        return NULL;
    return count && size ? calloc(count, size) : calloc(1, 1);
}

void *poise_resize(void *block, size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size)
        return NULL;
    if (must_fail())
        return NULL;
    size_t bytes = count * size;
    return realloc(block, bytes ? bytes : 1);
}

void poise_release(void *block)
{
    free(block);
}

char *poise_copy_text_n(const char *text, size_t n)
{
    if (!text)
        return NULL;
    size_t length = strnlen(text, n);
    char *copy = poise_alloc(length + 1);
    if (!copy)
        return NULL;
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

char *poise_copy_text(const char *text)
{
    return text ? poise_copy_text_n(text, strlen(text)) : NULL;
}
