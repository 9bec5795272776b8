/* Walking an object by its tables. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "input/reading.h"

static void *place(void *target, size_t offset)
{
    return (char *)target + offset;
}

static void set_flag(void *target, const PoiseKey *key)
{
    if (key->flag)
        *(bool *)place(target, key->flag - 1) = true;
}

/* "Not given", where the structure's zero would mean something else. */
static void blank(const PoiseKey *key, void *target)
{
    if (key->store == POISE_STORE_DOUBLE)
        *(double *)place(target, key->at) = NAN;
    else if (key->store == POISE_STORE_QUANTITY)
        *(PoiseQuantity *)place(target, key->at) = (PoiseQuantity){NAN, 0.0};
}

/* A default is read as if the file said it. A default material that the library does not have stays
 * NULL: whoever needs it says so. */
static void fall_back(PoiseReading *r, const PoiseKey *key, void *target)
{
    const char *text = r->long_scale && key->long_fallback ? key->long_fallback : key->fallback;
    if (key->kind == POISE_VALUE_OBJECT && !key->table->tag) {
        poise_read_defaults(r, key->table, target);
        return;
    }
    if (!text) {
        blank(key, target);
        return;
    }
    cJSON *value = poise_json_tree(text, strlen(text));
    if (!value) {
        poise_reading_memory(r);
        return;
    }
    PoiseReading quiet = *r;
    quiet.faults = NULL;
    quiet.status = POISE_OK;
    quiet.pointer = (PoiseText){0};
    poise_read_value(&quiet, value, key, target);
    poise_text_clear(&quiet.pointer);
    if (quiet.status == POISE_E_MEMORY)
        poise_reading_memory(r);
    cJSON_Delete(value);
}

void poise_read_defaults(PoiseReading *r, const PoiseTable *table, void *target)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++)
            fall_back(r, &table->keys[i], target);
}

/* Which case does the tag choose? The tag's own value is checked when its key is read. */
static const PoiseTable *choose(const PoiseTable *table, const cJSON *object)
{
    const cJSON *tag = table->tag ? poise_member(object, table->tag) : NULL;
    if (tag && cJSON_IsString(tag))
        for (size_t i = 0; i < table->case_count; i++)
            if (strcmp(table->cases[i].name, tag->valuestring) == 0)
                return table->cases[i].table;
    return NULL;
}

static void unknown_key(PoiseReading *r, const PoiseTable *table, const PoiseTable *chosen,
                        const char *name)
{
    const char *names[POISE_MOST_KEYS];
    size_t n = poise_key_names(table, chosen, names);
    poise_reading_unknown(r, "the unknown key", name, names, n);
}

static void read_member(PoiseReading *r, const cJSON *member, const PoiseKey *key, void *target)
{
    if (key->kind == POISE_VALUE_OBJECT) {
        if (poise_read_object(r, member, key->table, target, NULL))
            set_flag(target, key);
    } else if (poise_read_value(r, member, key, target)) {
        set_flag(target, key);
    }
}

static const char *expectation(const PoiseKey *key)
{
    return key->kind == POISE_VALUE_QUANTITY ? poise_unit_kind_example(key->unit) : key->about;
}

static void missing(PoiseReading *r, const PoiseKey *key)
{
    size_t n = 0;
    while (key->choices && key->choices[n])
        n++;
    char *choices = key->choices ? poise_list_of(key->choices, n) : NULL;
    if (choices || !key->choices)
        poise_reading_missing(r, key->key, choices ? choices : expectation(key), NULL);
    else
        poise_reading_memory(r);
    poise_release(choices);
}

static void check_required(PoiseReading *r, const cJSON *object, const PoiseTable *table)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++)
            if (table->keys[i].required && !poise_member(object, table->keys[i].key))
                missing(r, &table->keys[i]);
}

bool poise_read_object(PoiseReading *r, const cJSON *value, const PoiseTable *table, void *target,
                       const PoiseTable **chosen)
{
    char found[POISE_FOUND_SIZE];
    const PoiseTable *choice = choose(table, value);
    if (chosen)
        *chosen = choice;
    poise_read_defaults(r, table, target);
    poise_read_defaults(r, choice, target);
    if (!cJSON_IsObject(value)) {
        poise_reading_fault(r, false, poise_found(value, found), "an object in braces",
                            table->about);
        return false;
    }
    for (const cJSON *member = value->child; member; member = member->next) {
        const PoiseKey *key = poise_key_find(table, choice, member->string);
        size_t up = poise_reading_down(r, member->string);
        if (key)
            read_member(r, member, key, target);
        else if (!table->tag || choice) /* without a kind, nobody knows what its keys are */
            unknown_key(r, table, choice, member->string);
        poise_reading_up(r, up);
    }
    check_required(r, value, table);
    check_required(r, value, choice);
    return true;
}
