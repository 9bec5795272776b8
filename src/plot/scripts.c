/* Finding the gnuplot scripts and putting one together. */
#include <stdlib.h>

#include "base/data_dir.h"
#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"
#include "plot/render.h"

/* Scripts are a page each. */
static const size_t SCRIPT_BYTES = (size_t)1 << 20;

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
    char *dir = poise_data_dir("POISE_PLOTS", "plots", POISE_INSTALLED_PLOTS);
    char *common = NULL, *own = NULL;
    const char *chosen = getenv("POISE_PLOTS");
    if (!dir && chosen && *chosen) /* that one is taken unseen */
        return poise_fault_memory(faults);
    if (!dir)
        return poise_fault_say(
            faults, POISE_E_IO, NULL,
            "the drawing scripts are not installed: neither \"plots\" beside the "
            "program nor %s is there; POISE_PLOTS may name their directory",
            POISE_INSTALLED_PLOTS);
    PoiseStatus status = read_script(dir, "common", &common, faults);
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
