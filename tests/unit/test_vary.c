/* What --vary may say. */
#include "alloc_help.h"

#include "base/faults.h"
#include "decide/vary.h"

/* The values of a good text, joined by "|". */
static void gives(const char *text, const char *want)
{
    char got[512] = "";
    PoiseVary v;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_vary_parse(text, &v, faults);
    if (status)
        print_error("%s: %s\n", text, poise_faults_get(faults, 0)->found);
    assert_int_equal(status, POISE_OK);
    for (size_t i = 0; i < v.count; i++) {
        strcat(got, i ? "|" : "");
        strcat(got, v.labels[i]);
    }
    assert_string_equal(got, want);
    assert_string_equal(v.pointer, "/a/b");
    poise_vary_clear(&v);
    poise_faults_free(faults);
}

static void refuses(const char *text)
{
    PoiseVary v;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_vary_parse(text, &v, faults);
    if (status != POISE_E_USAGE)
        print_error("taken: %s\n", text);
    assert_int_equal(status, POISE_E_USAGE);
    assert_int_equal(poise_faults_count(faults), 1);
    assert_string_equal(poise_faults_get(faults, 0)->file, "--vary");
    poise_vary_clear(&v);
    poise_faults_free(faults);
}

static void test_ranges(void **state)
{
    (void)state;
    gives("/a/b=1:4:1", "1|2|3|4");
    gives("/a/b=0.1:0.5:0.1", "0.1|0.2|0.3|0.4|0.5");
    gives("/a/b=10 %:40 %:10 %", "10 %|20 %|30 %|40 %");
    gives("/a/b=10:30:10 %", "10 %|20 %|30 %");
    gives("/a/b=1.1 m : 1.2 m : 0.05 m", "1.1 m|1.15 m|1.2 m");
    gives("/a/b=0:10:4", "0|4|8");
    gives("/a/b=-5:5:2.5", "-5|-2.5|0|2.5|5");
    gives("/a/b=-0.5:0:0.25", "-0.5|-0.25|0");
    gives("/a/b=3:1:-1", "3|2|1");
    gives("/a/b=7:7:1", "7");
    gives("/a/b=7:7:-1", "7");
}

/* A thousand steps of a tenth end where they should, on the nearest double to the decimal; adding
 * 0.1 a thousand times would be off by 1.4e-12. */
static void test_no_drift(void **state)
{
    (void)state;
    PoiseVary v;
    assert_int_equal(poise_vary_parse("/a=0:100:0.1", &v, NULL), POISE_OK);
    assert_int_equal(v.count, 1001);
    for (size_t i = 0; i < v.count; i++)
        check_near(v.values[i]->valuedouble, (double)i / 10.0, 0.0);
    poise_vary_clear(&v);
}

static void test_lists(void **state)
{
    (void)state;
    gives("/a/b=1,2,3", "1|2|3");
    gives("/a/b= one , two ", "one|two");
    gives("/a/b=[1,2,3],[4,5,6]", "[1,2,3]|[4,5,6]");
    gives("/a/b={\"x\":[1,2],\"y\":\"a,b\"},7", "{\"x\":[1,2],\"y\":\"a,b\"}|7");
    gives("/a/b=\"a,b\",c", "\"a,b\"|c");
    gives("/a/b=2:1 by mass,1:1 by volume", "2:1 by mass|1:1 by volume");
    gives("/a/b=3/4 in,1 1/2 in", "3/4 in|1 1/2 in");
    gives("/a/b=0.35 ± 0.1", "0.35 ± 0.1");
    gives("/a/b=x=y", "x=y");
    gives("/a/b=\"a\\\",b\",c", "\"a\\\",b\"|c"); /* an escaped quote ends nothing */
    gives("/a/b=5\",6\"", "5\"|6\"");             /* inches: quotes only count in front */
    gives("/a/b={\"x,y\":1},-", "{\"x,y\":1}|-");
}

static void test_types(void **state)
{
    (void)state;
    PoiseVary v;
    assert_int_equal(
        poise_vary_parse("/a=1.5,true,petg,\"7\",[0],-2,1e3,12 g,false,1e999,-x", &v, NULL),
        POISE_OK);
    assert_int_equal(v.count, 11);
    assert_true(cJSON_IsNumber(v.values[0]));
    assert_true(cJSON_IsTrue(v.values[1]));
    assert_string_equal(v.values[2]->valuestring, "petg");
    assert_string_equal(v.values[3]->valuestring, "7");
    assert_true(cJSON_IsArray(v.values[4]));
    check_near(v.values[5]->valuedouble, -2, 0);
    check_near(v.values[6]->valuedouble, 1000, 0);
    assert_string_equal(v.values[7]->valuestring, "12 g");
    assert_true(cJSON_IsFalse(v.values[8]));
    assert_string_equal(v.values[9]->valuestring, "1e999"); /* no double: the reader will say so */
    assert_string_equal(v.values[10]->valuestring, "-x");
    poise_vary_clear(&v);
}

static void test_refusals(void **state)
{
    (void)state;
    refuses("/a/b");
    refuses("a/b=1");
    refuses("=1");
    refuses("/a~2=1");
    refuses("/a=");
    refuses("/a=1,,2");
    refuses("/a=1:2:0");
    refuses("/a=1:2:-1");
    refuses("/a=2:1:1");
    refuses("/a=1 mm:2 in:1 mm");
    refuses("/a=x:2:1");
    refuses("/a=1::1");
    refuses("/a=7 1/2:9:1");
    refuses("/a=0:1:0.00000000000001");
    refuses("/a=0:1000000:1"); /* more than 20000 */
    refuses("/a=[1,2");
    refuses("/a={x}");
    refuses("/a=\"x\\");
    refuses("/a=[1,2]x");
    refuses("/a=\"x\"y");
    refuses("/a=1.2.3:4:1");
    refuses("/a=1 a unit of seventeen:4:1");
    /* 13 digits each, but 10^13 steps of 10^-12 are no number of 64 bits. */
    refuses("/a=9999999999999:9999999999999:0.000000000001");
    refuses("/a=-9999999999999:0:0.000000000001");
}

/* As many as a range may have, and one more. */
static void test_long_lists(void **state)
{
    (void)state;
    static char text[2 * POISE_VARY_MOST + 8];
    strcpy(text, "/a=");
    for (size_t i = 0; i < POISE_VARY_MOST; i++)
        strcpy(text + 3 + 2 * i, "7,");
    text[2 + 2 * POISE_VARY_MOST] = '\0'; /* the last comma */
    PoiseVary v;
    assert_int_equal(poise_vary_parse(text, &v, NULL), POISE_OK);
    assert_int_equal(v.count, POISE_VARY_MOST);
    poise_vary_clear(&v);
    strcat(text, ",7");
    refuses(text);
}

static Outcome parsed(const char *text, PoiseFaults *faults)
{
    PoiseVary v;
    PoiseText all = {0};
    PoiseStatus status = poise_vary_parse(text, &v, faults);
    for (size_t i = 0; i < v.count && !status; i++) {
        poise_text_append(&all, v.labels[i]);
        poise_text_append(&all, cJSON_IsNumber(v.values[i]) ? "|" : ";");
    }
    poise_vary_clear(&v);
    return status ? refused(status) : gathered(&all);
}

static void test_no_memory(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    fail_each(parsed, "/a=0.5 mm:2.5 mm:1 mm", POISE_OK);
    fail_each(parsed, "/a=1,\"two\",[3],four", POISE_OK);
    cJSON_InitHooks(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ranges),    cmocka_unit_test(test_no_drift),
        cmocka_unit_test(test_lists),     cmocka_unit_test(test_types),
        cmocka_unit_test(test_refusals),  cmocka_unit_test(test_long_lists),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
