/* Writing a variant into a file: every other byte stays, and what is read back is what was meant.
 */
#include "alloc_help.h"

#include "base/memory.h"
#include "decide/remedy.h"

/* Too long for one line. */
#define LONG_PATCH                                                                                 \
    "{\"items\":{\"a-long-name-for-an-item\":{\"print\":{\"infill\":\"12 %\",\"perimeters\":3}},"  \
    "\"another-long-name\":{\"part\":\"tuners-4-inline-lightweight\"}}}"

static cJSON *json(const char *text)
{
    cJSON *value = poise_json_tree(text, strlen(text));
    assert_non_null(value);
    return value;
}

/* Inserts, checks that the old text is the new one less one stretch, and that the variant reads
 * back. Returns the new text. */
static char *insert(const char *text, const char *name, const char *patch_text)
{
    PoiseFaults *faults = poise_faults_new();
    PoiseDocument *before = NULL, *after = NULL;
    size_t size = strlen(text), out_size = 0;
    char *out = NULL;
    cJSON *patch = json(patch_text);
    assert_int_equal(poise_document_parse(text, size, "wren.json", &before, faults), POISE_OK);
    assert_int_equal(poise_variant_insert(text, size, before, name, patch, &out, &out_size, faults),
                     POISE_OK);
    assert_int_equal(strlen(out), out_size);
    size_t same = 0, tail = 0;
    while (same < size && text[same] == out[same])
        same++;
    while (tail < size - same && text[size - 1 - tail] == out[out_size - 1 - tail])
        tail++;
    assert_int_equal(same + tail, size);
    assert_int_equal(poise_document_parse(out, out_size, "wren.json", &after, faults), POISE_OK);
    assert_true(poise_json_equal(poise_document_variant(after, name), patch));
    /* Everything else reads as before. */
    cJSON *rest = cJSON_Duplicate(after->root, 1), *old = cJSON_Duplicate(before->root, 1);
    cJSON_DeleteItemFromObjectCaseSensitive(cJSON_GetObjectItemCaseSensitive(rest, "variants"),
                                            name);
    if (!cJSON_GetObjectItemCaseSensitive(old, "variants"))
        cJSON_DeleteItemFromObjectCaseSensitive(rest, "variants");
    assert_true(poise_json_equal(rest, old));
    cJSON_Delete(rest);
    cJSON_Delete(old);
    cJSON_Delete(patch);
    poise_document_free(before);
    poise_document_free(after);
    poise_faults_free(faults);
    return out;
}

static void becomes(const char *text, const char *name, const char *patch, const char *want)
{
    char *out = insert(text, name, patch);
    assert_string_equal(out, want);
    poise_release(out);
}

static void test_takes_on_the_files_layout(void **state)
{
    (void)state;
    becomes("{\n  \"a\": 1,\n  \"variants\": {\n    \"x\": { \"b\": 2 }\n  }\n}\n", "y",
            "{\"c\":3}",
            "{\n  \"a\": 1,\n  \"variants\": {\n    \"x\": { \"b\": 2 },\n    \"y\": { \"c\": 3 "
            "}\n  }\n}\n");
    becomes("{\n  \"a\": 1\n}\n", "y", "{\"c\":[1,2.5]}",
            "{\n  \"a\": 1,\n  \"variants\": { \"y\": { \"c\": [1, 2.5] } }\n}\n");
    becomes("{\n  \"variants\": {}\n}", "y", "{}", "{\n  \"variants\": {\n    \"y\": {}\n  }\n}");
    becomes("{\n  \"variants\": {\n  },\n  \"z\": 0\n}", "y", "{}",
            "{\n  \"variants\": {\n    \"y\": {}\n  },\n  \"z\": 0\n}");
    becomes("{\"a\":1}", "y", "{\"b\":null}",
            "{\"a\":1, \"variants\": { \"y\": { \"b\": null } }}");
    becomes("{\"variants\":{\"x\":{}}}", "y", "{}", "{\"variants\":{\"x\":{}, \"y\": {}}}");
    becomes("{}", "y", "{}", "{ \"variants\": { \"y\": {} }}");
    becomes("{\r\n\t\"a\": 1\r\n}\r\n", "y", "{}",
            "{\r\n\t\"a\": 1,\r\n\t\"variants\": { \"y\": {} }\r\n}\r\n");
    /* A byte order mark, a key in escapes, braces and quotes in texts, a key of that name deeper
     * in. */
    becomes(
        "\xEF\xBB\xBF{\n  \"é{\\\"\": \"}{\",\n  \"o\": {\"variants\": {}},\n  \"v\\u0061riants\": "
        "{\n    \"x}\": {}\n  }\n}",
        "y", "{}",
        "\xEF\xBB\xBF{\n  \"é{\\\"\": \"}{\",\n  \"o\": {\"variants\": {}},\n  \"v\\u0061riants\": "
        "{\n    \"x}\": {},\n    \"y\": {}\n  }\n}");
}

/* Values of every kind, in objects and lists; texts with escapes, brackets and letters of more than
 * a byte in front of the variants and within them; and files with other line ends, or both. */
static void test_values_and_line_ends(void **state)
{
    (void)state;
    becomes("{\"a\":1}", "y", "{\"b\":[true,false,null,\"t\",-1.5e-7,{}],\"c\":true,\"d\":false}",
            "{\"a\":1, \"variants\": { \"y\": { \"b\": [true, false, null, \"t\", -1.5e-07, {}], "
            "\"c\": "
            "true, \"d\": false } }}");
    becomes("{\"ж€\": \"中\", \"variants\": {\"x\": {\"t\": \"\\\"}\\\\\", \"l\": [{}, [\"]\"]]}}, "
            "\"z\": {}}",
            "y", "{}",
            "{\"ж€\": \"中\", \"variants\": {\"x\": {\"t\": \"\\\"}\\\\\", \"l\": [{}, [\"]\"]]}, "
            "\"y\": "
            "{}}, \"z\": {}}");
    becomes("{\r\t\"a\": 1\r}\r", "y", "{}", "{\r\t\"a\": 1,\n\t\"variants\": { \"y\": {} }\r}\r");
    becomes("{\n  \"a\": 1,\r\n  \"variants\": {}\n}\n", "y", "{}",
            "{\n  \"a\": 1,\r\n  \"variants\": {\n    \"y\": {}\n  }\n}\n");
    becomes("{\r\n  \"variants\": {\r\n    \"x\": {}\r\n  }\r\n}", "y", "{\"k\":{\"l\":1}}",
            "{\r\n  \"variants\": {\r\n    \"x\": {},\r\n    \"y\": { \"k\": { \"l\": 1 } }\r\n  "
            "}\r\n}");
}

static void test_long_patches_go_on_lines_of_their_own(void **state)
{
    (void)state;
    becomes("{\n  \"variants\": {\n    \"x\": {}\n  }\n}\n", "y", LONG_PATCH,
            "{\n  \"variants\": {\n    \"x\": {},\n    \"y\": {\n      \"items\": {\n"
            "        \"a-long-name-for-an-item\": { \"print\": { \"infill\": \"12 %\", "
            "\"perimeters\": 3 } "
            "},\n"
            "        \"another-long-name\": { \"part\": \"tuners-4-inline-lightweight\" }\n"
            "      }\n    }\n  }\n}\n");
}

static void test_hostile_names(void **state)
{
    (void)state;
    static const char *const names[] = {"\"", "\\",   "a\nb", "\x1b[31m", "{}",
                                        "~/", "ΩЖ中", "",     "'; rm"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        cJSON *patch = cJSON_CreateObject(), *items = cJSON_AddObjectToObject(patch, "items");
        cJSON_AddStringToObject(items, names[i], names[i]);
        char *text = cJSON_PrintUnformatted(patch);
        poise_release(insert("{\n \"a\": 1\n}\n", names[i], text));
        poise_release(insert("{\"variants\":{\"x\":{}}}", names[i], text));
        cJSON_free(text);
        cJSON_Delete(patch);
    }
}

static void test_refuses(void **state)
{
    (void)state;
    static const char *const texts[] = {"{\"variants\":{\"y\":{}}}", "{\"variants\":[]}"};
    for (size_t i = 0; i < 2; i++) {
        PoiseFaults *faults = poise_faults_new();
        PoiseDocument *d = NULL;
        size_t size = strlen(texts[i]), out_size;
        char *out;
        cJSON *patch = json("{}");
        assert_int_equal(poise_document_parse(texts[i], size, "f", &d, faults), POISE_OK);
        assert_int_equal(
            poise_variant_insert(texts[i], size, d, "y", patch, &out, &out_size, faults),
            POISE_E_INPUT);
        assert_null(out);
        assert_int_equal(poise_faults_count(faults), 1);
        cJSON_Delete(patch);
        poise_document_free(d);
        poise_faults_free(faults);
    }
}

static Outcome inserted(const char *text, PoiseFaults *faults)
{
    PoiseDocument *document = NULL;
    PoiseText all = {0};
    cJSON *patch = poise_json_tree(LONG_PATCH, strlen(LONG_PATCH));
    size_t size = 0;
    char *out = NULL;
    PoiseStatus status = patch ? POISE_OK : POISE_E_MEMORY;
    if (!status)
        status = poise_document_parse(text, strlen(text), "f", &document, faults);
    if (!status)
        status =
            poise_variant_insert(text, strlen(text), document, "y", patch, &out, &size, faults);
    Outcome result = refused(status);
    if (!status) {
        gather(&all, out);
        result = gathered(&all);
    } else {
        assert_null(out);
    }
    cJSON_Delete(patch);
    poise_document_free(document);
    return result;
}

static void test_no_memory(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {.malloc_fn = poise_alloc, .free_fn = poise_release};
    cJSON_InitHooks(&hooks);
    fail_each(inserted, "{\n  \"variants\": {\n    \"x\": {}\n  }\n}\n", POISE_OK);
    fail_each(inserted, "{\n  \"a\": {}\n}\n", POISE_OK);
    fail_each(inserted, "{\"variants\":{}}", POISE_OK);
    cJSON_InitHooks(NULL);
}

static void test_free_names(void **state)
{
    (void)state;
    cJSON *taken = json("{\"a\":1,\"a 2\":1,\"b\":1}");
    static const char *const wants[][2] = {{"a", "a 3"}, {"b", "b 2"}, {"c", "c"}};
    for (size_t i = 0; i < 3; i++) {
        char *name = poise_variant_free_name(taken, wants[i][0]);
        assert_string_equal(name, wants[i][1]);
        poise_release(name);
    }
    char *name = poise_variant_free_name(NULL, "a");
    assert_string_equal(name, "a");
    poise_release(name);
    cJSON_Delete(taken);
}

/* By RFC 7396 §2: patching with the composed patch is patching twice. */
static void test_two_patches_as_one(void **state)
{
    (void)state;
    static const char *const cases[][3] = {
        {"{\"a\":1}", "{\"a\":2}", "{\"b\":3}"},
        {"{\"a\":{\"b\":1,\"c\":2}}", "{\"a\":{\"b\":3}}", "{\"a\":{\"c\":null}}"},
        {"{\"a\":{\"b\":1}}", "{\"a\":{\"x\":{\"y\":1}}}", "{\"a\":{\"x\":{\"y\":2,\"z\":3}}}"},
        {"{\"a\":{\"b\":1}}", "{}", "{\"a\":{\"b\":null}}"},
        {"{\"a\":1}", "{\"n\":{\"k\":1}}",
         "{\"n\":null}"}, /* new in the first, gone in the second */
        {"{\"a\":[1,2]}", "{\"a\":[3]}", "{\"a\":{\"b\":1}}"},
        {"{\"a\":{\"b\":\"t\"}}", "{\"a\":\"t\"}", "{\"c\":{\"d\":1}}"},
        {"{\"m\":{\"s\":1,\"t\":2}}", "{\"m\":{\"s\":5}}", "{\"m\":{\"s\":null}}"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        cJSON *base = json(cases[i][0]), *first = json(cases[i][1]), *second = json(cases[i][2]);
        cJSON *twice = cJSON_Duplicate(base, 1), *once = cJSON_Duplicate(base, 1);
        cJSON *both = poise_patch_after(base, first, second);
        assert_non_null(both);
        assert_true(poise_merge_patch(&twice, first) && poise_merge_patch(&twice, second));
        assert_true(poise_merge_patch(&once, both));
        if (!poise_json_equal(once, twice))
            print_error("case %zu\n", i);
        assert_true(poise_json_equal(once, twice));
        cJSON_Delete(base);
        cJSON_Delete(first);
        cJSON_Delete(second);
        cJSON_Delete(twice);
        cJSON_Delete(once);
        cJSON_Delete(both);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_takes_on_the_files_layout),
        cmocka_unit_test(test_values_and_line_ends),
        cmocka_unit_test(test_no_memory),
        cmocka_unit_test(test_long_patches_go_on_lines_of_their_own),
        cmocka_unit_test(test_hostile_names),
        cmocka_unit_test(test_refuses),
        cmocka_unit_test(test_free_names),
        cmocka_unit_test(test_two_patches_as_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
