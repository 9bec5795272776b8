/* The doubts as they come out of weighing a file: found in the result and in its JSON. */
#include "check.h"

#include <cjson/cJSON.h>

#include "poise/poise.h"

static const char FILE_TEXT[] =
    "{\"poise\": 1, \"name\": \"Reed\","
    " \"frame\": {\"head\": [1, 0, 0], \"face\": [0, 0, 1], \"handed\": \"right\"},"
    " \"scale\": {\"nut\": [762, 0, 11], \"saddle\": [0, 0, 11], \"frets\": 20},"
    " \"posts\": {\"tail\": [-88, 1, -23], \"horn\": [367, 97, -23]},"
    " \"strap\": {\"length\": 1150, \"friction\": \"0.30 ± 0.08\"},"
    " \"stance\": {\"neck_angle\": 20, \"hand\": \"nut\"},"
    " \"items\": {"
    "  \"body\": {\"kind\": \"mass\", \"mass\": \"2300 g ± 60 g\", \"at\": [130, -10, -20]},"
    "  \"neck\": {\"kind\": \"mass\", \"mass\": \"900 g ± 80 g\", \"at\": [640, 0, 0]},"
    "  \"tuners\": {\"kind\": \"mass\", \"mass\": \"300 g ± 30 g\", \"at\": [970, 0, 0]}},"
    " \"measured\": {\"body\": \"2310 g ± 2 g\"}}";

static PoiseInstrument *instrument(void)
{
    PoiseInstrument *in = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_instrument_parse(FILE_TEXT, sizeof FILE_TEXT - 1, "reed.json", ".",
                                                NULL, NULL, &in, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        print_error("fault: %s\n", poise_faults_get(faults, i)->found);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return in;
}

static PoiseWeighing *weigh(const PoiseInstrument *in, const PoiseWeighOptions *options)
{
    PoiseWeighing *w = NULL;
    assert_int_equal(poise_weigh(in, options, &w, NULL), POISE_OK);
    return w;
}

/* The weighed body keeps the scale's doubt; the neck leads: 80²/(2² + 80² + 30²) = 87.6 %. */
static void test_first_order(void **state)
{
    (void)state;
    PoiseInstrument *in = instrument();
    PoiseWeighing *w = weigh(in, NULL);
    double u = sqrt(4.0 + 6400.0 + 900.0);
    check_close(w->mass_u_g, u, 1e-12);
    check_near(w->doubts.mass_95_g.hi - w->total.mass_g, 1.96 * u, 0.01);
    assert_true(w->hanging.hand_load_g > 0 && w->doubts.hand_load_g > 0);
    assert_true(w->doubts.hand_load_95_g.lo <= w->hanging.hand_load_g &&
                w->doubts.hand_load_95_g.hi >= w->hanging.hand_load_g);
    check_close(w->p_neck_heavy, 0.5 * erfc(w->hanging.margin_mm / (w->margin_u_mm * sqrt(2))),
                1e-12);
    assert_false(w->has_trials);
    size_t top;
    assert_int_equal(poise_budget_order(w->budget, w->budget_count, POISE_BUDGET_MASS, &top, 1), 1);
    assert_string_equal(w->budget[top].id, "neck");
    check_close(w->budget[top].share[POISE_BUDGET_MASS], 6400 / (u * u), 1e-12);
    for (size_t i = 0; i < w->budget_count; i++)
        if (w->budget[i].kind == POISE_DOUBT_ITEM)
            assert_int_equal(w->budget[i].weighed, strcmp(w->budget[i].id, "body") == 0);
    poise_weighing_free(w);
    poise_instrument_free(in);
}

static void test_trials(void **state)
{
    (void)state;
    PoiseInstrument *in = instrument();
    const PoiseWeighOptions options = {.trials = 20000, .seed = 3, .threads = 2};
    PoiseWeighing *w = weigh(in, &options);
    assert_true(w->has_trials && w->trials.trials == 20000);
    check_near(w->p_neck_heavy, w->trials.p_neck_heavy, 0);
    check_near(w->trials.mass_g.u, w->mass_u_g, 5 * w->mass_u_g / sqrt(2.0 * 20000));
    check_near(w->trials.hand_load_g.mean, w->hanging.hand_load_g, 0.2 * w->doubts.hand_load_g);
    poise_weighing_free(w);
    PoiseWeighing *none = NULL;
    const PoiseWeighOptions few = {.trials = 3};
    assert_int_equal(poise_weigh(in, &few, &none, NULL), POISE_E_USAGE);
    assert_null(none);
    poise_instrument_free(in);
}

static double number_at(const cJSON *o, const char *group, const char *key)
{
    const cJSON *item = cJSON_GetObjectItem(group ? cJSON_GetObjectItem(o, group) : o, key);
    if (!cJSON_IsNumber(item))
        fail_msg("no number at %s/%s", group ? group : "", key);
    return item->valuedouble;
}

static void test_json(void **state)
{
    (void)state;
    PoiseInstrument *in = instrument();
    const PoiseWeighOptions options = {.trials = 5000, .seed = 3};
    PoiseWeighing *plain = weigh(in, NULL), *tried = weigh(in, &options);
    char *texts[2] = {poise_weighing_json(plain), poise_weighing_json(tried)};
    for (int i = 0; i < 2; i++) {
        cJSON *root = cJSON_Parse(texts[i]);
        const PoiseWeighing *w = i ? tried : plain;
        assert_non_null(root);
        check_near(number_at(root, "strap", "hand_load_u_g"), w->doubts.hand_load_g, 1e-9);
        check_near(number_at(root, "strap", "p_neck_heavy"), w->p_neck_heavy, 1e-12);
        check_near(number_at(root, "stations_u_mm", "from_nut"), w->doubts.along_mm, 1e-12);
        const cJSON *strap = cJSON_GetObjectItem(root, "strap");
        const cJSON *pair =
            cJSON_GetObjectItem(cJSON_GetObjectItem(strap, "interval_95"), "hand_load_g");
        PoiseInterval want = i ? w->trials.hand_load_g.interval_95 : w->doubts.hand_load_95_g;
        check_near(cJSON_GetArrayItem(pair, 0)->valuedouble, want.lo, 1e-9);
        check_near(cJSON_GetArrayItem(pair, 1)->valuedouble, want.hi, 1e-9);
        const cJSON *budget = cJSON_GetObjectItem(cJSON_GetObjectItem(root, "budget"), "mass_g");
        assert_int_equal(cJSON_GetArraySize(budget), 3);
        assert_string_equal(cJSON_GetObjectItem(cJSON_GetArrayItem(budget, 0), "id")->valuestring,
                            "neck");
        const cJSON *trials = cJSON_GetObjectItem(root, "trials");
        assert_true(i ? cJSON_IsObject(trials) : cJSON_IsNull(trials));
        cJSON_Delete(root);
        poise_string_free(texts[i]);
    }
    poise_weighing_free(plain);
    poise_weighing_free(tried);
    poise_instrument_free(in);
}

/* The text names what to weigh, and says the interval; with trials also the chances. */
static void test_words(void **state)
{
    (void)state;
    PoiseInstrument *in = instrument();
    const PoiseWeighOptions options = {.trials = 5000, .seed = 3};
    PoiseWeighing *w = weigh(in, &options);
    char *text = poise_weighing_text(w), *markdown = poise_weighing_markdown(w);
    assert_non_null(strstr(text, "Weigh first      \"neck\", for 88 % of the doubt in the weight"));
    assert_non_null(strstr(text, "95 % sure: between"));
    assert_non_null(strstr(text, "tail-heavy"));
    assert_non_null(strstr(markdown, "- Weigh first: \"neck\", for 88 % of the doubt"));
    poise_string_free(text);
    poise_string_free(markdown);
    poise_weighing_free(w);
    poise_instrument_free(in);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_first_order),
        cmocka_unit_test(test_trials),
        cmocka_unit_test(test_json),
        cmocka_unit_test(test_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
