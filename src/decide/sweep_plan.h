/* Inside a sweep: tables from which every candidate is a sum. Used by the sweep's own files only.
 *
 * An item is touched by some of the axes. Items touched by the same ones form a term, which depends
 * on the values of those axes alone; the mass, the moments and the filament of a candidate are the
 * untouched items' plus one entry of each term. The stance is a term of its own. */
#ifndef POISE_DECIDE_SWEEP_PLAN_H
#define POISE_DECIDE_SWEEP_PLAN_H

#include "decide/linear.h"
#include "decide/sweep.h"
#include "input/reader.h"

/* Entries of one term's table (4 MiB); past it the term is worked out for each candidate. */
#define POISE_SWEEP_TABLE 65536
/* Combinations that may be read in full, some 0.3 ms each, where axes meet in one item in a way
 * that is not simply additive. */
#define POISE_SWEEP_MOST_READINGS 20000

/* Axes of which a table's entries are the combinations; the last changes fastest. */
typedef struct PoiseSweepSpan {
    size_t count;
    size_t axes[POISE_SWEEP_MOST_AXES], strides[POISE_SWEEP_MOST_AXES];
    uint64_t entries;
} PoiseSweepSpan;

/* An item whose setting is put together from what each axis alone makes of it. */
typedef struct PoiseSweepItem {
    const PoiseLinearSetting *base;
    PoiseLinearSetting
        *by_axis[POISE_SWEEP_MOST_AXES]; /* by the span's axes; one per value; owned */
} PoiseSweepItem;

typedef struct PoiseSweepTerm {
    PoiseSweepSpan span;
    bool joint;            /* its items have to be read for every combination */
    PoiseLinearSum *table; /* NULL: put together anew for each candidate */
    size_t item_count;
    size_t *items;         /* numbers in the instrument */
    PoiseSweepItem *parts; /* of each item; NULL when joint or of one axis */
} PoiseSweepTerm;

typedef struct PoiseSweepStance {
    PoiseSweepSpan span;
    bool joint;
    PoiseStance *table;                                 /* NULL: solved anew for each candidate */
    PoiseStanceSetting *by_axis[POISE_SWEEP_MOST_AXES]; /* NULL when joint */
} PoiseSweepStance;

/* A section sliced with other settings than the file's. */
typedef struct PoiseSweepSection {
    char *mesh, *unit;
    PoiseSlicing slicing;
    PoiseLoadedSection *loaded;
    struct PoiseSweepSection *next;
} PoiseSweepSection;

struct PoiseSweep {
    PoiseSweepOptions options;
    PoiseDocument *document;
    char *dir;
    PoiseShelf shelf;
    cJSON *tree; /* the file with the variant merged over it */
    PoiseInstrument *base;
    PoiseWeighing *weighing;
    PoiseLinear *linear;
    size_t axis_count;
    PoiseVary axes[POISE_SWEEP_MOST_AXES];
    uint64_t count;

    PoiseLinearSum fixed; /* items that no axis touches */
    size_t term_count;
    PoiseSweepTerm *terms; /* by their last axis, slowest first */
    PoiseSweepStance stance;
    PoiseSweepSection *sections;
    size_t sliced; /* sections sliced for the sweep */
    size_t note_count;
    char **notes;
};

/* How an axis bears on an item or on the stance. Two axes may meet in one item when what each alone
 * makes of it can be put together: they change different numbers of the setting. */
typedef enum PoiseSweepAspect {
    POISE_TOUCH_NOTHING,
    POISE_TOUCH_DIRECT,   /* one number of the setting, and no other axis that one */
    POISE_TOUCH_MATERIAL, /* the density, by choice or by value */
    POISE_TOUCH_SLICING,  /* the split of the section */
    POISE_TOUCH_PIECE,    /* mass and centre of one piece */
    POISE_TOUCH_WHOLE     /* anything */
} PoiseSweepAspect;

PoiseSweepAspect poise_sweep_touches_item(const PoiseSweep *sweep, size_t axis, size_t item);
PoiseSweepAspect poise_sweep_touches_stance(const PoiseSweep *sweep, size_t axis);
/* Must combinations of these axes be read in full for this item (or, item = SIZE_MAX, for the
 * stance)? */
bool poise_sweep_meet(const PoiseSweep *sweep, const PoiseSweepSpan *span, size_t item);

/* Faults unless the pointer of an axis leads to where the file has, or may have, a value. */
PoiseStatus poise_sweep_check_pointer(const PoiseSweep *sweep, size_t axis, PoiseFaults *faults);
/* The file with values of some axes in place. */
PoiseStatus poise_sweep_read(const PoiseSweep *sweep, const size_t *axes, const size_t *values,
                             size_t n, PoiseInstrument **instrument, PoiseFaults *faults);
/* The split of a printed item: the base's, one sliced before, or sliced now. */
PoiseStatus poise_sweep_section(PoiseSweep *sweep, const PoiseItem *item, size_t number,
                                const PoiseLoadedSection **section, PoiseFaults *faults);
/* Lays out the tables, and fills them. */
PoiseStatus poise_sweep_fill(PoiseSweep *sweep, PoiseFaults *faults);
PoiseStatus poise_sweep_plan(PoiseSweep *sweep, PoiseFaults *faults);
void poise_sweep_plan_clear(PoiseSweep *sweep);
PoiseStatus poise_sweep_add_note(PoiseSweep *sweep, char *sentence); /* takes it over */

/* Which entry the values of the axes lead to. */
static inline uint64_t poise_sweep_entry(const PoiseSweepSpan *span, const size_t *values)
{
    uint64_t entry = 0;
    for (size_t k = 0; k < span->count; k++)
        entry += (uint64_t)values[span->axes[k]] * span->strides[k];
    return entry;
}
/* The values (by axis number) of an entry. */
void poise_sweep_values(const PoiseSweep *sweep, const PoiseSweepSpan *span, uint64_t entry,
                        size_t *values);
/* One entry of a term, or the stance, put together from its parts. */
PoiseLinearSum poise_sweep_put_together(const PoiseSweep *sweep, const PoiseSweepTerm *term,
                                        const size_t *values);
PoiseStance poise_sweep_take_stance(const PoiseSweep *sweep, const size_t *values);

#endif
