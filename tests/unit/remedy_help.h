/* Remedies for instruments whose balance is worked out by hand. */
#ifndef POISE_TEST_REMEDY_HELP_H
#define POISE_TEST_REMEDY_HELP_H

#include "item_fixture.h"

#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <sys/stat.h>

#include "base/memory.h"
#include "decide/remedy.h"

/* A library of parts that may stand for each other, and one that goes with a post. */
static const char REMEDY_PARTS[] =
    "{\"poise_components\":1,\"family\":\"hardware\",\"title\":\"Hardware\",\"materials\":{"
    "\"own\":{\"name\":\"Plastic\",\"family\":\"plastic\",\"density\":1.26,\"source\":\"invented\"}"
    ",\"wood\":{\"name\":\"Wood\",\"family\":\"wood\",\"specific_gravity\":0.6,"
    "\"source\":\"invented\"}},"
    "\"parts\":{\"tuner-cast\":{\"name\":\"Cast\",\"mass\":220,\"origin\":\"post\","
    "\"shape\":\"point\",\"price\":20,\"source\":\"invented\"},"
    "\"tuner-slim\":{\"name\":\"Slim\",\"mass\":90,\"origin\":\"post\",\"shape\":\"point\","
    "\"price\":55,\"source\":\"invented\"},"
    "\"button-strap-post\":{\"name\":\"Post\",\"mass\":12,\"origin\":\"seat\","
    "\"shape\":\"point\",\"source\":\"invented\"}}}";

/* Writes and reads the library, and a mesh of 120 × 60 × 30 mm³. */
static inline int remedy_shelf(const char *test, const char *mesh, PoiseShelf *out)
{
    char place[512], file[544], stl[512];
    Soup wing = {0};
    soup_box(&wing, (double[3]){0, 0, 0}, (double[3]){120, 60, 30});
    write_stl(&wing, mesh, stl);
    soup_free(&wing);
    snprintf(place, sizeof place, "%s/%s-components", POISE_TEST_BINARY_DIR, test);
    snprintf(file, sizeof file, "%s/parts.json", place);
    if (mkdir(place, 0777) != 0 && errno != EEXIST)
        return -1;
    FILE *f = fopen(file, "w");
    if (!f || fputs(REMEDY_PARTS, f) < 0 || fclose(f) != 0)
        return -1;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_shelf_read(place, out, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        print_error("%s\n", poise_faults_get(faults, i)->found);
    poise_faults_free(faults);
    return status ? -1 : 0;
}

static PoiseShelf shelf;

static inline int clear_shelf(void **state)
{
    (void)state;
    poise_shelf_clear(&shelf);
    return 0;
}

typedef struct Case {
    PoiseDocument *document;
    PoiseRemedies *r;
    char *text;
} Case;

static inline PoiseStatus find(Case *c, const char *file, const PoiseRemedyOptions *options,
                               PoiseFaults *faults)
{
    *c = (Case){0};
    PoiseStatus status =
        poise_document_parse(file, strlen(file), "osier.json", &c->document, faults);
    if (!status)
        status = poise_remedies_find(c->document, NULL, POISE_TEST_BINARY_DIR, &shelf, options,
                                     &c->r, faults);
    return status;
}

static inline Case found_with(const char *file, const PoiseRemedyOptions *options)
{
    Case c;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = find(&c, file, options, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        print_error("%s\n", poise_faults_get(faults, i)->found);
    poise_faults_free(faults);
    assert_int_equal(status, POISE_OK);
    c.text = poise_remedies_text(c.r);
    assert_non_null(c.text);
    for (char *at = c.text; *at; at++) /* lines are of no interest here */
        *at = *at == '\n' ? ' ' : *at;
    return c;
}

static inline Case found(const char *file)
{
    return found_with(file, &(PoiseRemedyOptions){0});
}

static inline void done(Case *c)
{
    poise_remedies_free(c->r);
    poise_document_free(c->document);
    poise_string_free(c->text);
}

#endif
