/* Cautions (where the work can hurt someone) and warnings (where the number may mislead). */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "bodies/print_facts.h"
#include "weigh/weigh_parts.h"

/* Solid bodies commonly weigh 2.7 to 4.1 kg (common practice, no source); above that a shoulder
 * notices. */
static const double HEAVY_G = 4100.0;
/* A weighed mass further from its estimate than this many standard uncertainties deserves a second
 * look: about 1 in 400 by chance. */
static const double SURPRISING_SIGMAS = 3.0;
/* A hand nearer to the edge than this has no lever to speak of: a few times what the place of
 * either is known to. */
static const double NEAR_EDGE_MM = 5.0;

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

static unsigned material_triggers(const PoiseMaterial *material)
{
    if (!material)
        return 0U;
    /* A material of the file's own has no hazards but those of its base: its name speaks too. */
    bool lead = has_word(material->id, "lead") || has_word(material->name, "lead");
    return material->hazards | (lead ? (unsigned)POISE_HAZARD_LEAD : 0U);
}

static unsigned mass_triggers(const PoiseItem *item)
{
    /* An empty place for ballast hurts no one yet. */
    if (!(item->as.mass.mass_g.value > 0.0))
        return 0U;
    unsigned t = item->as.mass.ballast ? (unsigned)BALLAST : 0U;
    /* A plain mass has no material: its name is all there is to go by. */
    if (has_word(item->id, "lead") || has_word(item->note, "lead"))
        t |= POISE_HAZARD_LEAD;
    return t;
}

static unsigned item_triggers(const PoiseItem *item)
{
    switch (item->kind) {
    case POISE_ITEM_PRINTED:
        return material_triggers(item->as.printed.material) | POISE_HAZARD_DUST;
    case POISE_ITEM_POURED:
        return material_triggers(item->as.poured.material) | POISE_HAZARD_RESIN | POISE_HAZARD_DUST;
    case POISE_ITEM_SOLID:
        return material_triggers(item->as.solid.material) | POISE_HAZARD_DUST;
    case POISE_ITEM_NECK:
        return material_triggers(item->as.neck.shaft) | material_triggers(item->as.neck.board) |
               POISE_HAZARD_DUST;
    case POISE_ITEM_STRINGS:
        return TENSION;
    case POISE_ITEM_PART:
        return item->part->hazards | material_triggers(item->part->material);
    case POISE_ITEM_MASS:
        return mass_triggers(item);
    }
    return 0U;
}

typedef PoiseStatus Advise(PoiseWeighing *w, const char *sentence);

static PoiseStatus advise(PoiseWeighing *w, Advise *add, const char *format, va_list arguments)
{
    PoiseText text = {0};
    poise_text_vprintf(&text, format, arguments);
    char *sentence = poise_text_take(&text);
    PoiseStatus status = sentence ? add(w, sentence) : POISE_E_MEMORY;
    poise_release(sentence);
    return status;
}

static PoiseStatus caution(PoiseWeighing *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static PoiseStatus caution(PoiseWeighing *w, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    PoiseStatus status = advise(w, poise_weigh_caution, format, arguments);
    va_end(arguments);
    return status;
}

static PoiseStatus warn(PoiseWeighing *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static PoiseStatus warn(PoiseWeighing *w, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    PoiseStatus status = advise(w, poise_weigh_warning, format, arguments);
    va_end(arguments);
    return status;
}

/* A pocket deeper, level or at its low side, than one pour of its material may be. */
static PoiseStatus caution_deep_pour(const PoiseItemResult *r, PoiseWeighing *w)
{
    const PoisePourFacts *p = &r->detail->pour;
    if (!r->detail->has_pour || (p->pours < 2 && p->level_pours < 2 && !p->too_steep))
        return POISE_OK;
    PoiseText low = {0}, what = {0};
    if (p->floor_dry)
        poise_text_append(&low, ", more at the low side as far out of level as the file says");
    else if (p->low_rise_mm > 0.0)
        poise_text_printf(&low, ", %s %.1f mm at the low side as far out of level as the file says",
                          p->rise_at_least ? "at least" : "up to", p->depth_mm + p->low_rise_mm);
    int layers = p->too_steep ? p->level_pours : p->pours;
    if (p->too_steep)
        poise_text_append(&what, "level the body first, then ");
    if (layers > 1)
        poise_text_printf(&what, "pour %d layers and let each cool and cure", layers);
    else
        poise_text_append(&what, "pour one layer and let it cool and cure");
    PoiseStatus status =
        low.failed || what.failed
            ? POISE_E_MEMORY
            : caution(w,
                      "Deep pour: \"%s\" is %.1f mm deep%s%s and its material allows %.1f mm at a "
                      "time. In one go it can boil, crack, smoke or burn: %s as the product's data "
                      "sheet and safety sheet say.",
                      r->id, p->depth_mm, low.data ? low.data : "", low.data ? "," : "",
                      p->limit_mm, what.data);
    poise_text_clear(&low);
    poise_text_clear(&what);
    return status;
}

/* A pocket so far out of level that resin runs where it should not. */
static PoiseStatus caution_out_of_level(const PoiseItemResult *r, PoiseWeighing *w)
{
    const PoisePourFacts *p = &r->detail->pour;
    if (!r->detail->has_pour || !(p->over_rim || p->floor_dry || p->too_steep))
        return POISE_OK;
    PoiseText t = {0};
    if (p->too_steep)
        poise_text_printf(&t, "no number of pours covers the floor and keeps to %.1f mm",
                          p->limit_mm);
    else if (p->floor_dry)
        poise_text_append(&t, "part of the floor stays dry");
    if (t.data && p->over_rim)
        poise_text_append(&t, ", and ");
    if (p->over_rim)
        poise_text_append(&t, "a pocket filled to its rim runs over");
    PoiseStatus status =
        t.failed
            ? POISE_E_MEMORY
            : caution(w,
                      "Out of level: with the \"tilt\" of the file the depth of \"%s\" changes by "
                      "%s%.1f mm from the middle to the low side: %s. Level the body before you "
                      "pour.",
                      r->id, p->rise_at_least ? "at least " : "", p->low_rise_mm, t.data);
    poise_text_clear(&t);
    return status;
}

static const char LAST_WORD[] =
    "These are the usual cautions and not all there are: the safety sheets of what you use, your "
    "local codes and the practice of licensed trades come first.";

static PoiseStatus add_cautions(const PoiseInstrument *in, PoiseWeighing *w)
{
    PoiseStatus status = POISE_OK;
    unsigned triggers = w->total.mass_g > HEAVY_G ? (unsigned)HEAVY : 0U;
    for (size_t i = 0; i < in->item_count; i++)
        triggers |= item_triggers(&in->items[i]);
    for (size_t i = 0; i < sizeof CAUTIONS / sizeof *CAUTIONS && !status; i++)
        if (triggers & CAUTIONS[i].trigger)
            status = poise_weigh_caution(w, CAUTIONS[i].text);
    for (size_t i = 0; i < w->item_count && !status; i++)
        status = caution_deep_pour(&w->items[i], w);
    for (size_t i = 0; i < w->item_count && !status; i++)
        status = caution_out_of_level(&w->items[i], w);
    if (!status && w->caution_count)
        status = poise_weigh_caution(w, LAST_WORD);
    return status;
}

static PoiseStatus warn_print(const char *id, const PoiseItemBody *b, PoiseWeighing *w)
{
    const PoisePrintFacts *p = &b->print;
    if (!p->bed_known || p->fits_bed)
        return POISE_OK;
    PoiseText how = {0};
    poise_bed_words(p, &how);
    PoiseStatus status =
        how.failed
            ? POISE_E_MEMORY
            : warn(w, "%s does not fit the printer's bed lying this way up: %s", id, how.data);
    poise_text_clear(&how);
    return status;
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

/* A hand that cannot hold it: on the wrong side of the edge the instrument tips over, so near that
 * edge that a millimetre decides, or with more to carry than there is weight. */
static PoiseStatus warn_hand(PoiseWeighing *w, const char *where, PoiseVerdict verdict,
                             PoiseInterval window_mm, double hand_mm, double load_g)
{
    bool neck = verdict == POISE_NECK_HEAVY;
    double arm_mm = hand_mm - (neck ? window_mm.hi : window_mm.lo);
    if (verdict == POISE_HOLDS || !w->has_hand)
        return POISE_OK;
    if (fabs(arm_mm) < NEAR_EDGE_MM)
        return warn(w,
                    "%s the hand's place is %.1f mm from the edge that the instrument tips over: "
                    "too near to hold it there, and no load to rely on",
                    where, fabs(arm_mm));
    if (arm_mm < 0.0)
        return warn(w,
                    "%s the hand's place is %.0f mm tailwards of the edge that the instrument tips "
                    "over: %s there does not help, the fretting hand cannot hold it",
                    where, -arm_mm, neck ? "lifting" : "pulling down");
    if (isnan(load_g) || fabs(load_g) > w->total.mass_g)
        return warn(w,
                    "%s the hand's place is %.0f mm headwards of the edge that the instrument tips "
                    "over: it would take more than the instrument's weight to hold it there",
                    where, arm_mm);
    return POISE_OK;
}

static PoiseStatus warn_strap(const PoiseInstrument *in, PoiseWeighing *w)
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
    double hand_mm = poise_horizontal_mm(w->hand, w->neck_angle_deg) - w->tail_h_mm;
    return warn_hand(w, "on the strap", h->verdict, h->window_mm, hand_mm, h->hand_load_g);
}

static PoiseStatus warn_balance(const PoiseInstrument *in, PoiseWeighing *w)
{
    PoiseStatus status = warn_strap(in, w);
    if (status || !w->has_seat)
        return status;
    const PoiseResting *r = &w->resting;
    double hand_mm = poise_horizontal_mm(w->hand, w->neck_angle_deg);
    return warn_hand(w, "on the leg", r->verdict, r->window_mm, hand_mm, r->hand_load_g);
}

PoiseStatus poise_weigh_advice(const PoiseInstrument *in, PoiseWeighing *w)
{
    PoiseStatus status = add_cautions(in, w);
    for (size_t i = 0; i < in->item_count && !status; i++)
        if (in->items[i].measured_aside)
            status = warn(w, "%s: what it weighed is set aside, for the variant changes it",
                          in->items[i].id);
    for (size_t i = 0; i < w->item_count && !status; i++)
        status = warn_item(&w->items[i], w);
    return status ? status : warn_balance(in, w);
}
