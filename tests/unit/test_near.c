/* Names that are like one that nobody knows. */
#include "check.h"

#include "base/memory.h"
#include "base/near.h"

static const char *const NAMES[] = {"northern-red-oak", "white-oak",  "sugar-maple",
                                    "nut_width",        "spine-tail", "upper wing",
                                    "tuners-6-inline",  "tuners-3-3", "tuner-bushing",
                                    "tuners-4-inline",  "oakum-fill", "M3-screw"};
enum { COUNT = sizeof NAMES / sizeof *NAMES };

/* The hint for a name; NULL: none. */
static void hints(const char *asked, size_t count, const char *want)
{
    PoiseNear near = poise_near_names(asked, NAMES, COUNT);
    char *hint;
    assert_int_equal(near.count, count);
    assert_true(poise_near_hint(&near, &hint));
    if (want)
        assert_string_equal(hint, want);
    else
        assert_null(hint);
    poise_release(hint);
}

static void names_what_shares_most_words(void **state)
{
    (void)state;
    hints("oak", 2, "did you mean \"northern-red-oak\" or \"white-oak\"?"); /* not "oakum" */
    hints("Red-Oak", 1, "did you mean \"northern-red-oak\"?");
    hints("spine", 1, "did you mean \"spine-tail\"?");
    hints("wing lower", 1, "did you mean \"upper wing\"?");
    hints("board width", 1, "did you mean \"nut_width\"?");
    hints("inline tuner set", 2, "did you mean \"tuners-6-inline\" or \"tuners-4-inline\"?");
    hints("tuner", 4, NULL);                                          /* too many to list */
    hints("tuners-6-inlnie", 1, "did you mean \"tuners-6-inline\"?"); /* a slip comes first */
}

static void says_nothing_of_short_words(void **state)
{
    (void)state;
    hints("6-string", 0, NULL); /* a number alone is no likeness */
    hints("m3-nut-9000", 1, "did you mean \"nut_width\"?");
    hints("", 0, NULL);
    hints("---", 0, NULL);
    hints("ebony", 0, NULL);
    PoiseNear near = poise_near_names("oak", NAMES, 0);
    assert_int_equal(near.count, 0);
}

static void takes_words_apart(void **state)
{
    (void)state;
    PoiseText text = {0};
    poise_near_append_words(&text, "pickup-humbucker; \"42\" Grün$(x)");
    char *words = poise_text_take(&text);
    assert_string_equal(words, " pickup humbucker 42 Grün x");
    poise_release(words);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_what_shares_most_words),
        cmocka_unit_test(says_nothing_of_short_words),
        cmocka_unit_test(takes_words_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
