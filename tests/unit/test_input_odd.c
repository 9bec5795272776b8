/* Values of instrument files that are nearly right: where each fault stands, what was found and
 * what is meant instead. */
#include "input_check.h"

#include "input/reader.h"
#include "poise/instrument.h"

static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/tests/data/components";

#define SCALE      "\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],\"frets\":22},"
#define ITEMS      "\"items\":{\"a\":{\"kind\":\"mass\",\"mass\":5,\"at\":[0,0,0]}}"
#define WITH(text) "{\"poise\":1," text "," ITEMS "}"
#define ITEM(text) "{\"poise\":1," SCALE "\"items\":{\"a\":{" text "}}}"

#define PRINT(setting)                                                                             \
    ITEM("\"kind\":\"printed\",\"mesh\":\"a.stl\",\"material\":\"test-plastic\","                  \
         "\"print\":{" setting "}")
#define SOLID(outline, more)                                                                       \
    ITEM("\"kind\":\"solid\",\"outline\":" outline                                                 \
         ",\"thickness\":3,\"material\":\"test-maple\"" more)
#define HAND(text) WITH(SCALE "\"stance\":{\"hand\":\"" text "\"}")
#define MIX(ratio)                                                                                 \
    ITEM("\"kind\":\"poured\",\"volume\":\"3 "                                                     \
         "ml\",\"material\":\"test-epoxy\",\"mix\":{\"ratio\":" ratio "}")

static const struct {
    const char *file, *faults;
} CASES[] = {
    {"{\"poise\":1," SCALE
     "\"items\":{\"a\":{\"kind\":\"neck\",\"shaft\":\"test-maple\",\"board_thickness\":0,"
     "\"weighed\":{\"mass\":600}}},\"measured\":{\"a\":590}}",
     "x:1:178: /measured/a: found 590 g for a neck that has 600 g under \"weighed\", expected one "
     "mass: here, or under the neck's \"weighed\"\n"},
    {PRINT("\"infill\":150"),
     "x:1:158: /items/a/print/infill: found 150, expected a fraction from 0 to 1\n"},
    {PRINT("\"infill\":-0.5"),
     "x:1:158: /items/a/print/infill: found -0.5, expected a fraction from 0 to 1\n"},
    {PRINT("\"infill\":\"130 %\""),
     "x:1:158: /items/a/print/infill: found \"130 %\", expected a fraction from 0 to 1\n"},
    {PRINT("\"infill\":30"), "x:1:158: /items/a/print/infill: found 30, expected a fraction from 0 "
                             "to 1; did you mean \"30 %\"?\n"},
    {WITH("\"printer\":{\"layer_time\":1,\"filament\":0.1}"),
     "x:1:36: /printer/layer_time: found 1, expected from 0 s to 600 s; a plain number is in "
     "hours\n"
     "x:1:49: /printer/filament: found 0.1, expected from 0.5 mm to 10 mm; a plain number is in "
     "mm; inches are written \"1 in\"\n"},
    {WITH("\"printer\":{\"layer_time\":\"601 s\",\"filament\":\"0.1 mm\"}"),
     "x:1:36: /printer/layer_time: found \"601 s\", expected from 0 s to 600 s\n"
     "x:1:55: /printer/filament: found \"0.1 mm\", expected from 0.5 mm to 10 mm\n"},
    {WITH("\"printer\":{\"filament\":-1}"),
     "x:1:34: /printer/filament: found -1, expected from 0.5 mm to 10 mm\n"},
    {WITH("\"printer\":{\"filament\":11}"),
     "x:1:34: /printer/filament: found 11, expected from 0.5 mm to 10 mm\n"},
    {ITEM("\"kind\":\"printed\",\"mesh\":\"\",\"material\":\"\""),
     "x:1:106: /items/a/mesh: found \"\", expected a file name\n"
     "x:1:120: /items/a/material: found \"\", expected the id of a material\n"},
    {ITEM("\"kind\":\"printed\",\"mesh\":5,\"material\":5"),
     "x:1:106: /items/a/mesh: found 5, expected a file name\n"
     "x:1:119: /items/a/material: found 5, expected the id of a material\n"},
    {ITEM("\"kind\":\"part\",\"part\":\"\""),
     "x:1:103: /items/a/part: found \"\", expected the id of a part\n"},
    {ITEM("\"kind\":\"part\",\"part\":[]"),
     "x:1:103: /items/a/part: found a list of 0, expected the id of a part\n"},
    {WITH("\"frame\":{\"head\":[1,0,0],\"face\":[0,0,1],\"handed\":5}"),
     "x:1:60: /frame/handed: found 5, expected one of: right, left; the player's hand that "
     "plucks\n"},
    {WITH("\"frame\":{\"head\":[0,0,0],\"face\":[0,0,1],\"handed\":\"lefty\"}"),
     "x:1:28: /frame/head: found a list of 3, expected a direction, not all 0\n"
     "x:1:51: /frame/handed: found the unknown word \"lefty\", expected one of: right, left; did "
     "you mean \"left\"?\n"},
    {ITEM("\"kind\":\"mass\",\"mass\":5,\"at\":[1]"),
     "x:1:110: /items/a/at: found a list of 1, expected a list of 3 numbers; where the item's own "
     "origin goes; known to ± 1 mm for parts and masses\n"},
    {ITEM("\"kind\":\"mass\",\"mass\":5,\"at\":7"),
     "x:1:110: /items/a/at: found 7, expected a list of 3 numbers; where the item's own origin "
     "goes; known to ± 1 mm for parts and masses\n"},
    {WITH("\"seat\":{\"rest\":[1]}"), "x:1:27: /seat/rest: found a list of 1, expected a list of 2 "
                                      "or 3 numbers; where the waist rests on the leg\n"},
    {SOLID("5", ""),
     "x:1:107: /items/a/outline: found 5, expected a list of 3 to 20000 points [x, y]\n"},
    {SOLID("[[0,0],[1],[1,1]]", ""), "x:1:114: /items/a/outline/1: found a list of 1, expected a "
                                     "list of 2 numbers; a point of the outline\n"},
    {SOLID("[[0,0],[1,1],[2,2]]", ""),
     "x:1:107: /items/a/outline: found a list of 3, expected an outline that encloses an area\n"},
    {SOLID("[[0,0],[1,0],[1,1]]", ",\"cut\":5"),
     "x:1:171: /items/a/cut: found 5, expected a list of cuts\n"},
    {SOLID("[[0,0],[1,0],[1,1]]",
           ",\"cut\":[{\"at\":[0,0]},{\"outline\":[[0,0],[1,0],[1,1]],\"diameter\":3}]"),
     "x:1:172: /items/a/cut/0: found no key \"diameter\", expected a length such as 25.4, \"25.4 "
     "mm\" or \"1 in\"\n"
     "x:1:216: /items/a/cut/1/diameter: found \"diameter\" beside \"outline\", expected one or the "
     "other\n"},
    {WITH("\"materials\":{\"own\":{\"density\":1,\"hazards\":5}}"),
     "x:1:54: /materials/own/hazards: found 5, expected a list of hazards\n"},
    {WITH("\"materials\":{\"own\":{\"density\":1,\"hazards\":[\"dutst\",5]}}"),
     "x:1:55: /materials/own/hazards/0: found the unknown hazard \"dutst\", expected one of: "
     "resin, solvent-cement, superglue, lead, dust; did you mean \"dust\"?\n"
     "x:1:63: /materials/own/hazards/1: found 5, expected the name of a hazard\n"},
    {ITEM("\"kind\":\"strings\",\"gauges\":5"),
     "x:1:108: /items/a/gauges: found 5, expected a list of 1 to 60 gauges\n"},
    {ITEM("\"kind\":\"strings\",\"gauges\":[]"),
     "x:1:108: /items/a/gauges: found a list of 0, expected a list of 1 to 60 gauges\n"},
    {ITEM("\"kind\":\"strings\",\"gauges\":[\"xx wound\",\" wound\",\"1 mm wuond\",\"1 mm "
          "wound\",\"1234567890123456789012345678901234567890123456789012345678901234567890 "
          "wound\"]"),
     "x:1:109: /items/a/gauges/0: found \"xx wound\", expected a gauge such as \"1.14 mm wound\"; "
     "\"xx\" is not a number\n"
     "x:1:120: /items/a/gauges/1: found \" wound\", expected a length such as 25.4, \"25.4 mm\" or "
     "\"1 in\"; \"wound\" is not a number\n"
     "x:1:129: /items/a/gauges/2: found \"1 mm wuond\", expected a length such as 25.4, \"25.4 "
     "mm\" or \"1 in\"; \"wuond\" stands after a complete quantity\n"
     "x:1:155: /items/a/gauges/4: found \"123456789012345678901234567890123456789012345678…\", "
     "expected a length such as 25.4, \"25.4 mm\" or \"1 in\"; \"123456789012345678901234\" is too "
     "large or too long a number\n"},
    {HAND("fret"), "x:1:85: /stance/hand: found \"fret\", expected \"nut\", \"fret 1\" to \"fret "
                   "22\", or a point [x, y, z]\n"},
    {HAND("fret 0"), "x:1:85: /stance/hand: found \"fret 0\", expected \"nut\", \"fret 1\" to "
                     "\"fret 22\", or a point [x, y, z]\n"},
    {HAND("fret 05"), "x:1:85: /stance/hand: found \"fret 05\", expected \"nut\", \"fret 1\" to "
                      "\"fret 22\", or a point [x, y, z]\n"},
    {HAND("fret 23"), "x:1:85: /stance/hand: found \"fret 23\", expected \"nut\", \"fret 1\" to "
                      "\"fret 22\", or a point [x, y, z]\n"},
    {HAND("fret 1000"), "x:1:85: /stance/hand: found \"fret 1000\", expected \"nut\", \"fret 1\" "
                        "to \"fret 22\", or a point [x, y, z]\n"},
    {HAND("fret 5x"), "x:1:85: /stance/hand: found \"fret 5x\", expected \"nut\", \"fret 1\" to "
                      "\"fret 22\", or a point [x, y, z]\n"},
    {HAND("fret !"), "x:1:85: /stance/hand: found \"fret !\", expected \"nut\", \"fret 1\" to "
                     "\"fret 22\", or a point [x, y, z]\n"},
    {HAND("fret "), "x:1:85: /stance/hand: found \"fret \", expected \"nut\", \"fret 1\" to \"fret "
                    "22\", or a point [x, y, z]\n"},
    {WITH("\"stance\":{\"hand\":\"nut\"}"),
     "x:1:29: /stance/hand: found \"nut\", expected a point [x, y, z], or a file with \"scale\"\n"},
    {MIX("\"0:1 by mass\""),
     "x:1:153: /items/a/mix/ratio: found \"0:1 by mass\", expected \"2:1 by mass\" or \"1:1 by "
     "volume\"; parts resin to parts hardener, and whether they are weighed or measured\n"},
    {MIX("\"2:1\""),
     "x:1:153: /items/a/mix/ratio: found \"2:1\", expected \"2:1 by mass\" or \"1:1 by volume\"; "
     "parts resin to parts hardener, and whether they are weighed or measured\n"},
    {MIX("\"2 1 by mass\""),
     "x:1:153: /items/a/mix/ratio: found \"2 1 by mass\", expected \"2:1 by mass\" or \"1:1 by "
     "volume\"; parts resin to parts hardener, and whether they are weighed or measured\n"},
    {MIX("\"2:x by mass\""),
     "x:1:153: /items/a/mix/ratio: found \"2:x by mass\", expected \"2:1 by mass\" or \"1:1 by "
     "volume\"; parts resin to parts hardener, and whether they are weighed or measured\n"},
    {MIX("\"2:1 by weight\""), ""},
    {MIX("3"),
     "x:1:153: /items/a/mix/ratio: found 3, expected \"2:1 by mass\" or \"1:1 by volume\"; parts "
     "resin to parts hardener, and whether they are weighed or measured\n"},
    {ITEM("\"kind\":\"poured\",\"volume\":\"3 "
          "ml\",\"mesh_unit\":\"mm\",\"material\":\"test-epoxy\""),
     "x:1:81: /items/a: found no key \"mesh\", expected the mesh whose unit is given\n"},
    {ITEM("\"kind\":\"poured\",\"material\":\"test-epoxy\""),
     "x:1:81: /items/a: found no key \"mesh\", expected a mesh file, or the volume of the pour\n"},
    {"{\"poise\":1,\"name\":\"\\ud800\\u0041\"," ITEMS "}",
     "x:1:32: found the first half of a surrogate pair, expected its second half, \\uDC00 to "
     "\\uDFFF, after it\n"},
    {"{\"poise\":1,\"name\":\"\\ud800\\ue000\"," ITEMS "}",
     "x:1:32: found the first half of a surrogate pair, expected its second half, \\uDC00 to "
     "\\uDFFF, after it\n"},
    {"{\"poise\":1 {\"a\":1}}",
     "x:1:12: found \"{\", expected a comma or \"}\"; a comma is missing before it\n"},
};

static void test_each(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        PoiseInstrument *in = NULL;
        PoiseFaults *faults = poise_faults_new();
        PoiseStatus status = poise_instrument_parse(CASES[i].file, strlen(CASES[i].file), "x", ".",
                                                    NULL, COMPONENTS, &in, faults);
        faults_are(faults, CASES[i].faults);
        assert_int_equal(status, *CASES[i].faults ? POISE_E_INPUT : POISE_OK);
        poise_instrument_free(in);
        poise_faults_free(faults);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_each)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
