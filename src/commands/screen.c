/* What commands share for talking to the person: faults, results, progress. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"
#include "commands/command.h"

static bool coloured(int fd)
{
    const char *no = getenv("NO_COLOR");
    const char *term = getenv("TERM");
    return isatty(fd) && !(no && *no) && !(term && strcmp(term, "dumb") == 0);
}

/* What a mapped file that shrinks raises. Nothing is half-written then: results are made in memory
 * first. */
static void file_shrank(int signal)
{
    (void)signal;
    static const char words[] = "error: a file became shorter while it was read\n";
    ssize_t n = write(STDERR_FILENO, words, sizeof words - 1);
    _exit(n < 0 ? 70 : 5);
}

void poise_watch_files(void)
{
    struct sigaction action = {.sa_handler = file_shrank};
    sigemptyset(&action.sa_mask);
    sigaction(SIGBUS, &action, NULL);
}

int poise_report_faults(const PoiseFaults *faults, PoiseStatus status)
{
    bool colour = coloured(STDERR_FILENO);
    size_t n = faults ? poise_faults_count(faults) : 0;
    for (size_t i = 0; i < n; i++) {
        char *line = poise_fault_text(poise_faults_get(faults, i));
        fprintf(stderr, "%serror:%s %s\n", colour ? "\033[1;31m" : "", colour ? "\033[0m" : "",
                line ? line : "out of memory");
        poise_string_free(line);
    }
    if (n == 0)
        fprintf(stderr, "error: %s\n", poise_status_name(status));
    return poise_status_exit_code(status);
}

int poise_put_result(char *text)
{
    if (!text)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_file_write("-", text, strlen(text), faults);
    int code = status ? poise_report_faults(faults, status) : 0;
    poise_faults_free(faults);
    poise_string_free(text);
    return code;
}

/* Seconds a job may take before it shows progress. */
static const double PATIENCE_S = 1.0;

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void poise_progress_begin(PoiseProgress *p)
{
    *p = (PoiseProgress){.terminal = isatty(STDERR_FILENO) != 0, .started = now_s()};
}

void poise_progress_show(const char *what, double fraction, void *progress)
{
    enum { CELLS = 30 };
    PoiseProgress *p = progress;
    if (!p->terminal || now_s() - p->started < PATIENCE_S)
        return;
    int full = (int)(fraction * CELLS + 0.5);
    char bar[CELLS + 1];
    for (int i = 0; i < CELLS; i++)
        bar[i] = i < full ? '=' : ' ';
    bar[CELLS] = '\0';
    PoiseText name = {0};
    poise_text_append_inert(&name, what); /* an item's name, from the file */
    fprintf(stderr, "\r%-20.20s [%s] %3.0f %%", name.data ? name.data : "", bar, 100.0 * fraction);
    poise_text_clear(&name);
    p->shown = true;
}

void poise_progress_end(PoiseProgress *p)
{
    if (p->shown)
        fprintf(stderr, "\r%60s\r", "");
    p->shown = false;
}
