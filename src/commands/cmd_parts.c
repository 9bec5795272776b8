/* Searching the component library. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/near.h"
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

enum { MOST_FAMILIES = 256 };

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

static bool among(const char *word, const char *const *names, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(word, names[i]) == 0)
            return true;
    return false;
}

/* The families, each once; returns how many. */
static size_t families_of(const PoiseListing *listing, const char *names[MOST_FAMILIES])
{
    size_t n = 0;
    for (size_t i = 0; i < listing->count; i++)
        if (n < MOST_FAMILIES && !among(listing->entries[i].family, names, n))
            names[n++] = listing->entries[i].family;
    return n;
}

/* Says that an option's value is none of the known names, and `more`. */
static int unknown_name(const PoiseArguments *a, const char *option, const char *word,
                        const char *const *names, size_t n, const char *more)
{
    PoiseNear near = poise_near_names(word, names, n);
    PoiseText inert = {0};
    char *hint = NULL;
    poise_text_append_inert(&inert, word);
    const char *shown = inert.data ? inert.data : "";
    int code = poise_near_hint(&near, &hint)
                   ? poise_usage_error(a->command, "there is no %s \"%s\"; %s", option, shown,
                                       hint ? hint : more)
                   : poise_report_faults(NULL, POISE_E_MEMORY);
    poise_release(hint);
    poise_text_clear(&inert);
    return code;
}

/* Says that --kind is none of the kinds; many take a family for one. */
static int unknown_kind(const PoiseArguments *a, const PoiseListing *listing, const char *word,
                        const char *const *kinds)
{
    const char *families[MOST_FAMILIES];
    size_t n = families_of(listing, families);
    if (among(word, families, n))
        return poise_usage_error(a->command, "there is no kind \"%s\"; it is a family: --family %s",
                                 word, word);
    return unknown_name(a, "kind", word, kinds, POISE_LISTED_KINDS,
                        "it is one of part, neck, strings, material");
}

/* Reads --kind into the query; 0, or the exit code after a message. */
static int take_kind(const PoiseArguments *a, const PoiseListing *listing, PoisePartsQuery *query)
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
    return query->kind < 0 ? unknown_kind(a, listing, word, names) : 0;
}

/* Reads --family into the query; 0, or the exit code after a message. */
static int take_family(const PoiseArguments *a, const PoiseListing *listing, PoisePartsQuery *query)
{
    const char *word = poise_option_value(a, "family");
    const char *names[MOST_FAMILIES];
    if (!word)
        return 0;
    size_t n = families_of(listing, names);
    for (size_t i = 0; i < n; i++)
        if (strcmp(word, names[i]) == 0)
            query->family = names[i];
    return query->family
               ? 0
               : unknown_name(a, "family", word, names, n, "\"poise parts\" lists the families");
}

/* "of the family "tuners" and the kind "material" ", as far as they are asked for. */
static void append_limits(PoiseText *t, const PoiseArguments *a)
{
    const char *family = poise_option_value(a, "family"), *kind = poise_option_value(a, "kind");
    if (family)
        poise_text_printf(t, "of the family \"%s\" ", family);
    if (kind)
        poise_text_printf(t, "%sof the kind \"%s\" ", family ? "and " : "", kind);
}

/* Nothing found: what each word finds by itself. */
static char *say_nothing(const PoiseArguments *a, const PoiseListing *listing)
{
    PoiseText t = {0};
    poise_text_append(&t, "Nothing ");
    append_limits(&t, a);
    if (a->operand_count == 0)
        poise_text_append(&t, "is in the library.\n");
    else
        poise_text_append(&t, a->operand_count > 1
                                  ? "in the library has all of these words, or nearly.\n"
                                  : "in the library has this word, or nearly.\n");
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

/* An id in full, "pickup-single", is one word; when nothing has it, its own words are looked for.
 * POISE_E_MEMORY at worst. */
static PoiseStatus search_pieces(PoiseListing *listing, const PoisePartsQuery *query)
{
    enum { MOST_PIECES = 16 };
    const char *pieces[MOST_PIECES];
    PoisePartsQuery split = *query;
    PoiseText text = {0};
    for (size_t i = 0; i < query->word_count; i++)
        poise_near_append_words(&text, query->words[i]);
    char *rest = poise_text_take(&text);
    if (!rest)
        return POISE_E_MEMORY;
    split.words = pieces;
    split.word_count = 0;
    for (char *c = rest; *c && split.word_count < MOST_PIECES; c++)
        if (*c == ' ') {
            *c = '\0';
            pieces[split.word_count++] = c + 1;
        }
    if (split.word_count > query->word_count)
        poise_listing_search(listing, &split);
    poise_release(rest);
    return POISE_OK;
}

static int search(const PoiseArguments *a, PoiseListing *listing)
{
    PoisePartsQuery query = {.word_count = a->operand_count, .words = a->operands, .kind = -1};
    int code = take_kind(a, listing, &query);
    if (!code)
        code = take_family(a, listing, &query);
    if (code)
        return code;
    poise_listing_search(listing, &query);
    if (listing->match == POISE_MATCH_NONE && search_pieces(listing, &query))
        return poise_report_faults(NULL, POISE_E_MEMORY);
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
