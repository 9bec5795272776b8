#include "input/schema_writer.h"

void poise_schema_line(PoiseSchemaWriter *w)
{
    poise_text_append(&w->text, w->fresh ? "\n" : ",\n");
    for (int i = 0; i < w->depth; i++)
        poise_text_append(&w->text, "  ");
    w->fresh = false;
}

/* Our own texts hold no control characters; quotes and backslashes are escaped. */
void poise_schema_quoted(PoiseSchemaWriter *w, const char *s)
{
    poise_text_append(&w->text, "\"");
    for (; *s; s++) {
        if (*s == '"' || *s == '\\')
            poise_text_append(&w->text, "\\");
        poise_text_append_n(&w->text, s, 1);
    }
    poise_text_append(&w->text, "\"");
}

void poise_schema_name(PoiseSchemaWriter *w, const char *key)
{
    poise_schema_line(w);
    poise_schema_quoted(w, key);
    poise_text_append(&w->text, ": ");
}

void poise_schema_open(PoiseSchemaWriter *w, char bracket)
{
    poise_text_append_n(&w->text, &bracket, 1);
    w->depth++;
    w->fresh = true;
}

void poise_schema_close(PoiseSchemaWriter *w, char bracket)
{
    bool empty = w->fresh;
    w->depth--;
    w->fresh = true;
    if (!empty)
        poise_schema_line(w);
    poise_text_append_n(&w->text, &bracket, 1);
    w->fresh = false;
}

void poise_schema_raw(PoiseSchemaWriter *w, const char *key, const char *json)
{
    poise_schema_name(w, key);
    poise_text_append(&w->text, json);
}

void poise_schema_words(PoiseSchemaWriter *w, const char *key, const char *value)
{
    poise_schema_name(w, key);
    poise_schema_quoted(w, value);
}

void poise_schema_number(PoiseSchemaWriter *w, const char *key, double value)
{
    char text[32];
    poise_double_text(value, text);
    poise_schema_raw(w, key, text);
}
