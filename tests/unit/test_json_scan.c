/* The strict scanner against the grammar of RFC 8259. The short texts are of the kind collected by
 * N. Seriot, "Parsing JSON is a Minefield" (2016), from memory: what must be read, what must be
 * refused. */
#include "input_check.h"

#include "base/limits.h"
#include "input/json_scan.h"

static PoiseStatus scan(const char *text, size_t size, PoiseNodes *nodes, PoiseFaults *faults)
{
    int stopped;
    return poise_json_scan(text, size, "f", nodes, &stopped, faults);
}

static void accepts(const char *text, size_t values)
{
    PoiseFaults *faults = poise_faults_new();
    PoiseNodes nodes;
    PoiseStatus status = scan(text, strlen(text), &nodes, faults);
    faults_are(faults, "");
    assert_int_equal(status, POISE_OK);
    if (nodes.count != values)
        fail_msg("%s: %zu values, want %zu", text, nodes.count, values);
    poise_nodes_clear(&nodes);
    poise_faults_free(faults);
}

static void refuses_n(const char *text, size_t size, const char *message)
{
    PoiseFaults *faults = poise_faults_new();
    PoiseNodes nodes;
    PoiseStatus status = scan(text, size, &nodes, faults);
    faults_are(faults, message);
    assert_int_equal(status, POISE_E_INPUT);
    poise_nodes_clear(&nodes);
    poise_faults_free(faults);
}

static void refuses(const char *text, const char *message)
{
    refuses_n(text, strlen(text), message);
}

static void reads_the_grammar(void **state)
{
    (void)state;
    accepts("{}", 1);
    accepts("[]", 1);
    accepts(" \t\r\n null \n", 1);
    accepts("\"\"", 1);
    accepts("-0", 1);
    accepts("[0,-1,1.5,1e5,1E+5,1.25e-5,0e1]", 8);
    accepts("[true,false,null]", 4);
    accepts("{\"a\":{\"b\":[1,2]},\"c\":\"d\"}", 6);
    accepts("\"\\\"\\\\\\/\\b\\f\\n\\r\\t\\u20AC\\ud83d\\uDE00\"", 1);
    accepts("\"\xE2\x82\xAC \xF0\x9F\x98\x80 \x7F\"", 1);
    accepts("\xEF\xBB\xBF{}", 1); /* §8.1: may ignore a byte order mark */
}

static void refuses_with_place(void **state)
{
    (void)state;
    refuses("", "f:1:1: found the end of the file, expected a value\n");
    refuses("  \n ", "f:2:2: found the end of the file, expected a value\n");
    refuses("[1,]", "f:1:4: found \"]\", expected a value; remove the comma before it\n");
    refuses("{\"a\":1,}",
            "f:1:8: found \"}\", expected a key in double quotes; remove the comma before it\n");
    refuses("[1 2]", "f:1:4: found \"2\", expected a comma or \"]\"\n");
    refuses("{\"a\":1\n \"b\":2}",
            "f:2:2: found \"\"\", expected a comma or \"}\"; a comma is missing before it\n");
    refuses("{\"a\" 1}", "f:1:6: found \"1\", expected a colon after the key\n");
    refuses("{a:1}", "f:1:2: found \"a\", expected a key in double quotes or \"}\"; text stands in "
                     "double quotes\n");
    refuses("{'a':1}", "f:1:2: found \"'\", expected a key in double quotes or \"}\"; text stands "
                       "in double quotes\n");
    refuses("[NaN]", "f:1:2: found \"NaN\", expected a value; text stands in double quotes\n");
    refuses("[-Infinity]",
            "f:1:3: found \"Infinity\", expected a digit; text stands in double quotes\n");
    refuses("[+1]", "f:1:2: found \"+\", expected a value; a number has no leading plus sign\n");
    refuses("[012]", "f:1:3: found \"1\", expected a number without leading zeros\n");
    refuses("[.5]",
            "f:1:2: found \".\", expected a value; a number starts with a digit, as in 0.5\n");
    refuses("[1.]", "f:1:4: found \"]\", expected a digit after the decimal point\n");
    refuses("[1e]", "f:1:4: found \"]\", expected a digit in the exponent\n");
    refuses("[0x1]", "f:1:3: found \"x\", expected the end of the number; a value with a unit is "
                     "text: \"5 mm\"\n");
    refuses("[5mm]", "f:1:3: found \"mm\", expected the end of the number; a value with a unit is "
                     "text: \"5 mm\"\n");
    refuses("[1.2.3]", "f:1:5: found \".\", expected the end of the number; a value with a unit is "
                       "text: \"5 mm\"\n");
    refuses("[True]", "f:1:2: found \"True\", expected a value; text stands in double quotes\n");
    refuses("[nul]", "f:1:2: found \"nul\", expected a value; text stands in double quotes\n");
    refuses("[truex]", "f:1:2: found \"truex\", expected a value; text stands in double quotes\n");
    refuses(
        "[1] // done",
        "f:1:5: found \"/\", expected the end of the file; JSON has no comments; use a \"note\"\n");
    refuses("{}{}", "f:1:3: found \"{\", expected the end of the file\n");
    refuses("[\"a\nb\"]",
            "f:1:2: found text without an end on its line, expected a closing double quote\n");
    refuses("[\"a",
            "f:1:2: found text without an end on its line, expected a closing double quote\n");
    refuses("[\"\t\"]", "f:1:3: found the control character U+0009, expected text in UTF-8 with "
                        "control characters escaped\n");
    refuses("[\"\\x\"]",
            "f:1:4: found \"x\", expected one of \" \\ / b f n r t u after a backslash; "
            "write a backslash twice\n");
    refuses("[\"\\u12G4\"]", "f:1:7: found \"G\", expected four hexadecimal digits after \\u\n");
    refuses("[\"\\ud83d\"]",
            "f:1:9: found the first half of a surrogate pair, expected its second half, \\uDC00 "
            "to \\uDFFF, after it\n");
    refuses("[\"\\ud83d\\u0041\"]",
            "f:1:15: found the first half of a surrogate pair, expected its second half, "
            "\\uDC00 to \\uDFFF, after it\n");
    refuses(
        "[\"\\ude00\"]",
        "f:1:9: found the second half of a surrogate pair, expected its first half before it\n");
    refuses("[\"\\u0000\"]",
            "f:1:9: found the escape \\u0000, expected text without a NUL character\n");
    refuses("[\"\xFF\"]",
            "f:1:3: found the byte 0xFF, which is not UTF-8, expected text in UTF-8 with control "
            "characters escaped\n");
    refuses("[\"\xC0\xAF\"]",
            "f:1:3: found the byte 0xC0, which is not UTF-8, expected text in UTF-8 with "
            "control characters escaped\n");
    refuses("[\"\xED\xA0\x80\"]",
            "f:1:3: found the byte 0xED, which is not UTF-8, expected text in UTF-8 with "
            "control characters escaped\n");
    refuses("[\xC2\xA0"
            "1]",
            "f:1:2: found \"\xC2\xA0\", expected a value\n");
    refuses_n("[1]\0", 4,
              "f:1:4: found the control character U+0000, expected the end of the file\n");
    refuses("]", "f:1:1: found \"]\", expected a value\n");
    /* A column is a code point, not a byte. */
    refuses("[\"\xE2\x82\xAC\xF0\x9F\x98\x80\" x]",
            "f:1:7: found \"x\", expected a comma or \"]\"; text stands in double quotes\n");
}

/* Numbers no double holds are faults, but the scan goes on. */
static void refuses_numbers_and_goes_on(void **state)
{
    (void)state;
    refuses("[1e999,\n -1e400]",
            "f:1:2: found the number 1e999, expected a number that a double can hold\n"
            "f:2:2: found the number -1e400, expected a number that a double can hold\n");
    refuses("[1234567890123456789012345678901234567890123456789012345678901]",
            "f:1:2: found the number 123456789012345678901234…, expected a number of at most 60 "
            "characters\n");
    accepts("[123456789012345678901234567890123456789012345678901234567890]", 2);
}

static void keeps_its_limits(void **state)
{
    (void)state;
    char deep[2 * POISE_LIMIT_JSON_DEPTH + 3];
    memset(deep, '[', POISE_LIMIT_JSON_DEPTH);
    memset(deep + POISE_LIMIT_JSON_DEPTH, ']', POISE_LIMIT_JSON_DEPTH);
    deep[2 * POISE_LIMIT_JSON_DEPTH] = '\0';
    accepts(deep, POISE_LIMIT_JSON_DEPTH);
    memset(deep, '[', POISE_LIMIT_JSON_DEPTH + 1);
    memset(deep + POISE_LIMIT_JSON_DEPTH + 1, ']', POISE_LIMIT_JSON_DEPTH + 1);
    refuses_n(deep, sizeof deep - 1,
              "f:1:33: found objects and lists nested too deep, expected at most 32 levels\n");
    size_t n = 2 * POISE_LIMIT_JSON_VALUES + 1;
    char *wide = malloc(n + 1);
    assert_non_null(wide);
    for (size_t i = 0; i < n; i++)
        wide[i] = i % 2 ? '0' : ',';
    wide[0] = '[';
    wide[n - 1] = ']';
    refuses_n(wide, n,
              "f:1:800000: found more values than poise takes from one file, expected at most "
              "400000 values\n");
    free(wide);
}

/* Where values stand: counted by hand. */
static void records_places(void **state)
{
    (void)state;
    const char *text = "{ \"a\" :\n   [ 1, {\"\xC3\xA9\": 2} ],\n \"b\": true }";
    PoiseNodes nodes;
    assert_int_equal(scan(text, strlen(text), &nodes, NULL), POISE_OK);
    static const PoiseNode want[] = {
        {1, 1, 1, 1, 6},   /* the object */
        {2, 4, 1, 3, 4},   /* a */
        {2, 6, 2, 6, 1},   /* 1 */
        {2, 9, 2, 9, 2},   /* {é} */
        {2, 15, 2, 10, 1}, /* 2 */
        {3, 7, 3, 2, 1},   /* b */
    };
    assert_int_equal(nodes.count, 6);
    for (size_t i = 0; i < 6; i++)
        assert_memory_equal(&nodes.list[i], &want[i], sizeof want[i]);
    poise_nodes_clear(&nodes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_the_grammar),
        cmocka_unit_test(refuses_with_place),
        cmocka_unit_test(refuses_numbers_and_goes_on),
        cmocka_unit_test(keeps_its_limits),
        cmocka_unit_test(records_places),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
