#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/text.h"

static PoiseStatus cannot(PoiseFaults *faults, const char *path, const char *what, int why)
{
    return poise_fault_say(faults, POISE_E_IO, path, "cannot %s: %s", what, strerror(why));
}

/* Reads until end of file; on success the caller owns *data. */
static PoiseStatus read_all(int fd, const char *path, size_t limit, PoiseStatus over, char **data,
                            size_t *size, PoiseFaults *faults)
{
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
            return poise_fault_say(faults, over, path,
                                   "the file is larger than the limit of %zu bytes", limit);
        }
    }
    buffer[length] = '\0';
    *data = buffer;
    *size = length;
    return POISE_OK;
}

static PoiseStatus open_for_reading(const char *path, int *fd, PoiseFaults *faults)
{
    if (strcmp(path, "-") == 0) {
        *fd = dup(STDIN_FILENO);
        return *fd < 0 ? cannot(faults, "standard input", "read", errno) : POISE_OK;
    }
    *fd = open(path, O_RDONLY | O_CLOEXEC);
    if (*fd < 0)
        return cannot(faults, path, "open", errno);
    struct stat st;
    if (fstat(*fd, &st) == 0 && S_ISDIR(st.st_mode)) {
        close(*fd);
        return cannot(faults, path, "read", EISDIR);
    }
    return POISE_OK;
}

PoiseStatus poise_file_read(const char *path, size_t limit, char **data, size_t *size,
                            PoiseFaults *faults)
{
    int fd;
    PoiseStatus status = open_for_reading(path, &fd, faults);
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
    PoiseStatus status = open_for_reading(path, &fd, faults);
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

PoiseStatus poise_file_write(const char *path, const void *data, size_t size, PoiseFaults *faults)
{
    if (strcmp(path, "-") == 0) {
        int why = write_all(STDOUT_FILENO, data, size);
        return why ? cannot(faults, "standard output", "write", why) : POISE_OK;
    }
    struct stat st;
    bool exists = stat(path, &st) == 0;
    if (exists && !S_ISREG(st.st_mode)) { /* a device or pipe: there is nothing to replace */
        int fd = open(path, O_WRONLY | O_CLOEXEC);
        if (fd < 0)
            return cannot(faults, path, "write", errno);
        int why = write_all(fd, data, size);
        if (close(fd) != 0 && !why)
            why = errno;
        return why ? cannot(faults, path, "write", why) : POISE_OK;
    }
    char *temporary = poise_format("%s.XXXXXX", path);
    if (!temporary)
        return poise_fault_memory(faults);
    int why = 0;
    int fd = mkstemp(temporary);
    if (fd < 0) {
        why = errno;
        poise_release(temporary);
        return cannot(faults, path, "write", why);
    }
    mode_t mask = umask(0);
    umask(mask);
    why = write_all(fd, data, size);
    if (!why && fchmod(fd, exists ? st.st_mode & 07777 : 0666 & ~mask) != 0)
        why = errno;
    if (!why && fsync(fd) != 0)
        why = errno;
    if (close(fd) != 0 && !why)
        why = errno;
    if (!why && rename(temporary, path) != 0)
        why = errno;
    if (why)
        unlink(temporary);
    poise_release(temporary);
    return why ? cannot(faults, path, "write", why) : POISE_OK;
}

char *poise_path_join(const char *dir, const char *name)
{
    if (name[0] == '/' || strcmp(dir, ".") == 0)
        return poise_copy_text(name);
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
