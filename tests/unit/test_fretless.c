/* A neck without frets: what makes it fretless, how long it stays, what it weighs less. */
#include "check.h"

#include <math.h>
#include <stdio.h>

#include "model/instrument.h"
#include "poise/poise.h"
#include "report/report.h"

static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/tests/data/components";

/* A neck with these keys on this scale; `neck` and `scale` start with a comma or are empty. */
static PoiseInstrument *instrument_of(const char *nut, const char *scale, const char *neck)
{
    char text[1024];
    PoiseInstrument *in;
    int n = snprintf(text, sizeof text,
                     "{\"poise\":1,\"scale\":{\"nut\":[%s,0,0],\"saddle\":[0,0,0]%s},"
                     "\"items\":{\"n\":{\"kind\":\"neck\"%s}}}",
                     nut, scale, neck);
    assert_true(n > 0 && (size_t)n < sizeof text);
    assert_int_equal(
        poise_instrument_parse(text, (size_t)n, "text", ".", NULL, COMPONENTS, &in, NULL),
        POISE_OK);
    return in;
}

#define PRESET ",\"preset\":\"test-neck\",\"heel_width\":56" /* 21 frets, 42 mm at the nut */
#define WOODS  ",\"shaft\":\"test-maple\",\"board_thickness\":0"

/* The neck's own number wins, then a scale without frets, the preset's, the scale's. */
static void tells_what_makes_it_fretless(void **state)
{
    (void)state;
    static const struct {
        const char *nut, *scale, *neck;
        int frets, length_as;
    } table[] = {
        {"648", "", PRESET, 21, 0},
        {"648", ",\"frets\":24", PRESET, 21, 0},
        {"648", ",\"frets\":24", WOODS, 24, 0},
        {"648", ",\"frets\":0", PRESET, 0, 21},
        {"648", ",\"frets\":0", PRESET ",\"frets\":19", 19, 0},
        {"648", ",\"frets\":24", PRESET ",\"frets\":0", 0, 21},
        {"648", "", PRESET ",\"frets\":0", 0, 21},
        {"648", ",\"frets\":0", PRESET ",\"frets\":0", 0, 21},
        {"648", ",\"frets\":24", WOODS ",\"frets\":0", 0, 24},
        {"648", ",\"frets\":0", WOODS, 0, 22},    /* the usual number of a guitar */
        {"864", "", WOODS ",\"frets\":0", 0, 20}, /* and of a bass */
        {"648", ",\"frets\":24", PRESET ",\"frets\":null", 24, 0},
        {"648", "", WOODS, 22, 0},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        PoiseInstrument *in = instrument_of(table[i].nut, table[i].scale, table[i].neck);
        assert_int_equal(in->items[0].as.neck.frets, table[i].frets);
        assert_int_equal(in->items[0].as.neck.length_as_frets, table[i].length_as);
        poise_instrument_free(in);
    }
}

static PoiseWeighing *weighed(const PoiseInstrument *in)
{
    PoiseWeighing *w;
    assert_int_equal(poise_weigh(in, NULL, &w, NULL), POISE_OK);
    return w;
}

/* What is taken away is the wire: fret n lies at s = L (1 − 2^(−n/12)) from the nut (twelve-tone
 * equal temperament) across a board whose width goes evenly from 42 mm at the nut to 56 mm at the
 * heel, 8 mm past the 21st fret; 24 g of wire a metre. */
static void weighs_less_by_its_wire(void **state)
{
    (void)state;
    PoiseInstrument *in = instrument_of("648", "", PRESET ",\"fret_wire\":24");
    PoiseWeighing *with = weighed(in);
    double length = 648 * (1 - pow(2, -21 / 12.0)) + 8, wire_g = 0;
    for (int fret = 1; fret <= 21; fret++)
        wire_g += 0.024 * (42 + (56 - 42) * 648 * (1 - pow(2, -fret / 12.0)) / length);
    assert_true(wire_g > 24 && wire_g < 28);
    static const char *const ways[][2] = {{"", PRESET ",\"fret_wire\":24,\"frets\":0"},
                                          {",\"frets\":0", PRESET ",\"fret_wire\":24"},
                                          {"", PRESET ",\"fret_wire\":0"}};
    for (size_t i = 0; i < 3; i++) {
        PoiseInstrument *fretless = instrument_of("648", ways[i][0], ways[i][1]);
        PoiseWeighing *without = weighed(fretless);
        check_near(with->total.mass_g - without->total.mass_g, wire_g, 1e-9);
        poise_weighing_free(without);
        poise_instrument_free(fretless);
    }
    poise_weighing_free(with);
    poise_instrument_free(in);
}

static void is_said_on_the_build_sheet(void **state)
{
    (void)state;
    static const struct {
        const char *scale, *neck, *want;
    } table[] = {
        {"", PRESET, ", 21 frets |"},
        {"", PRESET ",\"frets\":1,\"heel\":{\"length\":0}", ", 1 fret |"},
        {"", PRESET ",\"frets\":0", ", fretless, as long as one with 21 frets |"},
        {",\"frets\":0", PRESET, ", fretless, as long as one with 21 frets |"},
        {"", PRESET ",\"frets\":0,\"length\":460", ", fretless |"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        PoiseInstrument *in = instrument_of("648", table[i].scale, table[i].neck);
        PoiseWeighing *w = weighed(in);
        const PoiseSheetSource source = {.instrument = in, .weighing = w, .text = "{}", .size = 2};
        char *sheet = NULL;
        assert_int_equal(poise_build_sheet(&source, POISE_DOC_MARKDOWN, &sheet, NULL), POISE_OK);
        assert_non_null(strstr(sheet, table[i].want));
        poise_string_free(sheet);
        poise_weighing_free(w);
        poise_instrument_free(in);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tells_what_makes_it_fretless),
        cmocka_unit_test(weighs_less_by_its_wire),
        cmocka_unit_test(is_said_on_the_build_sheet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
