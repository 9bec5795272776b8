#include "input/pointer.h"

#include <string.h>

#include "base/memory.h"

bool poise_pointer_valid(const char *pointer)
{
    if (*pointer && *pointer != '/')
        return false;
    for (const char *c = pointer; *c; c++)
        if (*c == '~' && c[1] != '0' && c[1] != '1')
            return false;
    return true;
}

void poise_pointer_push(PoiseText *pointer, const char *name)
{
    poise_text_append(pointer, "/");
    for (; *name; name++) {
        if (*name == '~')
            poise_text_append(pointer, "~0");
        else if (*name == '/')
            poise_text_append(pointer, "~1");
        else
            poise_text_append_n(pointer, name, 1);
    }
}

/* Is the escaped token of n bytes this name? ~1 first would turn ~01 into /, so each escape is read
 * once, from the left (RFC 6901 §4). */
static bool token_is(const char *token, size_t n, const char *name)
{
    for (size_t i = 0; i < n; i++, name++) {
        char c = token[i];
        if (c == '~' && i + 1 < n)
            c = token[++i] == '1' ? '/' : '~';
        if (*name != c || c == '\0')
            return false;
    }
    return *name == '\0';
}

/* A list index: "0" or digits without a leading zero (RFC 6901 §4); "-" names no existing element.
 */
static bool token_index(const char *token, size_t n, size_t *index)
{
    if (n == 0 || n > 9 || (n > 1 && token[0] == '0'))
        return false;
    *index = 0;
    for (size_t i = 0; i < n; i++) {
        if (token[i] < '0' || token[i] > '9')
            return false;
        *index = *index * 10 + (size_t)(token[i] - '0');
    }
    return true;
}

cJSON *poise_pointer_step(const cJSON *parent, const char *token, size_t n)
{
    size_t index = 0, k = 0;
    bool object = cJSON_IsObject(parent);
    if (!object && !(cJSON_IsArray(parent) && token_index(token, n, &index)))
        return NULL;
    for (cJSON *child = parent->child; child; child = child->next, k++)
        if (object ? child->string && token_is(token, n, child->string) : k == index)
            return child;
    return NULL;
}

const cJSON *poise_pointer_get_const(const cJSON *root, const char *pointer)
{
    if (!poise_pointer_valid(pointer))
        return NULL;
    while (root && *pointer) {
        size_t n = strcspn(pointer + 1, "/");
        root = poise_pointer_step(root, pointer + 1, n);
        pointer += 1 + n;
    }
    return root;
}

cJSON *poise_pointer_get(cJSON *root, const char *pointer)
{
    return (cJSON *)poise_pointer_get_const(root, pointer);
}

static char *unescape(const char *token, size_t n)
{
    char *name = poise_copy_text_n(token, n);
    if (!name)
        return NULL;
    char *to = name;
    for (size_t i = 0; i < n; i++) {
        char c = token[i];
        if (c == '~' && i + 1 < n)
            c = token[++i] == '1' ? '/' : '~';
        *to++ = c;
    }
    *to = '\0';
    return name;
}

/* Adds a member; on failure the value is freed. */
static PoiseStatus add_member(cJSON *object, const char *token, size_t n, cJSON *value)
{
    char *name = value ? unescape(token, n) : NULL;
    if (!name || !cJSON_AddItemToObject(object, name, value)) {
        poise_release(name);
        cJSON_Delete(value);
        return POISE_E_MEMORY;
    }
    poise_release(name);
    return POISE_OK;
}

static PoiseStatus replace(cJSON *parent, cJSON *old, cJSON *value)
{
    if (cJSON_IsArray(parent)) {
        if (cJSON_ReplaceItemViaPointer(parent, old, value))
            return POISE_OK;
    } else {
        char *name = poise_copy_text(old->string);
        bool done = name && cJSON_ReplaceItemInObjectCaseSensitive(parent, name, value);
        poise_release(name);
        /* Whether the copy of the key could be made is not reported by every release of the parser.
         */
        if (done)
            return value && value->string ? POISE_OK : POISE_E_MEMORY;
    }
    cJSON_Delete(value);
    return POISE_E_MEMORY;
}

PoiseStatus poise_pointer_set(cJSON *root, const char *pointer, cJSON *value)
{
    if (!value)
        return POISE_E_MEMORY;
    if (!poise_pointer_valid(pointer) || !*pointer) {
        cJSON_Delete(value);
        return POISE_E_INPUT;
    }
    cJSON *parent = root;
    for (;;) {
        const char *token = pointer + 1;
        size_t n = strcspn(token, "/");
        bool last = token[n] == '\0';
        cJSON *child = poise_pointer_step(parent, token, n);
        if (last && child)
            return replace(parent, child, value);
        if (!child && !cJSON_IsObject(parent)) {
            cJSON_Delete(value);
            return POISE_E_INPUT;
        }
        if (last)
            return add_member(parent, token, n, value);
        if (!child) {
            child = cJSON_CreateObject();
            PoiseStatus status = add_member(parent, token, n, child);
            if (status) {
                cJSON_Delete(value);
                return status;
            }
        }
        parent = child;
        pointer = token + n;
    }
}

static cJSON *member(const cJSON *object, const char *name)
{
    for (cJSON *child = object->child; child; child = child->next)
        if (child->string && strcmp(child->string, name) == 0)
            return child;
    return NULL;
}

/* MergePatch for one member of `target`, which is an object. */
static bool merge_member(cJSON *target, const cJSON *patch)
{
    cJSON *old = member(target, patch->string);
    if (cJSON_IsNull(patch)) {
        if (old)
            cJSON_Delete(cJSON_DetachItemViaPointer(target, old));
        return true;
    }
    if (old && cJSON_IsObject(patch) && cJSON_IsObject(old)) {
        for (const cJSON *child = patch->child; child; child = child->next)
            if (!merge_member(old, child))
                return false;
        return true;
    }
    cJSON *value = NULL;
    if (!poise_merge_patch(&value, patch)) {
        cJSON_Delete(value);
        return false;
    }
    if (old)
        return replace(target, old, value) == POISE_OK;
    if (cJSON_AddItemToObject(target, patch->string, value))
        return true;
    cJSON_Delete(value);
    return false;
}

bool poise_merge_patch(cJSON **target, const cJSON *patch)
{
    if (!cJSON_IsObject(patch)) {
        cJSON *copy = cJSON_Duplicate(patch, 1);
        if (!copy)
            return false;
        cJSON_Delete(*target);
        *target = copy;
        return true;
    }
    if (!cJSON_IsObject(*target)) {
        cJSON *object = cJSON_CreateObject();
        if (!object)
            return false;
        cJSON_Delete(*target);
        *target = object;
    }
    for (const cJSON *child = patch->child; child; child = child->next)
        if (!merge_member(*target, child))
            return false;
    return true;
}

bool poise_merge_changes(const cJSON *target, const cJSON *patch)
{
    if (!cJSON_IsObject(patch))
        return !target || !poise_json_equal(target, patch);
    if (!cJSON_IsObject(target))
        return true;
    for (const cJSON *child = patch->child; child; child = child->next) {
        const cJSON *old = member(target, child->string);
        if (cJSON_IsNull(child) ? old != NULL : poise_merge_changes(old, child))
            return true;
    }
    return false;
}

bool poise_json_equal(const cJSON *a, const cJSON *b)
{
    if (!a || !b || (a->type & 0xFF) != (b->type & 0xFF))
        return a == b;
    if (cJSON_IsNumber(a))
        return a->valuedouble == b->valuedouble;
    if (cJSON_IsString(a))
        return strcmp(a->valuestring, b->valuestring) == 0;
    const cJSON *x = a->child, *y = b->child;
    size_t n = 0, m = 0;
    if (cJSON_IsArray(a)) {
        for (; x && y; x = x->next, y = y->next)
            if (!poise_json_equal(x, y))
                return false;
        return !x && !y;
    }
    for (; x; x = x->next, n++)
        if (!poise_json_equal(x, member(b, x->string)))
            return false;
    for (; y; y = y->next)
        m++;
    return n == m;
}
