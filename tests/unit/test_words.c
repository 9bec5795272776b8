/* What weighing says of hand, strap and targets: each sentence true of the numbers beside it. The
 * instruments are two masses on a line, worked out by hand (moments about an edge). */
#include "check.h"

#include <cjson/cJSON.h>

#include "output/words.h"
#include "poise/poise.h"

static PoiseInstrument *in;
static PoiseWeighing *w;
static char *text;

/* 2 kg at 100 and 1 kg at 700: the centre at 300. */
#define MASSES                                                                                     \
    "\"items\":{\"a\":{\"kind\":\"mass\",\"mass\":2000,\"at\":[100,0,0]},"                         \
    "\"b\":{\"kind\":\"mass\",\"mass\":1000,\"at\":[700,0,0]}}"
#define POSTS        "\"posts\":{\"tail\":[0,0,0],\"horn\":[400,0,0]},"
#define STRAP        POSTS "\"strap\":{\"length\":1000,\"friction\":0.3},"
#define STANCE(hand) "\"stance\":{\"neck_angle\":0,\"hand\":" hand "},"
#define SEAT(x)      "\"seat\":{\"rest\":[" x ",-100],\"width\":80},"
#define SCALE        "\"scale\":{\"nut\":[700,0,0],\"saddle\":[100,0,0]},"

static void weigh(const char *keys, size_t trials)
{
    char file[2048];
    snprintf(file, sizeof file, "{\"poise\":1,\"name\":\"x\",%s" MASSES "}", keys);
    PoiseFaults *faults = poise_faults_new();
    const PoiseWeighOptions options = {.trials = trials, .seed = 1};
    PoiseStatus status =
        poise_instrument_parse(file, strlen(file), "x.json", ".", NULL, NULL, &in, faults);
    if (!status)
        status = poise_weigh(in, &options, &w, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        print_error("%s\n", poise_faults_get(faults, i)->found);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    text = poise_weighing_text(w);
    assert_non_null(text);
}

static void done(void)
{
    poise_string_free(text);
    poise_weighing_free(w);
    poise_instrument_free(in);
}

/* The sentence is there, however its lines are broken. */
static bool says(const char *sentence)
{
    for (const char *start = text; *start; start++) {
        const char *a = start, *b = sentence;
        while (*b && *a) {
            if (*b == ' ' && (*a == ' ' || *a == '\n')) {
                a += strspn(a, " \n");
                b += strspn(b, " ");
            } else if (*a == *b) {
                a++;
                b++;
            } else {
                break;
            }
        }
        if (!*b)
            return true;
    }
    return false;
}

static void must_say(const char *sentence, bool want)
{
    if (says(sentence) == want)
        return;
    print_error("%s: \"%s\"\n%s\n", want ? "not said" : "said", sentence, text);
    fail();
}

/* On the leg: the edge at 240, the centre 60 mm past it, 3000 g. At the nut, 460 mm headwards of
 * the edge: 3000·60/460 = 391 g. */
static void a_hand_on_the_right_side_holds_up(void **state)
{
    (void)state;
    weigh(SCALE SEAT("200") STANCE("\"nut\""), 0);
    check_close(w->resting.hand_load_g, 180000.0 / 460, 1e-12);
    must_say("Neck-heavy on the leg: the fretting hand holds up 391 g at the nut.", true);
    must_say("on the leg the hand's place", false);
    done();
    /* The lower edge at 460, 160 mm headwards of the centre, 240 mm short of the hand: 2 kg down.
     */
    weigh(SCALE SEAT("500") STANCE("\"nut\""), 0);
    check_close(w->resting.hand_load_g, -480000.0 / 240, 1e-12);
    must_say("Tail-heavy on the leg: the fretting hand pulls down 2.00 kg at the nut.", true);
    done();
}

/* At 40, 200 mm tailwards of that edge: 3000·60/−200, so 900 g downwards. At 660, 40 mm tailwards
 * of the lower edge of a leg at 740: 3000·400/40. */
static void a_hand_on_the_wrong_side_is_told(void **state)
{
    (void)state;
    weigh(SCALE SEAT("200") STANCE("[40,0,0]"), 0);
    check_close(w->resting.hand_load_g, -900.0, 1e-12);
    must_say("Neck-heavy on the leg: the fretting hand would have to press down with 900 g.", true);
    must_say("holds up", false);
    must_say("on the leg the hand's place is 200 mm tailwards of the edge that the instrument tips "
             "over: lifting there does not help, the fretting hand cannot hold it",
             true);
    assert_true(w->doubts.seat_hand_load_95_g.lo < -900 && w->doubts.seat_hand_load_95_g.hi > -900);
    done();
    weigh(SCALE SEAT("400") STANCE("[160,0,0]"), 0);
    check_close(w->resting.hand_load_g, 3000 * 60.0 / 200, 1e-12);
    must_say("Tail-heavy on the leg: the fretting hand would have to push up with 900 g.", true);
    must_say("pulling down there does not help", true);
    done();
    weigh(SCALE STRAP STANCE("[40,0,0]"), 0);
    must_say("Neck-heavy at 0°: the neck dives.", true);
    must_say("on the strap the hand's place is", true);
    must_say("lifting there does not help, the fretting hand cannot hold it", true);
    done();
}

/* 3 mm from the edge 200 kg would hold it; 50 mm from it still more than the instrument weighs. */
static void a_hand_too_near_is_told(void **state)
{
    (void)state;
    weigh(SCALE SEAT("200") STANCE("[237,0,0]"), 0);
    must_say("on the leg the hand's place is 3.0 mm from the edge that the instrument tips over: "
             "too near to hold it there, and no load to rely on",
             true);
    done();
    weigh(SCALE SEAT("200") STANCE("[290,0,0]"), 0);
    assert_true(isnan(w->resting.hand_load_g) != 0);
    must_say("on the leg the hand's place is 50 mm headwards of the edge that the instrument tips "
             "over: it would take more than the instrument's weight to hold it there",
             true);
    done();
    /* It holds: wherever the hand is, there is nothing to tell. */
    weigh(SCALE SEAT("300") STANCE("[300,0,0]"), 0);
    must_say("Holds on the leg: it rests without help.", true);
    must_say("the hand's place", false);
    done();
}

/* A load that is 0 or may be has an interval and no ±; trials bring their own. */
static void a_load_cut_at_nothing_has_no_plus_minus(void **state)
{
    (void)state;
    weigh(SCALE POSTS "\"strap\":{\"length\":1000,\"friction\":\"0.45 ± 0.1\"}," STANCE("\"nut\""),
          0);
    assert_int_equal(w->hanging.verdict, POISE_HOLDS);
    must_say("Hand, strap 0 g; 95 % sure: below ", true);
    must_say("0 g ±", false);
    char *json = poise_weighing_json(w);
    cJSON *root = cJSON_Parse(json);
    const cJSON *strap = cJSON_GetObjectItem(root, "strap");
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(strap, "hand_load_u_g")));
    assert_true(cJSON_GetObjectItem(strap, "hand_load_g")->valuedouble == 0);
    cJSON_Delete(root);
    poise_string_free(json);
    done();
    weigh(SCALE POSTS "\"strap\":{\"length\":1000,\"friction\":\"0.45 ± 0.1\"}," STANCE("\"nut\""),
          4000);
    must_say("Hand, strap 0 g; 95 % sure: below ", true);
    must_say("; mean of the trials ", true);
    done();
    /* Without doubt of the friction it is far from 0. */
    weigh(SCALE STRAP STANCE("\"nut\""), 0);
    must_say("Hand, strap 157 g ± 5.3 g; 95 % sure: between 146 g and 167 g", true);
    done();
}

/* Level posts and masses all on one line: falling, it meets no angle that holds down to −90°, and
 * without friction it hangs straight down. Nothing is claimed of what was not looked at. */
static void letting_go_and_hanging_free_agree(void **state)
{
    (void)state;
    weigh(SCALE STRAP STANCE("\"nut\""), 0);
    assert_true(isnan(w->hanging.settles_at_deg) != 0);
    check_near(w->free_hang_deg, -90, 1e-6);
    must_say("Let go the neck falls: no angle from 0° down to −90° holds it", true);
    must_say("Without friction it would hang still with the neck straight down, at −90°", true);
    must_say("at any angle", false);
    done();
}

static const cJSON *met_of(cJSON *root, const char *key)
{
    return cJSON_GetObjectItem(cJSON_GetObjectItem(cJSON_GetObjectItem(root, "targets"), key),
                               "met");
}

#define TARGETS "\"target\":{\"mass\":\"4 kg\",\"hand_load\":150,\"margin\":10},"

/* What cannot be judged is neither met nor missed. */
static void unknown_targets(void **state)
{
    (void)state;
    static const struct {
        const char *keys, *why;
    } cases[] = {
        {SCALE TARGETS, "not known: the file has neither strap posts nor a seat"},
        {SCALE POSTS TARGETS, "not known: the file has neither a strap nor a seat"},
        {SCALE "\"posts\":{\"tail\":[0,0,0],\"horn\":[10,400,0]},\"strap\":{\"length\":1000},"
               "\"stance\":{\"neck_angle\":60}," TARGETS,
         "not known: the horn post is not headwards of the tail post"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char expected[160];
        weigh(cases[i].keys, 0);
        must_say("Target mass at most 4.00 kg: met", true);
        snprintf(expected, sizeof expected, "Target hand load at most 150 g: %s", cases[i].why);
        must_say(expected, true);
        snprintf(expected, sizeof expected, "Target margin at least 10 mm: %s", cases[i].why);
        must_say(expected, true);
        must_say("NOT met", false);
        assert_false(w->targets_met);
        char *json = poise_weighing_json(w);
        cJSON *root = cJSON_Parse(json);
        assert_true(cJSON_IsTrue(met_of(root, "mass")));
        assert_true(cJSON_IsNull(met_of(root, "hand_load")) &&
                    cJSON_IsNull(met_of(root, "margin")));
        cJSON_Delete(root);
        poise_string_free(json);
        done();
    }
    weigh(STRAP "\"stance\":{\"neck_angle\":0}," TARGETS, 0);
    must_say("Target hand load at most 150 g: not known: the file does not say where the hand is",
             true);
    must_say("Target margin at least 10 mm: NOT met (−22 mm)", true);
    done();
    /* A hand that cannot hold it misses the target. */
    weigh(SCALE STRAP STANCE("[40,0,0]") TARGETS, 0);
    must_say("Target hand load at most 150 g: NOT met (the hand cannot hold it there)", true);
    done();
}

/* Without a strap the leg judges. By moments about its headward edge, 20 mm headwards of the rest:
 * the masses of the other tests, 3 kg with the centre at 300 mm. */
static void targets_on_the_leg(void **state)
{
    (void)state;
    weigh("\"scale\":{\"nut\":[700,0,0],\"saddle\":[100,0,0]},"
          "\"seat\":{\"rest\":[250,-100],\"width\":40}," STANCE("\"nut\"") TARGETS,
          0);
    check_near(w->resting.hand_load_g, 3000.0 * 30.0 / 430.0, 1e-9);
    must_say("Leg carries −20 to 20 mm headwards of the seat's rest, measured level; the centre of "
             "mass is at 50 mm",
             true);
    must_say("Target hand load at most 150 g on the leg: NOT met (209 g)", true);
    must_say("Target margin at least 10 mm on the leg: NOT met (−30 mm)", true);
    char *json = poise_weighing_json(w);
    cJSON *root = cJSON_Parse(json);
    const cJSON *seat = cJSON_GetObjectItem(root, "seat");
    assert_true(cJSON_IsFalse(met_of(root, "hand_load")));
    check_near(cJSON_GetObjectItem(seat, "station_mm")->valuedouble, 50, 1e-9);
    check_near(cJSON_GetArrayItem(cJSON_GetObjectItem(seat, "window_mm"), 0)->valuedouble, -20,
               1e-9);
    cJSON_Delete(root);
    poise_string_free(json);
    done();
    weigh("\"seat\":{\"rest\":[250,-100],\"width\":180},\"stance\":{\"neck_angle\":0}," TARGETS, 0);
    must_say("Target hand load at most 150 g on the leg: met", true);
    must_say("Target margin at least 10 mm on the leg: met", true);
    assert_true(w->targets_met);
    done();
    weigh("\"seat\":{\"rest\":[250,-100],\"width\":40},\"stance\":{\"neck_angle\":0}," TARGETS, 0);
    must_say(
        "Target hand load at most 150 g on the leg: not known: the file does not say where the "
        "hand is",
        true);
    done();
}

/* Each rule and limit only for what it is about: straps with a strap, solid bodies from 22 inches.
 */
static void rules_where_they_apply(void **state)
{
    (void)state;
    weigh(SCALE STRAP STANCE("\"nut\""), 0);
    must_say("The shoulder is taken as one point.", true);
    must_say("The centre of mass should lie between the posts.", true);
    must_say("Solid bodies commonly weigh 2.7 to 4.1 kg.", true);
    must_say("(6 lb 10 oz)", true);
    done();
    weigh("\"scale\":{\"nut\":[432,0,0],\"saddle\":[0,0,0]},", 0);
    must_say("The shoulder is taken as one point.", false);
    must_say("The centre of mass should lie between the posts.", false);
    must_say("Solid bodies commonly weigh", false);
    must_say("Rules of thumb", false);
    must_say("Masses are estimates until a scale has seen the part", true);
    done();
}

/* One rule for a load's ±, whichever interval is told. */
static void the_interval_told_decides(void **state)
{
    (void)state;
    const PoiseSampled cut = {1000, 161, 78, {0, 314}}, whole = {1000, 161, 60, {20, 290}};
    const PoiseInterval clear = {2, 310}, reaching = {0, 310};
    check_near(poise_words_load_u(78, clear, NULL), 78, 0);
    assert_true(isnan(poise_words_load_u(78, clear, &cut)));
    assert_true(isnan(poise_words_load_u((double)NAN, reaching, NULL)));
    check_near(poise_words_load_u((double)NAN, reaching, &whole), 60, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_hand_on_the_right_side_holds_up),
        cmocka_unit_test(a_hand_on_the_wrong_side_is_told),
        cmocka_unit_test(a_hand_too_near_is_told),
        cmocka_unit_test(a_load_cut_at_nothing_has_no_plus_minus),
        cmocka_unit_test(letting_go_and_hanging_free_agree),
        cmocka_unit_test(unknown_targets),
        cmocka_unit_test(targets_on_the_leg),
        cmocka_unit_test(the_interval_told_decides),
        cmocka_unit_test(rules_where_they_apply),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
