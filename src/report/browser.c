/* For nftw(). */
#define _XOPEN_SOURCE 700

/* From HTML to PDF by way of a browser: no other program of a Debian system lays out HTML as well
 * as the one the sheet is made for, and a second layout of our own would be a second sheet. */
#include <errno.h>
#include <ftw.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "plot/render.h"
#include "report/report.h"

static int remove_one(const char *path, const struct stat *st, int kind, struct FTW *walk)
{
    (void)st;
    (void)kind;
    (void)walk;
    return remove(path);
}

/* Files left by a browser have names of its own. */
static void remove_place(PoisePlotPlace *place)
{
    static const char *const ours[] = {"sheet.html", "sheet.pdf", NULL};
    char *profile = poise_path_join(place->dir, "profile");
    if (profile)
        nftw(profile, remove_one, 16, FTW_DEPTH | FTW_PHYS);
    poise_release(profile);
    poise_plot_place_remove(place, ours);
}

static PoiseStatus explain(int why, int how, PoiseFaults *faults)
{
    if (why == ENOENT)
        return poise_fault_say(faults, POISE_E_IO, NULL,
                               "a PDF is printed by the browser \"chromium\", which is not "
                               "installed: install it (Debian: sudo apt install chromium), or "
                               "write .html and print that");
    if (why == ETIMEDOUT)
        return poise_fault_say(faults, POISE_E_IO, NULL,
                               "chromium did not print within %d s and was ended",
                               POISE_PLOT_SECONDS);
    if (why)
        return poise_fault_say(faults, POISE_E_IO, NULL, "cannot start chromium: %s",
                               strerror(why));
    return poise_fault_say(faults, POISE_E_IO, NULL,
                           "chromium failed to print (exit code %d); write .html and print that",
                           WIFEXITED(how) ? WEXITSTATUS(how) : -1);
}

static PoiseStatus print(const PoisePlotPlace *place, PoiseFaults *faults)
{
    /* A name that never resolves: the sheet asks for nothing, and nothing would answer. */
    static char program[] = "chromium", headless[] = "--headless=new", gpu[] = "--disable-gpu",
                net[] = "--host-resolver-rules=MAP * ~NOTFOUND",
                quiet[] = "--disable-background-networking", first[] = "--no-first-run",
                bare[] = "--no-pdf-header-footer", shared[] = "--disable-dev-shm-usage",
                root[] = "--no-sandbox", out[] = "--print-to-pdf=sheet.pdf", page[] = "sheet.html";
    char *own = poise_format("--user-data-dir=%s/profile", place->dir);
    char *url = poise_format("file://%s/%s", place->dir, page);
    char *const arguments[] = {program, headless, gpu, net, quiet, first,
                               bare,    shared,   out, own, url,   geteuid() == 0 ? root : NULL,
                               NULL};
    int how = 0;
    int why = own && url ? poise_plot_run(place, arguments, &how) : ENOMEM;
    poise_release(own);
    poise_release(url);
    if (why == ENOMEM)
        return poise_fault_memory(faults);
    return why || !WIFEXITED(how) || WEXITSTATUS(how) != 0 ? explain(why, how, faults) : POISE_OK;
}

PoiseStatus poise_print_pdf(const char *html, char **pdf, size_t *size, PoiseFaults *faults)
{
    PoisePlotPlace place = {0};
    PoiseStatus status = poise_plot_place_make(&place, faults);
    *pdf = NULL;
    if (status)
        return status;
    char *page = poise_path_join(place.dir, "sheet.html");
    char *printed = poise_path_join(place.dir, "sheet.pdf");
    if (!page || !printed)
        status = poise_fault_memory(faults);
    if (!status)
        status = poise_file_write(page, html, strlen(html), faults);
    if (!status)
        status = print(&place, faults);
    if (!status)
        status = poise_file_read(printed, POISE_PLOT_PICTURE_BYTES, pdf, size, faults);
    remove_place(&place);
    poise_release(page);
    poise_release(printed);
    return status;
}
