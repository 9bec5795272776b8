/* Escapes and encodings of the build sheet. */
#include "check.h"

#include "base/memory.h"
#include "report/doc.h"

static void html_is(const char *piece, const char *wanted)
{
    PoiseText t = {0};
    poise_html_append(&t, piece);
    assert_false(t.failed);
    assert_string_equal(t.data ? t.data : "", wanted);
    poise_text_clear(&t);
}

/* HTML Living Standard, 13.1.2.3 and 13.1.4: what ends a text or a quoted attribute. */
static void html_escapes(void **state)
{
    (void)state;
    html_is("", "");
    html_is("plain ü °", "plain ü °");
    html_is("<b a='1' c=\"2\">&amp;", "&lt;b a=&#39;1&#39; c=&quot;2&quot;&gt;&amp;amp;");
    html_is("</script>", "&lt;/script&gt;");
    html_is("a\nb", "a\\x0Ab");
    html_is("\xE2\x80\xAE", "\\u{202E}");
    html_is("\xFF", "\\xFF");
}

/* RFC 4648, section 10. */
static void base64_vectors(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {{"", ""},
                                           {"f", "Zg=="},
                                           {"fo", "Zm8="},
                                           {"foo", "Zm9v"},
                                           {"foob", "Zm9vYg=="},
                                           {"fooba", "Zm9vYmE="},
                                           {"foobar", "Zm9vYmFy"}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        PoiseText t = {0};
        poise_base64_append(&t, pairs[i][0], strlen(pairs[i][0]));
        assert_string_equal(t.data ? t.data : "", pairs[i][1]);
        poise_text_clear(&t);
    }
    PoiseText t = {0};
    poise_base64_append(&t, "\xFB\xFF\xBF", 3);
    assert_string_equal(t.data, "+/+/");
    poise_text_clear(&t);
}

static const PoiseColumn COLUMNS[] = {
    {"item", POISE_COLUMN_TEXT}, {"g", POISE_COLUMN_NUMBER}, {"done", POISE_COLUMN_TICK}};

static char *table(PoiseDocFormat format)
{
    PoiseDoc doc = {.format = format};
    poise_doc_table(&doc, COLUMNS, 3);
    poise_doc_row(&doc, false);
    poise_doc_cell(&doc, "a|b<\"");
    poise_doc_number(&doc, -1.25, 1);
    poise_doc_form_cell(&doc, "a\"b");
    poise_doc_row(&doc, true);
    poise_doc_cell(&doc, NULL);
    poise_doc_number(&doc, (double)NAN, 1);
    poise_doc_form_cell(&doc, "all");
    poise_doc_end_table(&doc);
    return poise_text_take(&doc.text);
}

static void tables(void **state)
{
    (void)state;
    char *text = table(POISE_DOC_MARKDOWN);
    assert_string_equal(text, "| item | g | done |\n|---|--:|---|\n"
                              "| a\\|b&lt;\" | −1.3 | ☐ |\n|  | – | ☐ |\n\n");
    poise_release(text);
    text = table(POISE_DOC_HTML);
    assert_non_null(
        strstr(text, "<tr><th scope=\"row\">a|b&lt;&quot;</th><td class=\"n\">−1.3</td>"));
    assert_non_null(strstr(text, "aria-label=\"done: a&quot;b\""));
    assert_non_null(
        strstr(text, "<tr class=\"total\"><th scope=\"row\"></th><td class=\"n\">–</td>"));
    poise_release(text);
}

/* Any allocation may fail: then the document is NULL, never half a table. */
static void memory_runs_out(void **state)
{
    (void)state;
    for (long at = 0; at < 40; at++) {
        poise_alloc_fail_at(at, 0);
        char *text = table(POISE_DOC_HTML);
        long used = poise_alloc_fail_at(-1, 0);
        if (used > at)
            assert_null(text);
        else
            assert_non_null(text);
        poise_release(text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(html_escapes),
                                       cmocka_unit_test(base64_vectors), cmocka_unit_test(tables),
                                       cmocka_unit_test(memory_runs_out)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
