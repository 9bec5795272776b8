/* Where the component library is. */
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"
#include "poise/instrument.h"

static bool is_directory(const char *path)
{
    struct stat st;
    return path && stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* "components" beside the program, or NULL. */
static char *beside_program(void)
{
    char program[4096];
    ssize_t n = readlink("/proc/self/exe", program, sizeof program - 1);
    if (n <= 0 || (size_t)n >= sizeof program - 1)
        return NULL;
    program[n] = '\0';
    char *dir = poise_path_dir(program);
    char *components = dir ? poise_path_join(dir, "components") : NULL;
    poise_release(dir);
    if (is_directory(components))
        return components;
    poise_release(components);
    return NULL;
}

char *poise_components_dir(void)
{
    const char *chosen = getenv("POISE_COMPONENTS");
    if (chosen && *chosen) /* even when it is not there: the fault then names what was asked for */
        return poise_copy_text(chosen);
    char *beside = beside_program();
    if (beside)
        return beside;
    return is_directory(POISE_INSTALLED_COMPONENTS) ? poise_copy_text(POISE_INSTALLED_COMPONENTS)
                                                    : NULL;
}
