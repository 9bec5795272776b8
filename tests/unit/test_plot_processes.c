/* A gnuplot that never ends, signals while waiting for it, and memory that runs out around it. The
 * clock and the waiting are the test's own, so that a minute takes no time. */
#define _GNU_SOURCE 1

#include "alloc_help.h"
#include "plot_help.h"

#include <errno.h>
#include <signal.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <time.h>

#include "plot/deliver.h"

static bool clock_runs_away;
static int interrupted; /* waits that a signal still breaks off */
static pid_t last_waited_for;

int clock_gettime(clockid_t which, struct timespec *t)
{
    static time_t ahead;
    ahead = clock_runs_away ? ahead + POISE_PLOT_SECONDS + 1 : 0;
    int result = (int)syscall(SYS_clock_gettime, which, t);
    t->tv_sec += ahead;
    return result;
}

pid_t waitpid(pid_t child, int *how, int options)
{
    last_waited_for = child;
    if (interrupted > 0) {
        interrupted--;
        errno = EINTR;
        return -1;
    }
    return (pid_t)syscall(SYS_wait4, child, how, options, NULL);
}

static PoiseStatus deliver(const char *name, bool data, PoisePlotDone *done, PoiseFaults *faults)
{
    PoiseSheet sheet = {.height_px = 640, .hi = {1, 1}};
    poise_text_append(&sheet.data, "# row: text\n\xe6\x97\xa5\n\n\n");
    char *out = poise_path_join(fakes, name);
    const PoisePlotOptions options = {.out = out, .data = data};
    *done = (PoisePlotDone){0};
    PoiseStatus status = sheet.data.failed || !out
                             ? poise_fault_memory(faults)
                             : poise_plot_deliver(&sheet, "budget", &options, done, faults);
    poise_sheet_clear(&sheet);
    poise_release(out);
    return status;
}

static void test_one_that_never_ends_is_ended(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    fake("gnuplot", "kill -STOP $$");
    clock_runs_away = true;
    PoiseStatus status = deliver("p.svg", false, &done, faults);
    clock_runs_away = false;
    assert_int_equal(status, POISE_E_IO);
    assert_string_equal(last_fault(faults), "gnuplot did not finish within 60 s and was ended");
    errno = 0;
    assert_int_equal(kill(last_waited_for, 0), -1); /* and it has been waited for */
    assert_int_equal(errno, ESRCH);
    poise_faults_free(faults);
}

static void test_signals_do_not_break_the_wait(void **state)
{
    (void)state;
    PoisePlotDone done;
    fake("gnuplot", DRAWS);
    interrupted = 1;
    assert_int_equal(deliver("p.svg", false, &done, NULL), POISE_OK);
    assert_int_equal(interrupted, 0);
    /* nor the last wait for one that is being ended: the first break is in the loop */
    fake("gnuplot", "kill -STOP $$");
    clock_runs_away = true;
    interrupted = 3;
    PoiseStatus status = deliver("p.svg", false, &done, NULL);
    clock_runs_away = false;
    assert_int_equal(status, POISE_E_IO);
    assert_int_equal(interrupted, 0);
    assert_int_equal(kill(last_waited_for, 0), -1);
}

/* Children of a program that ignores SIGCHLD vanish without a word (POSIX, waitpid()). */
static void test_an_end_that_nobody_can_tell(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    PoisePlotDone done;
    const unsigned code = 0x65E5;
    fake("gnuplot", DRAWS);
    fake("fc-list", "echo font");
    void (*before)(int) = signal(SIGCHLD, SIG_IGN);
    PoiseStatus status = deliver("p.svg", false, &done, faults);
    bool had = poise_plot_fonts_have(&code, 1);
    signal(SIGCHLD, before);
    assert_int_equal(status, POISE_E_IO);
    assert_string_equal(last_fault(faults), "cannot tell how gnuplot ended: No child processes");
    assert_false(had);
    poise_faults_free(faults);
}

static Outcome picture(const char *name, PoiseFaults *faults)
{
    PoisePlotDone done;
    PoiseStatus status = deliver(name, true, &done, faults);
    assert_true(status || (done.script && done.table));
    poise_plot_done_free(&done);
    return refused(status);
}

static Outcome failing(const char *name, PoiseFaults *faults)
{
    (void)name;
    PoisePlotDone done;
    PoiseStatus status = deliver("p.svg", false, &done, faults);
    assert_null(done.remarks);
    return refused(status);
}

static void test_memory_runs_out(void **state)
{
    (void)state;
    fake("fc-list", NULL);
    char *remarking = poise_format("%s; echo remark >&2", DRAWS);
    fake("gnuplot", remarking);
    poise_release(remarking);
    fail_each(picture, "p.svg", POISE_OK);
    fail_some(picture, "p.png", POISE_OK, 15);
    fake("gnuplot", NULL);
    fail_each(failing, NULL, POISE_E_IO);
}

static void test_memory_runs_out_before_a_window(void **state)
{
    (void)state;
    const char *terminal;
    long at = 0, refusals = 0;
    fake("gnuplot", "echo ' qt ' >&2");
    for (bool done = false; !done; at++) {
        poise_alloc_fail_at(at, 0);
        bool opens = poise_plot_window_terminal(&terminal);
        done = poise_alloc_fail_at(-1, 0) <= at;
        assert_int_equal(opens, terminal != NULL);
        assert_true(opens || !done);
        refusals += !opens;
    }
    assert_true(refusals > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_that_never_ends_is_ended),
        cmocka_unit_test(test_signals_do_not_break_the_wait),
        cmocka_unit_test(test_an_end_that_nobody_can_tell),
        cmocka_unit_test(test_memory_runs_out),
        cmocka_unit_test(test_memory_runs_out_before_a_window),
    };
    return fakes_over(cmocka_run_group_tests(tests, fakes_make, NULL));
}
