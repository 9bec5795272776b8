/* Labels at their limits, and text that is odd or too long. */
#include "plot_help.h"

#include "plot/glyphs.h"
#include "plot/notes.h"
#include "plot/plot.h"

static const double AREA[4] = {0, 0, 1000, 600};

static void test_a_label_wider_than_the_area_stands_in_its_middle(void **state)
{
    (void)state;
    PoiseLabel labels[2] = {{.x = 10, .y = 20, .width = 1400, .height = 20},
                            {.x = 990, .y = 300, .width = 60, .height = 700}};
    assert_true(poise_labels_place(labels, 1, AREA));
    check_near(labels[0].x, 500, 0);
    check_near(labels[0].y, 20, 0);
    assert_true(poise_labels_place(labels + 1, 1, AREA));
    check_near(labels[1].x, 970, 0);
    check_near(labels[1].y, 300, 0);
}

static void test_obstacles_may_overlap(void **state)
{
    (void)state;
    PoiseLabel labels[2] = {{.x = 100, .y = 100, .width = 50, .height = 50, .fixed = true},
                            {.x = 110, .y = 120, .width = 50, .height = 50, .fixed = true}};
    assert_true(poise_labels_place(labels, 2, AREA));
    check_near(labels[0].x, 100, 0);
    check_near(labels[1].y, 120, 0);
}

static void test_what_has_no_room_is_said_to_overlap(void **state)
{
    (void)state;
    PoiseLabel labels[3];
    for (int i = 0; i < 3; i++) /* two fit side by side, three do not */
        labels[i] = (PoiseLabel){.x = 500, .y = 300, .width = 450, .height = 500};
    assert_false(poise_labels_place(labels, 3, AREA));
    for (int i = 0; i < 3; i++) { /* but none of them leaves the page */
        assert_true(labels[i].x >= 225 && labels[i].x <= 775);
        assert_true(labels[i].y >= 250 && labels[i].y <= 350);
    }
    assert_true(poise_labels_place(labels, 2, AREA));
}

/* Labels that differ in their width alone: the order in which they come makes no difference. */
static void test_labels_of_one_place_are_told_apart_by_width(void **state)
{
    (void)state;
    PoiseLabel a[2] = {{.x = 500, .y = 300, .width = 80, .height = 20},
                       {.x = 500, .y = 300, .width = 120, .height = 20}};
    PoiseLabel b[2] = {a[1], a[0]};
    assert_true(poise_labels_place(a, 2, AREA) && poise_labels_place(b, 2, AREA));
    check_near(a[0].y, b[1].y, 0);
    check_near(a[1].y, b[0].y, 0);
    assert_true(fabs(a[0].y - a[1].y) >= 20);
}

static PoiseSheet page(void)
{
    return (PoiseSheet){.height_px = 600, .hi = {1120, 600}}; /* 1 px for 1 */
}

static void test_more_notes_than_fit_are_left_out(void **state)
{
    (void)state;
    PoiseNotes notes = {0};
    PoiseSheet sheet = page();
    for (int i = 0; i < POISE_MOST_NOTES; i++)
        poise_notes_keep_off(&notes, &sheet, (double[2]){10.0 * i, 5}, 1, 1);
    assert_int_equal(notes.count, POISE_MOST_NOTES);
    poise_notes_keep_off(&notes, &sheet, (double[2]){500, 500}, 1, 1);
    poise_notes_add(&notes, &sheet, POISE_NOTE_NAME, (double[2]){500, 500}, 0, 0, false, "late");
    assert_int_equal(notes.count, POISE_MOST_NOTES);
    assert_false(notes.failed);
    check_near(notes.labels[POISE_MOST_NOTES - 1].x, 950, 1e-9);
    poise_notes_write(&notes, &sheet);
    block_says(sheet.data.data, "notes", "late", false);
    poise_notes_clear(&notes);
    poise_sheet_clear(&sheet);
}

static void test_a_note_about_no_point_is_left_out(void **state)
{
    (void)state;
    PoiseNotes notes = {0};
    PoiseSheet sheet = page();
    const double nowhere[][2] = {{(double)NAN, 1}, {1, (double)NAN}, {(double)INFINITY, 1}};
    for (size_t i = 0; i < 3; i++)
        poise_notes_say(&notes, &sheet, POISE_NOTE_NAME, nowhere[i], 0, 0, false, "%d", 7);
    assert_int_equal(notes.count, 0);
    /* lines are set apart, a long one is measured as far as it may be, and a leader goes to the
     * point from a label that stands away from it */
    char text[400] = {0};
    memset(text, 'm', 300);
    strcpy(text + 300, "\nbelow");
    poise_notes_add(&notes, &sheet, POISE_NOTE_SMALL, (double[2]){560, 300}, 0, 60, true, text);
    assert_int_equal(notes.count, 1);
    check_near(notes.labels[0].width, 0.6 * POISE_SMALL_PX * 255, 1e-9);
    check_near(notes.labels[0].height, 2 * 1.3 * POISE_SMALL_PX, 1e-9);
    poise_notes_add(&notes, &sheet, POISE_NOTE_ACCENT, (double[2]){100, 100}, 0, 3, true, "near");
    poise_notes_write(&notes, &sheet);
    assert_int_equal(rows_of(sheet.data.data, "remarks"), 2);
    check_near(cell(sheet.data.data, "remarks", 0, 1) - cell(sheet.data.data, "remarks", 1, 1),
               1.3 * POISE_SMALL_PX, 1e-3);
    check_near(cell(sheet.data.data, "leaders", 1, 1), 300, 0);
    assert_int_equal(rows_of(sheet.data.data, "leaders"), 2); /* one of the two has one */
    poise_notes_clear(&notes);
    poise_sheet_clear(&sheet);
}

static void test_shown_text(void **state)
{
    (void)state;
    PoiseText out = {0};
    poise_plot_shown(&out, NULL, 10);
    assert_false(out.failed);
    assert_true(out.length == 0);
    poise_text_clear(&out);
    /* wide characters take two columns: three of them and a half do not fit into seven */
    poise_plot_shown(&out, "\xe6\x97\xa5\xe6\x97\xa5\xe6\x97\xa5\xe6\x97\xa5", 7);
    assert_string_equal(out.data, "\xe6\x97\xa5\xe6\x97\xa5\xe6\x97\xa5\xe2\x80\xa6");
    poise_text_clear(&out);
    poise_plot_shown(&out, "bad \xff byte", 6); /* cut within what has been made visible */
    assert_string_equal(out.data, "bad \\\xe2\x80\xa6");
    poise_text_clear(&out);
}

static bool all(const unsigned *codes, size_t n)
{
    (void)codes;
    return n > 0;
}

static bool none(const unsigned *codes, size_t n)
{
    (void)codes;
    return n == 0;
}

static void spelled(const char *text, bool (*fonts)(const unsigned *, size_t), const char *want)
{
    PoiseText out = {0};
    poise_plot_spell_out(text, fonts, &out);
    char *back = decoded(out.data, out.data + out.length);
    assert_string_equal(back, want);
    poise_release(back);
    poise_text_clear(&out);
}

static void test_spelled_out_characters(void **state)
{
    (void)state;
    /* U+2070 stands between two usual blocks, U+0300 behind Latin; '/' and ':' around the digits */
    spelled("\xe2\x81\xb0/", none, "\\u{2070}/");
    spelled("\xcc\x80:", none, "\\u{0300}:");
    spelled("\xcc\x80"
            "9x9",
            none, "\\u{0300}9x9");
    /* no UTF-8: stays, and is nothing to look a font up for */
    spelled("a\xff"
            "b",
            none,
            "a\xff"
            "b");
    spelled("\xff\xcc\x80", all, "\xff\xcc\x80");
}

/* More rare characters than are looked up at once: all are spelled out, whatever the fonts. */
static void test_very_many_rare_characters(void **state)
{
    (void)state;
    PoiseText in = {0}, out = {0};
    for (unsigned i = 0; i < 199; i++) /* U+4E00 and on */
        poise_text_printf(&in, "%c%c%c", 0xE4, 0xB8 + (int)(i / 64), 0x80 + (int)(i % 64));
    spelled(in.data, all, in.data);
    poise_text_append(&in, "\xe6\x97\xa5.");
    poise_plot_spell_out(in.data, all, &out);
    char *back = decoded(out.data, out.data + out.length);
    assert_memory_equal(back, "\\u{4E00}\\u{4E01}", 16);
    assert_string_equal(back + 198 * 8, "\\u{4EC6}\\u{65E5}.");
    poise_release(back);
    poise_text_clear(&in);
    poise_text_clear(&out);
}

static void test_views_that_do_not_exist(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    const PoisePlotOptions options = {.out = "never.svg"};
    assert_string_equal(poise_plot_view_name(POISE_PLOT_SWEEP), "sweep");
    assert_string_equal(poise_plot_view_name(POISE_PLOT_VIEWS), "");
    assert_string_equal(poise_plot_view_name((PoisePlotView)-1), "");
    for (int view = POISE_PLOT_SWEEP; view <= POISE_PLOT_VIEWS + 1; view++) {
        assert_int_equal(poise_plot(NULL, NULL, (PoisePlotView)view, &options, &done, faults),
                         POISE_E_USAGE);
        assert_string_equal(last_fault(faults), "there is no such view of one weighing");
    }
    poise_faults_free(faults);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_label_wider_than_the_area_stands_in_its_middle),
        cmocka_unit_test(test_obstacles_may_overlap),
        cmocka_unit_test(test_what_has_no_room_is_said_to_overlap),
        cmocka_unit_test(test_labels_of_one_place_are_told_apart_by_width),
        cmocka_unit_test(test_more_notes_than_fit_are_left_out),
        cmocka_unit_test(test_a_note_about_no_point_is_left_out),
        cmocka_unit_test(test_shown_text),
        cmocka_unit_test(test_spelled_out_characters),
        cmocka_unit_test(test_very_many_rare_characters),
        cmocka_unit_test(test_views_that_do_not_exist),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
