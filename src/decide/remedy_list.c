/* The list of proposals, and what else a search has to say. */
#include <stdarg.h>
#include <string.h>

#include "base/memory.h"
#include "decide/remedy_task.h"

const char *poise_remedy_kind_name(PoiseRemedyKind kind)
{
    static const char *const names[] = {"ballast", "ballast place", "removal", "part",
                                        "print",   "strap",         "post",    "combination"};
    return names[kind];
}

/* Makes room for one more element; false (and failed) when there is none. */
static bool room(PoiseRemedies *out, void **list, size_t count, size_t size)
{
    if (out->failed)
        return false;
    void *grown = poise_resize(*list, count + 1, size);
    if (!grown) {
        out->failed = true;
        return false;
    }
    *list = grown;
    memset((char *)grown + count * size, 0, size);
    return true;
}

PoiseRemedy *poise_task_propose(PoiseRemedyTask *t, PoiseRemedyKind kind, int effort)
{
    PoiseRemedies *out = t->out;
    void *list = out->list;
    if (!room(out, &list, out->count, sizeof *out->list))
        return NULL;
    out->list = list;
    PoiseRemedy *r = &out->list[out->count];
    r->patch = cJSON_CreateObject();
    if (!r->patch) {
        out->failed = true;
        return NULL;
    }
    r->kind = kind;
    r->effort = effort;
    r->proved = true;
    out->count++;
    return r;
}

void poise_task_title(PoiseRemedyTask *t, PoiseRemedy *r, PoiseText *title)
{
    r->title = poise_text_take(title);
    if (!r->title)
        t->out->failed = true;
}

/* Names go to command lines: whatever a shell or a terminal might take for something else becomes a
 * line. Ids in other scripts lose their letters here and keep them in the title. */
static void tame(char *name)
{
    static const char fine[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ._-";
    char *to = name;
    for (char *c = name; *c; c++) {
        bool good = strchr(fine, *c) != NULL;
        if (good)
            *to++ = *c;
        else if (to == name || to[-1] != '_')
            *to++ = '_';
    }
    *to = '\0';
    enum { LONGEST = 60 };
    if (strlen(name) > LONGEST)
        name[LONGEST] = '\0';
}

void poise_task_name(PoiseRemedyTask *t, PoiseRemedy *r, const char *format, ...)
{
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    r->name = poise_text_take(&text);
    if (r->name)
        tame(r->name);
    else
        t->out->failed = true;
}

void poise_task_step(PoiseRemedyTask *t, PoiseRemedy *r, PoiseText *step)
{
    void *list = r->steps;
    char *text = poise_text_take(step);
    if (!text)
        t->out->failed = true;
    if (!text || !room(t->out, &list, r->step_count, sizeof *r->steps)) {
        poise_release(text);
        return;
    }
    r->steps = list;
    r->steps[r->step_count++] = text;
}

void poise_task_patch_at(PoiseRemedyTask *t, PoiseRemedy *r, const char *pointer, cJSON *value)
{
    if (!pointer) {
        cJSON_Delete(value);
        t->out->failed = true;
    } else if (poise_pointer_set(r->patch, pointer, value)) {
        t->out->failed = true;
    }
}

void poise_task_patch(PoiseRemedyTask *t, PoiseRemedy *r, const char *id, const char *key,
                      const char *key2, cJSON *value)
{
    PoiseText pointer = {0};
    poise_text_append(&pointer, "/items");
    poise_pointer_push(&pointer, id);
    poise_pointer_push(&pointer, key);
    if (key2)
        poise_pointer_push(&pointer, key2);
    char *path = poise_text_take(&pointer);
    poise_task_patch_at(t, r, path, value);
    poise_release(path);
}

void poise_task_short(PoiseRemedyTask *t, const char *way, PoiseText *text, double short_by,
                      const char *unit)
{
    PoiseRemedies *out = t->out;
    void *list = out->shortfalls;
    PoiseShortfall s = {.way = poise_copy_text(way),
                        .text = poise_text_take(text),
                        .short_by = short_by,
                        .unit = unit};
    if (!s.way || !s.text)
        out->failed = true;
    if (!room(out, &list, out->shortfall_count, sizeof *out->shortfalls)) {
        poise_release(s.way);
        poise_release(s.text);
        return;
    }
    out->shortfalls = list;
    out->shortfalls[out->shortfall_count++] = s;
}

void poise_task_note(PoiseRemedyTask *t, const char *format, ...)
{
    PoiseRemedies *out = t->out;
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    char *note = poise_text_take(&text);
    void *list = out->notes;
    if (!note)
        out->failed = true;
    if (!note || !room(out, &list, out->note_count, sizeof *out->notes)) {
        poise_release(note);
        return;
    }
    out->notes = list;
    out->notes[out->note_count++] = note;
}

static void release_texts(char **list, size_t n)
{
    for (size_t i = 0; i < n; i++)
        poise_release(list[i]);
    poise_release(list);
}

void poise_remedy_clear(PoiseRemedy *r)
{
    poise_release(r->title);
    poise_release(r->name);
    release_texts(r->steps, r->step_count);
    cJSON_Delete(r->patch);
    *r = (PoiseRemedy){0};
}

void poise_remedies_free(PoiseRemedies *out)
{
    if (!out)
        return;
    for (size_t i = 0; i < out->count; i++)
        poise_remedy_clear(&out->list[i]);
    poise_release(out->list);
    for (size_t i = 0; i < out->shortfall_count; i++) {
        poise_release(out->shortfalls[i].way);
        poise_release(out->shortfalls[i].text);
    }
    poise_release(out->shortfalls);
    release_texts(out->conflicts, out->conflict_count);
    release_texts(out->notes, out->note_count);
    poise_release(out->worst);
    poise_instrument_free(out->instrument);
    poise_release(out);
}
