/* What to print and what to pour. */
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "bodies/item_body.h"
#include "bodies/print_facts.h"
#include "report/inputs.h"
#include "report/parts.h"

static void settings_cells(PoiseDoc *doc, const PoisePrinted *p)
{
    PoiseText t = {0};
    poise_doc_cell(doc, p->material ? p->material->name : "");
    if (p->toolpath) {
        for (int i = 0; i < 3; i++)
            poise_doc_cell(doc, "as programmed");
        return;
    }
    poise_doc_number(doc, 100.0 * p->infill.value, 0);
    poise_doc_number(doc, p->perimeters, 0);
    poise_text_printf(&t, "%g mm, lines %g mm, top %d, bottom %d", p->slicing.layer_mm,
                      p->slicing.line_mm, p->slicing.top, p->slicing.bottom);
    poise_doc_cell_take(doc, &t);
}

/* "yes", "yes, turned by 90°", "NO: 12.0 mm too long" */
static void bed_cell(PoiseDoc *doc, const PoiseItemBody *body)
{
    const PoisePrintFacts *f = &body->print;
    PoiseText t = {0};
    if (!body->has_print || !f->bed_known) {
        poise_text_append(&t, "–");
    } else if (f->fits_bed) {
        poise_text_append(&t, "yes");
        if (f->turn_deg > 0.0)
            poise_text_printf(&t, ", turned by %.0f°", f->turn_deg);
    } else {
        poise_text_append(&t, "NO: ");
        poise_bed_words(f, &t);
    }
    poise_doc_cell_take(doc, &t);
}

static void section_row(PoiseDoc *doc, const PoiseInstrument *in, const PoiseItem *item,
                        const PoiseItemResult *r)
{
    const PoisePrinted *p = &item->as.printed;
    poise_doc_row(doc, false);
    PoiseText name = {0};
    poise_text_append(&name, item->id);
    if (item->count > 1)
        poise_text_printf(&name, " (%d pieces)", item->count);
    poise_doc_cell_take(doc, &name);
    char *shown = poise_shown_name(in, p->mesh ? p->mesh : p->toolpath);
    doc->text.failed = doc->text.failed || !shown;
    poise_doc_cell(doc, shown);
    poise_release(shown);
    settings_cells(doc, p);
    poise_doc_number(doc, r->body.mass_g, 1);
    poise_doc_number(doc, r->filament_g, 0);
    poise_doc_number(doc, r->filament_m, 1);
    poise_doc_number(doc, r->filament_h, 1);
    bed_cell(doc, r->detail);
}

void poise_sheet_print(PoiseDoc *doc, const PoiseSheetSource *s)
{
    static const PoiseColumn columns[] = {
        {"section", POISE_COLUMN_TEXT},       {"mesh", POISE_COLUMN_TEXT},
        {"material", POISE_COLUMN_TEXT},      {"infill, %", POISE_COLUMN_NUMBER},
        {"perimeters", POISE_COLUMN_NUMBER},  {"layers", POISE_COLUMN_TEXT},
        {"weighs, g", POISE_COLUMN_NUMBER},   {"filament, g", POISE_COLUMN_NUMBER},
        {"filament, m", POISE_COLUMN_NUMBER}, {"hours", POISE_COLUMN_NUMBER},
        {"fits the bed", POISE_COLUMN_TEXT}};
    const PoiseWeighing *w = s->weighing;
    double body_g = 0.0;
    size_t sections = 0;
    for (size_t i = 0; i < w->item_count; i++)
        if (s->instrument->items[i].kind == POISE_ITEM_PRINTED)
            sections++;
    if (sections == 0)
        return;
    poise_doc_section(doc, "print", "Sections to print");
    poise_doc_table(doc, columns, 11);
    for (size_t i = 0; i < w->item_count; i++)
        if (s->instrument->items[i].kind == POISE_ITEM_PRINTED) {
            section_row(doc, s->instrument, &s->instrument->items[i], &w->items[i]);
            body_g += w->items[i].body.mass_g;
        }
    poise_doc_row(doc, true);
    poise_doc_cell(doc, "All");
    for (int i = 0; i < 5; i++)
        poise_doc_cell(doc, "");
    poise_doc_number(doc, body_g, 1);
    poise_doc_number(doc, w->filament_g, 0);
    poise_doc_number(doc, w->filament_m, 1);
    poise_doc_number(doc, w->filament_h, 1);
    poise_doc_cell(doc, "");
    poise_doc_end_table(doc);
    poise_doc_paragraph(
        doc,
        "\"Weighs\" is the section as it comes off the bed, cleaned; \"filament\" adds what is "
        "thrown away (waste, supports). Perimeters are the outlines of each layer, top and "
        "bottom its solid layers. Hours follow from the printer's flow and a loss for each "
        "layer; the printer's own program knows them better.");
    PoiseFactList list = {0};
    poise_words_print(&list, w);
    poise_doc_facts(doc, &list);
}

void poise_sheet_pours(PoiseDoc *doc, const PoiseSheetSource *s)
{
    bool any = false;
    for (size_t i = 0; i < s->weighing->item_count; i++) {
        PoiseFactList list = {0};
        poise_words_pour(&list, &s->weighing->items[i]);
        if (!list.count) {
            doc->text.failed = doc->text.failed || list.failed;
            continue;
        }
        if (!any)
            poise_doc_section(doc, "pour", "Resin card");
        any = true;
        poise_doc_subtitle(doc, s->weighing->items[i].id);
        const PoiseItem *item = &s->instrument->items[i];
        if (item->note)
            poise_doc_quote(doc, item->note);
        poise_doc_facts(doc, &list);
    }
}
