#include "report/doc.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/memory.h"

/* Where a value does not exist. */
static const char NOTHING[] = "–";

static void append(PoiseDoc *d, const char *html, const char *markdown)
{
    poise_text_append(&d->text, poise_doc_is_html(d) ? html : markdown);
}

void poise_doc_text(PoiseDoc *d, const char *piece)
{
    if (poise_doc_is_html(d))
        poise_html_append(&d->text, piece);
    else
        poise_words_markdown(&d->text, piece);
}

void poise_doc_own(PoiseDoc *d, const char *piece)
{
    if (poise_doc_is_html(d))
        poise_html_append(&d->text, piece);
    else
        poise_text_append(&d->text, piece);
}

void poise_doc_html(PoiseDoc *d, const char *markup)
{
    append(d, markup, "");
}

void poise_doc_end_section(PoiseDoc *d)
{
    if (d->in_section)
        append(d, "</section>\n", "");
    d->in_section = false;
}

void poise_doc_section(PoiseDoc *d, const char *id, const char *title)
{
    poise_doc_end_section(d);
    if (poise_doc_is_html(d))
        poise_text_printf(&d->text, "<section id=\"%s\">\n<h2>%s</h2>\n", id, title);
    else
        poise_text_printf(&d->text, "## %s\n\n", title);
    d->in_section = true;
}

void poise_doc_subtitle(PoiseDoc *d, const char *title)
{
    append(d, "<h3>", "### ");
    poise_doc_text(d, title);
    append(d, "</h3>\n", "\n\n");
}

static void paragraph(PoiseDoc *d, const char *text, void (*put)(PoiseDoc *, const char *))
{
    append(d, "<p>", "");
    put(d, text);
    append(d, "</p>\n", "\n\n");
}

void poise_doc_paragraph(PoiseDoc *d, const char *text)
{
    paragraph(d, text, poise_doc_own);
}

void poise_doc_quote(PoiseDoc *d, const char *text)
{
    paragraph(d, text, poise_doc_text);
}

void poise_doc_statement(PoiseDoc *d, const char *text)
{
    append(d, "<p class=\"verdict\">", "**");
    poise_doc_own(d, text);
    append(d, "</p>\n", "**\n\n");
}

void poise_doc_facts(PoiseDoc *d, PoiseFactList *list)
{
    if (list->count)
        append(d, "<dl>\n", "");
    for (size_t i = 0; i < list->count; i++) {
        append(d, "<dt>", "- ");
        poise_doc_own(d, list->lines[i].label);
        append(d, "</dt><dd>", ": ");
        if (list->lines[i].outside)
            poise_doc_text(d, list->lines[i].value);
        else
            poise_doc_own(d, list->lines[i].value);
        append(d, "</dd>\n", "\n");
    }
    if (list->count)
        append(d, "</dl>\n", "\n");
    d->text.failed = d->text.failed || list->failed;
    poise_facts_clear(list);
}

void poise_doc_list(PoiseDoc *d, const char *const *lines, size_t count)
{
    if (count == 0)
        return;
    append(d, "<ul>\n", "");
    for (size_t i = 0; i < count && lines[i]; i++) {
        append(d, "<li>", "- ");
        poise_doc_text(d, lines[i]);
        append(d, "</li>\n", "\n");
    }
    append(d, "</ul>\n", "\n");
}

static void table_in_html(PoiseDoc *d)
{
    poise_text_append(&d->text, "<div class=\"wide\"><table>\n<thead><tr>");
    for (size_t i = 0; i < d->column_count; i++) {
        poise_text_append(&d->text, d->columns[i].kind == POISE_COLUMN_NUMBER
                                        ? "<th scope=\"col\" class=\"n\">"
                                        : "<th scope=\"col\">");
        poise_html_append(&d->text, d->columns[i].title);
        poise_text_append(&d->text, "</th>");
    }
    poise_text_append(&d->text, "</tr></thead>\n<tbody>\n");
}

void poise_doc_table(PoiseDoc *d, const PoiseColumn *columns, size_t count)
{
    assert(count <= POISE_DOC_COLUMNS);
    memcpy(d->columns, columns, count * sizeof *columns);
    d->column_count = count;
    d->column = 0;
    if (poise_doc_is_html(d)) {
        table_in_html(d);
        return;
    }
    poise_text_append(&d->text, "|");
    for (size_t i = 0; i < count; i++)
        poise_text_printf(&d->text, " %s |", columns[i].title);
    poise_text_append(&d->text, "\n|");
    for (size_t i = 0; i < count; i++)
        poise_text_append(&d->text, columns[i].kind == POISE_COLUMN_NUMBER ? "--:|" : "---|");
    poise_text_append(&d->text, "\n");
}

void poise_doc_row(PoiseDoc *d, bool total)
{
    d->column = 0;
    append(d, total ? "<tr class=\"total\">" : "<tr>", "|");
}

static void begin_cell(PoiseDoc *d)
{
    assert(d->column < d->column_count);
    bool number = d->columns[d->column].kind == POISE_COLUMN_NUMBER;
    append(d, d->column == 0 ? "<th scope=\"row\">" : number ? "<td class=\"n\">" : "<td>", " ");
}

static void end_cell(PoiseDoc *d)
{
    append(d, d->column == 0 ? "</th>" : "</td>", " |");
    d->column++;
    if (d->column == d->column_count)
        append(d, "</tr>\n", "\n");
}

void poise_doc_cell(PoiseDoc *d, const char *text)
{
    begin_cell(d);
    poise_doc_text(d, text ? text : "");
    end_cell(d);
}

void poise_doc_number(PoiseDoc *d, double value, int decimals)
{
    begin_cell(d);
    if (isfinite(value))
        poise_words_number(&d->text, value, decimals);
    else
        poise_text_append(&d->text, NOTHING);
    end_cell(d);
}

void poise_doc_cell_take(PoiseDoc *d, PoiseText *cell)
{
    char *text = poise_text_take(cell);
    d->text.failed = d->text.failed || !text;
    poise_doc_cell(d, text);
    poise_release(text);
}

void poise_doc_form_cell(PoiseDoc *d, const char *what)
{
    bool tick = d->columns[d->column].kind == POISE_COLUMN_TICK;
    begin_cell(d);
    append(d,
           tick ? "<input type=\"checkbox\" aria-label=\""
                : "<input type=\"text\" class=\"blank\" autocomplete=\"off\" aria-label=\"",
           tick ? "☐" : "\\_\\_\\_\\_\\_\\_");
    if (poise_doc_is_html(d)) {
        poise_html_append(&d->text, d->columns[d->column].title);
        poise_text_append(&d->text, ": ");
        poise_html_append(&d->text, what);
        poise_text_append(&d->text, "\">");
    }
    end_cell(d);
}

void poise_doc_end_table(PoiseDoc *d)
{
    append(d, "</tbody>\n</table></div>\n", "\n");
}
