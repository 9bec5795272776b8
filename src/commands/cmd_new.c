/* A starter file: the library's template under the maker's own name. */
#include <cjson/cJSON.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "commands/command.h"
#include "poise/poise.h"

static const PoiseOption OPTIONS[] = {{0}};

static const char DEFAULT_NAME[] = "My first build";
/* How the template holds its name; what stands here is replaced. */
static const char TEMPLATE_NAME[] = "\"name\": \"My first build\"";

static PoiseStatus read_template(char **text, PoiseFaults *faults)
{
    char *dir = poise_components_dir();
    if (!dir)
        return poise_fault_say(faults, POISE_E_IO, NULL,
                               "no component library found; set POISE_COMPONENTS to its directory");
    char *path = poise_path_join(dir, "starter/starter.json");
    size_t size = 0;
    PoiseStatus status = path ? poise_file_read(path, POISE_LIMIT_JSON_BYTES, text, &size, faults)
                              : poise_fault_memory(faults);
    poise_release(path);
    poise_string_free(dir);
    return status;
}

/* The template with its name replaced, as a new string. */
static char *with_name(const char *template, const char *name)
{
    const char *at = strstr(template, TEMPLATE_NAME);
    cJSON *json = cJSON_CreateString(name);
    char *quoted = json ? cJSON_PrintUnformatted(json) : NULL;
    cJSON_Delete(json);
    char *text = NULL;
    if (at && quoted)
        text = poise_format("%.*s\"name\": %s%s", (int)(at - template), template, quoted,
                            at + strlen(TEMPLATE_NAME));
    cJSON_free(quoted);
    return text;
}

/* "Marsh Wren" becomes "marsh-wren.json": letters and digits kept, the rest one dash. "" for
 * a name without any. */
static char *file_name(const char *name)
{
    PoiseText t = {0};
    bool dash = false;
    for (const char *c = name; *c; c++) {
        bool upper = *c >= 'A' && *c <= 'Z';
        bool keep = upper || (*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9') ||
                    (unsigned char)*c >= 0x80;
        if (keep) {
            char lower = upper ? (char)(*c - 'A' + 'a') : *c;
            if (dash && t.length)
                poise_text_append(&t, "-");
            poise_text_append_n(&t, &lower, 1);
        }
        dash = !keep;
    }
    if (t.length)
        poise_text_append(&t, ".json");
    return poise_text_take(&t);
}

/* Writes a new file, never over one that is there. */
static PoiseStatus write_new(const char *path, const char *text, PoiseFaults *faults)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0 && errno == EEXIST)
        return poise_fault_say(faults, POISE_E_IO, path,
                               "the file is there already; give another name");
    if (fd < 0)
        return poise_fault_say(faults, POISE_E_IO, path, "cannot create: %s", strerror(errno));
    close(fd);
    PoiseStatus status = poise_file_write(path, text, strlen(text), faults);
    if (status)
        unlink(path);
    return status;
}

static PoiseStatus make_file(const char *name, const char *text, PoiseFaults *faults)
{
    char *path = file_name(name);
    if (!path)
        return poise_fault_memory(faults);
    PoiseStatus status = write_new(path, text, faults);
    PoiseText shown = {0};
    poise_text_append_inert(&shown, path);
    char *words = poise_text_take(&shown);
    if (!status && words)
        printf("Wrote %s. It weighs as it stands:\n\n"
               "  poise weigh %s\n\n"
               "Open it in a text editor: each \"note\" says what to change. Then\n\n"
               "  poise parts WORD   searches the parts and materials\n"
               "  poise check %s\n"
               "                     says what is wrong, with line and column\n",
               words, words, words);
    poise_release(words);
    poise_release(path);
    return status;
}

static bool makes_a_file_name(const char *name)
{
    char *path = file_name(name);
    bool makes = !path || *path; /* without memory: said later */
    poise_release(path);
    return makes;
}

static int run(const PoiseArguments *a)
{
    const char *name = a->operand_count ? a->operands[0] : DEFAULT_NAME;
    bool to_output = strcmp(name, "-") == 0;
    if (!to_output && !makes_a_file_name(name))
        return poise_usage_error(a->command, "the NAME needs a letter or a digit, from which the "
                                             "file takes its name");
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    char *template = NULL;
    char *text = NULL;
    PoiseStatus status = read_template(&template, faults);
    if (!status && template)
        text = with_name(template, to_output ? DEFAULT_NAME : name);
    if (!status && !text)
        status = poise_fault_memory(faults);
    if (!status && text && !to_output)
        status = make_file(name, text, faults);
    int code = status ? poise_report_faults(faults, status) : 0;
    if (!status && to_output) {
        code = poise_put_result(text);
        text = NULL;
    }
    poise_release(text);
    poise_release(template);
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_NEW = {
    .name = "new",
    .operands = "[NAME]",
    .summary = "a starter file that weighs as it stands",
    .details = "Writes NAME as a file name in the current directory (\"Marsh Wren\" becomes\n"
               "marsh-wren.json) and never over a file that is there; the NAME needs a letter or\n"
               "a digit. With - as NAME the file goes to standard output.",
    .least = 0,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
