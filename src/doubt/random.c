#include "doubt/random.h"

enum { ROUNDS = 10 };
static const uint32_t MULTIPLIER_0 = 0xD2511F53u, MULTIPLIER_1 = 0xCD9E8D57u;
/* The golden ratio and √3 − 1 in 32-bit fractions: steps of the key from round to round. */
static const uint32_t WEYL_0 = 0x9E3779B9u, WEYL_1 = 0xBB67AE85u;

void poise_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4])
{
    uint32_t c0 = counter[0], c1 = counter[1], c2 = counter[2], c3 = counter[3];
    uint32_t k0 = key[0], k1 = key[1];
    for (int i = 0; i < ROUNDS; i++) {
        uint64_t p0 = (uint64_t)MULTIPLIER_0 * c0, p1 = (uint64_t)MULTIPLIER_1 * c2;
        c0 = (uint32_t)(p1 >> 32) ^ c1 ^ k0;
        c2 = (uint32_t)(p0 >> 32) ^ c3 ^ k1;
        c1 = (uint32_t)p1;
        c3 = (uint32_t)p0;
        k0 += WEYL_0;
        k1 += WEYL_1;
    }
    out[0] = c0;
    out[1] = c1;
    out[2] = c2;
    out[3] = c3;
}

static double midpoint(uint32_t high, uint32_t low)
{
    uint64_t step = ((uint64_t)high << 32 | low) >> 12;
    return ((double)step + 0.5) * 0x1p-52;
}

void poise_uniform_pair(uint64_t seed, uint64_t trial, uint32_t draw, double u[2])
{
    const uint32_t counter[4] = {(uint32_t)trial, (uint32_t)(trial >> 32), draw, 0};
    const uint32_t key[2] = {(uint32_t)seed, (uint32_t)(seed >> 32)};
    uint32_t words[4];
    poise_philox(counter, key, words);
    u[0] = midpoint(words[0], words[1]);
    u[1] = midpoint(words[2], words[3]);
}
