/* A made-up instrument of six printed boxes: weighed, tallied, learned from, and taken home. */
#include "check.h"
#include "input_check.h"
#include "item_fixture.h"

#include "base/file.h"
#include "base/memory.h"
#include <cjson/cJSON.h>

#include "output/tally_report.h"
#include "poise/weigh.h"

/* Boxes of these lengths, mm, 40 × 20 in section. */
static const double LENGTH[6] = {90, 120, 60, 70, 100, 50};

static void write_boxes(void)
{
    for (int i = 0; i < 6; i++) {
        char name[32], path[512];
        const double lo[3] = {0, 0, 0}, hi[3] = {LENGTH[i], 40, 20};
        Soup soup = {0};
        soup_box(&soup, lo, hi);
        snprintf(name, sizeof name, "tally-box-%d.stl", i);
        write_stl(&soup, name, path);
        soup_free(&soup);
    }
}

/* The file's text: the boxes end to end along x, a solid block of the plastic, and what is given.
 */
static void instrument_text(char out[8192], const char *name, const char *more)
{
    int n = snprintf(out, 8192,
                     "{\"poise\": 1, \"name\": \"%s\",\n"
                     "\"scale\": {\"nut\": [700, 0, 10], \"saddle\": [0, 0, 10], \"frets\": 22},\n"
                     "\"posts\": {\"tail\": [-80, 0, 0], \"horn\": [380, 90, 0]},\n"
                     "\"strap\": {\"length\": 1100, \"friction\": \"0.35 ± 0.1\"},\n"
                     "\"items\": {\n",
                     name);
    double x = 0;
    for (int i = 0; i < 6; i++) {
        n += snprintf(out + n, 8192 - (size_t)n,
                      "\"s%d\": {\"kind\": \"printed\", \"mesh\": \"tally-box-%d.stl\", "
                      "\"material\": \"petg\", \"at\": [%g, 0, 0]},\n",
                      i, i, x);
        x += LENGTH[i];
    }
    snprintf(out + n, 8192 - (size_t)n,
             "\"block\": {\"kind\": \"solid\", \"material\": \"petg\", \"thickness\": 20,\n"
             "\"outline\": [[0, 0], [50, 0], [50, 40], [0, 40]]},\n"
             "\"nut-end\": {\"kind\": \"mass\", \"mass\": \"600 g ± 20 g\", \"at\": [600, 0, 0]}\n"
             "}%s}\n",
             more);
}

typedef struct Bench {
    PoiseInstrument *instrument;
    PoiseWeighing *weighing;
    PoiseTally *tally;
} Bench;

static PoiseStatus read_bench(Bench *b, const char *name, const char *more, PoiseFaults *faults)
{
    static char text[8192];
    *b = (Bench){0};
    instrument_text(text, name, more);
    PoiseStatus status =
        poise_instrument_parse(text, strlen(text), "boxes.json", POISE_TEST_BINARY_DIR, NULL, NULL,
                               &b->instrument, faults);
    const PoiseWeighOptions options = {.threads = 1};
    if (!status)
        status = poise_weigh(b->instrument, &options, &b->weighing, faults);
    if (!status)
        status = poise_tally(b->instrument, b->weighing, &b->tally, faults);
    return status;
}

static void set_up(Bench *b, const char *name, const char *more)
{
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    PoiseStatus status = read_bench(b, name, more, faults);
    if (status)
        faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
}

static void tear_down(Bench *b)
{
    poise_tally_free(b->tally);
    poise_weighing_free(b->weighing);
    poise_instrument_free(b->instrument);
}

/* What the boxes are estimated to weigh, and a "measured" of two of them at a share of that. */
static void measured_text(char out[256], double share0, double share2)
{
    Bench b;
    set_up(&b, "Boxes", "");
    snprintf(out, 256, ", \"measured\": {\"s0\": \"%.3f g ± 0.5 g\", \"s2\": \"%.3f g ± 0.5 g\"}",
             share0 * b.tally->items[0].predicted_g, share2 * b.tally->items[2].predicted_g);
    tear_down(&b);
}

/* Two weighed at 96 %: the estimates of the other four follow and narrow, `weigh` itself does not
 * move, and the whole is told better. */
static void two_weighed_narrow_four(void **state)
{
    (void)state;
    char more[256];
    Bench b;
    measured_text(more, 0.96, 0.96);
    set_up(&b, "Boxes", more);
    const PoiseTally *t = b.tally;
    assert_int_equal(t->weighed_count, 2);
    assert_int_equal(t->learned_count, 2);
    for (size_t i = 0; i < 6; i++) {
        const PoiseTallyItem *item = &t->items[i];
        if (item->weighed) {
            check_close(item->gap_g, -0.04 * item->predicted_g, 1e-3);
            check_close(item->z, item->gap_g / hypot(item->predicted_u_g, 0.5), 1e-9);
            assert_false(item->odd);
            continue;
        }
        assert_true(item->corrected_u_g < 0.85 * item->predicted_u_g);
        double share = item->corrected_g / item->predicted_g;
        assert_true(share < 0.99 && share > 0.96);
        check_near(b.weighing->items[i].body.mass_g, item->predicted_g, 0);
    }
    /* The block follows the density only; a mass follows nothing. */
    assert_true(t->items[6].corrected_g < t->items[6].predicted_g);
    check_near(t->items[7].corrected_g, 600, 0);
    check_near(t->items[7].corrected_u_g, 20, 0);
    assert_true(t->learned.u < t->now.u && t->now.u < t->estimate.u);
    check_near(t->now.value, b.weighing->total.mass_g, 0);
    assert_true(t->flow_after.value < 1 && t->flow_after.u < t->flow_before.u);
    assert_int_equal(t->material_count, 1);
    assert_true(t->materials[0].correlation < -0.3);
    assert_true(t->materials[0].laid_after.u < 0.7 * t->materials[0].laid_before.u);
    /* What is left is mostly the 600 g ± 20 g. */
    assert_string_equal(t->items[t->next[0]].id, "nut-end");
    tear_down(&b);
}

/* A section 40 % too heavy fits neither the estimate nor its sibling. */
static void what_does_not_fit_is_flagged(void **state)
{
    (void)state;
    char more[256];
    Bench b;
    measured_text(more, 1.0, 1.4);
    set_up(&b, "Boxes", more);
    const PoiseTallyItem *item = &b.tally->items[2];
    assert_true(item->odd && item->z > 3 && item->expected_z > 3);
    double u = hypot(item->expected_u_g, 0.5), v = hypot(item->predicted_u_g, 0.5);
    double beyond = fmax(item->weighed_g - item->expected_g - 3 * u, item->gap_g - 3 * v);
    check_close(item->unexplained_g, beyond, 1e-9);
    assert_true(b.tally->inconsistent);
    char *text = poise_tally_text(b.tally);
    assert_non_null(strstr(text, "no uncertainty"));
    poise_string_free(text);
    tear_down(&b);
}

/* What was learned, written, and included by another instrument: its estimates and their ± are the
 * corrected ones, for prints (by the product) and for solid pieces (by the density). */
static void a_profile_carries_what_was_learned(void **state)
{
    (void)state;
    char more[256];
    Bench b, c;
    measured_text(more, 0.95, 0.97);
    set_up(&b, "Boxes", more);
    char *profile = poise_tally_profile(b.tally);
    assert_non_null(profile);
    assert_int_equal(poise_file_write(POISE_TEST_BINARY_DIR "/tally-profile.json", profile,
                                      strlen(profile), NULL),
                     POISE_OK);
    set_up(&c, "More boxes", ", \"profile\": \"tally-profile.json\"");
    assert_string_equal(c.instrument->profile_from, "Boxes");
    for (size_t i = 0; i < 7; i++) {
        if (b.tally->items[i].weighed)
            continue;
        /* What is written has three digits of its ±: off by at most half a percent of that. */
        double u = b.tally->items[i].corrected_u_g;
        check_near(c.tally->items[i].predicted_g, b.tally->items[i].corrected_g, 0.005 * u);
        check_close(c.tally->items[i].predicted_u_g, u, 0.006);
    }
    /* A profile learned by way of a profile says the same when nothing new is weighed. */
    char *again = poise_tally_profile(c.tally);
    cJSON *first = cJSON_Parse(profile), *second = cJSON_Parse(again);
    const char *const keys[] = {"density", "laid"};
    for (size_t i = 0; i < 2; i++) {
        const cJSON *m = cJSON_GetObjectItem(cJSON_GetObjectItem(first, "materials"), "petg");
        const cJSON *n = cJSON_GetObjectItem(cJSON_GetObjectItem(second, "materials"), "petg");
        assert_string_equal(cJSON_GetStringValue(cJSON_GetObjectItem(m, keys[i])),
                            cJSON_GetStringValue(cJSON_GetObjectItem(n, keys[i])));
    }
    cJSON_Delete(first);
    cJSON_Delete(second);
    poise_string_free(profile);
    poise_string_free(again);
    tear_down(&b);
    tear_down(&c);
    remove(POISE_TEST_BINARY_DIR "/tally-profile.json");
}

static void a_profile_of_the_same_instrument_is_told(void **state)
{
    (void)state;
    static const char profile[] = "{\"poise_profile\": 1, \"from\": \"Boxes\", \"flow\": 0.98}";
    char more[512], measured[256];
    Bench b;
    measured_text(measured, 1, 1);
    snprintf(more, sizeof more, "%s, \"profile\": \"tally-own.json\"", measured);
    assert_int_equal(
        poise_file_write(POISE_TEST_BINARY_DIR "/tally-own.json", profile, strlen(profile), NULL),
        POISE_OK);
    set_up(&b, "Boxes", more);
    assert_true(b.tally->profile_counts_twice);
    /* A flow without ± is known exactly: it is no unknown any more. */
    assert_false(b.tally->has_flow);
    tear_down(&b);
    remove(POISE_TEST_BINARY_DIR "/tally-own.json");
}

static void faults_of_a_profile_stand_in_it(void **state)
{
    (void)state;
    static const char profile[] = "{ \"poise_profile\": 1,\n"
                                  "  \"flo\": 0.98,\n"
                                  "  \"materials\": { \"petgg\": { \"density\": 1.2 },\n"
                                  "    \"of another instrument\": { \"density\": 1.2 } } }\n";
    const char *path = POISE_TEST_BINARY_DIR "/tally-bad.json";
    Bench b;
    assert_int_equal(poise_file_write(path, profile, strlen(profile), NULL), POISE_OK);
    PoiseFaults *faults = poise_faults_new();
    assert_int_equal(read_bench(&b, "Boxes", ", \"profile\": \"tally-bad.json\"", faults),
                     POISE_E_INPUT);
    assert_int_equal(poise_faults_count(faults), 2);
    const PoiseFault *fault = poise_faults_get(faults, 0);
    assert_string_equal(fault->file, path);
    assert_int_equal(fault->line, 2);
    assert_string_equal(fault->pointer, "/flo");
    assert_string_equal(fault->hint, "did you mean \"flow\"?");
    fault = poise_faults_get(faults, 1);
    assert_int_equal(fault->line, 3);
    assert_string_equal(fault->pointer, "/materials/petgg");
    poise_faults_free(faults);
    remove(path);
    faults = poise_faults_new();
    assert_int_equal(read_bench(&b, "Boxes", ", \"profile\": \"tally-bad.json\"", faults),
                     POISE_E_IO);
    poise_faults_free(faults);
}

static const PoiseTallyReading *reading(const PoiseTally *t, const char *what, const char *method)
{
    for (size_t i = 0; i < t->reading_count; i++)
        if (strcmp(t->readings[i].what, what) == 0 && strcmp(t->readings[i].method, method) == 0)
            return &t->readings[i];
    fail_msg("no reading of %s by %s", what, method);
    return NULL;
}

/* Readings made up from the estimate itself: by levers, plumb lines and an edge they all lead back
 * to it. F2 (x2 − x1) = M (x − x1) for two scales; hung from a post P the way down is along G − P:
 * sin φ = −(Gx − Px)/|G − P|, cos φ = −(Gy − Py)/|G − P|. */
static void observations_lead_back_to_the_estimate(void **state)
{
    (void)state;
    char more[1024];
    Bench b;
    set_up(&b, "Boxes", "");
    double mass = b.weighing->total.mass_g, x = b.weighing->total.centre_mm[0],
           y = b.weighing->total.centre_mm[1];
    double second = mass * (x + 50) / 700, dx = x - 380, dy = y - 90;
    double angle = atan2(-dx, -dy) * 180 / 3.14159265358979323846;
    tear_down(&b);
    snprintf(more, sizeof more,
             ", \"observed\": {\"mass\": \"%.6f g ± 2 g\",\n"
             "\"scales\": [{\"at\": \"-50 mm ± 1 mm\", \"load\": \"%.6f g ± 1 g\"},\n"
             "{\"at\": \"650 mm ± 1 mm\", \"load\": \"%.6f g ± 1 g\"}],\n"
             "\"hanging\": {\"tail\": {\"mark\": [%.6f, %.6f]},\n"
             "\"horn\": {\"neck_angle\": \"%.6f deg ± 1 deg\"}, \"within\": 1},\n"
             "\"edge\": {\"tips_tail\": %.6f, \"tips_head\": %.6f, \"within\": 1}}",
             mass, mass - second, second, -80 + 0.7 * (x + 80), 0.7 * y, angle, x + 4, x - 2);
    set_up(&b, "Boxes", more);
    const PoiseTally *t = b.tally;
    const PoiseTallyReading *r = reading(t, "mass", "one scale");
    check_near(r->z, 0, 1e-6);
    check_near(r->observed_u, 2, 0);
    r = reading(t, "mass", "scales under it");
    check_near(r->observed, mass, 1e-5);
    check_close(r->observed_u, sqrt(2), 1e-9);
    r = reading(t, "centre, from the saddle", "scales under it");
    check_near(r->observed, x, 1e-5);
    r = reading(t, "centre, from the saddle", "hanging from each post");
    check_near(r->observed, x, 1e-3);
    r = reading(t, "centre, across the strings", "hanging from each post");
    check_near(r->observed, y, 1e-3);
    r = reading(t, "centre, from the saddle", "over a knife edge");
    check_near(r->observed, x + 1, 1e-5);
    check_close(r->observed_u, hypot(3 / sqrt(3), 1), 1e-9); /* JCGM 100, 4.3.7 */
    check_close(r->z, 1 / hypot(r->observed_u, b.weighing->doubts.along_mm), 1e-6);
    assert_false(t->has_friction);
    tear_down(&b);
}

/* The strap slips where its friction just does: the angle that ends the holding range for the
 * file's friction gives that friction back. */
static void the_slip_angle_gives_the_friction_back(void **state)
{
    (void)state;
    char more[128];
    Bench b;
    set_up(&b, "Boxes", "");
    assert_true(b.weighing->hanging.holds_somewhere);
    PoiseInterval range = b.weighing->hanging.hold_range_deg;
    double edge = range.lo > -89 ? range.lo : range.hi;
    tear_down(&b);
    snprintf(more, sizeof more, ", \"observed\": {\"slip\": \"%.9f deg ± 1 deg\"}", edge);
    set_up(&b, "Boxes", more);
    assert_true(b.tally->has_friction);
    check_near(b.tally->friction.value, 0.35, 1e-4);
    check_near(b.tally->friction_z, 0, 1e-2);
    assert_true(b.tally->friction.u > 0);
    tear_down(&b);
}

static void faulty_observations_are_refused(void **state)
{
    (void)state;
    static const struct {
        const char *observed, *pointer;
    } cases[] = {
        {"{\"scales\": [{\"at\": 1, \"load\": 5}]}", "/observed/scales"},
        {"{\"scales\": [{\"at\": 1, \"load\": 5}, {\"at\": 2, \"load\": 5}]}", "/observed/scales"},
        {"{\"scales\": [{\"at\": 1, \"load\": 5}, {\"at\": 900, \"load\": \"5 mm\"}]}",
         "/observed/scales/1/load"},
        {"{\"hanging\": {\"tail\": {\"mark\": [1, 2], \"neck_angle\": 3}, \"horn\": "
         "{\"neck_angle\": 3}}}",
         "/observed/hanging/tail"},
        {"{\"hanging\": {\"tail\": {\"neck_angle\": 3}, \"horn\": {\"neck_angle\": 3}}}",
         "/observed/hanging"},
        {"{\"mas\": 1}", "/observed/mas"},
        {"{\"slip\": 88}", "/observed/slip"},
        {"{\"edge\": {\"tips_tail\": 200, \"tips_head\": 201}}", "/observed/edge"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char more[512];
        Bench b;
        PoiseFaults *faults = poise_faults_new();
        snprintf(more, sizeof more, ", \"observed\": %s", cases[i].observed);
        assert_int_equal(read_bench(&b, "Boxes", more, faults), POISE_E_INPUT);
        assert_int_equal(poise_faults_count(faults), 1);
        assert_string_equal(poise_faults_get(faults, 0)->pointer, cases[i].pointer);
        assert_string_equal(poise_faults_get(faults, 0)->file, "boxes.json");
        poise_faults_free(faults);
        tear_down(&b);
    }
}

/* Every allocation of a tally and its reports may fail; nothing leaks, nothing crashes. */
static void memory_may_run_out(void **state)
{
    (void)state;
    char more[256];
    Bench b;
    measured_text(more, 0.96, 1.3);
    set_up(&b, "Boxes", more);
    for (long at = 0; at < 400; at++) {
        PoiseTally *t;
        poise_alloc_fail_at(at, 0);
        PoiseStatus status = poise_tally(b.instrument, b.weighing, &t, NULL);
        char *text = status ? NULL : poise_tally_text(t);
        char *profile = status ? NULL : poise_tally_profile(t);
        poise_alloc_fail_at(-1, 0);
        assert_true(status == POISE_OK || status == POISE_E_MEMORY);
        poise_string_free(text);
        poise_string_free(profile);
        poise_tally_free(t);
    }
    tear_down(&b);
}

/* The same while the file, its profile and what was observed are read: these come last, after the
 * component library's thousands of allocations. */
static void memory_may_run_out_while_reading(void **state)
{
    (void)state;
    enum { LAST = 120 };
    static const char profile[] =
        "{\"poise_profile\": 1, \"flow\": \"0.98 ± 0.01\", \"materials\": "
        "{\"petg\": {\"laid\": \"1.2 ± 0.01\"}, \"petgg\": {}}}";
    static char text[8192];
    assert_int_equal(poise_file_write(POISE_TEST_BINARY_DIR "/tally-memory.json", profile,
                                      strlen(profile), NULL),
                     POISE_OK);
    instrument_text(text, "Boxes",
                    ", \"profile\": \"tally-memory.json\", \"observed\": {\"scales\": [{\"at\": 0, "
                    "\"load\": 5}, {\"at\": 90, \"load\": 5}]}");
    long total = 1000000000;
    for (long at = total; at >= total - LAST; at--) {
        PoiseInstrument *in;
        poise_alloc_fail_at(at, 0);
        PoiseStatus status = poise_instrument_parse(text, strlen(text), "boxes.json",
                                                    POISE_TEST_BINARY_DIR, NULL, NULL, &in, NULL);
        long counted = poise_alloc_fail_at(-1, 0);
        if (at == 1000000000)
            at = total = counted;
        assert_true(status == POISE_E_INPUT || status == POISE_E_MEMORY || at == total);
        poise_instrument_free(in);
    }
    remove(POISE_TEST_BINARY_DIR "/tally-memory.json");
}

static int make_boxes(void **state)
{
    (void)state;
    write_boxes();
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_weighed_narrow_four),
        cmocka_unit_test(what_does_not_fit_is_flagged),
        cmocka_unit_test(a_profile_carries_what_was_learned),
        cmocka_unit_test(a_profile_of_the_same_instrument_is_told),
        cmocka_unit_test(faults_of_a_profile_stand_in_it),
        cmocka_unit_test(observations_lead_back_to_the_estimate),
        cmocka_unit_test(the_slip_angle_gives_the_friction_back),
        cmocka_unit_test(faulty_observations_are_refused),
        cmocka_unit_test(memory_may_run_out),
        cmocka_unit_test(memory_may_run_out_while_reading),
    };
    return cmocka_run_group_tests(tests, make_boxes, NULL);
}
