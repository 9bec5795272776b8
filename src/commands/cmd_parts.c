/* Searching the component library. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/text.h"
#include "commands/command.h"
#include "input/library.h"
#include "output/parts_list.h"
#include "poise/poise.h"

static const PoiseOption OPTIONS[] = {
    {"family", 'f', "FAMILY", false, "only this family, such as tuners, posts or wood"},
    {"kind", 'k', "KIND", false, "only part, neck, strings or material"},
    {"long", 'l', NULL, false, "all that is known of each, with its source"},
    {"json", 0, NULL, false, "results as JSON"},
    {0},
};

/* The library as it is loaded; the listing points into it. */
typedef struct Shelf {
    PoiseLibrary *library;
    PoisePresets presets;
    PoiseListing listing;
} Shelf;

static PoiseStatus add_presets(Shelf *shelf, PoiseFaults *faults)
{
    for (size_t i = 0; i < shelf->presets.count; i++) {
        const PoisePreset *p = &shelf->presets.list[i];
        const PoiseListed entry = {.kind = p->kind == POISE_ITEM_NECK ? POISE_LISTED_NECK
                                                                      : POISE_LISTED_STRINGS,
                                   .id = p->id,
                                   .name = p->name,
                                   .family = p->family,
                                   .source = p->source,
                                   .settings = p->value,
                                   .mass_g = (double)NAN,
                                   .mass_u_g = (double)NAN};
        if (poise_listing_add(&shelf->listing, &entry))
            return poise_fault_memory(faults);
    }
    return POISE_OK;
}

static PoiseStatus load(Shelf *shelf, PoiseFaults *faults)
{
    char *dir = poise_components_dir();
    if (!dir)
        return poise_fault_say(faults, POISE_E_IO, NULL,
                               "no component library found; set POISE_COMPONENTS to its directory");
    PoiseStatus status = poise_library_read(dir, &shelf->library, &shelf->presets, faults);
    poise_string_free(dir);
    if (!status)
        status = poise_listing_fill(&shelf->listing, shelf->library, faults);
    return status ? status : add_presets(shelf, faults);
}

static void unload(Shelf *shelf)
{
    poise_listing_clear(&shelf->listing);
    poise_presets_clear(&shelf->presets);
    poise_library_free(shelf->library);
}

/* Says that an option's value is none of the known names. */
static int unknown_name(const PoiseArguments *a, const char *option, const char *word,
                        const char *const *names, size_t n)
{
    const char *near = poise_nearest(word, names, n);
    PoiseText inert = {0};
    poise_text_append_inert(&inert, word);
    const char *shown = inert.data ? inert.data : "";
    int code = near ? poise_usage_error(a->command, "there is no %s \"%s\"; did you mean \"%s\"?",
                                        option, shown, near)
                    : poise_usage_error(a->command, "there is no %s \"%s\"", option, shown);
    poise_text_clear(&inert);
    return code;
}

/* Reads --kind into the query; 0, or the exit code after a message. */
static int take_kind(const PoiseArguments *a, PoisePartsQuery *query)
{
    const char *word = poise_option_value(a, "kind");
    const char *names[POISE_LISTED_KINDS];
    if (!word)
        return 0;
    for (int k = 0; k < POISE_LISTED_KINDS; k++) {
        names[k] = poise_listed_kind_name((PoiseListedKind)k);
        if (strcmp(word, names[k]) == 0)
            query->kind = k;
    }
    return query->kind < 0 ? unknown_name(a, "kind", word, names, POISE_LISTED_KINDS) : 0;
}

static bool among(const char *word, const char *const *names, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(word, names[i]) == 0)
            return true;
    return false;
}

/* Reads --family into the query; 0, or the exit code after a message. */
static int take_family(const PoiseArguments *a, const PoiseListing *listing, PoisePartsQuery *query)
{
    enum { MOST_FAMILIES = 256 };
    const char *word = poise_option_value(a, "family");
    const char *names[MOST_FAMILIES];
    size_t n = 0;
    for (size_t i = 0; word && i < listing->count; i++) {
        const char *family = listing->entries[i].family;
        if (strcmp(word, family) == 0)
            query->family = family;
        if (n < MOST_FAMILIES && !among(family, names, n))
            names[n++] = family;
    }
    return word && !query->family ? unknown_name(a, "family", word, names, n) : 0;
}

/* Nothing found: what each word finds by itself. */
static char *say_nothing(const PoiseArguments *a, const PoiseListing *listing)
{
    PoiseText t = {0};
    poise_text_append(&t, "Nothing in the library has ");
    poise_text_append(&t, a->operand_count > 1 ? "all of these words, or nearly.\n"
                                               : "this word, or nearly.\n");
    for (size_t i = 0; a->operand_count > 1 && i < a->operand_count; i++) {
        poise_text_append(&t, "  \"");
        poise_text_append_inert(&t, a->operands[i]);
        poise_text_printf(&t, "\" alone finds %zu\n", poise_listing_hits(listing, a->operands[i]));
    }
    poise_text_append(&t,
                      "\"poise parts\" shows the families. What is not there can go into a file "
                      "as\n{\"kind\": \"mass\", \"mass\": \"25 g ± 2 g\", \"at\": [x, y, z]}.\n");
    return poise_text_take(&t);
}

static char *format_result(const PoiseArguments *a, const PoiseListing *listing, bool asked)
{
    if (poise_has_option(a, "json"))
        return poise_parts_json(listing);
    if (listing->match == POISE_MATCH_NONE)
        return say_nothing(a, listing);
    bool in_full = poise_has_option(a, "long");
    return asked || in_full ? poise_parts_text(listing, in_full) : poise_parts_overview(listing);
}

static int search(const PoiseArguments *a, PoiseListing *listing)
{
    PoisePartsQuery query = {.word_count = a->operand_count, .words = a->operands, .kind = -1};
    int code = take_kind(a, &query);
    if (!code)
        code = take_family(a, listing, &query);
    if (code)
        return code;
    poise_listing_search(listing, &query);
    bool asked = query.word_count || query.family || query.kind >= 0;
    return poise_put_result(format_result(a, listing, asked));
}

static int run(const PoiseArguments *a)
{
    Shelf shelf = {0};
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = faults ? load(&shelf, faults) : POISE_E_MEMORY;
    int code = status ? poise_report_faults(faults, status) : search(a, &shelf.listing);
    unload(&shelf);
    poise_faults_free(faults);
    return code;
}

const PoiseCommand POISE_COMMAND_PARTS = {
    .name = "parts",
    .operands = "[WORD...]",
    .summary = "search the component library and the materials",
    .details = "Shows what has all the WORDs in its name, its title or its family, letter case\n"
               "aside; when nothing has, what comes nearest. Without a WORD, the families.\n"
               "One alone is shown in full. Masses are with one standard uncertainty (±).",
    .least = 0,
    .most = POISE_MOST_ARGUMENTS,
    .options = OPTIONS,
    .run = run,
};
