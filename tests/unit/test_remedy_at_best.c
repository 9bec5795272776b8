/* What remedies say of themselves: "the lightest" and "at best" hold against everything else that
 * is told. On the leg at 0° masses turn about x = 140 mm, the hand has an arm of 500 mm. */
#include "remedy_help.h"

#define FILE_OF(stance, target, items)                                                             \
    "{\"poise\":1,\"name\":\"Osier\"," stance ",\"target\":{" target "},\"items\":{" items "}}"
#define HAND                                                                                       \
    "\"scale\":{\"nut\":[640,0,0],\"saddle\":[0,0,0]},\"stance\":{\"neck_angle\":0,"               \
    "\"hand\":\"nut\"},\"seat\":{\"rest\":[100,0],\"width\":80}"
#define MASS(id, g, at) "\"" id "\":{\"kind\":\"mass\",\"mass\":" g ",\"at\":[" at "]}"
#define BALLAST(id, g, at)                                                                         \
    "\"" id "\":{\"kind\":\"mass\",\"mass\":" g ",\"at\":[" at "],\"ballast\":{\"max\":400}}"
#define SLAB(outline)                                                                              \
    "\"slab\":{\"kind\":\"solid\",\"outline\":" outline ",\"thickness\":30,\"material\":\"wood\"}"
/* Its centre at x = 120 mm; ballast inside it as far as x = −78 mm, 218 mm behind the edge. */
#define SQUARE SLAB("[[-90,-100],[330,-100],[330,90],[-90,90]]")
/* With a horn, its post at the tip. */
#define HORNED SLAB("[[-90,-100],[200,-100],[330,90],[-90,60]]")
#define STRAP                                                                                      \
    "\"posts\":{\"tail\":[-90,0,-15],\"horn\":[330,90,-15]},\"strap\":{\"length\":1000,"           \
    "\"friction\":0.2},\"stance\":{\"neck_angle\":15},"                                            \
    "\"scale\":{\"nut\":[640,0,0],\"saddle\":[0,0,0]}"

static const PoiseShortfall *shortfall(const Case *c, const char *way)
{
    for (size_t i = 0; i < c->r->shortfall_count; i++)
        if (strcmp(c->r->shortfalls[i].way, way) == 0)
            return &c->r->shortfalls[i];
    fail_msg("nothing about %s in: %s", way, c->text);
    return NULL;
}

static void says(const char *text, const char *want)
{
    if (!strstr(text, want))
        fail_msg("\"%s\" is not in: %s", want, text);
}

/* 200 · 500 − 20 · slab g·mm over 218 mm is what the best place takes, and nothing else is there to
 * be changed: what the clash costs is no more. */
static void test_clash_knows_the_best_place(void **state)
{
    (void)state;
    char file[1024], want[200];
    Case c = found(FILE_OF(HAND, "\"mass\":9000", SQUARE "," MASS("head", "200", "640,0,0")));
    double mass = c.r->now.mass_g, slab = mass - 200.0;
    double needed = (200.0 * 500.0 - 20.0 * slab) / 218.0;
    done(&c);
    snprintf(file, sizeof file,
             FILE_OF(HAND, "\"mass\":%.4f",
                     SQUARE "," MASS("head", "200", "640,0,0") "," BALLAST("lead", "0", "120,0,0")),
             mass + 50.0);
    c = found(file);
    assert_int_equal(c.r->count, 0);
    assert_int_equal(c.r->conflict_count, 1);
    snprintf(want, sizeof want,
             "With the second met by ballast, the first is at best %.0f g too heavy.",
             needed - 50.0);
    says(c.r->conflicts[0], want);
    /* 50 g there take 50 · 218 g·mm off; 400 g at lead, 20 mm behind the edge, take 8000. */
    double moment = 200.0 * 500.0 - 20.0 * slab;
    check_near(shortfall(&c, "ballast inside the body")->short_by, (moment - 50.0 * 218.0) / 500.0,
               1e-3);
    check_near(shortfall(&c, "parts, infill and ballast")->short_by,
               (moment - 50.0 * 218.0) / 500.0, 1e-3);
    check_near(shortfall(&c, "ballast at lead")->short_by, (moment - 50.0 * 20.0) / 500.0, 1e-3);
    snprintf(want, sizeof want,
             "%.0f g short with the 50 g that the target mass leaves, and %.0f g short with the "
             "400 g the place takes, which makes it 350 g too heavy.",
             (moment - 50.0 * 20.0) / 500.0, (moment - 400.0 * 20.0) / 500.0);
    says(shortfall(&c, "ballast at lead")->text, want);
    done(&c);
}

/* No outline, no place inside it: then it is the file's places that are told of. */
static void test_clash_of_the_files_places(void **state)
{
    (void)state;
    Case c = found(FILE_OF(HAND, "\"mass\":1150",
                           MASS("body", "1000", "100,0,0") "," MASS(
                               "head", "100", "640,0,0") "," BALLAST("lead", "0", "40,0,0")));
    assert_int_equal(c.r->conflict_count, 1);
    says(c.r->conflicts[0], "met by ballast at the file's places, the first is at best 50 g");
    done(&c);
}

static bool is_change(PoiseRemedyKind kind)
{
    return kind != POISE_REMEDY_STRAP && kind != POISE_REMEDY_POST;
}

/* Two places of the file do it, and a place inside the body does it with less: what is called the
 * lightest has nothing lighter beside it, but what needs the new place it forgoes. */
static void test_the_lightest_is(void **state)
{
    (void)state;
    static const char *const bodies[] = {
        SQUARE, SQUARE ",\"tuner\":{\"kind\":\"part\",\"part\":\"tuner-cast\",\"at\":[600,0,0]}"};
    size_t combinations = 0;
    for (int i = 0; i < 2; i++) {
        char file[1024];
        snprintf(file, sizeof file,
                 "{\"poise\":1,\"name\":\"Osier\"," HAND
                 ",\"items\":{%s," MASS("head", "160", "640,0,0") "," BALLAST(
                     "a", "0", "50,0,0") "," BALLAST("b", "0", "30,0,0") "}}",
                 bodies[i]);
        Case c = found(file);
        assert_true(c.r->count > 1);
        for (size_t k = 0; k < c.r->count; k++) {
            const PoiseRemedy *r = &c.r->list[k];
            bool all = strstr(r->title, "parts, infill and ballast, the lightest way with any");
            combinations += r->kind == POISE_REMEDY_COMBINATION;
            for (size_t j = 0; j < c.r->count && all; j++)
                if (is_change(c.r->list[j].kind) && c.r->list[j].added_g < r->added_g - 1.0 &&
                    !strstr(r->title, "no new place for ballast"))
                    fail_msg("\"%s\" is lighter than \"%s\"", c.r->list[j].title, r->title);
        }
        done(&c);
    }
    assert_true(combinations > 0);
}

/* A tuner of 220 g that can be one of 90 g, and ballast at the best place: 460 mm and 218 mm. Both
 * together weigh less than either. */
static void test_combined_with_a_new_place(void **state)
{
    (void)state;
#define TUNED SQUARE ",\"tuner\":{\"kind\":\"part\",\"part\":\"tuner-cast\",\"at\":[600,0,0]},"
    Case c = found("{\"poise\":1,\"name\":\"Osier\"," HAND
                   ",\"items\":{" TUNED MASS("head", "160", "640,0,0") "}}");
    double slab = c.r->now.mass_g - 380.0;
    double needed = ceil((160.0 * 500.0 + 90.0 * 460.0 - 20.0 * slab) / 218.0);
    const PoiseRemedy *r = &c.r->list[0];
    assert_int_equal(r->kind, POISE_REMEDY_COMBINATION);
    assert_int_equal(r->step_count, 2);
    assert_string_equal(r->steps[0], "tuner: tuner-slim instead of tuner-cast");
    says(r->steps[1], " of ballast inside the body, at x −78, y ");
    check_near(r->added_g, needed - 130.0, 1e-9);
    check_near(poise_pointer_get_const(r->patch, "/items/new-ballast/mass")->valuedouble, needed,
               0);
    assert_string_equal(r->name, "two changes with a new place");
    done(&c);
}

/* The horn post stands at the tip of the horn: any way from there is a worse one, and so it is
 * told. What is told of all ways is no worse than it stands. */
static void test_no_move_for_the_worse(void **state)
{
    (void)state;
    static const char *const targets[] = {"", "\"margin\":10", "\"hand_load\":5,\"margin\":10"};
    for (int i = 0; i < 3; i++) {
        char file[1024], target[100];
        snprintf(target, sizeof target, "%s", targets[i]);
        snprintf(file, sizeof file,
                 "{\"poise\":1,\"name\":\"Osier\"," STRAP ",\"target\":{%s},\"items\":{" HORNED
                 "," MASS("head", "300", "640,0,0") "}}",
                 target);
        Case c = found(file);
        bool grams = i == 0;
        double now = grams ? c.r->now.strap[0].hand_load_g : 10.0 - c.r->now.strap[0].margin_mm;
        const PoiseShortfall *horn = shortfall(&c, "horn post");
        assert_string_equal(horn->unit, grams ? "g" : "mm");
        check_near(horn->short_by, now, 1e-6);
        says(horn->text, "does not help: ");
        says(horn->text, " short where it is, and no less elsewhere.");
        for (size_t k = 0; k < c.r->shortfall_count; k++)
            if (strcmp(c.r->shortfalls[k].unit, horn->unit) == 0)
                assert_false(c.r->shortfalls[k].short_by > now + 1e-6);
        done(&c);
    }
}

/* Targets in both units are compared in a stated way. */
static void test_how_targets_are_compared(void **state)
{
    (void)state;
    Case c = found(FILE_OF(STRAP, "\"margin\":10", HORNED "," MASS("head", "300", "640,0,0")));
    says(c.text, "Told is the target that is missed by most; 1 mm counts as 7 g in the hand.");
    done(&c);
    c = found(FILE_OF(STRAP, "\"hand_load\":5", HORNED "," MASS("head", "300", "640,0,0")));
    assert_null(strstr(c.text, "Told is"));
    done(&c);
}

static int set_up(void **state)
{
    (void)state;
    return remedy_shelf("remedy-at-best", "remedy-at-best.stl", &shelf);
}

/* One mass on a strap: its margin at a length, from the statics. */
static double margin_on(double length_mm, double station_mm)
{
    PoiseStrap strap = {
        .tail = {0, 0}, .horn = {420, 110}, .length_mm = length_mm, .friction = 0.3};
    PoiseInterval window;
    assert_int_equal(poise_strap_window(&strap, 0, &window), POISE_OK);
    return window.hi - station_mm;
}

#define ON_STRAP(x)                                                                                \
    "{\"poise\":1,\"name\":\"Osier\",\"posts\":{\"tail\":[0,0,0],\"horn\":[420,110,0]},"           \
    "\"strap\":{\"length\":1150,\"friction\":0.3},\"stance\":{\"neck_angle\":0},\"items\":{"       \
    "\"all\":{\"kind\":\"mass\",\"mass\":2600,\"at\":[" x ",-20,0]}}}"

static void says_short_of(const char *text, double by_mm)
{
    char want[64];
    snprintf(want, sizeof want, " leaves it %.*f mm short.", by_mm < 3 ? 1 : 0, by_mm);
    says(text, want);
}

/* A strap may be too long as well as too short: the longest that holds, in whole mm, or how near
 * the best of those tried comes. */
static void test_a_shorter_strap(void **state)
{
    (void)state;
    double station = 0.5 * (floor(margin_on(900, 0)) + floor(margin_on(1150, 0)));
    char file[512];
    snprintf(file, sizeof file, ON_STRAP("%.1f"), station);
    Case c = found(file);
    const PoiseRemedy *r = NULL;
    for (size_t i = 0; i < c.r->count; i++)
        if (strcmp(c.r->list[i].name, "shorter strap") == 0)
            r = &c.r->list[i];
    assert_non_null(r);
    double length = cJSON_GetNumberValue(poise_pointer_get_const(r->patch, "/strap/length"));
    assert_true(length >= 700 && length < 1150 && length == floor(length));
    assert_true(margin_on(length, station) >= 0 && margin_on(length + 1, station) < 0);
    check_near(r->state.strap[0].margin_mm, margin_on(length, station), 1e-9);
    done(&c);
    /* Beyond what the shortest does. */
    station = ceil(margin_on(700, 0)) + 20;
    snprintf(file, sizeof file, ON_STRAP("%.1f"), station);
    c = found(file);
    bool told = false;
    for (size_t i = 0; i < c.r->shortfall_count; i++) {
        if (strcmp(c.r->shortfalls[i].way, "strap length") != 0)
            continue;
        told = true;
        says(c.r->shortfalls[i].text, "of 700 to 1610 mm 700 mm instead of 1150 mm does best");
        says_short_of(c.r->shortfalls[i].text, -margin_on(700, station));
    }
    assert_true(told);
    done(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_clash_knows_the_best_place),
        cmocka_unit_test(test_clash_of_the_files_places),
        cmocka_unit_test(test_the_lightest_is),
        cmocka_unit_test(test_combined_with_a_new_place),
        cmocka_unit_test(test_no_move_for_the_worse),
        cmocka_unit_test(test_how_targets_are_compared),
        cmocka_unit_test(test_a_shorter_strap),
    };
    return cmocka_run_group_tests(tests, set_up, clear_shelf);
}
