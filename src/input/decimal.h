/* Reading decimal numbers the same way under every locale. */
#ifndef POISE_INPUT_DECIMAL_H
#define POISE_INPUT_DECIMAL_H

#include <stdbool.h>
#include <stddef.h>

/* Longest number read, in characters. The JSON parser behind the scanner holds 63; RFC 8259 §6
 * leaves the range and precision of numbers to the reader. */
#define POISE_DECIMAL_CHARACTERS 60

/* Length of the number at s (NUL-terminated): digits, an optional point and digits, an optional
 * exponent; no sign. ".5" and "5." count. 0 when there is none. */
size_t poise_decimal_length(const char *s);

/* What one of its last digit is worth: 1 for "482", 0.01 for "4.50", 10 for "4.8e2". */
double poise_decimal_step(const char *s, size_t n);

/* The value of the n characters at s, which are a number as above or a JSON number (a minus sign
 * may lead). False when it is too long or not finite. */
bool poise_decimal_value(const char *s, size_t n, double *value);

#endif
