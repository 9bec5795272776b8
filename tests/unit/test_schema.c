/* The schema against the tables it is made from, and the tables against themselves. Whether it is a
 * valid schema that takes the examples is checked with an independent validator elsewhere. */
#include "input_check.h"

#include "input/json_doc.h"
#include "input/keys.h"
#include "input/reading.h"
#include "input/schema.h"

static PoiseDocument *schema(void)
{
    PoiseDocument *document;
    PoiseFaults *faults = poise_faults_new();
    char *text = poise_schema_text();
    assert_non_null(text);
    PoiseStatus status = poise_document_parse(text, strlen(text), "schema", &document, faults);
    faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
    poise_string_free(text);
    return document;
}

static void check_references(const cJSON *root, const cJSON *value, size_t *count)
{
    const cJSON *reference = cJSON_GetObjectItemCaseSensitive(value, "$ref");
    if (cJSON_IsString(reference)) {
        assert_int_equal(reference->valuestring[0], '#');
        if (!poise_pointer_get_const(root, reference->valuestring + 1))
            fail_msg("%s leads nowhere", reference->valuestring);
        ++*count;
    }
    for (const cJSON *child = value->child; child; child = child->next)
        check_references(root, child, count);
}

static void is_well_formed(void **state)
{
    (void)state;
    PoiseDocument *document = schema();
    size_t references = 0;
    assert_string_equal(poise_member(document->root, "$schema")->valuestring,
                        "https://json-schema.org/draft/2020-12/schema");
    check_references(document->root, document->root, &references);
    assert_true(references > 20);
    poise_document_free(document);
}

static bool listed(const cJSON *list, const char *name)
{
    for (const cJSON *child = list->child; child; child = child->next)
        if (strcmp(child->valuestring, name) == 0)
            return true;
    return false;
}

/* An object of the schema has the table's keys, asks for the required ones and takes no others. */
static void check_object(const cJSON *object, const PoiseTable *table)
{
    const cJSON *properties = poise_member(object, "properties"),
                *required = poise_member(object, "required");
    assert_true(cJSON_IsFalse(poise_member(object, "additionalProperties")));
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++) {
            const PoiseKey *key = &table->keys[i];
            const cJSON *property = poise_member(properties, key->key);
            if (!property)
                fail_msg("the schema has no %s/%s", table->name, key->key);
            assert_int_equal(listed(required, key->key), key->required);
            assert_non_null(poise_member(property, "description"));
            assert_int_equal(poise_member(property, "default") != NULL, key->fallback != NULL);
        }
}

static void agrees_with_the_tables(void **state)
{
    (void)state;
    PoiseDocument *document = schema();
    check_object(document->root, &poise_instrument_keys);
    for (size_t i = 0; i < poise_item_keys.case_count; i++) {
        const PoiseCase *item = &poise_item_keys.cases[i];
        char pointer[64];
        snprintf(pointer, sizeof pointer, "/$defs/%s", item->table->name);
        const cJSON *object = poise_pointer_get_const(document->root, pointer);
        assert_non_null(object);
        check_object(object, item->table);
        check_object(object, &poise_item_keys);
        const cJSON *kind = poise_member(poise_member(object, "properties"), "kind");
        assert_string_equal(poise_member(kind, "const")->valuestring, item->name);
    }
    check_object(poise_pointer_get_const(document->root, "/$defs/own-material"),
                 &poise_own_material_keys);
    check_object(poise_pointer_get_const(document->root, "/$defs/cut"), &poise_cut_keys);
    check_object(poise_pointer_get_const(document->root, "/$defs/gauge"), &poise_gauge_keys);
    poise_document_free(document);
}

static void check_default(const PoiseKey *key, const char *text)
{
    PoiseKey checked = *key;
    PoiseReading r = {.faults = poise_faults_new()};
    cJSON *value = poise_json_tree(text, strlen(text));
    if (!value)
        fail_msg("the default of %s is not JSON: %s", key->key, text);
    checked.store = POISE_STORE_NONE;
    /* A vector is always stored; nothing else is here. */
    double room[64] = {0};
    checked.at = 0;
    bool good = poise_read_value(&r, value, &checked, room);
    if (!good || r.status)
        fail_msg("the default of %s is no good: %s", key->key, text);
    cJSON_Delete(value);
    poise_text_clear(&r.pointer);
    poise_faults_free(r.faults);
}

/* Also: no key twice in an object, none without a description, no more than the reader has room
 * for. */
static void check_table(const PoiseTable *table, const PoiseTable *parent, size_t *defaults)
{
    const char *names[POISE_MOST_KEYS];
    size_t n = poise_key_names(table, parent, names);
    assert_true(n < POISE_MOST_KEYS);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            if (strcmp(names[i], names[j]) == 0)
                fail_msg("%s has the key %s twice", table->name, names[i]);
    for (size_t i = 0; i < table->case_count; i++)
        check_table(table->cases[i].table, table, defaults);
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++) {
            const PoiseKey *key = &table->keys[i];
            assert_true(*key->about != '\0');
            if (key->fallback)
                check_default(key, key->fallback), ++*defaults;
            if (key->long_fallback)
                check_default(key, key->long_fallback);
            if (key->table)
                check_table(key->table, NULL, defaults);
        }
}

static void every_default_is_good(void **state)
{
    (void)state;
    size_t defaults = 0;
    check_table(&poise_instrument_keys, NULL, &defaults);
    check_table(&poise_component_file_keys, NULL, &defaults);
    assert_true(defaults > 40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(is_well_formed),
        cmocka_unit_test(agrees_with_the_tables),
        cmocka_unit_test(every_default_is_good),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
