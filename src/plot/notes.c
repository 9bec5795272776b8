#include "plot/notes.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/memory.h"

/* Line pitch of text in sizes. */
static const double LINE = 1.3;

static double size_px(PoiseNoteStyle style)
{
    return style == POISE_NOTE_SMALL ? POISE_SMALL_PX : POISE_TEXT_PX;
}

/* The widest line and the number of lines. */
static void measure(const char *text, double size, double *width, double *height)
{
    char line[256];
    size_t lines = 0;
    *width = 0.0;
    for (const char *s = text;; s += strcspn(s, "\n") + 1) {
        size_t n = strcspn(s, "\n");
        size_t kept = n < sizeof line - 1 ? n : sizeof line - 1;
        memcpy(line, s, kept);
        line[kept] = '\0';
        *width = fmax(*width, poise_text_width_px(line, size));
        lines++;
        if (!s[n])
            break;
    }
    *height = LINE * size * (double)lines;
}

void poise_notes_add(PoiseNotes *notes, const PoiseSheet *sheet, PoiseNoteStyle style,
                     const double anchor[2], double dx_px, double dy_px, bool leader,
                     const char *text)
{
    if (notes->count == POISE_MOST_NOTES || !isfinite(anchor[0]) || !isfinite(anchor[1]))
        return;
    char *copy = poise_copy_text(text);
    if (!copy) {
        notes->failed = true;
        return;
    }
    PoiseLabel label = {0};
    double px[2];
    poise_sheet_to_px(sheet, anchor, px);
    measure(text, size_px(style), &label.width, &label.height);
    label.x = px[0] + dx_px;
    label.y = px[1] + dy_px;
    label.leader = leader;
    label.at[0] = px[0];
    label.at[1] = px[1];
    notes->labels[notes->count] = label;
    notes->notes[notes->count++] =
        (PoiseNote){.style = style, .anchor = {anchor[0], anchor[1]}, .text = copy};
}

void poise_notes_beside(PoiseNotes *notes, const PoiseSheet *sheet, PoiseNoteStyle style,
                        const double anchor[2], double side, double gap_px, double dy_px,
                        bool leader, const char *text)
{
    double width, height;
    measure(text, size_px(style), &width, &height);
    double dx = gap_px + 0.5 * width;
    poise_notes_add(notes, sheet, style, anchor, side > 0.0 ? dx : -dx, dy_px, leader, text);
}

void poise_notes_say(PoiseNotes *notes, const PoiseSheet *sheet, PoiseNoteStyle style,
                     const double anchor[2], double dx_px, double dy_px, bool leader,
                     const char *format, ...)
{
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    if (text.failed)
        notes->failed = true;
    else
        poise_notes_add(notes, sheet, style, anchor, dx_px, dy_px, leader, text.data);
    poise_text_clear(&text);
}

void poise_notes_keep_off(PoiseNotes *notes, const PoiseSheet *sheet, const double at[2],
                          double half_width_px, double half_height_px)
{
    if (notes->count == POISE_MOST_NOTES)
        return;
    double px[2];
    poise_sheet_to_px(sheet, at, px);
    notes->labels[notes->count] = (PoiseLabel){.x = px[0],
                                               .y = px[1],
                                               .width = 2.0 * half_width_px,
                                               .height = 2.0 * half_height_px,
                                               .fixed = true};
    notes->notes[notes->count++] = (PoiseNote){0};
}

static void keep_off(PoiseNotes *notes, const PoiseSheet *sheet, const double from[2],
                     const double to[2], double gap_px)
{
    if (!isfinite(from[0] + from[1] + to[0] + to[1]))
        return;
    if (notes->line_count == notes->line_capacity) {
        size_t capacity = 2 * notes->line_capacity + 64;
        PoiseLabelLine *larger = poise_resize(notes->lines, capacity, sizeof *larger);
        if (!larger) {
            notes->failed = true;
            return;
        }
        notes->lines = larger;
        notes->line_capacity = capacity;
    }
    PoiseLabelLine *line = &notes->lines[notes->line_count++];
    poise_sheet_to_px(sheet, from, line->from);
    poise_sheet_to_px(sheet, to, line->to);
    line->gap = gap_px;
}

void poise_notes_keep_off_line(PoiseNotes *notes, const PoiseSheet *sheet, const double from[2],
                               const double to[2])
{
    keep_off(notes, sheet, from, to, POISE_CURVE_GAP_PX);
}

void poise_notes_keep_off_rings(PoiseNotes *notes, const PoiseSheet *sheet, const PoiseRings *rings)
{
    for (size_t r = 0; r < rings->rings; r++) {
        size_t last = rings->ends[r] - 1;
        for (size_t i = poise_rings_start(rings, r); i < rings->ends[r]; last = i++)
            keep_off(notes, sheet, rings->points[last], rings->points[i], POISE_EDGE_GAP_PX);
    }
}

/* Each line is a row of its own, so that every terminal sets them at the same pitch. */
static void write_lines(const PoiseNote *note, const PoiseLabel *label, PoiseSheet *sheet)
{
    double pitch = LINE * size_px(note->style);
    double px[2] = {label->x, label->y - 0.5 * label->height + 0.5 * pitch};
    PoiseText line = {0};
    for (const char *s = note->text;; s += strcspn(s, "\n") + 1) {
        size_t n = strcspn(s, "\n");
        double at[2];
        poise_text_clear(&line);
        poise_text_append_n(&line, s, n);
        poise_sheet_from_px(sheet, px, at);
        poise_sheet_numbers(sheet, at, 2);
        poise_sheet_text(sheet, line.data ? line.data : "");
        poise_sheet_row(sheet);
        sheet->data.failed = sheet->data.failed || line.failed;
        px[1] += pitch;
        if (!s[n])
            break;
    }
    poise_text_clear(&line);
}

static void write_style(const PoiseNotes *notes, PoiseSheet *sheet, PoiseNoteStyle style,
                        const char *block)
{
    poise_sheet_block(sheet, block, "x, y (middle), text");
    for (size_t i = 0; i < notes->count; i++)
        if (notes->notes[i].text && notes->notes[i].style == style)
            write_lines(&notes->notes[i], &notes->labels[i], sheet);
    poise_sheet_end(sheet, 3);
}

static void write_leader(const PoiseNote *note, const PoiseLabel *label, PoiseSheet *sheet)
{
    PoiseLabelLine leader;
    double at[2];
    if (!poise_label_leader(label, &leader))
        return;
    poise_sheet_from_px(sheet, leader.from, at);
    poise_sheet_numbers(sheet, at, 2);
    poise_sheet_row(sheet);
    poise_sheet_numbers(sheet, note->anchor, 2);
    poise_sheet_row(sheet);
    poise_sheet_break(sheet);
}

void poise_notes_write(PoiseNotes *notes, PoiseSheet *sheet)
{
    const double inset_px = 3.0;
    const double area[4] = {sheet->left_px + inset_px, sheet->top_px + inset_px,
                            POISE_SHEET_WIDTH_PX - sheet->right_px - inset_px,
                            sheet->height_px - sheet->bottom_px - inset_px};
    poise_labels_place(notes->labels, notes->count, area);
    poise_labels_clear(notes->labels, notes->count, notes->lines, notes->line_count, area);
    write_style(notes, sheet, POISE_NOTE_NAME, "notes");
    write_style(notes, sheet, POISE_NOTE_SMALL, "remarks");
    write_style(notes, sheet, POISE_NOTE_ACCENT, "accents");
    poise_sheet_block(sheet, "leaders", "x, y; lines from labels to what they speak of");
    for (size_t i = 0; i < notes->count; i++)
        if (notes->notes[i].text)
            write_leader(&notes->notes[i], &notes->labels[i], sheet);
    poise_sheet_end(sheet, 2);
    sheet->data.failed = sheet->data.failed || notes->failed;
}

void poise_notes_clear(PoiseNotes *notes)
{
    for (size_t i = 0; i < notes->count; i++)
        poise_release(notes->notes[i].text);
    poise_release(notes->lines);
    *notes = (PoiseNotes){0};
}
