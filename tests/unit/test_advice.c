/* Each caution comes when the file holds what it is about, and only then; each defers to those who
 * know more. The weights and the hazards are the usual ones (common practice, no source). */
#include "check.h"

#include <stdbool.h>

#include "poise/poise.h"

/* The first words of each caution. */
static const char RESIN[] = "Resin:", CEMENT[] = "Solvent cement:", SUPERGLUE[] = "Superglue:",
                  LEAD[] = "Lead:", DUST[] = "Dust:", TENSION[] = "String tension:",
                  BALLAST[] = "Ballast:", HEAVY[] = "Heavy:", DEEP[] = "Deep pour:",
                  LEVEL[] = "Out of level:", LAST[] = "These are the usual cautions";

static const char *const ALL[] = {RESIN,   CEMENT,  SUPERGLUE, LEAD, DUST,
                                  TENSION, BALLAST, HEAVY,     DEEP, LAST};

static PoiseWeighing *weigh(const char *materials, const char *items, PoiseInstrument **instrument)
{
    char text[2048];
    snprintf(text, sizeof text,
             "{\"poise\":1,\"name\":\"x\",\"frame\":{\"head\":[1,0,0],\"face\":[0,0,1],"
             "\"handed\":\"right\"},"
             "\"scale\":{\"nut\":[648,0,0],\"saddle\":[0,0,0],\"frets\":22},"
             "\"materials\":{%s},\"items\":{%s}}",
             materials, items);
    PoiseFaults *faults = poise_faults_new();
    PoiseWeighing *w = NULL;
    PoiseStatus status =
        poise_instrument_parse(text, strlen(text), "x.json", ".", NULL, NULL, instrument, faults);
    if (!status)
        status = poise_weigh(*instrument, NULL, &w, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++) {
        char *line = poise_fault_text(poise_faults_get(faults, i));
        print_error("%s\n", line);
        poise_string_free(line);
    }
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return w;
}

static bool has(const PoiseWeighing *w, const char *start)
{
    for (size_t i = 0; i < w->caution_count; i++)
        if (strncmp(w->cautions[i], start, strlen(start)) == 0)
            return true;
    return false;
}

/* The items bring these cautions (up to three, NULL for none), the last word when there is any, and
 * no other. */
static void brings_with(const char *materials, const char *items, const char *a, const char *b,
                        const char *c)
{
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *w = weigh(materials, items, &instrument);
    for (size_t i = 0; i < sizeof ALL / sizeof *ALL; i++) {
        bool want = ALL[i] == a || ALL[i] == b || ALL[i] == c || (a && ALL[i] == LAST);
        if (has(w, ALL[i]) != want) {
            print_error("%s: \"%s\" %s\n", items, ALL[i], want ? "is missing" : "is there");
            fail();
        }
    }
    assert_int_equal(w->caution_count, a ? 2 + (b != NULL) + (c != NULL) : 0);
    poise_weighing_free(w);
    poise_instrument_free(instrument);
}

static void brings(const char *items, const char *a, const char *b, const char *c)
{
    brings_with("", items, a, b, c);
}

#define PART(name) "\"a\":{\"kind\":\"part\",\"part\":\"" name "\",\"at\":[0,0,0]}"
#define MASS(keys) "\"a\":{\"kind\":\"mass\",\"at\":[0,0,0]," keys "}"
#define SLAB(material)                                                                             \
    "\"a\":{\"kind\":\"solid\",\"material\":\"" material                                           \
    "\",\"outline\":[[0,0],[10,0],[10,10]],\"thickness\":10,\"top\":0}"
#define POUR(keys) "\"a\":{\"kind\":\"poured\",\"material\":\"epoxy-table-top\"," keys "}"

static void nothing_dangerous_brings_nothing(void **state)
{
    (void)state;
    brings(MASS("\"mass\":\"500 g\""), NULL, NULL, NULL);
    brings(PART("square-nut-m4"), NULL, NULL, NULL);
    brings(PART("wood-glue-joint"), NULL, NULL, NULL);
}

static void adhesives(void **state)
{
    (void)state;
    brings(PART("solvent-cement-joint"), CEMENT, NULL, NULL);
    brings(PART("superglue-joint"), SUPERGLUE, NULL, NULL);
    brings(PART("epoxy-joint"), RESIN, NULL, NULL);
}

static void lead_by_part_by_material_and_by_name(void **state)
{
    (void)state;
    brings(PART("pouch-lead-shot-100"), LEAD, NULL, NULL);
    brings(SLAB("lead"), LEAD, DUST, NULL);
    brings_with("\"my-lead\":{\"density\":11.3}", SLAB("my-lead"), LEAD, DUST, NULL);
    brings("\"Lead tail\":{\"kind\":\"mass\",\"at\":[0,0,0],\"mass\":\"50 g\"}", LEAD, NULL, NULL);
    brings(MASS("\"mass\":\"50 g\",\"note\":\"lead, wrapped in tape\""), LEAD, NULL, NULL);
    brings(MASS("\"mass\":\"50 g\",\"note\":\"where the cables lead\""), LEAD, NULL, NULL);
    brings(MASS("\"mass\":\"50 g\",\"note\":\"leading edge, misled\""), NULL, NULL, NULL);
    /* A place for ballast that holds none. */
    brings("\"lead\":{\"kind\":\"mass\",\"at\":[0,0,0],\"mass\":0,\"ballast\":{\"max\":\"400 g\"}},"
           "\"b\":{\"kind\":\"part\",\"part\":\"square-nut-m4\"}",
           NULL, NULL, NULL);
}

static void dust(void **state)
{
    (void)state;
    brings(SLAB("red-alder"), DUST, NULL, NULL);
    brings("\"a\":{\"kind\":\"neck\",\"preset\":\"guitar-648\"}", DUST, NULL, NULL);
}

static void strings(void **state)
{
    (void)state;
    brings("\"a\":{\"kind\":\"strings\",\"preset\":\"guitar-10-46\"}", TENSION, NULL, NULL);
}

/* A place for ballast is nothing yet. */
static void ballast(void **state)
{
    (void)state;
    brings(MASS("\"mass\":\"50 g\",\"ballast\":{\"max\":\"100 g\"}"), BALLAST, NULL, NULL);
    brings(MASS("\"mass\":0,\"ballast\":{\"max\":\"100 g\"}") ",\"b\":{\"kind\":\"part\",\"part\":"
                                                              "\"square-nut-m4\"}",
           NULL, NULL, NULL);
}

/* Solid bodies commonly weigh 2.7 to 4.1 kg (common practice, no source). */
static void heavy(void **state)
{
    (void)state;
    brings(MASS("\"mass\":\"4.05 kg\""), NULL, NULL, NULL);
    brings(MASS("\"mass\":\"4.15 kg\""), HEAVY, NULL, NULL);
}

/* The table-top epoxy of the library allows 6 mm a pour. */
static void pours(void **state)
{
    (void)state;
    brings(POUR("\"volume\":\"50 ml\""), RESIN, DUST, NULL);
    brings(POUR("\"volume\":\"50 ml\",\"depth\":6"), RESIN, DUST, NULL);
    brings(POUR("\"volume\":\"50 ml\",\"depth\":6.5"), RESIN, DUST, DEEP);
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *w = weigh("", POUR("\"volume\":\"50 ml\",\"depth\":13"), &instrument);
    bool said = false;
    for (size_t i = 0; i < w->caution_count; i++)
        said = said ||
               strstr(w->cautions[i], "\"a\" is 13.0 mm deep and its material allows 6.0 mm at "
                                      "a time. In one go it can boil, crack, smoke or "
                                      "burn: pour 3 layers");
    assert_true(said);
    poise_weighing_free(w);
    poise_instrument_free(instrument);
}

static bool cautions_say(const char *items, const char *words)
{
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *w = weigh("", items, &instrument);
    bool said = false;
    for (size_t i = 0; i < w->caution_count; i++)
        said = said || strstr(w->cautions[i], words);
    poise_weighing_free(w);
    poise_instrument_free(instrument);
    return said;
}

/* 100 mL, 5 mm deep, is a round floor of 79.8 mm radius or a longer one: at 0.5° it stands 0.7 mm
 * deeper at the low side, at 1° 1.4 mm, at 10° 14.1 mm (by hand). */
static void pours_out_of_level(void **state)
{
    (void)state;
#define TILTED(depth, tilt)                                                                        \
    POUR("\"volume\":\"100 ml\",\"depth\":" depth ",\"tilt\":\"" tilt " deg\"")
    brings(TILTED("5", "0.5"), RESIN, DUST, NULL);
    assert_false(cautions_say(TILTED("5", "0.5"), LEVEL));
    assert_true(cautions_say(TILTED("5", "1"), DEEP) && cautions_say(TILTED("5", "1"), LEVEL));
    assert_true(cautions_say(TILTED("5", "1"), "5.0 mm deep, at least 6.4 mm at the low side"));
    assert_true(cautions_say(TILTED("5", "1"), "burn: pour 2 layers and let each cool"));
    assert_true(cautions_say(TILTED("5", "1"), "changes by at least 1.4 mm from the middle to the "
                                               "low side: a pocket filled to its rim runs over. "
                                               "Level the body"));
    assert_true(cautions_say(TILTED("5", "10"), "level the body first, then pour one layer"));
    assert_true(cautions_say(TILTED("5", "10"), "no number of pours covers the floor and keeps to "
                                                "6.0 mm, and a pocket filled to its rim"));
    assert_true(cautions_say(TILTED("12", "10"), "level the body first, then pour 2 layers"));
    /* 10 mL, 1 mm deep: a radius of 56.4 mm, 2.0 mm at 2°. */
    brings(POUR("\"volume\":\"10 ml\",\"depth\":1,\"tilt\":2"), RESIN, DUST, LEVEL);
    assert_true(cautions_say(POUR("\"volume\":\"10 ml\",\"depth\":1,\"tilt\":2"),
                             "part of the floor stays dry, and a pocket"));
#undef TILTED
}

/* Everything at once: each caution once, however many items ask for it, and the last word last. */
static void each_caution_once_and_the_last_word_last(void **state)
{
    (void)state;
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *w = weigh(
        "",
        POUR("\"volume\":\"50 ml\",\"depth\":9") ",\"b\":{\"kind\":\"part\",\"part\":\"epoxy-"
                                                 "joint\",\"count\":2},\"c\":{\"kind\":\"part\","
                                                 "\"part\":\"superglue-joint\"},\"d\":{"
                                                 "\"kind\":\"part\",\"part\":\"solvent-cement-"
                                                 "joint\"},\"e\":{\"kind\":\"part\",\"part\":"
                                                 "\"pouch-lead-shot-100\"},\"f\":{\"kind\":"
                                                 "\"strings\",\"preset\":\"guitar-10-46\"},\"g\":{"
                                                 "\"kind\":\"mass\",\"mass\":\"5 "
                                                 "kg\",\"at\":[0,0,0],\"ballast\":{\"max\":\"6 "
                                                 "kg\"}}",
        &instrument);
    assert_int_equal(w->caution_count, sizeof ALL / sizeof *ALL);
    for (size_t i = 0; i < sizeof ALL / sizeof *ALL; i++)
        assert_true(has(w, ALL[i]));
    const char *last = w->cautions[w->caution_count - 1];
    assert_non_null(strstr(last, "safety sheets"));
    assert_non_null(strstr(last, "local codes"));
    assert_non_null(strstr(last, "licensed"));
    poise_weighing_free(w);
    poise_instrument_free(instrument);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_dangerous_brings_nothing),
        cmocka_unit_test(adhesives),
        cmocka_unit_test(lead_by_part_by_material_and_by_name),
        cmocka_unit_test(dust),
        cmocka_unit_test(strings),
        cmocka_unit_test(ballast),
        cmocka_unit_test(heavy),
        cmocka_unit_test(pours),
        cmocka_unit_test(pours_out_of_level),
        cmocka_unit_test(each_caution_once_and_the_last_word_last),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
