/* Fixed-width layout for terminals: cells, wrapped paragraphs. */
#ifndef POISE_OUTPUT_LAYOUT_H
#define POISE_OUTPUT_LAYOUT_H

#include "base/text.h"

/* Columns of every screen. */
#define POISE_SCREEN_COLUMNS 80

/* Appends `cell` filled up with spaces to `width` columns; one that is too wide is cut and ends in
 * "…". */
void poise_layout_left(PoiseText *text, const char *cell, size_t width);
/* Appends `cell` right-aligned in `width` columns (wider cells stand whole after a space), and
 * empties it. */
void poise_layout_right(PoiseText *text, PoiseText *cell, size_t width);
/* A paragraph wrapped at words: the first line starts with `first`, the others with `indent`
 * spaces. Text that comes from a file is made inert. */
void poise_layout_wrap(PoiseText *text, const char *first, size_t indent, const char *paragraph);
/* "  Label            value, wrapped under itself" */
void poise_layout_fact(PoiseText *text, const char *label, const char *value);
/* "  - a paragraph" */
void poise_layout_bullet(PoiseText *text, const char *paragraph);

#endif
