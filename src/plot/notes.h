/* Labels of a picture: text beside what it speaks of, pushed apart and off the picture's lines,
 * with a leader where it moved. */
#ifndef POISE_PLOT_NOTES_H
#define POISE_PLOT_NOTES_H

#include "plot/label_clear.h"
#include "plot/sheet.h"

enum { POISE_MOST_NOTES = 96 };

typedef enum PoiseNoteStyle {
    POISE_NOTE_NAME,   /* the usual label */
    POISE_NOTE_SMALL,  /* muted */
    POISE_NOTE_ACCENT, /* what the picture is about */
    POISE_NOTE_STYLES
} PoiseNoteStyle;

typedef struct PoiseNote {
    PoiseNoteStyle style;
    double anchor[2]; /* data */
    char *text;       /* NULL: an obstacle */
} PoiseNote;

typedef struct PoiseNotes {
    size_t count;
    PoiseNote notes[POISE_MOST_NOTES];
    PoiseLabel labels[POISE_MOST_NOTES];
    size_t line_count, line_capacity;
    PoiseLabelLine *lines; /* that no text may lie on */
    bool failed;
} PoiseNotes;

/* A label whose middle would best stand at (dx, dy) px (y down) from a point of the picture. Lines
 * are divided by line feeds. `leader`: draw a line to the point if it ends up away from it. Text
 * past POISE_MOST_NOTES is left out. The text is copied. */
void poise_notes_add(PoiseNotes *notes, const PoiseSheet *sheet, PoiseNoteStyle style,
                     const double anchor[2], double dx_px, double dy_px, bool leader,
                     const char *text);
/* A label beside a point: its edge `gap_px` to the right of it (side > 0) or to the left, its
 * middle dy px below. */
void poise_notes_beside(PoiseNotes *notes, const PoiseSheet *sheet, PoiseNoteStyle style,
                        const double anchor[2], double side, double gap_px, double dy_px,
                        bool leader, const char *text);
/* As the first, printf-like. */
void poise_notes_say(PoiseNotes *notes, const PoiseSheet *sheet, PoiseNoteStyle style,
                     const double anchor[2], double dx_px, double dy_px, bool leader,
                     const char *format, ...) __attribute__((format(printf, 8, 9)));
/* Nothing may stand within this far of a point of the picture, px. */
void poise_notes_keep_off(PoiseNotes *notes, const PoiseSheet *sheet, const double at[2],
                          double half_width_px, double half_height_px);
/* No text may lie on the line between two points of the picture, which may be one. */
void poise_notes_keep_off_line(PoiseNotes *notes, const PoiseSheet *sheet, const double from[2],
                               const double to[2]);
/* Nor on the edges of a region. */
void poise_notes_keep_off_rings(PoiseNotes *notes, const PoiseSheet *sheet,
                                const PoiseRings *rings);
/* Places them and writes the blocks "notes", "remarks", "accents" (x, y, text) and "leaders"
 * (lines). */
void poise_notes_write(PoiseNotes *notes, PoiseSheet *sheet);
void poise_notes_clear(PoiseNotes *notes);

#endif
