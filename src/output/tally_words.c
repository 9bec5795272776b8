#include "output/tally_words.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"

/* Less than this of a gram is no correction that a screen shows. */
static const double CORRECTION_SHOWN_G = 0.005;

bool poise_tally_corrected(const PoiseTallyItem *item)
{
    return !item->weighed && (fabs(item->corrected_g - item->predicted_g) > CORRECTION_SHOWN_G ||
                              fabs(item->corrected_u_g - item->predicted_u_g) > CORRECTION_SHOWN_G);
}

void poise_words_mass_u(PoiseText *t, PoiseQuantity mass_g)
{
    poise_words_mass(t, mass_g.value);
    poise_text_append(t, " ± ");
    if (mass_g.u > 0.0 && mass_g.u < 0.05) { /* of a scale that shows tenths */
        poise_words_number(t, mass_g.u, 2);
        poise_text_append(t, " g");
    } else {
        poise_words_mass(t, mass_g.u);
    }
}

static void append_quantity(PoiseText *t, PoiseQuantity q, int decimals)
{
    poise_words_number(t, q.value, decimals);
    poise_text_append(t, " ± ");
    poise_words_number(t, q.u, decimals);
}

/* "1.270 ± 0.030, now 1.242 ± 0.011 g/cm³" */
static void add_change(PoiseFactList *list, const char *label, PoiseQuantity before,
                       PoiseQuantity after, const char *unit, const char *more)
{
    PoiseText t = {0};
    int decimals = after.u < 0.0005 ? 5 : 3; /* a ± of 0.000 would say nothing */
    append_quantity(&t, before, 3);
    poise_text_append(&t, ", now ");
    append_quantity(&t, after, decimals);
    poise_text_append(&t, unit);
    poise_text_append(&t, more);
    poise_facts_take(list, label, &t);
}

static void add_material(PoiseFactList *list, const PoiseTallyMaterial *m)
{
    if (m->weighed == 0)
        return;
    char *density = poise_format("%s", m->material->id);
    char *laid = poise_format("%s, as laid", m->material->id);
    if (!density || !laid)
        list->failed = true;
    if (density && !m->joint)
        add_change(list, density, m->density_before, m->density_after, " g/cm³",
                   poise_tally_in_profile(m) ? ""
                                             : " (of this instrument's wood: in no profile, for "
                                               "the next board is another one)");
    if (laid && m->printed) {
        PoiseText t = {0};
        poise_text_append(&t, m->joint ? " (density times flow, from the profile)"
                                       : " (density times flow: this product is what weighed "
                                         "prints tell");
        if (!m->joint && !isnan(m->correlation)) {
            poise_text_append(&t, "; the two errors' correlation is ");
            poise_words_number(&t, m->correlation, 2);
        }
        poise_text_append(&t, m->joint ? "" : ")");
        if (t.data && !t.failed)
            add_change(list, laid, m->laid_before, m->laid_after, " g/cm³", t.data);
        else
            list->failed = true;
        poise_text_clear(&t);
    }
    poise_release(density);
    poise_release(laid);
}

void poise_words_taught(PoiseFactList *list, const PoiseTally *t)
{
    if (t->learned_count == 0)
        return;
    if (t->has_flow)
        add_change(list, "Flow", t->flow_before, t->flow_after,
                   " of what the printer is told to lay",
                   t->flow_mixed ? " (items of another ± move in proportion)" : "");
    for (size_t i = 0; i < t->material_count; i++)
        add_material(list, &t->materials[i]);
    PoiseText text = {0};
    poise_text_append(&text, "readings that far from the estimates or farther come up in ");
    poise_words_number(&text, 100.0 * t->p_value, t->p_value < 0.1 ? 1 : 0);
    poise_text_printf(&text, " %% of cases when the ± are right (chi-square %.1f of %zu)", t->chi2,
                      t->learned_count);
    poise_facts_take(list, "Together", &text);
}

static void add_whole(PoiseFactList *list, const char *label, PoiseQuantity mass, const char *what)
{
    PoiseText t = {0};
    poise_words_mass_u(&t, mass);
    poise_text_append(&t, what);
    poise_facts_take(list, label, &t);
}

void poise_words_whole(PoiseFactList *list, const PoiseTally *t)
{
    add_whole(list, "As estimated", t->estimate, ", had nothing been weighed");
    if (t->weighed_count == 0)
        return;
    add_whole(list, "With readings", t->now, ", as \"poise weigh\" says");
    if (t->learned_count)
        add_whole(list, "Corrected", t->learned,
                  ", with the other estimates as the readings correct them");
}

void poise_words_next(PoiseFactList *list, const PoiseTally *t)
{
    for (size_t k = 0; k < t->next_count; k++) {
        const PoiseTallyItem *item = &t->items[t->next[k]];
        PoiseText text = {0};
        poise_text_append_inert(&text, item->id);
        poise_text_append(&text, ": the ± of the whole goes from ");
        poise_words_mass(&text, t->learned.u);
        poise_text_append(&text, " to ");
        poise_words_mass(&text, item->next_u_g);
        poise_facts_take(list, k == 0 ? "Weigh next" : "or", &text);
    }
}

/* Grams like those of the tables; a tenth of a millimetre. */
static int decimals_of(const PoiseTallyReading *r, double value)
{
    return r->unit[0] == 'g' && !(fabs(value) < 9.95) ? 0 : 1;
}

static void append_reading(PoiseText *t, const PoiseTallyReading *r, PoiseQuantity q)
{
    append_quantity(t, q, decimals_of(r, q.u));
    poise_text_printf(t, " %s", r->unit);
}

static void add_reading(PoiseFactList *list, const PoiseTallyReading *r)
{
    PoiseText t = {0};
    double gap = r->observed - r->predicted;
    poise_text_printf(&t, "%s, %s: ", r->what, r->method);
    append_reading(&t, r, (PoiseQuantity){r->observed, r->observed_u});
    poise_text_append(&t, "; expected ");
    append_reading(&t, r, (PoiseQuantity){r->predicted, r->predicted_u});
    poise_text_append(&t, "; gap ");
    poise_words_number(&t, gap, decimals_of(r, gap));
    poise_text_printf(&t, " %s", r->unit);
    if (!isnan(r->z)) {
        poise_text_append(&t, ", gap/± ");
        poise_words_number(&t, r->z, 1);
    }
    poise_text_append(&t, r->odd ? ": does NOT fit" : ": fits");
    poise_facts_take(list, "", &t);
}

void poise_words_observed(PoiseFactList *list, const PoiseTally *t)
{
    for (size_t i = 0; i < t->reading_count; i++)
        add_reading(list, &t->readings[i]);
    if (!t->has_friction)
        return;
    PoiseText text = {0};
    poise_text_append(&text, "friction of the strap, from the angle at which it slips (the neck ");
    poise_text_append(&text, t->slips == POISE_TAIL_HEAVY ? "rises): " : "sinks): ");
    append_quantity(&text, t->friction, 2);
    poise_text_append(&text, "; the file says ");
    append_quantity(&text, t->instrument->friction, 2);
    poise_facts_take(list, "", &text);
}

static void add_odd(PoiseFactList *list, const PoiseTallyItem *item)
{
    PoiseText t = {0};
    bool siblings = fabs(item->expected_z) > fabs(item->z);
    double against = siblings ? item->expected_g : item->predicted_g;
    double gap = item->weighed_g - against;
    poise_text_append_inert(&t, item->id);
    poise_text_append(&t, " weighs ");
    poise_words_mass(&t, fabs(gap));
    poise_text_append(&t, gap < 0.0 ? " less than " : " more than ");
    poise_text_append(&t, siblings ? "its weighed siblings lead to expect; " : "estimated; ");
    poise_words_mass(&t, item->unexplained_g);
    poise_text_append(&t,
                      " of that no uncertainty explains (beyond 3 ±). Weigh it again; then look "
                      "at ");
    poise_text_append(&t, strcmp(item->kind, "printed") == 0
                              ? "its settings, its mesh and the spool."
                              : "what the file says of it.");
    poise_facts_take(list, "", &t);
}

/* The reading of the whole in this unit that fits worst; NULL when all of them fit. */
static const PoiseTallyReading *worst_reading(const PoiseTally *t, char unit)
{
    const PoiseTallyReading *worst = NULL;
    for (size_t i = 0; i < t->reading_count; i++) {
        const PoiseTallyReading *r = &t->readings[i];
        if (r->odd && r->unit[0] == unit && (!worst || fabs(r->z) > fabs(worst->z)))
            worst = r;
    }
    return worst;
}

static void add_odd_whole(PoiseFactList *list, const PoiseTally *t)
{
    const PoiseTallyReading *mass = worst_reading(t, 'g'), *place = worst_reading(t, 'm');
    PoiseText text = {0};
    if (mass) {
        double gap = mass->observed - mass->predicted;
        poise_text_append(&text, "The whole weighs ");
        poise_words_mass(&text, fabs(gap));
        poise_text_append(&text, gap < 0.0 ? " less than expected. Weigh it again, and mind the "
                                             "unit; then look for items of the file that the real "
                                             "one does not have"
                                           : " more than expected. Weigh it again, and mind the "
                                             "unit; then look for what the real one has and the "
                                             "file has not (screws, wires, finish, ballast)");
        poise_text_append(&text, ", or for a wrong \"count\".");
        poise_facts_take(list, "", &text);
    }
    if (place) {
        poise_text_append(&text, "The balance point is ");
        poise_words_number(&text, fabs(place->observed - place->predicted), 1);
        poise_text_printf(&text,
                          " mm from where it is expected (%s). Take the reading again, and mind "
                          "where it counts from and which way; then look at the places (\"at\") of "
                          "the heaviest items, and for heavy ones that the file leaves out.",
                          place->method);
        poise_facts_take(list, "", &text);
    }
}

static void add_aside(PoiseFactList *list, const PoiseInstrument *in)
{
    for (size_t i = 0; i < in->item_count; i++) {
        PoiseText t = {0};
        if (!in->items[i].measured_aside)
            continue;
        poise_text_append_inert(&t, in->items[i].id);
        poise_text_append(&t, ": what it weighed is set aside, for the variant changes it.");
        poise_facts_take(list, "", &t);
    }
}

void poise_words_tally_notes(PoiseFactList *list, const PoiseTally *t)
{
    add_aside(list, t->instrument);
    for (size_t i = 0; i < t->item_count; i++)
        if (t->items[i].odd)
            add_odd(list, &t->items[i]);
    add_odd_whole(list, t);
    if (t->inconsistent)
        poise_facts_add(list, "",
                        "Taken together the readings do not fit the file's ±: what they teach is "
                        "not to be relied on before the cause is found.");
    if (t->profile_counts_twice)
        poise_facts_add(list, "",
                        "The profile was learned from this very instrument: its readings count "
                        "twice here, and the ± come out too small. A profile is for others.");
    if (t->instrument->has_rounded_readings)
        poise_facts_add(list, "",
                        "A mass read without ± counts as rounded to its last digit: 482 g is ± 0.3 "
                        "g, 0.48 kg is ± 2.9 g.");
    if (t->weighed_count == 0)
        poise_facts_add(list, "",
                        "Nothing is weighed yet. Put what a scale says under \"measured\": { "
                        "\"ITEM\": \"333 g ± 1 g\" }.");
    if (t->learned_count)
        poise_facts_add(list, "",
                        "\"poise weigh\" keeps to the file: estimates that the readings correct "
                        "here stay as they are there. --learn FILE writes what was learned as a "
                        "profile that other instruments include with \"profile\".");
}
