/* A document that is written once and comes out as HTML or as Markdown. Every piece of text given
 * here is made inert and escaped: names from files may hold anything. */
#ifndef POISE_REPORT_DOC_H
#define POISE_REPORT_DOC_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"
#include "output/words.h"

typedef enum PoiseDocFormat { POISE_DOC_HTML, POISE_DOC_MARKDOWN } PoiseDocFormat;

typedef enum PoiseColumnKind {
    POISE_COLUMN_TEXT,
    POISE_COLUMN_NUMBER, /* right-aligned */
    POISE_COLUMN_TICK,   /* a box to tick */
    POISE_COLUMN_BLANK   /* to be filled in by hand */
} PoiseColumnKind;

typedef struct PoiseColumn {
    const char *title;
    PoiseColumnKind kind;
} PoiseColumn;

enum { POISE_DOC_COLUMNS = 12 };

typedef struct PoiseDoc {
    PoiseDocFormat format;
    PoiseText text;
    bool in_section;
    size_t column_count, column; /* of the table being written */
    PoiseColumn columns[POISE_DOC_COLUMNS];
    bool total_row;
} PoiseDoc;

/* Appends text for HTML, both between tags and inside a quoted attribute. */
void poise_html_append(PoiseText *text, const char *piece);
/* Base64 (RFC 4648, section 4). */
void poise_base64_append(PoiseText *text, const void *data, size_t size);

/* Text in the document's format. Words of our own need no escapes in Markdown. */
void poise_doc_text(PoiseDoc *doc, const char *piece);
void poise_doc_own(PoiseDoc *doc, const char *piece);
/* Markup for HTML alone. */
void poise_doc_html(PoiseDoc *doc, const char *markup);
static inline bool poise_doc_is_html(const PoiseDoc *doc)
{
    return doc->format == POISE_DOC_HTML;
}

/* Begins a section (ending the one before); `id` is ours, letters and hyphens. */
void poise_doc_section(PoiseDoc *doc, const char *id, const char *title);
void poise_doc_end_section(PoiseDoc *doc);
void poise_doc_subtitle(PoiseDoc *doc, const char *title);
/* A paragraph in words of our own, and one that quotes a file. */
void poise_doc_paragraph(PoiseDoc *doc, const char *text);
void poise_doc_quote(PoiseDoc *doc, const char *text);
/* A paragraph that stands out. */
void poise_doc_statement(PoiseDoc *doc, const char *text);
/* Label and value, line by line; empties the list. */
void poise_doc_facts(PoiseDoc *doc, PoiseFactList *list);
void poise_doc_list(PoiseDoc *doc, const char *const *lines, size_t count);

void poise_doc_table(PoiseDoc *doc, const PoiseColumn *columns, size_t count);
/* Begins a row, which ends with its last cell; `total` sets it apart. */
void poise_doc_row(PoiseDoc *doc, bool total);
void poise_doc_cell(PoiseDoc *doc, const char *text);
/* "–" when the value does not exist. */
void poise_doc_number(PoiseDoc *doc, double value, int decimals);
/* Takes over what was built up in `cell`, and empties it. */
void poise_doc_cell_take(PoiseDoc *doc, PoiseText *cell);
/* A box to tick, or a blank to fill in, for `what` (read out to those who cannot see it). */
void poise_doc_form_cell(PoiseDoc *doc, const char *what);
void poise_doc_end_table(PoiseDoc *doc);

#endif
