/* The build sheet as a whole. */
#include "base/faults.h"
#include "base/memory.h"
#include "poise/version.h"
#include "report/assets.h"
#include "report/parts.h"

/* The sheet may fetch nothing and send nothing; its own script and engine may run. */
static const char POLICY[] =
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; "
    "style-src 'unsafe-inline'; script-src 'unsafe-inline' 'wasm-unsafe-eval'; base-uri 'none'; "
    "form-action 'none'\">\n";

static void begin(PoiseDoc *doc, const PoiseWeighing *w)
{
    if (!poise_doc_is_html(doc))
        return;
    PoiseText *t = &doc->text;
    poise_text_append(t, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    poise_text_append(t, POLICY);
    poise_text_append(t, "<meta name=\"viewport\" content=\"width=device-width\">\n");
    poise_text_printf(t, "<meta name=\"generator\" content=\"poise %s\">\n<title>",
                      poise_version());
    poise_html_append(t, w->name);
    poise_text_append(t, ": build sheet</title>\n<style>\n");
    poise_text_append_n(t, (const char *)POISE_SHEET_CSS, POISE_SHEET_CSS_SIZE);
    poise_text_append(t, "</style>\n</head>\n<body>\n<main>\n");
}

static PoiseStatus fill(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults)
{
    begin(doc, s->weighing);
    poise_sheet_head(doc, s);
    PoiseStatus status = poise_sheet_pictures(doc, s, faults);
    poise_sheet_balance(doc, s);
    if (!status && poise_doc_is_html(doc))
        status = poise_sheet_explorer(doc, s, faults);
    poise_sheet_print(doc, s);
    poise_sheet_pours(doc, s);
    poise_sheet_shopping(doc, s);
    poise_sheet_assembly(doc, s);
    poise_sheet_remedies(doc, s);
    poise_sheet_doubt(doc, s);
    poise_sheet_assumptions(doc, s);
    poise_sheet_cautions(doc, s);
    if (!status)
        status = poise_sheet_inputs(doc, s, faults);
    poise_doc_end_section(doc);
    poise_doc_html(doc, "</main>\n</body>\n</html>\n");
    return status;
}

PoiseStatus poise_build_sheet(const PoiseSheetSource *source, PoiseDocFormat format, char **out,
                              PoiseFaults *faults)
{
    PoiseDoc doc = {.format = format};
    *out = NULL;
    PoiseStatus status = fill(&doc, source, faults);
    if (status) {
        poise_text_clear(&doc.text);
        return status;
    }
    *out = poise_text_take(&doc.text);
    return *out ? POISE_OK : poise_fault_memory(faults);
}
