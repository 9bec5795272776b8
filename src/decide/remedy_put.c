/* A choice in words and as a merge patch. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "decide/remedy_choice.h"
#include "decide/remedy_place.h"
#include "output/words.h"

static bool one_of(const char *word, size_t n, const char *const *list, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strlen(list[i]) == n && strncmp(word, list[i], n) == 0)
            return true;
    return false;
}

/* Does a word of an id say what a thing fits, rather than what it is made like? */
static bool says_fit(const char *word, size_t n, const char *family)
{
    static const char *const instruments[] = {"bass",  "guitar", "ukulele", "mandolin",
                                              "tenor", "lap",    "inline",  "headless"};
    static const char *const forms[] = {"neck",  "single",  "double", "dual",   "piezo",
                                        "split", "soapbar", "mini",   "locking"};
    /* Tuners of any make go into the same holes. */
    bool any_form = strcmp(family, "tuners") == 0;
    /* Sizes of a housing ("24mm") matter less than what it is. */
    bool size = n > 2 && strncmp(word + n - 2, "mm", 2) == 0;
    for (size_t i = 0; i < n && !size; i++)
        if (isdigit((unsigned char)word[i]))
            return true;
    return one_of(word, n, instruments, sizeof instruments / sizeof *instruments) ||
           (!any_form && one_of(word, n, forms, sizeof forms / sizeof *forms));
}

static bool has_word(const char *id, const char *word, size_t n)
{
    for (const char *c = id; *c; c += *c == '-') {
        size_t m = strcspn(c, "-");
        if (m == n && strncmp(c, word, n) == 0)
            return true;
        c += m;
    }
    return false;
}

/* Every word of a that says what it fits stands in b too. */
static bool fits_within(const char *a, const char *b, const char *family)
{
    for (const char *c = a; *c; c += *c == '-') {
        size_t n = strcspn(c, "-");
        if (says_fit(c, n, family) && !has_word(b, c, n))
            return false;
        c += n;
    }
    return true;
}

/* "tuners" and "pegs" do the same work; otherwise the first word is what a thing is. */
static bool same_thing(const char *a, const char *b)
{
    static const char *const same[] = {"tuners", "pegs"};
    size_t n = strcspn(a, "-"), m = strcspn(b, "-");
    if (n == m && strncmp(a, b, n) == 0)
        return true;
    return one_of(a, n, same, sizeof same / sizeof *same) &&
           one_of(b, m, same, sizeof same / sizeof *same);
}

/* What holds an instrument together is chosen by what it joins, a strap post by its fellow and the
 * strap: no levers of balance. */
static bool joins(const char *family)
{
    static const char *const families[] = {"adhesives", "dowels", "ferrules", "nuts-and-screws",
                                           "posts"};
    for (size_t i = 0; i < sizeof families / sizeof *families; i++)
        if (strcmp(family, families[i]) == 0)
            return true;
    return false;
}

bool poise_part_fits(const PoisePart *part, const PoisePart *other)
{
    return strcmp(part->family, other->family) == 0 && !joins(part->family) &&
           same_thing(part->id, other->id) && fits_within(part->id, other->id, part->family) &&
           fits_within(other->id, part->id, part->family);
}

static void say_print(const PoiseItem *item, const PoiseChoice *o, double x, PoiseText *text)
{
    double infill = poise_infill_of_share(x), now = item->as.printed.infill.value;
    bool filled = fabs(infill - now) > 5e-4; /* less does not show at a tenth of a percent */
    poise_text_printf(text, "%s: ", item->id);
    if (filled)
        poise_text_printf(text, "infill %g %% instead of %g %%", round(infill * 1000.0) / 10.0,
                          round(now * 1000.0) / 10.0);
    if (o->perimeters != item->as.printed.perimeters)
        poise_text_printf(text, "%s%d perimeters instead of %d", filled ? ", " : "", o->perimeters,
                          item->as.printed.perimeters);
}

/* All of it there, not what is added. */
static void say_ballast(const PoiseItem *item, double grams, double now, PoiseText *text)
{
    poise_text_printf(text, "%s: ", item->id);
    if (grams > 0.0)
        poise_words_mass(text, grams);
    poise_text_append(text, grams > 0.0 ? " of ballast" : "no ballast");
    if (!(now > 0.0))
        return;
    poise_text_append(text, " instead of ");
    poise_words_mass(text, now);
}

void poise_choice_say(const PoiseRemedyTask *t, const PoiseChoices *c, size_t g,
                      const PoisePick *pick, PoiseText *text)
{
    const PoiseChoice *o = &c->list[pick->choice];
    if (c->groups[g].kind == POISE_CHOOSE_PLACE) {
        poise_words_mass(text, pick->x);
        poise_text_append(text, " of ballast inside the body, at ");
        poise_point_say(text, o->at_mm);
        return;
    }
    const PoiseItem *item = &t->instrument->items[c->groups[g].item];
    switch (c->groups[g].kind) {
    case POISE_CHOOSE_BALLAST:
        say_ballast(item, pick->x, poise_task_item(t, c->groups[g].item).mass_g, text);
        return;
    case POISE_CHOOSE_SWAP:
        poise_text_printf(text, "%s: %s instead of %s", item->id, o->part->id, item->part->id);
        return;
    default:
        say_print(item, o, pick->x, text);
        return;
    }
}

static void patch_print(PoiseRemedyTask *t, PoiseRemedy *r, const PoiseItem *item,
                        const PoiseChoice *o, double x)
{
    double percent = round(poise_infill_of_share(x) * 1e6) / 1e4;
    char number[32];
    poise_double_text(percent, number);
    char *infill = poise_format("%s %%", number);
    if (fabs(percent / 100.0 - item->as.printed.infill.value) > 1e-9)
        poise_task_patch(t, r, item->id, "print", "infill",
                         infill ? cJSON_CreateString(infill) : NULL);
    if (o->perimeters != item->as.printed.perimeters)
        poise_task_patch(t, r, item->id, "print", "perimeters", cJSON_CreateNumber(o->perimeters));
    poise_release(infill);
}

void poise_choice_put(PoiseRemedyTask *t, PoiseRemedy *r, const PoiseChoices *c, size_t g,
                      const PoisePick *pick)
{
    const PoiseChoice *o = &c->list[pick->choice];
    PoiseText step = {0};
    poise_choice_say(t, c, g, pick, &step);
    poise_task_step(t, r, &step);
    if (c->groups[g].kind == POISE_CHOOSE_PLACE) {
        poise_place_put(t, r, o->at_mm, pick->x);
        return;
    }
    const PoiseItem *item = &t->instrument->items[c->groups[g].item];
    switch (c->groups[g].kind) {
    case POISE_CHOOSE_BALLAST:
        poise_task_patch(t, r, item->id, "mass", NULL, cJSON_CreateNumber(pick->x / item->count));
        return;
    case POISE_CHOOSE_SWAP:
        poise_task_patch(t, r, item->id, "part", NULL, cJSON_CreateString(o->part->id));
        if (item->has_price) /* it was the other part's */
            poise_task_patch(t, r, item->id, "price", NULL, cJSON_CreateNull());
        return;
    default:
        patch_print(t, r, item, o, pick->x);
        return;
    }
}
