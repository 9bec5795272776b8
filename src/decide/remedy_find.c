/* From the searches to the ranked list: every proposal is read and weighed as the variant it would
 * be. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "decide/remedy_task.h"
#include "output/words.h"

static bool hold_meets(const PoiseRemedyHold *h, double hand_load_g, double margin_mm)
{
    if (!h->known)
        return false;
    if (isnan(hand_load_g)) /* only a margin is asked: then it must at least not press down */
        return h->verdict != POISE_TAIL_HEAVY && (isnan(margin_mm) || h->margin_mm >= margin_mm);
    return fabs(h->hand_load_g) <= hand_load_g && (isnan(margin_mm) || h->margin_mm >= margin_mm);
}

/* What is asked of the strap is asked of the leg where there is no strap; else the leg has the same
 * hand load. */
static bool leg_meets(const PoiseRemedyTask *t, const PoiseRemedyHold *h)
{
    if (!t->strap)
        return hold_meets(h, t->hand_load_g, t->margin_mm);
    return hold_meets(h, isnan(t->hand_load_g) ? 0.0 : t->hand_load_g, (double)NAN);
}

/* By the full statics, as weighing judges the targets. */
static bool state_meets(const PoiseRemedyTask *t, const PoiseRemedyState *s)
{
    if (!isnan(t->out->target_mass_g) && !(s->mass_g <= t->out->target_mass_g))
        return false;
    for (size_t i = 0; i < s->angle_count; i++) {
        if (t->strap && !hold_meets(&s->strap[i], t->hand_load_g, t->margin_mm))
            return false;
        if (t->leg && !leg_meets(t, &s->leg[i]))
            return false;
    }
    return true;
}

static double or_zero(double x)
{
    return isnan(x) ? 0.0 : x;
}

static int by_rank(const void *a, const void *b)
{
    const PoiseRemedy *x = a, *y = b;
    double keys[3] = {round(x->added_g) - round(y->added_g),
                      round(100.0 * or_zero(x->price_change)) -
                          round(100.0 * or_zero(y->price_change)),
                      (double)(x->effort - y->effort)};
    for (int i = 0; i < 3; i++)
        if (keys[i] != 0.0)
            return keys[i] < 0.0 ? -1 : 1;
    return strcmp(x->title, y->title);
}

/* The instrument with the remedy as a variant of its file. */
static PoiseStatus read_changed(const PoiseRemedyTask *t, const PoiseRemedy *r,
                                PoiseInstrument **changed, PoiseFaults *faults)
{
    cJSON *tree = cJSON_Duplicate(t->document->root, 1);
    cJSON *patch = poise_remedy_variant(t->document, t->variant, r);
    char *name = poise_variant_free_name(
        cJSON_GetObjectItemCaseSensitive(t->document->root, "variants"), r->name);
    PoiseText pointer = {0};
    poise_text_append(&pointer, "/variants");
    poise_pointer_push(&pointer, name ? name : "");
    char *path = poise_text_take(&pointer);
    PoiseStatus status = POISE_E_MEMORY;
    if (tree && patch && name && path) {
        status = poise_pointer_set(tree, path, patch);
        patch = NULL;
    }
    if (!status)
        status = poise_instrument_from_document(t->document, tree, name, t->dir, t->shelf, changed,
                                                faults);
    cJSON_Delete(patch);
    cJSON_Delete(tree);
    poise_release(name);
    poise_release(path);
    return status;
}

/* *good: it reads, weighs and meets the target. Anything but memory is a proposal that failed. */
static PoiseStatus weigh_changed(PoiseRemedyTask *t, PoiseRemedy *r, bool *good)
{
    PoiseInstrument *changed = NULL;
    PoiseWeighing *w = NULL;
    PoiseFaults *own = poise_faults_new();
    *good = false;
    if (!own)
        return POISE_E_MEMORY;
    PoiseStatus status = read_changed(t, r, &changed, own);
    if (!status)
        status = poise_weigh(changed, &t->options.weigh, &w, own);
    if (!status) {
        poise_task_state(t, changed, w, &r->state, own);
        *good = state_meets(t, &r->state);
        r->added_g = r->state.mass_g - t->out->now.mass_g;
        r->price_change = r->state.price - t->out->now.price;
    }
    poise_weighing_free(w);
    poise_instrument_free(changed);
    poise_faults_free(own);
    return status == POISE_E_MEMORY ? status : POISE_OK;
}

static PoiseStatus weigh_all(PoiseRemedyTask *t)
{
    PoiseRemedies *out = t->out;
    size_t most = t->options.most ? t->options.most : POISE_REMEDY_SHOWN, kept = 0, i = 0;
    if (out->count)
        qsort(out->list, out->count, sizeof *out->list, by_rank);
    for (; i < out->count && kept < most; i++) {
        bool good;
        PoiseStatus status = weigh_changed(t, &out->list[i], &good);
        if (status)
            return status;
        if (!good) {
            poise_remedy_clear(&out->list[i]);
            out->dropped++;
            continue;
        }
        if (kept != i) {
            out->list[kept] = out->list[i];
            out->list[i] = (PoiseRemedy){0};
        }
        kept++;
    }
    out->unshown = out->count - i;
    for (; i < out->count; i++)
        poise_remedy_clear(&out->list[i]);
    out->count = kept;
    if (kept)
        qsort(out->list, kept, sizeof *out->list, by_rank);
    return POISE_OK;
}

static void say_worst(PoiseRemedyTask *t)
{
    double by;
    PoiseText text = {0};
    const PoiseRemedies *out = t->out;
    const PoiseGoal *g =
        poise_goals_worst(t->goals, t->goal_count, t->total.mass_g, t->total.moment_gmm, &by);
    if (!g)
        return;
    double value = g->asked + by;
    if (g->kind == POISE_GOAL_MASS) {
        poise_words_mass(&text, out->now.mass_g);
        poise_text_append(&text, "; the target is at most ");
        poise_words_mass(&text, g->asked);
    } else if (g->kind == POISE_GOAL_MARGIN) {
        poise_text_append(&text, "a margin of ");
        poise_words_number(&text, g->asked - by, 0);
        poise_text_append(&text, g->leg ? " mm to the dive on the leg at " : " mm to the dive at ");
        poise_words_number(&text, g->neck_angle_deg, 0);
        poise_text_append(&text, "°; the target is at least ");
        poise_words_number(&text, g->asked, 0);
        poise_text_append(&text, " mm");
    } else if (!(g->arm_mm > 0.0)) {
        poise_words_number(&text, by, 0);
        poise_text_append(&text,
                          g->kind == POISE_GOAL_LIFT ? " mm too neck-heavy" : " mm too tail-heavy");
        poise_text_append(&text, g->leg ? " on the leg at " : " at ");
        poise_words_number(&text, g->neck_angle_deg, 0);
        poise_text_append(&text, "°, and no hand there can help");
    } else {
        poise_words_mass(&text, value);
        poise_text_append(&text, g->kind == POISE_GOAL_LIFT ? " in the hand"
                                                            : " to press down with the hand");
        poise_text_append(&text, g->leg ? " on the leg at " : " at ");
        poise_words_number(&text, g->neck_angle_deg, 0);
        if (g->asked > 0.0) {
            poise_text_append(&text, "°; the target is ");
            poise_words_mass(&text, g->asked);
        } else {
            poise_text_append(&text, "°; it should hold by itself");
        }
    }
    t->out->worst = poise_text_take(&text);
    if (!t->out->worst)
        t->out->failed = true;
}

static PoiseStatus search_all(PoiseRemedyTask *t, PoiseFaults *faults)
{
    static PoiseStatus (*const searches[])(PoiseRemedyTask *, PoiseFaults *) = {
        poise_remedy_ballast, poise_remedy_place, poise_remedy_strap, poise_remedy_posts,
        poise_remedy_combine};
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < sizeof searches / sizeof *searches && !status; i++)
        status = searches[i](t, faults);
    if (!status)
        poise_remedy_leverage(t);
    return status;
}

static PoiseStatus find(PoiseRemedyTask *t, PoiseFaults *faults)
{
    PoiseStatus status = poise_task_open(t, faults);
    if (!status)
        status = poise_task_state(t, t->instrument, t->weighing, &t->out->now, faults);
    if (status)
        return status;
    t->out->met = state_meets(t, &t->out->now);
    if (t->out->met)
        return POISE_OK;
    say_worst(t);
    status = search_all(t, faults);
    if (!status && !t->out->failed)
        status = weigh_all(t);
    if (!status && t->out->failed)
        status = POISE_E_MEMORY;
    return status == POISE_E_MEMORY ? poise_fault_memory(faults) : status;
}

PoiseStatus poise_remedies_find(const PoiseDocument *document, const char *variant, const char *dir,
                                const PoiseShelf *shelf, const PoiseRemedyOptions *options,
                                PoiseRemedies **remedies, PoiseFaults *faults)
{
    *remedies = NULL;
    PoiseRemedies *out = poise_alloc_zero(1, sizeof *out);
    PoiseRemedyTask *task = poise_alloc_zero(1, sizeof *task);
    if (!out || !task) {
        poise_release(out);
        poise_release(task);
        return poise_fault_memory(faults);
    }
    PoiseStatus status = poise_instrument_from_document(document, NULL, variant, dir, shelf,
                                                        &out->instrument, faults);
    if (!status) {
        const PoiseInstrument *in = out->instrument;
        out->name = in->name;
        out->file = in->file;
        out->variant = in->variant;
        *task = (PoiseRemedyTask){.document = document,
                                  .variant = variant,
                                  .dir = dir,
                                  .shelf = shelf,
                                  .options = *options,
                                  .instrument = in,
                                  .out = out};
        status = find(task, faults);
        poise_task_close(task);
    }
    poise_release(task);
    if (status)
        poise_remedies_free(out);
    else
        *remedies = out;
    return status;
}
