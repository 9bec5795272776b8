#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"

static PoiseStatus cannot(PoiseFaults *faults, const char *path, const char *what, int why)
{
    return poise_fault_say(faults, POISE_E_IO, path, "cannot %s: %s", what, strerror(why));
}

static PoiseStatus too_large(PoiseFaults *faults, PoiseStatus status, const char *path,
                             size_t limit)
{
    return poise_fault_say(faults, status, path, "the file is larger than the limit of %zu bytes",
                           limit);
}

/* Reads until end of file; on success the caller owns *data. */
static PoiseStatus read_all(int fd, const char *path, size_t limit, PoiseStatus over, char **data,
                            size_t *size, PoiseFaults *faults)
{
    struct stat st; /* known beforehand: no need to read a gigabyte first */
    if (fstat(fd, &st) == 0 && S_ISREG(st.st_mode) && (unsigned long long)st.st_size > limit)
        return too_large(faults, over, path, limit);
    size_t capacity = 65536, length = 0;
    char *buffer = poise_alloc(capacity);
    if (!buffer)
        return poise_fault_memory(faults);
    for (;;) {
        if (length + 1 >= capacity) {
            char *larger = poise_resize(buffer, 2 * capacity, 1);
            if (!larger) {
                poise_release(buffer);
                return poise_fault_memory(faults);
            }
            buffer = larger;
            capacity *= 2;
        }
        ssize_t n = read(fd, buffer + length, capacity - length - 1);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0) {
            int why = errno;
            poise_release(buffer);
            return cannot(faults, path, "read", why);
        }
        if (n == 0)
            break;
        length += (size_t)n;
        if (length > limit) {
            poise_release(buffer);
            return too_large(faults, over, path, limit);
        }
    }
    buffer[length] = '\0';
    *data = buffer;
    *size = length;
    return POISE_OK;
}

/* With `only_files`, a pipe or device is refused without waiting for it: the name may stand in
 * somebody else's file, and /dev/zero never ends. */
static PoiseStatus open_for_reading(const char *path, bool only_files, int *fd, PoiseFaults *faults)
{
    if (strcmp(path, "-") == 0) {
        *fd = dup(STDIN_FILENO);
        return *fd < 0 ? cannot(faults, "standard input", "read", errno) : POISE_OK;
    }
    *fd = open(path, O_RDONLY | O_CLOEXEC | (only_files ? O_NONBLOCK : 0));
    if (*fd < 0)
        return cannot(faults, path, "open", errno);
    struct stat st;
    if (fstat(*fd, &st) == 0 && S_ISDIR(st.st_mode)) {
        close(*fd);
        return cannot(faults, path, "read", EISDIR);
    }
    if (only_files && !S_ISREG(st.st_mode)) {
        close(*fd);
        return poise_fault_say(faults, POISE_E_IO, path,
                               "cannot read: not a file but a pipe or device");
    }
    return POISE_OK;
}

PoiseStatus poise_file_read(const char *path, size_t limit, char **data, size_t *size,
                            PoiseFaults *faults)
{
    int fd;
    PoiseStatus status = open_for_reading(path, false, &fd, faults);
    if (status)
        return status;
    status = read_all(fd, path, limit, POISE_E_INPUT, data, size, faults);
    close(fd);
    return status;
}

PoiseStatus poise_view_open(const char *path, size_t limit, PoiseView *view, PoiseFaults *faults)
{
    *view = (PoiseView){0};
    int fd;
    PoiseStatus status = open_for_reading(path, true, &fd, faults);
    if (status)
        return status;
    struct stat st;
    if (fstat(fd, &st) == 0 && S_ISREG(st.st_mode) && st.st_size > 0 &&
        (size_t)st.st_size <= limit) {
        void *map = mmap(NULL, (size_t)st.st_size, PROT_READ, MAP_PRIVATE, fd, 0);
        if (map != MAP_FAILED) {
            close(fd);
            *view = (PoiseView){.data = map, .size = (size_t)st.st_size, .mapped = true};
            return POISE_OK;
        }
    }
    char *data = NULL;
    size_t size = 0;
    status = read_all(fd, path, limit, POISE_E_MESH, &data, &size, faults);
    close(fd);
    if (!status)
        *view = (PoiseView){.data = (unsigned char *)data, .size = size};
    return status;
}

void poise_view_close(PoiseView *view)
{
    if (view->mapped)
        munmap((void *)view->data, view->size);
    else
        poise_release((void *)view->data);
    *view = (PoiseView){0};
}

static int write_all(int fd, const char *data, size_t size)
{
    while (size) {
        ssize_t n = write(fd, data, size);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return errno;
        data += n;
        size -= (size_t)n;
    }
    return 0;
}

/* Creates an unpredictably named file beside `path`, with the permissions any new file gets.
 * *temporary is its name, or NULL when memory ran out. The system's reason, or 0. */
static int create_beside(const char *path, char **temporary, int *fd)
{
    for (int tries = 0; tries < 100; tries++) {
        uint64_t number;
        if (getrandom(&number, sizeof number, 0) != (ssize_t)sizeof number)
            return EAGAIN;
        poise_release(*temporary);
        *temporary = poise_format("%s.%016llx", path, (unsigned long long)number);
        if (!*temporary)
            return ENOMEM;
        *fd = open(*temporary, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
        if (*fd >= 0 || errno != EEXIST)
            return *fd >= 0 ? 0 : errno;
    }
    return EEXIST;
}

static int write_and_rename(const char *path, const struct stat *old, const char *data, size_t size)
{
    char *temporary = NULL;
    int fd = -1;
    int why = create_beside(path, &temporary, &fd);
    if (!why) {
        why = write_all(fd, data, size);
        if (!why && old && fchmod(fd, old->st_mode & 0777) != 0)
            why = errno;
        if (!why && fsync(fd) != 0)
            why = errno;
        if (close(fd) != 0 && !why)
            why = errno;
        if (!why && rename(temporary, path) != 0)
            why = errno;
        if (why)
            unlink(temporary);
    }
    poise_release(temporary);
    return why;
}

/* `old` is the file that is there, NULL when there is none. A signal that ends the program waits
 * until the temporary file is renamed or gone. */
static int write_undisturbed(const char *path, const struct stat *old, const char *data,
                             size_t size)
{
    sigset_t ending, before;
    sigemptyset(&ending);
    sigaddset(&ending, SIGINT);
    sigaddset(&ending, SIGTERM);
    sigaddset(&ending, SIGHUP);
    pthread_sigmask(SIG_BLOCK, &ending, &before);
    int why = write_and_rename(path, old, data, size);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return why;
}

static int write_through(const char *path, const char *data, size_t size)
{
    int fd = open(path, O_WRONLY | O_CLOEXEC);
    if (fd < 0)
        return errno;
    int why = write_all(fd, data, size);
    if (close(fd) != 0 && !why)
        why = errno;
    return why;
}

PoiseStatus poise_file_write(const char *path, const void *data, size_t size, PoiseFaults *faults)
{
    if (strcmp(path, "-") == 0) {
        int why = write_all(STDOUT_FILENO, data, size);
        return why ? cannot(faults, "standard output", "write", why) : POISE_OK;
    }
    struct stat st;
    bool exists = stat(path, &st) == 0;
    int why = 0;
    if (exists && !S_ISREG(st.st_mode)) /* a device or pipe: there is nothing to replace */
        why = write_through(path, data, size);
    else
        why = write_undisturbed(path, exists ? &st : NULL, data, size);
    if (why == ENOMEM)
        return poise_fault_memory(faults);
    return why ? cannot(faults, path, "write", why) : POISE_OK;
}

char *poise_path_join(const char *dir, const char *name)
{
    if (name[0] == '/' || !*dir)
        return poise_copy_text(name);
    if (strcmp(dir, ".") == 0) /* the shorter name, but "-" would mean standard input */
        return strcmp(name, "-") == 0 ? poise_copy_text("./-") : poise_copy_text(name);
    size_t n = strlen(dir);
    return poise_format("%s%s%s", dir, n && dir[n - 1] == '/' ? "" : "/", name);
}

char *poise_path_dir(const char *path)
{
    const char *slash = strrchr(path, '/');
    if (!slash)
        return poise_copy_text(".");
    return slash == path ? poise_copy_text("/") : poise_copy_text_n(path, (size_t)(slash - path));
}

const char *poise_shown_path(const char *path)
{
    return strcmp(path, "-") == 0 ? "standard input" : path;
}
