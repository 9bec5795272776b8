#include "base/locale_guard.h"

PoiseLocaleGuard poise_locale_enter(void)
{
    PoiseLocaleGuard guard = {.own = newlocale(LC_ALL_MASK, "C", (locale_t)0)};
    if (guard.own)
        guard.previous = uselocale(guard.own);
    return guard;
}

void poise_locale_leave(PoiseLocaleGuard *guard)
{
    if (guard->own) {
        uselocale(guard->previous);
        freelocale(guard->own);
    }
    *guard = (PoiseLocaleGuard){0};
}
