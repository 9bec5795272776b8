/* Build sheets of what the demonstration instruments have not: sections that fit no bed or lie
 * turned on it, a printer's program without a mesh, a hand where no fret is, a leg and no strap,
 * neither of them, files in other places. */
#include "item_fixture.h"

#include <stdlib.h>
#include <unistd.h>

#include "base/memory.h"
#include "poise/poise.h"
#include "report/report.h"

static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/tests/data/components";
static const char PROFILE[] = "{\"poise_profile\":1,\"from\":\"Osier\",\"flow\":\"1.02 ± 0.01\"}";

/* 50 mm of 1.75 mm filament: 120.3 mm³, or 0.1515 g at 1.26 g/cm³. */
static const char TOOLPATH[] = "G21\nG90\nM83\nG1 Z0.2 F600\nG1 X10 Y10 F3000\n"
                               "G1 X90 Y10 E40\nG1 X90 Y30 E10\n";

static char *sheet_of(const char *text, const char *dir, const char *variant, PoiseDocFormat format)
{
    PoiseInstrument *in = NULL;
    PoiseWeighing *w = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_instrument_parse(text, strlen(text), "sallow.json", dir, variant,
                                                COMPONENTS, &in, faults);
    if (!status)
        status = poise_weigh(in, &(PoiseWeighOptions){.threads = 1}, &w, faults);
    PoiseSheetSource source = {.instrument = in, .weighing = w, .text = text, .size = strlen(text)};
    char *out = NULL;
    if (!status)
        status = poise_build_sheet(&source, format, &out, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        print_error("%s\n", poise_faults_get(faults, i)->found);
    assert_int_equal(status, POISE_OK);
    assert_non_null(out);
    poise_faults_free(faults);
    poise_weighing_free(w);
    poise_instrument_free(in);
    return out;
}

static void says(const char *text, const char *want)
{
    if (!strstr(text, want))
        fail_msg("\"%s\" is not in the sheet: %.80s", want, text);
}

static void says_not(const char *text, const char *unwanted)
{
    if (strstr(text, unwanted))
        fail_msg("\"%s\" is in the sheet", unwanted);
}

#define WING(id, mesh, more)                                                                       \
    "\"" id "\":{\"kind\":\"printed\",\"mesh\":\"" mesh                                            \
    "\",\"material\":\"own\",\"print\":{\"layer\":2}" more "}"
#define FILE_OF(with, items)                                                                       \
    "{\"poise\":1,\"name\":\"Sallow\"," with                                                       \
    "\"materials\":{\"own\":{\"density\":1.26}},\"items\":{" items "},"                            \
    "\"variants\":{\"thin <&>\":{\"items\":{\"lead\":{\"mass\":7}}}}}"
#define LEAD "\"lead\":{\"kind\":\"mass\",\"mass\":\"1 kg ± 3 g\",\"at\":[0,0,0]}"

/* 120 × 60 × 30 mm on a bed of 100 × 50 × 20 mm, and 40 × 90 × 10 mm, which has to be turned. */
static void test_on_the_leg(void **state)
{
    (void)state;
    char *sheet = sheet_of(
        FILE_OF("\"frame\":{\"head\":[1,0,0],\"face\":[0,0,1],\"handed\":\"left\"},"
                "\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],\"frets\":22},"
                "\"stance\":{\"hand\":[640,0,0]},\"seat\":{\"rest\":[100,-60],\"width\":80,"
                "\"arm\":{\"at\":[0,60],\"mass\":700}},\"printer\":{\"bed\":[100,50,20]},",
                WING("wing", "sheet-long.stl", ",\"count\":2") "," WING(
                    "fin", "sheet-small.stl",
                    "") ","
                        "\"rail\":{\"kind\":\"printed\",\"toolpath\":\"sheet-rail.gcode\","
                        "\"material\":\"own\"},"
                        "\"both\":{\"kind\":\"printed\",\"mesh\":\"sheet-small.stl\","
                        "\"toolpath\":\"sheet-rail.gcode\",\"material\":\"own\"},"
                        "\"dot\":{\"kind\":\"poured\",\"volume\":\"30 ml\",\"depth\":8,"
                        "\"material\":\"test-epoxy\",\"note\":\"slowly | cold\"},"
                        "\"neck\":{\"kind\":\"neck\",\"preset\":\"test-neck\"},"
                        "\"plain\":{\"kind\":\"neck\",\"shaft\":\"test-maple\",\"board_thickness\":"
                        "0}," LEAD),
        POISE_TEST_BINARY_DIR, NULL, POISE_DOC_MARKDOWN);
    says(sheet,
         "| wing \\(2 pieces\\) | sheet-long.stl | own | 20 | 3 | 2 mm, lines 0.45 mm, top 5, "
         "bottom 4 | ");
    says(sheet, " | NO: 20.0 mm too large one way and 10.0 mm the other; 10.0 mm too high |\n");
    says(sheet, " | yes, turned by 90° |\n");
    says(
        sheet,
        "| rail | sheet-rail.gcode | own | as programmed | as programmed | as programmed | 0.2 | ");
    /* The toolpath decides, whatever mesh it is laid over. */
    says(sheet,
         "| both | sheet-small.stl | own | as programmed | as programmed | as programmed | ");
    says(sheet, "### dot\n\nslowly \\| cold\n\n- In the pocket: 30 mL, 33 g once cured\n");
    says(sheet, "| neck | shaft Test maple, board Test wood, green gravity, 21 frets | 1 |");
    says(sheet, "| plain | shaft Test maple, 22 frets | 1 |");
    says(sheet, "### On the leg\n\n**Neck-heavy on the leg: ");
    says_not(sheet, "### On the strap");
    says_not(sheet, "- Strap: ");
    says(sheet, "| source of doubt | weight, ± g | share, % |\n");
    says(sheet, "- Fretting hand: where the file says\n");
    says(sheet, "- Playing arm: 700 g resting on the body\n- Handed: left\n");
    says(sheet, "## Warnings\n\n- wing does not fit the printer's bed");
    says(sheet, "no strap posts in the file");
    poise_release(sheet);
}

/* 1 kg at the saddle, and nothing to hold it by. */
static void test_on_nothing(void **state)
{
    (void)state;
    char *sheet = sheet_of(FILE_OF("", LEAD), ".", NULL, POISE_DOC_MARKDOWN);
    says(sheet, "# Build sheet: Sallow\n\n- Weight: 1.00 kg ± 3.0 g (2 lb 3 oz)");
    says_not(sheet, "## Balance");
    says_not(sheet, "## Sections to print");
    says(sheet, "None: there is no balance to judge");
    poise_release(sheet);
    sheet = sheet_of(FILE_OF("", LEAD), ".", "thin <&>", POISE_DOC_HTML);
    says(sheet, "<h1>Sallow</h1>\n<p>Variant: thin &lt;&amp;&gt;</p>\n");
    says(sheet, "7.0 g");
    poise_release(sheet);
    sheet = sheet_of(FILE_OF("", LEAD), ".", "thin <&>", POISE_DOC_MARKDOWN);
    says(sheet, "# Build sheet: Sallow\n\nVariant: thin ");
    poise_release(sheet);
}

/* Two pours have one card; what was weighed says so. */
static void test_two_pours_and_a_reading(void **state)
{
    (void)state;
#define POUR(id)                                                                                   \
    "\"" id "\":{\"kind\":\"poured\",\"volume\":\"30 "                                             \
    "ml\",\"depth\":8,\"material\":\"test-epoxy\"}"
    char *sheet = sheet_of(
        "{\"poise\":1,\"name\":\"Sallow\",\"materials\":{\"own\":{\"density\":\"1.26 ± 0.02\"}},"
        "\"items\":{" WING("wing", "sheet-long.stl", "") "," POUR("dot") "," POUR(
            "dash") "," LEAD "},\"measured\":{\"dash\":\"32 g ± 1 g\"}}",
        POISE_TEST_BINARY_DIR, NULL, POISE_DOC_MARKDOWN);
    const char *card = strstr(sheet, "## Resin card\n\n### dot\n");
    assert_non_null(card);
    says(card, "\n### dash\n");
    assert_null(strstr(card + 1, "## Resin card"));
    says(sheet, "| mass of dash \\(as weighed\\) | 1.0 |");
    poise_release(sheet);
}

/* A file is shown as it lies beside the instrument's, and otherwise without its place; one that two
 * items are made from is listed once. */
static void test_names_of_files(void **state)
{
    (void)state;
    assert_int_equal(chdir(POISE_TEST_BINARY_DIR), 0);
    char *sheet = sheet_of(
        FILE_OF("\"profile\":\"sheet-profile.json\",",
                WING("wing", "sheet-long.stl", "") "," WING("other", "sheet-long.stl", "") "," WING(
                    "fin", POISE_TEST_BINARY_DIR "/sheet-small.stl", "") "," LEAD),
        ".", NULL, POISE_DOC_MARKDOWN);
    says_not(sheet, POISE_TEST_BINARY_DIR);
    says(sheet, "| other | sheet-long.stl |");
    says(sheet, "| fin | sheet-small.stl |");
    const char *list = strstr(sheet, "| file | SHA-256 |");
    assert_non_null(list);
    const char *once = strstr(list, "| sheet-long.stl | ");
    assert_non_null(once);
    assert_null(strstr(once + 1, "| sheet-long.stl | "));
    says(list, "| sheet-small.stl | ");
    says(list, "| sheet-profile.json | ");
    poise_release(sheet);
}

static int written(const char *name, const char *text)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s", POISE_TEST_BINARY_DIR, name);
    FILE *f = fopen(path, "w");
    return f && fputs(text, f) >= 0 && fclose(f) == 0;
}

static int set_up(void **state)
{
    (void)state;
    char path[512];
    static const double sizes[2][3] = {{120, 60, 30}, {40, 90, 10}};
    for (int i = 0; i < 2; i++) {
        Soup s = {0};
        soup_box(&s, (double[3]){0, 0, 0}, sizes[i]);
        write_stl(&s, i ? "sheet-small.stl" : "sheet-long.stl", path);
        soup_free(&s);
    }
    /* No gnuplot: a line in place of each picture. */
    bool ready = written("sheet-rail.gcode", TOOLPATH) && written("sheet-profile.json", PROFILE) &&
                 setenv("PATH", "/nonexistent", 1) == 0 &&
                 setenv("POISE_PLOTS", POISE_TEST_SOURCE_DIR "/plots", 1) == 0;
    return ready ? 0 : -1;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_on_the_leg),
        cmocka_unit_test(test_on_nothing),
        cmocka_unit_test(test_two_pours_and_a_reading),
        cmocka_unit_test(test_names_of_files),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
