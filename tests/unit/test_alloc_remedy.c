/* Out of memory while remedies of each kind are looked for, explained and written: as in
 * test_alloc_failure.c. The solver of linear programmes allocates for itself, out of reach here. */
#include "alloc_help.h"
#include "remedy_help.h"

#include <cjson/cJSON.h>

/* Neck-heavy. A printed wing, a slab whose outline carries the posts, tuners to swap, ballast. */
#define FILE_OF(posts, target)                                                                     \
    "{\"poise\":1,\"name\":\"Sallow\",\"scale\":{\"nut\":[648,0,10],\"saddle\":[0,0,10],"          \
    "\"frets\":22}," posts ",\"target\":{" target "},\"printer\":{\"price\":21},\"items\":{"       \
    "\"wing\":{\"kind\":\"printed\",\"mesh\":\"alloc-remedy.stl\",\"material\":\"own\","           \
    "\"at\":[-80,-30,-40],\"print\":{\"layer\":2}},"                                               \
    "\"slab\":{\"kind\":\"solid\",\"outline\":[[-90,-100],[330,-100],[330,90],[-90,90]],"          \
    "\"thickness\":30,\"material\":\"wood\"},"                                                     \
    "\"head\":{\"kind\":\"mass\",\"mass\":\"300 g\",\"at\":[600,0,0]},"                            \
    "\"tuners\":{\"kind\":\"part\",\"part\":\"tuner-cast\",\"at\":[740,0,0],\"price\":18},"        \
    "\"buttons\":{\"kind\":\"part\",\"part\":\"button-strap-post\",\"at\":[-90,0,-15]},"           \
    "\"tail-lead\":{\"kind\":\"mass\",\"mass\":0,\"at\":[-70,0,-15],\"ballast\":{\"max\":900}},"   \
    "\"deep-lead\":{\"kind\":\"mass\",\"mass\":10,\"at\":[-80,40,-15],\"ballast\":{\"max\":80}}}}"

#define STRAP                                                                                      \
    "\"posts\":{\"tail\":[-90,0,-15],\"horn\":[330,90,-15]},"                                      \
    "\"strap\":{\"length\":\"1100 ± 10\",\"friction\":\"0.2 ± 0.05\"},"                          \
    "\"stance\":{\"neck_angle\":15,\"hand\":\"fret 1\"}"
#define SEAT_ALONE "\"seat\":{\"rest\":[120,-100],\"width\":90}"

static Outcome remedy(const char *text, PoiseFaults *faults)
{
    return remedies_of(text, POISE_TEST_BINARY_DIR, &shelf, (PoiseRemedyOptions){0}, faults);
}

/* One of the ways is weighed anew: what is sought and refused comes before that. */
static Outcome first_remedy(const char *text, PoiseFaults *faults)
{
    return remedies_of(text, POISE_TEST_BINARY_DIR, &shelf, (PoiseRemedyOptions){.most = 1},
                       faults);
}

/* At two neck angles and on the leg as well. */
static Outcome everywhere(const char *text, PoiseFaults *faults)
{
    PoiseRemedyOptions options = {.most = 1, .leg = true, .angle_count = 2, .angles_deg = {5, 30}};
    return remedies_of(text, POISE_TEST_BINARY_DIR, &shelf, options, faults);
}

/* Allocations that reading and weighing the file take, which have tests of their own. */
enum { READ = 430 };

static void test_search(void **state)
{
    (void)state;
    fail_from(first_remedy, FILE_OF(STRAP, "\"hand_load\":20"), POISE_OK, READ, 5);
}

static void test_all_ways_written(void **state)
{
    (void)state;
    fail_from(remedy, FILE_OF(STRAP, "\"hand_load\":20"), POISE_OK, READ, 307);
}

static void test_several_angles_and_the_leg(void **state)
{
    (void)state;
    fail_from(everywhere, FILE_OF(STRAP "," SEAT_ALONE, "\"hand_load\":20"), POISE_OK, READ, 37);
}

/* A post straight above the other: no window at a right angle. */
static Outcome steep(const char *text, PoiseFaults *faults)
{
    const PoiseRemedyOptions options = {.angle_count = 1, .angles_deg = {89}};
    return remedies_of(text, POISE_TEST_BINARY_DIR, &shelf, options, faults);
}

static void test_angle_without_a_window(void **state)
{
    (void)state;
    fail_from(steep, FILE_OF(STRAP, "\"hand_load\":20"), POISE_E_USAGE, READ - 30, 1);
}

static void test_what_cannot_be(void **state)
{
    (void)state;
    fail_from(remedy, FILE_OF(STRAP, "\"hand_load\":20,\"mass\":1200"), POISE_OK, READ, 2);
    fail_from(remedy, FILE_OF(STRAP, "\"margin\":400"), POISE_OK, READ, 2);
}

static int set_up(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    return remedy_shelf("alloc-remedy", "alloc-remedy.stl", &shelf);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_search),
        cmocka_unit_test(test_all_ways_written),
        cmocka_unit_test(test_several_angles_and_the_leg),
        cmocka_unit_test(test_angle_without_a_window),
        cmocka_unit_test(test_what_cannot_be),
    };
    return cmocka_run_group_tests(tests, set_up, clear_shelf);
}
