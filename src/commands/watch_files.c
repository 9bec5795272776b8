/* Which files are watched, and whether one of them changed. */
#include "commands/watch.h"

#include <errno.h>
#include <string.h>
#include <sys/inotify.h>
#include <unistd.h>

#include "base/file.h"
#include "base/memory.h"

/* A save ends in one of these. */
static const uint32_t SAVES = IN_CLOSE_WRITE | IN_MOVED_TO | IN_MOVED_FROM | IN_DELETE;

bool poise_watched_open(PoiseWatched *watched)
{
    *watched = (PoiseWatched){.fd = inotify_init1(IN_NONBLOCK | IN_CLOEXEC)};
    return watched->fd >= 0;
}

void poise_watched_close(PoiseWatched *watched)
{
    if (watched->fd >= 0)
        close(watched->fd);
    for (size_t i = 0; i < watched->count; i++)
        poise_release(watched->files[i].name);
    poise_release(watched->files);
    *watched = (PoiseWatched){.fd = -1};
}

static bool is_known(const PoiseWatched *watched, int directory, const char *name)
{
    for (size_t i = 0; i < watched->count; i++)
        if (watched->files[i].directory == directory && strcmp(watched->files[i].name, name) == 0)
            return true;
    return false;
}

/* Takes over `name`. */
static bool keep(PoiseWatched *watched, int directory, char *name)
{
    void *larger = poise_resize(watched->files, watched->count + 1, sizeof *watched->files);
    if (larger)
        watched->files = larger;
    if (!larger || !name) {
        poise_release(name);
        errno = ENOMEM;
        return false;
    }
    watched->files[watched->count].directory = directory;
    watched->files[watched->count].name = name;
    watched->count++;
    return true;
}

bool poise_watched_add(PoiseWatched *watched, const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *name = slash ? slash + 1 : path;
    char *dir = poise_path_dir(path);
    if (!dir) {
        errno = ENOMEM;
        return false;
    }
    int directory = inotify_add_watch(watched->fd, dir, SAVES | IN_ONLYDIR);
    poise_release(dir);
    if (directory < 0)
        return false;
    return is_known(watched, directory, name) || keep(watched, directory, poise_copy_text(name));
}

bool poise_watched_changed(PoiseWatched *watched)
{
    _Alignas(struct inotify_event) char buffer[4096];
    bool changed = false;
    for (;;) {
        ssize_t n = read(watched->fd, buffer, sizeof buffer);
        if (n <= 0)
            return changed;
        for (size_t at = 0; at < (size_t)n;) {
            const struct inotify_event *event = (const void *)(buffer + at);
            if (event->mask & IN_Q_OVERFLOW)
                changed = true; /* events were lost: look */
            else if (event->len && is_known(watched, event->wd, event->name))
                changed = true;
            at += sizeof *event + event->len;
        }
    }
}
