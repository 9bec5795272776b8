/* The results in words: the same sentences for the terminal, Markdown and the build sheet. */
#ifndef POISE_OUTPUT_WORDS_H
#define POISE_OUTPUT_WORDS_H

#include "base/text.h"
#include "poise/weigh.h"

/* A label and what is said of it; both owned by the list. */
typedef struct PoiseFactLine {
    char *label, *value;
    bool outside; /* the value quotes the instrument file: what shows it makes it inert */
} PoiseFactLine;

/* A growing list of facts. After an allocation failure `failed` stays set. */
typedef struct PoiseFactList {
    PoiseFactLine *lines;
    size_t count;
    bool failed;
} PoiseFactList;

void poise_facts_add(PoiseFactList *list, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* Adds a fact whose value was built up in `value`, and empties that. */
void poise_facts_take(PoiseFactList *list, const char *label, PoiseText *value);
void poise_facts_clear(PoiseFactList *list);

/* One plain sentence: "Neck-heavy at 20°: the fretting hand holds up 214 g at the nut." */
void poise_words_strap_verdict(PoiseText *text, const PoiseWeighing *w);
void poise_words_seat_verdict(PoiseText *text, const PoiseWeighing *w);
/* The numbers behind them. */
void poise_words_weight(PoiseFactList *list, const PoiseWeighing *w);
void poise_words_strap(PoiseFactList *list, const PoiseWeighing *w);
void poise_words_seat(PoiseFactList *list, const PoiseWeighing *w);
/* Whether an item's place is the general guess of POISE_PLACE_U_MM along each axis, which the file
 * does not state. */
bool poise_words_place_guessed(const PoiseWeighing *w, const char *id);
/* How far to believe them: intervals, probabilities, and what to weigh or measure first. */
void poise_words_doubt(PoiseFactList *list, const PoiseWeighing *w);
/* The ± of a hand load, from that to first order: NAN where the interval told (the trials' if there
 * are any) reaches 0, for the load has a corner there; else that of the trials if there are any. */
double poise_words_load_u(double u_g, PoiseInterval first_order_g, const PoiseSampled *sampled);
void poise_words_print(PoiseFactList *list, const PoiseWeighing *w);
/* The resin card of a poured item: how deep, how many pours, what to weigh out. Nothing for others.
 */
void poise_words_pour(PoiseFactList *list, const PoiseItemResult *item);
void poise_words_targets(PoiseFactList *list, const PoiseWeighing *w);

/* What the model of the strap leaves out. */
extern const char POISE_STRAP_LIMIT[];
/* What the model leaves out, and the trade's rules of thumb, as far as they are about this
 * instrument: paragraphs. Returns how many. */
enum { POISE_MOST_LINES = 3 };
size_t poise_words_limits(const PoiseWeighing *w, const char *lines[POISE_MOST_LINES]);
size_t poise_words_rules(const PoiseWeighing *w, const char *lines[POISE_MOST_LINES]);

/* "3.48 kg", "742 g", "0.7 g" */
void poise_words_mass(PoiseText *text, double mass_g);
/* A minus sign and no negative zero: "−12", "0", "312". */
void poise_words_number(PoiseText *text, double value, int decimals);
/* Text from a file for Markdown, the characters that Markdown or HTML would act on made inert. */
void poise_words_markdown(PoiseText *text, const char *piece);
/* The group an item's kind is listed under: "Printed sections". */
const char *poise_words_group(const char *kind);

#endif
