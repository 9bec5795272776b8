#include "input/schema.h"

#include <string.h>

#include <cjson/cJSON.h>

#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "input/keys.h"
#include "input/schema_pattern.h"

/* Tables are written as definitions once each, in the order they are met. */
enum { MOST_TABLES = 64 };

typedef struct Writer {
    PoiseText text;
    const PoiseTable *tables[MOST_TABLES];
    size_t count;
    bool texts[POISE_UNIT_KINDS][POISE_TEXT_FORMS]; /* the quantities in words that were named */
    int depth;
    bool fresh; /* nothing stands yet in the open object or list */
} Writer;

static void line(Writer *w)
{
    poise_text_append(&w->text, w->fresh ? "\n" : ",\n");
    for (int i = 0; i < w->depth; i++)
        poise_text_append(&w->text, "  ");
    w->fresh = false;
}

/* Our own texts hold no control characters; quotes and backslashes are escaped. */
static void quoted(Writer *w, const char *s)
{
    poise_text_append(&w->text, "\"");
    for (; *s; s++) {
        if (*s == '"' || *s == '\\')
            poise_text_append(&w->text, "\\");
        poise_text_append_n(&w->text, s, 1);
    }
    poise_text_append(&w->text, "\"");
}

static void name(Writer *w, const char *key)
{
    line(w);
    quoted(w, key);
    poise_text_append(&w->text, ": ");
}

static void open(Writer *w, char bracket)
{
    poise_text_append_n(&w->text, &bracket, 1);
    w->depth++;
    w->fresh = true;
}

static void close(Writer *w, char bracket)
{
    bool empty = w->fresh;
    w->depth--;
    w->fresh = true;
    if (!empty)
        line(w);
    poise_text_append_n(&w->text, &bracket, 1);
    w->fresh = false;
}

static void raw(Writer *w, const char *key, const char *json)
{
    name(w, key);
    poise_text_append(&w->text, json);
}

static void words(Writer *w, const char *key, const char *value)
{
    name(w, key);
    quoted(w, value);
}

static void number(Writer *w, const char *key, double value)
{
    char text[32];
    poise_double_text(value, text);
    raw(w, key, text);
}

/* A definition of this table will be written; its reference is written here. */
static void reference(Writer *w, const PoiseTable *table)
{
    size_t i = 0;
    while (i < w->count && w->tables[i] != table)
        i++;
    if (i == w->count && w->count < MOST_TABLES)
        w->tables[w->count++] = table;
    name(w, "$ref");
    poise_text_printf(&w->text, "\"#/$defs/%s\"", table->name);
}

static void range(Writer *w, const PoiseKey *key)
{
    double plain =
        poise_quantity_plain(1.0, key->unit).value; /* the kept unit over the plain number's */
    switch (key->range) {
    case POISE_RANGE_ANY:
        break;
    case POISE_RANGE_POSITIVE:
        raw(w, "exclusiveMinimum", "0");
        break;
    case POISE_RANGE_NOT_NEGATIVE:
        raw(w, "minimum", "0");
        break;
    case POISE_RANGE_FRACTION:
        raw(w, "minimum", "0");
        raw(w, "maximum", "1");
        break;
    case POISE_RANGE_BETWEEN:
        number(w, "minimum", key->lo / plain);
        number(w, "maximum", key->hi / plain);
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
static void text_reference(Writer *w, PoiseUnitKind kind, PoiseSchemaText form)
{
    w->texts[kind][form] = true;
    poise_text_append(&w->text, "{ \"$ref\": \"#/$defs/");
    append_text_name(&w->text, kind, form);
    poise_text_append(&w->text, "\" }");
}

static void number_or_text(Writer *w, const PoiseKey *key, PoiseSchemaText form)
{
    name(w, "anyOf");
    open(w, '[');
    line(w);
    open(w, '{');
    raw(w, "type", "\"number\"");
    range(w, key);
    close(w, '}');
    line(w);
    text_reference(w, key->unit, form);
    close(w, ']');
}

/* A number in range, or text: its range is for the reader. */
static void quantity(Writer *w, const PoiseKey *key)
{
    bool exact = key->kind == POISE_VALUE_QUANTITY ? key->store == POISE_STORE_DOUBLE
                                                   : key->kind != POISE_VALUE_MASSES;
    number_or_text(w, key,
                   key->kind == POISE_VALUE_GAUGES ? POISE_TEXT_GAUGE
                   : exact                         ? POISE_TEXT_EXACT
                                                   : POISE_TEXT_DOUBTFUL);
}

static void list_of_quantities(Writer *w, const PoiseKey *key)
{
    raw(w, "type", "\"array\"");
    number(w, "minItems", key->least);
    number(w, "maxItems", key->most ? key->most : 3);
    name(w, "items");
    open(w, '{');
    quantity(w, key);
    close(w, '}');
    if (key->kind == POISE_VALUE_DIRECTION) /* not all 0 */
        raw(w, "contains", "{ \"not\": { \"const\": 0 } }");
}

static void choices(Writer *w, const char *const *list)
{
    name(w, "enum");
    open(w, '[');
    for (; *list; list++) {
        line(w);
        quoted(w, *list);
    }
    close(w, ']');
}

static void open_map(Writer *w)
{
    raw(w, "type", "\"object\"");
    name(w, "additionalProperties");
    open(w, '{');
}

/* The cases of a tag stand side by side, each with all its keys. */
static void one_of_cases(Writer *w, const PoiseTable *table)
{
    if (!table->tag) {
        reference(w, table);
        return;
    }
    name(w, "oneOf");
    open(w, '[');
    for (size_t i = 0; i < table->case_count; i++) {
        line(w);
        open(w, '{');
        reference(w, table->cases[i].table);
        close(w, '}');
    }
    close(w, ']');
}

static void gauges(Writer *w, const PoiseKey *key)
{
    raw(w, "type", "\"array\"");
    raw(w, "minItems", "1");
    name(w, "items");
    open(w, '{');
    name(w, "anyOf");
    open(w, '[');
    line(w);
    open(w, '{');
    reference(w, key->table);
    close(w, '}');
    line(w);
    open(w, '{');
    quantity(w, key);
    close(w, '}');
    close(w, ']');
    close(w, '}');
}

/* Places, inside the braces. */
static void place(Writer *w, int coordinates)
{
    static const PoiseKey LENGTH = {.kind = POISE_VALUE_VECTOR, .unit = POISE_UNIT_LENGTH};
    PoiseKey key = LENGTH;
    key.least = key.most = coordinates;
    list_of_quantities(w, &key);
}

static void hand(Writer *w)
{
    name(w, "anyOf");
    open(w, '[');
    line(w);
    poise_text_append(&w->text,
                      "{ \"type\": \"string\", \"pattern\": \"^(nut|fret [1-9][0-9]?)$\" }");
    line(w);
    open(w, '{');
    place(w, 3);
    close(w, '}');
    close(w, ']');
}

static void map_of_items(Writer *w, const PoiseKey *key)
{
    if (key->range == POISE_RANGE_BETWEEN) {
        number(w, "minProperties", key->lo);
        number(w, "maxProperties", key->hi);
    }
    open_map(w);
    one_of_cases(w, key->table);
    close(w, '}');
}

static void value(Writer *w, const PoiseKey *key)
{
    switch (key->kind) {
    case POISE_VALUE_QUANTITY:
        quantity(w, key);
        break;
    case POISE_VALUE_INTEGER:
        raw(w, "type", "\"integer\"");
        range(w, key);
        break;
    case POISE_VALUE_FLAG:
        raw(w, "type", "\"boolean\"");
        break;
    case POISE_VALUE_TEXT:
    case POISE_VALUE_PATH:
    case POISE_VALUE_MATERIAL:
    case POISE_VALUE_PART:
    case POISE_VALUE_PRESET:
        raw(w, "type", "\"string\"");
        if (key->kind != POISE_VALUE_TEXT)
            raw(w, "minLength", "1");
        break;
    case POISE_VALUE_CHOICE:
        choices(w, key->choices);
        break;
    case POISE_VALUE_VECTOR:
    case POISE_VALUE_DIRECTION:
        list_of_quantities(w, key);
        break;
    case POISE_VALUE_OUTLINE:
        raw(w, "type", "\"array\"");
        raw(w, "minItems", "3");
        number(w, "maxItems", POISE_LIMIT_OUTLINE_POINTS);
        name(w, "items");
        open(w, '{');
        place(w, 2);
        close(w, '}');
        break;
    case POISE_VALUE_OBJECT:
        one_of_cases(w, key->table);
        break;
    case POISE_VALUE_MAP:
        map_of_items(w, key);
        break;
    case POISE_VALUE_LIST:
        raw(w, "type", "\"array\"");
        if (key->least)
            number(w, "minItems", key->least);
        if (key->most)
            number(w, "maxItems", key->most);
        name(w, "items");
        open(w, '{');
        reference(w, key->table);
        close(w, '}');
        break;
    case POISE_VALUE_MIX:
        raw(w, "type", "\"string\"");
        words(w, "pattern",
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
        raw(w, "type", "\"array\"");
        name(w, "items");
        open(w, '{');
        choices(w, poise_hazard_names);
        close(w, '}');
        break;
    case POISE_VALUE_MASSES:
        open_map(w);
        quantity(w, key);
        close(w, '}');
        break;
    case POISE_VALUE_PATCHES:
        open_map(w);
        raw(w, "type", "\"object\"");
        close(w, '}');
        break;
    }
}

static void description(Writer *w, const PoiseKey *key)
{
    const char *unit = poise_unit_kind_plain(key->unit);
    bool measured = key->kind == POISE_VALUE_QUANTITY || key->kind == POISE_VALUE_VECTOR ||
                    key->kind == POISE_VALUE_GAUGES || key->kind == POISE_VALUE_MASSES;
    name(w, "description");
    PoiseText about = {0};
    poise_text_append(&about, key->about);
    if (measured && *unit)
        poise_text_printf(&about, "; plain numbers are in %s", unit);
    if (key->long_fallback)
        poise_text_printf(&about, "; default on scales over %d mm: %s", (int)POISE_LONG_SCALE_MM,
                          key->long_fallback);
    char *text = poise_text_take(&about);
    if (text)
        quoted(w, text);
    else
        w->text.failed = true;
    poise_release(text);
    if (key->fallback)
        raw(w, "default", key->fallback);
}

static void properties(Writer *w, const PoiseTable *table, const PoiseTable *parent,
                       const char *tag_value)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++) {
            const PoiseKey *key = &table->keys[i];
            name(w, key->key);
            open(w, '{');
            if (parent && strcmp(key->key, parent->tag) == 0)
                words(w, "const", tag_value);
            else
                value(w, key);
            description(w, key);
            close(w, '}');
        }
}

static void required(Writer *w, const PoiseTable *table)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++)
            if (table->keys[i].required) {
                line(w);
                quoted(w, table->keys[i].key);
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
static void either(Writer *w, const char *const *keys)
{
    name(w, "anyOf");
    open(w, '[');
    for (; *keys; keys++) {
        line(w);
        poise_text_printf(&w->text, "{ \"required\": [\"%s\"] }", *keys);
    }
    close(w, ']');
}

/* What an object of this table is, inside its braces. */
static void object(Writer *w, const PoiseTable *table)
{
    const char *tag_value = NULL;
    const PoiseTable *parent = parent_of(table, &tag_value);
    words(w, "description", table->about);
    raw(w, "type", "\"object\"");
    name(w, "required");
    open(w, '[');
    required(w, parent);
    required(w, table);
    close(w, ']');
    name(w, "properties");
    open(w, '{');
    properties(w, parent, parent, tag_value);
    properties(w, table, NULL, NULL);
    close(w, '}');
    raw(w, "additionalProperties", "false");
    if (table->either)
        either(w, table->either);
}

static void text_definition(Writer *w, PoiseUnitKind kind, PoiseSchemaText form)
{
    static const char *const what[POISE_TEXT_FORMS] = {"", ", without ±", ", \"wound\" behind it"};
    PoiseText id = {0}, about = {0}, pattern = {0};
    append_text_name(&id, kind, form);
    poise_text_printf(&about, "%s%s", poise_unit_kind_example(kind), what[form]);
    poise_schema_pattern(&pattern, kind, form);
    if (id.failed || about.failed || pattern.failed) {
        w->text.failed = true;
    } else {
        name(w, id.data);
        open(w, '{');
        words(w, "description", about.data);
        raw(w, "type", "\"string\"");
        words(w, "pattern", pattern.data);
        close(w, '}');
    }
    poise_text_clear(&id);
    poise_text_clear(&about);
    poise_text_clear(&pattern);
}

char *poise_schema_text(void)
{
    Writer w = {0};
    open(&w, '{');
    raw(&w, "$schema", "\"https://json-schema.org/draft/2020-12/schema\"");
    words(&w, "title", "poise instrument file");
    object(&w, &poise_instrument_keys);
    name(&w, "$defs");
    open(&w, '{');
    for (size_t i = 0; i < w.count; i++) { /* the list grows as definitions name more tables */
        name(&w, w.tables[i]->name);
        open(&w, '{');
        object(&w, w.tables[i]);
        close(&w, '}');
    }
    for (PoiseUnitKind kind = 0; kind < POISE_UNIT_KINDS; kind++)
        for (PoiseSchemaText form = 0; form < POISE_TEXT_FORMS; form++)
            if (w.texts[kind][form])
                text_definition(&w, kind, form);
    close(&w, '}');
    close(&w, '}');
    poise_text_append(&w.text, "\n");
    return poise_text_take(&w.text);
}
