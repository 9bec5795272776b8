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

/* A file seen in memory: mapped where that works, read otherwise. */
typedef struct PoiseView {
    const unsigned char *data;
    size_t size;
    bool mapped;
} PoiseView;
/* POISE_E_IO, or POISE_E_MESH when over the limit (views are used for meshes only). */
PoiseStatus poise_view_open(const char *path, size_t limit, PoiseView *view, PoiseFaults *faults);
void poise_view_close(PoiseView *view);

/* Writes a file so that it appears whole or not at all: an unpredictably named file beside it,
 * synced, then renamed over it. "-" is standard output. A file that was there lends its mode; a new
 * one gets 0666 less the umask. */
PoiseStatus poise_file_write(const char *path, const void *data, size_t size, PoiseFaults *faults);

/* dir/name as a new string; an absolute name stays as it is. */
char *poise_path_join(const char *dir, const char *name);
/* The directory part of a path as a new string ("." when there is none). */
char *poise_path_dir(const char *path);

#endif
