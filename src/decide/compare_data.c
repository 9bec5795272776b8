/* A comparison for programs: JSON and CSV. */
#include <math.h>

#include "base/text.h"
#include "decide/compare.h"
#include "output/csv.h"
#include "output/json_build.h"

static void add_values(PoiseJson *j, cJSON *o, const PoiseWeighing *w, const PoiseWeighing *first)
{
    for (size_t m = 0; m < POISE_MEASURE_COUNT; m++) {
        double value = POISE_MEASURES[m].value(w);
        poise_json_number(j, o, POISE_MEASURES[m].key,
                          first ? value - POISE_MEASURES[m].value(first) : value);
    }
}

/* The items whose reading the variant has set aside, by changing them. */
static void add_aside(PoiseJson *j, cJSON *o, const PoiseInstrument *in)
{
    cJSON *list = poise_json_array(j, o, "set_aside");
    for (size_t i = 0; i < in->item_count && !j->failed; i++)
        if (in->items[i].measured_aside)
            poise_json_text(j, list, NULL, in->items[i].id);
}

char *poise_comparison_json(const PoiseComparison *c)
{
    PoiseJson j = poise_json_begin();
    poise_json_number(&j, NULL, "poise", 1);
    poise_json_text(&j, NULL, "name", c->weighings[0]->name);
    cJSON *list = poise_json_array(&j, NULL, "variants");
    for (size_t i = 0; i < c->count; i++) {
        const PoiseWeighing *w = c->weighings[i];
        cJSON *o = poise_json_object(&j, list, NULL);
        poise_json_text(&j, o, "variant", w->variant);
        add_values(&j, o, w, NULL);
        poise_json_vector(&j, o, "centre_mm", w->total.centre_mm, 3);
        for (size_t m = 0; m < POISE_WORD_MEASURE_COUNT; m++)
            poise_json_text(&j, o, POISE_WORD_MEASURES[m].key, POISE_WORD_MEASURES[m].word(w));
        add_values(&j, poise_json_object(&j, o, "difference"), w, c->weighings[0]);
        add_aside(&j, o, c->instruments[i]);
    }
    return poise_json_end(&j);
}

char *poise_comparison_csv(const PoiseComparison *c)
{
    PoiseText t = {0};
    poise_text_append(&t, "variant");
    for (size_t m = 0; m < POISE_MEASURE_COUNT; m++)
        poise_text_printf(&t, ",%s", POISE_MEASURES[m].key);
    for (size_t m = 0; m < POISE_WORD_MEASURE_COUNT; m++)
        poise_text_printf(&t, ",%s", POISE_WORD_MEASURES[m].key);
    for (size_t m = 0; m < POISE_MEASURE_COUNT; m++)
        poise_text_printf(&t, ",difference_%s", POISE_MEASURES[m].key);
    poise_text_append(&t, "\r\n");
    for (size_t i = 0; i < c->count; i++) {
        const PoiseWeighing *w = c->weighings[i];
        poise_csv_field(&t, w->variant ? w->variant : "");
        for (size_t m = 0; m < POISE_MEASURE_COUNT; m++) {
            poise_text_append(&t, ",");
            poise_csv_number(&t, POISE_MEASURES[m].value(w));
        }
        for (size_t m = 0; m < POISE_WORD_MEASURE_COUNT; m++) {
            const char *word = POISE_WORD_MEASURES[m].word(w);
            poise_text_printf(&t, ",%s", word ? word : "");
        }
        for (size_t m = 0; m < POISE_MEASURE_COUNT; m++) {
            poise_text_append(&t, ",");
            poise_csv_number(&t,
                             POISE_MEASURES[m].value(w) - POISE_MEASURES[m].value(c->weighings[0]));
        }
        poise_text_append(&t, "\r\n");
    }
    return poise_text_take(&t);
}
