#include "input/schema_pattern.h"

#include <string.h>

#include "input/units.h"

/* The reader turns odd spaces, signs, primes, superscripts and vulgar fractions into ASCII; here
 * they have to be named. White space in a pattern is all of Unicode's. */
#define GAP        "\\s*"
#define DECIMAL    "(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)(?:[eE][-+−]?[0-9]+)?"
#define VULGAR     "[¼½¾]"
#define NUMBER     "(?:" DECIMAL "(?:/[0-9]+|\\s+[0-9]+/[0-9]+)?(?:" GAP VULGAR ")?|" GAP VULGAR ")"
#define PLUS_MINUS "(?:±|\\+/-)"

/* Other ways to write a byte sequence of a unit's name. */
static const char *const SPELLED[][2] = {{"\xC2\xB0", "[°º]"}, {"\"", "[\"″]"}, {"'", "['′]"},
                                         {"2", "[2²]"},        {"3", "[3³]"},   {"^", "\\^"},
                                         {".", "\\."},         {" ", "\\s"},    {"um", "[uµμ]m"}};

static void add_unit(PoiseText *t, const char *unit)
{
    while (*unit) {
        size_t i = 0, count = sizeof SPELLED / sizeof *SPELLED;
        while (i < count && strncmp(unit, SPELLED[i][0], strlen(SPELLED[i][0])) != 0)
            i++;
        if (i < count)
            poise_text_append(t, SPELLED[i][1]);
        else
            poise_text_append_n(t, unit, 1);
        unit += i < count ? strlen(SPELLED[i][0]) : 1;
    }
}

/* "(?:mm|cm|…)"; false for a kind without units. */
static bool add_units(PoiseText *t, PoiseUnitKind kind)
{
    PoiseUnitKind written = kind == POISE_UNIT_PERCENT ? POISE_UNIT_RATIO : kind;
    bool any = false;
    for (size_t i = 0; poise_unit_number(i); i++) {
        if (poise_unit_number(i)->kind != written)
            continue;
        poise_text_append(t, any ? "|" : "(?:");
        add_unit(t, poise_unit_number(i)->name);
        any = true;
    }
    poise_text_append(t, any ? ")" : "");
    return any;
}

/* A number with its unit, or several: "7 lb 5 oz". After ± a percentage may stand too. */
static void add_side(PoiseText *t, PoiseUnitKind kind, bool after_doubt)
{
    PoiseText units = {0};
    bool any = add_units(&units, kind);
    poise_text_append(t, NUMBER);
    if (any && units.data)
        poise_text_printf(t, "(?:" GAP "%s(?:" GAP NUMBER GAP "%s)*%s)?", units.data, units.data,
                          after_doubt ? "|" GAP "%" : "");
    else if (after_doubt)
        poise_text_append(t, "(?:" GAP "%)?");
    t->failed = t->failed || units.failed;
    poise_text_clear(&units);
}

void poise_schema_pattern(PoiseText *t, PoiseUnitKind kind, PoiseSchemaText form)
{
    poise_text_append(t, "^" GAP "(?:[-+−]" GAP ")?");
    add_side(t, kind, false);
    poise_text_append(t, "(?:" GAP PLUS_MINUS GAP);
    if (form == POISE_TEXT_EXACT)
        poise_text_append(t, "(?=0[0.]*(?:[^0-9.]|$))");
    add_side(t, kind, true);
    poise_text_append(t, form == POISE_TEXT_GAUGE ? ")?" GAP "(?: wound)?$" : ")?" GAP "$");
}
