/* The JSON Schema of the instrument file, made from the reader's own key tables. */
#ifndef POISE_INPUT_SCHEMA_H
#define POISE_INPUT_SCHEMA_H

/* JSON Schema, draft 2020-12, as a new string (free with poise_string_free()); NULL when out of
 * memory. What it accepts in form the reader reads; the reader also looks at names, the range of
 * quantities in words, and how values go together. */
char *poise_schema_text(void);

#endif
