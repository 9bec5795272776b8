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

static void add_depth(PoiseFactList *list, const PoisePourFacts *p)
{
    PoiseText t = {0};
    if (isnan(p->depth_mm)) {
        poise_text_append(&t, "not known: give \"depth\" or a mesh, and the program says whether "
                              "it takes more than one pour");
    } else {
        append_mm(&t, p->depth_mm);
        if (p->pours == 1) {
            poise_text_append(&t, ", in one pour (deepest the material allows: ");
            append_mm(&t, p->limit_mm);
            poise_text_append(&t, ")");
        } else if (p->pours > 1) {
            poise_text_printf(&t, ", in %d pours of at most ", p->pours);
            append_mm(&t, p->limit_mm);
            poise_text_append(&t, "; wait between them as the product's data sheet says");
        } else {
            poise_text_append(&t, "; how deep one pour may be is not known for this material: ask "
                                  "its data sheet");
        }
    }
    poise_facts_take(list, "Depth", &t);
}

/* "part A 132 g, part B 116 g, pigment 4 g" of one of `pours` equal pours. */
static void append_cups(PoiseText *t, const PoisePourFacts *p, int pours)
{
    poise_text_append(t, "part A ");
    poise_words_mass(t, p->cup_a_g / pours);
    poise_text_append(t, ", part B ");
    poise_words_mass(t, p->cup_b_g / pours);
    if (p->pigment_g > 0.0) {
        poise_text_append(t, ", pigment ");
        poise_words_mass(t, p->pigment_g / pours);
    }
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
    append_cups(&t, p, 1);
    if (p->waste > 0.0)
        poise_text_printf(&t, "; %.0f %% more than the pocket holds, for what stays in the cup",
                          100.0 * p->waste);
    poise_facts_take(list, "Weigh out", &t);
    if (p->pours > 1) {
        append_cups(&t, p, p->pours);
        poise_text_append(&t, ", if all are equal");
        poise_facts_take(list, "For each pour", &t);
    }
}

void poise_words_pour(PoiseFactList *list, const PoiseItemResult *item)
{
    const PoiseItemBody *b = item->detail;
    if (!b || !b->has_pour)
        return;
    add_amount(list, item);
    add_depth(list, &b->pour);
    add_cups(list, &b->pour);
    if (b->pour.tilt_error_mm > 0.0) {
        PoiseText t = {0};
        poise_text_append(&t, "with the \"tilt\" of the file one side stands ");
        append_mm(&t, b->pour.tilt_error_mm);
        poise_text_append(&t, " deeper than the other");
        poise_facts_take(list, "Out of level", &t);
    }
    poise_facts_add(list, "Before you pour",
                    "read the product's safety sheet and data sheet; they decide on gloves, air, "
                    "mixing, depth and time to cure. Mixed resin heats up, and more so in a deep "
                    "pour or left in the cup.");
}
