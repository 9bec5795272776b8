#include "geometry/hash.h"

#include <string.h>

#define P1 UINT64_C(0x9E3779B185EBCA87)
#define P2 UINT64_C(0xC2B2AE3D27D4EB4F)
#define P3 UINT64_C(0x165667B19E3779F9)
#define P4 UINT64_C(0x85EBCA77C2B2AE63)
#define P5 UINT64_C(0x27D4EB2F165667C5)

static inline uint64_t turn(uint64_t v, int by)
{
    return v << by | v >> (64 - by);
}

/* Little-endian numbers at any address. */
static inline uint64_t take64(const unsigned char *p)
{
    uint64_t v;
    memcpy(&v, p, sizeof v);
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
    v = __builtin_bswap64(v);
#endif
    return v;
}

static inline uint64_t take32(const unsigned char *p)
{
    return (uint64_t)p[0] | (uint64_t)p[1] << 8 | (uint64_t)p[2] << 16 | (uint64_t)p[3] << 24;
}

static inline uint64_t round64(uint64_t lane, uint64_t input)
{
    return turn(lane + input * P2, 31) * P1;
}

static void begin(uint64_t lane[4], uint64_t seed)
{
    lane[0] = seed + P1 + P2;
    lane[1] = seed + P2;
    lane[2] = seed;
    lane[3] = seed - P1;
}

/* `rest` are the last size % 32 bytes; the lanes hold all before them. */
static uint64_t finish(const uint64_t lane[4], uint64_t seed, const unsigned char *rest,
                       size_t size)
{
    uint64_t h = seed + P5;
    if (size >= 32) {
        h = turn(lane[0], 1) + turn(lane[1], 7) + turn(lane[2], 12) + turn(lane[3], 18);
        for (int i = 0; i < 4; i++)
            h = (h ^ round64(0, lane[i])) * P1 + P4;
    }
    h += (uint64_t)size;
    size_t left = size % 32;
    for (; left >= 8; left -= 8, rest += 8)
        h = turn(h ^ round64(0, take64(rest)), 27) * P1 + P4;
    if (left >= 4) {
        h = turn(h ^ take32(rest) * P1, 23) * P2 + P3;
        left -= 4;
        rest += 4;
    }
    for (; left > 0; left--, rest++)
        h = turn(h ^ *rest * P5, 11) * P1;
    h = (h ^ h >> 33) * P2;
    h = (h ^ h >> 29) * P3;
    return h ^ h >> 32;
}

uint64_t poise_xxh64(const void *data, size_t size, uint64_t seed)
{
    const unsigned char *p = data;
    uint64_t lane[4];
    begin(lane, seed);
    for (size_t n = size / 32; n > 0; n--, p += 32)
        for (int i = 0; i < 4; i++)
            lane[i] = round64(lane[i], take64(p + 8 * i));
    return finish(lane, seed, p, size);
}

PoiseFingerprint poise_fingerprint(const void *data, size_t size)
{
    /* The second seed: the fraction of √2. */
    static const uint64_t seed[2] = {0, UINT64_C(0x6A09E667F3BCC908)};
    const unsigned char *p = data;
    uint64_t a[4], b[4];
    begin(a, seed[0]);
    begin(b, seed[1]);
    for (size_t n = size / 32; n > 0; n--, p += 32)
        for (int i = 0; i < 4; i++) {
            uint64_t input = take64(p + 8 * i) * P2;
            a[i] = turn(a[i] + input, 31) * P1;
            b[i] = turn(b[i] + input, 31) * P1;
        }
    return (PoiseFingerprint){{finish(a, seed[0], p, size), finish(b, seed[1], p, size)}};
}
