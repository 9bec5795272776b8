/* Printing a sheet by way of a browser: scripts stand in for it, each going wrong, or right, in its
 * own way. */
#include "alloc_help.h"

#include <errno.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/faults.h"
#include "report/report.h"

static const char PLACE[] = POISE_TEST_BINARY_DIR "/fake-browser";
static const char PROGRAM[] = POISE_TEST_BINARY_DIR "/fake-browser/chromium";

/* A shell's script, or none (NULL), by the browser's name. */
static void pretend(const char *script, mode_t mode)
{
    assert_true(mkdir(PLACE, 0777) == 0 || errno == EEXIST);
    remove(PROGRAM);
    assert_int_equal(
        setenv("PATH", script ? POISE_TEST_BINARY_DIR "/fake-browser" : "/nonexistent", 1), 0);
    if (!script)
        return;
    FILE *f = fopen(PROGRAM, "w");
    assert_non_null(f);
    assert_true(fprintf(f, "#!/bin/sh\n%s\n", script) > 0);
    assert_int_equal(fclose(f), 0);
    assert_int_equal(chmod(PROGRAM, mode), 0);
}

/* Its PDF is where it stands, what it is asked, and the page itself. A profile stays behind. */
static const char GOOD[] =
    "/bin/mkdir -p profile/deep; echo x > profile/deep/file\n"
    "{ pwd; for a in \"$@\"; do echo \"$a\"; done; /bin/cat sheet.html; } > sheet.pdf";

static void test_prints(void **state)
{
    (void)state;
    char *pdf = NULL;
    size_t size = 0;
    pretend(GOOD, 0755);
    assert_int_equal(poise_print_pdf("<p>wren</p>", &pdf, &size, NULL), POISE_OK);
    assert_int_equal(strlen(pdf), size);
    char *end = strchr(pdf, '\n');
    assert_non_null(end);
    char *url = poise_format("\nfile://%.*s/sheet.html\n", (int)(end - pdf), pdf);
    assert_non_null(strstr(pdf, url));
    assert_non_null(strstr(pdf, "\n--print-to-pdf=sheet.pdf\n"));
    assert_non_null(strstr(pdf, "\n--host-resolver-rules=MAP * ~NOTFOUND\n"));
    assert_int_equal(strcmp(pdf + size - 11, "<p>wren</p>"), 0);
    /* Where it was printed nothing is left. */
    *end = '\0';
    assert_int_equal(access(pdf, F_OK), -1);
    poise_release(url);
    poise_release(pdf);
}

static void fails(const char *script, mode_t mode, const char *want)
{
    char *pdf = NULL;
    size_t size = 0;
    PoiseFaults *faults = poise_faults_new();
    pretend(script, mode);
    assert_int_equal(poise_print_pdf("<p>wren</p>", &pdf, &size, faults), POISE_E_IO);
    assert_null(pdf);
    assert_int_equal(poise_faults_count(faults), 1);
    const char *found = poise_faults_get(faults, 0)->found;
    if (!strstr(found, want))
        fail_msg("\"%s\" is not in \"%s\"", want, found);
    poise_faults_free(faults);
}

static void test_does_not_print(void **state)
{
    (void)state;
    fails(NULL, 0, "\"chromium\", which is not installed: install it");
    fails("exit 3", 0755, "chromium failed to print (exit code 3); write .html and print that");
    fails("kill -9 $$", 0755, "chromium failed to print (exit code -1)");
    fails("exit 0", 0755, "No such file or directory"); /* it says it did, and did not */
    fails("exit 0", 0644, "cannot start chromium: Permission denied");
}

static Outcome printed(const char *html, PoiseFaults *faults)
{
    char *pdf = NULL;
    size_t size = 0;
    PoiseStatus status = poise_print_pdf(html, &pdf, &size, faults);
    assert_true((status == POISE_OK) == (pdf != NULL));
    poise_release(pdf);
    return refused(status);
}

static void test_no_memory(void **state)
{
    (void)state;
    pretend("/bin/cp sheet.html sheet.pdf", 0755);
    fail_each(printed, "<p>wren</p>", POISE_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_prints),
        cmocka_unit_test(test_does_not_print),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
