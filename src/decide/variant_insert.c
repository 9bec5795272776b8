/* Writing a variant into the text of an instrument file. Only the new member goes in; what people
 * wrote, down to their blanks and line ends, stays. */
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"
#include "decide/remedy.h"
#include "input/reading.h"

/* A nested value goes on one line while it is no longer than this, in bytes. */
enum { ONE_LINE = 88 };

typedef struct Layout {
    char *unit;      /* one step of indentation */
    const char *end; /* of a line */
} Layout;

static bool blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* Byte of a place as the scanner counts it: lines and code points from 1, a byte order mark not. */
static size_t offset_of(const char *text, size_t size, size_t line, size_t column)
{
    size_t i = 0;
    if (size >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        i = 3;
    for (; line > 1 && i < size; i++)
        line -= text[i] == '\n';
    for (; column > 1 && i < size; column--)
        for (i++; i < size && ((unsigned char)text[i] & 0xC0) == 0x80;)
            i++;
    return i;
}

/* The brace that closes the one at `open`; the text is known to be JSON. */
static size_t closing(const char *text, size_t size, size_t open)
{
    size_t depth = 0;
    bool quoted = false;
    for (size_t i = open; i < size; i++) {
        char c = text[i];
        if (quoted) {
            if (c == '\\')
                i++;
            else if (c == '"')
                quoted = false;
        } else if (c == '"') {
            quoted = true;
        } else if (c == '{' || c == '[') {
            depth++;
        } else if ((c == '}' || c == ']') && --depth == 0) {
            return i;
        }
    }
    return size;
}

static size_t line_start(const char *text, size_t at)
{
    while (at > 0 && text[at - 1] != '\n' && text[at - 1] != '\r')
        at--;
    return at;
}

/* The blanks at the start of the line that holds `at`. */
static char *indent_at(const char *text, size_t at)
{
    size_t start = line_start(text, at), end = start;
    while (end < at && (text[end] == ' ' || text[end] == '\t'))
        end++;
    return poise_copy_text_n(text + start, end - start);
}

static size_t skip_blanks(const char *text, size_t size, size_t at)
{
    while (at < size && blank(text[at]))
        at++;
    return at;
}

static bool has_line_end(const char *text, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++)
        if (text[i] == '\n' || text[i] == '\r')
            return true;
    return false;
}

static void write_string(PoiseText *out, const char *s)
{
    cJSON *value = cJSON_CreateString(s);
    char *printed = value ? cJSON_PrintUnformatted(value) : NULL;
    if (printed)
        poise_text_append(out, printed);
    else
        out->failed = true;
    cJSON_free(printed);
    cJSON_Delete(value);
}

static void write_value(PoiseText *out, const cJSON *value, const Layout *layout,
                        const char *indent, bool one_line);

static void write_members(PoiseText *out, const cJSON *value, const Layout *layout,
                          const char *indent, bool one_line)
{
    bool object = cJSON_IsObject(value);
    char *inner = poise_format("%s%s", indent, layout->unit);
    if (!inner) {
        out->failed = true;
        return;
    }
    poise_text_append(out, object ? "{" : "[");
    for (const cJSON *child = value->child; child; child = child->next) {
        if (!one_line)
            poise_text_printf(out, "%s%s", layout->end, inner);
        else if (object || child != value->child)
            poise_text_append(out, " ");
        if (object) {
            write_string(out, child->string);
            poise_text_append(out, ": ");
        }
        write_value(out, child, layout, inner, one_line);
        if (child->next)
            poise_text_append(out, ",");
    }
    if (value->child && one_line && object)
        poise_text_append(out, " ");
    if (value->child && !one_line)
        poise_text_printf(out, "%s%s", layout->end, indent);
    poise_text_append(out, object ? "}" : "]");
    poise_release(inner);
}

static void write_value(PoiseText *out, const cJSON *value, const Layout *layout,
                        const char *indent, bool one_line)
{
    char number[32];
    if (cJSON_IsString(value)) {
        write_string(out, value->valuestring);
    } else if (cJSON_IsNumber(value)) {
        poise_double_text(value->valuedouble, number);
        poise_text_append(out, number);
    } else if (!cJSON_IsObject(value) && !cJSON_IsArray(value)) {
        poise_text_append(out, cJSON_IsNull(value)   ? "null"
                               : cJSON_IsTrue(value) ? "true"
                                                     : "false");
    } else if (one_line) {
        write_members(out, value, layout, indent, true);
    } else {
        PoiseText line = {0};
        write_members(&line, value, layout, indent, true);
        bool fits = line.length <= ONE_LINE;
        out->failed = out->failed || line.failed;
        if (fits && !line.failed)
            poise_text_append(out, line.data);
        poise_text_clear(&line);
        if (!fits)
            write_members(out, value, layout, indent, false);
    }
}

/* The member goes in before the closing brace of the object at `open`. */
static void insert_member(PoiseText *out, const char *text, size_t size, size_t open, size_t close,
                          const char *name, const cJSON *value, const Layout *layout)
{
    size_t first = skip_blanks(text, size, open + 1), last = close;
    while (last > open + 1 && blank(text[last - 1]))
        last--;
    bool empty = first == close, lines = has_line_end(text, open, first);
    char *outer = indent_at(text, open);
    char *inner = NULL;
    if (!empty && lines)
        inner = indent_at(text, first);
    else if (outer)
        inner = poise_format("%s%s", outer, layout->unit);
    if (!outer || !inner)
        out->failed = true;
    poise_text_append_n(out, text, last);
    if (!empty)
        poise_text_append(out, ",");
    bool own_line = lines || (empty && has_line_end(text, 0, size));
    if (own_line)
        poise_text_printf(out, "%s%s", layout->end, inner ? inner : "");
    else
        poise_text_append(out, " ");
    write_string(out, name);
    poise_text_append(out, ": ");
    write_value(out, value, layout, inner ? inner : "", !own_line);
    if (empty && own_line && !has_line_end(text, last, close))
        poise_text_printf(out, "%s%s", layout->end, outer ? outer : "");
    poise_text_append_n(out, text + last, size - last);
    poise_release(outer);
    poise_release(inner);
}

static PoiseStatus refuse(const PoiseDocument *document, const char *found, PoiseFaults *faults)
{
    return poise_fault_add(faults, &(PoiseFault){.status = POISE_E_INPUT,
                                                 .file = document->file,
                                                 .pointer = "/variants",
                                                 .found = found,
                                                 .expected = "an object without that variant"});
}

PoiseStatus poise_variant_insert(const char *text, size_t size, const PoiseDocument *document,
                                 const char *name, const cJSON *patch, char **out, size_t *out_size,
                                 PoiseFaults *faults)
{
    *out = NULL;
    const cJSON *variants = poise_member(document->root, "variants");
    if (variants && (!cJSON_IsObject(variants) || poise_member(variants, name)))
        return refuse(document, cJSON_IsObject(variants) ? "a variant of this name" : "no object",
                      faults);
    size_t line, column;
    poise_document_place(document, "", false, &line, &column);
    size_t root = offset_of(text, size, line, column), open = root;
    if (variants && poise_document_place(document, "/variants", false, &line, &column))
        open = offset_of(text, size, line, column);
    size_t close = closing(text, size, open);
    if (open >= size || text[open] != '{' || close >= size)
        return poise_fault_say(faults, POISE_E_INTERNAL, document->file,
                               "the place of the variants was not found");
    const char *crlf = strstr(text, "\r\n"), *lf = strchr(text, '\n');
    Layout layout = {.end = crlf && lf == crlf + 1 ? "\r\n" : "\n"};
    size_t first = skip_blanks(text, size, root + 1);
    layout.unit = has_line_end(text, root, first) ? indent_at(text, first) : poise_copy_text("  ");
    cJSON *wrapped = NULL;
    if (!variants) {
        cJSON *copy = cJSON_Duplicate(patch, 1);
        wrapped = cJSON_CreateObject();
        if (!copy || !wrapped || !cJSON_AddItemToObject(wrapped, name, copy)) {
            cJSON_Delete(copy);
            cJSON_Delete(wrapped);
            wrapped = NULL;
        }
    }
    PoiseText result = {.failed = !layout.unit || (!variants && !wrapped)};
    if (!result.failed)
        insert_member(&result, text, size, open, close, variants ? name : "variants",
                      variants ? patch : wrapped, &layout);
    *out_size = result.length;
    *out = result.failed ? NULL : poise_text_take(&result);
    poise_text_clear(&result);
    poise_release(layout.unit);
    cJSON_Delete(wrapped);
    return *out ? POISE_OK : poise_fault_memory(faults);
}
