/* Out of memory at any point of a whole run: every allocation of the library, and of cJSON, fails
 * once, in turn, from reading a file to writing its results. Each time the answer is "out of
 * memory", or the same results as ever where the program can do without (a cache record), and,
 * under the address sanitizer, nothing leaks. GEOS, libzip and expat allocate for themselves; their
 * allocations are out of reach here. */
#include "alloc_help.h"
#include "item_fixture.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "input/reader.h"
#include "input/schema.h"
#include "output/section_report.h"
#include "poise/poise.h"

static PoiseShelf shelf;

/* Every kind of item once, every section of the file, and a variant. */
static const char EVERYTHING[] =
    "{\"poise\":1,\"note\":\"n\",\"name\":\"W\\u001bren\",\"frame\":{\"head\":[1,0,0],"
    "\"face\":[0,0,1],\"handed\":\"left\"},"
    "\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],\"frets\":22},"
    "\"posts\":{\"tail\":[-60,0,0],\"horn\":[\"13 in\",-90,0]},\"strap\":{\"length\":\"1.1 m\"},"
    "\"stance\":{\"hand\":\"fret 5\"},\"seat\":{\"rest\":[100,90],"
    "\"arm\":{\"at\":[50,-150,20],\"mass\":\"2 lb\"}},"
    "\"target\":{\"mass\":\"7 lb 5 oz\",\"margin\":0,\"hand_load\":5},"
    "\"printer\":{\"bed\":[220,220,250],\"price\":20},"
    "\"materials\":{\"dry\":{\"base\":\"test-maple\",\"moisture\":6},"
    "\"house\":{\"density\":\"1.26 ± 0.01\"}},\"items\":{"
    "\"slab\":{\"kind\":\"solid\",\"outline\":[[0,0],[300,0],[300,200],[0,200]],"
    "\"thickness\":\"44 ± 0.5\",\"material\":\"dry\",\"turn\":[0,0,90],\"cut\":[{\"outline\":[[10,"
    "10],[20,10],[20,20]],\"depth\":16},{\"at\":[50,60],\"diameter\":8,\"from\":\"bottom\"}]},"
    "\"neck\":{\"kind\":\"neck\",\"preset\":\"test-neck\",\"heel\":{\"length\":80}},"
    "\"strings\":{\"kind\":\"strings\",\"preset\":\"test-set\"},"
    "\"pour\":{\"kind\":\"poured\",\"volume\":\"40 ml ± 10 %%\",\"depth\":30,"
    "\"material\":\"test-epoxy\",\"mix\":{\"ratio\":\"100 : 45 by mass\",\"waste\":\"8 %%\"}},"
    "\"bridge\":{\"kind\":\"part\",\"part\":\"test-bridge\",\"count\":2,\"price\":30},"
    "\"nuts\":{\"kind\":\"part\",\"part\":\"test-nut\",\"count\":4,\"at\":[1,2,3]},"
    "\"rod\":{\"kind\":\"mass\",\"mass\":\"50 g ± 1 g\","
    "\"cylinder\":{\"diameter\":8,\"length\":100,\"axis\":\"y\"}},"
    "\"lead\":{\"kind\":\"mass\",\"mass\":0,\"at\":[-50,0,0],\"ballast\":{\"max\":\"400 g\"}}%s},"
    "\"measured\":{\"bridge\":330},"
    "\"variants\":{\"light\":{\"items\":{\"rod\":null,\"bridge\":{\"note\":\"other\"}}}}}";

/* All four formats behind each other. */
static Outcome every_format(const PoiseWeighing *w)
{
    char *(*const formats[])(const PoiseWeighing *) = {poise_weighing_text, poise_weighing_json,
                                                       poise_weighing_csv, poise_weighing_markdown};
    PoiseText all = {0};
    for (size_t i = 0; i < 4; i++) {
        char *one = formats[i](w);
        if (one)
            poise_text_append(&all, one);
        else
            all.failed = true;
        poise_string_free(one);
    }
    char *text = poise_text_take(&all);
    return (Outcome){.status = text ? POISE_OK : POISE_E_MEMORY, .text = text};
}

static Outcome weigh_instrument(const PoiseInstrument *in, const PoiseWeighOptions *options,
                                PoiseFaults *faults)
{
    PoiseWeighing *w = NULL;
    PoiseStatus status = poise_weigh(in, options, &w, faults);
    if (status)
        return refused(status);
    Outcome out = every_format(w);
    poise_weighing_free(w);
    return out;
}

static Outcome read_with(const char *input, const char *variant, const PoiseWeighOptions *options,
                         PoiseFaults *faults)
{
    PoiseDocument *document = NULL;
    PoiseInstrument *in = NULL;
    PoiseStatus status = poise_document_parse(input, strlen(input), "wren.json", &document, faults);
    if (!status)
        status = poise_instrument_from_document(document, NULL, variant, POISE_TEST_BINARY_DIR,
                                                &shelf, &in, faults);
    Outcome out = status ? refused(status) : weigh_instrument(in, options, faults);
    poise_instrument_free(in);
    poise_document_free(document);
    return out;
}

static Outcome weigh_file(const char *input, PoiseFaults *faults)
{
    return read_with(input, NULL, &(PoiseWeighOptions){.threads = 1, .no_cache = true}, faults);
}

static Outcome weigh_variant(const char *input, PoiseFaults *faults)
{
    return read_with(input, "light", &(PoiseWeighOptions){.threads = 1}, faults);
}

static Outcome weigh_trials(const char *input, PoiseFaults *faults)
{
    const PoiseWeighOptions options = {
        .threads = 1, .no_cache = true, .trials = POISE_FEWEST_TRIALS, .seed = 1};
    return read_with(input, NULL, &options, faults);
}

static Outcome read_library(const char *dir, PoiseFaults *faults)
{
    PoiseShelf own;
    PoiseStatus status = poise_shelf_read(dir, &own, faults);
    if (!status)
        poise_shelf_clear(&own);
    return refused(status);
}

static Outcome write_schema(const char *input, PoiseFaults *faults)
{
    (void)input;
    (void)faults;
    char *text = poise_schema_text();
    return (Outcome){.status = text ? POISE_OK : POISE_E_MEMORY, .text = text};
}

static Outcome section(const char *input, PoiseFaults *faults)
{
    PoiseDocument *document = NULL;
    PoiseInstrument *in = NULL;
    PoiseWeighing *w = NULL;
    const PoiseWeighOptions options = {.threads = 1, .no_cache = true};
    PoiseStatus status = poise_document_parse(input, strlen(input), "x.json", &document, faults);
    if (!status)
        status = poise_instrument_from_document(document, NULL, NULL, POISE_TEST_BINARY_DIR, &shelf,
                                                &in, faults);
    if (!status)
        status = poise_weigh(in, &options, &w, faults);
    Outcome out = refused(status);
    if (!status) {
        char *text = poise_section_text(in, w), *json = poise_section_json(in, w);
        out.text = text && json ? poise_format("%s%s", text, json) : NULL;
        out.status = out.text ? POISE_OK : POISE_E_MEMORY;
        poise_string_free(text);
        poise_string_free(json);
    }
    poise_weighing_free(w);
    poise_instrument_free(in);
    poise_document_free(document);
    return out;
}

static const char PRINTED[] =
    ",\"spine\":{\"kind\":\"printed\",\"mesh\":\"alloc-cube.stl\",\"material\":\"house\","
    "\"print\":{\"infill\":\"30 %\",\"layer\":1}}";

static char *everything(const char *more)
{
    char path[512];
    Soup s = {0};
    soup_box(&s, (double[3]){0, 0, 0}, (double[3]){8, 8, 8});
    write_stl(&s, "alloc-cube.stl", path);
    soup_free(&s);
    return poise_format(EVERYTHING, more);
}

static void test_weigh(void **state)
{
    (void)state;
    char *text = everything("");
    fail_each(weigh_file, text, POISE_OK);
    fail_each(weigh_variant, text, POISE_OK);
    poise_string_free(text);
}

static void test_trials(void **state)
{
    (void)state;
    fail_each(weigh_trials,
              "{\"poise\":1,\"items\":{\"a\":{\"kind\":\"mass\",\"mass\":\"2 kg ± 9 g\"}}}",
              POISE_OK);
}

static void test_printed(void **state)
{
    (void)state;
    char *text = everything(PRINTED);
    poise_string_free(text);
    static const char one[] =
        "{\"poise\":1,\"printer\":{\"bed\":[220,220,250],\"price\":20},\"materials\":{\"house\":{"
        "\"density\":1.26}},\"items\":{\"spine\":{\"kind\":\"printed\",\"mesh\":\"alloc-cube.stl\","
        "\"material\":\"house\",\"print\":{\"infill\":\"30 %\",\"layer\":1}}}}";
    fail_each(section, one, POISE_OK);
}

/* Every fault of a bad file: the words of the faults need memory, too. */
static void test_faults(void **state)
{
    (void)state;
    static const char bad[] =
        "{\"poise\":2,\"frame\":{\"head\":[1,0,0],\"face\":[1,0,1]},\"strap\":{\"lenght\":5},"
        "\"stance\":{\"hand\":\"fret 99\"},\"materials\":{\"a\":{\"base\":\"test-mapel\"}},"
        "\"items\":{\"a/b\":{\"kind\":\"printed\",\"mesh\":\"m.stl\",\"material\":\"test-plastik\","
        "\"print\":{\"infill\":30,\"infil\":1}},\"g\":{\"kind\":\"strings\","
        "\"gauges\":[0.010,\"1.1 mm would\"]},\"w\":{\"kind\":\"part\",\"part\":\"test-brigde\"}}}";
    fail_each(weigh_file, bad, POISE_E_INPUT);
}

static void test_library(void **state)
{
    (void)state;
    fail_each(read_library, POISE_TEST_SOURCE_DIR "/tests/data/components", POISE_OK);
    fail_each(read_library, POISE_TEST_SOURCE_DIR "/tests/data/bad-components", POISE_E_INPUT);
}

static void test_schema(void **state)
{
    (void)state;
    fail_each(write_schema, "", POISE_OK);
}

/* cJSON's allocations count, and fail, like the library's own. */
static int set_up(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status =
        poise_shelf_read(POISE_TEST_SOURCE_DIR "/tests/data/components", &shelf, faults);
    poise_faults_free(faults);
    return status ? -1 : 0;
}

static int tear_down(void **state)
{
    (void)state;
    poise_shelf_clear(&shelf);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_weigh),   cmocka_unit_test(test_trials),
        cmocka_unit_test(test_printed), cmocka_unit_test(test_faults),
        cmocka_unit_test(test_library), cmocka_unit_test(test_schema),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
