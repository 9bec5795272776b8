/* What is written for gnuplot: text that stays text, pages with equal scales. */
#include "check.h"

#include "plot/deliver.h"
#include "plot/glyphs.h"
#include "plot/sheet.h"

/* Reads an encoded text back by the rule that gnuplot's data reader follows: a backslash and as
 * many octal digits as there are make one character (its sscanf("%o") takes all of them), every
 * other character is itself. */
static void decode(const char *from, char *to)
{
    while (*from) {
        if (*from != '\\') {
            *to++ = *from++;
            continue;
        }
        unsigned code = 0;
        for (from++; *from >= '0' && *from <= '7'; from++)
            code = 8 * code + (unsigned)(*from - '0');
        assert_true(code < 128);
        *to++ = (char)code;
    }
    *to = '\0';
}

static void comes_back(const char *text)
{
    char back[512];
    PoiseText out = {0};
    poise_plot_encode(&out, text);
    assert_false(out.failed);
    for (const char *c = out.data; *c; c++)
        assert_null(strchr("\"'`$@{}#%^|<>&!?*~[]\t\n\r", *c));
    decode(out.data, back);
    assert_string_equal(back, text);
    poise_text_clear(&out);
}

static void test_encoded_text_comes_back(void **state)
{
    (void)state;
    comes_back("plain words, 12.5 g");
    comes_back("`id` \"x\" 'y' $HOME @macro {a} 100% # note ^ _ \\n \\ | < > & ! ~ ?");
    comes_back("4\"2 and \"07 and #123");
    comes_back(" lead and trail ");
    comes_back("na\xc3\xafve \xe6\x97\xa5");
    comes_back("a\nb\tc");
}

static void test_an_empty_text_keeps_its_column(void **state)
{
    (void)state;
    PoiseText out = {0};
    poise_plot_encode(&out, "");
    assert_string_equal(out.data, "\\040");
    poise_text_clear(&out);
}

static void test_names_are_made_visible_and_cut(void **state)
{
    (void)state;
    PoiseText out = {0};
    poise_plot_shown(&out,
                     "right\xe2\x80\xae"
                     "left",
                     40);
    assert_null(strstr(out.data, "\xe2\x80\xae")); /* the override itself must not get through */
    assert_non_null(strstr(out.data, "202"));
    poise_text_clear(&out);
    poise_plot_shown(&out, "abcdefghij", 10);
    assert_string_equal(out.data, "abcdefghij");
    poise_text_clear(&out);
    poise_plot_shown(&out, "abcdefghijk", 10);
    assert_string_equal(out.data, "abcdefghi\u2026");
    poise_text_clear(&out);
}

static void test_assigned_numbers_are_never_whole_for_gnuplot(void **state)
{
    (void)state;
    PoiseText out = {0};
    poise_plot_assign(&out, "A", 78.0);
    poise_plot_assign(&out, "B", 0.1);
    poise_plot_assign(&out, "C", (double)NAN);
    assert_string_equal(out.data, "A = 78.0\nB = 0.1\nC = NaN\n");
    poise_text_clear(&out);
}

static void test_a_fitted_page_has_one_scale(void **state)
{
    (void)state;
    for (int turned = 0; turned < 2; turned++) {
        PoiseSheet sheet = {.left_px = 78, .right_px = 24, .top_px = 84, .bottom_px = 62};
        poise_sheet_fit(&sheet, (double[2]){-50, -200}, (double[2]){1000, 600}, 480, 790, turned);
        check_close(fabs(poise_sheet_px_per_x(&sheet)), poise_sheet_px_per_y(&sheet), 1e-12);
        assert_true(sheet.height_px >= 480 && sheet.height_px <= 790);
        double px[2], back[2], lo[2], hi[2];
        poise_sheet_to_px(&sheet, (double[2]){-50, -200}, lo);
        poise_sheet_to_px(&sheet, (double[2]){1000, 600}, hi);
        assert_true(turned ? lo[0] > hi[0] : lo[0] < hi[0]); /* a left-handed one points left */
        assert_true(lo[1] > hi[1]);                          /* px run down */
        assert_true(fmin(lo[0], hi[0]) >= 78 - 1e-9 && fmax(lo[0], hi[0]) <= 1120 - 24 + 1e-9);
        poise_sheet_to_px(&sheet, (double[2]){123, 45}, px);
        poise_sheet_from_px(&sheet, px, back);
        check_near(back[0], 123, 1e-9);
        check_near(back[1], 45, 1e-9);
    }
}

static void test_blocks_are_never_empty(void **state)
{
    (void)state;
    PoiseSheet sheet = {0};
    poise_sheet_block(&sheet, "none", "x, y");
    poise_sheet_end(&sheet, 2);
    poise_sheet_block(&sheet, "some", "x, text");
    poise_sheet_number(&sheet, 1.5);
    poise_sheet_text(&sheet, "a#b");
    poise_sheet_row(&sheet);
    poise_sheet_end(&sheet, 2);
    assert_string_equal(sheet.data.data,
                        "# none: x, y\nNaN\tNaN\n\n\n# some: x, text\n1.5\ta\\043b\n\n\n");
    poise_sheet_clear(&sheet);
}

/* One closed line through all rings: a shoelace over it counts outlines and takes holes away. */
static void test_a_fill_keeps_holes_empty(void **state)
{
    (void)state;
    PoiseRings rings = {0};
    const double outer[4][2] = {{0, 0}, {10, 0}, {10, 10}, {0, 10}};
    const double hole[4][2] = {{4, 4}, {4, 6}, {6, 6}, {6, 4}};
    for (int i = 0; i < 4; i++)
        poise_rings_add(&rings, outer[i][0], outer[i][1]);
    poise_rings_close(&rings);
    for (int i = 0; i < 4; i++)
        poise_rings_add(&rings, hole[i][0], hole[i][1]);
    poise_rings_close(&rings);
    PoiseSheet sheet = {0};
    poise_sheet_fill(&sheet, &rings);
    double twice = 0, x0 = 0, y0 = 0, px = 0, py = 0;
    int n = 0, used = 0;
    for (const char *s = sheet.data.data; *s && *s != '\n'; n++) {
        double x, y;
        assert_int_equal(sscanf(s, "%lf\t%lf\n%n", &x, &y, &used), 2);
        s += used - (s[used - 1] == '\n' && s[used - 2] == '\n');
        if (n == 0) {
            x0 = x;
            y0 = y;
        } else {
            twice += px * y - x * py;
        }
        px = x;
        py = y;
    }
    check_near(px, x0, 0);
    check_near(py, y0, 0);
    check_near(twice / 2, 96, 1e-9);
    poise_sheet_clear(&sheet);
    poise_rings_release(&rings);
}

static bool none(const unsigned *codes, size_t n)
{
    (void)codes;
    (void)n;
    return false;
}

static bool asked_for_two(const unsigned *codes, size_t n)
{
    assert_int_equal(n, 2);
    assert_int_equal(codes[0], 0x65E5);
    assert_int_equal(codes[1], 0x672C);
    return true;
}

static void test_characters_without_a_font_are_spelled_out(void **state)
{
    (void)state;
    char back[256];
    PoiseText in = {0}, out = {0};
    poise_plot_encode(&in, "\xe6\x97\xa5"
                           "7 na\xc3\xafve \xe6\x9c\xac\xe6\x97\xa5 20\xc2\xb0");
    poise_plot_spell_out(in.data, none, &out);
    decode(out.data, back);
    assert_string_equal(back, "\\u{65E5}7 na\xc3\xafve \\u{672C}\\u{65E5} 20\xc2\xb0");
    poise_text_clear(&out);
    poise_plot_spell_out(in.data, asked_for_two, &out);
    assert_string_equal(out.data, in.data);
    poise_text_clear(&out);
    poise_text_clear(&in);
    poise_plot_spell_out("1\tna\xc3\xafve", NULL, &out); /* nothing to ask for */
    assert_string_equal(out.data, "1\tna\xc3\xafve");
    poise_text_clear(&out);
}

static void test_file_names(void **state)
{
    (void)state;
    PoisePictureFormat format;
    assert_true(poise_plot_format_of("a/b.SVG", &format) && format == POISE_PICTURE_SVG);
    assert_true(poise_plot_format_of("b.png", &format) && format == POISE_PICTURE_PNG);
    assert_true(poise_plot_format_of("x.y.pdf", &format) && format == POISE_PICTURE_PDF);
    assert_true(poise_plot_format_of("-", &format) && format == POISE_PICTURE_SVG);
    assert_false(poise_plot_format_of("picture", &format));
    assert_false(poise_plot_format_of("a.png/b", &format));
    assert_false(poise_plot_format_of("a.jpg", &format));
    const char *const names[][2] = {{"a/b.svg", "b"},     {"x'y`z$(w).png", "x_y_z__w_"},
                                    {"<cmd.png", "_cmd"}, {"-x.svg", "_x"},
                                    {"d/.svg", "_svg"},   {"na\xc3\xafve-1.svg", "na\xc3\xafve-1"}};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char *stem = poise_plot_stem(names[i][0]);
        assert_string_equal(stem, names[i][1]);
        poise_string_free(stem);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_encoded_text_comes_back),
        cmocka_unit_test(test_an_empty_text_keeps_its_column),
        cmocka_unit_test(test_names_are_made_visible_and_cut),
        cmocka_unit_test(test_assigned_numbers_are_never_whole_for_gnuplot),
        cmocka_unit_test(test_a_fitted_page_has_one_scale),
        cmocka_unit_test(test_blocks_are_never_empty),
        cmocka_unit_test(test_a_fill_keeps_holes_empty),
        cmocka_unit_test(test_characters_without_a_font_are_spelled_out),
        cmocka_unit_test(test_file_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
