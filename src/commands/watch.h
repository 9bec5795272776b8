/* Weighing again whenever the instrument file, or a file it names, is saved. */
#ifndef POISE_COMMANDS_WATCH_H
#define POISE_COMMANDS_WATCH_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"
#include "commands/command.h"

/* What one save came to. An instrument that could be read is kept even when weighing failed, for
 * the files it names. */
typedef struct PoiseSave {
    int number;    /* 1 is the file as it was found */
    char clock[9]; /* "14:05:09" */
    PoiseInstrument *instrument;
    PoiseWeighing *weighing; /* NULL: it could not be weighed */
} PoiseSave;

void poise_save_free(PoiseSave *save);

/* The screen. `last` is the last save that could be weighed (its weighing NULL when there is none),
 * `before` the one before that; `faults` say what is wrong with the save `now`, or are empty. */
char *poise_watch_screen(const char *path, const PoiseSave *now, const PoiseSave *last,
                         const PoiseSave *before, const PoiseFaults *faults, size_t files);

/* The directories watched and the names in them that matter. Directories are watched rather than
 * files, since most editors write a new file and rename it over the old one. */
typedef struct PoiseWatched {
    int fd; /* of inotify */
    size_t count;
    struct {
        int directory; /* its watch */
        char *name;
    } * files;
} PoiseWatched;

/* Begins with nothing; false when the system has no watches left (errno says why). */
bool poise_watched_open(PoiseWatched *watched);
void poise_watched_close(PoiseWatched *watched);
/* Adds a file, which need not be there yet but whose directory must be; false with errno. */
bool poise_watched_add(PoiseWatched *watched, const char *path);
/* Takes in all waiting events; true when one is about a file that matters. */
bool poise_watched_changed(PoiseWatched *watched);

/* The command; returns the exit code. */
int poise_watch(const PoiseArguments *arguments, PoiseWeighOptions *options);

#endif
