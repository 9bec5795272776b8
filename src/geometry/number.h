/* Decimal numbers in mesh files. */
#ifndef POISE_GEOMETRY_NUMBER_H
#define POISE_GEOMETRY_NUMBER_H

#include <stddef.h>

/* Reads a decimal number ("-1.5e-3", ".5", "+2.") that starts at p, as strtod does in the C locale
 * whatever the program's locale is; no hexadecimal, infinity or NaN. Returns the bytes taken, 0
 * when there is none. The caller checks what follows it. A number past the range of doubles gives
 * ±infinity. */
size_t poise_number_scan(const char *p, const char *end, double *value);

#endif
