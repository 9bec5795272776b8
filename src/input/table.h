/* Shorthand for writing key tables. */
#ifndef POISE_INPUT_TABLE_H
#define POISE_INPUT_TABLE_H

#include "input/keys.h"

/* NOLINTBEGIN(bugprone-macro-parentheses): pieces of an initialiser cannot stand in parentheses */
#define KEYS(array)        .keys = (array), .count = sizeof(array) / sizeof *(array)
#define CASES(array)       .cases = (array), .case_count = sizeof(array) / sizeof *(array)
#define FLAG(type, member) .flag = offsetof(type, member) + 1

#define AMOUNT(unit_kind) .kind = POISE_VALUE_QUANTITY, .unit = (unit_kind)
#define LENGTH            AMOUNT(POISE_UNIT_LENGTH)
#define MASS              AMOUNT(POISE_UNIT_MASS)
#define RATIO             AMOUNT(POISE_UNIT_RATIO), .range = POISE_RANGE_FRACTION

#define POSITIVE      .range = POISE_RANGE_POSITIVE
#define NOT_NEGATIVE  .range = POISE_RANGE_NOT_NEGATIVE
#define BETWEEN(a, b) .range = POISE_RANGE_BETWEEN, .lo = (a), .hi = (b)
#define WHOLE(a, b)   .kind = POISE_VALUE_INTEGER, BETWEEN(a, b)
#define REQUIRED      .required = true
#define IS_READING    .is_reading = true
#define DEFAULT(json) .fallback = (json)
#define LONGER(json)  .long_fallback = (json)

#define TO_DOUBLE(type, member)   .store = POISE_STORE_DOUBLE, .at = offsetof(type, member)
#define TO_QUANTITY(type, member) .store = POISE_STORE_QUANTITY, .at = offsetof(type, member)
#define TO_INT(type, member)      .store = POISE_STORE_INT, .at = offsetof(type, member)
#define TO_BOOL(type, member)     .store = POISE_STORE_BOOL, .at = offsetof(type, member)
#define TO_TEXT(type, member)     .store = POISE_STORE_TEXT, .at = offsetof(type, member)
#define TO_VECTOR(type, member)   .store = POISE_STORE_VECTOR, .at = offsetof(type, member)

#define POINT(fewest) .kind = POISE_VALUE_VECTOR, .unit = POISE_UNIT_LENGTH, .least = (fewest)
#define SIZES         POINT(3), POSITIVE
#define DIRECTION     .kind = POISE_VALUE_DIRECTION, .unit = POISE_UNIT_NUMBER, .least = 3
#define OBJECT(t)     .kind = POISE_VALUE_OBJECT, .table = &(t)
#define TEXT          .kind = POISE_VALUE_TEXT
#define CHOICE(names) .kind = POISE_VALUE_CHOICE, .choices = (names)
#define MATERIAL(type, member)                                                                     \
    .kind = POISE_VALUE_MATERIAL, .store = POISE_STORE_MATERIAL, .at = offsetof(type, member)
/* NOLINTEND(bugprone-macro-parentheses) */

#endif
