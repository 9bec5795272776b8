/* Remedies judged on the leg, or told of it: at a neck angle of 0° masses turn about the headward
 * edge of the thigh, x = 140 mm, and the hand at the nut, x = 640 mm, has an arm of 500 mm. */
#include "remedy_help.h"

#define FILE_OF(stance, target, items)                                                             \
    "{\"poise\":1,\"name\":\"Osier\"," stance "," target "\"items\":{" items "}}"
#define REST "\"seat\":{\"rest\":[100,0],\"width\":80}"
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

static double number_at(const PoiseRemedy *r, const char *pointer)
{
    const cJSON *value = poise_pointer_get_const(r->patch, pointer);
    assert_true(cJSON_IsNumber(value));
    return value->valuedouble;
}

/* Judged on the strap, but the leg is told of where the instrument does not rest on it. With the
 * neck raised, h = x cos 15° − y sin 15° from the rest at (100, 0) mm, the edge at 40 mm. */
static void test_told_of_the_leg(void **state)
{
    (void)state;
    Case c = found(FILE_OF(STRAP("-90,0", "330,90", "1000") "," REST,
                           "\"target\":{\"hand_load\":50,\"margin\":5},",
                           SLAB "," MASS("head", "300", "640,0,0")));
    assert_true(c.r->strap && !c.r->leg && !c.r->met);
    says(c.r->worst, " mm to the dive at 15°; the target is at least 5 mm");
    says(c.text, "at most 50 g in the hand, a margin of 5 mm before it dives");
    double cosine = cos(15 * M_PI / 180), sine = sin(15 * M_PI / 180), arm = 540 * cosine - 40;
    double slab_g = c.r->now.mass_g - 300; /* its centre at (120, −5) mm */
    check_near(c.r->now.leg[0].hand_load_g,
               (300 * arm + slab_g * (20 * cosine + 5 * sine - 40)) / arm, 1e-6);
    says(c.text, " g in the hand                    on the leg");
    done(&c);
}

/* A margin of 5 mm on the leg is a centre 5 mm before the edge at 140 mm: with 1000 g at 150 mm it
 * takes 1000 · 15 / (135 + 60) g at −60 mm. To just rest there it takes 1000 · 10 / 200 g. */
static void test_margin_on_the_leg(void **state)
{
    (void)state;
    Case c = found(FILE_OF(HAND, "\"target\":{\"margin\":5},",
                           MASS("body", "1000", "150,0,0") "," BALLAST("lead", "0", "-60,0,0")));
    says(c.r->worst,
         "a margin of −10 mm to the dive on the leg at 0°; the target is at least 5 mm");
    const PoiseRemedy *r = of_kind(&c, POISE_REMEDY_BALLAST);
    check_near(number_at(r, "/items/lead/mass"), ceil(1000.0 * 15 / 195), 0);
    check_near(r->state.leg[0].margin_mm, 140 - (150000.0 - 77 * 60) / 1077, 1e-9);
    assert_string_equal(r->title, "77 g of ballast at lead");
    says(c.text, "margin 5 mm, holds by itself on the leg");
    done(&c);
    /* 80 mm carry it: a margin of more is a centre behind the other edge. */
    c = found(FILE_OF(HAND, "\"target\":{\"margin\":85},",
                      MASS("body", "1000", "150,0,0") "," BALLAST("lead", "0", "-60,0,0")));
    assert_int_equal(c.r->count, 0);
    says(c.text, "The leg carries it over a stretch of 80 mm at 0°. A margin of 85 mm is 5 mm");
    done(&c);
}

/* A hand 40 mm tailwards of the edge at 140 mm: 2000 g · 110 mm / 40 mm, downwards. */
static void test_hand_on_the_wrong_side(void **state)
{
    (void)state;
    Case c = found(FILE_OF("\"stance\":{\"neck_angle\":0,\"hand\":[100,0,0]}," REST,
                           "\"target\":{\"hand_load\":50},",
                           MASS("body", "1000", "0,0,0") "," MASS("head", "1000", "500,0,0")));
    check_near(c.r->now.leg[0].hand_load_g, -2000 * 110 / 40.0, 1e-9);
    says(c.text, "5.50 kg to press down with the hand");
    done(&c);
}

static void test_no_seat_for_the_leg(void **state)
{
    (void)state;
    static const PoiseRemedyOptions leg = {.leg = true};
    PoiseFaults *faults = poise_faults_new();
    Case c;
    PoiseStatus status =
        find(&c, FILE_OF(STRAP("-90,0", "330,90", "1000"), "", MASS("body", "1000", "100,0,0")),
             &leg, faults);
    assert_int_equal(status, POISE_E_INPUT);
    assert_null(c.r);
    assert_int_equal(poise_faults_count(faults), 1);
    assert_string_equal(poise_faults_get(faults, 0)->found, "no \"seat\"");
    assert_string_equal(poise_faults_get(faults, 0)->expected, "\"seat\" for the leg");
    poise_document_free(c.document);
    /* Posts without a strap: nothing holds it. */
    status = find(&c,
                  FILE_OF("\"posts\":{\"tail\":[-90,0,0],\"horn\":[330,90,0]}", "",
                          MASS("body", "1000", "100,0,0")),
                  &(PoiseRemedyOptions){0}, faults);
    assert_int_equal(status, POISE_E_INPUT);
    assert_string_equal(poise_faults_get(faults, 1)->found, "nothing to balance on");
    poise_document_free(c.document);
    poise_faults_free(faults);
}

static int set_up(void **state)
{
    (void)state;
    return remedy_shelf("remedy-on-leg", "remedy-on-leg.stl", &shelf);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_told_of_the_leg),
        cmocka_unit_test(test_margin_on_the_leg),
        cmocka_unit_test(test_hand_on_the_wrong_side),
        cmocka_unit_test(test_no_seat_for_the_leg),
    };
    return cmocka_run_group_tests(tests, set_up, clear_shelf);
}
