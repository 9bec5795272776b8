/* The digest against its standard's examples. */
#include "check.h"

#include "base/memory.h"
#include "base/sha256.h"

static void same(const void *data, size_t size, const char *digest)
{
    char out[65];
    poise_sha256(data, size, out);
    assert_string_equal(out, digest);
}

/* NIST, "Cryptographic Standards and Guidelines: Example Values", SHA-256: one block, two blocks;
 * the empty message and a million letters a from the FIPS 180 examples (all from memory). */
static void published_examples(void **state)
{
    (void)state;
    same("", 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    same("abc", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    same("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 56,
         "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    const size_t million = 1000000;
    char *letters = poise_alloc(million);
    assert_non_null(letters);
    memset(letters, 'a', million);
    same(letters, million, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    poise_release(letters);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(published_examples)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
