/* Out of memory while a sweep is opened, run and written, or refused: as in test_alloc_failure.c.
 */
#include "alloc_help.h"
#include "item_fixture.h"

#include <cjson/cJSON.h>
#include <stdlib.h>

#include "decide/sweep_report.h"

/* A small library: reading it is part of each run. */
static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/tests/data/components";
static const char PATH[] = POISE_TEST_BINARY_DIR "/alloc-sweep.json";

static const char FILE_TEXT[] =
    "{\"poise\":1,\"name\":\"Sedge\",\"scale\":{\"nut\":[680,0,10],\"saddle\":[0,0,10],"
    "\"frets\":22},\"posts\":{\"tail\":[-80,0,-20],\"horn\":[330,90,-20]},"
    "\"strap\":{\"length\":1100,\"friction\":0.2},\"seat\":{\"rest\":[150,-100]},"
    "\"target\":{\"mass\":\"3 kg\",\"hand_load\":\"200 g\"},"
    "\"printer\":{\"price\":21},\"materials\":{\"own\":{\"density\":1.26}},\"items\":{"
    "\"wing\":{\"kind\":\"printed\",\"mesh\":\"alloc-sweep.stl\",\"material\":\"own\","
    "\"at\":[40,20,-40],\"print\":{\"layer\":2}},"
    "\"slab\":{\"kind\":\"solid\",\"outline\":[[-90,-60],[260,-60],[260,60],[-90,60]],"
    "\"thickness\":42,\"material\":\"test-maple\"},"
    "\"neck\":{\"kind\":\"neck\",\"preset\":\"test-neck\"},"
    "\"bridge\":{\"kind\":\"part\",\"part\":\"test-bridge\"},"
    "\"lead\":{\"kind\":\"mass\",\"mass\":50,\"at\":[-60,-30,-20]}},"
    "\"variants\":{\"thin\":{\"items\":{\"slab\":{\"thickness\":38}}}}}";

typedef struct Written {
    const PoiseSweep *sweep;
    PoiseText *csv, *json;
    PoiseSweepRow kept[16];
    size_t count;
} Written;

static PoiseStatus take(const PoiseSweepRow *rows, size_t n, void *context)
{
    Written *r = context;
    for (size_t i = 0; i < n; i++) {
        poise_sweep_csv_row(r->csv, r->sweep, &rows[i]);
        poise_sweep_json_row(r->json, r->sweep, &rows[i], r->count == 0);
        if (r->count < 16)
            r->kept[r->count++] = rows[i];
    }
    return r->csv->failed || r->json->failed ? POISE_E_MEMORY : POISE_OK;
}

static PoiseStatus run(const PoiseSweep *sweep, PoiseText *all, PoiseFaults *faults)
{
    PoiseText csv = {0}, json = {0};
    Written rows = {.sweep = sweep, .csv = &csv, .json = &json};
    PoiseSweepFindings found = {0};
    poise_sweep_csv_head(&csv, sweep);
    poise_sweep_json_head(&json, sweep);
    PoiseStatus status = poise_sweep_run(sweep, take, &rows, &found, faults);
    if (!status) {
        poise_sweep_json_tail(&json, sweep, &found);
        gather(all, poise_text_take(&csv));
        gather(all, poise_text_take(&json));
        poise_sweep_text(all, sweep, &found, 3, rows.kept, rows.count);
    }
    poise_text_clear(&csv);
    poise_text_clear(&json);
    poise_sweep_findings_free(&found);
    return status;
}

/* `input` holds the pointers, one a line. */
static Outcome sweep_of(const char *input, const char *variant, PoiseFaults *faults)
{
    char copy[1024];
    const char *vary[8];
    size_t n = 0;
    snprintf(copy, sizeof copy, "%s", input);
    for (char *line = strtok(copy, "\n"); line && n < 8; line = strtok(NULL, "\n"))
        vary[n++] = line;
    const PoiseSweepOptions options = {
        .variant = variant, .components = COMPONENTS, .threads = 1, .no_cache = false};
    PoiseSweep *sweep = NULL;
    PoiseStatus status = poise_sweep_open(PATH, vary, n, &options, &sweep, faults);
    PoiseText all = {0};
    if (!status)
        status = run(sweep, &all, faults);
    poise_sweep_free(sweep);
    if (status) {
        poise_text_clear(&all);
        return refused(status);
    }
    return gathered(&all);
}

static Outcome sweep(const char *input, PoiseFaults *faults)
{
    return sweep_of(input, NULL, faults);
}

static Outcome thin(const char *input, PoiseFaults *faults)
{
    return sweep_of(input, "thin", faults);
}

/* Past this many, every few are tried. */
static const long SPARSE = 900;

/* Before this many the file and its library are read, which test_words goes through. */
static const long READ = 1100;

static void test_numbers(void **state)
{
    (void)state;
    fail_from(sweep, "/items/wing/print/infill=10 %:30 %:10 %\n/items/lead/mass=0,40", POISE_OK,
              READ, 3);
}

static void test_words(void **state)
{
    (void)state;
    fail_some(thin,
              "/items/bridge/part=test-bridge,test-jack\n/items/slab/material=test-maple,own\n"
              "/strap/friction=0.2:0.3:0.1",
              POISE_OK, SPARSE);
}

/* Sections sliced anew, and a stance that two values meet in. */
static void test_slices_and_stances(void **state)
{
    (void)state;
    fail_from(sweep, "/items/wing/print/layer=1,2\n/stance/hand=nut,fret 5\n/scale/nut/0=660,680",
              POISE_OK, READ, 5);
}

static void test_refusals(void **state)
{
    (void)state;
    fail_from(sweep, "/items/wnig/print/infill=10 %:30 %:10 %", POISE_E_USAGE, READ, 1);
    fail_from(sweep, "/items/wing/prnt/infill=10 %,20 %", POISE_E_USAGE, READ, 1);
    fail_from(sweep, "/itmes/wing=1,2", POISE_E_USAGE, READ, 1);
}

static int set_up(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    char mesh[512];
    Soup wing = {0};
    soup_box(&wing, (double[3]){0, 0, 0}, (double[3]){60, 40, 16});
    write_stl(&wing, "alloc-sweep.stl", mesh);
    soup_free(&wing);
    FILE *f = fopen(PATH, "w");
    return f && fputs(FILE_TEXT, f) >= 0 && fclose(f) == 0 ? 0 : -1;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_slices_and_stances),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
