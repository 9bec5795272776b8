/* Out of memory while comparing variants, searching the library, or looking for remedies: as in
 * test_alloc_failure.c. The solver of linear programmes allocates for itself, out of reach here. */
#include "alloc_help.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>

#include "decide/compare.h"
#include "decide/remedy.h"
#include "output/parts_list.h"
#include "poise/poise.h"

static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/tests/data/components";
static PoiseShelf shelf;

/* Neck-heavy, with what may be changed about it. */
static const char DIVING[] =
    "{\"poise\":1,\"name\":\"Reed\",\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],"
    "\"frets\":22},\"posts\":{\"tail\":[-60,0,0],\"horn\":[330,90,0]},"
    "\"strap\":{\"length\":1100,\"friction\":0.2},\"target\":{\"hand_load\":50,\"mass\":\"3.5 "
    "kg\"},"
    "\"items\":{\"body\":{\"kind\":\"mass\",\"mass\":\"1.6 kg ± 50 g\",\"at\":[60,0,0]},"
    "\"neck\":{\"kind\":\"neck\",\"preset\":\"test-neck\"},"
    "\"head\":{\"kind\":\"mass\",\"mass\":\"350 g\",\"at\":[740,0,0]},"
    "\"lead\":{\"kind\":\"mass\",\"mass\":0,\"at\":[-50,0,0],\"ballast\":{\"max\":\"600 g\"}}},"
    "\"variants\":{\"light\":{\"items\":{\"head\":{\"mass\":\"150 g\"}}},"
    "\"heavy\":{\"items\":{\"body\":{\"mass\":\"2 kg\"}}}}}";

static const char *diving_file(void)
{
    static const char path[] = POISE_TEST_BINARY_DIR "/alloc-reed.json";
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    assert_true(fputs(DIVING, f) >= 0);
    assert_int_equal(fclose(f), 0);
    return path;
}

static Outcome compare(const char *path, PoiseFaults *faults)
{
    PoiseComparison *c = NULL;
    const PoiseWeighOptions options = {.threads = 1, .no_cache = true};
    PoiseStatus status = poise_compare(path, NULL, 0, COMPONENTS, &options, &c, faults);
    Outcome out = refused(status);
    if (!status) {
        PoiseText all = {0};
        gather(&all, poise_comparison_text(c));
        gather(&all, poise_comparison_markdown(c));
        gather(&all, poise_comparison_csv(c));
        gather(&all, poise_comparison_json(c));
        out = gathered(&all);
    }
    poise_comparison_free(c);
    return out;
}

static Outcome remedy(const char *text, PoiseFaults *faults)
{
    return remedies_of(text, ".", &shelf, (PoiseRemedyOptions){0}, faults);
}

static Outcome parts(const char *word, PoiseFaults *faults)
{
    PoiseListing listing = {0};
    PoiseStatus status = poise_listing_fill(&listing, shelf.library, faults);
    Outcome out = refused(status);
    if (!status) {
        PoiseText all = {0};
        gather(&all, poise_parts_overview(&listing));
        const PoisePartsQuery query = {.word_count = 1, .words = &word, .kind = -1};
        poise_listing_search(&listing, &query);
        gather(&all, poise_parts_text(&listing, false));
        gather(&all, poise_parts_text(&listing, true));
        gather(&all, poise_parts_json(&listing));
        out = gathered(&all);
    }
    poise_listing_clear(&listing);
    return out;
}

static void test_compare(void **state)
{
    (void)state;
    fail_each(compare, diving_file(), POISE_OK);
}

static void test_remedy(void **state)
{
    (void)state;
    fail_each(remedy, DIVING, POISE_OK);
}

static void test_parts(void **state)
{
    (void)state;
    fail_each(parts, "test", POISE_OK);
    fail_each(parts, "bridge", POISE_OK);
    fail_each(parts, "brigde", POISE_OK);
}

/* cJSON's allocations count, and fail, like the library's own. */
static int set_up(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    return poise_shelf_read(COMPONENTS, &shelf, NULL) ? -1 : 0;
}

static int tear_down(void **state)
{
    (void)state;
    poise_shelf_clear(&shelf);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_compare),
        cmocka_unit_test(test_remedy),
        cmocka_unit_test(test_parts),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
