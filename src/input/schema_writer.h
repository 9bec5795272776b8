/* JSON put together member by member, for the schema. */
#ifndef POISE_INPUT_SCHEMA_WRITER_H
#define POISE_INPUT_SCHEMA_WRITER_H

#include <stdbool.h>

#include "base/text.h"
#include "input/keys.h"
#include "input/schema_pattern.h"

/* Tables are written as definitions once each, in the order they are met. */
enum { POISE_SCHEMA_TABLES = 64 };

typedef struct PoiseSchemaWriter {
    PoiseText text;
    const PoiseTable *tables[POISE_SCHEMA_TABLES];
    size_t count;
    bool texts[POISE_UNIT_KINDS][POISE_TEXT_FORMS]; /* the quantities in words that were named */
    int depth;
    bool fresh; /* nothing stands yet in the open object or list */
} PoiseSchemaWriter;

/* A new line in the open object or list, after a comma when something stands there. */
void poise_schema_line(PoiseSchemaWriter *w);
/* A string, quotes and backslashes escaped. */
void poise_schema_quoted(PoiseSchemaWriter *w, const char *s);
/* A member's name on a line of its own. */
void poise_schema_name(PoiseSchemaWriter *w, const char *key);
/* '{' or '[', and '}' or ']'. */
void poise_schema_open(PoiseSchemaWriter *w, char bracket);
void poise_schema_close(PoiseSchemaWriter *w, char bracket);
/* A member whose value is JSON already, text, or a number. */
void poise_schema_raw(PoiseSchemaWriter *w, const char *key, const char *json);
void poise_schema_words(PoiseSchemaWriter *w, const char *key, const char *value);
void poise_schema_number(PoiseSchemaWriter *w, const char *key, double value);

#endif
