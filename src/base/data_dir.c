#include "base/data_dir.h"

#include <stdbool.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/memory.h"

static bool is_directory(const char *path)
{
    struct stat st;
    return path && stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* The directory of that name beside the program, or NULL. */
static char *beside_program(const char *name)
{
    char program[4096];
    ssize_t n = readlink("/proc/self/exe", program, sizeof program - 1);
    if (n <= 0 || (size_t)n >= sizeof program - 1)
        return NULL;
    program[n] = '\0';
    char *dir = poise_path_dir(program);
    char *beside = dir ? poise_path_join(dir, name) : NULL;
    poise_release(dir);
    if (is_directory(beside))
        return beside;
    poise_release(beside);
    return NULL;
}

char *poise_data_dir(const char *variable, const char *name, const char *installed)
{
    const char *chosen = getenv(variable);
    if (chosen && *chosen)
        return poise_copy_text(chosen);
    char *beside = beside_program(name);
    if (beside)
        return beside;
    return is_directory(installed) ? poise_copy_text(installed) : NULL;
}
