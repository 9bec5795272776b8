/* What a varied value bears on: materials of the file's own in each kind of item, meshes and their
 * units, whole items, a profile; against weighing each candidate the long way. And pointers that
 * lead nowhere. */
#include "sweep_help.h"

#include "base/memory.h"

static const char FILE_TEXT[] =
    "{\"poise\":1,\"name\":\"Sedge\",\"scale\":{\"nut\":[680,0,10],\"saddle\":[0,0,10],"
    "\"frets\":22},\"posts\":{\"tail\":[-80,0,-20],\"horn\":[330,90,-20]},"
    "\"strap\":{\"length\":1100,\"friction\":0.2},\"seat\":{\"rest\":[150,-100]},"
    "\"profile\":\"touch-profile.json\",\"printer\":{\"price\":21},"
    "\"materials\":{\"own-plastic\":{\"base\":\"petg\",\"density\":1.26},"
    "\"own-wood\":{\"density\":0.7},\"own-wire\":{\"density\":7.8},"
    "\"own-resin\":{\"base\":\"epoxy\",\"density\":1.13}},\"items\":{"
    "\"wing\":{\"kind\":\"printed\",\"mesh\":\"touch-a.stl\",\"material\":\"own-plastic\","
    "\"at\":[40,20,-40],\"print\":{\"layer\":2}},"
    "\"hollow\":{\"kind\":\"printed\",\"mesh\":\"touch-a.stl\",\"material\":\"petg\","
    "\"at\":[40,90,-40],\"print\":{\"layer\":2}},"
    "\"dot\":{\"kind\":\"poured\",\"volume\":\"30 ml\",\"depth\":8,\"material\":\"own-resin\","
    "\"at\":[100,0,-4]},"
    "\"slab\":{\"kind\":\"solid\",\"outline\":[[-90,-60],[260,-60],[260,60],[-90,60]],"
    "\"thickness\":42,\"material\":\"red-alder\"},"
    "\"neck\":{\"kind\":\"neck\",\"shaft\":\"sugar-maple\",\"board\":\"own-wood\"},"
    "\"strings\":{\"kind\":\"strings\",\"gauges\":[\"0.25 mm\",\"0.33 mm\",\"0.43 mm\","
    "\"0.66 mm wound\"],\"wrap\":\"own-wire\"},"
    "\"lead\":{\"kind\":\"mass\",\"mass\":50,\"at\":[-60,-30,-20]}}}";

static const char *touch_file(void)
{
    static char path[512];
    char mesh[512];
    for (int i = 0; i < 2; i++) {
        Soup wing = {0};
        soup_box(&wing, (double[3]){0, 0, 0}, (double[3]){60 + 20.0 * i, 40, 16});
        write_stl(&wing, i ? "touch-b.stl" : "touch-a.stl", mesh);
        soup_free(&wing);
    }
    static const char *const profiles[][2] = {{"touch-profile.json", "1.02"},
                                              {"touch-other.json", "0.97"}};
    for (int i = 0; i < 2; i++) {
        snprintf(path, sizeof path, "%s/%s", POISE_TEST_BINARY_DIR, profiles[i][0]);
        FILE *f = fopen(path, "w");
        assert_non_null(f);
        assert_true(fprintf(f, "{\"poise_profile\":1,\"flow\":\"%s ± 0.01\"}", profiles[i][1]) > 0);
        assert_int_equal(fclose(f), 0);
    }
    snprintf(path, sizeof path, "%s/sweep-touch.json", POISE_TEST_BINARY_DIR);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    assert_true(fputs(FILE_TEXT, f) >= 0);
    assert_int_equal(fclose(f), 0);
    return path;
}

#define AGREES(...)                                                                                \
    do {                                                                                           \
        const char *const list[] = {__VA_ARGS__};                                                  \
        agrees(touch_file(), list, sizeof list / sizeof *list, NULL);                              \
    } while (0)

static void test_own_materials(void **state)
{
    (void)state;
    AGREES("/materials/own-wood/density=0.6,0.8", "/items/neck/truss_rod=0,110");
    AGREES("/materials/own-wire/density=7,8", "/items/strings/beyond_nut=60,120");
    AGREES("/materials/own-resin/density=1,1.2", "/items/dot/volume=20,30");
    /* What another value makes of it comes in too: the slab is of red alder at first. */
    AGREES("/materials/own-wood/density=0.6,0.8", "/items/slab/material=own-wood,mahogany");
    AGREES("/materials/own-plastic/density=1.2,1.3", "/items/hollow/material=petg,own-plastic");
    AGREES("/materials/own-wood/density=0.6,0.8", "/items/slab/at=[0,0,0],[10,0,0]");
    AGREES("/materials/own-wood={\"density\":0.6},{\"density\":0.8}");
}

static void test_meshes(void **state)
{
    (void)state;
    AGREES("/items/wing/mesh=touch-a.stl,touch-b.stl", "/items/wing/print/infill=10 %,40 %");
    AGREES("/items/wing/mesh=touch-a.stl,touch-b.stl", "/items/wing/print/layer=1,2");
    AGREES("/items/wing/mesh_unit=mm,cm", "/items/hollow/mesh_unit=cm,mm");
    AGREES("/items/wing/print/up=[0,0,1],[0,1,0],[0,0,-1]");
    AGREES("/items/wing/print/bottom=0,3", "/items/hollow/print/bottom=3,0");
}

static void test_whole_items(void **state)
{
    (void)state;
    AGREES("/items/lead={\"kind\":\"mass\",\"mass\":20,\"at\":[0,0,0]},"
           "{\"kind\":\"mass\",\"mass\":90,\"at\":[-50,0,0]}",
           "/items/slab/thickness=40,42");
    AGREES("/items/lead/kind=mass");
    AGREES("/items/wing/print={\"layer\":2,\"infill\":\"30 %\"},{\"layer\":2,\"perimeters\":5}",
           "/items/wing/material=petg,own-plastic");
    AGREES("/items/wing={\"kind\":\"mass\",\"mass\":90},"
           "{\"kind\":\"printed\",\"mesh\":\"touch-b.stl\",\"material\":\"petg\"}",
           "/materials/own-plastic/density=1.2,1.3");
}

static void test_profiles(void **state)
{
    (void)state;
    AGREES("/profile=touch-profile.json,touch-other.json", "/items/wing/print/infill=10 %,40 %");
    AGREES("/printer/price=15,25", "/items/wing/count=1,2");
}

/* Refused; the fault stands at `pointer` (NULL: at none) and hints at `hint` (NULL: at nothing). */
static void refused(const char *const *vary, size_t n, const char *pointer, const char *says,
                    const char *hint)
{
    PoiseSweep *sweep = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_sweep_open(touch_file(), vary, n, NULL, &sweep, faults);
    assert_int_equal(status, POISE_E_USAGE);
    assert_null(sweep);
    assert_int_equal(poise_faults_count(faults), 1);
    const PoiseFault *fault = poise_faults_get(faults, 0);
    assert_string_equal(fault->file, "--vary");
    if (pointer)
        assert_string_equal(fault->pointer, pointer);
    else
        assert_null(fault->pointer);
    if (!strstr(fault->found, says))
        fail_msg("\"%s\" is not in \"%s\"", says, fault->found);
    if (hint)
        assert_string_equal(fault->hint, hint);
    else
        assert_null(fault->hint);
    poise_faults_free(faults);
}

#define REFUSED(pointer, says, hint, ...)                                                          \
    do {                                                                                           \
        const char *const list[] = {__VA_ARGS__};                                                  \
        refused(list, sizeof list / sizeof *list, pointer, says, hint);                            \
    } while (0)

static void test_pointers_to_nowhere(void **state)
{
    (void)state;
    REFUSED("/items/ollo/at/0", "no item \"ollo\" in the file", "did you mean \"hollow\"?",
            "/items/ollo/at/0=1");
    REFUSED("/items/xyzzyplugh/at/0", "no item \"xyzzyplugh\" in the file", NULL,
            "/items/xyzzyplugh/at/0=1");
    REFUSED("/measured/strinsg", "no item \"strinsg\" in the file", "did you mean \"strings\"?",
            "/measured/strinsg=1");
    REFUSED("/materials/own-plastik/density", "no material of its own \"own-plastik\"",
            "did you mean \"own-plastic\"?", "/materials/own-plastik/density=1");
    REFUSED("/xyzzyplugh", "no such key", NULL, "/xyzzyplugh=1");
    REFUSED("/strpa/length", "no such key", "did you mean \"/strap\"?", "/strpa/length=1");
    REFUSED("/materials", "all items or materials at once", NULL, "/materials=1");
}

static void test_one_value_once(void **state)
{
    (void)state;
    static const char twice[] = "a value that another --vary sets too";
    REFUSED("/items/lead/mass", twice, NULL, "/items/lead/mass=1,2", "/items/lead/mass=3,4");
    REFUSED("/items/lead/at", twice, NULL, "/items/lead/at/0=1,2", "/items/lead/at=[1,2,3]");
    /* One name that begins like another is another. */
    AGREES("/items/strings/beyond_nut=60,70", "/items/strings/beyond_saddle=10,20");
}

static void test_how_many(void **state)
{
    (void)state;
    refused(NULL, 0, NULL, "none", NULL);
    const char *many[13];
    for (size_t i = 0; i < 13; i++)
        many[i] = "/items/lead/mass=1";
    refused(many, 13, NULL, "more than 12 of them", NULL);
    REFUSED("/items/slab/thickness", "more than a million million combinations",
            "take larger steps", "/items/lead/mass=1:20000:1", "/items/lead/at/0=1:20000:1",
            "/items/slab/thickness=1:20000:1");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_own_materials),
        cmocka_unit_test(test_meshes),
        cmocka_unit_test(test_whole_items),
        cmocka_unit_test(test_profiles),
        cmocka_unit_test(test_pointers_to_nowhere),
        cmocka_unit_test(test_one_value_once),
        cmocka_unit_test(test_how_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
