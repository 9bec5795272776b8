/* What the fuzz targets share. Each target defines LLVMFuzzerTestOneInput(), the entry point that
 * libFuzzer calls (https://llvm.org/docs/LibFuzzer.html); replay.c calls it for stored inputs. */
#ifndef POISE_TEST_FUZZ_H
#define POISE_TEST_FUZZ_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A property that must hold whatever the input: says which does not, and aborts. */
#define REQUIRE(condition)                                                                         \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: does not hold: %s\n", __FILE__, __LINE__, #condition);         \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

/* |a − b| ≤ tolerance, or both have no meaning. */
#define REQUIRE_NEAR(a, b, tolerance)                                                              \
    do {                                                                                           \
        double got_ = (a), want_ = (b), most_ = (tolerance);                                       \
        if (!(fabs(got_ - want_) <= most_) && !(isnan(got_) && isnan(want_))) {                    \
            fprintf(stderr, "%s:%d: %s is %.17g, %s is %.17g, apart by more than %g\n", __FILE__,  \
                    __LINE__, #a, got_, #b, want_, most_);                                         \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

/* Bytes taken from the front of an input; 0 once they are used up. */
typedef struct FuzzBytes {
    const uint8_t *data;
    size_t size;
} FuzzBytes;

static inline unsigned fuzz_byte(FuzzBytes *b)
{
    if (b->size == 0)
        return 0;
    b->size--;
    return *b->data++;
}

/* A whole number in lo … hi. */
static inline int fuzz_int(FuzzBytes *b, int lo, int hi)
{
    unsigned n = fuzz_byte(b) << 8;
    n |= fuzz_byte(b);
    return lo + (int)(n % (unsigned)(hi - lo + 1));
}

/* A number in lo … hi, one of 65536. */
static inline double fuzz_number(FuzzBytes *b, double lo, double hi)
{
    return lo + (hi - lo) * fuzz_int(b, 0, 65535) / 65535.0;
}

/* GEOS 3.11 loses a few hundred bytes when an offset ends in an exception of its own
 * (PolygonBuilder::add). Its frames cannot be told apart here (libstdc++ keeps no frame pointers),
 * so the fuzzers look away from all that C++ allocates. The unit tests do not. */
__attribute__((weak, visibility("default"))) const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:libstdc++\nleak:libgeos\n";
}

#endif
