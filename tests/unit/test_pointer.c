/* Pointers (RFC 6901) and merge patches (RFC 7396) where memory is short and tokens are odd. */
#include "alloc_help.h"

#include <cjson/cJSON.h>

#include "base/memory.h"
#include "input/decimal.h"
#include "input/json_doc.h"
#include "input/pointer.h"

static cJSON *json(const char *text)
{
    cJSON *value = poise_json_tree(text, strlen(text));
    assert_non_null(value);
    return value;
}

static const cJSON *step(const cJSON *parent, const char *token)
{
    return poise_pointer_step(parent, token, strlen(token));
}

/* §4: an index is "0" or digits that begin with another; escapes are read once, from the left. */
static void test_tokens(void **state)
{
    (void)state;
    cJSON *list = json("[7,8]"), *object = json("{\"a~\":1,\"~1\":2,\"/\":3,\"ab\":4,\"0\":5}");
    check_near(step(list, "1")->valuedouble, 8, 0);
    static const char *const none[] = {"", "2", "01", "00", "-", "1x", "x", "4294967297"};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        assert_null(step(list, none[i]));
    check_near(step(object, "a~")->valuedouble, 1, 0);
    check_near(step(object, "~01")->valuedouble, 2, 0);
    check_near(step(object, "~1")->valuedouble, 3, 0);
    check_near(step(object, "0")->valuedouble, 5, 0);
    assert_null(step(object, "a"));
    assert_null(step(object, "abc"));
    assert_null(poise_pointer_step(object, "ab\0", 3));
    assert_null(step(object->child, "a"));
    assert_null(poise_pointer_get(object, "ab"));
    assert_null(poise_pointer_get(object, "/a~"));
    assert_null(poise_pointer_get(object, "/a~2"));
    cJSON_Delete(list);
    cJSON_Delete(object);
}

static void sets(const char *text, const char *pointer, const char *value, const char *want)
{
    cJSON *root = json(text);
    PoiseStatus status = poise_pointer_set(root, pointer, json(value));
    char *got = cJSON_PrintUnformatted(root);
    assert_int_equal(status, want ? POISE_OK : POISE_E_INPUT);
    assert_string_equal(got, want ? want : text);
    cJSON_free(got);
    cJSON_Delete(root);
}

static void test_set(void **state)
{
    (void)state;
    sets("{\"a\":[1,[2,3]]}", "/a/1/0", "{}", "{\"a\":[1,[{},3]]}");
    sets("{\"a\":1}", "/a", "2", "{\"a\":2}");
    sets("{}", "/a~1b/~0/c", "true", "{\"a/b\":{\"~\":{\"c\":true}}}");
    sets("{\"a\":[1]}", "/a/1", "2", NULL);
    sets("{\"a\":1}", "/a/b", "2", NULL);
    sets("{\"a\":1}", "", "2", NULL);
    sets("{\"a\":1}", "a", "2", NULL);
    cJSON *root = json("{}");
    assert_int_equal(poise_pointer_set(root, "/a", NULL), POISE_E_MEMORY);
    cJSON_Delete(root);
}

static bool equal(const char *a, const char *b)
{
    cJSON *x = json(a), *y = json(b);
    bool same = poise_json_equal(x, y);
    assert_int_equal(same, poise_json_equal(y, x));
    assert_true(poise_json_equal(x, x));
    assert_false(poise_json_equal(x, NULL) || poise_json_equal(NULL, y));
    cJSON_Delete(x);
    cJSON_Delete(y);
    return same;
}

static void test_equal(void **state)
{
    (void)state;
    assert_true(poise_json_equal(NULL, NULL));
    assert_true(equal("{\"a\":1,\"b\":[true,null]}", "{\"b\":[true,null],\"a\":1.0}"));
    assert_true(equal("[]", "[]"));
    assert_false(equal("[1,2]", "[1]"));
    assert_false(equal("[1,2]", "[1,3]"));
    assert_false(equal("[1]", "{\"0\":1}"));
    assert_false(equal("{\"a\":1}", "{\"a\":1,\"b\":1}"));
    assert_false(equal("{\"a\":1}", "{\"b\":1}"));
    assert_false(equal("true", "false"));
    assert_false(equal("\"a\"", "\"b\""));
}

static Outcome printed(cJSON *root, PoiseStatus status)
{
    PoiseText all = {0};
    if (status) {
        cJSON_Delete(root);
        return refused(status);
    }
    char *text = cJSON_PrintUnformatted(root);
    cJSON_Delete(root);
    gather(&all, text);
    return gathered(&all);
}

static Outcome set_several(const char *text, PoiseFaults *faults)
{
    static const char *const pointers[] = {"/a", "/b/c/d~1e", "/l/0", "/b/c/f"};
    (void)faults;
    cJSON *root = poise_json_tree(text, strlen(text));
    PoiseStatus status = root ? POISE_OK : POISE_E_MEMORY;
    for (size_t i = 0; i < 4 && !status; i++)
        status = poise_pointer_set(root, pointers[i], cJSON_CreateString("x"));
    return printed(root, status);
}

static Outcome merge(const char *text, PoiseFaults *faults)
{
    static const char patch_text[] =
        "{\"a\":{\"b\":{\"c\":1}},\"l\":[1,{\"m\":2}],\"k\":null,\"n\":{\"o\":null,\"p\":\"q\"}}";
    (void)faults;
    cJSON *root = poise_json_tree(text, strlen(text));
    cJSON *patch = poise_json_tree(patch_text, strlen(patch_text));
    bool good = root && patch && poise_merge_patch(&root, patch);
    cJSON_Delete(patch);
    return printed(root, good ? POISE_OK : POISE_E_MEMORY);
}

static void test_no_memory(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    fail_each(set_several, "{\"a\":1,\"l\":[1,2]}", POISE_OK);
    fail_each(merge, "{\"a\":1,\"l\":2,\"k\":{},\"n\":{\"o\":1}}", POISE_OK);
    fail_each(merge, "[]", POISE_OK);
    cJSON_InitHooks(NULL);
}

/* What of a text is a decimal number: an exponent needs digits. */
static void test_decimals(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t length;
    } cases[] = {{"1e+", 1}, {"1e-", 1}, {"1e", 1}, {"1.5E-3x", 6}, {"2e7", 3}, {".5", 2},
                 {"5.", 2},  {".", 0},   {"", 0},   {"e5", 0},      {"1..2", 2}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_int_equal(poise_decimal_length(cases[i].text), cases[i].length);
    double value = 3;
    assert_false(poise_decimal_value("1e999", 5, &value));
    assert_false(poise_decimal_value("1x", 2, &value));
    assert_false(poise_decimal_value("", 0, &value));
    check_near(value, 3, 0);
    assert_true(poise_decimal_value("2.5e1x", 5, &value));
    check_near(value, 25, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tokens),   cmocka_unit_test(test_set),
        cmocka_unit_test(test_equal),    cmocka_unit_test(test_no_memory),
        cmocka_unit_test(test_decimals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
