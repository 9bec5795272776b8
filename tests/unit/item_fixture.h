/* An instrument put together in memory, for tests of its items' bodies. */
#ifndef POISE_TEST_ITEM_FIXTURE_H
#define POISE_TEST_ITEM_FIXTURE_H

#include "check.h"
#include "solids.h"

#include "base/faults.h"
#include "bodies/item_body.h"

/* Drawn along x with the face along z, right-handed. */
static inline PoiseInstrument drawn_along_x(void)
{
    static char file[] = "wren.json";
    return (PoiseInstrument){.file = file, .frame = {.head = {1, 0, 0}, .face = {0, 0, 1}}};
}

static inline PoiseItem item_of(PoiseItemKind kind)
{
    static char id[] = "a/b~c";
    return (PoiseItem){.id = id, .kind = kind, .line = 7, .column = 3, .count = 1};
}

/* The item's body; the test fails when there is none. */
static inline PoiseItemBody body_of(const PoiseInstrument *instrument, const PoiseItem *item)
{
    PoiseItemBody out;
    const PoiseSectionOptions options = {.threads = 1, .no_cache = true};
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    PoiseStatus status = poise_item_body(instrument, item, &options, &out, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        print_error("fault: %s\n", poise_faults_get(faults, i)->found);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    return out;
}

/* The item is refused with this status; the last fault stands at the item's place in the instrument
 * file, at "/items/a~1b~0c" + key. */
static inline void refused_at(const PoiseInstrument *instrument, const PoiseItem *item,
                              PoiseStatus status, const char *key)
{
    PoiseItemBody out;
    const PoiseSectionOptions options = {.threads = 1, .no_cache = true};
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    assert_int_equal(poise_item_body(instrument, item, &options, &out, faults), status);
    assert_true(poise_faults_count(faults) > 0);
    assert_int_equal(poise_faults_status(faults), status);
    const PoiseFault *fault = poise_faults_get(faults, poise_faults_count(faults) - 1);
    char pointer[128];
    snprintf(pointer, sizeof pointer, "/items/a~1b~0c%s", key);
    assert_string_equal(fault->file, "wren.json");
    assert_string_equal(fault->pointer, pointer);
    assert_int_equal(fault->line, 7);
    assert_non_null(fault->found);
    check_near(out.body.mass_g, 0.0, 0.0);
    poise_faults_free(faults);
}

/* Writes a soup as an ASCII STL file in the build directory; `path` gets its name. Soups for files
 * use coordinates that single precision holds exactly, so that either kind of reader gives the same
 * solid. */
static inline void write_stl(const Soup *soup, const char *name, char path[512])
{
    snprintf(path, 512, "%s/%s", POISE_TEST_BINARY_DIR, name);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fprintf(f, "solid test\n");
    for (size_t t = 0; t < soup->count; t++) {
        fprintf(f, "facet normal 0 0 0\nouter loop\n");
        for (size_t k = 3 * t; k < 3 * t + 3; k++)
            fprintf(f, "vertex %.17g %.17g %.17g\n", soup->corners[k][0], soup->corners[k][1],
                    soup->corners[k][2]);
        fprintf(f, "endloop\nendfacet\n");
    }
    fprintf(f, "endsolid test\n");
    assert_int_equal(fclose(f), 0);
}

#endif
