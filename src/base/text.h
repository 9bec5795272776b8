/* A growing piece of text, UTF-8 helpers and number formatting that no locale changes. */
#ifndef POISE_BASE_TEXT_H
#define POISE_BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

/* Start from {0}. After an allocation failure `failed` stays set and further appends do nothing, so
 * a long run of appends needs one check at its end. `data` is NUL-terminated once anything was
 * appended. */
typedef struct PoiseText {
    char *data;
    size_t length, capacity;
    bool failed;
} PoiseText;

void poise_text_append(PoiseText *text, const char *piece);
void poise_text_append_n(PoiseText *text, const char *piece, size_t n);
void poise_text_printf(PoiseText *text, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void poise_text_vprintf(PoiseText *text, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));
/* Hands the string over ("" if nothing was appended) and empties the text; NULL when it failed. */
char *poise_text_take(PoiseText *text);
void poise_text_clear(PoiseText *text);

/* A new string made as by printf, or NULL when out of memory. */
char *poise_format(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Appends text so that a terminal shows it and cannot be driven by it: control characters (C0, DEL,
 * C1), bidirectional controls and bytes that are not UTF-8 come out as \xNN or \u{NNNN}. */
void poise_text_append_inert(PoiseText *text, const char *piece);

/* Length in bytes of the valid UTF-8 sequence at s (at most n bytes), 0 when there is none; *code
 * gets the code point. */
size_t poise_utf8_next(const char *s, size_t n, unsigned *code);
/* Columns a terminal shows it in: combining marks 0, East Asian wide 2, others 1. */
size_t poise_text_columns(const char *s);

/* Shortest decimal of a finite double that reads back as the same double ("0.1", "1e-07"). */
void poise_double_text(double value, char out[32]);

/* strcmp() with NULL the same as "". */
int poise_text_order(const char *a, const char *b);

/* Restricted Damerau–Levenshtein distance, ASCII case folded; for "did you mean". */
size_t poise_edit_distance(const char *a, const char *b);
/* The nearest of n candidates when it is near enough to be a slip (distance ≤ 1 + length/4), else
 * NULL. */
const char *poise_nearest(const char *word, const char *const *candidates, size_t n);

#endif
