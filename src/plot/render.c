/* For posix_spawn_file_actions_addchdir_np(), which POSIX.1-2024 knows without the suffix. */
#define _GNU_SOURCE 1

#include "plot/render.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"

extern char **environ;

/* Names in the directory of one picture. */
static const char ERRORS[] = "errors", ANSWER[] = "answer", QUESTION[] = "question.gp";

/* What a fault quotes of gnuplot's own words, bytes. */
static const size_t QUOTED_BYTES = 600;

PoiseStatus poise_plot_place_make(PoisePlotPlace *place, PoiseFaults *faults)
{
    const char *base = getenv("TMPDIR");
    place->dir = poise_path_join(base && *base == '/' ? base : "/tmp", "poise-plot.XXXXXX");
    if (!place->dir)
        return poise_fault_memory(faults);
    if (mkdtemp(place->dir)) /* mode 0700 (POSIX) */
        return POISE_OK;
    PoiseStatus status = poise_fault_say(faults, POISE_E_IO, place->dir,
                                         "cannot make a directory: %s", strerror(errno));
    poise_release(place->dir);
    place->dir = NULL;
    return status;
}

/* Without memory, which may be what ran out. */
void poise_plot_place_remove(PoisePlotPlace *place, const char *const names[])
{
    static const char *const ours[] = {ERRORS, ANSWER, QUESTION};
    if (!place->dir)
        return;
    int dir = open(place->dir, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    for (size_t i = 0; names[i]; i++)
        unlinkat(dir, names[i], 0);
    for (size_t i = 0; i < sizeof ours / sizeof *ours; i++)
        unlinkat(dir, ours[i], 0);
    close(dir);
    rmdir(place->dir);
    poise_release(place->dir);
    place->dir = NULL;
}

/* Whether a variable of ours is for gnuplot: not those that would make it read other files first or
 * speak another language. */
static bool passed_on(const char *variable)
{
    static const char *const kept_back[] = {"LC_", "LANG=", "LANGUAGE=", "GNUPLOT_", "GNUTERM="};
    for (size_t i = 0; i < sizeof kept_back / sizeof *kept_back; i++)
        if (strncmp(variable, kept_back[i], strlen(kept_back[i])) == 0)
            return false;
    return true;
}

/* Our environment for gnuplot, in UTF-8; the strings stay ours. NULL when out of memory. */
static char **environment(void)
{
    static char utf8[] = "LC_ALL=C.UTF-8";
    size_t n = 0, count = 0;
    while (environ && environ[n])
        n++;
    char **list = poise_alloc_zero(n + 2, sizeof *list);
    for (size_t i = 0; list && i < n; i++)
        if (passed_on(environ[i]))
            list[count++] = environ[i];
    if (list)
        list[count] = utf8;
    return list;
}

/* Starts a program with `dir` as its directory, nothing on its standard input, and its words in
 * files there; returns 0 or an errno. No shell is involved. */
static int start(const char *dir, char *const arguments[], pid_t *child)
{
    char **variables = dir ? environment() : NULL;
    if (!variables)
        return ENOMEM;
    posix_spawn_file_actions_t actions;
    int why = posix_spawn_file_actions_init(&actions);
    if (why) {
        poise_release(variables);
        return why;
    }
    const int create = O_WRONLY | O_CREAT | O_TRUNC;
    why = posix_spawn_file_actions_addchdir_np(&actions, dir);
    if (!why)
        why = posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    if (!why)
        why = posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, ANSWER, create, 0600);
    if (!why)
        why = posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, ERRORS, create, 0600);
    if (!why)
        why = posix_spawnp(child, arguments[0], &actions, NULL, arguments, variables);
    posix_spawn_file_actions_destroy(&actions);
    poise_release(variables);
    return why;
}

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Waits for the child: 0, ETIMEDOUT when it had to be ended, or the errno of why how it ended
 * cannot be told (ECHILD in a program that ignores SIGCHLD). */
static int finished(pid_t child, int *how)
{
    const struct timespec nap = {.tv_nsec = 5000000}; /* 5 ms */
    double end = now_s() + POISE_PLOT_SECONDS;
    for (;;) {
        pid_t done = waitpid(child, how, WNOHANG);
        if (done == child)
            return 0;
        if (done < 0 && errno != EINTR)
            return errno;
        if (now_s() > end)
            break;
        nanosleep(&nap, NULL);
    }
    kill(child, SIGKILL);
    while (waitpid(child, how, 0) < 0 && errno == EINTR) {
    }
    return ETIMEDOUT;
}

int poise_plot_run(const PoisePlotPlace *place, char *const arguments[], int *how)
{
    pid_t child = -1;
    int why = start(place->dir, arguments, &child);
    return why ? why : finished(child, how);
}

/* What a program wrote, its blank lines left out, made inert and cut short. */
static char *read_words(const char *dir, const char *name)
{
    char *path = poise_path_join(dir, name), *data = NULL;
    size_t size = 0;
    const size_t limit = (size_t)1 << 20;
    if (!path || poise_file_read(path, limit, &data, &size, NULL)) {
        poise_release(path);
        return NULL;
    }
    PoiseText text = {0};
    for (char *rest = NULL, *line = strtok_r(data, "\n", &rest); line && text.length < QUOTED_BYTES;
         line = strtok_r(NULL, "\n", &rest)) {
        line += strspn(line, " \t\r^");
        if (!*line)
            continue;
        if (text.length)
            poise_text_append(&text, "; ");
        poise_text_append_inert(&text, line);
    }
    poise_release(path);
    poise_release(data);
    return text.length ? poise_text_take(&text) : (poise_text_clear(&text), NULL);
}

static PoiseStatus not_started(int why, PoiseFaults *faults)
{
    if (why == ENOENT)
        return poise_fault_say(faults, POISE_E_IO, NULL,
                               "gnuplot is not installed, and it draws the pictures: install it "
                               "(Debian, Ubuntu: sudo apt install gnuplot-nox; Fedora: sudo dnf "
                               "install gnuplot; macOS: brew install gnuplot)");
    return poise_fault_say(faults, POISE_E_IO, NULL, "cannot start gnuplot: %s", strerror(why));
}

PoiseStatus poise_plot_gnuplot(const PoisePlotPlace *place, const char *script, bool persist,
                               char **said, PoiseFaults *faults)
{
    static char name[] = "gnuplot", defaults[] = "-d", stay[] = "-persist";
    *said = NULL;
    char *file = poise_copy_text(script);
    if (!file)
        return poise_fault_memory(faults);
    char *const arguments[] = {name, defaults, persist ? stay : file, persist ? file : NULL, NULL};
    pid_t child = -1;
    int why = start(place->dir, arguments, &child);
    poise_release(file);
    if (why == ENOMEM)
        return poise_fault_memory(faults);
    if (why)
        return not_started(why, faults);
    int how = 0;
    why = finished(child, &how);
    if (why == ETIMEDOUT)
        return poise_fault_say(faults, POISE_E_IO, NULL,
                               "gnuplot did not finish within %d s and was ended",
                               POISE_PLOT_SECONDS);
    if (why)
        return poise_fault_say(faults, POISE_E_IO, NULL, "cannot tell how gnuplot ended: %s",
                               strerror(why));
    *said = read_words(place->dir, ERRORS);
    if (WIFEXITED(how) && WEXITSTATUS(how) == 0)
        return POISE_OK;
    PoiseStatus status = poise_fault_say(faults, POISE_E_IO, NULL, "gnuplot failed: %s",
                                         *said ? *said : "it gave no reason");
    poise_release(*said);
    *said = NULL;
    return status;
}

bool poise_plot_fonts_have(const unsigned *codes, size_t n)
{
    static char name[] = "fc-list", file[] = "file";
    static const char *const none[] = {NULL};
    PoiseText pattern = {0};
    poise_text_append(&pattern, ":charset=");
    for (size_t i = 0; i < n; i++)
        poise_text_printf(&pattern, "%s%x", i ? " " : "", codes[i]);
    PoisePlotPlace place = {0};
    char *answer = NULL;
    if (!pattern.failed && !poise_plot_place_make(&place, NULL)) {
        char *const arguments[] = {name, pattern.data, file, NULL};
        pid_t child = -1;
        int how = 0;
        if (!start(place.dir, arguments, &child) && !finished(child, &how))
            answer = read_words(place.dir, ANSWER);
        poise_plot_place_remove(&place, none);
    }
    bool found = answer != NULL;
    poise_release(answer);
    poise_text_clear(&pattern);
    return found;
}

/* Whether a word stands in a list divided by spaces, not as a part of another. */
static bool is_listed(const char *list, const char *word)
{
    size_t n = strlen(word);
    for (const char *at = list; (at = strstr(at, word)) != NULL; at += n)
        if ((at == list || at[-1] == ' ') && (at[n] == ' ' || !at[n]))
            return true;
    return false;
}

bool poise_plot_window_terminal(const char **terminal)
{
    static const char *const known[] = {"qt", "wxt", "x11", "aqua", "windows"};
    static const char *const none[] = {NULL};
    static const char question[] = "print ' '.GPVAL_TERMINALS.' '\n";
    PoisePlotPlace place = {0};
    char *said = NULL, *path = NULL;
    *terminal = NULL;
    if (poise_plot_place_make(&place, NULL))
        return false;
    path = poise_path_join(place.dir, QUESTION);
    /* "print" goes to standard error. */
    if (path && !poise_file_write(path, question, sizeof question - 1, NULL) &&
        !poise_plot_gnuplot(&place, QUESTION, false, &said, NULL) && said)
        for (size_t i = 0; i < sizeof known / sizeof *known && !*terminal; i++)
            if (is_listed(said, known[i]))
                *terminal = known[i];
    poise_release(path);
    poise_release(said);
    poise_plot_place_remove(&place, none);
    return *terminal != NULL;
}
