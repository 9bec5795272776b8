/* What to weigh out for a pour, in words: the resin card. */
#include <math.h>

#include "bodies/item_body.h"
#include "output/words.h"

static const double MM3_PER_ML = 1000.0;

static void append_mm(PoiseText *t, double mm)
{
    poise_words_number(t, mm, 1);
    poise_text_append(t, " mm");
}

static void add_amount(PoiseFactList *list, const PoiseItemResult *r)
{
    PoiseText t = {0};
    poise_words_number(&t, r->solid_mm3 / MM3_PER_ML, 0);
    poise_text_append(&t, " mL, ");
    poise_words_mass(&t, r->predicted_g);
    poise_text_append(&t, " once cured");
    poise_facts_take(list, "In the pocket", &t);
}

/* ", up to 5.8 mm deep at the low side" of each of `pours` equal pours; nothing for a level one. */
static void append_low_side(PoiseText *t, const PoisePourFacts *p)
{
    if (!(p->low_rise_mm > 0.0))
        return;
    if (p->floor_dry) {
        poise_text_append(t, ", which leaves part of the floor dry");
        return;
    }
    poise_text_append(t, p->rise_at_least ? ", at least " : ", up to ");
    append_mm(t, p->depth_mm / p->pours + p->low_rise_mm);
    poise_text_append(t, " at the low side");
}

static void append_pours(PoiseText *t, const PoisePourFacts *p)
{
    bool level = !(p->low_rise_mm > 0.0);
    if (p->too_steep) {
        poise_text_append(t, ", but as far out of level as the file says no number of pours covers "
                             "the floor and keeps to ");
        append_mm(t, p->limit_mm);
        poise_text_printf(t, ": level the body first; level, it takes %d %s", p->level_pours,
                          p->level_pours == 1 ? "pour" : "pours");
    } else if (p->pours == 0) {
        poise_text_append(t, "; how deep one pour may be is not known for this material: ask its "
                             "data sheet");
    } else if (p->pours > 1 && level) {
        poise_text_printf(t, ", in %d pours of at most ", p->pours);
        append_mm(t, p->limit_mm);
    } else {
        if (p->pours == 1) {
            poise_text_append(t, ", in one pour");
        } else {
            poise_text_printf(t, ", in %d pours of ", p->pours);
            append_mm(t, p->depth_mm / p->pours);
        }
        append_low_side(t, p);
        poise_text_append(t, " (deepest the material allows: ");
        append_mm(t, p->limit_mm);
        poise_text_append(t, ")");
    }
    if (p->pours > 1)
        poise_text_append(t, "; wait between them as the product's data sheet says");
}

static void add_depth(PoiseFactList *list, const PoisePourFacts *p)
{
    PoiseText t = {0};
    if (isnan(p->depth_mm)) {
        poise_text_append(&t, "not known: give \"depth\" or a mesh, and the program says whether "
                              "it takes more than one pour");
    } else {
        append_mm(&t, p->depth_mm);
        append_pours(&t, p);
    }
    poise_facts_take(list, "Depth", &t);
}

/* Parts A and B and the pigment, in the order they are named. */
enum { LIQUIDS = 3 };

/* "part A 132 g, part B 116 g, pigment 4 g" of all pours together. */
static void append_cups(PoiseText *t, const double grams[LIQUIDS], bool tenths)
{
    static const char *const names[LIQUIDS] = {"part A ", ", part B ", ", pigment "};
    for (int i = 0; i < LIQUIDS; i++) {
        if (i == 2 && !(grams[i] > 0.0))
            continue;
        poise_text_append(t, names[i]);
        if (tenths) {
            poise_words_number(t, grams[i], 1);
            poise_text_append(t, " g");
        } else {
            poise_words_mass(t, grams[i]);
        }
    }
}

/* Splits what is shown of all, in tenths of a gram, into pours - 1 equal ones and a last one, so
 * that they add up as shown. */
static void split_tenths(double all_g, int pours, double *each_g, double *last_g)
{
    double all = round(10.0 * all_g), each = round(all / pours);
    if (each * (pours - 1) > all)
        each = floor(all / pours);
    *each_g = each / 10.0;
    *last_g = (all - each * (pours - 1)) / 10.0;
}

static void add_each_pour(PoiseFactList *list, const double grams[LIQUIDS], int pours)
{
    PoiseText t = {0};
    double each_g[LIQUIDS], last_g[LIQUIDS];
    bool same = true;
    for (int i = 0; i < LIQUIDS; i++) {
        split_tenths(grams[i], pours, &each_g[i], &last_g[i]);
        same = same && fabs(each_g[i] - last_g[i]) < 0.01;
    }
    append_cups(&t, each_g, true);
    if (!same) {
        poise_text_append(&t, "; the last one: ");
        append_cups(&t, last_g, true);
    }
    poise_facts_take(list, "For each pour", &t);
}

static void add_cups(PoiseFactList *list, const PoisePourFacts *p)
{
    PoiseText t = {0};
    if (!p->has_cups) {
        poise_facts_add(list, "Weigh out",
                        "not known: give \"mix\" with the ratio on the label, and for a ratio by "
                        "volume a material that has the densities of both parts");
        return;
    }
    const double grams[LIQUIDS] = {p->cup_a_g, p->cup_b_g, p->pigment_g};
    append_cups(&t, grams, p->pours > 1);
    if (p->pours > 1)
        poise_text_append(&t, " in all");
    if (p->waste > 0.0)
        poise_text_printf(&t, "; %.0f %% more than the pocket holds, for what stays in the cup",
                          100.0 * p->waste);
    poise_facts_take(list, "Weigh out", &t);
    if (p->pours > 1)
        add_each_pour(list, grams, p->pours);
}

static void add_level(PoiseFactList *list, const PoisePourFacts *p)
{
    PoiseText t = {0};
    if (!(p->tilt_deg > 0.0))
        return;
    if (isnan(p->low_rise_mm)) {
        poise_text_append(&t,
                          "with the \"tilt\" of the file one side stands deeper than the other; "
                          "how much, cannot be told without a mesh");
    } else if (p->rise_at_least) {
        poise_text_append(&t, "with the \"tilt\" of the file the depth changes by at least ");
        append_mm(&t, p->low_rise_mm);
        poise_text_append(&t, " from the middle to the low side (as in a round pocket); how much "
                              "more, cannot be told without a mesh");
    } else {
        poise_text_append(&t, "with the \"tilt\" of the file one side stands ");
        append_mm(&t, p->tilt_error_mm);
        poise_text_append(&t, " deeper than the other; filled to the rim, up to ");
        append_mm(&t, p->low_rise_mm);
        poise_text_append(&t, " above it");
    }
    if (p->over_rim || p->floor_dry || p->too_steep)
        poise_text_append(&t, "; level the body first");
    poise_facts_take(list, "Out of level", &t);
}

void poise_words_pour(PoiseFactList *list, const PoiseItemResult *item)
{
    const PoiseItemBody *b = item->detail;
    if (!b || !b->has_pour)
        return;
    add_amount(list, item);
    add_depth(list, &b->pour);
    add_cups(list, &b->pour);
    add_level(list, &b->pour);
    poise_facts_add(list, "Before you pour",
                    "read the product's safety sheet and data sheet; they decide on gloves, air, "
                    "mixing, depth and time to cure. Mixed resin heats up, and more so in a deep "
                    "pour or left in the cup.");
}
