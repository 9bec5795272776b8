/* Searching the component library: exact words, insides of words, slips, and what is not there. */
#include "check.h"

#include <stdbool.h>

#include "output/parts_list.h"

static const PoiseListed SHELF[] = {
    {.kind = POISE_LISTED_PART,
     .id = "tuners-4-split",
     .name = "Four bass tuners",
     .family = "tuners"},
    {.kind = POISE_LISTED_PART,
     .id = "square-nut-m4",
     .name = "Square nut M4",
     .family = "fasteners"},
    {.kind = POISE_LISTED_PART, .id = "nut-bone", .name = "Guitar nut, bone", .family = "nuts"},
    {.kind = POISE_LISTED_PART, .id = "bridge-vibrato", .name = "Vibrato", .family = "bridges"},
    {.kind = POISE_LISTED_NECK, .id = "bass-864", .name = "Bass neck", .family = "necks"},
    {.kind = POISE_LISTED_MATERIAL, .id = "bone", .name = "Bone, cow", .family = "other"},
    {.kind = POISE_LISTED_MATERIAL, .id = "black-walnut", .name = "Black walnut", .family = "wood"},
};

/* Searches for words separated by a space and wants exactly these ids, in this order. */
static void finds(const char *words, int kind, const char *family, PoiseMatch match,
                  const char *ids)
{
    char copy[128], got[512] = "";
    snprintf(copy, sizeof copy, "%s", words);
    const char *list[8];
    PoisePartsQuery query = {.words = list, .kind = kind, .family = family};
    for (char *w = strtok(copy, " "); w; w = strtok(NULL, " "))
        list[query.word_count++] = w;
    PoiseListing l = {0};
    for (size_t i = 0; i < sizeof SHELF / sizeof *SHELF; i++)
        assert_int_equal(poise_listing_add(&l, &SHELF[i]), POISE_OK);
    poise_listing_search(&l, &query);
    for (size_t i = 0; i < l.count && match != POISE_MATCH_NONE; i++) {
        size_t n = strlen(got);
        snprintf(got + n, sizeof got - n, "%s%s", n ? " " : "", l.entries[i].id);
    }
    assert_string_equal(got, ids);
    assert_int_equal(l.match, match);
    poise_listing_clear(&l);
}

static void words_start_words_whatever_their_case(void **state)
{
    (void)state;
    finds("nut", -1, NULL, POISE_MATCH_WORDS, "square-nut-m4 nut-bone"); /* no walnut */
    finds("NUT Squ", -1, NULL, POISE_MATCH_WORDS, "square-nut-m4");
    finds("bass", -1, NULL, POISE_MATCH_WORDS, "tuners-4-split bass-864");
    finds("wood", -1, NULL, POISE_MATCH_WORDS, "black-walnut");
    finds("tremolo", -1, NULL, POISE_MATCH_WORDS, "bridge-vibrato"); /* the trade's other word */
}

static void filters_come_first(void **state)
{
    (void)state;
    finds("", -1, "tuners", POISE_MATCH_ALL, "tuners-4-split");
    finds("bone", POISE_LISTED_MATERIAL, NULL, POISE_MATCH_WORDS, "bone");
    finds("bass", POISE_LISTED_NECK, NULL, POISE_MATCH_WORDS, "bass-864");
    finds("bass", POISE_LISTED_STRINGS, NULL, POISE_MATCH_NONE, "");
}

static void insides_and_slips_only_when_there_is_nothing_better(void **state)
{
    (void)state;
    finds("alnut", -1, NULL, POISE_MATCH_PARTS, "black-walnut");
    finds("tunres", -1, NULL, POISE_MATCH_NEAR, "tuners-4-split");
    finds("sqaure nut", -1, NULL, POISE_MATCH_NEAR, "square-nut-m4");
    finds("bn", -1, NULL, POISE_MATCH_NONE, "");
    finds("bone tuners", -1, NULL, POISE_MATCH_NONE, "");
    finds("zither", -1, NULL, POISE_MATCH_NONE, "");
}

/* An id by itself is that one, with its namesakes behind it. */
static void an_id_is_exact(void **state)
{
    (void)state;
    const char *word = "bone";
    PoiseListing l = {0};
    for (size_t i = 0; i < sizeof SHELF / sizeof *SHELF; i++)
        assert_int_equal(poise_listing_add(&l, &SHELF[i]), POISE_OK);
    PoisePartsQuery query = {.word_count = 1, .words = &word, .kind = -1};
    poise_listing_search(&l, &query);
    assert_int_equal(l.count, 2);
    assert_false(l.entries[0].exact);
    assert_true(l.entries[1].exact);
    assert_int_equal(poise_listing_hits(&l, "cow"), 1);
    poise_listing_clear(&l);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_start_words_whatever_their_case),
        cmocka_unit_test(filters_come_first),
        cmocka_unit_test(insides_and_slips_only_when_there_is_nothing_better),
        cmocka_unit_test(an_id_is_exact),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
