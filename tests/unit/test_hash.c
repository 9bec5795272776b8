/* The fingerprint against published values. */
#include "check.h"
#include "geometry/hash.h"

/* Values of XXH64 as its implementations' documentation and test suites print them (from memory).
 * The last is longer than 32 bytes, so that the lanes are used. */
static void published(void **state)
{
    (void)state;
    static const char long_text[] = "Nobody inspects the spammish repetition";
    assert_true(poise_xxh64("", 0, 0) == UINT64_C(0xEF46DB3751D8E999));
    assert_true(poise_xxh64("a", 1, 0) == UINT64_C(0xD24EC4F1A98C6E5B));
    assert_true(poise_xxh64("abc", 3, 0) == UINT64_C(0x44BC2CF5AD770999));
    assert_true(poise_xxh64(long_text, sizeof long_text - 1, 0) == UINT64_C(0xFBCEA83C8A378BF1));
}

/* Both words of the fingerprint are XXH64 with a seed of its own, at every length and address. */
static void one_pass(void **state)
{
    (void)state;
    unsigned char bytes[200];
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (unsigned char)(i * 37 + 11);
    for (size_t from = 0; from < 8; from++)
        for (size_t size = 0; size + from <= sizeof bytes; size++) {
            PoiseFingerprint f = poise_fingerprint(bytes + from, size);
            assert_true(f.word[0] == poise_xxh64(bytes + from, size, 0));
            assert_true(f.word[1] == poise_xxh64(bytes + from, size, UINT64_C(0x6A09E667F3BCC908)));
        }
}

/* Every single bit counts, and so does the length. */
static void sensitive(void **state)
{
    (void)state;
    unsigned char bytes[100] = {0};
    PoiseFingerprint plain = poise_fingerprint(bytes, sizeof bytes);
    for (size_t bit = 0; bit < 8 * sizeof bytes; bit++) {
        bytes[bit / 8] ^= (unsigned char)(1u << bit % 8);
        PoiseFingerprint other = poise_fingerprint(bytes, sizeof bytes);
        assert_true(other.word[0] != plain.word[0] && other.word[1] != plain.word[1]);
        bytes[bit / 8] ^= (unsigned char)(1u << bit % 8);
    }
    for (size_t size = 0; size < sizeof bytes; size++)
        assert_true(poise_fingerprint(bytes, size).word[0] != plain.word[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published),
        cmocka_unit_test(one_pass),
        cmocka_unit_test(sensitive),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
