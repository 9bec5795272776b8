/* Faults as one text, for exact comparison. */
#ifndef POISE_TEST_INPUT_CHECK_H
#define POISE_TEST_INPUT_CHECK_H

#include <stdlib.h>

#include "check.h"

#include "poise/status.h"

/* Every fault of the list, one a line. */
static inline void faults_are(const PoiseFaults *faults, const char *want)
{
    static char got[65536];
    size_t n = 0;
    got[0] = '\0';
    for (size_t i = 0; i < poise_faults_count(faults); i++) {
        char *line = poise_fault_text(poise_faults_get(faults, i));
        assert_non_null(line);
        n += (size_t)snprintf(got + n, sizeof got - n, "%s\n", line);
        poise_string_free(line);
        assert_true(n < sizeof got);
    }
    if (strcmp(got, want) == 0)
        return;
    /* Line by line: a message of the test library is cut at 1024 bytes. */
    print_error("--- got\n");
    for (char *line = strtok(got, "\n"); line; line = strtok(NULL, "\n"))
        print_error("%s\n", line);
    fail_msg("the faults are not those expected");
}

#endif
