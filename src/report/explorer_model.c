#include "report/explorer_model.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/sum.h"

enum {
    HEAD_NUMBERS = sizeof(PoiseEngineHead) / sizeof(double),
    SECTION_NUMBERS = sizeof(PoiseEngineSection) / sizeof(double),
    BALLAST_NUMBERS = sizeof(PoiseEngineBallast) / sizeof(double)
};

size_t poise_explorer_infill_at(size_t section)
{
    return HEAD_NUMBERS + section * SECTION_NUMBERS;
}

size_t poise_explorer_ballast_at(const PoiseExplorerModel *m, size_t ballast)
{
    return poise_explorer_infill_at(m->section_count) + ballast * BALLAST_NUMBERS;
}

static bool has_infill(const PoiseLinearItem *item)
{
    return item->setting.section && isnan(item->setting.measured_g);
}

/* One piece that stands where the file puts it: then grams and place are the file's own. */
static bool is_ballast(const PoiseInstrument *in, const PoiseLinear *linear, size_t i)
{
    const PoiseLinearSetting *s = &linear->items[i].setting;
    return in->items[i].kind == POISE_ITEM_MASS && in->items[i].as.mass.ballast && s->count == 1 &&
           isnan(s->measured_g) && s->centre_mm[0] == 0.0 && s->centre_mm[1] == 0.0 &&
           s->centre_mm[2] == 0.0;
}

static void choose(const PoiseInstrument *in, PoiseExplorerModel *m)
{
    for (size_t i = 0; i < in->item_count; i++) {
        if (has_infill(&m->linear->items[i]))
            m->sections[m->section_count++] = i;
        else if (is_ballast(in, m->linear, i))
            m->ballasts[m->ballast_count++] = i;
    }
}

static bool is_in(const size_t *list, size_t count, size_t i)
{
    for (size_t k = 0; k < count; k++)
        if (list[k] == i)
            return true;
    return false;
}

/* All that no slider moves. */
static void fill_rest(const PoiseExplorerModel *m, PoiseEngineHead *head)
{
    PoiseSum mass = {0}, moment[3] = {{0}};
    for (size_t i = 0; i < m->linear->item_count; i++) {
        if (is_in(m->sections, m->section_count, i) || is_in(m->ballasts, m->ballast_count, i))
            continue;
        PoiseLinearSum one = poise_linear_sum(&m->linear->items[i].setting, m->linear->origin_mm);
        poise_sum_add(&mass, one.mass_g);
        for (int k = 0; k < 3; k++)
            poise_sum_add(&moment[k], one.moment_gmm[k]);
    }
    head->rest_g = poise_sum_value(&mass);
    for (int k = 0; k < 3; k++)
        head->rest_gmm[k] = poise_sum_value(&moment[k]);
}

static double fret_of(const char *hand)
{
    if (hand && strcmp(hand, "nut") == 0)
        return 0.0;
    return hand && strncmp(hand, "fret ", 5) == 0 ? strtod(hand + 5, NULL) : (double)NAN;
}

static void fill_head(const PoiseInstrument *in, const PoiseExplorerModel *m)
{
    PoiseEngineHead *head = (PoiseEngineHead *)(void *)m->numbers;
    memcpy(head->origin_mm, m->linear->origin_mm, sizeof head->origin_mm);
    fill_rest(m, head);
    head->stance = m->linear->stance;
    head->hand_fret = in->has_hand ? fret_of(in->hand_text) : (double)NAN;
    head->section_count = (double)m->section_count;
    head->ballast_count = (double)m->ballast_count;
}

static void fill_moved(const PoiseExplorerModel *m)
{
    for (size_t k = 0; k < m->section_count; k++) {
        const PoiseLinearSetting *s = &m->linear->items[m->sections[k]].setting;
        PoiseEngineSection *to =
            (PoiseEngineSection *)(void *)(m->numbers + poise_explorer_infill_at(k));
        PoiseLinearPrinted printed;
        poise_linear_printed(s, (int)s->perimeters, m->linear->origin_mm, &printed);
        *to = (PoiseEngineSection){
            .infill = s->infill, .fixed_g = printed.fixed_g, .infill_g = printed.infill_g};
        memcpy(to->fixed_gmm, printed.fixed_gmm, sizeof to->fixed_gmm);
        memcpy(to->infill_gmm, printed.infill_gmm, sizeof to->infill_gmm);
    }
    for (size_t k = 0; k < m->ballast_count; k++) {
        const PoiseLinearSetting *s = &m->linear->items[m->ballasts[k]].setting;
        PoiseEngineBallast *to =
            (PoiseEngineBallast *)(void *)(m->numbers + poise_explorer_ballast_at(m, k));
        *to = (PoiseEngineBallast){.mass_g = s->piece_g};
        memcpy(to->at_mm, s->shift_mm, sizeof to->at_mm);
    }
}

PoiseStatus poise_explorer_model(const PoiseSheetSource *source, PoiseExplorerModel *m,
                                 PoiseFaults *faults)
{
    const PoiseInstrument *in = source->instrument;
    *m = (PoiseExplorerModel){0};
    PoiseStatus status = poise_linear_new(in, source->weighing, &m->linear, faults);
    if (status)
        return status;
    m->sections = poise_alloc_zero(in->item_count, sizeof *m->sections);
    m->ballasts = poise_alloc_zero(in->item_count, sizeof *m->ballasts);
    if (!m->sections || !m->ballasts)
        return poise_fault_memory(faults);
    choose(in, m);
    m->number_count = poise_explorer_ballast_at(m, m->ballast_count);
    m->numbers = poise_alloc_zero(m->number_count, sizeof *m->numbers);
    if (!m->numbers)
        return poise_fault_memory(faults);
    fill_head(in, m);
    fill_moved(m);
    return POISE_OK;
}

void poise_explorer_model_clear(PoiseExplorerModel *m)
{
    poise_linear_free(m->linear);
    poise_release(m->sections);
    poise_release(m->ballasts);
    poise_release(m->numbers);
    *m = (PoiseExplorerModel){0};
}
