/* What to buy, and what to tick off while it grows together. */
#include <math.h>

#include "base/memory.h"
#include "report/parts.h"

static bool is_bought(const PoiseItem *item, const PoiseItemResult *r)
{
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
    case POISE_ITEM_POURED:
        return false; /* filament and resin stand on their own cards */
    case POISE_ITEM_MASS:
        return r->body.mass_g > 0.0;
    case POISE_ITEM_SOLID:
    case POISE_ITEM_NECK:
    case POISE_ITEM_STRINGS:
    case POISE_ITEM_PART:
        break;
    }
    return true;
}

static void append_strings(PoiseText *t, const PoiseStrings *s)
{
    poise_text_printf(t, "set of %zu:", s->count);
    for (size_t i = 0; i < s->count; i++)
        poise_text_printf(t, "%s %.2f mm%s", i ? "," : "", s->strings[i].gauge_mm.value,
                          s->strings[i].wound ? " wound" : "");
}

static void append_frets(PoiseText *t, const PoiseNeck *neck)
{
    if (neck->frets > 0)
        poise_text_printf(t, ", %d %s", neck->frets, neck->frets == 1 ? "fret" : "frets");
    else if (isnan(neck->length_mm) && neck->length_as_frets > 0)
        poise_text_printf(t, ", fretless, as long as one with %d %s", neck->length_as_frets,
                          neck->length_as_frets == 1 ? "fret" : "frets");
    else
        poise_text_append(t, ", fretless");
}

static void what_cell(PoiseDoc *doc, const PoiseItem *item)
{
    PoiseText t = {0};
    switch (item->kind) {
    case POISE_ITEM_PART:
        poise_text_append(&t, item->part->name);
        break;
    case POISE_ITEM_NECK:
        poise_text_append(&t, "shaft ");
        poise_text_append(&t, item->as.neck.shaft ? item->as.neck.shaft->name : "unknown");
        if (item->as.neck.board && item->as.neck.board_mm > 0.0) {
            poise_text_append(&t, ", board ");
            poise_text_append(&t, item->as.neck.board->name);
        }
        append_frets(&t, &item->as.neck);
        break;
    case POISE_ITEM_STRINGS:
        append_strings(&t, &item->as.strings);
        break;
    case POISE_ITEM_SOLID:
        poise_text_append(&t, item->as.solid.material ? item->as.solid.material->name : "");
        break;
    case POISE_ITEM_PRINTED:
    case POISE_ITEM_POURED:
    case POISE_ITEM_MASS:
        poise_text_append(&t,
                          item->kind == POISE_ITEM_MASS && item->as.mass.ballast ? "ballast" : "");
        break;
    }
    if (item->note) {
        poise_text_append(&t, t.length ? "; " : "");
        poise_text_append(&t, item->note);
    }
    poise_doc_cell_take(doc, &t);
}

/* Wood, plastic or metal to cut from is an item too, but has no pieces to count. */
static void shopping_row(PoiseDoc *doc, const PoiseItem *item, const PoiseItemResult *r)
{
    poise_doc_row(doc, false);
    poise_doc_cell(doc, item->id);
    what_cell(doc, item);
    poise_doc_number(doc, item->count, 0);
    poise_doc_number(doc, r->body.mass_g / item->count, 1);
    poise_doc_number(doc, r->body.mass_g, 1);
    poise_doc_number(doc, r->price, 2);
}

void poise_sheet_shopping(PoiseDoc *doc, const PoiseSheetSource *s)
{
    static const PoiseColumn columns[] = {
        {"item", POISE_COLUMN_TEXT},         {"what", POISE_COLUMN_TEXT},
        {"pieces", POISE_COLUMN_NUMBER},     {"g each", POISE_COLUMN_NUMBER},
        {"g together", POISE_COLUMN_NUMBER}, {"price together", POISE_COLUMN_NUMBER}};
    const PoiseWeighing *w = s->weighing;
    double mass_g = 0.0, price = 0.0;
    size_t rows = 0, priced = 0;
    poise_doc_section(doc, "parts", "Parts to buy");
    poise_doc_table(doc, columns, 6);
    for (size_t i = 0; i < w->item_count; i++) {
        const PoiseItemResult *r = &w->items[i];
        if (!is_bought(&s->instrument->items[i], r))
            continue;
        shopping_row(doc, &s->instrument->items[i], r);
        rows++;
        mass_g += r->body.mass_g;
        priced += isnan(r->price) ? 0 : 1;
        price += isnan(r->price) ? 0.0 : r->price;
    }
    poise_doc_row(doc, true);
    poise_doc_cell(doc, "All");
    poise_doc_cell(doc, "");
    poise_doc_cell(doc, "");
    poise_doc_cell(doc, "");
    poise_doc_number(doc, mass_g, 1);
    poise_doc_number(doc, priced ? price : (double)NAN, 2);
    poise_doc_end_table(doc);
    char *note = poise_format("Prices are in the instrument file's own currency and a rough guide; "
                              "%zu of %zu are known. The whole with filament: ",
                              priced, rows);
    PoiseText t = {0};
    poise_text_append(&t, note ? note : "");
    t.failed = t.failed || !note;
    poise_release(note);
    if (isnan(w->price))
        poise_text_append(&t, "not known.");
    else
        poise_text_printf(&t, "%.2f, as far as prices are known.", w->price);
    char *text = poise_text_take(&t);
    doc->text.failed = doc->text.failed || !text;
    poise_doc_paragraph(doc, text ? text : "");
    poise_release(text);
}

/* What has been on the scale already stands beside its estimate, and asks for nothing. */
static void assembly_row(PoiseDoc *doc, const PoiseItemResult *r, double so_far_g)
{
    poise_doc_row(doc, false);
    poise_doc_cell(doc, r->id);
    poise_doc_number(doc, r->measured ? r->predicted_g : r->body.mass_g, 1);
    poise_doc_number(doc, r->measured ? r->predicted_u_g : r->mass_u_g, 1);
    poise_doc_number(doc, so_far_g, 0);
    if (r->measured) {
        poise_doc_number(doc, r->body.mass_g, 1);
        poise_doc_cell(doc, "weighed");
        return;
    }
    poise_doc_form_cell(doc, r->id);
    poise_doc_form_cell(doc, r->id);
}

void poise_sheet_assembly(PoiseDoc *doc, const PoiseSheetSource *s)
{
    static const PoiseColumn columns[] = {{"item", POISE_COLUMN_TEXT},
                                          {"should weigh, g", POISE_COLUMN_NUMBER},
                                          {"± g", POISE_COLUMN_NUMBER},
                                          {"all so far, g", POISE_COLUMN_NUMBER},
                                          {"on the scale, g", POISE_COLUMN_BLANK},
                                          {"done", POISE_COLUMN_TICK}};
    const PoiseWeighing *w = s->weighing;
    double so_far_g = 0.0;
    poise_doc_section(doc, "assembly", "Weigh as you build");
    poise_doc_paragraph(doc, "Weigh each item when it is finished and before it goes on. One in "
                             "twenty may be further off than twice its ±; one that is further off "
                             "than three times deserves a second look. Put what the scale says "
                             "under \"measured\" in the instrument file: \"poise tally\" then says "
                             "what it teaches. \"All so far\" counts a weighed item as "
                             "weighed.");
    poise_doc_table(doc, columns, 6);
    for (size_t i = 0; i < w->item_count; i++) {
        const PoiseItemResult *r = &w->items[i];
        so_far_g += r->body.mass_g;
        if (r->body.mass_g > 0.0)
            assembly_row(doc, r, so_far_g);
    }
    poise_doc_row(doc, true);
    poise_doc_cell(doc, "Finished instrument");
    poise_doc_number(doc, w->total.mass_g, 1);
    poise_doc_number(doc, w->mass_u_g, 1);
    poise_doc_number(doc, w->total.mass_g, 0);
    poise_doc_form_cell(doc, "finished instrument");
    poise_doc_form_cell(doc, "finished instrument");
    poise_doc_end_table(doc);
}
