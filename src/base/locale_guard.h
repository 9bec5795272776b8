/* The C locale for a stretch of one thread's work, whatever the host program has set. */
#ifndef POISE_BASE_LOCALE_GUARD_H
#define POISE_BASE_LOCALE_GUARD_H

#include <locale.h>

typedef struct PoiseLocaleGuard {
    locale_t previous, own;
} PoiseLocaleGuard;

/* Only this thread is affected (POSIX uselocale). If no locale object can be made the caller's
 * stays. */
PoiseLocaleGuard poise_locale_enter(void);
void poise_locale_leave(PoiseLocaleGuard *guard);

#endif
