#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "commands/command.h"
#include "input/reader.h"
#include "model/instrument.h"
#include "poise/poise.h"

static const PoiseOption OPTIONS[] = {
    {"variant", 'v', "NAME", false, "check this variant only"},
    {0},
};

/* The file, read once: standard input cannot be read again for each variant. */
typedef struct Source {
    const char *name; /* in messages */
    char *text, *dir;
    size_t size;
} Source;

static PoiseStatus open_source(const char *path, Source *source, PoiseFaults *faults)
{
    source->name = poise_shown_path(path);
    PoiseStatus status =
        poise_file_read(path, POISE_LIMIT_JSON_BYTES, &source->text, &source->size, faults);
    if (status)
        return status;
    source->dir = poise_path_dir(path);
    return source->dir ? POISE_OK : poise_fault_memory(faults);
}

/* Reads and weighs one variant (NULL: the file as it stands), so that meshes and the statics are
 * checked too. *instrument stays NULL when it cannot be read. */
static PoiseStatus check_one(const Source *source, const char *variant,
                             PoiseInstrument **instrument, PoiseFaults *faults)
{
    PoiseWeighing *weighing = NULL;
    PoiseStatus status = poise_instrument_parse(source->text, source->size, source->name,
                                                source->dir, variant, NULL, instrument, faults);
    if (!status)
        status = poise_weigh(*instrument, NULL, &weighing, faults);
    poise_weighing_free(weighing);
    return status;
}

static bool is_listed(const PoiseFault *fault, const PoiseFaults *faults)
{
    for (size_t i = 0; i < poise_faults_count(faults); i++) {
        const PoiseFault *other = poise_faults_get(faults, i);
        if (poise_text_order(fault->file, other->file) == 0 &&
            poise_text_order(fault->pointer, other->pointer) == 0 &&
            poise_text_order(fault->found, other->found) == 0 &&
            poise_text_order(fault->expected, other->expected) == 0)
            return true;
    }
    return false;
}

/* Adds the faults of a variant that the file does not have without it. One whose place is not the
 * variant's own says which variant brings it about. */
static void add_new(const PoiseFaults *own, const char *variant, PoiseFaults *faults)
{
    static const char start[] = "/variants/";
    char *with = poise_format("with the variant \"%s\"", variant);
    for (size_t i = 0; i < poise_faults_count(own) && with; i++) {
        PoiseFault fault = *poise_faults_get(own, i);
        if (fault.status == POISE_E_MEMORY)
            poise_fault_memory(faults);
        if (fault.status == POISE_E_MEMORY || is_listed(&fault, faults))
            continue;
        bool placed = fault.pointer && strncmp(fault.pointer, start, sizeof start - 1) == 0;
        char *hint = fault.hint ? poise_format("%s; %s", with, fault.hint) : poise_copy_text(with);
        if (!hint)
            poise_fault_memory(faults);
        fault.hint = placed ? fault.hint : hint;
        poise_fault_add(faults, &fault);
        poise_release(hint);
    }
    if (!with)
        poise_fault_memory(faults);
    poise_release(with);
}

/* A variant that changes nothing is a fault too: it cannot be compared with the file. */
static PoiseStatus check_variant(const Source *source, const PoiseDocument *document,
                                 const char *variant, PoiseFaults *faults)
{
    PoiseInstrument *changed = NULL;
    PoiseStatus status = poise_variant_refuse_idle(document, variant, faults);
    if (!status)
        status = check_one(source, variant, &changed, faults);
    poise_instrument_free(changed);
    return status;
}

/* The file as it stands, then each of its variants; every one is tried, so that one pass shows all
 * faults. What reading alone finds wrong in the variants is found with the file. */
static void check_all(const Source *source, PoiseFaults *faults)
{
    PoiseInstrument *base = NULL;
    PoiseDocument *document = NULL;
    check_one(source, NULL, &base, faults);
    if (base)
        poise_document_parse(source->text, source->size, source->name, &document, faults);
    for (size_t i = 0; document && i < base->variant_count; i++) {
        PoiseFaults *own = poise_faults_new();
        if (own && check_variant(source, document, base->variants[i], own))
            add_new(own, base->variants[i], faults);
        if (!own)
            poise_fault_memory(faults);
        poise_faults_free(own);
    }
    poise_document_free(document);
    poise_instrument_free(base);
}

static void check_the_one(const Source *source, const char *variant, PoiseFaults *faults)
{
    PoiseDocument *document = NULL;
    PoiseInstrument *instrument = NULL;
    PoiseStatus status = check_one(source, variant, &instrument, faults);
    if (!status)
        status = poise_document_parse(source->text, source->size, source->name, &document, faults);
    if (!status)
        poise_variant_refuse_idle(document, variant, faults);
    poise_document_free(document);
    poise_instrument_free(instrument);
}

static int say(const char *path, const PoiseFaults *faults)
{
    PoiseStatus status = poise_faults_status(faults);
    if (status) {
        size_t n = poise_faults_total(faults);
        int code = poise_report_faults(faults, status);
        fprintf(stderr, "%zu %s\n", n, n == 1 ? "fault" : "faults");
        return code;
    }
    PoiseText text = {0};
    poise_text_append_inert(&text, path);
    poise_text_append(&text, ": no faults\n");
    return poise_put_result(poise_text_take(&text));
}

static int run(const PoiseArguments *a)
{
    PoiseFaults *faults = poise_faults_new();
    if (!faults)
        return poise_report_faults(NULL, POISE_E_MEMORY);
    const char *variant = poise_option_value(a, "variant");
    Source source = {0};
    PoiseStatus status = open_source(a->operands[0], &source, faults);
    if (!status && variant)
        check_the_one(&source, variant, faults);
    else if (!status)
        check_all(&source, faults);
    int code = say(a->operands[0], faults);
    poise_release(source.text);
    poise_release(source.dir);
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_CHECK = {
    .name = "check",
    .operands = "FILE",
    .summary = "say all that is wrong with a file, nothing else",
    .details = "Reads the file and everything it names (parts, materials, meshes) and reports\n"
               "every fault with its place; then the same for each variant, which has to change\n"
               "something. Prints one line and exits with 0 when there is none.",
    .least = 1,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
