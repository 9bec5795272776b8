/* CSV and JSON of a sweep. */
#include <math.h>

#include <cjson/cJSON.h>

#include "base/locale_guard.h"
#include "decide/sweep_report.h"
#include "output/csv.h"

typedef struct Column {
    const char *name;
    size_t at; /* offset in the row */
} Column;

static const Column NUMBERS[] = {
    {"mass_g", offsetof(PoiseSweepRow, mass_g)},
    {"station_mm", offsetof(PoiseSweepRow, station_mm)},
    {"margin_mm", offsetof(PoiseSweepRow, margin_mm)},
    {"hand_load_g", offsetof(PoiseSweepRow, hand_load_g)},
    {"seat_hand_load_g", offsetof(PoiseSweepRow, seat_hand_load_g)},
    {"filament_g", offsetof(PoiseSweepRow, filament_g)},
    {"hours", offsetof(PoiseSweepRow, hours)},
    {"price", offsetof(PoiseSweepRow, price)},
};
enum { NUMBER_COUNT = sizeof NUMBERS / sizeof *NUMBERS };

static double number_at(const PoiseSweepRow *row, const Column *column)
{
    return *(const double *)((const char *)row + column->at);
}

static const char *verdict_of(const PoiseSweepRow *row)
{
    return row->has_strap ? poise_verdict_name(row->verdict) : NULL;
}

static const char *seat_verdict_of(const PoiseSweepRow *row)
{
    return row->has_seat ? poise_verdict_name(row->seat_verdict) : NULL;
}

void poise_sweep_csv_head(PoiseText *t, const PoiseSweep *s)
{
    for (size_t a = 0; a < poise_sweep_axis_count(s); a++) {
        poise_csv_field(t, poise_sweep_axis(s, a)->pointer);
        poise_text_append(t, ",");
    }
    for (size_t i = 0; i < NUMBER_COUNT; i++)
        poise_text_printf(t, "%s,", NUMBERS[i].name);
    poise_text_append(t, "verdict,seat_verdict,targets_met\r\n");
}

void poise_sweep_csv_row(PoiseText *t, const PoiseSweep *s, const PoiseSweepRow *row)
{
    size_t choice[POISE_SWEEP_MOST_AXES];
    poise_sweep_choice(s, row->index, choice);
    for (size_t a = 0; a < poise_sweep_axis_count(s); a++) {
        const PoiseVary *axis = poise_sweep_axis(s, a);
        /* A negative number is no formula. */
        if (cJSON_IsNumber(axis->values[choice[a]]))
            poise_text_append(t, axis->labels[choice[a]]);
        else
            poise_csv_field(t, axis->labels[choice[a]]);
        poise_text_append(t, ",");
    }
    for (size_t i = 0; i < NUMBER_COUNT; i++) {
        poise_csv_number(t, number_at(row, &NUMBERS[i]));
        poise_text_append(t, ",");
    }
    const char *verdict = verdict_of(row), *seat = seat_verdict_of(row);
    poise_text_printf(t, "%s,%s,%s\r\n", verdict ? verdict : "", seat ? seat : "",
                      row->targets_met ? "true" : "false");
}

static void json_value(PoiseText *t, const cJSON *value)
{
    PoiseLocaleGuard guard = poise_locale_enter();
    char *text = cJSON_PrintUnformatted(value);
    poise_locale_leave(&guard);
    if (text)
        poise_text_append(t, text);
    else
        t->failed = true;
    cJSON_free(text);
}

static void json_text(PoiseText *t, const char *text)
{
    cJSON *value = text ? cJSON_CreateString(text) : cJSON_CreateNull();
    json_value(t, value);
    cJSON_Delete(value);
}

static void json_number(PoiseText *t, double value)
{
    char digits[32];
    if (!isfinite(value)) {
        poise_text_append(t, "null");
        return;
    }
    poise_double_text(value, digits);
    poise_text_append(t, digits);
}

static void json_numbers(PoiseText *t, const PoiseSweepRow *row)
{
    for (size_t i = 0; i < NUMBER_COUNT; i++) {
        poise_text_printf(t, "\"%s\": ", NUMBERS[i].name);
        json_number(t, number_at(row, &NUMBERS[i]));
        poise_text_append(t, ", ");
    }
    poise_text_append(t, "\"verdict\": ");
    json_text(t, verdict_of(row));
    poise_text_append(t, ", \"seat_verdict\": ");
    json_text(t, seat_verdict_of(row));
    poise_text_printf(t, ", \"targets_met\": %s}", row->targets_met ? "true" : "false");
}

static void json_object(PoiseText *t, const PoiseSweep *s, const PoiseSweepRow *row)
{
    size_t choice[POISE_SWEEP_MOST_AXES];
    poise_sweep_choice(s, row->index, choice);
    poise_text_printf(t, "{\"index\": %llu, \"values\": [", (unsigned long long)row->index);
    for (size_t a = 0; a < poise_sweep_axis_count(s); a++) {
        poise_text_append(t, a ? ", " : "");
        json_value(t, poise_sweep_axis(s, a)->values[choice[a]]);
    }
    poise_text_append(t, "], ");
    json_numbers(t, row);
}

void poise_sweep_json_head(PoiseText *t, const PoiseSweep *s)
{
    const PoiseWeighing *w = poise_sweep_base(s);
    poise_text_append(t, "{\n  \"poise\": 1,\n  \"name\": ");
    json_text(t, w->name);
    poise_text_append(t, ",\n  \"variant\": ");
    json_text(t, poise_sweep_variant(s));
    poise_text_printf(t, ",\n  \"count\": %llu,\n  \"vary\": [",
                      (unsigned long long)poise_sweep_count(s));
    for (size_t a = 0; a < poise_sweep_axis_count(s); a++) {
        const PoiseVary *axis = poise_sweep_axis(s, a);
        poise_text_append(t, a ? ",\n    {\"pointer\": " : "\n    {\"pointer\": ");
        json_text(t, axis->pointer);
        poise_text_append(t, ", \"values\": [");
        for (size_t i = 0; i < axis->count; i++) {
            poise_text_append(t, i ? ", " : "");
            json_value(t, axis->values[i]);
        }
        poise_text_append(t, "]}");
    }
    poise_text_append(t, "\n  ],\n  \"rows\": [");
}

void poise_sweep_json_row(PoiseText *t, const PoiseSweep *s, const PoiseSweepRow *row, bool first)
{
    poise_text_append(t, first ? "\n    " : ",\n    ");
    json_object(t, s, row);
}

void poise_sweep_json_tail(PoiseText *t, const PoiseSweep *s, const PoiseSweepFindings *found)
{
    poise_text_append(t, "\n  ],\n  \"front\": [");
    for (size_t i = 0; i < found->front_count; i++)
        poise_sweep_json_row(t, s, &found->front[i], i == 0);
    poise_text_append(t, "\n  ],\n  \"front_step_g\": ");
    json_number(t, found->front_step_g);
    poise_text_append(t, ",\n  \"best\": ");
    if (found->has_best)
        json_object(t, s, &found->best);
    else
        poise_text_append(t, "null");
    poise_text_printf(t,
                      ",\n  \"holding\": %llu,\n  \"targets_met\": %llu,\n  \"impossible\": %llu",
                      (unsigned long long)found->holding, (unsigned long long)found->met,
                      (unsigned long long)found->impossible);
    poise_text_append(t, ",\n  \"notes\": [");
    for (size_t i = 0; i < poise_sweep_note_count(s); i++) {
        poise_text_append(t, i ? ", " : "");
        json_text(t, poise_sweep_note(s, i));
    }
    poise_text_append(t, "]\n}\n");
}
