/* The targets of a file in words: met, missed and by what, or not to be judged. */
#include <math.h>
#include <string.h>

#include "output/words.h"

/* Why a target cannot be judged: "the file has neither a strap nor a seat". */
static const char *unknown_target(const PoiseWeighing *w)
{
    if (!w->has_strap && !w->has_seat)
        return isnan(w->tail_h_mm) ? "the file has neither strap posts nor a seat"
                                   : "the file has neither a strap nor a seat";
    return !w->has_strap || w->hanging.has_verdict
               ? "the file does not say where the hand is"
               : "the horn post is not headwards of the tail post";
}

/* A value that misses its limit, with as many digits as it takes to see that. */
static void append_missed(PoiseText *t, const char *unit, double value, double limit)
{
    enum { MOST = 6 };
    int decimals = 0;
    for (; decimals < MOST; decimals++) {
        double scale = pow(10.0, decimals);
        if (round(value * scale) != round(limit * scale))
            break;
    }
    poise_words_number(t, value, decimals);
    poise_text_printf(t, " %s", unit);
}

/* The same for a mass, as masses are written elsewhere when that tells the two apart. */
static void append_missed_mass(PoiseText *t, double value_g, double limit_g)
{
    PoiseText value = {0}, limit = {0};
    poise_words_mass(&value, value_g);
    poise_words_mass(&limit, limit_g);
    t->failed = t->failed || value.failed || limit.failed;
    if (!t->failed && strcmp(value.data, limit.data) == 0)
        append_missed(t, "g", value_g, limit_g);
    else if (!t->failed)
        poise_text_append(t, value.data);
    poise_text_clear(&value);
    poise_text_clear(&limit);
}

void poise_words_targets(PoiseFactList *list, const PoiseWeighing *w)
{
    for (size_t i = 0; i < w->target_count; i++) {
        const PoiseTargetResult *r = &w->targets[i];
        PoiseText t = {0};
        bool margin = strcmp(r->key, "margin") == 0;
        poise_text_append(&t, margin ? "at least " : "at most ");
        if (margin) {
            poise_words_number(&t, r->limit, 0);
            poise_text_append(&t, " mm");
        } else {
            poise_words_mass(&t, r->limit);
        }
        poise_text_append(&t, r->on_leg ? " on the leg" : "");
        if (!r->known)
            poise_text_printf(&t, ": not known: %s", unknown_target(w));
        else
            poise_text_append(&t, r->met ? ": met" : ": NOT met");
        if (r->known && !r->met) {
            poise_text_append(&t, " (");
            if (isnan(r->value))
                poise_text_append(&t, "the hand cannot hold it there");
            else if (margin)
                append_missed(&t, "mm", r->value, r->limit);
            else
                append_missed_mass(&t, r->value, r->limit);
            poise_text_append(&t, ")");
        }
        poise_facts_take(list,
                         margin             ? "Target margin"
                         : r->key[0] == 'm' ? "Target mass"
                                            : "Target hand load",
                         &t);
    }
}
