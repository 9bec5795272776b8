/* Reading and writing files when all goes well, and when it does not. */
#include "check.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"

static char place[64];

static const char *in_place(const char *name)
{
    static char path[2][256];
    static int turn;
    turn = !turn;
    snprintf(path[turn], sizeof path[turn], "%s/%s", place, name);
    return path[turn];
}

static void put(const char *path, const char *text)
{
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fputs(text, f);
    assert_int_equal(fclose(f), 0);
}

static void holds(const char *path, const char *want)
{
    char got[64] = "";
    FILE *f = fopen(path, "r");
    assert_non_null(f);
    got[fread(got, 1, sizeof got - 1, f)] = '\0';
    fclose(f);
    assert_string_equal(got, want);
}

/* The status, which the fault has too; its words hold `says`. */
static void refused(PoiseStatus status, PoiseStatus want, PoiseFaults *faults, const char *says)
{
    assert_int_equal(status, want);
    assert_int_equal(poise_faults_status(faults), want);
    const char *found = poise_faults_get(faults, poise_faults_count(faults) - 1)->found;
    if (!strstr(found, says))
        fail_msg("\"%s\" is not in \"%s\"", says, found);
}

static void reads_whole_files(void **state)
{
    (void)state;
    char *data;
    size_t size;
    put(in_place("a"), "hello");
    assert_int_equal(poise_file_read(in_place("a"), 5, &data, &size, NULL), POISE_OK);
    assert_int_equal(size, 5);
    assert_string_equal(data, "hello"); /* and a NUL behind it */
    poise_release(data);
    put(in_place("empty"), "");
    assert_int_equal(poise_file_read(in_place("empty"), 5, &data, &size, NULL), POISE_OK);
    assert_int_equal(size, 0);
    poise_release(data);
}

static void refuses_what_it_cannot_read(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    char *data;
    size_t size;
    put(in_place("a"), "hello");
    refused(poise_file_read(in_place("a"), 4, &data, &size, faults), POISE_E_INPUT, faults,
            "limit of 4 bytes");
    poise_faults_free(faults);
    faults = poise_faults_new();
    refused(poise_file_read(in_place("none"), 4, &data, &size, faults), POISE_E_IO, faults,
            strerror(ENOENT));
    refused(poise_file_read(place, 4, &data, &size, faults), POISE_E_IO, faults, strerror(EISDIR));
    /* opens, but cannot be read: the memory of a process at address 0 */
    refused(poise_file_read("/proc/self/mem", 4, &data, &size, faults), POISE_E_IO, faults,
            strerror(EIO));
    poise_faults_free(faults);
}

/* A pipe hands over less than is asked for: all of it arrives. */
static void puts_short_reads_together(void **state)
{
    (void)state;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    if (fork() == 0) {
        for (int i = 0; i < 100; i++)
            if (write(ends[1], "0123456789", 10) != 10)
                _exit(1);
        _exit(0);
    }
    close(ends[1]);
    int kept = dup(STDIN_FILENO);
    assert_true(dup2(ends[0], STDIN_FILENO) >= 0);
    close(ends[0]);
    char *data;
    size_t size;
    assert_int_equal(poise_file_read("-", 1000, &data, &size, NULL), POISE_OK);
    dup2(kept, STDIN_FILENO);
    close(kept);
    assert_int_equal(size, 1000);
    assert_memory_equal(data + 990, "0123456789", 10);
    poise_release(data);
}

static void views_are_of_files_only(void **state)
{
    (void)state;
    PoiseView view;
    put(in_place("a"), "hello");
    assert_int_equal(poise_view_open(in_place("a"), 5, &view, NULL), POISE_OK);
    assert_true(view.mapped);
    assert_memory_equal(view.data, "hello", 5);
    poise_view_close(&view);
    assert_null(view.data);
    put(in_place("empty"), ""); /* nothing to map */
    assert_int_equal(poise_view_open(in_place("empty"), 5, &view, NULL), POISE_OK);
    assert_int_equal(view.size, 0);
    poise_view_close(&view);
    PoiseFaults *faults = poise_faults_new();
    refused(poise_view_open(in_place("a"), 4, &view, faults), POISE_E_MESH, faults, "limit");
    poise_faults_free(faults);
    faults = poise_faults_new();
    assert_int_equal(mkfifo(in_place("fifo"), 0600), 0);
    refused(poise_view_open(in_place("fifo"), 4, &view, faults), POISE_E_IO, faults, "pipe");
    refused(poise_view_open("/dev/zero", 4, &view, faults), POISE_E_IO, faults, "device");
    refused(poise_view_open(in_place("none"), 4, &view, faults), POISE_E_IO, faults, "open");
    poise_faults_free(faults);
}

static mode_t mode_of(const char *path)
{
    struct stat st;
    assert_int_equal(stat(path, &st), 0);
    return st.st_mode & 07777;
}

static void writes_whole_files(void **state)
{
    (void)state;
    mode_t mask = umask(027);
    assert_int_equal(poise_file_write(in_place("new"), "one", 3, NULL), POISE_OK);
    umask(mask);
    holds(in_place("new"), "one");
    assert_int_equal(mode_of(in_place("new")), 0640); /* 0666 less the umask */
    assert_int_equal(chmod(in_place("new"), 0604), 0);
    assert_int_equal(poise_file_write(in_place("new"), "two", 3, NULL), POISE_OK);
    holds(in_place("new"), "two");
    assert_int_equal(mode_of(in_place("new")), 0604); /* as it was */
    assert_int_equal(poise_file_write("/dev/null", "two", 3, NULL), POISE_OK);
}

static void says_why_it_cannot_write(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    refused(poise_file_write("/dev/full", "x", 1, faults), POISE_E_IO, faults, strerror(ENOSPC));
    refused(poise_file_write(in_place("no/such"), "x", 1, faults), POISE_E_IO, faults,
            strerror(ENOENT));
    refused(poise_file_write(place, "x", 1, faults), POISE_E_IO, faults, strerror(EISDIR));
    poise_alloc_fail_at(0, 0);
    PoiseStatus status = poise_file_write(in_place("m"), "x", 1, NULL);
    poise_alloc_fail_at(-1, 0);
    assert_int_equal(status, POISE_E_MEMORY);
    poise_faults_free(faults);
}

static void joins(const char *dir, const char *name, const char *want)
{
    char *path = poise_path_join(dir, name);
    assert_string_equal(path, want);
    poise_release(path);
}

static void is_in(const char *path, const char *want)
{
    char *dir = poise_path_dir(path);
    assert_string_equal(dir, want);
    poise_release(dir);
}

static void takes_paths_apart(void **state)
{
    (void)state;
    joins("a", "b", "a/b");
    joins("a/", "b", "a/b");
    joins("a", "/b", "/b");
    joins(".", "b", "b");
    joins(".", "-", "./-"); /* a file, not standard input */
    joins("", "-", "-");
    is_in("a/b/c", "a/b");
    is_in("/c", "/");
    is_in("c", ".");
}

static int make_place(void **state)
{
    (void)state;
    snprintf(place, sizeof place, "/tmp/poise-test-file-XXXXXX");
    return mkdtemp(place) ? 0 : -1;
}

/* Nothing but what the tests made may be left: no temporary file. */
static int remove_place(void **state)
{
    (void)state;
    static const char *const names[] = {"a", "empty", "fifo", "new"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        unlink(in_place(names[i]));
    return rmdir(place);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_whole_files),         cmocka_unit_test(refuses_what_it_cannot_read),
        cmocka_unit_test(puts_short_reads_together), cmocka_unit_test(views_are_of_files_only),
        cmocka_unit_test(writes_whole_files),        cmocka_unit_test(says_why_it_cannot_write),
        cmocka_unit_test(takes_paths_apart),
    };
    return cmocka_run_group_tests(tests, make_place, remove_place);
}
