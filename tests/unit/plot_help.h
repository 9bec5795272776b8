/* Stand-ins for gnuplot and fc-list, and what was written for them read back. */
#ifndef POISE_TEST_PLOT_HELP_H
#define POISE_TEST_PLOT_HELP_H

#include "check.h"

#include <stdbool.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"

/* The only directory on PATH meanwhile; scripts there have nothing but the shell itself. */
static char fakes[64];

static inline char *in_fakes(const char *name)
{
    char *path = poise_path_join(fakes, name);
    assert_non_null(path);
    return path;
}

/* A shell script called `name`; NULL removes it. */
static inline void fake(const char *name, const char *body)
{
    char *path = in_fakes(name);
    if (body) {
        FILE *f = fopen(path, "w");
        assert_non_null(f);
        assert_true(fprintf(f, "#!/bin/sh\n%s\n", body) > 0);
        assert_int_equal(fclose(f), 0);
        assert_int_equal(chmod(path, 0700), 0);
    } else {
        unlink(path);
    }
    poise_release(path);
}

/* A gnuplot that draws at once what the script asks for, and no more. */
static const char DRAWS[] = "while read -r line; do case $line in OUTPUT*) out=${line#*\\'}; "
                            "echo drawn > ${out%\\'};; esac; done < picture.gp";

static inline int fakes_make(void **state)
{
    (void)state;
    strcpy(fakes, "/tmp/poise-fakes.XXXXXX");
    if (!mkdtemp(fakes) || setenv("PATH", fakes, 1) ||
        setenv("POISE_PLOTS", POISE_TEST_SOURCE_DIR "/plots", 1))
        return -1;
    setenv("TMPDIR", fakes, 1); /* what a picture leaves there is seen at the end */
    fake("gnuplot", DRAWS);
    return 0;
}

/* Removes them; the tests' exit status, which is not good where a picture left something behind
 * (cmocka's own would be, whatever a group's tear-down says). */
static inline int fakes_over(int failures)
{
    static const char *const names[] = {"gnuplot",  "fc-list",    "log",      "p.svg",
                                        "p.png",    "p.dat",      "p.gp",     "slab.obj",
                                        "pool.obj", "slab.gcode", "common.gp"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char *path = in_fakes(names[i]);
        unlink(path);
        poise_release(path);
    }
    if (rmdir(fakes) == 0)
        return failures;
    print_error("something is left in %s\n", fakes);
    return 1;
}

/* A file's text; free with poise_release(). Inlined, GCC 12 takes it for a pointer to `data`. */
static __attribute__((noinline, unused)) char *text_of(const char *path)
{
    char *data = NULL;
    size_t size = 0;
    assert_int_equal(poise_file_read(path, (size_t)1 << 24, &data, &size, NULL), POISE_OK);
    return data;
}

/* Text for gnuplot up to `end`, its octal escapes read as gnuplot does; free it. */
static inline char *decoded(const char *from, const char *end)
{
    PoiseText out = {0};
    while (from < end) {
        unsigned code = 0;
        if (*from != '\\') {
            poise_text_append_n(&out, from++, 1);
            continue;
        }
        for (from++; *from >= '0' && *from <= '7'; from++)
            code = 8 * code + (unsigned)(*from - '0');
        poise_text_append_n(&out, &(char){(char)code}, 1);
    }
    return poise_text_take(&out);
}

/* A block of a table without its heading, decoded; free it. */
static inline char *block_of(const char *table, const char *name)
{
    char *heading = poise_format("# %s: ", name);
    const char *from = strstr(table, heading);
    if (!from)
        fail_msg("no block \"%s\"", name);
    poise_release(heading);
    from = strchr(from, '\n') + 1;
    const char *end = strstr(from, "\n\n\n");
    assert_non_null(end);
    return decoded(from, end + 1);
}

static inline void says(const char *text, const char *what, bool wanted)
{
    if ((strstr(text, what) != NULL) != wanted)
        fail_msg("\"%s\" is %s in \"%s\"", what, wanted ? "not" : "still", text);
}

/* Whether a block has these words (or must not have them). */
static inline void block_says(const char *table, const char *name, const char *what, bool wanted)
{
    char *block = block_of(table, name);
    says(block, what, wanted);
    poise_release(block);
}

/* Number `column` (from 0) of row `row` in a block. */
static inline double cell(const char *table, const char *name, int row, int column)
{
    char *block = block_of(table, name), *at = block;
    for (; row > 0; row--) {
        at = strchr(at, '\n');
        assert_non_null(at);
        at++;
    }
    for (; column > 0; column--) {
        at = strchr(at, '\t');
        assert_non_null(at);
        at++;
    }
    double value = strtod(at, NULL);
    poise_release(block);
    return value;
}

/* Lines of a block. */
static inline int rows_of(const char *table, const char *name)
{
    char *block = block_of(table, name);
    int rows = 0;
    for (const char *c = block; *c; c++)
        rows += *c == '\n';
    poise_release(block);
    return rows;
}

/* A number that the script beside the last picture is given. */
static inline double setting(const char *name)
{
    char *path = in_fakes("p.gp"), *script = text_of(path);
    char *wanted = poise_format("\n%s = ", name);
    const char *at = strstr(script, wanted);
    assert_non_null(at);
    double value = strtod(at + strlen(wanted), NULL);
    poise_release(wanted);
    poise_release(script);
    poise_release(path);
    return value;
}

/* The last fault, and that there is one. */
static inline const char *last_fault(const PoiseFaults *faults)
{
    size_t n = poise_faults_count(faults);
    assert_true(n > 0);
    return poise_faults_get(faults, n - 1)->found;
}

#endif
