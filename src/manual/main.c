/* Makes a manual page: a template, in which lines that begin with "@" are replaced by what the
 * program's own tables say.
 *
 * Usage: poise_manual TEMPLATE VERSION >PAGE */
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "manual/roff.h"
#include "manual/tables.h"
#include "poise/status.h"

/* A template is a page of text. */
static const size_t MOST_BYTES = (size_t)1 << 20;

/* False when there is no such word. */
static bool replace(PoiseText *page, const char *line, const char *version)
{
    if (strcmp(line, "@commands") == 0)
        poise_manual_commands(page);
    else if (strcmp(line, "@synopsis") == 0)
        poise_manual_synopsis(page);
    else if (strcmp(line, "@units") == 0)
        poise_manual_units(page);
    else if (strncmp(line, "@title ", 7) == 0)
        poise_text_printf(page, ".TH %s \"poise %s\" \"Manual of poise\"\n", line + 7, version);
    else
        return strncmp(line, "@keys ", 6) == 0 && poise_manual_keys(page, line + 6);
    return true;
}

static int fill(char *text, const char *version)
{
    PoiseText page = {0};
    for (char *line = text; *line;) {
        size_t n = strcspn(line, "\n");
        bool last = line[n] == '\0';
        line[n] = '\0';
        if (line[0] != '@') {
            poise_text_append(&page, line);
            poise_text_append(&page, "\n");
        } else if (!replace(&page, line, version)) {
            fprintf(stderr, "the tables know nothing of \"%s\"\n", line);
            poise_text_clear(&page);
            return 1;
        }
        line += n + !last;
    }
    char *made = poise_text_take(&page);
    if (made)
        fputs(made, stdout);
    poise_release(made);
    return made && fflush(stdout) == 0 ? 0 : 1;
}

int main(int argc, char **argv)
{
    char *text = NULL;
    size_t size = 0;
    PoiseFaults *faults = poise_faults_new();
    if (argc != 3 || !faults || poise_file_read(argv[1], MOST_BYTES, &text, &size, faults)) {
        fprintf(stderr, "usage: poise_manual TEMPLATE VERSION\n");
        return 2;
    }
    int code = fill(text, argv[2]);
    poise_release(text);
    poise_faults_free(faults);
    return code;
}
