#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "output/parts_list.h"

enum { NO_MATCH = 1 << 20, LONGEST_TOKEN = 64 };

/* What people of the trade say, and the word that the library has for it. */
static const char *const OTHER_WORDS[][2] = {
    {"tremolo", "vibrato"},      {"humbucker", "dual"},
    {"potentiometer", "pot"},    {"pots", "pot"},
    {"volume", "pot"},           {"pickguard", "scratchplate"},
    {"uke", "ukulele"},          {"filament", "plastic"},
    {"bolts", "screw"},          {"cyanoacrylate", "superglue"},
    {"machine-heads", "tuners"}, {"button", "post"},
    {"buttons", "post"},         {"timber", "wood"}};

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* A letter or digit; a byte beyond ASCII is part of some letter. */
static bool in_word(char c)
{
    char l = lower(c);
    return (l >= 'a' && l <= 'z') || (c >= '0' && c <= '9') || (unsigned char)c >= 0x80;
}

static bool starts_with(const char *text, const char *word)
{
    while (*word && lower(*text) == lower(*word)) {
        text++;
        word++;
    }
    return *word == '\0';
}

/* Does the text hold the word, at the start of one of its own words or, if `anywhere`, inside? */
static bool holds(const char *text, const char *word, bool anywhere)
{
    for (const char *s = text; *s; s++)
        if ((anywhere || s == text || !in_word(s[-1])) && starts_with(s, word))
            return true;
    return false;
}

static bool entry_holds(const PoiseListed *e, const char *word, bool anywhere)
{
    return holds(e->id, word, anywhere) || holds(e->name, word, anywhere) ||
           holds(e->family, word, anywhere);
}

static const char *other_word(const char *word)
{
    for (size_t i = 0; i < sizeof OTHER_WORDS / sizeof *OTHER_WORDS; i++)
        if (strlen(word) == strlen(OTHER_WORDS[i][0]) && starts_with(OTHER_WORDS[i][0], word))
            return OTHER_WORDS[i][1];
    return word;
}

/* The least edit distance from the word to a word of the text, whole or cut to the same length;
 * NO_MATCH when none is near enough to be a slip. */
static size_t near_in(const char *text, const char *word)
{
    size_t n = strlen(word), best = NO_MATCH;
    size_t most = n < 3 ? 0 : n < 7 ? 1 : n < 11 ? 2 : 3;
    for (const char *s = text; *s;) {
        size_t length = 0;
        while (in_word(s[length]))
            length++;
        if (length && length < LONGEST_TOKEN) {
            char token[LONGEST_TOKEN];
            memcpy(token, s, length);
            token[length] = '\0';
            size_t whole = poise_edit_distance(token, word);
            if (length > n)
                token[n] = '\0';
            size_t cut = poise_edit_distance(token, word);
            size_t distance = cut < whole ? cut : whole;
            best = distance <= most && distance < best ? distance : best;
        }
        s += length ? length : 1;
    }
    return best;
}

/* The word itself, or the library's own for it, at the start of a word of the entry. */
static bool entry_has(const PoiseListed *e, const char *word)
{
    return entry_holds(e, word, false) || entry_holds(e, other_word(word), false);
}

static size_t entry_distance(const PoiseListed *e, const char *word)
{
    if (entry_holds(e, word, true))
        return 0;
    size_t best = near_in(e->id, word), other = near_in(e->name, word);
    best = other < best ? other : best;
    other = near_in(e->family, word);
    return other < best ? other : best;
}

/* How far the entry is from the query in this manner of matching. */
static size_t distance_of(const PoiseListed *e, const PoisePartsQuery *q, PoiseMatch match)
{
    size_t sum = 0;
    for (size_t i = 0; i < q->word_count && sum < NO_MATCH; i++) {
        const char *word = q->words[i];
        if (match == POISE_MATCH_NEAR)
            sum += entry_distance(e, word);
        else if (match != POISE_MATCH_ALL)
            sum += entry_has(e, word) || (match == POISE_MATCH_PARTS && entry_holds(e, word, true))
                       ? 0
                       : NO_MATCH;
    }
    return sum < NO_MATCH ? sum : NO_MATCH;
}

static bool wanted(const PoiseListed *e, const PoisePartsQuery *q)
{
    if (q->kind >= 0 && (int)e->kind != q->kind)
        return false;
    return !q->family || strcmp(e->family, q->family) == 0;
}

static int in_shown_order(const void *a, const void *b)
{
    const PoiseListed *x = a, *y = b;
    if (x->kind != y->kind)
        return x->kind < y->kind ? -1 : 1;
    int family = strcmp(x->family, y->family);
    if (family)
        return family;
    if (x->distance != y->distance)
        return x->distance < y->distance ? -1 : 1;
    return strcmp(x->id, y->id);
}

static size_t nearest(const PoiseListing *l, const PoisePartsQuery *q, PoiseMatch match)
{
    size_t best = NO_MATCH;
    for (size_t i = 0; i < l->count; i++) {
        size_t distance = distance_of(&l->entries[i], q, match);
        best = distance < best ? distance : best;
    }
    return best;
}

/* Keeps the entries at this distance. */
static void keep(PoiseListing *l, const PoisePartsQuery *q, PoiseMatch match, size_t distance)
{
    size_t kept = 0;
    for (size_t i = 0; i < l->count; i++) {
        PoiseListed e = l->entries[i];
        e.distance = distance_of(&e, q, match);
        e.exact = q->word_count == 1 && strlen(q->words[0]) == strlen(e.id) &&
                  starts_with(e.id, q->words[0]);
        if (e.distance == distance)
            l->entries[kept++] = e;
    }
    l->count = kept;
}

void poise_listing_search(PoiseListing *l, const PoisePartsQuery *q)
{
    size_t kept = 0;
    for (size_t i = 0; i < l->count; i++)
        if (wanted(&l->entries[i], q))
            l->entries[kept++] = l->entries[i];
    l->count = kept;
    PoiseMatch match = q->word_count ? POISE_MATCH_WORDS : POISE_MATCH_ALL;
    size_t distance = NO_MATCH;
    for (; match < POISE_MATCH_NONE; match++) {
        distance = nearest(l, q, match);
        if (distance < NO_MATCH)
            break;
    }
    l->match = match;
    if (match == POISE_MATCH_NONE)
        return; /* the entries stay: what each word finds by itself is told from them */
    keep(l, q, match, distance);
    if (l->count)
        qsort(l->entries, l->count, sizeof *l->entries, in_shown_order);
}

size_t poise_listing_hits(const PoiseListing *l, const char *word)
{
    size_t n = 0;
    for (size_t i = 0; i < l->count; i++)
        n += entry_has(&l->entries[i], word) || entry_holds(&l->entries[i], word, true);
    return n;
}
