/* JSON Pointer against RFC 6901 section 5, Merge Patch against RFC 7396 appendix A, and places. */
#include "input_check.h"

#include "base/memory.h"
#include "input/json_doc.h"

static PoiseDocument *doc(const char *text)
{
    PoiseDocument *d = NULL;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_document_parse(text, strlen(text), "f", &d, faults);
    faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
    return d;
}

static void same(const cJSON *got, const char *want)
{
    char *text = got ? cJSON_PrintUnformatted(got) : NULL;
    if (!text || strcmp(text, want) != 0)
        fail_msg("got %s, want %s", text ? text : "nothing", want);
    cJSON_free(text);
}

static void evaluates_pointers(void **state)
{
    (void)state;
    /* The document and the table of RFC 6901 section 5. */
    PoiseDocument *d =
        doc("{\"foo\":[\"bar\",\"baz\"],\"\":0,\"a/b\":1,\"c%d\":2,\"e^f\":3,\"g|h\":4,"
            "\"i\\\\j\":5,\"k\\\"l\":6,\" \":7,\"m~n\":8}");
    static const char *const table[][2] = {
        {"/foo", "[\"bar\",\"baz\"]"},
        {"/foo/0", "\"bar\""},
        {"/", "0"},
        {"/a~1b", "1"},
        {"/c%d", "2"},
        {"/e^f", "3"},
        {"/g|h", "4"},
        {"/i\\j", "5"},
        {"/k\"l", "6"},
        {"/ ", "7"},
        {"/m~0n", "8"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        same(poise_pointer_get_const(d->root, table[i][0]), table[i][1]);
    assert_ptr_equal(poise_pointer_get_const(d->root, ""), d->root);
    static const char *const bad[] = {"/foo/00",  "/foo/01", "/foo/2",         "/foo/-",
                                      "foo",      "/Foo",    "/m~n",           "/m~2n",
                                      "/foo/0/x", "/foo/",   "/foo/4294967296"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        if (poise_pointer_get_const(d->root, bad[i]))
            fail_msg("%s named a value", bad[i]);
    poise_document_free(d);
    /* Section 4: ~01 is ~1, not /. */
    d = doc("{\"~1\":1,\"/\":2}");
    same(poise_pointer_get_const(d->root, "/~01"), "1");
    same(poise_pointer_get_const(d->root, "/~1"), "2");
    poise_document_free(d);
    PoiseText built = {0};
    poise_pointer_push(&built, "a/b~c");
    assert_string_equal(built.data, "/a~1b~0c");
    poise_text_clear(&built);
}

static void merges_patches(void **state)
{
    (void)state;
    /* RFC 7396 appendix A, all rows: original, patch, result. */
    static const char *const table[][3] = {
        {"{\"a\":\"b\"}", "{\"a\":\"c\"}", "{\"a\":\"c\"}"},
        {"{\"a\":\"b\"}", "{\"b\":\"c\"}", "{\"a\":\"b\",\"b\":\"c\"}"},
        {"{\"a\":\"b\"}", "{\"a\":null}", "{}"},
        {"{\"a\":\"b\",\"b\":\"c\"}", "{\"a\":null}", "{\"b\":\"c\"}"},
        {"{\"a\":[\"b\"]}", "{\"a\":\"c\"}", "{\"a\":\"c\"}"},
        {"{\"a\":\"c\"}", "{\"a\":[\"b\"]}", "{\"a\":[\"b\"]}"},
        {"{\"a\":{\"b\":\"c\"}}", "{\"a\":{\"b\":\"d\",\"c\":null}}", "{\"a\":{\"b\":\"d\"}}"},
        {"{\"a\":[{\"b\":\"c\"}]}", "{\"a\":[1]}", "{\"a\":[1]}"},
        {"[\"a\",\"b\"]", "[\"c\",\"d\"]", "[\"c\",\"d\"]"},
        {"{\"a\":\"b\"}", "[\"c\"]", "[\"c\"]"},
        {"{\"a\":\"foo\"}", "null", "null"},
        {"{\"a\":\"foo\"}", "\"bar\"", "\"bar\""},
        {"{\"e\":null}", "{\"a\":1}", "{\"e\":null,\"a\":1}"},
        {"[1,2]", "{\"a\":\"b\",\"c\":null}", "{\"a\":\"b\"}"},
        {"{}", "{\"a\":{\"bb\":{\"ccc\":null}}}", "{\"a\":{\"bb\":{}}}"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        cJSON *target = cJSON_Parse(table[i][0]), *patch = cJSON_Parse(table[i][1]);
        bool changes = poise_merge_changes(target, patch);
        assert_true(poise_merge_patch(&target, patch));
        same(target, table[i][2]);
        assert_int_equal(changes, strcmp(table[i][0], table[i][2]) != 0);
        /* The same patch again changes nothing. */
        assert_false(poise_merge_changes(target, patch) && cJSON_IsObject(patch));
        cJSON_Delete(target);
        cJSON_Delete(patch);
    }
}

static void sets_values(void **state)
{
    (void)state;
    cJSON *root = cJSON_Parse("{\"a\":{\"b\":1},\"l\":[1,{\"x\":2}]}");
    assert_int_equal(poise_pointer_set(root, "/a/b", cJSON_CreateNumber(5)), POISE_OK);
    assert_int_equal(poise_pointer_set(root, "/a/new~1key/deep", cJSON_CreateTrue()), POISE_OK);
    assert_int_equal(poise_pointer_set(root, "/l/0", cJSON_CreateNumber(9)), POISE_OK);
    assert_int_equal(poise_pointer_set(root, "/l/1/x", cJSON_CreateNull()), POISE_OK);
    same(root, "{\"a\":{\"b\":5,\"new/key\":{\"deep\":true}},\"l\":[9,{\"x\":null}]}");
    assert_int_equal(poise_pointer_set(root, "", cJSON_CreateTrue()), POISE_E_INPUT);
    assert_int_equal(poise_pointer_set(root, "a", cJSON_CreateTrue()), POISE_E_INPUT);
    assert_int_equal(poise_pointer_set(root, "/l/2", cJSON_CreateTrue()), POISE_E_INPUT);
    assert_int_equal(poise_pointer_set(root, "/l/-", cJSON_CreateTrue()), POISE_E_INPUT);
    assert_int_equal(poise_pointer_set(root, "/a/b/c", cJSON_CreateTrue()), POISE_E_INPUT);
    cJSON_Delete(root);
}

static void finds_places(void **state)
{
    (void)state;
    PoiseDocument *d = doc("{\n  \"a\": [1, {\"b/c\": 2}],\n  \"d\": {\"e\": [[], 3]}\n}\n");
    static const struct {
        const char *pointer;
        size_t line, column, key_column;
    } table[] = {
        {"", 1, 1, 1},       {"/a", 2, 8, 3},          {"/a/0", 2, 9, 9},
        {"/a/1", 2, 12, 12}, {"/a/1/b~1c", 2, 20, 13}, {"/d", 3, 8, 3},
        {"/d/e", 3, 14, 9},  {"/d/e/0", 3, 15, 15},    {"/d/e/1", 3, 19, 19},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        size_t line, column;
        assert_true(poise_document_place(d, table[i].pointer, false, &line, &column));
        assert_int_equal(line, table[i].line);
        assert_int_equal(column, table[i].column);
        assert_true(poise_document_place(d, table[i].pointer, true, &line, &column));
        assert_int_equal(column, table[i].key_column);
    }
    size_t line, column;
    assert_false(poise_document_place(d, "/a/2", false, &line, &column));
    assert_false(poise_document_place(d, "/d/e/1/x", false, &line, &column));
    poise_document_free(d);
}

static void finds_duplicates(void **state)
{
    (void)state;
    const char *text = "{\"a\": 1,\n \"x\": [{\"p/q\": 1, \"r\": 2,\n \"p\\u002Fq\": 3}],\n \"a\": "
                       "2, \"A\": 3,\n \"a\": 4}";
    PoiseFaults *faults = poise_faults_new();
    PoiseDocument *d;
    assert_int_equal(poise_document_parse(text, strlen(text), "f", &d, faults), POISE_E_INPUT);
    assert_null(d);
    faults_are(faults,
               "f:4:2: /a: found the key \"a\" a second time, expected each key once in an object; "
               "it stands first at line 1, column 2\n"
               "f:5:2: /a: found the key \"a\" a second time, expected each key once in an object; "
               "it stands first at line 1, column 2\n"
               "f:3:2: /x/0/p~1q: found the key \"p/q\" a second time, expected each key once in "
               "an object; "
               "it stands first at line 2, column 9\n");
    poise_faults_free(faults);
}

/* Each allocation fails once: an answer or POISE_E_MEMORY, nothing leaked (checked by the
 * sanitizer). */
static void survives_failing_memory(void **state)
{
    (void)state;
    const char *text = "{\"a\": [1, {\"b\": 2}], \"c\": {\"d\": 3, \"e\": 4}}";
    for (long at = 0;; at++) {
        PoiseDocument *d;
        poise_alloc_fail_at(at, 0);
        PoiseStatus status = poise_document_parse(text, strlen(text), "f", &d, NULL);
        poise_alloc_fail_at(-1, 0);
        poise_document_free(d);
        if (status == POISE_OK) {
            assert_true(at > 3);
            break;
        }
        assert_int_equal(status, POISE_E_MEMORY);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(evaluates_pointers), cmocka_unit_test(merges_patches),
        cmocka_unit_test(sets_values),        cmocka_unit_test(finds_places),
        cmocka_unit_test(finds_duplicates),   cmocka_unit_test(survives_failing_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
