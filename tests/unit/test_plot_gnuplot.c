/* Everything that a gnuplot may do to us: stand-ins of a few lines of shell take its place. */
#include "plot_help.h"

#include "plot/deliver.h"

static const char ROW[] = "# row: x\n1.5\n\n\n";

static PoiseStatus deliver(const char *name, bool data, PoisePlotDone *done, PoiseFaults *faults)
{
    PoiseSheet sheet = {.height_px = 640, .hi = {1, 1}};
    poise_text_append(&sheet.data, ROW);
    char *out = name ? in_fakes(name) : NULL;
    const PoisePlotOptions options = {.out = out, .data = data};
    *done = (PoisePlotDone){0};
    PoiseStatus status = poise_plot_deliver(&sheet, "budget", &options, done, faults);
    poise_sheet_clear(&sheet);
    poise_release(out);
    return status;
}

/* Delivering must fail with these words, and leave no picture. */
static void refused(const char *gnuplot, const char *words)
{
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    char *picture = in_fakes("p.svg");
    unlink(picture);
    fake("gnuplot", gnuplot);
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_E_IO);
    assert_string_equal(last_fault(faults), words);
    assert_int_equal(access(picture, F_OK), -1);
    poise_plot_done_free(&done);
    poise_release(picture);
    poise_faults_free(faults);
}

static void test_failures_are_told_in_gnuplots_words(void **state)
{
    (void)state;
    refused("printf '\\n  ^\\n\"picture.gp\" line 3: no\\n\\t\\n  second\\n' >&2; exit 1",
            "gnuplot failed: \"picture.gp\" line 3: no; second");
    refused("exit 3", "gnuplot failed: it gave no reason");
    refused("printf '\\n\\n' >&2; exit 3", "gnuplot failed: it gave no reason");
    refused("kill -9 $$", "gnuplot failed: it gave no reason");
    refused("exit 0", "gnuplot drew nothing: it gave no reason");
    refused(": > picture.svg", "gnuplot drew nothing: it gave no reason");
    refused("echo 'no font' >&2", "gnuplot drew nothing: no font");
    /* more than may be worth reading */
    refused("s=0123456789abcdef; for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17; do s=$s$s; "
            "done; echo \"$s\" >&2; exit 1",
            "gnuplot failed: it gave no reason");
}

static void test_long_words_are_cut(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    fake("gnuplot", "for i in 1 2 3 4 5 6 7 8 9; do printf '%100s\\n' end >&2; done; "
                    "for i in 1 2 3 4 5 6 7 8 9; do printf '%0100d\\n' 7 >&2; done; exit 1");
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_E_IO);
    const char *found = last_fault(faults);
    says(found, "gnuplot failed: end; end; ", true);
    says(found, "0007; 000", true);
    assert_true(strlen(found) < 720);
    poise_faults_free(faults);
}

static void test_a_gnuplot_that_cannot_start(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    char *path = in_fakes("gnuplot");
    fake("gnuplot", DRAWS);
    assert_int_equal(chmod(path, 0600), 0);
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_E_IO);
    assert_string_equal(last_fault(faults), "cannot start gnuplot: Permission denied");
    fake("gnuplot", NULL);
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_E_IO);
    says(last_fault(faults), "gnuplot is not installed", true);
    assert_false(poise_plot_has_window());
    poise_release(path);
    poise_faults_free(faults);
}

static void test_picture_script_and_table(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    fake("gnuplot", "echo drawn > picture.svg; echo 'a remark' >&2");
    assert_int_equal(deliver("p.svg", true, &done, faults), POISE_OK);
    assert_string_equal(done.remarks, "a remark");
    char *path = in_fakes("p.svg"), *picture = text_of(path), *table = text_of(done.table),
         *script = text_of(done.script);
    assert_string_equal(picture, "drawn\n");
    assert_string_equal(table, ROW);
    says(script, "DATA = 'p.dat'\nOUTPUT = 'p.svg'\nTERMINAL = 'svg'\n", true);
    says(script, "WIDTH = 1120.0\nHEIGHT = 640.0\n", true);
    says(script, "plot ", true); /* the view's own script follows */
    /* neither may be written where a directory is in the way; the picture stands by then */
    for (int k = 0; k < 2; k++) {
        const char *taken = k ? done.script : done.table;
        assert_int_equal(unlink(taken), 0);
        assert_int_equal(mkdir(taken, 0700), 0);
        PoisePlotDone again;
        assert_int_equal(deliver("p.svg", true, &again, faults), POISE_E_IO);
        poise_plot_done_free(&again);
        assert_int_equal(rmdir(taken), 0);
    }
    poise_plot_done_free(&done);
    assert_int_equal(deliver("none/p.svg", false, &done, faults), POISE_E_IO);
    poise_string_free(script);
    poise_string_free(table);
    poise_string_free(picture);
    poise_string_free(path);
    poise_plot_done_free(&done);
    poise_faults_free(faults);
}

static void test_names_that_no_picture_can_have(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    PoiseSheet sheet = {0};
    poise_text_append(&sheet.data, ROW);
    const PoisePlotOptions standard = {.out = "-", .data = true};
    assert_int_equal(deliver("p.jpg", false, &done, faults), POISE_E_USAGE);
    says(last_fault(faults), "must end in .svg, .png or .pdf", true);
    assert_int_equal(deliver(NULL, true, &done, faults), POISE_E_USAGE);
    says(last_fault(faults), "written beside a picture: name one", true);
    assert_int_equal(poise_plot_deliver(&sheet, "budget", &standard, &done, NULL), POISE_E_USAGE);
    assert_int_equal(poise_plot_check_name("a.tiff", faults), POISE_E_USAGE);
    assert_int_equal(poise_plot_check_name("a.PDF", faults), POISE_OK);
    const char *const names[][2] = {{"d/", "picture"},
                                    {"plain", "plain"},
                                    {"A.b-9Z@[`{:.svg", "A.b-9Z_____"},
                                    {"a_b-.png", "a_b-"}};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char *stem = poise_plot_stem(names[i][0]);
        assert_string_equal(stem, names[i][1]);
        poise_string_free(stem);
    }
    assert_int_equal(poise_plot_deliver(&sheet, "no-such-view", &(PoisePlotOptions){.out = "p.svg"},
                                        &done, faults),
                     POISE_E_IO); /* no script for it */
    poise_sheet_clear(&sheet);
    poise_faults_free(faults);
}

static void terminal_is(const char *answer, const char *want)
{
    const char *terminal = "";
    fake("gnuplot", answer);
    assert_int_equal(poise_plot_window_terminal(&terminal), want != NULL);
    if (want)
        assert_string_equal(terminal, want);
    else
        assert_null(terminal);
}

static void test_terminals_that_open_a_window(void **state)
{
    (void)state;
    terminal_is("echo ' dumb png qt svg ' >&2", "qt");
    terminal_is("echo ' dumb x11 wxt ' >&2", "wxt"); /* the better one first */
    terminal_is("printf 'x11' >&2", "x11");
    terminal_is("echo ' canvas dumb svg ' >&2", NULL);
    terminal_is("echo ' qtx xqt ' >&2", NULL); /* parts of other names */
    terminal_is("echo ' xqt aqua qtx ' >&2", "aqua");
    terminal_is("echo ' qtx xqt qt ' >&2", "qt");
    terminal_is("exit 0", NULL);
    terminal_is("echo ' qt ' >&2; exit 1", NULL);
    /* what it is asked */
    terminal_is("read -r q < $2; [ \"$1 $q\" = \"-d print ' '.GPVAL_TERMINALS.' '\" ] && "
                "echo ' qt ' >&2",
                "qt");
}

static void test_a_window_opens_and_stays(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    fake("gnuplot", "case $* in *question.gp) echo ' wxt ' >&2; exit;; esac\n"
                    "echo \"$*\" > ${0%/*}/log\n"
                    "while read -r line; do case $line in TERMINAL*) echo \"$line\";; esac; "
                    "done < picture.gp >> ${0%/*}/log");
    assert_int_equal(deliver(NULL, false, &done, faults), POISE_OK);
    char *path = in_fakes("log"), *log = text_of(path);
    assert_string_equal(log, "-d -persist picture.gp\nTERMINAL = 'wxt'\n");
    assert_true(poise_plot_has_window());
    fake("gnuplot", "echo ' svg ' >&2");
    assert_int_equal(deliver(NULL, false, &done, faults), POISE_E_IO);
    assert_string_equal(last_fault(faults),
                        "this gnuplot cannot open a window; name a file with -o");
    assert_false(poise_plot_has_window());
    poise_release(log);
    poise_release(path);
    poise_faults_free(faults);
}

static void place_is_under(const char *tmpdir, const char *want)
{
    PoisePlotDone done;
    if (tmpdir)
        setenv("TMPDIR", tmpdir, 1);
    else
        unsetenv("TMPDIR");
    assert_int_equal(deliver("p.svg", false, &done, NULL), POISE_OK);
    poise_plot_done_free(&done);
    char *path = in_fakes("log"), *log = text_of(path);
    log[strcspn(log, "\n")] = '\0';
    size_t n = strlen(want);
    assert_memory_equal(log, want, n);
    assert_memory_equal(log + n, "/poise-plot.", 12);
    assert_null(strchr(log + n + 1, '/'));
    assert_int_equal(access(log, F_OK), -1); /* removed again */
    poise_release(log);
    poise_release(path);
}

static void test_the_place_of_the_files(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    const unsigned code = 0x65E5;
    const char *terminal;
    fake("gnuplot", "pwd > ${0%/*}/log; echo drawn > picture.svg; echo ' qt ' >&2");
    place_is_under(NULL, "/tmp");
    place_is_under("", "/tmp");
    place_is_under("relative", "/tmp");
    place_is_under(fakes, fakes);
    setenv("TMPDIR", "/nowhere/at all", 1);
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_E_IO);
    assert_string_equal(last_fault(faults), "cannot make a directory: No such file or directory");
    assert_false(poise_plot_window_terminal(&terminal));
    fake("fc-list", "echo font");
    assert_false(poise_plot_fonts_have(&code, 1));
    setenv("TMPDIR", fakes, 1);
    assert_true(poise_plot_fonts_have(&code, 1));
    poise_faults_free(faults);
}

static void test_fonts_are_asked_for_what_a_name_has(void **state)
{
    (void)state;
    const unsigned codes[] = {0x65E5, 0x1F3B8};
    fake("fc-list", "echo \"$*\" > ${0%/*}/log; [ \"$*\" = ':charset=65e5 1f3b8 file' ] && "
                    "echo /some/font.ttf");
    assert_true(poise_plot_fonts_have(codes, 2));
    assert_false(poise_plot_fonts_have(codes, 1));
    char *path = in_fakes("log"), *log = text_of(path);
    assert_string_equal(log, ":charset=65e5 file\n");
    fake("fc-list", NULL);
    assert_false(poise_plot_fonts_have(codes, 2));
    poise_release(log);
    poise_release(path);
}

/* The scripts are where POISE_PLOTS says, and pages of text. */
static void test_scripts_that_cannot_be_read(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    fake("gnuplot", DRAWS);
    setenv("POISE_PLOTS", fakes, 1);
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_E_IO);
    const PoiseFault *fault = poise_faults_get(faults, poise_faults_count(faults) - 1);
    says(fault->file, "/common.gp", true);
    char *path = in_fakes("common.gp"), *page = poise_alloc_zero(1, (1 << 20) + 2);
    assert_non_null(page);
    memset(page, '#', (1 << 20) + 1);
    assert_int_equal(poise_file_write(path, page, (1 << 20) + 1, NULL), POISE_OK);
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_E_IO); /* no fault of a file's */
    unlink(path);
    setenv("POISE_PLOTS", POISE_TEST_SOURCE_DIR "/plots", 1);
    assert_int_equal(deliver("p.svg", false, &done, faults), POISE_OK);
    poise_release(page);
    poise_release(path);
    poise_faults_free(faults);
}

/* It speaks English in UTF-8, and reads none of the user's own settings; the rest is passed on. */
static void test_the_environment_it_gets(void **state)
{
    (void)state;
    PoisePlotPlace place = {0};
    static const char *const names[] = {"log", NULL};
    char *program = in_fakes("gnuplot"), *answer = NULL;
    int how = -1;
    fake("gnuplot", "echo \"$LANG|$LC_NUMERIC|$LC_ALL|$GNUTERM|$GNUPLOT_LIB|$HIS|$*\" > log");
    static const char *const set[] = {"LANG", "LC_NUMERIC", "LC_ALL", "GNUTERM", "GNUPLOT_LIB"};
    for (size_t i = 0; i < sizeof set / sizeof *set; i++)
        setenv(set[i], "C.mine", 1);
    setenv("HIS", "kept", 1);
    static char one[] = "one";
    char *const arguments[] = {program, one, NULL};
    assert_int_equal(poise_plot_place_make(&place, NULL), POISE_OK);
    assert_int_equal(poise_plot_run(&place, arguments, &how), 0);
    assert_int_equal(how, 0);
    char *log = poise_path_join(place.dir, "log");
    answer = text_of(log);
    assert_string_equal(answer, "||C.UTF-8|||kept|one\n");
    for (size_t i = 0; i < sizeof set / sizeof *set; i++)
        unsetenv(set[i]);
    poise_release(log);
    poise_release(answer);
    poise_release(program);
    poise_plot_place_remove(&place, names);
    assert_null(place.dir);
    poise_plot_place_remove(&place, names); /* there is nothing any more */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_failures_are_told_in_gnuplots_words),
        cmocka_unit_test(test_long_words_are_cut),
        cmocka_unit_test(test_a_gnuplot_that_cannot_start),
        cmocka_unit_test(test_picture_script_and_table),
        cmocka_unit_test(test_names_that_no_picture_can_have),
        cmocka_unit_test(test_terminals_that_open_a_window),
        cmocka_unit_test(test_a_window_opens_and_stays),
        cmocka_unit_test(test_the_place_of_the_files),
        cmocka_unit_test(test_fonts_are_asked_for_what_a_name_has),
        cmocka_unit_test(test_scripts_that_cannot_be_read),
        cmocka_unit_test(test_the_environment_it_gets),
    };
    return fakes_over(cmocka_run_group_tests(tests, fakes_make, NULL));
}
