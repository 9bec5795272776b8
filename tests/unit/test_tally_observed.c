/* Two point masses, observed: 1000 g ± 10 g at 100 mm and 500 g ± 5 g at 400 mm, along the strings
 * from the saddle. The whole has 1500 g ± √125 g and its centre at 200 mm, where by the first
 * derivatives, (100 − 200)/1500 · 10 and (400 − 200)/1500 · 5 mm, and for places known to 1 mm,
 * 1000/1500 and 500/1500 mm, it has ± √(13/9) mm. */
#include "alloc_help.h"
#include "input_check.h"

#include <cjson/cJSON.h>

#include "base/memory.h"
#include "output/tally_report.h"
#include "poise/weigh.h"

static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/tests/data/components";

#define SCALE "\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],\"frets\":22},"
#define POSTS "\"posts\":{\"tail\":[-80,0,0],\"horn\":[330,90,0]},"
#define STRAP "\"strap\":{\"length\":1100,\"friction\":\"0.35 ± 0.1\"},"
#define FILE_OF(with, observed)                                                                    \
    "{\"poise\":1,\"name\":\"Sallow\"," with                                                       \
    "\"items\":{\"body\":{\"kind\":\"mass\",\"mass\":\"1000 g ± 10 g\",\"at\":[100,0,0]},"        \
    "\"neck\":{\"kind\":\"mass\",\"mass\":\"500 g ± 5 g\",\"at\":[400,0,0]}},"                    \
    "\"observed\":{" observed "}}"

typedef struct Bench {
    PoiseInstrument *instrument;
    PoiseWeighing *weighing;
    PoiseTally *tally;
} Bench;

static PoiseStatus read_bench(Bench *b, const char *text, PoiseFaults *faults)
{
    const PoiseWeighOptions options = {.threads = 1, .no_cache = true};
    *b = (Bench){0};
    PoiseStatus status = poise_instrument_parse(text, strlen(text), "sallow.json", ".", NULL,
                                                COMPONENTS, &b->instrument, faults);
    if (!status)
        status = poise_weigh(b->instrument, &options, &b->weighing, faults);
    if (!status)
        status = poise_tally(b->instrument, b->weighing, &b->tally, faults);
    return status;
}

static void clear(Bench *b)
{
    poise_tally_free(b->tally);
    poise_weighing_free(b->weighing);
    poise_instrument_free(b->instrument);
}

static Bench bench(const char *text)
{
    Bench b;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = read_bench(&b, text, faults);
    faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
    return b;
}

static void reading_is(const Bench *b, size_t i, const char *what, double predicted,
                       double predicted_u, double observed, double observed_u)
{
    assert_true(i < b->tally->reading_count);
    const PoiseTallyReading *r = &b->tally->readings[i];
    assert_string_equal(r->what, what);
    check_near(r->predicted, predicted, 1e-9);
    check_near(r->predicted_u, predicted_u, 1e-9);
    check_near(r->observed, observed, 1e-6);
    check_near(r->observed_u, observed_u, 1e-3);
    check_near(r->z, (observed - predicted) / hypot(predicted_u, observed_u), 1e-3);
}

/* A scale that shows whole grams has ± 1/√12 g (JCGM 100:2008, F.2.2.1), two have √2 of that. */
static void test_readings_without_doubt(void **state)
{
    (void)state;
    Bench b = bench(FILE_OF(SCALE, "\"mass\":1512,\"scales\":[{\"at\":0,\"load\":750},"
                                   "{\"at\":400,\"load\":750}]"));
    double u = sqrt(125), along = sqrt(13.0 / 9.0), scale = 1 / sqrt(12);
    assert_int_equal(b.tally->reading_count, 3);
    reading_is(&b, 0, "mass", 1500, u, 1512, scale);
    reading_is(&b, 1, "mass", 1500, u, 1500, scale * sqrt(2));
    /* Each scale is 200 mm from the centre: scale · 200/1500 mm of each. Each carries half, and so
     * moves the centre by half of the 1 mm that its place is good to. */
    reading_is(&b, 2, "centre, from the saddle", 200, along, 200,
               hypot(scale * 200 / 1500, 0.5) * sqrt(2));
    assert_false(b.tally->readings[0].odd);
    clear(&b);
    b = bench(FILE_OF(SCALE, "\"mass\":\"1540 g ± 1 g\""));
    assert_true(b.tally->readings[0].odd); /* 40 of √126 */
    clear(&b);
}

/* Without a saddle the plumb lines still cross: at (200, 0) mm of the drawing, through marks at
 * (100, 0) and halfway from the horn post, (265, 45). */
static void test_hanging_without_a_saddle(void **state)
{
    (void)state;
    Bench b = bench(FILE_OF(POSTS, "\"hanging\":{\"tail\":{\"mark\":[100,0]},"
                                   "\"horn\":{\"mark\":[265,45]}}"));
    assert_int_equal(b.tally->reading_count, 2);
    assert_string_equal(b.tally->readings[0].what, "centre, along the strings");
    check_near(b.tally->readings[0].predicted, 200, 1e-9);
    check_near(b.tally->readings[0].predicted_u, sqrt(13.0 / 9.0), 1e-9);
    check_near(b.tally->readings[0].observed, 200, 1e-6);
    assert_string_equal(b.tally->readings[1].what, "centre, across the strings");
    check_near(b.tally->readings[1].observed, 0, 1e-6);
    clear(&b);
    /* With one, stations start there: 30 mm further on at −30 mm. */
    b = bench(FILE_OF("\"scale\":{\"nut\":[618,0,10],\"saddle\":[-30,0,10]}," POSTS,
                      "\"hanging\":{\"tail\":{\"mark\":[100,0]},\"horn\":{\"mark\":[265,45]}}"));
    assert_string_equal(b.tally->readings[0].what, "centre, from the saddle");
    check_near(b.tally->readings[0].predicted, 230, 1e-9);
    check_near(b.tally->readings[0].observed, 230, 1e-6);
    clear(&b);
}

static void refused_with(const char *text, const char *want)
{
    Bench b;
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(read_bench(&b, text, faults), POISE_E_INPUT);
    faults_are(faults, want);
    clear(&b);
    poise_faults_free(faults);
}

/* Where the way of reckoning refuses, the fault stands at the file's own key. */
static void test_refusals(void **state)
{
    (void)state;
    refused_with(
        FILE_OF(SCALE, "\"scales\":[{\"at\":0,\"load\":5},{\"at\":3,\"load\":\"2000 kg\"}]"),
        "sallow.json:1:254: /observed/scales/1: found a load below 0 or beyond a tonne, expected "
        "what the scale shows, 0 g or more; mend it, or take it out to see the rest\n");
    refused_with(
        FILE_OF(SCALE, "\"scales\":[{\"at\":0,\"load\":0},{\"at\":90,\"load\":0}],"
                       "\"edge\":{\"tips_tail\":900,\"tips_head\":3}"),
        "sallow.json:1:235: /observed/scales: found no load on any scale, expected some load; "
        "mend it, or take it out to see the rest\n");
    refused_with(FILE_OF(SCALE,
                         "\"scales\":5,\"hanging\":{\"tail\":{},\"horn\":{\"neck_angle\":1}},"
                         "\"slip\":20"),
                 "sallow.json:1:235: /observed/scales: found 5, expected a list of 2 to 4 scales\n"
                 "sallow.json:1:237: /observed/hanging: found a reading that nothing can be "
                 "compared with, expected a file with \"posts\": it hangs from them\n"
                 "sallow.json:1:255: /observed/hanging/tail: found neither mark nor angle, "
                 "expected a mark that the plumb line crosses, or the neck angle\n"
                 "sallow.json:1:283: /observed/slip: found a reading that nothing can be compared "
                 "with, expected a file with \"posts\" and \"strap\"\n");
    refused_with(FILE_OF("", "\"scales\":[{\"at\":0,\"load\":5},{\"at\":90,\"load\":5}],"
                             "\"edge\":{\"tips_tail\":3,\"tips_head\":2},\"hanging\":{\"tail\":"
                             "{\"neck_angle\":1},\"horn\":5}"),
                 "sallow.json:1:170: /observed/scales: found a reading that nothing can be "
                 "compared with, expected a file with \"scale\": stations start at the saddle\n"
                 "sallow.json:1:218: /observed/edge: found a reading that nothing can be compared "
                 "with, expected a file with \"scale\": stations start at the saddle\n"
                 "sallow.json:1:255: /observed/hanging: found a reading that nothing can be "
                 "compared with, expected a file with \"posts\": it hangs from them\n"
                 "sallow.json:1:297: /observed/hanging/horn: found 5, expected an object in "
                 "braces; the instrument hanging from the horn post\n");
    refused_with(FILE_OF(POSTS, "\"slip\":20,\"hanging\":7"),
                 "sallow.json:1:215: /observed/slip: found a reading that nothing can be compared "
                 "with, expected a file with \"posts\" and \"strap\"\n"
                 "sallow.json:1:235: /observed/hanging: found 7, expected an object in braces; "
                 "plumb lines from both strap posts\n");
}

static Outcome observe(const char *text, PoiseFaults *faults)
{
    Bench b;
    PoiseStatus status = read_bench(&b, text, faults);
    Outcome out = refused(status);
    if (!status) {
        PoiseText all = {0};
        gather(&all, poise_tally_text(b.tally));
        gather(&all, poise_tally_markdown(b.tally));
        gather(&all, poise_tally_json(b.tally));
        gather(&all, poise_tally_csv(b.tally));
        gather(&all, poise_tally_profile(b.tally));
        out = gathered(&all);
    }
    clear(&b);
    return out;
}

static void test_no_memory(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    enum { READ = 500 };
    fail_from(
        observe,
        FILE_OF(SCALE POSTS STRAP,
                "\"mass\":1512,\"scales\":[{\"at\":0,\"load\":750},{\"at\":400,\"load\":750}],"
                "\"hanging\":{\"tail\":{\"mark\":[100,0]},\"horn\":{\"mark\":[265,45]}},"
                "\"edge\":{\"tips_tail\":201,\"tips_head\":199},\"slip\":\"20 deg\""),
        POISE_OK, READ, 1);
    fail_from(observe,
              FILE_OF(SCALE, "\"scales\":[{\"at\":0,\"load\":0},{\"at\":90,\"load\":0}],"
                             "\"edge\":{\"tips_tail\":900,\"tips_head\":3}"),
              POISE_E_INPUT, READ, 1);
    cJSON_InitHooks(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_readings_without_doubt),
        cmocka_unit_test(test_hanging_without_a_saddle),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
