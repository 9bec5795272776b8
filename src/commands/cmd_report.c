#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "commands/command.h"
#include "plot/plot.h"
#include "report/report.h"

static const PoiseOption OPTIONS[] = {
    {"out", 'o', "OUT", false, "sheet: .html, .pdf or .md; - is HTML to stdout"},
    {"markdown", 0, NULL, false, "as Markdown, to stdout unless -o names a file"},
    {"variant", 'v', "NAME", false, "the sheet of this variant of the file"},
    {"threads", 0, "N", false, "threads for slicing; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice every mesh anew"},
    {0},
};

typedef enum SheetKind { SHEET_HTML, SHEET_PDF, SHEET_MARKDOWN } SheetKind;

/* Everything that is open while the command runs. */
typedef struct Job {
    const PoiseArguments *arguments;
    PoiseWeighOptions weigh;
    const char *variant;
    SheetKind kind;
    char *text, *dir; /* the file as it was read */
    size_t size;
    PoiseDocument *document;
    PoiseShelf shelf;
    PoiseInstrument *instrument;
    PoiseWeighing *weighing;
    PoiseRemedies *remedies;
    PoiseFaults *faults;
} Job;

/* What the name's ending asks for; false when nothing. */
static bool kind_of(const char *out, SheetKind *kind)
{
    static const struct {
        const char *ending;
        SheetKind kind;
    } endings[] = {
        {"html", SHEET_HTML}, {"htm", SHEET_HTML}, {"pdf", SHEET_PDF}, {"md", SHEET_MARKDOWN}};
    *kind = SHEET_HTML;
    if (!out || strcmp(out, "-") == 0)
        return true;
    const char *dot = strrchr(out, '.');
    for (size_t i = 0; dot && !strchr(dot, '/') && i < sizeof endings / sizeof *endings; i++)
        if (strcasecmp(dot + 1, endings[i].ending) == 0) {
            *kind = endings[i].kind;
            return true;
        }
    return false;
}

static PoiseStatus open_job(Job *job)
{
    const char *path = job->arguments->operands[0];
    const char *name = poise_shown_path(path);
    PoiseStatus status =
        poise_file_read(path, POISE_LIMIT_JSON_BYTES, &job->text, &job->size, job->faults);
    if (status)
        return status;
    job->dir = poise_path_dir(path);
    if (!job->dir)
        return poise_fault_memory(job->faults);
    status = poise_shelf_read(NULL, &job->shelf, job->faults);
    if (!status)
        status = poise_document_parse(job->text, job->size, name, &job->document, job->faults);
    if (!status)
        status = poise_instrument_parse(job->text, job->size, name, job->dir, job->variant, NULL,
                                        &job->instrument, job->faults);
    return status;
}

static void close_job(Job *job)
{
    poise_remedies_free(job->remedies);
    poise_weighing_free(job->weighing);
    poise_instrument_free(job->instrument);
    poise_document_free(job->document);
    poise_shelf_clear(&job->shelf);
    poise_release(job->dir);
    poise_release(job->text);
    poise_faults_free(job->faults);
}

static PoiseStatus work_out(Job *job)
{
    PoiseStatus status = poise_weigh(job->instrument, &job->weigh, &job->weighing, job->faults);
    if (status || (!job->weighing->has_strap && !job->weighing->has_seat))
        return status;
    PoiseRemedyOptions options = {.weigh = job->weigh};
    status = poise_remedies_find(job->document, job->variant, job->dir, &job->shelf, &options,
                                 &job->remedies, NULL);
    /* A sheet without remedies is still a sheet. */
    return status == POISE_E_MEMORY ? poise_fault_memory(job->faults) : POISE_OK;
}

/* "DIR/NAME.html" beside the instrument file, as a new string. */
static char *name_beside(const Job *job)
{
    const char *file = job->arguments->operands[0];
    char *stem = poise_plot_stem(strcmp(file, "-") == 0 ? "poise.json" : file);
    char *change = job->variant ? poise_plot_stem(job->variant) : NULL;
    char *name = stem && (change || !job->variant)
                     ? poise_format("%s%s%s.html", stem, change ? "-" : "", change ? change : "")
                     : NULL;
    char *path = name ? poise_path_join(job->dir, name) : NULL;
    poise_release(stem);
    poise_release(change);
    poise_release(name);
    return path;
}

static void say_written(const char *path)
{
    PoiseText text = {0};
    if (!path || strcmp(path, "-") == 0)
        return;
    poise_text_append_inert(&text, path);
    fprintf(stderr, "wrote %s\n", text.data ? text.data : "");
    poise_text_clear(&text);
}

static PoiseStatus write_sheet(Job *job, const char *out)
{
    PoiseSheetSource source = {.instrument = job->instrument,
                               .weighing = job->weighing,
                               .remedies = job->remedies,
                               .text = job->text,
                               .size = job->size};
    char *sheet = NULL, *pdf = NULL;
    size_t size = 0;
    PoiseStatus status = poise_build_sheet(
        &source, job->kind == SHEET_MARKDOWN ? POISE_DOC_MARKDOWN : POISE_DOC_HTML, &sheet,
        job->faults);
    if (!status && job->kind == SHEET_PDF)
        status = poise_print_pdf(sheet, &pdf, &size, job->faults);
    if (!status)
        status = pdf ? poise_file_write(out, pdf, size, job->faults)
                     : poise_file_write(out, sheet, strlen(sheet), job->faults);
    poise_release(sheet);
    poise_release(pdf);
    return status;
}

static PoiseStatus run_job(Job *job)
{
    const char *out = poise_option_value(job->arguments, "out");
    char *beside = NULL;
    PoiseStatus status = open_job(job);
    if (!status)
        status = work_out(job);
    poise_progress_end(job->weigh.context);
    if (!out && job->kind == SHEET_MARKDOWN)
        out = "-";
    if (!status && !out) {
        out = beside = name_beside(job);
        status = out ? POISE_OK : poise_fault_memory(job->faults);
    }
    if (!status)
        status = write_sheet(job, out);
    if (!status && out)
        say_written(out);
    poise_release(beside);
    return status;
}

static int run(const PoiseArguments *a)
{
    PoiseProgress progress;
    Job job = {.arguments = a, .variant = poise_option_value(a, "variant")};
    int threads = 0;
    if (!kind_of(poise_option_value(a, "out"), &job.kind))
        return poise_usage_error(a->command, "a sheet's name must end in .html, .pdf or .md");
    if (poise_has_option(a, "markdown")) {
        if (job.kind == SHEET_PDF)
            return poise_usage_error(a->command, "--markdown does not go into a .pdf");
        job.kind = SHEET_MARKDOWN;
    }
    if (!poise_option_count(a, "threads", 1024, &threads))
        return poise_status_exit_code(POISE_E_USAGE);
    poise_progress_begin(&progress);
    job.weigh = (PoiseWeighOptions){.threads = threads,
                                    .no_cache = poise_has_option(a, "no-cache"),
                                    .progress = poise_progress_show,
                                    .context = &progress};
    job.faults = poise_faults_new();
    PoiseStatus status = job.faults ? run_job(&job) : POISE_E_MEMORY;
    int code = status ? poise_report_faults(job.faults, status) : 0;
    close_job(&job);
    return code;
}

const PoiseCommand POISE_COMMAND_REPORT = {
    .name = "report",
    .operands = "FILE",
    .summary = "the build sheet to print or publish",
    .details = "One document with all that a build needs: pictures, weight and balance,\n"
               "sections to print, resin to mix, parts to buy, masses to tick off on the\n"
               "scale, remedies, where the doubt comes from, cautions, and the files'\n"
               "checksums. As HTML it is one file that needs no other and no network; open\n"
               "it in a browser, print it on A4 or Letter. FILE may be - for standard input.\n\n"
               "Without -o it writes NAME.html beside FILE and says so. Pictures take\n"
               "gnuplot 5.4 or later; without it the sheet says so in their place. A PDF is\n"
               "printed by the browser chromium, which must be installed.",
    .least = 1,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
