/* Where the component library is. */
#include "base/data_dir.h"
#include "poise/instrument.h"

<<<<<<< HEAD
char *poise_components_dir(void)
{
    return poise_data_dir("POISE_COMPONENTS", "components", POISE_INSTALLED_COMPONENTS);
=======
static bool is_directory(const char *path)
{
    struct stat st;
    return path && stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* The library at `place` as seen from the program's own directory, or NULL. */
static char *near_program(const char *place)
{
    char program[4096];
    ssize_t n = readlink("/proc/self/exe", program, sizeof program - 1);
    if (n <= 0 || (size_t)n >= sizeof program - 1)
        return NULL;
    program[n] = '\0';
    char *dir = poise_path_dir(program);
    char *components = dir ? poise_path_join(dir, place) : NULL;
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
    char *near = near_program("components"); /* a build tree */
    if (!near)
        near = near_program("../share/poise/components"); /* an installation that was moved */
    if (near)
        return near;
    return is_directory(POISE_INSTALLED_COMPONENTS) ? poise_copy_text(POISE_INSTALLED_COMPONENTS)
                                                    : NULL;
>>>>>>> main
}
