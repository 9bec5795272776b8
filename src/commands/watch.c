/* The loop of "weigh --watch". Ctrl-C arrives as data on a descriptor, not in a handler: nothing is
 * torn out of a half-drawn screen, and no state is shared with a handler. */
#include "commands/watch.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/signalfd.h>
#include <time.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/memory.h"
#include "model/instrument.h"
#include "poise/poise.h"

/* Quiet that ends a save, ms: an editor's writes and renames come within a few ms. */
enum { QUIET_MS = 60 };

typedef struct Watch {
    const PoiseArguments *arguments;
    PoiseWeighOptions *options;
    const char *path, *variant;
    bool terminal;
    int signals; /* descriptor */
    PoiseProgress progress;
    PoiseWatched watched;
    int saves;
    PoiseSave last, before; /* weighed ones */
} Watch;

void poise_save_free(PoiseSave *save)
{
    poise_weighing_free(save->weighing);
    poise_instrument_free(save->instrument);
    *save = (PoiseSave){0};
}

/* Signals that end the watch, kept from every thread. Returns a descriptor, or −1. */
static int divert_signals(void)
{
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGHUP);
    sigprocmask(SIG_BLOCK, &ends, NULL);
    return signalfd(-1, &ends, SFD_NONBLOCK | SFD_CLOEXEC);
}

/* The line below the screen is left empty for the shell's prompt. */
static void leave_screen(const Watch *watch)
{
    if (watch->terminal)
        putchar('\n');
    fflush(stdout);
}

/* Slicing may take a while; Ctrl-C does not wait for it. The section cache is written by renaming,
 * so leaving at any moment is safe. */
static void show_progress(const char *what, double fraction, void *context)
{
    Watch *watch = context;
    struct signalfd_siginfo info;
    if (read(watch->signals, &info, sizeof info) == (ssize_t)sizeof info) {
        poise_progress_end(&watch->progress);
        leave_screen(watch);
        _exit(0);
    }
    poise_progress_show(what, fraction, &watch->progress);
}

static void read_clock(char clock[9])
{
    time_t now = time(NULL);
    struct tm local;
    clock[0] = '\0';
    if (localtime_r(&now, &local))
        strftime(clock, 9, "%H:%M:%S", &local);
}

/* A file in a directory that is not there yet cannot be watched; saving the instrument file tries
 * again. */
static void watch_named(PoiseWatched *watched, const char *path)
{
    if (path)
        (void)poise_watched_add(watched, path);
}

static void watch_item(PoiseWatched *watched, const PoiseItem *item)
{
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        watch_named(watched, item->as.printed.mesh);
        watch_named(watched, item->as.printed.toolpath);
        break;
    case POISE_ITEM_POURED:
        watch_named(watched, item->as.poured.mesh);
        break;
    case POISE_ITEM_SOLID:
        watch_named(watched, item->as.solid.mesh);
        break;
    case POISE_ITEM_NECK:
    case POISE_ITEM_STRINGS:
    case POISE_ITEM_PART:
    case POISE_ITEM_MASS:
        break;
    }
}

/* The instrument file, where it really is when it is a link, and what it names. */
static void watch_all_named(Watch *watch, const PoiseInstrument *instrument)
{
    char *real = realpath(watch->path, NULL);
    watch_named(&watch->watched, real);
    free(real);
    if (!instrument)
        return;
    watch_named(&watch->watched, instrument->profile);
    for (size_t i = 0; i < instrument->item_count; i++)
        watch_item(&watch->watched, &instrument->items[i]);
}

static PoiseStatus weigh_save(Watch *watch, PoiseSave *save, PoiseFaults *faults)
{
    PoiseStatus status =
        poise_instrument_read(watch->path, watch->variant, NULL, &save->instrument, faults);
    watch_all_named(watch, save->instrument); /* before they are read, or a save could slip by */
    if (status)
        return status;
    poise_progress_begin(&watch->progress);
    watch->options->progress = show_progress;
    watch->options->context = watch;
    status = poise_weigh(save->instrument, watch->options, &save->weighing, faults);
    poise_progress_end(&watch->progress);
    return status;
}

/* False when the screen could not be written. */
static bool show(Watch *watch, const PoiseSave *now, const PoiseFaults *faults)
{
    char *screen = poise_watch_screen(watch->path, now, &watch->last, &watch->before, faults,
                                      watch->watched.count);
    if (!screen)
        return false;
    if (watch->terminal)
        fputs("\033[H\033[2J", stdout); /* top left; clear */
    fputs(screen, stdout);
    if (!watch->terminal)
        putchar('\n');
    poise_string_free(screen);
    return fflush(stdout) == 0 && !ferror(stdout);
}

/* One save: weigh, remember, show. */
static PoiseStatus take_save(Watch *watch)
{
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return POISE_E_MEMORY;
    PoiseSave save = {.number = ++watch->saves};
    read_clock(save.clock);
    bool weighed = weigh_save(watch, &save, faults) == POISE_OK;
    if (weighed) {
        poise_save_free(&watch->before);
        watch->before = watch->last;
        watch->last = save;
    }
    bool shown = show(watch, &save, faults);
    if (!weighed)
        poise_save_free(&save);
    poise_faults_free(faults);
    return shown ? POISE_OK : POISE_E_IO;
}

/* Waits for a save; false when the watch is to end. */
static bool wait_for_save(Watch *watch)
{
    bool changed = false;
    for (;;) {
        struct pollfd on[2] = {{watch->signals, POLLIN, 0}, {watch->watched.fd, POLLIN, 0}};
        int n = poll(on, 2, changed ? QUIET_MS : -1);
        if (n < 0 && errno != EINTR)
            return false;
        if (n > 0 && on[0].revents)
            return false;
        if (n == 0)
            return true;
        if (n > 0 && on[1].revents && poise_watched_changed(&watch->watched))
            changed = true;
    }
}

static int cannot(const char *path, const char *what)
{
    PoiseFaults *faults = poise_faults_new();
    poise_fault_say(faults, POISE_E_IO, path, "%s: %s", what, strerror(errno));
    int code = poise_report_faults(faults, POISE_E_IO);
    poise_faults_free(faults);
    return code;
}

int poise_watch(const PoiseArguments *a, PoiseWeighOptions *options)
{
    Watch watch = {.arguments = a,
                   .options = options,
                   .path = a->operands[0],
                   .variant = poise_option_value(a, "variant"),
                   .terminal = isatty(STDOUT_FILENO) != 0};
    if (access(watch.path, R_OK) != 0)
        return cannot(watch.path, "cannot read");
    watch.signals = divert_signals();
    if (watch.signals < 0)
        return cannot(NULL, "cannot wait for Ctrl-C");
    int code = 0;
    if (!poise_watched_open(&watch.watched) || !poise_watched_add(&watch.watched, watch.path)) {
        code = cannot(watch.path, "cannot watch");
    } else {
        PoiseStatus status = take_save(&watch);
        while (!status && wait_for_save(&watch))
            status = take_save(&watch);
        code = status ? poise_report_faults(NULL, status) : 0;
        leave_screen(&watch);
    }
    poise_save_free(&watch.last);
    poise_save_free(&watch.before);
    poise_watched_close(&watch.watched);
    close(watch.signals);
    return code;
}
