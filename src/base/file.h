/* Reading and writing whole files. */
#ifndef POISE_BASE_FILE_H
#define POISE_BASE_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/status.h"

/* Reads a file ("-" is standard input) of at most `limit` bytes; one NUL byte is put behind the
 * data. *data is freed with poise_release(). POISE_E_IO with a fault that names the file and the
 * system's reason; a file over the limit is POISE_E_INPUT. */
PoiseStatus poise_file_read(const char *path, size_t limit, char **data, size_t *size,
                            PoiseFaults *faults);

/* A file seen in memory: mapped where that works, read otherwise. A mapped file that somebody makes
 * shorter meanwhile raises SIGBUS; the program answers it with exit code 5. */
typedef struct PoiseView {
    const unsigned char *data;
    size_t size;
    bool mapped;
} PoiseView;
/* Regular files only, and "-": a pipe or device is POISE_E_IO at once. POISE_E_MESH when over the
 * limit (views are used for meshes and programs of printers). */
PoiseStatus poise_view_open(const char *path, size_t limit, PoiseView *view, PoiseFaults *faults);
void poise_view_close(PoiseView *view);

/* Writes a file so that it appears whole or not at all: an unpredictably named file beside it,
 * synced, then renamed over it; SIGINT, SIGTERM and SIGHUP wait meanwhile, so that they leave
 * nothing behind. "-" is standard output. A file that was there lends its mode; a new one gets 0666
 * less the umask. */
PoiseStatus poise_file_write(const char *path, const void *data, size_t size, PoiseFaults *faults);

/* dir/name as a new string; an absolute name stays as it is, and so does any name when dir is "".
 * The name "-" is a file called so, unless dir is "". */
char *poise_path_join(const char *dir, const char *name);
/* The directory part of a path as a new string ("." when there is none, so for "-" too). */
char *poise_path_dir(const char *path);
/* What messages call a file to read: "standard input" for "-". */
const char *poise_shown_path(const char *path);

#endif
