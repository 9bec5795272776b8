#include "output/json_build.h"

#include <math.h>

#include "base/locale_guard.h"
#include "base/memory.h"
#include "base/text.h"

PoiseJson poise_json_begin(void)
{
    PoiseJson json = {.root = cJSON_CreateObject()};
    json.failed = !json.root;
    return json;
}

/* Hands `value` to the parent, or frees it. */
static cJSON *put(PoiseJson *json, cJSON *parent, const char *key, cJSON *value)
{
    cJSON *into = parent ? parent : json->root;
    bool added =
        value && !json->failed &&
        (key ? cJSON_AddItemToObject(into, key, value) : cJSON_AddItemToArray(into, value));
    if (added)
        return value;
    cJSON_Delete(value);
    json->failed = true;
    return NULL;
}

void poise_json_number(PoiseJson *json, cJSON *parent, const char *key, double value)
{
    put(json, parent, key, isfinite(value) ? cJSON_CreateNumber(value) : cJSON_CreateNull());
}

void poise_json_text(PoiseJson *json, cJSON *parent, const char *key, const char *value)
{
    put(json, parent, key, value ? cJSON_CreateString(value) : cJSON_CreateNull());
}

void poise_json_bool(PoiseJson *json, cJSON *parent, const char *key, bool value)
{
    put(json, parent, key, cJSON_CreateBool(value));
}

void poise_json_null(PoiseJson *json, cJSON *parent, const char *key)
{
    put(json, parent, key, cJSON_CreateNull());
}

void poise_json_vector(PoiseJson *json, cJSON *parent, const char *key, const double *values,
                       size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(values[i])) {
            poise_json_null(json, parent, key);
            return;
        }
    put(json, parent, key, cJSON_CreateDoubleArray(values, (int)n));
}

void poise_json_texts(PoiseJson *json, cJSON *parent, const char *key, char *const *texts, size_t n)
{
    cJSON *list = poise_json_array(json, parent, key);
    for (size_t i = 0; i < n && !json->failed; i++)
        put(json, list, NULL, cJSON_CreateString(texts[i]));
}

void poise_json_copy(PoiseJson *json, cJSON *parent, const char *key, const cJSON *value)
{
    put(json, parent, key, value ? cJSON_Duplicate(value, 1) : cJSON_CreateNull());
}

cJSON *poise_json_object(PoiseJson *json, cJSON *parent, const char *key)
{
    return put(json, parent, key, cJSON_CreateObject());
}

cJSON *poise_json_array(PoiseJson *json, cJSON *parent, const char *key)
{
    return put(json, parent, key, cJSON_CreateArray());
}

char *poise_json_end(PoiseJson *json)
{
    char *result = NULL;
    if (!json->failed) {
        PoiseLocaleGuard guard = poise_locale_enter();
        char *text = cJSON_Print(json->root);
        poise_locale_leave(&guard);
        if (text)
            result = poise_format("%s\n", text);
        cJSON_free(text);
    }
    cJSON_Delete(json->root);
    *json = (PoiseJson){0};
    return result;
}
