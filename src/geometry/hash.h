/* A fast fingerprint of a file's bytes. */
#ifndef POISE_GEOMETRY_HASH_H
#define POISE_GEOMETRY_HASH_H

#include <stddef.h>
#include <stdint.h>

/* The 64-bit XXH64 function of its published specification (version 0.1.1, Y. Collet): four lanes
 * of multiply and rotate, some 10 GB/s. Not cryptographic: see poise_fingerprint(). */
uint64_t poise_xxh64(const void *data, size_t size, uint64_t seed);

/* 128 bits: two XXH64 with unrelated seeds, made in one pass. Files that differ by accident share
 * one with probability 2^-128 per pair, 2^-84 among the four million pairs of two thousand cached
 * records: disks err far more often. Whoever makes two files collide on purpose deceives the reader
 * of one's own cache, so the price of a cryptographic function (ten times the time) buys nothing
 * here. */
typedef struct PoiseFingerprint {
    uint64_t word[2];
} PoiseFingerprint;
PoiseFingerprint poise_fingerprint(const void *data, size_t size);

#endif
