/* Filling a sweep's tables: the file is read with each value in place, and what changes is kept. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "bodies/item_body.h"
#include "decide/sweep_plan.h"

/* The setting of an item as read with a value in place. */
static PoiseStatus setting_of(PoiseSweep *s, const PoiseInstrument *in, size_t number,
                              PoiseSweepAspect aspect, PoiseLinearSetting *setting,
                              PoiseFaults *faults)
{
    const PoiseItem *item = poise_instrument_item(in, s->base->items[number].id);
    PoiseStatus status = POISE_OK;
    if (!item) /* no pointer takes an item away */
        return poise_fault_say(faults, POISE_E_INTERNAL, NULL, "an item lost on the way");
    if (poise_item_is_split(item)) {
        const PoiseLoadedSection *section = NULL;
        status = poise_sweep_section(s, item, number, &section, faults);
        PoiseItemBody body = {.loaded = (PoiseLoadedSection *)section};
        if (!status)
            *setting = poise_linear_setting(in, item, &body);
    } else if (aspect == POISE_TOUCH_DIRECT) {
        *setting = s->linear->items[number].setting;
        poise_linear_restate(in, item, setting);
    } else {
        PoiseItemBody body;
        status = poise_item_body(in, item, NULL, &body, faults);
        if (!status) {
            *setting = poise_linear_setting(in, item, &body);
            poise_item_body_free(&body);
        }
    }
    return status;
}

/* Faults of a value from the command line, said of it. */
static PoiseStatus blame_value(const PoiseVary *axis, size_t value, const PoiseFaults *from,
                               PoiseStatus status, PoiseFaults *to)
{
    if (status == POISE_E_MEMORY)
        return poise_fault_memory(to);
    for (size_t i = 0; i < poise_faults_count(from); i++) {
        PoiseFault fault = *poise_faults_get(from, i);
        /* Elsewhere than at the value itself it takes the value to understand the fault. */
        bool here = fault.pointer && strcmp(fault.pointer, axis->pointer) == 0;
        char *found = here ? poise_copy_text(fault.found)
                           : poise_format("%s, for the value %s", fault.found, axis->labels[value]);
        if (!found)
            return poise_fault_memory(to);
        fault.found = found;
        if (fault.status == POISE_E_INPUT || fault.status == POISE_E_DOMAIN) {
            fault.status = POISE_E_USAGE;
            fault.file = "--vary";
            fault.line = fault.column = 0;
            fault.pointer = fault.pointer ? fault.pointer : axis->pointer;
        }
        poise_fault_add(to, &fault);
        poise_release(found);
    }
    return status == POISE_E_INPUT || status == POISE_E_DOMAIN ? POISE_E_USAGE : status;
}

static PoiseStatus place_in_terms(PoiseSweep *s, const PoiseInstrument *in, size_t axis,
                                  size_t value, PoiseFaults *faults)
{
    PoiseStatus status = POISE_OK;
    for (size_t t = 0; t < s->term_count && !status; t++) {
        PoiseSweepTerm *term = &s->terms[t];
        size_t k = 0;
        while (k < term->span.count && term->span.axes[k] != axis)
            k++;
        for (size_t i = 0; i < term->item_count && k < term->span.count && !term->joint && !status;
             i++) {
            PoiseLinearSetting setting;
            status =
                setting_of(s, in, term->items[i], poise_sweep_touches_item(s, axis, term->items[i]),
                           &setting, faults);
            if (status)
                break;
            if (term->parts) {
                term->parts[i].by_axis[k][value] = setting;
                continue;
            }
            PoiseLinearSum one = poise_linear_sum(&setting, s->linear->origin_mm);
            poise_linear_add(&term->table[value], &one);
        }
    }
    return status;
}

static PoiseStatus place_in_stance(PoiseSweep *s, const PoiseInstrument *in, size_t axis,
                                   size_t value, PoiseFaults *faults)
{
    for (size_t k = 0; k < s->stance.span.count; k++) {
        if (s->stance.span.axes[k] != axis)
            continue;
        PoiseStanceSetting setting = poise_stance_setting(in);
        PoiseStance stance;
        PoiseStatus status = poise_stance_solve(&setting, s->linear->origin_mm, &stance, faults);
        if (status)
            return status;
        if (!s->stance.joint)
            s->stance.by_axis[k][value] = setting;
    }
    return POISE_OK;
}

static PoiseStatus take_value(PoiseSweep *s, size_t axis, size_t value, PoiseFaults *faults)
{
    PoiseInstrument *in = NULL;
    PoiseFaults *own = poise_faults_new();
    if (!own)
        return poise_fault_memory(faults);
    PoiseStatus status = poise_sweep_read(s, &axis, &value, 1, &in, own);
    if (!status)
        status = place_in_terms(s, in, axis, value, own);
    if (!status)
        status = place_in_stance(s, in, axis, value, own);
    if (status)
        status = blame_value(&s->axes[axis], value, own, status, faults);
    poise_instrument_free(in);
    poise_faults_free(own);
    return status;
}

/* A combination that cannot be: its mass is no number, and so is that of every candidate with it.
 */
static const PoiseLinearSum IMPOSSIBLE = {.mass_g = (double)NAN};

static PoiseStatus fill_joint(PoiseSweep *s, PoiseSweepTerm *term, PoiseFaults *faults)
{
    size_t values[POISE_SWEEP_MOST_AXES] = {0}, chosen[POISE_SWEEP_MOST_AXES];
    for (uint64_t e = 0; e < term->span.entries; e++) {
        PoiseInstrument *in = NULL;
        poise_sweep_values(s, &term->span, e, values);
        for (size_t k = 0; k < term->span.count; k++)
            chosen[k] = values[term->span.axes[k]];
        PoiseStatus status =
            poise_sweep_read(s, term->span.axes, chosen, term->span.count, &in, NULL);
        for (size_t i = 0; i < term->item_count && !status; i++) {
            PoiseLinearSetting setting;
            status = setting_of(s, in, term->items[i], POISE_TOUCH_WHOLE, &setting, NULL);
            if (status)
                break;
            PoiseLinearSum one = poise_linear_sum(&setting, s->linear->origin_mm);
            poise_linear_add(&term->table[e], &one);
        }
        poise_instrument_free(in);
        if (status == POISE_E_INPUT || status == POISE_E_DOMAIN)
            term->table[e] = IMPOSSIBLE;
        else if (status)
            return poise_fault_say(faults, status, NULL,
                                   "a combination of values could not be read: %s",
                                   poise_status_name(status));
    }
    return POISE_OK;
}

static void fill_tables(PoiseSweep *s)
{
    size_t values[POISE_SWEEP_MOST_AXES] = {0};
    for (size_t t = 0; t < s->term_count; t++) {
        PoiseSweepTerm *term = &s->terms[t];
        for (uint64_t e = 0; e < term->span.entries && term->parts && term->table; e++) {
            poise_sweep_values(s, &term->span, e, values);
            term->table[e] = poise_sweep_put_together(s, term, values);
        }
    }
}

static PoiseStatus fill_stance(PoiseSweep *s, PoiseFaults *faults)
{
    PoiseSweepStance *plan = &s->stance;
    size_t values[POISE_SWEEP_MOST_AXES] = {0}, chosen[POISE_SWEEP_MOST_AXES];
    PoiseStance *table = plan->table;
    for (uint64_t e = 0; e < plan->span.entries && table; e++) {
        poise_sweep_values(s, &plan->span, e, values);
        if (!plan->joint) {
            plan->table = NULL; /* solve, do not look up */
            table[e] = poise_sweep_take_stance(s, values);
            plan->table = table;
            continue;
        }
        PoiseInstrument *in = NULL;
        for (size_t k = 0; k < plan->span.count; k++)
            chosen[k] = values[plan->span.axes[k]];
        PoiseStatus status =
            poise_sweep_read(s, plan->span.axes, chosen, plan->span.count, &in, NULL);
        if (status == POISE_E_MEMORY)
            return poise_fault_memory(faults);
        PoiseStanceSetting setting = status ? s->linear->stance : poise_stance_setting(in);
        if (status) /* no such stance: nothing is judged */
            setting.strap_mm = setting.seat_width_mm = (double)NAN;
        poise_stance_solve(&setting, s->linear->origin_mm, &table[e], NULL);
        poise_instrument_free(in);
    }
    return POISE_OK;
}

static PoiseStatus add_notes(PoiseSweep *s)
{
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < s->base->item_count && !status; i++) {
        const PoiseItem *item = &s->base->items[i];
        char *id = poise_item_pointer(item, "");
        for (size_t a = 0; a < s->axis_count && item->has_measured && id && !status; a++)
            if (strncmp(s->axes[a].pointer, id, strlen(id)) == 0 &&
                poise_sweep_touches_item(s, a, i)) {
                status = poise_sweep_add_note(
                    s, poise_format("%s: what it weighed is set aside, for the sweep changes it",
                                    item->id));
                break;
            }
        status = id ? status : POISE_E_MEMORY;
        poise_release(id);
    }
    for (size_t t = 0; t < s->term_count && !status; t++)
        if (s->terms[t].joint)
            status = poise_sweep_add_note(
                s, poise_format("%s: read and computed in full for each of %llu combinations",
                                s->base->items[s->terms[t].items[0]].id,
                                (unsigned long long)s->terms[t].span.entries));
    if (s->sliced && !status)
        status = poise_sweep_add_note(
            s, poise_format("%zu %s sliced with other settings than the file's", s->sliced,
                            s->sliced == 1 ? "section was" : "sections were"));
    return status;
}

PoiseStatus poise_sweep_fill(PoiseSweep *s, PoiseFaults *faults)
{
    PoiseStatus status = POISE_OK;
    for (size_t a = 0; a < s->axis_count; a++)
        for (size_t v = 0; v < s->axes[a].count && !status; v++)
            status = take_value(s, a, v, faults);
    for (size_t t = 0; t < s->term_count && !status; t++)
        if (s->terms[t].joint)
            status = fill_joint(s, &s->terms[t], faults);
    if (status)
        return status;
    fill_tables(s);
    status = fill_stance(s, faults);
    if (!status && add_notes(s))
        status = poise_fault_memory(faults);
    return status;
}
