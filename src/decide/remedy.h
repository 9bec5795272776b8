/* Ways to reach the balance target of an instrument, ranked, each weighed anew. */
#ifndef POISE_DECIDE_REMEDY_H
#define POISE_DECIDE_REMEDY_H

#include <stdbool.h>
#include <stddef.h>

#include <cjson/cJSON.h>

#include "input/reader.h"
#include "poise/weigh.h"

/* What a remedy may use. All common practice, no source. */
#define POISE_REMEDY_INFILL_LEAST     0.08 /* less leaves the top skin without a hold */
#define POISE_REMEDY_INFILL_MOST      0.60 /* more prints slowly and hardly gains stiffness */
#define POISE_REMEDY_PERIMETERS_LEAST 2
#define POISE_REMEDY_PERIMETERS_MOST  6
#define POISE_REMEDY_FRICTION_LEAST   0.2 /* webbing on a smooth shirt */
#define POISE_REMEDY_FRICTION_MOST    0.6 /* suede on cotton */
#define POISE_REMEDY_STRAP_LONGEST    1.4 /* times the length in the file */
/* No shorter than this, and than so many times the distance of the posts: it goes over a shoulder.
 */
#define POISE_REMEDY_STRAP_SHORTEST_MM 700.0
#define POISE_REMEDY_STRAP_SHORTEST    1.3
/* Ballast inside the body keeps this far from its edge, mm. */
#define POISE_REMEDY_EDGE_MM 12.0
/* A strap post moves at most this far along the outline, mm. */
#define POISE_REMEDY_POST_MM 150.0
/* A millimetre of margin weighs as much as this many grams in the hand when goals of different
 * kinds are compared: on a bass of 3.5 kg with the hand half a metre out, 7 g (W/arm). */
#define POISE_REMEDY_GRAMS_PER_MM 7.0
/* A swap that changes the whole by less is not worth the errand, g. */
#define POISE_REMEDY_SWAP_LEAST_G 1.0

enum { POISE_REMEDY_ANGLES = 8, POISE_REMEDY_SHOWN = 10 };

typedef struct PoiseRemedyOptions {
    size_t angle_count; /* 0: the file's own playing angle */
    double angles_deg[POISE_REMEDY_ANGLES];
    bool leg;    /* the target must be met on the leg too */
    size_t most; /* remedies to look for; 0: POISE_REMEDY_SHOWN */
    PoiseWeighOptions weigh;
} PoiseRemedyOptions;

typedef enum PoiseRemedyKind {
    POISE_REMEDY_BALLAST,
    POISE_REMEDY_PLACE, /* ballast at the best place inside the body */
    POISE_REMEDY_REMOVE,
    POISE_REMEDY_SWAP,
    POISE_REMEDY_PRINT,
    POISE_REMEDY_STRAP,
    POISE_REMEDY_POST,
    POISE_REMEDY_COMBINATION
} PoiseRemedyKind;
/* "ballast", "place", … as in the JSON. */
const char *poise_remedy_kind_name(PoiseRemedyKind kind);

/* How an instrument stands at one neck angle, or on the leg. NAN where there is no answer. */
typedef struct PoiseRemedyHold {
    double neck_angle_deg;
    bool known; /* strap: there is a window; leg: there is a seat */
    PoiseVerdict verdict;
    double margin_mm; /* to the window's headward edge; on the leg with the arm's weight */
    double hand_load_g;
} PoiseRemedyHold;

typedef struct PoiseRemedyState {
    double mass_g, filament_g, hours;
    double price; /* as far as it is known; NAN when nothing is */
    size_t angle_count;
    PoiseRemedyHold strap[POISE_REMEDY_ANGLES], leg[POISE_REMEDY_ANGLES];
} PoiseRemedyState;

typedef struct PoiseRemedy {
    PoiseRemedyKind kind;
    char *title;  /* one sentence fragment */
    char *name;   /* for the variant: letters, digits, spaces and - _ . only */
    char **steps; /* what to change, one by one */
    size_t step_count;
    cJSON *patch;                 /* RFC 7396, over the instrument as weighed */
    int effort;                   /* 1 a setting … 4 drilling; sums over the steps */
    bool proved;                  /* combination: no better one exists within the bounds */
    double added_g, price_change; /* predicted, until it is weighed */
    PoiseRemedyState state;
} PoiseRemedy;

/* One way that does not do it by itself. */
typedef struct PoiseShortfall {
    char *way;       /* "infill and perimeters" */
    char *text;      /* a sentence */
    double short_by; /* in `unit`; NAN when it does not apply */
    const char *unit;
} PoiseShortfall;

/* Where mass pulls towards the head. */
typedef struct PoiseLeverage {
    const char *id; /* the instrument's */
    double mass_g;
    double hand_load_per_10_g; /* change of the worst hand load by 10 g less there, g */
    double enough_g;           /* mass to take away there that would do it; NAN: none would */
} PoiseLeverage;

enum { POISE_REMEDY_LEVERAGES = 4 };

typedef struct PoiseRemedies {
    const char *name, *file, *variant; /* the instrument's */
    bool default_target;               /* the file has no balance target: just hold */
    bool strap, leg;                   /* what is judged */
    double target_mass_g, target_hand_load_g, target_margin_mm; /* NAN none */
    PoiseRemedyState now;
    bool met;    /* already */
    char *worst; /* what is wrong now, a sentence; NULL when met */
    size_t count;
    PoiseRemedy *list; /* ranked */
    size_t unshown;    /* more were found than asked for */
    size_t dropped;    /* proposals that failed when weighed anew */
    size_t shortfall_count;
    PoiseShortfall *shortfalls;
    size_t conflict_count;
    char **conflicts; /* why the target cannot be met, sentences */
    size_t note_count;
    char **notes;
    size_t leverage_count;
    PoiseLeverage leverages[POISE_REMEDY_LEVERAGES];
    PoiseInstrument *instrument; /* as read; owned */
    bool failed;                 /* out of memory while it was filled */
} PoiseRemedies;

/* Looks for remedies. `document` and `shelf` must outlive the result. POISE_OK (also when none was
 * found); POISE_E_USAGE (no such variant, a neck angle without an answer); POISE_E_INPUT (nothing
 * to balance on); the statuses of reading and weighing. Free with poise_remedies_free(). */
PoiseStatus poise_remedies_find(const PoiseDocument *document, const char *variant, const char *dir,
                                const PoiseShelf *shelf, const PoiseRemedyOptions *options,
                                PoiseRemedies **remedies, PoiseFaults *faults);
void poise_remedies_free(PoiseRemedies *remedies);

/* For a terminal of 80 columns, and as JSON. New strings, or NULL. */
char *poise_remedies_text(const PoiseRemedies *remedies);
char *poise_remedies_json(const PoiseRemedies *remedies);

/* The text of an instrument file with a variant added: every other byte stays. `patch` is written
 * under `name`, which must not be there yet. *out is a new string (poise_release()). POISE_OK,
 * POISE_E_INPUT (the text's "variants" is no object, or the name is taken), POISE_E_MEMORY. */
PoiseStatus poise_variant_insert(const char *text, size_t size, const PoiseDocument *document,
                                 const char *name, const cJSON *patch, char **out, size_t *out_size,
                                 PoiseFaults *faults);

/* Two merge patches as one: applying it is applying `first`, then `second`, to `base`. A new tree,
 * or NULL when out of memory. What `first` takes away `second` must not change. */
cJSON *poise_patch_after(const cJSON *base, const cJSON *first, const cJSON *second);

/* A name for the variant that the file does not have yet; a new string or NULL. */
char *poise_variant_free_name(const cJSON *root, const char *wanted);

/* The patch that makes remedy r a variant of the file: over `variant` (NULL: over the file). A new
 * tree, or NULL when out of memory. */
cJSON *poise_remedy_variant(const PoiseDocument *document, const char *variant,
                            const PoiseRemedy *remedy);

#endif
