/* The instrument at a glance: side and front view, drawn by the plot room. An SVG picture inside an
 * <img> runs no script and fetches nothing, whatever it holds (SVG 2, 2.2.2 "secure static mode").
 */
#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "plot/plot.h"
#include "plot/render.h"
#include "report/parts.h"

static PoiseStatus draw(const PoiseSheetSource *s, PoisePlotView view, PoiseText *picture,
                        PoiseFaults *faults)
{
    static const char name[] = "view.svg";
    static const char *const names[] = {name, NULL};
    PoisePlotPlace place = {0};
    PoisePlotDone done = {0};
    char *data = NULL;
    size_t size = 0;
    PoiseStatus status = poise_plot_place_make(&place, faults);
    char *path = status ? NULL : poise_path_join(place.dir, name);
    PoisePlotOptions options = {.out = path};
    if (!status && !path)
        status = poise_fault_memory(faults);
    if (!status)
        status = poise_plot(s->instrument, s->weighing, view, &options, &done, faults);
    if (!status)
        status = poise_file_read(path, POISE_PLOT_PICTURE_BYTES, &data, &size, faults);
    if (!status)
        poise_base64_append(picture, data, size);
    poise_release(data);
    poise_release(path);
    poise_plot_done_free(&done);
    poise_plot_place_remove(&place, names);
    return status;
}

/* In place of a picture: why there is none. */
static void excuse(PoiseDoc *doc, PoisePlotView view, const PoiseFaults *own)
{
    const PoiseFault *fault = poise_faults_get(own, 0);
    char *text = poise_format("The %s view could not be drawn: %s.", poise_plot_view_name(view),
                              fault && fault->found ? fault->found : "the reason is not known");
    doc->text.failed = doc->text.failed || !text;
    poise_doc_quote(doc, text ? text : "");
    poise_release(text);
}

static void figure(PoiseDoc *doc, const PoiseSheetSource *s, PoisePlotView view, PoiseText *picture)
{
    const PoiseWeighing *w = s->weighing;
    bool side = view == POISE_PLOT_SIDE, strap = w->has_strap;
    poise_text_append(&doc->text, "<figure><img src=\"data:image/svg+xml;base64,");
    poise_text_append(&doc->text, picture->data ? picture->data : "");
    poise_text_append(&doc->text, "\" alt=\"");
    PoiseText alt = {0};
    poise_text_append(
        &alt, side && strap ? "Side view: the instrument hanging from its strap, the plumb line "
                              "through its centre of mass, the strap's holding window. "
              : side        ? "Side view: the instrument resting on the leg, the plumb line "
                              "through its centre of mass, the band that the leg carries. "
                            : "Front view: the plan with what each section weighs and the "
                              "centre of mass. ");
    if (side && strap)
        poise_words_strap_verdict(&alt, w);
    else if (side)
        poise_words_seat_verdict(&alt, w);
    else
        poise_text_append(&alt, "The table of sections has the same numbers.");
    char *text = poise_text_take(&alt);
    poise_html_append(&doc->text, text ? text : "");
    doc->text.failed = doc->text.failed || !text || picture->failed;
    poise_release(text);
    poise_text_append(&doc->text,
                      side && strap ? "\"><figcaption>Hanging at its neck angle</figcaption>"
                      : side        ? "\"><figcaption>On the leg at its neck angle</figcaption>"
                                    : "\"><figcaption>What each section weighs</figcaption>");
    poise_text_append(&doc->text, "</figure>\n");
}

static PoiseStatus one(PoiseDoc *doc, const PoiseSheetSource *s, PoisePlotView view,
                       PoiseFaults *faults)
{
    PoiseText picture = {0};
    PoiseFaults *own = poise_faults_new();
    if (!own)
        return poise_fault_memory(faults);
    PoiseStatus status = draw(s, view, &picture, own);
    /* Whatever drawing made of it, running out of memory is no matter of the picture alone. */
    size_t said = poise_faults_count(own);
    if (status && said && poise_faults_get(own, said - 1)->status == POISE_E_MEMORY)
        status = POISE_E_MEMORY;
    if (status == POISE_E_MEMORY)
        poise_fault_memory(faults);
    else if (status)
        excuse(doc, view, own);
    else
        figure(doc, s, view, &picture);
    poise_text_clear(&picture);
    poise_faults_free(own);
    return status == POISE_E_MEMORY ? status : POISE_OK;
}

PoiseStatus poise_sheet_pictures(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults)
{
    poise_doc_section(doc, "glance", "At a glance");
    if (!poise_doc_is_html(doc)) {
        poise_doc_paragraph(doc,
                            "Pictures: `poise plot FILE side` and `poise plot FILE front` draw "
                            "them; `poise report FILE -o sheet.html` holds them.");
        return POISE_OK;
    }
    PoiseStatus status = POISE_OK;
    if (s->weighing->has_strap || s->weighing->has_seat)
        status = one(doc, s, POISE_PLOT_SIDE, faults);
    return status ? status : one(doc, s, POISE_PLOT_FRONT, faults);
}
