/* Assumptions, limits, cautions, and what it takes to reproduce the sheet. */
#include <math.h>
#include <string.h>

#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/sha256.h"
#include "poise/version.h"
#include "report/inputs.h"
#include "report/parts.h"

char *poise_shown_name(const PoiseInstrument *in, const char *path)
{
    size_t n = in->dir ? strlen(in->dir) : 0;
    if (n && strncmp(path, in->dir, n) == 0 && path[n] == '/')
        return poise_copy_text(path + n + 1);
    if (*path != '/' && n == 1 && in->dir[0] == '.')
        return poise_copy_text(path);
    const char *slash = strrchr(path, '/');
    return poise_copy_text(slash ? slash + 1 : path);
}

static void quantity(PoiseFactList *list, const char *label, PoiseQuantity q, int decimals,
                     const char *unit)
{
    PoiseText t = {0};
    poise_words_number(&t, q.value, decimals);
    if (q.u > 0.0) {
        poise_text_append(&t, " ± ");
        poise_words_number(&t, q.u, decimals);
    }
    poise_text_append(&t, unit);
    poise_facts_take(list, label, &t);
}

void poise_sheet_assumptions(PoiseDoc *doc, const PoiseSheetSource *s)
{
    const PoiseInstrument *in = s->instrument;
    PoiseFactList list = {0};
    poise_doc_section(doc, "assumptions", "Assumptions and limits");
    quantity(&list, "Neck angle", in->neck_angle_deg, 0, "° above level");
    if (in->has_strap) {
        quantity(&list, "Strap", in->strap_mm, 0, " mm between the posts");
        quantity(&list, "Friction", in->friction, 2, " of the strap on the shoulder");
    }
    if (in->has_hand)
        poise_facts_add(&list, "Fretting hand", "%s",
                        in->hand_text && strcmp(in->hand_text, "position") != 0
                            ? in->hand_text
                            : "where the file says");
    if (in->has_seat) {
        poise_facts_add(&list, "Leg", "carries over %.0f mm of the body's edge", in->seat_width_mm);
        if (in->has_arm)
            quantity(&list, "Playing arm", in->arm_g, 0, " g resting on the body");
    }
    poise_facts_add(&list, "Handed", "%s", in->frame.left ? "left" : "right");
    poise_doc_facts(doc, &list);
    const char *lines[POISE_MOST_LINES];
    size_t n = poise_words_limits(s->weighing, lines);
    poise_doc_list(doc, lines, n);
    n = poise_words_rules(s->weighing, lines);
    if (n) {
        poise_doc_subtitle(doc, "Rules of thumb: common practice, no source");
        poise_doc_list(doc, lines, n);
    }
}

void poise_sheet_cautions(PoiseDoc *doc, const PoiseSheetSource *s)
{
    const PoiseWeighing *w = s->weighing;
    if (w->warning_count) {
        poise_doc_section(doc, "warnings", "Warnings");
        poise_doc_list(doc, (const char *const *)w->warnings, w->warning_count);
    }
    if (w->caution_count) {
        poise_doc_section(doc, "cautions", "Cautions");
        poise_doc_list(doc, (const char *const *)w->cautions, w->caution_count);
    }
}

/* One file: its digest to the table and to `all`, the list that the common digest is taken of. */
static void file_row(PoiseDoc *doc, const char *name, const char *digest, PoiseText *all)
{
    poise_doc_row(doc, false);
    poise_doc_cell(doc, name);
    poise_doc_cell(doc, digest);
    poise_text_printf(all, "%s  %s\n", digest, name);
}

static PoiseStatus digest_file(PoiseDoc *doc, const PoiseInstrument *in, const char *path,
                               PoiseText *all, PoiseFaults *faults)
{
    PoiseView view;
    char digest[65];
    PoiseStatus status = poise_view_open(path, POISE_LIMIT_TOOLPATH_BYTES, &view, faults);
    if (status)
        return status;
    poise_sha256(view.data, view.size, digest);
    poise_view_close(&view);
    char *name = poise_shown_name(in, path);
    if (!name)
        return POISE_E_MEMORY;
    file_row(doc, name, digest, all);
    poise_release(name);
    return POISE_OK;
}

/* The files an item is made from; NULL: none. */
static void files_of(const PoiseItem *item, const char *files[2])
{
    files[0] = files[1] = NULL;
    if (item->kind == POISE_ITEM_PRINTED) {
        files[0] = item->as.printed.mesh;
        files[1] = item->as.printed.toolpath;
    } else if (item->kind == POISE_ITEM_POURED) {
        files[0] = item->as.poured.mesh;
    } else if (item->kind == POISE_ITEM_SOLID) {
        files[0] = item->as.solid.mesh;
    }
}

static bool used_before(const PoiseInstrument *in, size_t before, const char *file)
{
    for (size_t i = 0; i < before; i++) {
        const char *files[2];
        files_of(&in->items[i], files);
        for (int k = 0; k < 2; k++)
            if (files[k] && strcmp(files[k], file) == 0)
                return true;
    }
    return false;
}

static PoiseStatus item_files(PoiseDoc *doc, const PoiseInstrument *in, PoiseText *all,
                              PoiseFaults *faults)
{
    PoiseStatus status = POISE_OK;
    for (size_t i = 0; i < in->item_count && !status; i++) {
        const char *files[2];
        files_of(&in->items[i], files);
        for (int k = 0; k < 2 && !status; k++)
            if (files[k] && !used_before(in, i, files[k]))
                status = digest_file(doc, in, files[k], all, faults);
    }
    if (!status && in->profile)
        status = digest_file(doc, in, in->profile, all, faults);
    return status;
}

PoiseStatus poise_sheet_inputs(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults)
{
    static const PoiseColumn columns[] = {{"file", POISE_COLUMN_TEXT},
                                          {"SHA-256", POISE_COLUMN_TEXT}};
    const PoiseInstrument *in = s->instrument;
    PoiseText all = {0};
    char digest[65];
    poise_doc_section(doc, "inputs", "To reproduce this sheet");
    char *name = poise_shown_name(in, in->file);
    char *version = poise_format(
        "Made by poise %s. The same version with the same files gives the same numbers; "
        "\"sha256sum\" (or \"shasum -a 256\") shows whether a file is the same.",
        poise_version());
    if (!name || !version)
        doc->text.failed = true;
    poise_doc_paragraph(doc, version ? version : "");
    poise_doc_table(doc, columns, 2);
    poise_sha256(s->text, s->size, digest);
    file_row(doc, name ? name : "", digest, &all);
    PoiseStatus status = item_files(doc, in, &all, faults);
    poise_sha256(all.data ? all.data : "", all.length, digest);
    poise_doc_row(doc, true);
    poise_doc_cell(doc, "of the list above");
    poise_doc_cell(doc, digest);
    poise_doc_end_table(doc);
    doc->text.failed = doc->text.failed || all.failed;
    poise_text_clear(&all);
    poise_release(name);
    poise_release(version);
    return status;
}
