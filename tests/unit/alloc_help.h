/* Failing allocations in turn. */
#ifndef POISE_TEST_ALLOC_HELP_H
#define POISE_TEST_ALLOC_HELP_H

#include "check.h"

#include <stdbool.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/remedy.h"
#include "poise/status.h"

/* What a run has to show: its results as one text, or NULL and a status. */
typedef struct Outcome {
    PoiseStatus status;
    char *text;
} Outcome;

typedef Outcome Work(const char *input, PoiseFaults *faults);

static inline void same_text(long at, const char *got, const char *want)
{
    size_t n = 0;
    while (got[n] && got[n] == want[n])
        n++;
    if (got[n] || want[n])
        fail_msg("allocation %ld changes the results: \"%.60s\" instead of \"%.60s\"", at, got + n,
                 want + n);
}

/* Fails allocation `at` of `work`, which may tell of it or do without. False past the last one. */
static inline bool fail_one(Work *work, const char *input, const Outcome *usual, long at,
                            long *told)
{
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    poise_alloc_fail_at(at, 0);
    Outcome now = work(input, faults);
    bool reached = poise_alloc_fail_at(-1, 0) > at;
    size_t last = poise_faults_count(faults);
    const char *found = last ? poise_faults_get(faults, last - 1)->found : "";
    if (now.status == POISE_E_MEMORY) {
        ++*told;
        /* what a person reads says so, too */
        if (last && !strstr(found, "memory"))
            fail_msg("allocation %ld: %s", at, found);
    } else if (now.status != usual->status) {
        fail_msg("allocation %ld: status %d: %s", at, (int)now.status, found);
    } else if (usual->text) {
        assert_non_null(now.text);
        same_text(at, now.text, usual->text);
    }
    if (!reached)
        assert_int_equal(now.status, usual->status);
    poise_string_free(now.text);
    poise_faults_free(faults);
    return reached;
}

static inline Outcome undisturbed(Work *work, const char *input, PoiseStatus want)
{
    PoiseFaults *none = poise_faults_new();
    Outcome usual = work(input, none);
    if (usual.status != want)
        for (size_t i = 0; i < poise_faults_count(none); i++)
            print_error("%s\n", poise_faults_get(none, i)->found);
    poise_faults_free(none);
    assert_int_equal(usual.status, want);
    return usual;
}

/* Fails the allocations of `work` in turn: all of them, or past the first `sparse` only every
 * tenth, twentieth, … of a long run. */
static inline void fail_some(Work *work, const char *input, PoiseStatus want, long sparse)
{
    Outcome usual = undisturbed(work, input, want);
    long at = 0, told = 0;
    while (fail_one(work, input, &usual, at, &told))
        at += sparse && at > sparse ? 1 + at / sparse * 7 : 1;
    poise_string_free(usual.text);
    print_message("%ld allocations, told of %ld\n", at, told);
    assert_true(at >= 8 && told > 5);
}

/* Fails every `step`-th allocation from `first` on: what comes before has tests of its own. */
static inline void fail_from(Work *work, const char *input, PoiseStatus want, long first, long step)
{
    Outcome usual = undisturbed(work, input, want);
    long at = first, told = 0;
    while (fail_one(work, input, &usual, at, &told))
        at += step;
    poise_string_free(usual.text);
    print_message("%ld allocations from %ld, told of %ld\n", at - first, first, told);
    assert_true(at > first + 10 * step && told > 5);
}

static inline void fail_each(Work *work, const char *input, PoiseStatus want)
{
    fail_some(work, input, want, 0);
}

static inline Outcome refused(PoiseStatus status)
{
    return (Outcome){.status = status};
}

/* Appends a result, which may be NULL for want of memory, and frees it. */
static inline void gather(PoiseText *all, char *one)
{
    if (one)
        poise_text_append(all, one);
    else
        all->failed = true;
    poise_string_free(one);
}

static inline Outcome gathered(PoiseText *all)
{
    char *text = poise_text_take(all);
    return (Outcome){.status = text ? POISE_OK : POISE_E_MEMORY, .text = text};
}

/* All that remedies of a file say, searched for on one thread. */
static inline Outcome remedies_of(const char *text, const char *dir, const PoiseShelf *shelf,
                                  PoiseRemedyOptions options, PoiseFaults *faults)
{
    PoiseDocument *document = NULL;
    PoiseRemedies *r = NULL;
    options.weigh.threads = 1;
    PoiseStatus status = poise_document_parse(text, strlen(text), "x.json", &document, faults);
    if (!status)
        status = poise_remedies_find(document, NULL, dir, shelf, &options, &r, faults);
    Outcome out = refused(status);
    if (!status) {
        PoiseText all = {0};
        gather(&all, poise_remedies_text(r));
        gather(&all, poise_remedies_json(r));
        out = gathered(&all);
    }
    poise_remedies_free(r);
    poise_document_free(document);
    return out;
}

#endif
