/* Text: growing, what a terminal may be shown, widths, numbers, nearest words. */
#include "check.h"

#include <float.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"

static void inert(const char *from, const char *want)
{
    PoiseText t = {0};
    poise_text_append_inert(&t, from);
    char *got = poise_text_take(&t);
    assert_string_equal(got, want);
    poise_release(got);
}

static void shows_hostile_text_inert(void **state)
{
    (void)state;
    inert("plain ± ½ 木", "plain ± ½ 木");
    inert("", "");
    inert("a\033[31mb\007\n\r\t\177", "a\\x1B[31mb\\x07\\x0A\\x0D\\x09\\x7F");
    inert("\xC2\x9B"
          "31m",
          "\\x9B31m"); /* a C1 control: CSI in one character */
    inert("\xE2\x80\xAE"
          "gnp",
          "\\u{202E}gnp"); /* right-to-left override */
    inert("\xE2\x81\xA6\xD8\x9C\xEF\xBB\xBF\xE2\x80\xA8", "\\u{2066}\\u{061C}\\u{FEFF}\\u{2028}");
}

/* Byte sequences that are not UTF-8: overlong, surrogates, past the end, cut short, stray. RFC
 * 3629, section 3 and 10. */
static void shows_broken_utf8_as_bytes(void **state)
{
    (void)state;
    inert("\xC0\xAF", "\\xC0\\xAF");
    inert("\xE0\x80\xAF", "\\xE0\\x80\\xAF");
    inert("\xED\xA0\x80", "\\xED\\xA0\\x80");
    inert("\xF4\x90\x80\x80", "\\xF4\\x90\\x80\\x80");
    inert("\xF5z", "\\xF5z");
    inert("\xE2\x82", "\\xE2\\x82");
    inert("\x80"
          "a",
          "\\x80"
          "a");
    inert("\xF0\x9F\x98\x80", "\xF0\x9F\x98\x80");
}

/* Widths of Unicode Standard Annex 11, East Asian Width. */
static void knows_columns(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t columns;
    } cases[] = {{"", 0},         {"abc", 3},           {"½±", 2},
                 {"木", 2},       {"e\xCC\x81", 1},     {"한", 2},
                 {"Ａ", 2},       {"\xE2\x80\x8B", 0},  {"\xF0\x9F\x8E\xB8", 2},
                 {"\xFF\xFE", 2}, {"\xEF\xA4\x80", 2},  {"\xF0\xA0\x80\x80", 2},
                 {"ᄀ", 2},       {"a\xEF\xB8\x8F", 1}, {"\xE2\x83\x90", 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_int_equal(poise_text_columns(cases[i].text), cases[i].columns);
}

static void writes_numbers_back(void **state)
{
    (void)state;
    static const double values[] = {0.1,     1.0 / 3.0, 1e-7,         123456789.0, -2.5,
                                    DBL_MAX, DBL_MIN,   5e-324 /* */, 0.0,         1e22};
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        char text[32];
        poise_double_text(values[i], text);
        check_near(strtod(text, NULL), values[i], 0.0);
    }
    char text[32];
    poise_double_text(0.1, text);
    assert_string_equal(text, "0.1");
}

static void finds_slips(void **state)
{
    (void)state;
    static const char *const words[] = {"density", "infill", "perimeters", "layer", "at"};
    assert_string_equal(poise_nearest("infil", words, 5), "infill");
    assert_string_equal(poise_nearest("PERIMTERS", words, 5), "perimeters");
    assert_string_equal(poise_nearest("lyaer", words, 5), "layer");
    assert_null(poise_nearest("xyzzy", words, 5));
    assert_null(poise_nearest("x", words, 0));
    assert_int_equal(poise_edit_distance("", "abc"), 3);
    assert_int_equal(poise_edit_distance("abc", ""), 3);
    assert_int_equal(poise_edit_distance("ca", "ac"), 1); /* one transposition */
    assert_int_equal(poise_edit_distance("kitten", "sitting"), 3);
    char endless[200];
    memset(endless, 'a', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    assert_int_equal(poise_edit_distance(endless, "a"), 199); /* too long to compare */
    assert_int_equal(poise_edit_distance("a", endless), 199);
}

static void a_failed_text_stays_failed(void **state)
{
    (void)state;
    PoiseText t = {0};
    poise_alloc_fail_at(0, 0);
    poise_text_append(&t, "lost");
    poise_alloc_fail_at(-1, 0);
    assert_true(t.failed);
    poise_text_append(&t, "more");
    poise_text_printf(&t, "%d", 5);
    poise_text_append_inert(&t, "a");
    assert_null(poise_text_take(&t));
    assert_false(t.failed); /* empty, and as good as new */
    poise_text_append_n(&t, "abc", 2);
    char *kept = poise_text_take(&t);
    assert_string_equal(kept, "ab");
    poise_release(kept);
    assert_null(poise_copy_text(NULL));
    assert_null(poise_copy_text_n(NULL, 5));
    assert_null(poise_resize(NULL, (size_t)-1, 16));
    assert_null(poise_alloc_zero((size_t)-1, 16));
    void *nothing = poise_alloc(0), *none = poise_alloc_zero(0, 8);
    assert_non_null(nothing);
    assert_non_null(none);
    nothing = poise_resize(nothing, 0, 8);
    assert_non_null(nothing);
    poise_release(nothing);
    poise_release(none);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shows_hostile_text_inert),
        cmocka_unit_test(shows_broken_utf8_as_bytes),
        cmocka_unit_test(knows_columns),
        cmocka_unit_test(writes_numbers_back),
        cmocka_unit_test(finds_slips),
        cmocka_unit_test(a_failed_text_stays_failed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
