#include "decide/sweep_plan.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"

_Static_assert(sizeof(PoiseStanceSetting) % 8 == 0, "settings are compared by words of 8 bytes");

void poise_sweep_values(const PoiseSweep *s, const PoiseSweepSpan *span, uint64_t entry,
                        size_t *values)
{
    for (size_t k = span->count; k-- > 0; entry /= s->axes[span->axes[k]].count)
        values[span->axes[k]] = (size_t)(entry % s->axes[span->axes[k]].count);
}

static void finish_span(const PoiseSweep *s, PoiseSweepSpan *span)
{
    span->entries = 1;
    for (size_t k = span->count; k-- > 0;) {
        span->strides[k] = (size_t)span->entries;
        span->entries *= s->axes[span->axes[k]].count;
    }
}

static PoiseSweepSpan span_of(const PoiseSweep *s, size_t item)
{
    PoiseSweepSpan span = {0};
    for (size_t a = 0; a < s->axis_count; a++)
        if (item == SIZE_MAX ? poise_sweep_touches_stance(s, a)
                             : poise_sweep_touches_item(s, a, item))
            span.axes[span.count++] = a;
    finish_span(s, &span);
    return span;
}

/* Words of `changed` that differ from `base` go into `into`. */
static void take_over(const void *base, const void *changed, void *into, size_t size)
{
    const uint64_t *b = base, *c = changed;
    uint64_t *to = into;
    for (size_t i = 0; i < size / sizeof *b; i++)
        if (c[i] != b[i])
            to[i] = c[i];
}

PoiseLinearSum poise_sweep_put_together(const PoiseSweep *s, const PoiseSweepTerm *term,
                                        const size_t *values)
{
    PoiseLinearSum sum = {0};
    for (size_t i = 0; i < term->item_count; i++) {
        const PoiseSweepItem *part = &term->parts[i];
        PoiseLinearSetting setting = *part->base;
        for (size_t k = 0; k < term->span.count; k++)
            take_over(part->base, &part->by_axis[k][values[term->span.axes[k]]], &setting,
                      sizeof setting);
        PoiseLinearSum one = poise_linear_sum(&setting, s->linear->origin_mm);
        poise_linear_add(&sum, &one);
    }
    return sum;
}

PoiseStance poise_sweep_take_stance(const PoiseSweep *s, const size_t *values)
{
    const PoiseSweepStance *plan = &s->stance;
    if (plan->table)
        return plan->table[poise_sweep_entry(&plan->span, values)];
    PoiseStanceSetting setting = s->linear->stance;
    for (size_t k = 0; k < plan->span.count; k++)
        take_over(&s->linear->stance, &plan->by_axis[k][values[plan->span.axes[k]]], &setting,
                  sizeof setting);
    PoiseStance stance;
    poise_stance_solve(&setting, s->linear->origin_mm, &stance, NULL);
    return stance;
}

static bool same_span(const PoiseSweepSpan *a, const PoiseSweepSpan *b)
{
    return a->count == b->count && memcmp(a->axes, b->axes, a->count * sizeof *a->axes) == 0;
}

static PoiseSweepTerm *term_for(PoiseSweep *s, const PoiseSweepSpan *span, bool joint)
{
    for (size_t t = 0; t < s->term_count; t++)
        if (s->terms[t].joint == joint && same_span(&s->terms[t].span, span))
            return &s->terms[t];
    PoiseSweepTerm *larger = poise_resize(s->terms, s->term_count + 1, sizeof *larger);
    if (!larger)
        return NULL;
    s->terms = larger;
    larger[s->term_count] = (PoiseSweepTerm){.span = *span, .joint = joint};
    return &larger[s->term_count++];
}

static PoiseStatus too_many_readings(const PoiseSweepSpan *span, const PoiseSweep *s,
                                     PoiseFaults *faults)
{
    return poise_vary_refuse(
        s->axes[span->axes[span->count - 1]].pointer,
        "together with the others that bear on the same item, more than 20000 combinations that "
        "have to be read in full",
        "fewer values", "vary them in two sweeps, or take larger steps", faults);
}

static PoiseStatus assign_items(PoiseSweep *s, PoiseFaults *faults)
{
    for (size_t i = 0; i < s->base->item_count; i++) {
        PoiseSweepSpan span = span_of(s, i);
        if (span.count == 0) {
            PoiseLinearSum one =
                poise_linear_sum(&s->linear->items[i].setting, s->linear->origin_mm);
            poise_linear_add(&s->fixed, &one);
            continue;
        }
        bool joint = poise_sweep_meet(s, &span, i);
        if (joint && span.entries > POISE_SWEEP_MOST_READINGS)
            return too_many_readings(&span, s, faults);
        PoiseSweepTerm *term = term_for(s, &span, joint);
        size_t *items =
            term ? poise_resize(term->items, term->item_count + 1, sizeof *items) : NULL;
        if (!items)
            return poise_fault_memory(faults);
        term->items = items;
        items[term->item_count++] = i;
    }
    return POISE_OK;
}

/* Slowest last axis first, so that a candidate differs from the one before in few terms, at the
 * end. */
static void sort_terms(PoiseSweep *s)
{
    for (size_t i = 1; i < s->term_count; i++)
        for (size_t j = i; j > 0; j--) {
            PoiseSweepTerm *a = &s->terms[j - 1], *b = &s->terms[j];
            if (a->span.axes[a->span.count - 1] <= b->span.axes[b->span.count - 1])
                break;
            PoiseSweepTerm swapped = *a;
            *a = *b;
            *b = swapped;
        }
}

static PoiseStatus allocate_term(PoiseSweep *s, PoiseSweepTerm *term, PoiseFaults *faults)
{
    if (term->joint || term->span.entries <= POISE_SWEEP_TABLE) {
        term->table = poise_alloc_zero((size_t)term->span.entries, sizeof *term->table);
        if (!term->table)
            return poise_fault_memory(faults);
    }
    if (term->joint || term->span.count == 1)
        return POISE_OK;
    term->parts = poise_alloc_zero(term->item_count, sizeof *term->parts);
    if (!term->parts)
        return poise_fault_memory(faults);
    for (size_t i = 0; i < term->item_count; i++) {
        term->parts[i].base = &s->linear->items[term->items[i]].setting;
        for (size_t k = 0; k < term->span.count; k++) {
            size_t n = s->axes[term->span.axes[k]].count;
            PoiseLinearSetting *list = poise_alloc_zero(n, sizeof *list);
            term->parts[i].by_axis[k] = list;
            if (!list)
                return poise_fault_memory(faults);
        }
    }
    return POISE_OK;
}

static PoiseStatus allocate_stance(PoiseSweep *s, PoiseFaults *faults)
{
    PoiseSweepStance *plan = &s->stance;
    plan->span = span_of(s, SIZE_MAX);
    plan->joint = poise_sweep_meet(s, &plan->span, SIZE_MAX);
    if (plan->joint && plan->span.entries > POISE_SWEEP_MOST_READINGS)
        return too_many_readings(&plan->span, s, faults);
    if (plan->joint || plan->span.entries <= POISE_SWEEP_TABLE) {
        plan->table = poise_alloc_zero((size_t)plan->span.entries, sizeof *plan->table);
        if (!plan->table)
            return poise_fault_memory(faults);
    }
    for (size_t k = 0; k < plan->span.count && !plan->joint; k++) {
        size_t n = s->axes[plan->span.axes[k]].count;
        plan->by_axis[k] = poise_alloc_zero(n, sizeof *plan->by_axis[k]);
        if (!plan->by_axis[k])
            return poise_fault_memory(faults);
    }
    return POISE_OK;
}

PoiseStatus poise_sweep_plan(PoiseSweep *s, PoiseFaults *faults)
{
    PoiseStatus status = assign_items(s, faults);
    sort_terms(s);
    for (size_t t = 0; t < s->term_count && !status; t++)
        status = allocate_term(s, &s->terms[t], faults);
    if (!status)
        status = allocate_stance(s, faults);
    return status ? status : poise_sweep_fill(s, faults);
}

void poise_sweep_plan_clear(PoiseSweep *s)
{
    for (size_t t = 0; t < s->term_count; t++) {
        PoiseSweepTerm *term = &s->terms[t];
        for (size_t i = 0; i < term->item_count && term->parts; i++)
            for (size_t k = 0; k < term->span.count; k++)
                poise_release(term->parts[i].by_axis[k]);
        poise_release(term->parts);
        poise_release(term->items);
        poise_release(term->table);
    }
    poise_release(s->terms);
    for (size_t k = 0; k < s->stance.span.count; k++)
        poise_release(s->stance.by_axis[k]);
    poise_release(s->stance.table);
}
