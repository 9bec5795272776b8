/* Ways to the balance target that were considered. */
#include <math.h>

#include "base/memory.h"
#include "report/parts.h"

/* A build sheet is no catalogue: the command "remedy" has them all. */
enum { SHOWN = 5 };

/* The stance that matters: the first neck angle, on the strap where there is one. */
static const PoiseRemedyHold *hold_of(const PoiseRemedies *r, const PoiseRemedyState *state)
{
    return r->strap ? &state->strap[0] : &state->leg[0];
}

static void remedy_row(PoiseDoc *doc, const PoiseRemedies *all, const PoiseRemedy *r)
{
    const PoiseRemedyHold *hold = hold_of(all, &r->state);
    PoiseText steps = {0};
    poise_text_append(&steps, r->title);
    for (size_t i = 0; i < r->step_count && r->step_count > 1; i++)
        poise_text_printf(&steps, "%s%s", i ? "; " : ": ", r->steps[i]);
    poise_doc_row(doc, false);
    poise_doc_cell_take(doc, &steps);
    poise_doc_number(doc, r->state.mass_g, 0);
    poise_doc_number(doc, r->added_g, 0);
    poise_doc_number(doc, hold->margin_mm, 0);
    poise_doc_number(doc, hold->hand_load_g, 0);
    poise_doc_number(doc, r->price_change, 2);
}

static void as_it_stands(PoiseDoc *doc, const PoiseRemedies *r)
{
    const PoiseRemedyHold *hold = hold_of(r, &r->now);
    poise_doc_row(doc, true);
    poise_doc_cell(doc, "as it stands");
    poise_doc_number(doc, r->now.mass_g, 0);
    poise_doc_number(doc, 0.0, 0);
    poise_doc_number(doc, hold->margin_mm, 0);
    poise_doc_number(doc, hold->hand_load_g, 0);
    poise_doc_number(doc, 0.0, 2);
}

static void remedy_table(PoiseDoc *doc, const PoiseRemedies *r)
{
    static const PoiseColumn columns[] = {{"way", POISE_COLUMN_TEXT},
                                          {"weight, g", POISE_COLUMN_NUMBER},
                                          {"change, g", POISE_COLUMN_NUMBER},
                                          {"margin, mm", POISE_COLUMN_NUMBER},
                                          {"hand load, g", POISE_COLUMN_NUMBER},
                                          {"price change", POISE_COLUMN_NUMBER}};
    poise_doc_table(doc, columns, 6);
    as_it_stands(doc, r);
    for (size_t i = 0; i < r->count && i < SHOWN; i++)
        remedy_row(doc, r, &r->list[i]);
    poise_doc_end_table(doc);
}

static void sentence(PoiseDoc *doc, char *text)
{
    doc->text.failed = doc->text.failed || !text;
    if (text)
        poise_doc_quote(doc, text);
    poise_release(text);
}

void poise_sheet_remedies(PoiseDoc *doc, const PoiseSheetSource *s)
{
    const PoiseRemedies *r = s->remedies;
    poise_doc_section(doc, "remedies", "Remedies considered");
    if (!r) {
        poise_doc_paragraph(doc, "None: there is no balance to judge (no strap posts and strap, no "
                                 "seat, or nothing to hold at this neck angle).");
        return;
    }
    if (r->met) {
        poise_doc_paragraph(doc, r->default_target ? "None needed: it holds by itself."
                                                   : "None needed: the target is met.");
        return;
    }
    if (r->worst)
        sentence(doc, poise_format("What is wrong: %s.", r->worst));
    if (r->count == 0) {
        poise_doc_paragraph(doc, "Nothing that was tried reaches the target.");
    } else {
        poise_doc_paragraph(doc, "Each of these was weighed anew and meets the whole target; the "
                                 "lightest stands first. Strength and fit are not judged.");
        remedy_table(doc, r);
        if (r->count + r->unshown > SHOWN)
            poise_doc_paragraph(doc, "\"poise remedy FILE\" lists more of them, and writes one "
                                     "into the file with --apply.");
    }
    poise_doc_list(doc, (const char *const *)r->conflicts, r->conflict_count);
}
