/* Finding the gnuplot scripts and putting one together. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"
#include "plot/render.h"

/* Scripts are a page each. */
static const size_t SCRIPT_BYTES = (size_t)1 << 20;

enum { PATH_BYTES = 4096 };

static bool is_directory(const char *path)
{
    struct stat st;
    return path && stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* "plots" beside the executable, as a new string, or NULL. */
static char *beside_program(void)
{
    char *path = poise_alloc(PATH_BYTES);
    if (!path)
        return NULL;
    ssize_t n = readlink("/proc/self/exe", path, PATH_BYTES - 1);
    char *dir = NULL, *found = NULL;
    if (n > 0) {
        path[n] = '\0';
        dir = poise_path_dir(path);
    }
    if (dir)
        found = poise_path_join(dir, "plots");
    poise_release(dir);
    poise_release(path);
    if (is_directory(found))
        return found;
    poise_release(found);
    return NULL;
}

static char *scripts_dir(void)
{
    const char *named = getenv("POISE_PLOTS");
    if (named && *named)
        return poise_copy_text(named);
    char *found = beside_program();
    return found ? found : poise_copy_text(POISE_INSTALLED_PLOTS);
}

static PoiseStatus read_script(const char *dir, const char *name, char **text, PoiseFaults *faults)
{
    char *file = poise_format("%s.gp", name);
    char *path = file ? poise_path_join(dir, file) : NULL;
    size_t size = 0;
    PoiseStatus status = path ? poise_file_read(path, SCRIPT_BYTES, text, &size, faults)
                              : poise_fault_memory(faults);
    poise_release(file);
    poise_release(path);
    return status == POISE_E_INPUT ? POISE_E_IO : status;
}

PoiseStatus poise_plot_script(const char *view, char **text, PoiseFaults *faults)
{
    *text = NULL;
    char *dir = scripts_dir(), *common = NULL, *own = NULL;
    PoiseStatus status =
        dir ? read_script(dir, "common", &common, faults) : poise_fault_memory(faults);
    if (!status)
        status = read_script(dir, view, &own, faults);
    if (!status) {
        *text = poise_format("%s\n%s", common, own);
        if (!*text)
            status = poise_fault_memory(faults);
    }
    poise_release(dir);
    poise_release(common);
    poise_release(own);
    return status;
}
