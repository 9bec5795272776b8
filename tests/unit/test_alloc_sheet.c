/* Out of memory while a build sheet is written: as in test_alloc_failure.c. No gnuplot can be found
 * here, so that each run is quick: the lines in place of the pictures are written as well. */
#include "alloc_help.h"

#include <cjson/cJSON.h>
#include <stdlib.h>

#include "poise/poise.h"
#include "report/report.h"

static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/tests/data/components";

/* Neck-heavy, with a slab to draw, ballast, and a name that needs escapes. */
static const char DIVING[] =
    "{\"poise\":1,\"name\":\"Reed <&>\",\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],"
    "\"frets\":22},\"posts\":{\"tail\":[-60,0,0],\"horn\":[330,90,0]},"
    "\"strap\":{\"length\":1100,\"friction\":0.2},\"target\":{\"hand_load\":50},"
    "\"materials\":{\"board\":{\"density\":0.6}},"
    "\"items\":{\"body\":{\"kind\":\"solid\",\"outline\":[[-60,-150],[300,-150],[300,150],"
    "[-60,150]],\"thickness\":44,\"top\":0,\"material\":\"board\"},"
    "\"head\":{\"kind\":\"mass\",\"mass\":\"900 g ± 9 g\",\"at\":[740,0,0],\"note\":\"a | b\"},"
    "\"lead\":{\"kind\":\"mass\",\"mass\":0,\"at\":[-50,0,0],\"ballast\":{\"max\":\"600 g\"}}}}";

static PoiseShelf shelf;
static PoiseDocument *document;
static PoiseInstrument *instrument;
static PoiseWeighing *weighing;
static PoiseRemedies *remedies;

static Outcome write_sheet(PoiseDocFormat format, PoiseFaults *faults)
{
    PoiseSheetSource source = {.instrument = instrument,
                               .weighing = weighing,
                               .remedies = remedies,
                               .text = DIVING,
                               .size = sizeof DIVING - 1};
    Outcome out = {0};
    out.status = poise_build_sheet(&source, format, &out.text, faults);
    return out;
}

static Outcome as_html(const char *input, PoiseFaults *faults)
{
    (void)input;
    Outcome out = write_sheet(POISE_DOC_HTML, faults);
    /* Why there is no picture may read differently when memory was short on the way to finding out:
     * only the status is compared. */
    poise_string_free(out.text);
    out.text = NULL;
    return out;
}

static Outcome as_markdown(const char *input, PoiseFaults *faults)
{
    (void)input;
    return write_sheet(POISE_DOC_MARKDOWN, faults);
}

static void test_html(void **state)
{
    (void)state;
    fail_some(as_html, "", POISE_OK, 400);
}

static void test_markdown(void **state)
{
    (void)state;
    fail_each(as_markdown, "", POISE_OK);
}

/* cJSON's allocations count, and fail, like the library's own. */
static int set_up(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    PoiseRemedyOptions options = {0};
    const size_t size = sizeof DIVING - 1;
    bool ready = !setenv("POISE_PLOTS", POISE_TEST_SOURCE_DIR "/plots", 1) &&
                 !setenv("PATH", "/nonexistent", 1) &&
                 !poise_shelf_read(COMPONENTS, &shelf, NULL) &&
                 !poise_document_parse(DIVING, size, "reed.json", &document, NULL) &&
                 !poise_instrument_parse(DIVING, size, "reed.json", ".", NULL, COMPONENTS,
                                         &instrument, NULL) &&
                 !poise_weigh(instrument, &(PoiseWeighOptions){.threads = 1}, &weighing, NULL) &&
                 !poise_remedies_find(document, NULL, ".", &shelf, &options, &remedies, NULL);
    return ready ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    poise_remedies_free(remedies);
    poise_weighing_free(weighing);
    poise_instrument_free(instrument);
    poise_document_free(document);
    poise_shelf_clear(&shelf);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_markdown),
                                       cmocka_unit_test(test_html)};
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
