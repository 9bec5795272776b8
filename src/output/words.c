#include "output/words.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

const char POISE_STRAP_LIMIT[] =
    "The shoulder is taken as one point. Strap stretch, the curve of the back and the body's "
    "friction on the "
    "instrument are left out; all of them help to hold, so the hand load is an upper estimate.";
static const char FRICTION_LIMIT[] =
    "Friction of a strap on clothing stands in no handbook: common practice runs from 0.2 (webbing "
    "on a smooth "
    "shirt) to 0.6 (suede on cotton). Try both ends before you decide.";
static const char MASS_LIMIT[] =
    "Masses are estimates until a scale has seen the part; ± is one standard uncertainty. Strength "
    "is not judged.";

/* Few solid guitars have a scale below 22 inches, 558.8 mm (common practice, no source); what is
 * shorter, a ukulele or a mandolin, is of another weight. */
static const double GUITAR_SCALE_MM = 558.0;

size_t poise_words_limits(const PoiseWeighing *w, const char *lines[POISE_MOST_LINES])
{
    size_t n = 0;
    if (w->has_strap) {
        lines[n++] = POISE_STRAP_LIMIT;
        lines[n++] = FRICTION_LIMIT;
    }
    lines[n++] = MASS_LIMIT;
    return n;
}

size_t poise_words_rules(const PoiseWeighing *w, const char *lines[POISE_MOST_LINES])
{
    size_t n = 0;
    if (!isnan(w->from_tail_post_mm)) {
        lines[n++] =
            "Balance is likely when the horn post stands over the 12th fret or nearer the head.";
        lines[n++] = "The centre of mass should lie between the posts.";
    }
    if (w->from_saddle_mm - w->from_nut_mm >= GUITAR_SCALE_MM)
        lines[n++] = "Solid bodies commonly weigh 2.7 to 4.1 kg.";
    return n;
}

/* The neck angle at which the neck stands upright, head up or (negative) down. */
static const double UPRIGHT_DEG = 90.0;
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

/* ": the fretting hand holds up 214 g at the nut." Lifting is positive; a hand on the other side of
 * the edge it tips over has to push the other way, which no one does while playing. */
static void append_load(PoiseText *t, const PoiseWeighing *w, PoiseVerdict verdict, double load_g)
{
    bool neck = verdict == POISE_NECK_HEAVY;
    if (isnan(load_g)) {
        poise_text_append(t, neck ? ": the neck dives." : ": the neck rises.");
        return;
    }
    bool lifts = load_g > 0.0;
    poise_text_printf(t, ": the fretting hand %s ",
                      lifts == neck ? (neck ? "holds up" : "pulls down")
                      : lifts       ? "would have to push up with"
                                    : "would have to press down with");
    poise_words_mass(t, fabs(load_g));
    append_hand(t, w);
    poise_text_append(t, ".");
}

static const char *headwards(double mm)
{
    return mm < 0.0 ? "tailwards of" : "headwards of";
}

/* " (7 lb 11 oz)"; under a pound " (12.3 oz)". */
static void append_ounces(PoiseText *t, double mass_g)
{
    double exact = mass_g / GRAMS_PER_OUNCE, ounces = round(exact);
    if (ounces < 16.0)
        poise_text_printf(t, " (%.*f oz)", exact < 0.1 ? 2 : 1, exact);
    else
        poise_text_printf(t, " (%.0f lb %.0f oz)", floor(ounces / 16.0), fmod(ounces, 16.0));
}

void poise_words_weight(PoiseFactList *list, const PoiseWeighing *w)
{
    PoiseText t = {0};
    poise_words_mass(&t, w->total.mass_g);
    poise_text_append(&t, " ± ");
    poise_words_mass(&t, w->mass_u_g);
    append_ounces(&t, w->total.mass_g);
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
    } else {
        append_load(t, w, h->verdict, h->hand_load_g);
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
    append_load(t, w, r->verdict, r->hand_load_g);
}

/* "131 to 281 mm headwards of the tail post, measured level; the centre of mass is at 273 mm" */
static void add_window(PoiseText *t, PoiseInterval window_mm, double station_mm, const char *from)
{
    poise_words_number(t, window_mm.lo, 0);
    poise_text_append(t, " to ");
    append_mm(t, window_mm.hi);
    poise_text_printf(t, " headwards of %s, measured level; the centre of mass is at ", from);
    append_mm(t, station_mm);
}

static void add_margin(PoiseFactList *list, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    PoiseText t = {0};
    add_window(&t, h->window_mm, h->station_mm, "the tail post");
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

/* The angles at which it holds are looked for between −90° and 90°; it may hang still beyond. */
static void append_free_hang(PoiseText *t, double deg)
{
    double beyond = fabs(deg) - UPRIGHT_DEG;
    poise_text_append(t, "it would hang still with the neck ");
    if (fabs(beyond) < 0.5) {
        poise_text_printf(t, "straight %s, at ", deg < 0.0 ? "down" : "up");
        append_deg(t, deg);
        return;
    }
    poise_text_append(t, "at ");
    append_deg(t, deg);
    if (beyond > 0.0)
        poise_text_printf(t, ", turned over past %s", deg < 0.0 ? "−90°" : "90°");
}

static void add_angles(PoiseFactList *list, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    PoiseText t = {0};
    if (!h->has_verdict)
        return;
    if (h->verdict != POISE_HOLDS) {
        if (isnan(h->settles_at_deg)) {
            bool neck = h->verdict == POISE_NECK_HEAVY;
            poise_text_append(&t, neck ? "the neck falls: no angle from "
                                       : "the neck rises: no angle from ");
            append_deg(&t, w->neck_angle_deg);
            poise_text_append(&t, neck ? " down to −90° holds it" : " up to 90° holds it");
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
        poise_text_append(&t, "at no neck angle between −90° and 90°");
    }
    poise_facts_take(list, "Holds by itself", &t);
    if (!isnan(w->free_hang_deg)) {
        append_free_hang(&t, w->free_hang_deg);
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
    if (!w->has_seat)
        return;
    PoiseText t = {0};
    double from = w->seat_from_h_mm;
    PoiseInterval window = {w->resting.window_mm.lo - from, w->resting.window_mm.hi - from};
    add_window(&t, window, w->resting.horizontal_mm - from,
               isnan(w->tail_h_mm) ? "the seat's rest" : "the tail post");
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
