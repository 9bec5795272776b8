#include "input/schema.h"

#include <string.h>

#include <cjson/cJSON.h>

#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "input/keys.h"
#include "input/schema_writer.h"

/* A definition of this table will be written; its reference is written here. */
static void reference(PoiseSchemaWriter *w, const PoiseTable *table)
{
    size_t i = 0;
    while (i < w->count && w->tables[i] != table)
        i++;
    if (i == w->count && w->count < POISE_SCHEMA_TABLES)
        w->tables[w->count++] = table;
    poise_schema_name(w, "$ref");
    poise_text_printf(&w->text, "\"#/$defs/%s\"", table->name);
}

static void range(PoiseSchemaWriter *w, const PoiseKey *key)
{
    double plain =
        poise_quantity_plain(1.0, key->unit).value; /* the kept unit over the plain number's */
    switch (key->range) {
    case POISE_RANGE_ANY:
        break;
    case POISE_RANGE_POSITIVE:
        poise_schema_raw(w, "exclusiveMinimum", "0");
        break;
    case POISE_RANGE_NOT_NEGATIVE:
        poise_schema_raw(w, "minimum", "0");
        break;
    case POISE_RANGE_FRACTION:
        poise_schema_raw(w, "minimum", "0");
        poise_schema_raw(w, "maximum", "1");
        break;
    case POISE_RANGE_BETWEEN:
        poise_schema_number(w, "minimum", key->lo / plain);
        poise_schema_number(w, "maximum", key->hi / plain);
        break;
    }
}

/* "length-text", "volumetric-flow-text-exact" */
static void append_text_name(PoiseText *t, PoiseUnitKind kind, PoiseSchemaText form)
{
    static const char *const forms[POISE_TEXT_FORMS] = {"-text", "-text-exact", "-text-gauge"};
    for (const char *s = poise_unit_kind_name(kind); *s; s++)
        poise_text_append_n(t, *s == ' ' ? "-" : s, 1);
    poise_text_append(t, forms[form]);
}

/* Text of this form will be defined; its reference is written here, in braces. */
static void text_reference(PoiseSchemaWriter *w, PoiseUnitKind kind, PoiseSchemaText form)
{
    w->texts[kind][form] = true;
    poise_text_append(&w->text, "{ \"$ref\": \"#/$defs/");
    append_text_name(&w->text, kind, form);
    poise_text_append(&w->text, "\" }");
}

static void number_or_text(PoiseSchemaWriter *w, const PoiseKey *key, PoiseSchemaText form)
{
    poise_schema_name(w, "anyOf");
    poise_schema_open(w, '[');
    poise_schema_line(w);
    poise_schema_open(w, '{');
    poise_schema_raw(w, "type", "\"number\"");
    range(w, key);
    poise_schema_close(w, '}');
    poise_schema_line(w);
    text_reference(w, key->unit, form);
    poise_schema_close(w, ']');
}

/* A number in range, or text: its range is for the reader. */
static void quantity(PoiseSchemaWriter *w, const PoiseKey *key)
{
    bool exact = key->kind == POISE_VALUE_QUANTITY ? key->store == POISE_STORE_DOUBLE
                                                   : key->kind != POISE_VALUE_MASSES;
    number_or_text(w, key,
                   key->kind == POISE_VALUE_GAUGES ? POISE_TEXT_GAUGE
                   : exact                         ? POISE_TEXT_EXACT
                                                   : POISE_TEXT_DOUBTFUL);
}

static void list_of_quantities(PoiseSchemaWriter *w, const PoiseKey *key)
{
    poise_schema_raw(w, "type", "\"array\"");
    poise_schema_number(w, "minItems", key->least);
    poise_schema_number(w, "maxItems", key->most ? key->most : 3);
    poise_schema_name(w, "items");
    poise_schema_open(w, '{');
    quantity(w, key);
    poise_schema_close(w, '}');
    if (key->kind == POISE_VALUE_DIRECTION) /* not all 0 */
        poise_schema_raw(w, "contains", "{ \"not\": { \"const\": 0 } }");
}

static void choices(PoiseSchemaWriter *w, const char *const *list)
{
    poise_schema_name(w, "enum");
    poise_schema_open(w, '[');
    for (; *list; list++) {
        poise_schema_line(w);
        poise_schema_quoted(w, *list);
    }
    poise_schema_close(w, ']');
}

static void open_map(PoiseSchemaWriter *w)
{
    poise_schema_raw(w, "type", "\"object\"");
    poise_schema_name(w, "additionalProperties");
    poise_schema_open(w, '{');
}

/* The cases of a tag stand side by side, each with all its keys. */
static void one_of_cases(PoiseSchemaWriter *w, const PoiseTable *table)
{
    if (!table->tag) {
        reference(w, table);
        return;
    }
    poise_schema_name(w, "oneOf");
    poise_schema_open(w, '[');
    for (size_t i = 0; i < table->case_count; i++) {
        poise_schema_line(w);
        poise_schema_open(w, '{');
        reference(w, table->cases[i].table);
        poise_schema_close(w, '}');
    }
    poise_schema_close(w, ']');
}

static void gauges(PoiseSchemaWriter *w, const PoiseKey *key)
{
    poise_schema_raw(w, "type", "\"array\"");
    poise_schema_raw(w, "minItems", "1");
    poise_schema_name(w, "items");
    poise_schema_open(w, '{');
    poise_schema_name(w, "anyOf");
    poise_schema_open(w, '[');
    poise_schema_line(w);
    poise_schema_open(w, '{');
    reference(w, key->table);
    poise_schema_close(w, '}');
    poise_schema_line(w);
    poise_schema_open(w, '{');
    quantity(w, key);
    poise_schema_close(w, '}');
    poise_schema_close(w, ']');
    poise_schema_close(w, '}');
}

/* Places, inside the braces. */
static void place(PoiseSchemaWriter *w, int coordinates)
{
    static const PoiseKey LENGTH = {.kind = POISE_VALUE_VECTOR, .unit = POISE_UNIT_LENGTH};
    PoiseKey key = LENGTH;
    key.least = key.most = coordinates;
    list_of_quantities(w, &key);
}

static void hand(PoiseSchemaWriter *w)
{
    poise_schema_name(w, "anyOf");
    poise_schema_open(w, '[');
    poise_schema_line(w);
    poise_text_append(&w->text,
                      "{ \"type\": \"string\", \"pattern\": \"^(nut|fret [1-9][0-9]?)$\" }");
    poise_schema_line(w);
    poise_schema_open(w, '{');
    place(w, 3);
    poise_schema_close(w, '}');
    poise_schema_close(w, ']');
}

static void map_of_items(PoiseSchemaWriter *w, const PoiseKey *key)
{
    if (key->range == POISE_RANGE_BETWEEN) {
        poise_schema_number(w, "minProperties", key->lo);
        poise_schema_number(w, "maxProperties", key->hi);
    }
    open_map(w);
    one_of_cases(w, key->table);
    poise_schema_close(w, '}');
}

static void value(PoiseSchemaWriter *w, const PoiseKey *key)
{
    switch (key->kind) {
    case POISE_VALUE_QUANTITY:
        quantity(w, key);
        break;
    case POISE_VALUE_INTEGER:
        poise_schema_raw(w, "type", "\"integer\"");
        range(w, key);
        break;
    case POISE_VALUE_FLAG:
        poise_schema_raw(w, "type", "\"boolean\"");
        break;
    case POISE_VALUE_TEXT:
    case POISE_VALUE_PATH:
    case POISE_VALUE_MATERIAL:
    case POISE_VALUE_PART:
    case POISE_VALUE_PRESET:
        poise_schema_raw(w, "type", "\"string\"");
        if (key->kind != POISE_VALUE_TEXT)
            poise_schema_raw(w, "minLength", "1");
        break;
    case POISE_VALUE_CHOICE:
        choices(w, key->choices);
        break;
    case POISE_VALUE_VECTOR:
    case POISE_VALUE_DIRECTION:
        list_of_quantities(w, key);
        break;
    case POISE_VALUE_OUTLINE:
        poise_schema_raw(w, "type", "\"array\"");
        poise_schema_raw(w, "minItems", "3");
        poise_schema_number(w, "maxItems", POISE_LIMIT_OUTLINE_POINTS);
        poise_schema_name(w, "items");
        poise_schema_open(w, '{');
        place(w, 2);
        poise_schema_close(w, '}');
        break;
    case POISE_VALUE_OBJECT:
        one_of_cases(w, key->table);
        break;
    case POISE_VALUE_MAP:
        map_of_items(w, key);
        break;
    case POISE_VALUE_LIST:
        poise_schema_raw(w, "type", "\"array\"");
        if (key->least)
            poise_schema_number(w, "minItems", key->least);
        if (key->most)
            poise_schema_number(w, "maxItems", key->most);
        poise_schema_name(w, "items");
        poise_schema_open(w, '{');
        reference(w, key->table);
        poise_schema_close(w, '}');
        break;
    case POISE_VALUE_MIX:
        poise_schema_raw(w, "type", "\"string\"");
        poise_schema_words(w, "pattern",
                           "^ *" POISE_PATTERN_POSITIVE " *: *" POISE_PATTERN_POSITIVE
                           " *by (mass|weight|volume)$");
        break;
    case POISE_VALUE_HAND:
        hand(w);
        break;
    case POISE_VALUE_GAUGES:
        gauges(w, key);
        break;
    case POISE_VALUE_HAZARDS:
        poise_schema_raw(w, "type", "\"array\"");
        poise_schema_name(w, "items");
        poise_schema_open(w, '{');
        choices(w, poise_hazard_names);
        poise_schema_close(w, '}');
        break;
    case POISE_VALUE_MASSES:
        open_map(w);
        quantity(w, key);
        poise_schema_close(w, '}');
        break;
    case POISE_VALUE_PATCHES:
        open_map(w);
        poise_schema_raw(w, "type", "\"object\"");
        poise_schema_close(w, '}');
        break;
    }
}

static void description(PoiseSchemaWriter *w, const PoiseKey *key)
{
    const char *unit = poise_unit_kind_plain(key->unit);
    bool measured = key->kind == POISE_VALUE_QUANTITY || key->kind == POISE_VALUE_VECTOR ||
                    key->kind == POISE_VALUE_GAUGES || key->kind == POISE_VALUE_MASSES;
    poise_schema_name(w, "description");
    PoiseText about = {0};
    poise_text_append(&about, key->about);
    if (measured && *unit)
        poise_text_printf(&about, "; plain numbers are in %s", unit);
    if (key->long_fallback)
        poise_text_printf(&about, "; default on scales over %d mm: %s", (int)POISE_LONG_SCALE_MM,
                          key->long_fallback);
    char *text = poise_text_take(&about);
    if (text)
        poise_schema_quoted(w, text);
    else
        w->text.failed = true;
    poise_release(text);
    if (key->fallback)
        poise_schema_raw(w, "default", key->fallback);
}

static void properties(PoiseSchemaWriter *w, const PoiseTable *table, const PoiseTable *parent,
                       const char *tag_value)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++) {
            const PoiseKey *key = &table->keys[i];
            poise_schema_name(w, key->key);
            poise_schema_open(w, '{');
            if (parent && strcmp(key->key, parent->tag) == 0)
                poise_schema_words(w, "const", tag_value);
            else
                value(w, key);
            description(w, key);
            poise_schema_close(w, '}');
        }
}

static void required(PoiseSchemaWriter *w, const PoiseTable *table)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++)
            if (table->keys[i].required) {
                poise_schema_line(w);
                poise_schema_quoted(w, table->keys[i].key);
            }
}

/* The table whose case this is, or NULL. */
static const PoiseTable *parent_of(const PoiseTable *table, const char **tag_value)
{
    for (size_t i = 0; i < poise_item_keys.case_count; i++)
        if (poise_item_keys.cases[i].table == table) {
            *tag_value = poise_item_keys.cases[i].name;
            return &poise_item_keys;
        }
    return NULL;
}

/* At least one of these keys. */
static void either(PoiseSchemaWriter *w, const char *const *keys)
{
    poise_schema_name(w, "anyOf");
    poise_schema_open(w, '[');
    for (; *keys; keys++) {
        poise_schema_line(w);
        poise_text_printf(&w->text, "{ \"required\": [\"%s\"] }", *keys);
    }
    poise_schema_close(w, ']');
}

/* What an object of this table is, inside its braces. */
static void object(PoiseSchemaWriter *w, const PoiseTable *table)
{
    const char *tag_value = NULL;
    const PoiseTable *parent = parent_of(table, &tag_value);
    poise_schema_words(w, "description", table->about);
    poise_schema_raw(w, "type", "\"object\"");
    poise_schema_name(w, "required");
    poise_schema_open(w, '[');
    required(w, parent);
    required(w, table);
    poise_schema_close(w, ']');
    poise_schema_name(w, "properties");
    poise_schema_open(w, '{');
    properties(w, parent, parent, tag_value);
    properties(w, table, NULL, NULL);
    poise_schema_close(w, '}');
    poise_schema_raw(w, "additionalProperties", "false");
    if (table->either)
        either(w, table->either);
}

static void text_definition(PoiseSchemaWriter *w, PoiseUnitKind kind, PoiseSchemaText form)
{
    static const char *const what[POISE_TEXT_FORMS] = {"", ", without ±", ", \"wound\" behind it"};
    PoiseText id = {0}, about = {0}, pattern = {0};
    append_text_name(&id, kind, form);
    poise_text_printf(&about, "%s%s", poise_unit_kind_example(kind), what[form]);
    poise_schema_pattern(&pattern, kind, form);
    if (id.failed || about.failed || pattern.failed) {
        w->text.failed = true;
    } else {
        poise_schema_name(w, id.data);
        poise_schema_open(w, '{');
        poise_schema_words(w, "description", about.data);
        poise_schema_raw(w, "type", "\"string\"");
        poise_schema_words(w, "pattern", pattern.data);
        poise_schema_close(w, '}');
    }
    poise_text_clear(&id);
    poise_text_clear(&about);
    poise_text_clear(&pattern);
}

char *poise_schema_text(void)
{
    PoiseSchemaWriter w = {0};
    poise_schema_open(&w, '{');
    poise_schema_raw(&w, "$schema", "\"https://json-schema.org/draft/2020-12/schema\"");
    poise_schema_words(&w, "title", "poise instrument file");
    object(&w, &poise_instrument_keys);
    poise_schema_name(&w, "$defs");
    poise_schema_open(&w, '{');
    for (size_t i = 0; i < w.count; i++) { /* the list grows as definitions name more tables */
        poise_schema_name(&w, w.tables[i]->name);
        poise_schema_open(&w, '{');
        object(&w, w.tables[i]);
        poise_schema_close(&w, '}');
    }
    for (PoiseUnitKind kind = 0; kind < POISE_UNIT_KINDS; kind++)
        for (PoiseSchemaText form = 0; form < POISE_TEXT_FORMS; form++)
            if (w.texts[kind][form])
                text_definition(&w, kind, form);
    poise_schema_close(&w, '}');
    poise_schema_close(&w, '}');
    poise_text_append(&w.text, "\n");
    return poise_text_take(&w.text);
}
