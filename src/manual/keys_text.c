/* poise-instrument(5): the key tables as they stand. */
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "input/keys.h"
#include "input/quantity.h"
#include "input/units.h"
#include "manual/roff.h"
#include "manual/tables.h"

static void put_number(PoiseText *page, double value)
{
    char text[32];
    poise_double_text(value, text);
    poise_roff_words(page, text);
}

static void put_choices(PoiseText *page, const char *const *choices)
{
    for (size_t i = 0; choices[i]; i++) {
        poise_text_append(page, i == 0 ? "" : choices[i + 1] ? ", " : " or ");
        poise_text_append(page, "\"");
        poise_roff_words(page, choices[i]);
        poise_text_append(page, "\"");
    }
}

/* "length in mm" */
static void put_measure(PoiseText *page, PoiseUnitKind unit)
{
    const char *plain = poise_unit_kind_plain(unit);
    poise_text_append(page, poise_unit_kind_name(unit));
    if (unit == POISE_UNIT_TIME)
        poise_text_append(page, ", hours when plain");
    else if (*plain)
        poise_text_printf(page, " in %s", plain);
}

static void put_sort(PoiseText *page, const PoiseKey *key)
{
    switch (key->kind) {
    case POISE_VALUE_QUANTITY:
        put_measure(page, key->unit);
        break;
    case POISE_VALUE_VECTOR:
        if ((key->most ? key->most : 3) == 2)
            poise_text_append(page, "[x, y], ");
        else
            poise_text_append(page, key->least == 2 ? "[x, y] or [x, y, z], " : "[x, y, z], ");
        put_measure(page, key->unit);
        break;
    case POISE_VALUE_CHOICE:
        put_choices(page, key->choices);
        break;
    case POISE_VALUE_INTEGER:
        poise_text_append(page, "whole number");
        break;
    default: {
        static const char *const sorts[] = {
            [POISE_VALUE_FLAG] = "true or false",
            [POISE_VALUE_TEXT] = "text",
            [POISE_VALUE_PATH] = "file name, relative to this file",
            [POISE_VALUE_DIRECTION] = "[x, y, z], of any length",
            [POISE_VALUE_OUTLINE] = "list of 3 or more [x, y], lengths in mm",
            [POISE_VALUE_OBJECT] = "object",
            [POISE_VALUE_MAP] = "object of objects, each under a name of your choice",
            [POISE_VALUE_LIST] = "list of objects",
            [POISE_VALUE_MATERIAL] = "id of a material",
            [POISE_VALUE_PART] = "id of a part",
            [POISE_VALUE_PRESET] = "id of a preset",
            [POISE_VALUE_MIX] = "text",
            [POISE_VALUE_HAND] = "text, or [x, y, z]",
            [POISE_VALUE_GAUGES] = "list of lengths in mm or objects",
            [POISE_VALUE_HAZARDS] = "list of hazards",
            [POISE_VALUE_MASSES] = "object from item ids to masses in g",
            [POISE_VALUE_PATCHES] = "object from variant names to patches",
        };
        poise_text_append(page, sorts[key->kind]);
    }
    }
}

static void put_range(PoiseText *page, const PoiseKey *key)
{
    double plain = poise_quantity_plain(1.0, key->unit).value;
    if (key->range == POISE_RANGE_POSITIVE) {
        poise_text_append(page, ", above 0");
    } else if (key->range == POISE_RANGE_NOT_NEGATIVE) {
        poise_text_append(page, ", not negative");
    } else if (key->range == POISE_RANGE_FRACTION) {
        poise_text_append(page, ", from 0 to 1");
    } else if (key->range == POISE_RANGE_BETWEEN && key->lo < key->hi &&
               key->kind != POISE_VALUE_MAP) {
        poise_text_append(page, ", from ");
        put_number(page, key->lo / plain);
        poise_text_append(page, " to ");
        put_number(page, key->hi / plain);
    }
}

static void put_key(PoiseText *page, const PoiseKey *key, const char *path)
{
    poise_text_append(page, ".TP\n");
    poise_roff_bold(page, path);
    poise_text_append(page, " (");
    put_sort(page, key);
    put_range(page, key);
    poise_text_append(page, key->required ? "; required)\n" : ")\n");
    poise_roff_words(page, key->about);
    poise_text_append(page, ".");
    if (key->fallback) {
        poise_text_append(page, " Default: ");
        poise_roff_words(page, key->fallback);
        if (key->long_fallback) {
            poise_text_printf(page, ", or for a scale of more than %.0f mm ", POISE_LONG_SCALE_MM);
            poise_roff_words(page, key->long_fallback);
        }
        poise_text_append(page, ".");
    }
    poise_text_append(page, "\n");
}

/* Tables with a place of their own in the manual. */
typedef struct Chapter {
    const char *name;
    const PoiseTable *table;
} Chapter;

static const PoiseTable *find_chapter(const char *name)
{
    static const Chapter chapters[] = {
        {"instrument", &poise_instrument_keys},
        {"item", &poise_item_keys},
        {"own-material", &poise_own_material_keys},
        {"profile", &poise_profile_keys},
        {"profile-material", &poise_profile_material_keys},
    };
    for (size_t i = 0; i < sizeof chapters / sizeof *chapters; i++)
        if (strcmp(chapters[i].name, name) == 0)
            return chapters[i].table;
    for (size_t i = 0; i < poise_item_keys.case_count; i++)
        if (strcmp(poise_item_keys.cases[i].name, name) == 0)
            return poise_item_keys.cases[i].table;
    return NULL;
}

static bool has_chapter(const PoiseTable *table)
{
    const PoiseTable *found = find_chapter(table->name);
    return found == table;
}

static void put_table(PoiseText *page, const PoiseTable *table, const char *prefix);

/* The keys inside an object or a list of objects. */
static void put_inner(PoiseText *page, const PoiseKey *key, const char *path)
{
    bool listed = key->kind == POISE_VALUE_LIST || key->kind == POISE_VALUE_GAUGES;
    if (!key->table || has_chapter(key->table))
        return;
    char *prefix = poise_format("%s/%s", path, listed ? "N/" : "");
    if (prefix)
        put_table(page, key->table, prefix);
    else
        page->failed = true;
    poise_release(prefix);
}

static void put_table(PoiseText *page, const PoiseTable *table, const char *prefix)
{
    for (; table; table = table->also)
        for (size_t i = 0; i < table->count; i++) {
            char *path = poise_format("%s%s", prefix, table->keys[i].key);
            if (path) {
                put_key(page, &table->keys[i], path);
                put_inner(page, &table->keys[i], path);
            } else {
                page->failed = true;
            }
            poise_release(path);
        }
}

bool poise_manual_keys(PoiseText *page, const char *name)
{
    const PoiseTable *table = find_chapter(name);
    if (!table)
        return false;
    put_table(page, table, "");
    return true;
}

void poise_manual_units(PoiseText *page)
{
    for (int kind = 0; kind < POISE_UNIT_KINDS; kind++) {
        size_t shown = 0;
        for (size_t i = 0; poise_unit_number(i); i++) {
            const PoiseUnit *unit = poise_unit_number(i);
            if ((int)unit->kind != kind)
                continue;
            if (shown++ == 0) {
                poise_text_append(page, ".TP\n");
                poise_roff_bold(page, poise_unit_kind_name((PoiseUnitKind)kind));
                poise_text_append(page, "\n");
            } else {
                poise_text_append(page, ", ");
            }
            poise_roff_words(page, unit->name);
        }
        poise_text_append(page, shown ? "\n" : "");
    }
}
