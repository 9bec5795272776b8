/* Cautions (where the work can hurt someone) and warnings (where the number may mislead). */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "weigh/weigh_parts.h"

/* Solid bodies commonly weigh 2.7 to 4.1 kg (common practice, no source); above that a shoulder
 * notices. */
static const double HEAVY_G = 4100.0;
/* A weighed mass further from its estimate than this many standard uncertainties deserves a second
 * look: about 1 in 400 by chance. */
static const double SURPRISING_SIGMAS = 3.0;

/* Triggers that are not a material's or a part's hazard. */
enum { TENSION = 1 << 16, HEAVY = 1 << 17, BALLAST = 1 << 18 };

static const struct {
    unsigned trigger;
    const char *text;
} CAUTIONS[] = {
    {POISE_HAZARD_RESIN, "Resin: uncured parts irritate skin and lungs and can sensitise for life, "
                         "and a deep pour can heat until it "
                         "smokes. Gloves, eye protection, fresh air; pour no deeper than the "
                         "product allows and let it cure fully "
                         "before sanding. The product's safety sheet decides."},
    {POISE_HAZARD_SOLVENT_CEMENT, "Solvent cement: its vapour is harmful and burns. Work outdoors "
                                  "or with extraction, away from flames and "
                                  "sparks, with gloves that the safety sheet names; follow local "
                                  "rules for storing and disposing of it."},
    {POISE_HAZARD_SUPERGLUE,
     "Superglue: bonds skin and eyes within seconds and its fumes sting. Wear eye protection, keep "
     "the air moving, "
     "do not wipe it with cotton (it heats up); follow the product's safety sheet."},
    {POISE_HAZARD_LEAD, "Lead: poisonous if its dust or traces are swallowed or breathed in. Do "
                        "not file, sand or melt it; wear gloves, "
                        "wash hands, seal it in where no one can touch it, keep it from children. "
                        "Check local rules; brass, steel or "
                        "tungsten putty do the same job."},
    {POISE_HAZARD_DUST,
     "Dust: sanding wood, plastic or cured resin makes dust that harms lungs. Extract it at the "
     "tool, wear a fitted "
     "respirator of the class the material's safety sheet names, and keep it from collecting."},
    {TENSION, "String tension: a set of strings pulls with tens of kilograms-force. Wear eye "
              "protection when tuning up or "
              "cutting strings, and prove joints, neck screws and bridge on the finished body step "
              "by step; this program "
              "estimates weight and balance, not strength."},
    {BALLAST,
     "Ballast: fix it so that it cannot come loose when the instrument is swung or dropped."},
    {HEAVY, "Heavy: this instrument is above what solid bodies commonly weigh (2.7 to 4.1 kg; "
            "common practice, no source). "
            "A long time under it can hurt shoulder and back: use a wide strap, take breaks, and "
            "ask a doctor or "
            "physiotherapist if it hurts."},
};

static PoiseStatus append(char ***list, size_t *count, const char *sentence)
{
    char **larger = poise_resize(*list, *count + 1, sizeof *larger);
    if (!larger)
        return POISE_E_MEMORY;
    *list = larger;
    larger[*count] = poise_copy_text(sentence);
    if (!larger[*count])
        return POISE_E_MEMORY;
    ++*count;
    return POISE_OK;
}

PoiseStatus poise_weigh_caution(PoiseWeighing *w, const char *sentence)
{
    return append(&w->cautions, &w->caution_count, sentence);
}

PoiseStatus poise_weigh_warning(PoiseWeighing *w, const char *sentence)
{
    return append(&w->warnings, &w->warning_count, sentence);
}

/* Is `word` in `text` as a word of its own ("lead-shot", "Lead tail"), not inside another
 * ("leader")? */
static bool has_word(const char *text, const char *word)
{
    size_t n = strlen(word);
    for (const char *s = text; s && *s; s++) {
        size_t i = 0;
        while (i < n && s[i] && tolower((unsigned char)s[i]) == word[i])
            i++;
        bool starts = s == text || !isalpha((unsigned char)s[-1]);
        if (i == n && starts && !isalpha((unsigned char)s[n]))
            return true;
    }
    return false;
}

static unsigned mass_triggers(const PoiseItem *item)
{
    unsigned t = item->as.mass.ballast && item->as.mass.mass_g.value > 0.0 ? (unsigned)BALLAST : 0U;
    /* A plain mass has no material: its name is all there is to go by. */
    if (has_word(item->id, "lead") || has_word(item->note, "lead"))
        t |= POISE_HAZARD_LEAD;
    return t;
}

static unsigned item_triggers(const PoiseItem *item)
{
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        return item->as.printed.material->hazards | POISE_HAZARD_DUST;
    case POISE_ITEM_POURED:
        return item->as.poured.material->hazards | POISE_HAZARD_RESIN | POISE_HAZARD_DUST;
    case POISE_ITEM_SOLID:
        return item->as.solid.material->hazards | POISE_HAZARD_DUST;
    case POISE_ITEM_NECK:
        return item->as.neck.shaft->hazards | POISE_HAZARD_DUST;
    case POISE_ITEM_STRINGS:
        return TENSION;
    case POISE_ITEM_PART:
        return item->part->hazards | (item->part->material ? item->part->material->hazards : 0U);
    case POISE_ITEM_MASS:
        return mass_triggers(item);
    }
    return 0U;
}

static PoiseStatus add_cautions(const PoiseInstrument *in, PoiseWeighing *w)
{
    unsigned triggers = w->total.mass_g > HEAVY_G ? (unsigned)HEAVY : 0U;
    for (size_t i = 0; i < in->item_count; i++)
        triggers |= item_triggers(&in->items[i]);
    for (size_t i = 0; i < sizeof CAUTIONS / sizeof *CAUTIONS; i++)
        if (triggers & CAUTIONS[i].trigger) {
            PoiseStatus status = poise_weigh_caution(w, CAUTIONS[i].text);
            if (status)
                return status;
        }
    return POISE_OK;
}

static PoiseStatus warn(PoiseWeighing *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static PoiseStatus warn(PoiseWeighing *w, const char *format, ...)
{
    PoiseText text = {0};
    va_list arguments;
    va_start(arguments, format);
    poise_text_vprintf(&text, format, arguments);
    va_end(arguments);
    char *sentence = poise_text_take(&text);
    PoiseStatus status = sentence ? poise_weigh_warning(w, sentence) : POISE_E_MEMORY;
    poise_release(sentence);
    return status;
}

static PoiseStatus warn_print(const char *id, const PoiseItemBody *b, PoiseWeighing *w)
{
    const PoisePrintFacts *p = &b->print;
    if (!p->bed_known || p->fits_bed)
        return POISE_OK;
    return warn(
        w,
        "%s does not fit the printer's bed lying this way up: too large by %.1f × %.1f × %.1f mm",
        id, p->over_mm[0], p->over_mm[1], p->over_mm[2]);
}

static PoiseStatus warn_item(const PoiseItemResult *r, PoiseWeighing *w)
{
    const PoiseItemBody *b = r->detail;
    PoiseStatus status = POISE_OK;
    if (b->warning[0])
        status = warn(w, "%s: %s", r->id, b->warning);
    if (!status && b->has_print)
        status = warn_print(r->id, b, w);
    double u = hypot(r->predicted_u_g, r->mass_u_g);
    double gap = r->body.mass_g - r->predicted_g;
    if (!status && r->measured && fabs(gap) > SURPRISING_SIGMAS * u)
        status = warn(
            w, "%s: weighed %.0f g against an estimate of %.0f g ± %.0f g; one of the two is wrong",
            r->id, r->body.mass_g, r->predicted_g, r->predicted_u_g);
    return status;
}

static PoiseStatus warn_balance(const PoiseInstrument *in, PoiseWeighing *w)
{
    if (!in->has_posts)
        return warn(
            w, "no strap posts in the file (\"posts\"): nothing is said about hanging on a strap");
    if (!in->has_strap)
        return warn(w,
                    "no strap in the file (\"strap\"): nothing is said about hanging on a strap");
    const PoiseHanging *h = &w->hanging;
    if (!h->has_verdict)
        return warn(w,
                    "at a neck angle of %.0f° the horn post is not headwards of the tail post: the "
                    "model has no "
                    "answer there",
                    w->neck_angle_deg);
    if (h->verdict != POISE_HOLDS && !w->has_hand)
        return warn(
            w,
            "the hand's place is not known (no \"scale\", no \"stance\"/\"hand\"): no hand load");
    if (h->verdict != POISE_HOLDS && isnan(h->hand_load_g))
        return warn(
            w,
            "the hand's place lies inside or behind the holding window: no push there can hold the "
            "instrument");
    return POISE_OK;
}

PoiseStatus poise_weigh_advice(const PoiseInstrument *in, PoiseWeighing *w)
{
    PoiseStatus status = add_cautions(in, w);
    for (size_t i = 0; i < w->item_count && !status; i++)
        status = warn_item(&w->items[i], w);
    return status ? status : warn_balance(in, w);
}
