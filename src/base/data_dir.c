#include "base/data_dir.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"

static bool is_directory(const char *path)
{
    struct stat st;
    return path && stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* The directory at `place` as seen from the program's own, or NULL. */
static char *near_program(const char *place)
{
    char program[4096];
    ssize_t n = readlink("/proc/self/exe", program, sizeof program - 1);
    if (n <= 0 || (size_t)n >= sizeof program - 1)
        return NULL;
    program[n] = '\0';
    char *dir = poise_path_dir(program);
    char *found = dir ? poise_path_join(dir, place) : NULL;
    poise_release(dir);
    if (is_directory(found))
        return found;
    poise_release(found);
    return NULL;
}

/* In the system's data directories, as the XDG Base Directory Specification lists them: for
 * programs that use the library from elsewhere. NULL when there is none. */
static char *in_data_dirs(const char *name)
{
    const char *dirs = getenv("XDG_DATA_DIRS");
    if (!dirs || !*dirs)
        dirs = "/usr/local/share:/usr/share";
    while (*dirs) {
        size_t n = strcspn(dirs, ":");
        /* Relative ones are to be ignored, says the specification. */
        char *found = *dirs == '/' ? poise_format("%.*s/poise/%s", (int)n, dirs, name) : NULL;
        if (is_directory(found))
            return found;
        poise_release(found);
        dirs += n + (dirs[n] == ':');
    }
    return NULL;
}

char *poise_data_dir(const char *variable, const char *name, const char *installed)
{
    const char *chosen = getenv(variable);
    if (chosen && *chosen)
        return poise_copy_text(chosen);
    char *near = near_program(name), *shared = NULL;
    if (!near)
        shared = poise_format("../share/poise/%s", name);
    if (shared)
        near = near_program(shared);
    poise_release(shared);
    if (near)
        return near;
    return is_directory(installed) ? poise_copy_text(installed) : in_data_dirs(name);
}
