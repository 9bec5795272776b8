/* A digest that anyone can check with the tools of their system. */
#ifndef POISE_BASE_SHA256_H
#define POISE_BASE_SHA256_H

#include <stddef.h>

/* SHA-256 (FIPS 180-4) of the bytes, in hexadecimal. Takes up to 2^60 bytes. */
void poise_sha256(const void *data, size_t size, char out[65]);

#endif
