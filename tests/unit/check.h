/* cmocka with the headers it wants, and comparisons that print both values. */
#ifndef POISE_TEST_CHECK_H
#define POISE_TEST_CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static inline void check_near_at(double got, double want, double tolerance, const char *what,
                                 const char *file, int line)
{
    if (!(fabs(got - want) <= tolerance)) {
        print_error("%s: got %.17g, want %.17g ± %g (off by %.3g)\n", what, got, want, tolerance,
                    got - want);
        _fail(file, line);
    }
}

/* |got − want| ≤ tolerance, in the value's own unit. NaN never passes. */
#define check_near(got, want, tolerance)                                                           \
    check_near_at((got), (want), (tolerance), #got, __FILE__, __LINE__)
/* The same with a tolerance relative to |want|. */
#define check_close(got, want, relative)                                                           \
    check_near_at((got), (want), (relative)*fabs(want), #got, __FILE__, __LINE__)

#endif
