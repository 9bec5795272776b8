/* Sweeps of point masses on the leg, on a strap without a hand, and on nothing: what they hold is
 * worked out by hand. At a neck angle of 0° masses turn about the headward edge of the thigh, x =
 * 140 mm, and the hand at the nut, x = 640 mm, has an arm of 500 mm. */
#include "sweep_help.h"

#include <unistd.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/sweep_report.h"

#define FILE_OF(stance, items) "{\"poise\":1,\"name\":\"Osier\"," stance "\"items\":{" items "}}"
#define LEG                                                                                        \
    "\"scale\":{\"nut\":[640,0,0],\"saddle\":[0,0,0]},\"stance\":{\"neck_angle\":0,"               \
    "\"hand\":\"nut\"},\"seat\":{\"rest\":[100,0],\"width\":80},"
/* 1000 · (100 − 140) + 100 · 500 = 10000 g·mm: 20 g in the hand. A gram at 40 mm takes 0.2 g off.
 */
#define BODY                                                                                       \
    "\"body\":{\"kind\":\"mass\",\"mass\":1000,\"at\":[100,0,0]},"                                 \
    "\"head\":{\"kind\":\"mass\",\"mass\":100,\"at\":[640,0,0]}"
#define LEADS                                                                                      \
    ",\"lead\":{\"kind\":\"mass\",\"mass\":0,\"at\":[40,0,0]},"                                    \
    "\"dust\":{\"kind\":\"mass\",\"mass\":0,\"at\":[40,0,0]}"

static const char PATH[] = POISE_TEST_BINARY_DIR "/sweep-leg.json";

static void write_file(const char *text)
{
    FILE *f = fopen(PATH, "w");
    assert_non_null(f);
    assert_true(fputs(text, f) >= 0);
    assert_int_equal(fclose(f), 0);
}

typedef struct Swept {
    PoiseSweep *sweep;
    PoiseSweepFindings found;
    Rows rows;
    char *text, *csv;
    cJSON *json;
} Swept;

static PoiseSweep *opened(const char *path, const char *const *vary, size_t n)
{
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    const PoiseSweepOptions options = {.threads = 1};
    PoiseStatus status = poise_sweep_open(path, vary, n, &options, &sweep, faults);
    print_faults(faults);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return sweep;
}

/* Runs, and writes in all three ways; at most `most` of the front in the text. */
static Swept run(PoiseSweep *sweep, size_t most)
{
    Swept s = {.sweep = sweep};
    PoiseText text = {0}, csv = {0}, json = {0};
    assert_int_equal(poise_sweep_run(sweep, keep_rows, &s.rows, &s.found, NULL), POISE_OK);
    poise_sweep_text(&text, sweep, &s.found, most, s.rows.list, s.rows.count);
    poise_sweep_csv_head(&csv, sweep);
    poise_sweep_json_head(&json, sweep);
    for (size_t i = 0; i < s.rows.count; i++) {
        poise_sweep_csv_row(&csv, sweep, &s.rows.list[i]);
        poise_sweep_json_row(&json, sweep, &s.rows.list[i], i == 0);
    }
    poise_sweep_json_tail(&json, sweep, &s.found);
    s.text = poise_text_take(&text);
    s.csv = poise_text_take(&csv);
    char *written = poise_text_take(&json);
    assert_true(s.text && s.csv && written);
    s.json = cJSON_Parse(written);
    assert_non_null(s.json);
    poise_string_free(written);
    return s;
}

static Swept sweep_of(const char *file, const char *vary, const char *more, size_t most)
{
    const char *const list[] = {vary, more};
    write_file(file);
    return run(opened(PATH, list, more ? 2 : 1), most);
}

static void done(Swept *s)
{
    poise_sweep_findings_free(&s->found);
    poise_sweep_free(s->sweep);
    free(s->rows.list);
    poise_string_free(s->text);
    poise_string_free(s->csv);
    cJSON_Delete(s->json);
}

static void says(const char *text, const char *want)
{
    if (!strstr(text, want))
        fail_msg("\"%s\" is not in: %s", want, text);
}

static void says_not(const char *text, const char *unwanted)
{
    if (strstr(text, unwanted))
        fail_msg("\"%s\" is in: %s", unwanted, text);
}

static void test_on_the_leg(void **state)
{
    (void)state;
    Swept s = sweep_of(FILE_OF(LEG "\"target\":{\"mass\":1150},", BODY LEADS),
                       "/items/lead/mass=0:200:50", NULL, 1);
    static const double hand_g[] = {20, 10, 0, 0, 0};
    assert_int_equal(s.rows.count, 5);
    for (size_t i = 0; i < 5; i++) {
        check_near(s.rows.list[i].mass_g, 1100 + 50 * (double)i, 1e-9);
        check_near(s.rows.list[i].seat_hand_load_g, hand_g[i], 1e-9);
        assert_true(isnan(s.rows.list[i].hand_load_g));
        assert_int_equal(s.rows.list[i].targets_met, i < 2);
    }
    assert_true(s.found.on_leg && !s.found.on_strap && s.found.has_best);
    assert_int_equal(s.found.judged, 5);
    assert_int_equal(s.found.holding, 3);
    assert_int_equal(s.found.met, 2);
    assert_int_equal(s.found.best.index, 2);
    assert_int_equal(s.found.front_count, 3);
    says(s.text, "hold up with the instrument on the");
    says(s.text, "in one of mass, hand\nload and filament");
    says(s.text, "1 of the 3 is shown");
    says(s.text, "Least hand load  1.20 kg, hand load 0 g, filament 0 g: A 100\n");
    says(s.text, "Need no hand     3 of them");
    says(s.text, "Meet all targets 2 of them");
    says(s.text, "    1100      20       –");
    says(s.csv, "\r\n50,1150,");
    says(s.csv, ",,neck-heavy,true\r\n100,1200,");
    says(s.csv, ",,holds,false\r\n");
    const cJSON *row = cJSON_GetArrayItem(cJSON_GetObjectItem(s.json, "rows"), 2);
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(row, "verdict")));
    assert_string_equal(cJSON_GetObjectItem(row, "seat_verdict")->valuestring, "holds");
    assert_true(cJSON_IsFalse(cJSON_GetObjectItem(row, "targets_met")));
    done(&s);
}

/* Without a strap the targets are judged on the leg. Margins: 140 mm less the centre, (164000 + 40
 * m)/(1100 + m) mm: −9.1, −4.3, 0, 4 and 7.7 mm. */
static void test_targets_on_the_leg(void **state)
{
    (void)state;
    Swept s = sweep_of(FILE_OF(LEG "\"target\":{\"hand_load\":12},", BODY LEADS),
                       "/items/lead/mass=0:200:50", NULL, 1);
    for (size_t i = 0; i < 5; i++)
        assert_int_equal(s.rows.list[i].targets_met, i >= 1);
    done(&s);
    s = sweep_of(FILE_OF(LEG "\"target\":{\"margin\":3},", BODY LEADS), "/items/lead/mass=0:200:50",
                 NULL, 1);
    for (size_t i = 0; i < 5; i++)
        assert_int_equal(s.rows.list[i].targets_met, i >= 3);
    done(&s);
}

/* Weights alone: no word of a hand. */
static void test_on_nothing(void **state)
{
    (void)state;
    Swept s = sweep_of(FILE_OF("", BODY LEADS), "/items/lead/mass=50,0", NULL, 5);
    assert_true(!s.found.on_leg && !s.found.on_strap);
    assert_int_equal(s.found.judged, 0);
    assert_int_equal(s.found.holding, 0);
    assert_int_equal(s.found.front_count, 1);
    assert_int_equal(s.found.front[0].index, 1);
    says(s.text, "The file has neither strap posts nor a seat: nothing is said about balance.");
    says(s.text, "in one of mass and\nfilament");
    says(s.text, "Lightest  ");
    says_not(s.text, "Least hand load");
    says_not(s.text, "Need no hand");
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(s.json, "best")));
    done(&s);
}

/* A strap that nobody's hand can help: what dives has no load to compare. */
static void test_without_a_hand(void **state)
{
    (void)state;
    Swept s = sweep_of(
        FILE_OF("\"posts\":{\"tail\":[-80,0,0],\"horn\":[330,90,0]},"
                "\"strap\":{\"length\":1100,\"friction\":0.2},\"stance\":{\"neck_angle\":0},",
                BODY LEADS),
        "/items/head/mass=900,1000", NULL, 5);
    for (size_t i = 0; i < 2; i++) {
        assert_true(s.rows.list[i].has_strap && s.rows.list[i].margin_mm < 0);
        assert_true(isnan(s.rows.list[i].hand_load_g));
    }
    assert_int_equal(s.found.judged, 0);
    assert_false(s.found.has_best);
    assert_int_equal(s.found.front_count, 0);
    says(s.text, "Trade-off front: 0 of 2.");
    says_not(s.text, "Least hand load");
    says_not(s.text, "Lightest");
    says(s.csv, ",neck-heavy,,true\r\n");
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(s.json, "best")));
    done(&s);
}

/* Of 9900 lead masses in steps of 0.01 g each is lighter than the next and holds less: more than
 * are kept. For each one stays that is no worse by a step. */
static void test_front_in_steps(void **state)
{
    (void)state;
    Swept s = sweep_of(FILE_OF(LEG, BODY LEADS), "/items/lead/mass=0:98:1",
                       "/items/dust/mass=0:0.99:0.01", 2);
    assert_int_equal(s.rows.count, 9900);
    double step = s.found.front_step_g;
    assert_true(step >= 0.01 && s.found.front_count <= 4096);
    for (size_t i = 0; i < s.rows.count; i += 7) {
        const PoiseSweepRow *row = &s.rows.list[i];
        bool near = false;
        for (size_t k = 0; k < s.found.front_count && !near; k++)
            near = s.found.front[k].mass_g < row->mass_g + step &&
                   s.found.front[k].seat_hand_load_g < row->seat_hand_load_g + step;
        assert_true(near);
    }
    says(s.text, "  points nearer to each other than 0.01 g in all three are shown as one\n");
    done(&s);
}

/* As in test_sweep.c. */
static void test_impossible_ones_are_counted(void **state)
{
    (void)state;
    const char *const vary[] = {"/scale/nut/0=640:700:20", "/items/neck/length=470,500"};
    PoiseSweep *sweep = opened(sweep_file(), vary, 2);
    Swept s = run(sweep, 5);
    assert_int_equal(s.found.impossible, 4);
    says(s.text, "Cannot be built  4 of them: their values exclude each other");
    done(&s);
}

/* What a reader should know comes as a list. */
static void test_notes(void **state)
{
    (void)state;
    const char *const vary[] = {"/items/dot/volume=20,30", "/items/wing/print/layer=0.5,2"};
    Swept s = run(opened(sweep_file(), vary, 2), 5);
    const cJSON *notes = cJSON_GetObjectItem(s.json, "notes");
    assert_int_equal(cJSON_GetArraySize(notes), 2);
    says(cJSON_GetArrayItem(notes, 0)->valuestring, "dot: what it weighed is set aside");
    assert_string_equal(cJSON_GetArrayItem(notes, 1)->valuestring,
                        "2 sections were sliced with other settings than the file's");
    done(&s);
}

static void note_item(const char *what, double fraction, void *context)
{
    assert_string_equal(what, "wing");
    check_near(fraction, 0.0, 0.0);
    ++*(int *)context;
}

/* Each new way to slice is told of before it is sliced. */
static void test_progress(void **state)
{
    (void)state;
    int told = 0;
    const char *const vary[] = {"/items/wing/print/layer=0.5,1,2"};
    const PoiseSweepOptions options = {.threads = 1, .progress = note_item, .context = &told};
    PoiseSweep *sweep = NULL;
    assert_int_equal(poise_sweep_open(sweep_file(), vary, 1, &options, &sweep, NULL), POISE_OK);
    assert_int_equal(told, 2); /* the file's own layer, 1, is there */
    poise_sweep_free(sweep);
}

/* "-" is the standard input, and paths in it start where one stands. */
static void test_standard_input(void **state)
{
    (void)state;
    const char *const vary[] = {"/items/lead/mass=0,100"};
    write_file(FILE_OF(LEG, BODY LEADS));
    assert_non_null(freopen(PATH, "r", stdin));
    Swept s = run(opened("-", vary, 1), 5);
    check_near(s.rows.list[0].seat_hand_load_g, 20, 1e-9);
    check_near(s.rows.list[1].seat_hand_load_g, 0, 1e-9);
    done(&s);
}

/* Both ends, and in between what is nearest: i (n − 1)/(most − 1), rounded. */
static void test_spread(void **state)
{
    (void)state;
    static const size_t want[] = {0, 3, 5, 8};
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(poise_sweep_spread(i, 4, 9), want[i]);
    assert_int_equal(poise_sweep_spread(0, 1, 9), 0);
    assert_int_equal(poise_sweep_spread(2, 3, 3), 2);
    assert_int_equal(poise_sweep_spread(2, 5, 3), 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_on_the_leg),     cmocka_unit_test(test_targets_on_the_leg),
        cmocka_unit_test(test_on_nothing),     cmocka_unit_test(test_without_a_hand),
        cmocka_unit_test(test_front_in_steps), cmocka_unit_test(test_impossible_ones_are_counted),
        cmocka_unit_test(test_notes),          cmocka_unit_test(test_progress),
        cmocka_unit_test(test_standard_input), cmocka_unit_test(test_spread),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
