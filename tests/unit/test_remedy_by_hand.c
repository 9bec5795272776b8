/* Remedies for instruments of point masses, whose levers on the leg are worked out by hand: at a
 * neck angle of 0° masses turn about the headward edge of the thigh, x = 140 mm, and the hand at
 * the nut, x = 640 mm, has an arm of 500 mm. */
#include "remedy_help.h"

#define FILE_OF(stance, target, items)                                                             \
    "{\"poise\":1,\"name\":\"Osier\"," stance "," target "\"items\":{" items "}}"
#define REST "\"seat\":{\"rest\":[100,0],\"width\":80}"
/* Without a scale there is no hand. */
#define LEG "\"stance\":{\"neck_angle\":0}," REST
#define HAND                                                                                       \
    "\"scale\":{\"nut\":[640,0,0],\"saddle\":[0,0,0]},\"stance\":{\"neck_angle\":0,"               \
    "\"hand\":\"nut\"}," REST
#define MASS(id, g, at) "\"" id "\":{\"kind\":\"mass\",\"mass\":" g ",\"at\":[" at "]}"
#define BALLAST(id, g, at)                                                                         \
    "\"" id "\":{\"kind\":\"mass\",\"mass\":" g ",\"at\":[" at "],\"ballast\":{\"max\":400}}"
#define SLAB                                                                                       \
    "\"slab\":{\"kind\":\"solid\",\"outline\":[[-90,-100],[330,-100],[330,90],[-90,90]],"          \
    "\"thickness\":30,\"material\":\"wood\"}"
#define STRAP(tail, horn, length)                                                                  \
    "\"posts\":{\"tail\":[" tail ",-15],\"horn\":[" horn ",-15]},\"strap\":{\"length\":" length    \
    ",\"friction\":0.2},\"stance\":{\"neck_angle\":15},"                                           \
    "\"scale\":{\"nut\":[640,0,0],\"saddle\":[0,0,0]}"
#define BUTTON(at)                                                                                 \
    "\"button\":{\"kind\":\"part\",\"part\":\"button-strap-post\",\"at\":[" at ",-15]}"
#define WING(print)                                                                                \
    "\"wing\":{\"kind\":\"printed\",\"mesh\":\"remedy-by-hand.stl\",\"material\":\"own\","         \
    "\"at\":[-80,-30,-40],\"print\":{\"layer\":2," print "}}"

static const PoiseRemedy *of_kind(const Case *c, PoiseRemedyKind kind)
{
    for (size_t i = 0; i < c->r->count; i++)
        if (c->r->list[i].kind == kind)
            return &c->r->list[i];
    fail_msg("no such remedy in: %s", c->text);
    return NULL;
}

static void says(const char *text, const char *want)
{
    if (!strstr(text, want))
        fail_msg("\"%s\" is not in: %s", want, text);
}

static const char *shortfall(const Case *c, const char *way)
{
    for (size_t i = 0; i < c->r->shortfall_count; i++)
        if (strcmp(c->r->shortfalls[i].way, way) == 0)
            return c->r->shortfalls[i].text;
    fail_msg("nothing about %s in: %s", way, c->text);
    return NULL;
}

static double number_at(const PoiseRemedy *r, const char *pointer)
{
    const cJSON *value = poise_pointer_get_const(r->patch, pointer);
    assert_true(cJSON_IsNumber(value));
    return value->valuedouble;
}

/* 1000 g at 0 and at 500 mm: the centre at 250 mm is 110 mm headwards of the edge at 140 mm, or as
 * far tailwards of the edge at 360 mm. Nothing about the instrument can be changed. */
static void test_nothing_to_choose_from(void **state)
{
    (void)state;
    Case c =
        found(FILE_OF(LEG, "", MASS("body", "1000", "0,0,0") "," MASS("head", "1000", "500,0,0")));
    assert_string_equal(c.r->worst,
                        "110 mm too neck-heavy on the leg at 0°, and no hand there can help");
    assert_int_equal(c.r->count, 0);
    assert_int_equal(c.r->conflict_count, 1);
    says(c.r->conflicts[0], "no neck dive on the leg at 0°. At best 110 mm short.");
    says(c.text, "2.00 kg; margin −110 mm, neck-heavy on the leg");
    done(&c);
    c = found(FILE_OF("\"stance\":{\"neck_angle\":0},\"seat\":{\"rest\":[400,0],\"width\":80}",
                      "\"target\":{\"mass\":2500},",
                      MASS("body", "1000", "0,0,0") "," MASS("head", "1000", "500,0,0")));
    assert_string_equal(c.r->worst,
                        "110 mm too tail-heavy on the leg at 0°, and no hand there can help");
    assert_int_equal(c.r->conflict_count, 1);
    says(c.r->conflicts[0],
         "not tail-heavy on the leg at 0°. At best 110 mm short, whatever it weighs.");
    says(c.text, "at most 2.50 kg, and that it just holds by itself");
    done(&c);
    /* A mass that is missed as well, and cannot be kept either. */
    c = found(FILE_OF(LEG, "\"target\":{\"mass\":1900},",
                      MASS("body", "1000", "0,0,0") "," MASS("head", "1000", "500,0,0")));
    assert_int_equal(c.r->conflict_count, 2);
    says(c.r->conflicts[0],
         "a mass of at most 1.90 kg. At best 100 g too heavy, whatever becomes of the balance.");
    done(&c);
}

/* Moments about the edge: 1000 · (100 − 140) + 100.05 · 500 = 10025 g·mm, which 100.25 g at 40 mm
 * balance; 1200.55 g leave 100.5 g for it. No whole number of grams is between. */
static void test_ballast_between_two_grams(void **state)
{
    (void)state;
#define BODY MASS("body", "1000", "100,0,0") "," MASS("head", "100.05", "640,0,0") ","
    Case c =
        found(FILE_OF(LEG, "\"target\":{\"mass\":1200.55},", BODY BALLAST("lead", "0", "40,0,0")));
    assert_int_equal(c.r->count, 1);
    check_near(number_at(of_kind(&c, POISE_REMEDY_BALLAST), "/items/lead/mass"), 100.25, 1e-9);
    assert_string_equal(shortfall(&c, "parts, infill and ballast"),
                        "Parts, infill and ballast together reach it, but not in whole grams and "
                        "percent (asked: no neck dive on the leg at 0°).");
    done(&c);
    c = found(
        FILE_OF(LEG, "\"target\":{\"mass\":1200.55},", BODY BALLAST("lead", "200", "40,0,0")));
    assert_int_equal(c.r->count, 1);
    check_near(number_at(of_kind(&c, POISE_REMEDY_REMOVE), "/items/lead/mass"), 100.5, 1e-9);
    assert_string_equal(c.r->list[0].title, "100 g off the ballast at lead (101 g left)");
    done(&c);
    /* What is there already counts towards what it takes. */
    c = found(FILE_OF(LEG, "", BODY BALLAST("lead", "20", "40,0,0")));
    const PoiseRemedy *r = of_kind(&c, POISE_REMEDY_BALLAST);
    assert_string_equal(r->title, "81 g more ballast at lead (101 g in all)");
    check_near(number_at(r, "/items/lead/mass"), 101, 0);
    done(&c);
}

#define HEAD100 MASS("body", "1000", "100,0,0") "," MASS("head", "100", "640,0,0") ","

/* 10000 g·mm over 500 mm are 20 g in the hand; B grams at 40 mm leave 20 − B/5 there, and B − 50 of
 * them are over 1150 g: with the 50 g that are left 10 g are short. All of the balance takes 100 g,
 * 50 too many. */
static void test_ballast_against_the_mass(void **state)
{
    (void)state;
    Case c =
        found(FILE_OF(HAND, "\"target\":{\"mass\":1150},", HEAD100 BALLAST("lead", "0", "40,0,0")));
    assert_string_equal(c.r->worst, "20 g in the hand on the leg at 0°; it should hold by itself");
    assert_string_equal(shortfall(&c, "ballast at lead"),
                        "Ballast at lead alone does not do it: 10 g short with the 50 g that the "
                        "target mass leaves. 100 g would balance it, but make it 50 g too heavy.");
    assert_int_equal(c.r->conflict_count, 1);
    says(c.r->conflicts[0],
         "These two clash: a mass of at most 1.15 kg, and no neck dive on the "
         "leg at 0°. With the second met by ballast at the file's places, the first "
         "is at best 50 g too heavy.");
    done(&c);
    /* The mass asked for is 50 g below that without any ballast, and 150 g below that with the 100
     * g that the balance takes. */
    c = found(
        FILE_OF(HAND, "\"target\":{\"mass\":1050},", HEAD100 BALLAST("lead", "200", "40,0,0")));
    assert_string_equal(shortfall(&c, "parts, infill and ballast"),
                        "Parts, infill and ballast together do not do it: at best 150 g too heavy "
                        "with the balance kept (asked: a mass of at most 1.05 kg).");
    says(c.r->conflicts[0], "At best 50 g too heavy, whatever becomes of the balance.");
    done(&c);
    /* Half a gram too heavy as it is: ballast balances it, and that is all. */
    c = found(FILE_OF(HAND, "\"target\":{\"mass\":1099.5},",
                      HEAD100 BALLAST("lead", "0", "40,0,0") "," BALLAST("more", "0", "30,0,0")));
    assert_int_equal(c.r->shortfall_count, 3);
    says(c.r->shortfalls[0].text, "without any the mass is 0.5 g above the target.");
    assert_string_equal(
        c.r->shortfalls[1].text,
        "Ballast at the file's places alone reaches it, but then it is at best 91 g "
        "too heavy (asked: no neck dive on the leg at 0°).");
    done(&c);
}

/* At x each gram turns with (x − 140)/500 of its weight in the hand; the four that turn most are
 * told. Together 10, 20, 30, 40 and 50 times 1000 less 40000 g·mm, over 500 mm: 220 g. */
static void test_leverage(void **state)
{
    (void)state;
    Case c = found(FILE_OF(
        HAND, "",
        MASS("body", "1000", "100,0,0") "," MASS("a", "100", "240,0,0") "," MASS(
            "b", "100", "340,0,0") "," MASS("c", "100",
                                            "440,0,0") "," MASS("d", "100",
                                                                "540,0,0") "," MASS("e", "300",
                                                                                    "640,0,0")));
    static const char *const ids[] = {"e", "d", "c", "b"};
    static const double per_10_g[] = {-10, -8, -6, -4};
    check_near(c.r->now.leg[0].hand_load_g, 420, 1e-9); /* 300 g at e: 200 more */
    assert_int_equal(c.r->leverage_count, 4);
    for (int i = 0; i < 4; i++) {
        assert_string_equal(c.r->leverages[i].id, ids[i]);
        check_near(c.r->leverages[i].hand_load_per_10_g, per_10_g[i], 1e-9);
        assert_true(isnan(c.r->leverages[i].enough_g));
    }
    done(&c);
}

/* Letters of other scripts, one after the other, become one line in a variant's name; names end
 * after 60 bytes. */
static void test_names(void **state)
{
    (void)state;
#define LONG "жж-a-very-long-name-for-a-place-of-ballast-that-nobody-would-ever-choose"
    Case c = found(FILE_OF(LEG, "", HEAD100 BALLAST(LONG, "0", "40,0,0")));
    const PoiseRemedy *r = of_kind(&c, POISE_REMEDY_BALLAST);
    assert_string_equal(r->name, "100 g at _-a-very-long-name-for-a-place-of-ballast-that-nobo");
    assert_int_equal(strlen(r->name), 60);
    says(r->title, LONG);
    done(&c);
}

/* A lever of 100 mm against the dive for one ballast at each of two neck angles, none for the
 * other. At an angle θ the head is raised: h = x cos θ − y sin θ from the rest at the origin, the
 * edge at 40 mm. Each dive needs 100 g; 150 g are left. */
static void test_three_that_exclude_each_other(void **state)
{
    (void)state;
    PoiseRemedyOptions two = {.angle_count = 2, .angles_deg = {0, 60}};
    Case c = found_with(
        FILE_OF(
            "\"seat\":{\"rest\":[0,0],\"width\":80}", "\"target\":{\"mass\":1250},",
            MASS("body", "1000", "30,-17.320508,0") "," MASS(
                "head", "100",
                "240,-138.564065,0") "," BALLAST("a", "0",
                                                 "-60,-80.829038,0") "," BALLAST("b", "0",
                                                                                 "40,92.376043,0")),
        &two);
    assert_int_equal(c.r->count, 0);
    assert_int_equal(c.r->conflict_count, 1);
    assert_string_equal(c.r->conflicts[0],
                        "Each two of the targets can be met together by ballast at the file's "
                        "places, but not all of them.");
    done(&c);
}

static bool met(const char *file)
{
    Case c = found(file);
    bool good = c.r->met;
    done(&c);
    return good;
}

/* The horn post in the midst of the slab goes straight along the strings, its button with it: so
 * far as it must, and no further. */
static void test_post_inside_the_outline(void **state)
{
    (void)state;
#define AT(x, y)                                                                                   \
    FILE_OF(STRAP("-40,0", x "," y, "1000"), "",                                                   \
            SLAB "," MASS("head", "300", "640,0,0") "," BUTTON(x "," y))
    Case c = found(AT("290", "30"));
    const PoiseRemedy *r = of_kind(&c, POISE_REMEDY_POST);
    assert_string_equal(r->title, "the horn post 30 mm along the strings, to x 320, y 30, z −15");
    assert_int_equal(r->step_count, 2);
    assert_string_equal(r->steps[0], "horn post: 30 mm towards the head and 0 mm up");
    assert_string_equal(r->steps[1], "button goes with it");
    check_near(number_at(r, "/posts/horn/0"), 320, 0);
    check_near(number_at(r, "/posts/horn/1"), 30, 0);
    check_near(number_at(r, "/items/button/at/0"), 320, 0);
    assert_true(met(AT("320", "30")) && !met(AT("319", "30")));
    done(&c);
}

/* At its edge it follows the edge. */
static void test_post_on_the_edge(void **state)
{
    (void)state;
    Case c = found(FILE_OF(STRAP("-90,0", "250,90", "1000"), "",
                           SLAB "," MASS("head", "150", "640,0,0") "," BUTTON("250,90")));
    const PoiseRemedy *r = of_kind(&c, POISE_REMEDY_POST);
    assert_string_equal(r->steps[1], "button goes with it");
    check_near(number_at(r, "/posts/horn/1"), 90, 0);
    check_near(number_at(r, "/posts/horn/0"), number_at(r, "/items/button/at/0"), 0);
    says(r->title, "along the edge");
    done(&c);
}

/* A wing with its centre at x = −20 mm, 160 mm from the edge, against 140 · 500 − 1000 · 40 g·mm:
 * it has to have 187.5 g. */
static void test_more_infill(void **state)
{
    (void)state;
#define FILLED(infill)                                                                             \
    FILE_OF(LEG, "",                                                                               \
            MASS("body", "1000", "100,0,0") "," MASS("head", "140", "640,0,0") "," WING(infill))
    Case c = found(FILLED("\"infill\":\"8 %\""));
    const PoiseRemedy *r = of_kind(&c, POISE_REMEDY_PRINT);
    double now = c.r->now.mass_g - 1140, then = r->state.mass_g - 1140;
    assert_true(now < 187.5 && then >= 187.5);
    check_near(r->state.filament_g - c.r->now.filament_g, then - now, 1e-9);
    assert_string_equal(r->title, "wing: infill 17 % instead of 8 %");
    says(c.text, " more filament");
    assert_true(met(FILLED("\"infill\":\"17 %\"")) && !met(FILLED("\"infill\":\"16 %\"")));
    done(&c);
}

/* With the least infill already there is only a wall to leave off. */
static void test_fewer_perimeters(void **state)
{
    (void)state;
    char file[1024];
#define WALLED                                                                                     \
    FILE_OF(LEG, "\"target\":{\"mass\":%.4f},",                                                    \
            MASS("body", "1000", "100,0,0") "," WING("\"infill\":\"8 %%\""))
    snprintf(file, sizeof file, WALLED, 2000.0);
    Case c = found(file);
    assert_true(c.r->met);
    double mass = c.r->now.mass_g;
    done(&c);
    snprintf(file, sizeof file, WALLED, mass - 1.0);
    c = found(file);
    const PoiseRemedy *r = of_kind(&c, POISE_REMEDY_PRINT);
    assert_string_equal(r->title, "wing: 2 perimeters instead of 3");
    assert_true(r->state.mass_g <= mass - 1.0);
    check_near(number_at(r, "/items/wing/print/perimeters"), 2, 0);
    assert_null(poise_pointer_get_const(r->patch, "/items/wing/print/infill"));
    done(&c);
}

/* A slab of m grams, its centre at x = 120 mm, and 200 g at 640 mm: 200 · 500 − 20 m g·mm, which
 * ballast 12 mm inside the edge at −90 mm turns back over 218 mm. */
static void test_place_without_posts(void **state)
{
    (void)state;
    Case c = found(FILE_OF(LEG, "", SLAB "," MASS("head", "200", "640,0,0")));
    double needed = (200.0 * 500.0 - 20.0 * (c.r->now.mass_g - 200.0)) / 218.0;
    check_near(number_at(of_kind(&c, POISE_REMEDY_PLACE), "/items/new-ballast/mass"), ceil(needed),
               0);
    check_near(number_at(of_kind(&c, POISE_REMEDY_PLACE), "/items/new-ballast/at/0"), -78, 0);
    check_near(number_at(of_kind(&c, POISE_REMEDY_PLACE), "/items/new-ballast/at/2"),
               -15 * (c.r->now.mass_g - 200) / c.r->now.mass_g, 0.5); /* whole mm */
    says(c.text, "at the depth of the centre");
    double mass = c.r->now.mass_g;
    done(&c);
    char file[1024], want[200];
    snprintf(file, sizeof file,
             FILE_OF(LEG, "\"target\":{\"mass\":%.4f},", SLAB "," MASS("head", "200", "640,0,0")),
             mass + 50.0);
    snprintf(want, sizeof want, "%.0f g would balance it, but make it %.0f g too heavy.",
             ceil(needed), ceil(needed - 50.0));
    c = found(file);
    says(shortfall(&c, "ballast inside the body"), want);
    done(&c);
}

static int set_up(void **state)
{
    (void)state;
    return remedy_shelf("remedy-by-hand", "remedy-by-hand.stl", &shelf);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing_to_choose_from),
        cmocka_unit_test(test_ballast_between_two_grams),
        cmocka_unit_test(test_ballast_against_the_mass),
        cmocka_unit_test(test_leverage),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_three_that_exclude_each_other),
        cmocka_unit_test(test_post_inside_the_outline),
        cmocka_unit_test(test_post_on_the_edge),
        cmocka_unit_test(test_more_infill),
        cmocka_unit_test(test_fewer_perimeters),
        cmocka_unit_test(test_place_without_posts),
    };
    return cmocka_run_group_tests(tests, set_up, clear_shelf);
}
