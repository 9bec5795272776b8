/* Remedies in words for a terminal of 80 columns. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "decide/remedy.h"
#include "output/layout.h"
#include "output/words.h"

static void angle(PoiseText *t, double deg)
{
    poise_text_append(t, " at ");
    poise_words_number(t, deg, 0);
    poise_text_append(t, "°");
}

/* The margin is told where it is judged: on the leg only without a strap. */
static void say_hold(PoiseText *t, const PoiseRemedyHold *h, bool many, bool margin,
                     const char *place)
{
    if (!h->known)
        return;
    poise_text_append(t, "; ");
    if (margin) {
        poise_text_append(t, "margin ");
        poise_words_number(t, h->margin_mm, 0);
        poise_text_append(t, " mm, ");
    }
    if (h->verdict == POISE_HOLDS) {
        poise_text_append(t, "holds by itself");
    } else if (isnan(h->hand_load_g)) {
        poise_text_append(t, poise_verdict_name(h->verdict));
    } else {
        poise_words_mass(t, fabs(h->hand_load_g));
        /* A hand beyond the edge has to do the opposite of what one expects. */
        poise_text_append(t,
                          h->hand_load_g > 0.0 ? " in the hand" : " to press down with the hand");
    }
    poise_text_append(t, place);
    if (many)
        angle(t, h->neck_angle_deg);
}

/* "; margin …; … on the leg" for every angle. */
static void say_state(PoiseText *t, const PoiseRemedies *r, const PoiseRemedyState *s)
{
    bool many = s->angle_count > 1;
    for (size_t i = 0; i < s->angle_count; i++) {
        if (r->strap)
            say_hold(t, &s->strap[i], many, true, "");
        /* The leg is shown where it matters: asked for, or no longer at rest. */
        if (r->leg || s->leg[i].verdict != POISE_HOLDS)
            say_hold(t, &s->leg[i], many, !r->strap, " on the leg");
    }
}

static void wrap(PoiseText *out, const char *first, size_t indent, PoiseText *paragraph)
{
    char *text = poise_text_take(paragraph);
    if (text)
        poise_layout_wrap(out, first, indent, text);
    else
        out->failed = true;
    poise_release(text);
}

static void fact(PoiseText *out, const char *label, PoiseText *value)
{
    char *text = poise_text_take(value);
    if (text)
        poise_layout_fact(out, label, text);
    else
        out->failed = true;
    poise_release(text);
}

static void say_head(PoiseText *out, const PoiseRemedies *r)
{
    PoiseText t = {0};
    poise_text_printf(&t, "%s%s%s%s: ", r->name, r->variant ? ", variant \"" : "",
                      r->variant ? r->variant : "", r->variant ? "\"" : "");
    if (r->met)
        poise_text_append(&t, "the target is met; there is nothing to remedy.");
    else
        poise_text_printf(&t, "%s.", r->worst);
    wrap(out, "", 0, &t);
    poise_text_append(out, "\n");
}

static void say_target(PoiseText *out, const PoiseRemedies *r)
{
    PoiseText t = {0};
    if (!isnan(r->target_mass_g)) {
        poise_text_append(&t, "at most ");
        poise_words_mass(&t, r->target_mass_g);
    }
    if (!isnan(r->target_hand_load_g)) {
        poise_text_append(&t, t.length ? ", at most " : "at most ");
        poise_words_mass(&t, r->target_hand_load_g);
        poise_text_append(&t, " in the hand");
    }
    if (!isnan(r->target_margin_mm)) {
        poise_text_append(&t, t.length ? ", a margin of " : "a margin of ");
        poise_words_number(&t, r->target_margin_mm, 0);
        poise_text_append(&t, " mm before it dives");
    }
    if (r->default_target)
        poise_text_printf(&t,
                          "%sthat it just holds by itself (the file's \"target\" says nothing of "
                          "the balance)",
                          t.length ? ", and " : "");
    for (size_t i = 0; i < r->now.angle_count; i++) {
        poise_text_append(&t, i ? " and" : "");
        angle(&t, r->now.strap[i].neck_angle_deg);
    }
    poise_text_append(&t, !r->strap ? ", on the leg"
                          : r->leg  ? ", on the strap and on the leg"
                                    : "");
    fact(out, "Target", &t);
}

static void say_now(PoiseText *out, const PoiseRemedies *r)
{
    PoiseText t = {0};
    poise_words_mass(&t, r->now.mass_g);
    say_state(&t, r, &r->now);
    fact(out, "Now", &t);
}

static void say_money(PoiseText *t, double change)
{
    if (isnan(change) || fabs(change) < 0.005)
        return;
    poise_text_append(t, "; ");
    poise_words_number(t, fabs(change), 2);
    poise_text_append(t, change > 0.0 ? " dearer" : " cheaper");
}

static void say_filament(PoiseText *t, double change_g)
{
    if (!(fabs(change_g) >= 0.5))
        return;
    poise_text_append(t, "; ");
    poise_words_mass(t, fabs(change_g));
    poise_text_append(t, change_g > 0.0 ? " more filament" : " less filament");
}

static void say_remedy(PoiseText *out, const PoiseRemedies *all, size_t i)
{
    const PoiseRemedy *r = &all->list[i];
    char first[32];
    PoiseText t = {0};
    snprintf(first, sizeof first, "%3zu  ", i + 1);
    poise_layout_wrap(out, first, 5, r->title);
    for (size_t k = 0; k < r->step_count && r->step_count > 1; k++)
        poise_layout_wrap(out, "       - ", 9, r->steps[k]);
    if (fabs(r->added_g) < 0.5) {
        poise_text_append(&t, "same weight (");
    } else {
        poise_words_mass(&t, fabs(r->added_g));
        poise_text_append(&t, r->added_g > 0.0 ? " heavier (" : " lighter (");
    }
    poise_words_mass(&t, r->state.mass_g);
    poise_text_append(&t, ")");
    say_state(&t, all, &r->state);
    say_money(&t, r->price_change);
    say_filament(&t, r->state.filament_g - all->now.filament_g);
    if (!r->proved)
        poise_text_append(&t, "; there may be a better one: the search ran out of time");
    wrap(out, "     ", 5, &t);
}

static void say_list(PoiseText *out, const PoiseRemedies *r)
{
    if (r->count == 0) {
        poise_text_append(out, "\nNothing that was tried reaches the target.\n");
        return;
    }
    poise_text_append(out,
                      "\nWays to reach it, the lightest first, then the cheapest, then the least "
                      "work.\nEach one was weighed anew and meets the whole target.\n");
    for (size_t i = 0; i < r->count; i++)
        say_remedy(out, r, i);
    if (r->unshown)
        poise_text_printf(out, "     %zu more: ask with --limit %zu\n", r->unshown,
                          r->count + r->unshown);
}

static void say_leverage(PoiseText *out, const PoiseRemedies *r)
{
    if (r->leverage_count)
        poise_text_append(out, "\nWhere weight off helps most\n");
    for (size_t i = 0; i < r->leverage_count; i++) {
        const PoiseLeverage *l = &r->leverages[i];
        PoiseText t = {0};
        poise_text_printf(&t, "%s (", l->id);
        poise_words_mass(&t, l->mass_g);
        poise_text_append(&t, "): each 10 g less takes ");
        poise_words_number(&t, -l->hand_load_per_10_g, 1);
        poise_text_append(&t, " g off the hand");
        if (!isnan(l->enough_g)) {
            poise_text_append(&t, "; ");
            poise_words_mass(&t, ceil(l->enough_g));
            poise_text_append(&t, " less would do it");
        }
        poise_text_append(&t, ".");
        wrap(out, "  - ", 4, &t);
    }
}

static bool says(const PoiseRemedies *r, const char *words)
{
    for (size_t i = 0; i < r->count; i++)
        for (size_t k = 0; k < r->list[i].step_count; k++)
            if (strstr(r->list[i].steps[k], words))
                return true;
    return false;
}

static bool has_kind(const PoiseRemedies *r, PoiseRemedyKind kind)
{
    for (size_t i = 0; i < r->count; i++)
        if (r->list[i].kind == kind)
            return true;
    return false;
}

static void say_care(PoiseText *out, const PoiseRemedies *r)
{
    poise_text_append(out, "\nBefore you rely on it\n");
    poise_layout_bullet(out,
                        "Masses are estimates until a scale has seen the part; strength is not "
                        "judged.");
    if (r->now.filament_g > 0.0)
        poise_layout_bullet(out, "Infill is kept within 8 to 60 %, perimeters within 2 to 6. A "
                                 "section that was weighed is left as it is.");
    if (says(r, ": infill ") || says(r, " perimeters instead of "))
        poise_layout_bullet(out,
                            "Less infill and fewer perimeters weaken a section. What carries the "
                            "neck, the bridge or a strap post needs more than the least.");
    poise_layout_bullet(
        out, "A part is offered when the library has it in the same family for the "
             "same thing; glue, dowels, ferrules, screws and strap posts are left alone. Check "
             "that it fits: holes, spacing, height.");
    if (says(r, " of ballast")) {
        poise_layout_bullet(
            out, r->instrument->has_posts
                     ? "Ballast inside the body is placed by the outline at the tail post's depth, "
                       "12 mm from the edge; whether there is room is not known here. Fix it so "
                       "that it cannot rattle or come loose. Its price is not counted."
                     : "Ballast inside the body is placed by the outline at the depth of the "
                       "centre of mass, 12 mm from the edge; whether there is room is not known "
                       "here. Fix it so that it cannot rattle or come loose. Its price is not "
                       "counted.");
        poise_layout_bullet(out,
                            "Lead is toxic: do not sand, file or melt it, wear gloves, wash "
                            "hands, seal it in, keep it from children. Steel, brass and tungsten "
                            "do as well. The product's safety sheet and local rules decide.");
    }
    if (has_kind(r, POISE_REMEDY_STRAP))
        poise_layout_bullet(out, "A strap is tried from 700 mm, or 1.3 times the distance of its "
                                 "posts, to 1.4 times its length now: the shorter it is, the "
                                 "higher the instrument hangs. Try it on first.");
    if (has_kind(r, POISE_REMEDY_POST))
        poise_layout_bullet(out,
                            "A strap post carries the instrument: its screw needs solid material, "
                            "which is not judged here. Prove it close to the ground.");
}

static void say_ending(PoiseText *out, const PoiseRemedies *r)
{
    PoiseText t = {0};
    if (r->shortfall_count)
        poise_text_append(out, "\nNot enough by itself\n");
    if (r->shortfall_count && !isnan(r->target_margin_mm)) { /* else all is in grams */
        poise_text_append(&t, "Told is the target that is missed by most; 1 mm counts as ");
        poise_words_number(&t, POISE_REMEDY_GRAMS_PER_MM, 0);
        poise_text_append(&t, " g in the hand.");
        wrap(out, "  ", 2, &t);
    }
    for (size_t i = 0; i < r->shortfall_count; i++)
        poise_layout_bullet(out, r->shortfalls[i].text);
    if (r->conflict_count)
        poise_text_append(out, "\nWhy\n");
    for (size_t i = 0; i < r->conflict_count; i++)
        poise_layout_bullet(out, r->conflicts[i]);
    say_leverage(out, r);
    if (r->note_count || r->dropped)
        poise_text_append(out, "\nNotes\n");
    for (size_t i = 0; i < r->note_count; i++)
        poise_layout_bullet(out, r->notes[i]);
    if (r->dropped) {
        poise_text_printf(&t, "%zu %s not shown: weighed anew, it missed the target.", r->dropped,
                          r->dropped == 1 ? "proposal is" : "proposals are");
        wrap(out, "  - ", 4, &t);
    }
    say_care(out, r);
    if (r->count)
        poise_text_append(out, "\nTo keep number N as a variant of the file, add --apply N.\n");
}

char *poise_remedies_text(const PoiseRemedies *r)
{
    PoiseText out = {0};
    say_head(&out, r);
    say_now(&out, r);
    say_target(&out, r);
    if (!r->met) {
        say_list(&out, r);
        say_ending(&out, r);
    }
    return poise_text_take(&out);
}
