/* The file behind a sweep: read once, and read again with values in place. */
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "decide/sweep_plan.h"
#include "geometry/section_load.h"
#include "input/variant.h"

PoiseStatus poise_sweep_read(const PoiseSweep *s, const size_t *axes, const size_t *values,
                             size_t n, PoiseInstrument **instrument, PoiseFaults *faults)
{
    *instrument = NULL;
    cJSON *tree = cJSON_Duplicate(s->tree, 1);
    PoiseStatus status = tree ? POISE_OK : POISE_E_MEMORY;
    /* First forget, then set: a weighed mass that is varied itself stays. */
    for (size_t k = 0; k < n && !status; k++)
        poise_forget_measured(tree, s->axes[axes[k]].pointer);
    for (size_t k = 0; k < n && !status; k++) {
        const PoiseVary *axis = &s->axes[axes[k]];
        status =
            poise_pointer_set(tree, axis->pointer, cJSON_Duplicate(axis->values[values[k]], 1));
        if (status == POISE_E_INPUT)
            poise_vary_refuse(axis->pointer,
                              "a pointer that leads through a value that holds no others",
                              "a pointer into the file", NULL, faults);
    }
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    if (!status)
        status = poise_instrument_from_document(s->document, tree, NULL, s->dir, &s->shelf,
                                                instrument, faults);
    cJSON_Delete(tree);
    return status;
}

static bool same_slicing(const PoiseSlicing *a, const PoiseSlicing *b)
{
    return a->layer_mm == b->layer_mm && a->line_mm == b->line_mm && a->top == b->top &&
           a->bottom == b->bottom && a->up[0] == b->up[0] && a->up[1] == b->up[1] &&
           a->up[2] == b->up[2];
}

static PoiseStatus slice(PoiseSweep *s, const PoisePrinted *p, const char *id,
                         PoiseSweepSection *entry, PoiseFaults *faults)
{
    PoiseSectionOptions options = {.threads = s->options.threads, .no_cache = s->options.no_cache};
    entry->slicing = p->slicing;
    entry->mesh = poise_copy_text(p->mesh);
    entry->unit = poise_copy_text(p->mesh_unit);
    entry->loaded = poise_alloc_zero(1, sizeof *entry->loaded);
    if (!entry->mesh || (p->mesh_unit && !entry->unit) || !entry->loaded)
        return poise_fault_memory(faults);
    if (s->options.progress)
        s->options.progress(id, 0.0, s->options.context);
    s->sliced++;
    return poise_section_load(p->mesh, p->mesh_unit, &p->slicing, &options, entry->loaded, faults);
}

PoiseStatus poise_sweep_section(PoiseSweep *s, const PoiseItem *item, size_t number,
                                const PoiseLoadedSection **section, PoiseFaults *faults)
{
    const PoisePrinted *p = &item->as.printed, *base = &s->base->items[number].as.printed;
    *section = NULL;
    if (poise_text_order(p->mesh, base->mesh) == 0 &&
        poise_text_order(p->mesh_unit, base->mesh_unit) == 0 &&
        same_slicing(&p->slicing, &base->slicing)) {
        *section = s->weighing->items[number].detail->loaded;
        return POISE_OK;
    }
    for (PoiseSweepSection *e = s->sections; e; e = e->next)
        if (poise_text_order(p->mesh, e->mesh) == 0 &&
            poise_text_order(p->mesh_unit, e->unit) == 0 &&
            same_slicing(&p->slicing, &e->slicing)) {
            *section = e->loaded;
            return POISE_OK;
        }
    PoiseSweepSection *entry = poise_alloc_zero(1, sizeof *entry);
    if (!entry)
        return poise_fault_memory(faults);
    PoiseStatus status = slice(s, p, item->id, entry, faults);
    if (status) {
        poise_release(entry->mesh);
        poise_release(entry->unit);
        poise_release(entry->loaded);
        poise_release(entry);
        return status;
    }
    entry->next = s->sections;
    s->sections = entry;
    *section = entry->loaded;
    return POISE_OK;
}

/* The file with the variant merged over it, so that what is varied has the last word. */
static PoiseStatus merge_tree(PoiseSweep *s, PoiseFaults *faults)
{
    const cJSON *patch =
        s->options.variant ? poise_document_variant(s->document, s->options.variant) : NULL;
    if (patch) {
        PoiseLayer layer = {s->document, ""};
        PoiseReading r = {.layers = &layer, .layer_count = 1, .faults = faults, .dir = s->dir};
        s->tree = poise_merge_variant(&r, s->document->root, patch);
        poise_text_clear(&r.pointer);
    } else {
        s->tree = cJSON_Duplicate(s->document->root, 1);
    }
    return s->tree ? POISE_OK : poise_fault_memory(faults);
}

static PoiseStatus read_base(PoiseSweep *s, const char *path, PoiseFaults *faults)
{
    PoiseStatus status = poise_shelf_read(s->options.components, &s->shelf, faults);
    if (!status)
        status = poise_document_read(path, &s->document, faults);
    if (status)
        return status;
    s->dir = poise_path_dir(path);
    if (!s->dir)
        return poise_fault_memory(faults);
    status = poise_instrument_from_document(s->document, NULL, s->options.variant, s->dir,
                                            &s->shelf, &s->base, faults);
    return status ? status : merge_tree(s, faults);
}

static PoiseStatus weigh_base(PoiseSweep *s, PoiseFaults *faults)
{
    PoiseWeighOptions options = {.threads = s->options.threads,
                                 .no_cache = s->options.no_cache,
                                 .progress = s->options.progress,
                                 .context = s->options.context};
    PoiseStatus status = poise_weigh(s->base, &options, &s->weighing, faults);
    return status ? status : poise_linear_new(s->base, s->weighing, &s->linear, faults);
}

static PoiseStatus parse_axes(PoiseSweep *s, const char *const *vary, size_t n, PoiseFaults *faults)
{
    if (n == 0 || n > POISE_SWEEP_MOST_AXES)
        return poise_vary_refuse(NULL, n ? "more than 12 of them" : "none",
                                 "from 1 to 12 times --vary POINTER=VALUES", NULL, faults);
    s->count = 1;
    for (size_t a = 0; a < n; a++) {
        s->axis_count = a + 1;
        PoiseStatus status = poise_vary_parse(vary[a], &s->axes[a], faults);
        if (status)
            return status;
        s->count *= s->axes[a].count; /* at most 1e12 · 20000, which fits */
        if (s->count > POISE_SWEEP_MOST_CANDIDATES)
            return poise_vary_refuse(s->axes[a].pointer, "more than a million million combinations",
                                     "fewer values", "take larger steps", faults);
    }
    return POISE_OK;
}

PoiseStatus poise_sweep_open(const char *path, const char *const *vary, size_t vary_count,
                             const PoiseSweepOptions *options, PoiseSweep **sweep,
                             PoiseFaults *faults)
{
    *sweep = NULL;
    PoiseSweep *s = poise_alloc_zero(1, sizeof *s);
    if (!s)
        return poise_fault_memory(faults);
    if (options)
        s->options = *options;
    PoiseStatus status = parse_axes(s, vary, vary_count, faults);
    if (!status)
        status = read_base(s, path, faults);
    for (size_t a = 0; a < s->axis_count && !status; a++)
        status = poise_sweep_check_pointer(s, a, faults);
    if (!status)
        status = weigh_base(s, faults);
    if (!status)
        status = poise_sweep_plan(s, faults);
    if (status) {
        poise_sweep_free(s);
        return status;
    }
    *sweep = s;
    return POISE_OK;
}

static void free_sections(PoiseSweepSection *entry)
{
    while (entry) {
        PoiseSweepSection *next = entry->next;
        poise_release(entry->mesh);
        poise_release(entry->unit);
        poise_release(entry->loaded);
        poise_release(entry);
        entry = next;
    }
}

void poise_sweep_free(PoiseSweep *s)
{
    if (!s)
        return;
    poise_sweep_plan_clear(s);
    free_sections(s->sections);
    poise_linear_free(s->linear);
    poise_weighing_free(s->weighing);
    poise_instrument_free(s->base);
    for (size_t a = 0; a < s->axis_count; a++)
        poise_vary_clear(&s->axes[a]);
    cJSON_Delete(s->tree);
    poise_shelf_clear(&s->shelf);
    poise_document_free(s->document);
    poise_release(s->dir);
    for (size_t i = 0; i < s->note_count; i++)
        poise_release(s->notes[i]);
    poise_release(s->notes);
    poise_release(s);
}

uint64_t poise_sweep_count(const PoiseSweep *s)
{
    return s->count;
}

size_t poise_sweep_axis_count(const PoiseSweep *s)
{
    return s->axis_count;
}

const PoiseVary *poise_sweep_axis(const PoiseSweep *s, size_t axis)
{
    return &s->axes[axis];
}

void poise_sweep_choice(const PoiseSweep *s, uint64_t index, size_t choice[POISE_SWEEP_MOST_AXES])
{
    for (size_t a = s->axis_count; a-- > 0; index /= s->axes[a].count)
        choice[a] = (size_t)(index % s->axes[a].count);
}

const PoiseWeighing *poise_sweep_base(const PoiseSweep *s)
{
    return s->weighing;
}

const char *poise_sweep_variant(const PoiseSweep *s)
{
    return s->options.variant;
}

size_t poise_sweep_note_count(const PoiseSweep *s)
{
    return s->note_count;
}

const char *poise_sweep_note(const PoiseSweep *s, size_t i)
{
    return s->notes[i];
}

PoiseStatus poise_sweep_add_note(PoiseSweep *s, char *sentence)
{
    char **notes = sentence ? poise_resize(s->notes, s->note_count + 1, sizeof *notes) : NULL;
    if (!notes) {
        poise_release(sentence);
        return POISE_E_MEMORY;
    }
    s->notes = notes;
    notes[s->note_count++] = sentence;
    return POISE_OK;
}

PoiseStatus poise_sweep_instrument(const PoiseSweep *s, uint64_t index,
                                   PoiseInstrument **instrument, PoiseFaults *faults)
{
    size_t axes[POISE_SWEEP_MOST_AXES], choice[POISE_SWEEP_MOST_AXES];
    poise_sweep_choice(s, index, choice);
    for (size_t a = 0; a < s->axis_count; a++)
        axes[a] = a;
    return poise_sweep_read(s, axes, choice, s->axis_count, instrument, faults);
}
