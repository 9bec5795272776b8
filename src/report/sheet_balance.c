/* What it weighs, how it balances, and how sure that is. */
#include <math.h>

#include "base/memory.h"
#include "bodies/doubt.h"
#include "report/parts.h"

/* Sources of doubt shown; the rest is summed up. */
enum { SOURCES = 12 };

static void statement(PoiseDoc *doc, const PoiseWeighing *w,
                      void (*words)(PoiseText *, const PoiseWeighing *))
{
    PoiseText t = {0};
    words(&t, w);
    char *text = poise_text_take(&t);
    if (text)
        poise_doc_statement(doc, text);
    else
        doc->text.failed = true;
    poise_release(text);
}

static void facts(PoiseDoc *doc, const PoiseWeighing *w,
                  void (*words)(PoiseFactList *, const PoiseWeighing *))
{
    PoiseFactList list = {0};
    words(&list, w);
    poise_doc_facts(doc, &list);
}

void poise_sheet_head(PoiseDoc *doc, const PoiseSheetSource *s)
{
    const PoiseWeighing *w = s->weighing;
    bool html = poise_doc_is_html(doc);
    poise_text_append(&doc->text, html ? "<header>\n<p class=\"kind\">Build sheet</p>\n<h1>"
                                       : "# Build sheet: ");
    poise_doc_text(doc, w->name);
    poise_text_append(&doc->text, html ? "</h1>\n" : "\n\n");
    if (w->variant) {
        poise_text_append(&doc->text, html ? "<p>Variant: " : "Variant: ");
        poise_doc_text(doc, w->variant);
        poise_text_append(&doc->text, html ? "</p>\n" : "\n\n");
    }
    PoiseFactList list = {0};
    poise_words_weight(&list, w);
    poise_words_targets(&list, w);
    poise_words_print(&list, w);
    poise_doc_facts(doc, &list);
    if (w->has_strap)
        statement(doc, w, poise_words_strap_verdict);
    if (w->has_seat)
        statement(doc, w, poise_words_seat_verdict);
    if (w->caution_count)
        poise_text_append(&doc->text,
                          html ? "<p class=\"care\"><a href=\"#cautions\">Read the cautions</a> "
                                 "before you start. Every ± is one standard uncertainty.</p>\n"
                               : "Read the cautions below before you start. Every ± is one "
                                 "standard uncertainty.\n\n");
    poise_doc_html(doc, "</header>\n");
}

void poise_sheet_balance(PoiseDoc *doc, const PoiseSheetSource *s)
{
    const PoiseWeighing *w = s->weighing;
    if (!w->has_strap && !w->has_seat)
        return;
    poise_doc_section(doc, "balance", "Balance");
    if (w->has_strap) {
        poise_doc_subtitle(doc, "On the strap");
        statement(doc, w, poise_words_strap_verdict);
        facts(doc, w, poise_words_strap);
    }
    if (w->has_seat) {
        poise_doc_subtitle(doc, "On the leg");
        statement(doc, w, poise_words_seat_verdict);
        facts(doc, w, poise_words_seat);
    }
}

static void source_cell(PoiseDoc *doc, const PoiseWeighing *w, const PoiseBudgetLine *line)
{
    static const char *const alone[] = {
        "mass of ",       "density of ",          "the printer's flow",
        "place of ",      "the strap's friction", "the strap's length",
        "the neck angle", "the arm's weight"};
    PoiseText t = {0};
    poise_text_append(&t, alone[line->kind]);
    if (line->id)
        poise_text_append(&t, line->id);
    if (line->weighed)
        poise_text_append(&t, " (as weighed)");
    if (line->kind == POISE_DOUBT_DENSITY || line->kind == POISE_DOUBT_FLOW)
        poise_text_printf(&t, ", common to %zu item%s", line->items, line->items == 1 ? "" : "s");
    if (line->kind == POISE_DOUBT_PLACE && poise_words_place_guessed(w, line->id))
        poise_text_printf(&t, ", taken as ± %.0f mm", POISE_PLACE_U_MM);
    poise_doc_cell_take(doc, &t);
}

static void budget_row(PoiseDoc *doc, const PoiseWeighing *w, const PoiseBudgetLine *line,
                       bool strap)
{
    poise_doc_row(doc, false);
    source_cell(doc, w, line);
    poise_doc_number(doc, line->u[POISE_BUDGET_MASS], 1);
    poise_doc_number(doc, 100.0 * line->share[POISE_BUDGET_MASS], 0);
    if (!strap)
        return;
    poise_doc_number(doc, line->u[POISE_BUDGET_MARGIN], 1);
    poise_doc_number(doc, 100.0 * line->share[POISE_BUDGET_MARGIN], 0);
    poise_doc_number(doc, line->u[POISE_BUDGET_HAND_LOAD], 1);
}

/* Lines that matter to the weight or the margin, in the weighing's order. */
static bool matters(const PoiseBudgetLine *line)
{
    const double least = 0.005;
    return line->share[POISE_BUDGET_MASS] >= least || line->share[POISE_BUDGET_MARGIN] >= least;
}

void poise_sheet_doubt(PoiseDoc *doc, const PoiseSheetSource *s)
{
    static const PoiseColumn columns[] = {
        {"source of doubt", POISE_COLUMN_TEXT}, {"weight, ± g", POISE_COLUMN_NUMBER},
        {"share, %", POISE_COLUMN_NUMBER},      {"margin, ± mm", POISE_COLUMN_NUMBER},
        {"share, %", POISE_COLUMN_NUMBER},      {"hand load, ± g", POISE_COLUMN_NUMBER}};
    const PoiseWeighing *w = s->weighing;
    bool strap = w->has_strap && w->hanging.has_verdict;
    size_t shown = 0;
    poise_doc_section(doc, "doubt", "How sure");
    facts(doc, w, poise_words_doubt);
    if (w->budget_count == 0)
        return;
    poise_doc_paragraph(doc, "Where the ± comes from. The squares add up: halving the largest "
                             "source helps most, and a scale settles every mass.");
    poise_doc_table(doc, columns, strap ? 6 : 3);
    for (size_t i = 0; i < w->budget_count && shown < SOURCES; i++)
        if (matters(&w->budget[i])) {
            budget_row(doc, w, &w->budget[i], strap);
            shown++;
        }
    poise_doc_row(doc, true);
    poise_doc_cell(doc, shown < w->budget_count ? "all, smaller ones included" : "all");
    poise_doc_number(doc, w->mass_u_g, 1);
    poise_doc_number(doc, 100.0, 0);
    if (strap) {
        poise_doc_number(doc, w->margin_u_mm, 1);
        poise_doc_number(doc, 100.0, 0);
        poise_doc_number(doc, w->doubts.hand_load_g, 1);
    }
    poise_doc_end_table(doc);
}
