/* Quantities as people write them: "2.2 kg", "7 lb 5 oz", "25 1/2 in", "185 g ± 10 g". */
#ifndef POISE_INPUT_QUANTITY_H
#define POISE_INPUT_QUANTITY_H

#include <stdbool.h>

#include "model/material.h"

/* What a value measures. The unit in brackets is the one poise keeps it in; a plain number is in
 * that unit too, except a time, which is in hours when plain. */
typedef enum PoiseUnitKind {
    POISE_UNIT_LENGTH,      /* mm */
    POISE_UNIT_MASS,        /* g */
    POISE_UNIT_ANGLE,       /* degrees */
    POISE_UNIT_DENSITY,     /* g/cm³ */
    POISE_UNIT_VOLUME,      /* mL */
    POISE_UNIT_TIME,        /* s; hours when plain */
    POISE_UNIT_TEMPERATURE, /* °C */
    POISE_UNIT_RATIO,       /* fraction: "30 %" is 0.30 */
    POISE_UNIT_PERCENT,     /* percent: 8 and "8 %" are both 8 */
    POISE_UNIT_FLOW,        /* mm³/s */
    POISE_UNIT_LINEAR,      /* g/m */
    POISE_UNIT_FRICTION,    /* dimensionless */
    POISE_UNIT_MONEY,       /* a plain number in the file's own currency */
    POISE_UNIT_NUMBER,      /* a plain number */
    POISE_UNIT_KINDS
} PoiseUnitKind;

/* "length", "mass", … */
const char *poise_unit_kind_name(PoiseUnitKind kind);
/* How to write one, for messages: `a length such as 25.4, "25.4 mm" or "1 in"`. */
const char *poise_unit_kind_example(PoiseUnitKind kind);
/* The unit of a plain number: "mm", "g", … "" for none. */
const char *poise_unit_kind_plain(PoiseUnitKind kind);

/* The kept unit over the plain number's: 3600 for a time, else 1. */
double poise_unit_kind_plain_factor(PoiseUnitKind kind);

#define POISE_WHY 200

/* A quantity from a plain number. */
PoiseQuantity poise_quantity_plain(double number, PoiseUnitKind kind);

/* The same of a number read off a scale or rule, which shows no more than its last digit: u is that
 * of half a step to either side, rectangular, step/√12 (JCGM 100:2008, F.2.2.1). A number has lost
 * how it was written: its last digit is that of the shortest decimal that gives it. */
PoiseQuantity poise_quantity_plain_reading(double number, PoiseUnitKind kind);

/* Reads a whole text as a quantity of this kind, with "± u" or "+/- u" when `u` is given: one
 * standard uncertainty, in the value's unit, its own unit, or in % of the value (for a ratio or
 * percentage: absolute). False with the reason in `why` (a sentence fragment in ASCII and quotes of
 * the text). No locale matters. */
bool poise_quantity_parse(const char *text, PoiseUnitKind kind, PoiseQuantity *quantity,
                          char why[POISE_WHY]);
/* The same of what was read off a scale or rule: *rounded tells that no ± was written (or one of 0,
 * which no scale has), and then u is that of the last digit's step, in its unit: "0.48 kg" has one
 * of 10 g, "7 lb 5 oz" of an ounce, "3 1/2 oz" of half of one. */
bool poise_quantity_parse_reading(const char *text, PoiseUnitKind kind, PoiseQuantity *quantity,
                                  bool *rounded, char why[POISE_WHY]);

#endif
