#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "commands/command.h"
#include "decide/remedy.h"
#include "input/quantity.h"
#include "output/layout.h"

static const PoiseOption OPTIONS[] = {
    {"variant", 'v', "NAME", false, "remedy this variant of the file"},
    {"angles", 0, "A,B,…", false, "neck angles to meet the target at; default: the file's"},
    {"leg", 0, NULL, false, "the target must be met on the leg too"},
    {"limit", 0, "N", false, "show at most N ways, 1 to 1000; default 10"},
    {"apply", 0, "N", false, "write way N of the list, from 1, as a new variant"},
    {"json", 0, NULL, false, "results as JSON"},
    {"threads", 0, "N", false, "threads for slicing; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice every mesh anew"},
    {0},
};

enum { MOST_SHOWN = 1000 };
/* The statics know no other neck angles, degrees. */
static const double STEEPEST_DEG = 90.0;

/* Everything that is open while the command runs. */
typedef struct Job {
    const PoiseArguments *arguments;
    char *text, *dir; /* the file as it was read */
    size_t size;
    PoiseDocument *document;
    PoiseShelf shelf;
    PoiseRemedies *remedies;
    PoiseFaults *faults;
    int apply;
} Job;

static bool parse_angles(const PoiseArguments *a, PoiseRemedyOptions *options)
{
    const char *list = poise_option_value(a, "angles");
    for (const char *c = list; c && *c;) {
        size_t n = strcspn(c, ",");
        char *one = poise_copy_text_n(c, n), why[POISE_WHY] = "";
        PoiseQuantity angle = {0};
        bool good = one && poise_quantity_parse(one, POISE_UNIT_ANGLE, &angle, why) &&
                    angle.value > -STEEPEST_DEG && angle.value < STEEPEST_DEG;
        poise_release(one);
        if (!good || options->angle_count == POISE_REMEDY_ANGLES) {
            poise_usage_error(a->command,
                              "--angles takes up to %d neck angles between -90 and 90 degrees, "
                              "such as 0,20",
                              POISE_REMEDY_ANGLES);
            return false;
        }
        options->angles_deg[options->angle_count++] = angle.value;
        c += n + (c[n] != '\0');
    }
    if (list && options->angle_count == 0) {
        poise_usage_error(a->command, "--angles takes neck angles such as 0,20");
        return false;
    }
    return true;
}

static PoiseStatus open_job(Job *job)
{
    const char *path = job->arguments->operands[0];
    PoiseStatus status =
        poise_file_read(path, POISE_LIMIT_JSON_BYTES, &job->text, &job->size, job->faults);
    if (status)
        return status;
    job->dir = poise_path_dir(path);
    if (!job->dir)
        return poise_fault_memory(job->faults);
    status = poise_shelf_read(NULL, &job->shelf, job->faults);
    if (!status)
        status = poise_document_parse(job->text, job->size, poise_shown_path(path), &job->document,
                                      job->faults);
    return status;
}

static void close_job(Job *job)
{
    poise_remedies_free(job->remedies);
    poise_document_free(job->document);
    poise_shelf_clear(&job->shelf);
    poise_release(job->dir);
    poise_release(job->text);
    poise_faults_free(job->faults);
}

/* Nobody may have changed the file since it was read: their work would be lost. */
static PoiseStatus unchanged(Job *job)
{
    const char *path = job->arguments->operands[0];
    char *text = NULL;
    size_t size = 0;
    PoiseStatus status = poise_file_read(path, POISE_LIMIT_JSON_BYTES, &text, &size, job->faults);
    if (!status && (size != job->size || memcmp(text, job->text, size) != 0))
        status = poise_fault_say(job->faults, POISE_E_IO, path,
                                 "changed while the remedies were worked out; nothing was written");
    poise_release(text);
    return status;
}

/* A file name as a shell takes it. */
static void quote(PoiseText *t, const char *word)
{
    static const char plain[] =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/._-+";
    if (*word && strspn(word, plain) == strlen(word)) {
        poise_text_append(t, word);
        return;
    }
    poise_text_append(t, "'");
    for (; *word; word++) {
        if (*word == '\'')
            poise_text_append(t, "'\\''");
        else
            poise_text_append_n(t, word, 1);
    }
    poise_text_append(t, "'");
}

static int say_applied(const Job *job, const PoiseRemedy *r, const char *name)
{
    PoiseText command = {0}, out = {0};
    quote(&command, job->arguments->operands[0]);
    char *file = poise_text_take(&command);
    poise_text_append_inert(&out, job->arguments->operands[0]);
    poise_text_printf(&out, ": new variant \"%s\"\n", name);
    poise_layout_wrap(&out, "  ", 2, r->title);
    for (size_t i = 0; i < r->step_count && r->step_count > 1; i++)
        poise_layout_wrap(&out, "    - ", 6, r->steps[i]);
    poise_text_append(&out, "Weigh it with\n  poise weigh ");
    poise_text_append_inert(&out, file ? file : "");
    poise_text_printf(&out, " --variant '%s'\n", name);
    poise_release(file);
    return poise_put_result(poise_text_take(&out));
}

static PoiseStatus apply(Job *job, const PoiseRemedy *r, char **name)
{
    const char *path = job->arguments->operands[0];
    const cJSON *variants = cJSON_GetObjectItemCaseSensitive(job->document->root, "variants");
    cJSON *patch =
        poise_remedy_variant(job->document, poise_option_value(job->arguments, "variant"), r);
    *name = poise_variant_free_name(variants, r->name);
    char *text = NULL;
    size_t size = 0;
    PoiseStatus status = patch && *name ? POISE_OK : poise_fault_memory(job->faults);
    if (!status)
        status = poise_variant_insert(job->text, job->size, job->document, *name, patch, &text,
                                      &size, job->faults);
    /* What will be read must be what was meant. */
    PoiseDocument *after = NULL;
    if (!status)
        status = poise_document_parse(text, size, path, &after, job->faults);
    if (!status && !poise_json_equal(poise_document_variant(after, *name), patch))
        status =
            poise_fault_say(job->faults, POISE_E_INTERNAL, path,
                            "the new variant would not read as it should; nothing was written");
    if (!status)
        status = unchanged(job);
    /* A link stays a link: the file it leads to is written. */
    char *target = realpath(path, NULL);
    if (!status)
        status = poise_file_write(target ? target : path, text, size, job->faults);
    free(target);
    poise_document_free(after);
    poise_release(text);
    cJSON_Delete(patch);
    return status;
}

static int no_such_way(const Job *job)
{
    const PoiseCommand *command = job->arguments->command;
    size_t count = job->remedies->count;
    if (count == 1)
        return poise_usage_error(command, "--apply: found %d, expected 1: there is one way",
                                 job->apply);
    return poise_usage_error(command, "--apply: found %d, expected the number of a way, 1 to %zu",
                             job->apply, count);
}

static int apply_and_say(Job *job)
{
    char *name = NULL;
    const PoiseRemedies *r = job->remedies;
    if (r->met)
        return poise_usage_error(job->arguments->command,
                                 "the target is met already; there is nothing to apply");
    if (r->count == 0)
        return poise_usage_error(job->arguments->command,
                                 "nothing reaches the target; there is nothing to apply");
    if ((size_t)job->apply > r->count)
        return no_such_way(job);
    const PoiseRemedy *one = &r->list[job->apply - 1];
    PoiseStatus status = apply(job, one, &name);
    int code = status ? poise_report_faults(job->faults, status) : say_applied(job, one, name);
    poise_release(name);
    return code;
}

static int run_job(Job *job, const PoiseRemedyOptions *options)
{
    PoiseStatus status = open_job(job);
    if (!status)
        status = poise_remedies_find(job->document, poise_option_value(job->arguments, "variant"),
                                     job->dir, &job->shelf, options, &job->remedies, job->faults);
    poise_progress_end(options->weigh.context);
    if (status)
        return poise_report_faults(job->faults, status);
    if (job->apply)
        return apply_and_say(job);
    return poise_put_result(poise_has_option(job->arguments, "json")
                                ? poise_remedies_json(job->remedies)
                                : poise_remedies_text(job->remedies));
}

static int run(const PoiseArguments *a)
{
    PoiseProgress progress;
    PoiseRemedyOptions options = {.leg = poise_has_option(a, "leg")};
    Job job = {.arguments = a};
    int threads = 0, limit = POISE_REMEDY_SHOWN;
    if (!poise_option_count(a, "threads", 1024, &threads) ||
        !poise_option_range(a, "limit", "a number of ways, ", 1, MOST_SHOWN, "", &limit) ||
        !poise_option_range(a, "apply", "the number of a way, ", 1, MOST_SHOWN, "", &job.apply) ||
        !parse_angles(a, &options))
        return poise_status_exit_code(POISE_E_USAGE);
    if (job.apply && strcmp(a->operands[0], "-") == 0)
        return poise_usage_error(a->command, "--apply needs a file to write to");
    options.most = (size_t)(job.apply > limit ? job.apply : limit);
    poise_progress_begin(&progress);
    options.weigh = (PoiseWeighOptions){.threads = threads,
                                        .no_cache = poise_has_option(a, "no-cache"),
                                        .progress = poise_progress_show,
                                        .context = &progress};
    job.faults = poise_faults_new();
    int code = job.faults ? run_job(&job, &options) : poise_report_faults(NULL, POISE_E_MEMORY);
    close_job(&job);
    return code;
}

const PoiseCommand POISE_COMMAND_REMEDY = {
    .name = "remedy",
    .operands = "FILE",
    .summary = "ranked ways to reach the balance target",
    .details = "Looks for ways to reach the file's \"target\": ballast at each place the file\n"
               "allows and at the best place inside the body, a strap post moved along the\n"
               "body's edge, another part of the same family, infill and perimeters within\n"
               "bounds, another strap, and the best combinations of parts, infill and\n"
               "ballast. Each way is weighed anew before it is shown. Lightest first, then\n"
               "cheapest, then least work. Without a target of balance in the file: that it\n"
               "just holds by itself.",
    .least = 1,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
