#include "output/words.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

const char *const POISE_MODEL_LIMITS[] = {
    "The shoulder is taken as one point. Strap stretch, the curve of the back and the body's "
    "friction on the "
    "instrument are left out; all of them help to hold, so the hand load is an upper estimate.",
    "Friction of a strap on clothing stands in no handbook: common practice runs from 0.2 (webbing "
    "on a smooth "
    "shirt) to 0.6 (suede on cotton). Try both ends before you decide.",
    "Masses are estimates until a scale has seen the part; ± is one standard uncertainty. Strength "
    "is not judged.",
    NULL};

const char *const POISE_RULES_OF_THUMB[] = {
    "Balance is likely when the horn post stands over the 12th fret or nearer the head.",
    "The centre of mass should lie between the posts.",
    "Solid bodies commonly weigh 2.7 to 4.1 kg.", NULL};

static const double GRAMS_PER_OUNCE = 28.349523125; /* avoirdupois, exact: 0.45359237 kg / 16 */

void poise_facts_add(PoiseFactList *list, const char *label, const char *format, ...)
{
    if (list->failed)
        return;
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    PoiseFactLine line = {poise_copy_text(label), poise_text_take(&text), false};
    PoiseFactLine *larger = poise_resize(list->lines, list->count + 1, sizeof *larger);
    if (larger)
        list->lines = larger;
    if (!larger || !line.label || !line.value) {
        poise_release(line.label);
        poise_release(line.value);
        list->failed = true;
        return;
    }
    larger[list->count++] = line;
}

void poise_facts_take(PoiseFactList *list, const char *label, PoiseText *value)
{
    char *text = poise_text_take(value);
    if (text)
        poise_facts_add(list, label, "%s", text);
    else
        list->failed = true;
    poise_release(text);
}

void poise_facts_clear(PoiseFactList *list)
{
    for (size_t i = 0; i < list->count; i++) {
        poise_release(list->lines[i].label);
        poise_release(list->lines[i].value);
    }
    poise_release(list->lines);
    *list = (PoiseFactList){0};
}

void poise_words_number(PoiseText *text, double value, int decimals)
{
    double scale = pow(10.0, decimals);
    double rounded = round(value * scale) / scale;
    if (rounded == 0.0)
        rounded = 0.0; /* drops the sign of a negative zero */
    poise_text_printf(text, "%s%.*f", rounded < 0.0 ? "\u2212" : "", decimals, fabs(rounded));
}

void poise_words_mass(PoiseText *text, double mass_g)
{
    double size = fabs(mass_g);
    if (size >= 999.5) {
        poise_words_number(text, mass_g / 1000.0, 2);
        poise_text_append(text, " kg");
    } else {
        poise_words_number(text, mass_g, size < 9.95 ? 1 : 0);
        poise_text_append(text, " g");
    }
}

const char *poise_words_group(const char *kind)
{
    static const char *const groups[][2] = {{"printed", "Printed sections"}, {"poured", "Poured"},
                                            {"solid", "Solid pieces"},       {"neck", "Neck"},
                                            {"strings", "Strings"},          {"part", "Parts"},
                                            {"mass", "Other masses"}};
    for (size_t i = 0; i < sizeof groups / sizeof *groups; i++)
        if (strcmp(kind, groups[i][0]) == 0)
            return groups[i][1];
    return "Other";
}

/* "312 mm", "−83 mm" */
static void append_mm(PoiseText *t, double mm)
{
    poise_words_number(t, mm, 0);
    poise_text_append(t, " mm");
}

static void append_deg(PoiseText *t, double deg)
{
    poise_words_number(t, deg, 0);
    poise_text_append(t, "°");
}

/* " at the nut", " at fret 5", or nothing for a position of the file's own. */
static void append_hand(PoiseText *t, const PoiseWeighing *w)
{
    if (w->hand_text && strcmp(w->hand_text, "nut") == 0)
        poise_text_append(t, " at the nut");
    else if (w->hand_text && strncmp(w->hand_text, "fret", 4) == 0)
        poise_text_printf(t, " at %s", w->hand_text);
}

static const char *headwards(double mm)
{
    return mm < 0.0 ? "tailwards of" : "headwards of";
}

void poise_words_weight(PoiseFactList *list, const PoiseWeighing *w)
{
    PoiseText t = {0};
    double ounces = round(w->total.mass_g / GRAMS_PER_OUNCE);
    poise_words_mass(&t, w->total.mass_g);
    poise_text_append(&t, " ± ");
    poise_words_mass(&t, w->mass_u_g);
    poise_text_printf(&t, " (%.0f lb %.0f oz)", floor(ounces / 16.0), fmod(ounces, 16.0));
    poise_facts_take(list, "Weight", &t);
    const struct {
        double mm;
        const char *what;
    } stations[] = {{w->from_tail_post_mm, "the tail post"},
                    {w->from_saddle_mm, "the saddle"},
                    {w->from_nut_mm, "the nut"}};
    bool any = false;
    for (size_t i = 0; i < 3; i++) {
        if (isnan(stations[i].mm))
            continue;
        poise_text_append(&t, any ? ", " : "");
        append_mm(&t, fabs(stations[i].mm));
        poise_text_printf(&t, " %s %s", headwards(stations[i].mm), stations[i].what);
        any = true;
    }
    if (any)
        poise_facts_take(list, "Centre of mass", &t);
    else
        poise_text_clear(&t);
}

void poise_words_strap_verdict(PoiseText *t, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    if (!w->has_strap || !h->has_verdict) {
        poise_text_append(t, "No verdict: see the warnings.");
        return;
    }
    static const char *const starts[] = {"Holds", "Neck-heavy", "Tail-heavy"};
    poise_text_printf(t, "%s at ", starts[h->verdict]);
    append_deg(t, w->neck_angle_deg);
    if (h->verdict == POISE_HOLDS) {
        poise_text_append(t, ": the strap keeps the neck where it is put.");
    } else if (isnan(h->hand_load_g)) {
        poise_text_append(t, h->verdict == POISE_NECK_HEAVY ? ": the neck dives."
                                                            : ": the neck rises.");
    } else {
        poise_text_append(t, h->verdict == POISE_NECK_HEAVY ? ": the fretting hand holds up "
                                                            : ": the fretting hand pulls down ");
        poise_words_mass(t, fabs(h->hand_load_g));
        append_hand(t, w);
        poise_text_append(t, ".");
    }
}

void poise_words_seat_verdict(PoiseText *t, const PoiseWeighing *w)
{
    const PoiseResting *r = &w->resting;
    if (r->verdict == POISE_HOLDS) {
        poise_text_append(t, "Holds on the leg: it rests without help.");
        return;
    }
    bool neck = r->verdict == POISE_NECK_HEAVY;
    poise_text_append(t, neck ? "Neck-heavy on the leg" : "Tail-heavy on the leg");
    if (isnan(r->hand_load_g)) {
        poise_text_append(t, neck ? ": the neck dives." : ": the neck rises.");
        return;
    }
    poise_text_append(t,
                      neck ? ": the fretting hand holds up " : ": the fretting hand pulls down ");
    poise_words_mass(t, fabs(r->hand_load_g));
    append_hand(t, w);
    poise_text_append(t, ".");
}

/* "131 to 281 mm headwards of the tail post, measured level; the centre of mass is at 273 mm" */
static void add_window(PoiseText *t, PoiseInterval window_mm, double station_mm)
{
    poise_words_number(t, window_mm.lo, 0);
    poise_text_append(t, " to ");
    append_mm(t, window_mm.hi);
    poise_text_append(t, " headwards of the tail post, measured level; the centre of mass is at ");
    append_mm(t, station_mm);
}

static void add_margin(PoiseFactList *list, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    PoiseText t = {0};
    add_window(&t, h->window_mm, h->station_mm);
    poise_facts_take(list, "Holding window", &t);
    append_mm(&t, h->margin_mm);
    poise_text_append(&t, " ± ");
    append_mm(&t, w->margin_u_mm);
    poise_text_append(&t, h->margin_mm < 0.0 ? " (too near the head by that much)"
                                             : " (room towards the head before it dives)");
    poise_facts_take(list, "Margin", &t);
}

static void add_friction(PoiseFactList *list, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    if (isnan(h->needed_friction))
        poise_facts_add(list, "Friction needed",
                        "none would do (the centre is not between the posts)");
    else
        poise_facts_add(list, "Friction needed", "%.2f; the file says %.2f ± %.2f",
                        h->needed_friction, w->strap.friction, w->friction_u);
}

static void add_angles(PoiseFactList *list, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    PoiseText t = {0};
    if (!h->has_verdict)
        return;
    if (h->verdict != POISE_HOLDS) {
        if (isnan(h->settles_at_deg)) {
            poise_text_append(&t, "it does not settle at any angle");
        } else {
            poise_text_append(&t, "settles with the neck at ");
            append_deg(&t, h->settles_at_deg);
        }
        poise_facts_take(list, "Let go", &t);
    }
    if (h->holds_somewhere) {
        poise_text_append(&t, "neck angles from ");
        append_deg(&t, h->hold_range_deg.lo);
        poise_text_append(&t, " to ");
        append_deg(&t, h->hold_range_deg.hi);
    } else {
        poise_text_append(&t, "at no neck angle");
    }
    poise_facts_take(list, "Holds by itself", &t);
    if (!isnan(w->free_hang_deg)) {
        poise_text_append(&t, "the neck would come to rest at ");
        append_deg(&t, w->free_hang_deg);
        poise_facts_take(list, "Without friction", &t);
    }
    if (!isnan(w->lean_deg)) {
        poise_text_append(&t, "the face tips ");
        poise_text_append(&t, w->lean_deg < 0.0 ? "up by " : "down by ");
        append_deg(&t, fabs(w->lean_deg));
        poise_text_append(&t, w->lean_deg < 0.0 ? " (the body of the player stops it)"
                                                : " if nothing stops it");
        poise_facts_take(list, "Lean", &t);
    }
}

void poise_words_strap(PoiseFactList *list, const PoiseWeighing *w)
{
    if (!w->has_strap)
        return;
    if (w->hanging.has_verdict) {
        add_margin(list, w);
        add_friction(list, w);
    }
    add_angles(list, w);
}

void poise_words_seat(PoiseFactList *list, const PoiseWeighing *w)
{
    if (!w->has_seat || isnan(w->tail_h_mm))
        return;
    PoiseText t = {0};
    PoiseInterval window = {w->resting.window_mm.lo - w->tail_h_mm,
                            w->resting.window_mm.hi - w->tail_h_mm};
    add_window(&t, window, w->resting.horizontal_mm - w->tail_h_mm);
    poise_text_append(&t, w->has_arm ? " with the arm's weight" : "");
    poise_facts_take(list, "Leg carries", &t);
}

void poise_words_print(PoiseFactList *list, const PoiseWeighing *w)
{
    if (!(w->filament_g > 0.0))
        return;
    PoiseText t = {0};
    poise_words_mass(&t, w->filament_g);
    poise_text_printf(&t, " (%.0f m), %.1f spools, about %.0f hours of printing", w->filament_m,
                      w->spools, w->filament_h);
    poise_facts_take(list, "Filament", &t);
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
        if (margin)
            append_mm(&t, r->limit);
        else
            poise_words_mass(&t, r->limit);
        poise_text_append(&t, r->met ? ": met" : ": NOT met");
        if (!r->met && !isnan(r->value)) {
            poise_text_append(&t, " (");
            if (margin)
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
