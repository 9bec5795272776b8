/* The key tables: one description of every object that instrument and component files may hold. The
 * reader is driven by them and the schema is made from them, so the two cannot disagree. */
#ifndef POISE_INPUT_KEYS_H
#define POISE_INPUT_KEYS_H

#include <stdbool.h>
#include <stddef.h>

#include "input/quantity.h"

typedef enum PoiseValueKind {
    POISE_VALUE_QUANTITY,  /* a number, or text with a unit */
    POISE_VALUE_INTEGER,   /* a whole number */
    POISE_VALUE_FLAG,      /* true or false */
    POISE_VALUE_TEXT,      /* any text */
    POISE_VALUE_PATH,      /* a file name, relative to the file it stands in */
    POISE_VALUE_CHOICE,    /* one of `choices` */
    POISE_VALUE_VECTOR,    /* a list of `least` to `most` quantities without ± */
    POISE_VALUE_DIRECTION, /* a list of 3 numbers, not all 0 */
    POISE_VALUE_OUTLINE,   /* a list of 3 or more [x, y] */
    POISE_VALUE_OBJECT,    /* an object of `table` */
    POISE_VALUE_MAP,       /* an object whose members, named freely, are objects of `table` */
    POISE_VALUE_LIST,      /* a list of objects of `table` */
    POISE_VALUE_MATERIAL,  /* the id of a material */
    POISE_VALUE_PART,      /* the id of a library part */
    POISE_VALUE_PRESET,    /* the id of a preset */
    POISE_VALUE_MIX,       /* "2:1 by mass" */
    POISE_VALUE_HAND,      /* "nut", "fret N" or [x, y, z] */
    POISE_VALUE_GAUGES,    /* a list of gauges: text, number, or an object of `table` */
    POISE_VALUE_HAZARDS,   /* a list of hazards */
    POISE_VALUE_MASSES,    /* an object from item ids to masses */
    POISE_VALUE_PATCHES    /* an object from variant names to merge patches */
} PoiseValueKind;

typedef enum PoiseRange {
    POISE_RANGE_ANY,
    POISE_RANGE_POSITIVE,
    POISE_RANGE_NOT_NEGATIVE,
    POISE_RANGE_FRACTION, /* 0 … 1 */
    POISE_RANGE_BETWEEN   /* lo … hi, both included, in the kept unit */
} PoiseRange;

/* Where a value goes in the structure that is filled. */
typedef enum PoiseStore {
    POISE_STORE_NONE,
    POISE_STORE_DOUBLE, /* the value alone: ± is refused, for nothing would carry it */
    POISE_STORE_QUANTITY,
    POISE_STORE_INT, /* also the index of a choice */
    POISE_STORE_BOOL,
    POISE_STORE_TEXT,     /* char *, owned */
    POISE_STORE_VECTOR,   /* double[3], or double[2] when most is 2 */
    POISE_STORE_OUTLINE,  /* PoiseOutline */
    POISE_STORE_MATERIAL, /* const PoiseMaterial * */
    POISE_STORE_PART,     /* const PoisePart * */
    POISE_STORE_MIX,      /* PoisePoured */
    POISE_STORE_HAZARDS   /* unsigned */
} PoiseStore;

struct PoiseTable;

typedef struct PoiseKey {
    const char *key;
    const char *about; /* one line */
    PoiseValueKind kind;
    PoiseUnitKind unit;
    bool required;
    bool is_reading; /* of a scale or rule: without ± its last digit tells how well it is known */
    PoiseRange range;
    double lo, hi;
    PoiseStore store;
    size_t at;                 /* offset in the structure */
    size_t flag;               /* offset of a bool set when the key is there, plus 1; 0: none */
    const char *fallback;      /* default, as JSON; NULL: none */
    const char *long_fallback; /* default on long scales (basses), when it differs */
    const struct PoiseTable *table;
    const char *const *choices;
    int least, most; /* elements of a vector; most 0: 3; of a list, for the schema; 0: any */
} PoiseKey;

/* The values of a tag key ("kind") and the further keys each brings. */
typedef struct PoiseCase {
    const char *name;
    const struct PoiseTable *table;
} PoiseCase;

typedef struct PoiseTable {
    const char *name; /* of the definition in the schema */
    const char *about;
    const PoiseKey *keys;
    size_t count;
    const struct PoiseTable *also; /* further keys of the same object, or NULL */
    const char *tag;               /* the key that chooses a case, or NULL */
    const PoiseCase *cases;
    size_t case_count;
    const char *const *either; /* keys of which one must be there, for the schema; NULL: none */
} PoiseTable;

/* The scale length past which a neck takes its long defaults. Common practice, no source: guitars
 * and baritones end at about 700 mm, short-scale basses start at about 730 mm. */
#define POISE_LONG_SCALE_MM 700.0

/* Most keys an object can have over all its tables. */
#define POISE_MOST_KEYS 48

extern const PoiseTable poise_instrument_keys; /* fills PoiseInstrument */
extern const PoiseTable poise_item_keys;  /* fills PoiseItem; cases in the order of PoiseItemKind */
extern const PoiseTable poise_cut_keys;   /* fills PoiseCut */
extern const PoiseTable poise_gauge_keys; /* fills PoiseString */
extern const PoiseTable poise_support_keys;      /* fills PoiseObservedSupport */
extern const PoiseTable poise_own_material_keys; /* fills PoiseMaterialDraft (material_read.h) */

/* A profile (profile.h): fill PoiseProfileHead and PoiseProfileMaterial. */
extern const PoiseTable poise_profile_keys, poise_profile_material_keys;

extern const PoiseTable poise_component_file_keys;
extern const PoiseTable poise_material_keys; /* PoiseMaterialDraft */
extern const PoiseTable poise_part_keys; /* PoisePart, by way of PoisePartDraft (library_read.h) */
extern const PoiseTable poise_neck_preset_keys;    /* PoiseItem */
extern const PoiseTable poise_strings_preset_keys; /* PoiseItem */

/* Names of hazards, bit 0 first. Ends with NULL. */
extern const char *const poise_hazard_names[];
extern const char *const poise_unit_names_of_meshes[];

/* The key of this name in the table, its `also` tables and (when not NULL) the case's; NULL when
 * unknown. */
const PoiseKey *poise_key_find(const PoiseTable *table, const PoiseTable *chosen, const char *name);
/* All names, in the tables' order; at most POISE_MOST_KEYS. Returns how many. */
size_t poise_key_names(const PoiseTable *table, const PoiseTable *chosen,
                       const char *names[POISE_MOST_KEYS]);

#endif
