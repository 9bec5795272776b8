#include "scale/refusal.h"

#include <stdio.h>

PoiseStatus poise_refuse_reading(PoiseFaults *faults, const char *list, size_t i, const char *key,
                                 const char *found, const char *expected)
{
    char pointer[64];
    snprintf(pointer, sizeof pointer, "/%s/%zu%s%s", list, i, key ? "/" : "", key ? key : "");
    return poise_refuse(faults, pointer, found, expected);
}
