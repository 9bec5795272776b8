/* What a tally may write, and over what; masses as a scale without ± shows them. */
#include "check.h"
#include "input_check.h"

#include <cjson/cJSON.h>

#include "base/file.h"
#include "base/memory.h"
#include "input/profile.h"
#include "output/tally_report.h"
#include "poise/weigh.h"

typedef struct Bench {
    PoiseInstrument *instrument;
    PoiseWeighing *weighing;
    PoiseTally *tally;
} Bench;

static void set_up_file(Bench *b, const char *text)
{
    const PoiseWeighOptions options = {.threads = 1};
    PoiseFaults *faults = poise_faults_new();
    *b = (Bench){0};
    PoiseStatus status = poise_instrument_parse(text, strlen(text), "blocks.json", ".", NULL, NULL,
                                                &b->instrument, faults);
    if (!status)
        status = poise_weigh(b->instrument, &options, &b->weighing, faults);
    if (!status)
        status = poise_tally(b->instrument, b->weighing, &b->tally, faults);
    if (status)
        faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
}

/* A block of petg, 50 × 40 × 20 mm and so 40 cm³, twice, and a mass, with more of the file. */
static void set_up(Bench *b, const char *more)
{
    static char text[4096];
    snprintf(
        text, sizeof text,
        "{\"poise\": 1, \"name\": \"Blocks\",\n"
        "\"scale\": {\"nut\": [650, 0, 0], \"saddle\": [0, 0, 0]},\n"
        "\"items\": {\"one\": {\"kind\": \"solid\", \"material\": \"petg\", \"thickness\": 20, "
        "\"outline\": [[0, 0], [50, 0], [50, 40], [0, 40]]},\n"
        "\"two\": {\"kind\": \"solid\", \"material\": \"petg\", \"thickness\": 20, \"outline\": "
        "[[0, 0], [50, 0], [50, 40], [0, 40]], \"at\": [200, 0, 0]},\n"
        "\"lead\": {\"kind\": \"mass\", \"mass\": 200, \"at\": [300, 0, 0]}}%s}\n",
        more);
    set_up_file(b, text);
}

static void tear_down(Bench *b)
{
    poise_tally_free(b->tally);
    poise_weighing_free(b->weighing);
    poise_instrument_free(b->instrument);
}

/* One rule for weighing and tallying: half a step of the last digit, rectangular (JCGM 100:2008,
 * F.2.2.1). A support's place without ± is good to 1 mm: of two equal loads 600 mm apart, each
 * moves the mean by half its own error in place, and by 300 mm times its share of the mass. */
static void readings_without_u_are_rounded(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, ", \"measured\": {\"one\": 49, \"two\": \"0.05 kg\", \"lead\": \"200.0 g\"}, "
               "\"observed\": {\"mass\": 301, \"scales\": [{\"at\": -100, \"load\": \"5 oz\"}, "
               "{\"at\": 500, \"load\": \"5 oz\"}]}");
    const double steps[] = {1, 10, 0.1};
    for (size_t i = 0; i < 3; i++) {
        check_close(b.weighing->items[i].mass_u_g, steps[i] / sqrt(12), 1e-12);
        check_close(b.tally->items[i].scale_u_g, steps[i] / sqrt(12), 1e-12);
    }
    assert_true(b.instrument->has_rounded_readings);
    check_close(b.instrument->observed.mass_g.u, 1 / sqrt(12), 1e-12);
    const PoiseTallyReading *last = &b.tally->readings[b.tally->reading_count - 1];
    double by_load = 300 / (2 * 5.0) / sqrt(12); /* an ounce's step cancels */
    check_near(last->observed, 200, 1e-9);
    check_close(last->observed_u, sqrt(2 * 0.25 + 2 * by_load * by_load), 1e-9);
    tear_down(&b);
    set_up(&b, ", \"measured\": {\"one\": \"49 g ± 1 g\"}");
    assert_false(b.instrument->has_rounded_readings);
    check_near(b.weighing->items[0].mass_u_g, 1, 0);
    tear_down(&b);
}

/* One weighed pour cannot tell its density from its filling, so the next is not known better than
 * any pocket is filled; and a board teaches about no other board. */
static void one_pour_is_not_the_next(void **state)
{
    (void)state;
    Bench b;
    set_up_file(&b, "{\"poise\": 1, \"name\": \"Pours\", \"items\": {"
                    "\"first\": {\"kind\": \"poured\", \"material\": \"epoxy-table-top\", "
                    "\"volume\": \"200 ml\", \"at\": [0, 0, 0]},"
                    "\"next\": {\"kind\": \"poured\", \"material\": \"epoxy-table-top\", "
                    "\"volume\": \"100 ml\", \"at\": [0, 0, 0]},"
                    "\"board\": {\"kind\": \"solid\", \"material\": \"american-beech\", "
                    "\"thickness\": 10, \"outline\": [[0, 0], [200, 0], [200, 100], [0, 100]]}},"
                    "\"measured\": {\"first\": \"221 g ± 0.3 g\", \"board\": \"140 g ± 1 g\"}}");
    const PoiseTallyItem *next = &b.tally->items[1];
    assert_true(next->corrected_u_g > 0.013 * next->corrected_g); /* √2 of 1 %, less the prior's */
    assert_int_equal(b.tally->learned_count, 2);
    assert_int_equal(poise_tally_profile_count(b.tally), 1);
    char *profile = poise_tally_profile(b.tally), *text = poise_tally_text(b.tally);
    assert_non_null(strstr(profile, "learned from 1 weighed item;"));
    assert_null(strstr(profile, "beech"));
    assert_non_null(strstr(text, "in no profile"));
    poise_string_free(profile);
    poise_string_free(text);
    tear_down(&b);
}

static void numbers_have_the_digits_of_their_u(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, ", \"measured\": {\"one\": \"50.1 g ± 0.3 g\"}");
    const PoiseTallyMaterial *m = &b.tally->materials[0];
    char *profile = poise_tally_profile(b.tally);
    cJSON *root = cJSON_Parse(profile);
    const cJSON *petg = cJSON_GetObjectItem(cJSON_GetObjectItem(root, "materials"), "petg");
    const char *text = cJSON_GetStringValue(cJSON_GetObjectItem(petg, "density"));
    double value = 0, u = 0;
    assert_int_equal(sscanf(text, "%lf g/cm3 ± %lf", &value, &u), 2);
    /* 0.0067 of 1.25: three digits of ± are five decimals. */
    assert_int_equal(strlen(text), strlen("1.25000 g/cm3 ± 0.00670 g/cm3"));
    check_near(value, m->density_after.value, 0.51e-5);
    check_near(u, m->density_after.u, 0.51e-5);
    assert_string_equal(cJSON_GetStringValue(cJSON_GetObjectItem(root, "note")),
                        "learned from 1 weighed item; ± is one standard uncertainty");
    cJSON_Delete(root);
    poise_string_free(profile);
    tear_down(&b);
}

static void readings_that_do_not_fit_are_noted(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, ", \"measured\": {\"one\": \"80 g ± 1 g\", \"lead\": \"200 g ± 1 g\"}");
    assert_true(poise_tally_is_doubtful(b.tally));
    assert_int_equal(poise_tally_check_profile(b.tally, NULL), POISE_OK);
    char *profile = poise_tally_profile(b.tally);
    assert_non_null(strstr(profile, "not to be relied on before the cause is found"));
    poise_string_free(profile);
    tear_down(&b);
    /* A mass that is off teaches nobody, so that a profile has nothing to do with it. */
    set_up(&b, ", \"measured\": {\"one\": \"50.5 g ± 1 g\", \"lead\": \"400 g ± 1 g\"}");
    assert_true(b.tally->items[2].odd);
    assert_false(poise_tally_is_doubtful(b.tally));
    tear_down(&b);
}

/* No matter has such a density, and the reader would refuse it. */
static void what_no_reader_takes_is_not_written(void **state)
{
    (void)state;
    Bench b;
    set_up(&b, ", \"measured\": {\"one\": 5000, \"two\": 51}");
    b.tally->materials[0].density_after.value = 25.01;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(poise_tally_check_profile(b.tally, faults), POISE_E_INPUT);
    const char *found = poise_faults_get(faults, 0)->found;
    assert_non_null(strstr(found, "density of petg 25.01 g/cm³"));
    assert_non_null(strstr(found, "\"one\" is farthest from its estimate"));
    poise_faults_free(faults);
    b.tally->materials[0].density_after.value = 25;
    assert_int_equal(poise_tally_check_profile(b.tally, NULL), POISE_OK);
    tear_down(&b);
}

static void only_profiles_are_replaced(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        PoiseStatus status;
    } cases[] = {
        {"{\"poise_profile\": 1, \"flow\": 0.98}\n", POISE_OK},
        {"{\"poise_profile\": 1, \"flow\": 2.484}\n", POISE_OK}, /* out of range, but a profile */
        {"{\"poise\": 1, \"items\": {}}\n", POISE_E_IO},
        {"{\"poise_profile\": 1, \n", POISE_E_IO},
        {"[\"poise_profile\"]\n", POISE_E_IO},
        {"solid s\nendsolid s\n", POISE_E_IO},
        {"", POISE_E_IO},
    };
    const char *path = POISE_TEST_BINARY_DIR "/tally-there.json";
    remove(path);
    assert_int_equal(poise_profile_may_replace(path, NULL), POISE_OK);
    assert_int_equal(poise_profile_may_replace("/dev/null", NULL), POISE_OK);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        PoiseFaults *faults = poise_faults_new();
        assert_int_equal(poise_file_write(path, cases[i].text, strlen(cases[i].text), NULL),
                         POISE_OK);
        assert_int_equal(poise_profile_may_replace(path, faults), cases[i].status);
        assert_int_equal(poise_faults_count(faults), cases[i].status ? 1 : 0);
        poise_faults_free(faults);
    }
    assert_int_equal(poise_file_write(path, cases[0].text, strlen(cases[0].text), NULL), POISE_OK);
    for (long at = 0; at < 30; at++) {
        poise_alloc_fail_at(at, 0);
        PoiseStatus status = poise_profile_may_replace(path, NULL);
        poise_alloc_fail_at(-1, 0);
        assert_true(status == POISE_OK || status == POISE_E_MEMORY);
    }
    remove(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_without_u_are_rounded),
        cmocka_unit_test(one_pour_is_not_the_next),
        cmocka_unit_test(numbers_have_the_digits_of_their_u),
        cmocka_unit_test(readings_that_do_not_fit_are_noted),
        cmocka_unit_test(what_no_reader_takes_is_not_written),
        cmocka_unit_test(only_profiles_are_replaced),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
