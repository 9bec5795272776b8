/* The explorer's engine, compiled for this machine, against the weighing that it must repeat. (The
 * same in a browser: check_explorer.py.) */
#include "check.h"

#include <math.h>

#include "base/faults.h"
#include "base/memory.h"
#include "output/words.h"
#include "poise/poise.h"
#include "report/explorer_model.h"

typedef struct Case {
    PoiseInstrument *instrument;
    PoiseWeighing *weighing;
    PoiseSheetSource source;
    PoiseExplorerModel model;
} Case;

static Case open_case(const char *file)
{
    Case c = {0};
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    assert_int_equal(poise_instrument_read(file, NULL, NULL, &c.instrument, faults), POISE_OK);
    assert_int_equal(poise_weigh(c.instrument, &(PoiseWeighOptions){0}, &c.weighing, faults),
                     POISE_OK);
    c.source = (PoiseSheetSource){.instrument = c.instrument, .weighing = c.weighing};
    assert_int_equal(poise_explorer_model(&c.source, &c.model, faults), POISE_OK);
    poise_faults_free(faults);
    return c;
}

static void close_case(Case *c)
{
    poise_explorer_model_clear(&c->model);
    poise_weighing_free(c->weighing);
    poise_instrument_free(c->instrument);
}

static void same(double got, double want)
{
    if (isnan(want))
        assert_true(isnan(got));
    else
        assert_true(fabs(got - want) <= 1e-9 * fmax(1.0, fabs(want)));
}

static void repeats(const char *file, size_t sections, size_t ballasts)
{
    Case c = open_case(file);
    const PoiseWeighing *w = c.weighing;
    PoiseEngineResult r;
    assert_int_equal(c.model.section_count, sections);
    assert_int_equal(c.model.ballast_count, ballasts);
    assert_true(poise_engine_solve(c.model.numbers, &r));
    same(r.mass_g, w->total.mass_g);
    for (int i = 0; i < 3; i++)
        same(r.centre_mm[i], w->total.centre_mm[i]);
    same(r.station_mm, w->hanging.station_mm);
    same(r.window_lo_mm, w->hanging.window_mm.lo);
    same(r.window_hi_mm, w->hanging.window_mm.hi);
    same(r.margin_mm, w->hanging.margin_mm);
    same(r.verdict, w->hanging.verdict);
    same(r.needed_friction, w->hanging.needed_friction);
    same(r.hand_load_g, w->hanging.hand_load_g);
    same(r.settles_at_deg, w->hanging.settles_at_deg);
    same(r.free_hang_deg, w->free_hang_deg);
    same(r.lean_deg, w->lean_deg);
    same(r.seat_verdict, w->resting.verdict);
    same(r.seat_station_mm, w->resting.horizontal_mm - w->seat_from_h_mm);
    same(r.seat_hand_load_g, w->resting.hand_load_g);
    same(r.targets_met, w->targets_met);
    PoiseText words = {0}, wanted = {0};
    poise_engine_words(c.model.numbers, &words);
    poise_words_strap_verdict(&wanted, w);
    poise_text_append(&wanted, "\n");
    poise_words_seat_verdict(&wanted, w);
    assert_string_equal(words.data, wanted.data);
    poise_text_clear(&words);
    poise_text_clear(&wanted);
    close_case(&c);
}

static void demos_repeat(void **state)
{
    (void)state;
    repeats(POISE_TEST_SOURCE_DIR "/components/instruments/linnet/linnet.json", 0, 0);
    repeats(POISE_TEST_DEMOS "/mudlark/mudlark.json", 6, 1);
}

/* By the definition of the centre of mass: m grams at p move it by m (p − c)/(M + m). */
static void ballast_by_hand(void **state)
{
    (void)state;
    Case c = open_case(POISE_TEST_DEMOS "/mudlark/mudlark.json");
    PoiseEngineResult before, after;
    double *ballast = c.model.numbers + poise_explorer_ballast_at(&c.model, 0), at[3];
    poise_engine_solve(c.model.numbers, &before);
    ballast[0] = 100.0; /* g */
    ballast[4] = 30.0;  /* towards the head, which is +x here */
    ballast[5] = -20.0; /* up, which is +y */
    poise_engine_place(c.model.numbers, 0, at);
    assert_true(at[0] == -16.0 + 30.0 && at[1] == -110.0 - 20.0 && at[2] == -24.0);
    poise_engine_solve(c.model.numbers, &after);
    same(after.mass_g, before.mass_g + 100.0);
    for (int i = 0; i < 3; i++)
        same(after.centre_mm[i],
             before.centre_mm[i] + 100.0 * (at[i] - before.centre_mm[i]) / after.mass_g);
    close_case(&c);
}

/* No answer is no number, and words that say so. */
static void nonsense(void **state)
{
    (void)state;
    Case c = open_case(POISE_TEST_SOURCE_DIR "/components/instruments/linnet/linnet.json");
    PoiseEngineHead *head = (PoiseEngineHead *)(void *)c.model.numbers;
    PoiseEngineResult r;
    head->stance.strap_mm = 10.0; /* shorter than the posts' distance */
    assert_false(poise_engine_solve(c.model.numbers, &r));
    assert_true(isnan(r.margin_mm) && isnan(r.verdict) && r.mass_g > 0.0);
    PoiseText words = {0};
    poise_engine_words(c.model.numbers, &words);
    assert_non_null(strstr(words.data, "No verdict"));
    poise_text_clear(&words);
    close_case(&c);
}

static void json_is_safe(void **state)
{
    (void)state;
    Case c = open_case(POISE_TEST_DEMOS "/mudlark/mudlark.json");
    poise_release(c.instrument->items[0].id);
    c.instrument->items[0].id = poise_copy_text("</script>\xE2\x80\xAE\xF0\x9F\x8E\xB8");
    char *json = poise_explorer_json(&c.source, &c.model);
    assert_non_null(json);
    assert_null(strchr(json, '<'));
    for (const char *p = json; *p; p++)
        assert_true((unsigned char)*p < 0x7F);
    /* As RFC 8259, section 7, has them. */
    assert_non_null(strstr(json, "\"\\u003c/script>\\u202e\\ud83c\\udfb8\""));
    poise_release(json);
    close_case(&c);
}

/* Any allocation may fail: then there is no model, or no JSON, and nothing leaks. */
static void memory_runs_out(void **state)
{
    (void)state;
    Case c = open_case(POISE_TEST_SOURCE_DIR "/components/instruments/linnet/linnet.json");
    for (long at = 0;; at++) {
        PoiseExplorerModel model;
        poise_alloc_fail_at(at, 0);
        PoiseStatus status = poise_explorer_model(&c.source, &model, NULL);
        char *json = status ? NULL : poise_explorer_json(&c.source, &model);
        long used = poise_alloc_fail_at(-1, 0);
        assert_true(used > at ? !json : json != NULL);
        poise_release(json);
        poise_explorer_model_clear(&model);
        if (used <= at)
            break;
    }
    close_case(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(demos_repeat),
                                       cmocka_unit_test(ballast_by_hand),
                                       cmocka_unit_test(nonsense), cmocka_unit_test(json_is_safe),
                                       cmocka_unit_test(memory_runs_out)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
