/* What the page knows of the instrument: the engine's numbers, and sliders. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/memory.h"
#include "output/json_build.h"
#include "report/explorer_model.h"

/* What the sliders reach. */
static const double LEAST_ANGLE_DEG = -30.0, MOST_ANGLE_DEG = 80.0;
static const double MOST_FRICTION = 1.0;
/* Ballast when the file sets no bound, g, and how far it may be moved, mm. */
static const double MOST_BALLAST_G = 500.0, FARTHEST_MM = 250.0;

typedef struct Slider {
    const char *group, *unit, *label;
    size_t number;   /* which of the engine's numbers it moves */
    double value, u; /* as in the file; u: its ±, kept when it is moved */
    double least, most, step;
    double scale; /* shown = value·scale */
    int ballast;  /* which ballast; −1: none */
    const char *path[4];
} Slider;

static void add_slider(PoiseJson *json, cJSON *list, const Slider *s)
{
    cJSON *one = poise_json_object(json, list, NULL);
    PoiseText inert = {0};
    poise_text_append_inert(&inert, s->label);
    poise_json_text(json, one, "group", s->group);
    poise_json_text(json, one, "label", inert.data ? inert.data : "");
    json->failed = json->failed || inert.failed;
    poise_text_clear(&inert);
    poise_json_text(json, one, "unit", s->unit);
    poise_json_number(json, one, "number", (double)s->number);
    poise_json_number(json, one, "value", s->value);
    poise_json_number(json, one, "u", s->u);
    poise_json_number(json, one, "least", fmin(s->least, s->value * s->scale));
    poise_json_number(json, one, "most", fmax(s->most, s->value * s->scale));
    poise_json_number(json, one, "step", s->step);
    poise_json_number(json, one, "scale", s->scale);
    poise_json_number(json, one, "ballast", s->ballast);
    cJSON *path = poise_json_array(json, one, "path");
    for (size_t i = 0; i < 4 && s->path[i]; i++)
        poise_json_text(json, path, NULL, s->path[i]);
}

static void add_posture(PoiseJson *json, cJSON *list, const PoiseInstrument *in)
{
    const size_t stance = offsetof(PoiseEngineHead, stance);
    Slider angle = {.group = "Playing",
                    .unit = "°",
                    .label = "Neck angle",
                    .number =
                        (stance + offsetof(PoiseStanceSetting, neck_angle_deg)) / sizeof(double),
                    .value = in->neck_angle_deg.value,
                    .u = in->neck_angle_deg.u,
                    .least = LEAST_ANGLE_DEG,
                    .most = MOST_ANGLE_DEG,
                    .step = 1.0,
                    .scale = 1.0,
                    .ballast = -1,
                    .path = {"stance", "neck_angle"}};
    Slider friction = angle;
    add_slider(json, list, &angle);
    friction.unit = "";
    friction.label = "Friction of the strap";
    friction.number = (stance + offsetof(PoiseStanceSetting, friction)) / sizeof(double);
    friction.value = in->friction.value;
    friction.u = in->friction.u;
    friction.least = 0.0;
    friction.most = MOST_FRICTION;
    friction.step = 0.01;
    friction.path[0] = "strap";
    friction.path[1] = "friction";
    add_slider(json, list, &friction);
}

static void add_infills(PoiseJson *json, cJSON *list, const PoiseInstrument *in,
                        const PoiseExplorerModel *m)
{
    for (size_t k = 0; k < m->section_count; k++) {
        const PoiseItem *item = &in->items[m->sections[k]];
        Slider s = {.group = "Infill",
                    .unit = "%",
                    .label = item->id,
                    .number = poise_explorer_infill_at(k),
                    .value = item->as.printed.infill.value,
                    .u = item->as.printed.infill.u,
                    .most = 100.0,
                    .step = 1.0,
                    .scale = 100.0,
                    .ballast = -1,
                    .path = {"items", item->id, "print", "infill"}};
        add_slider(json, list, &s);
    }
}

static void add_ballasts(PoiseJson *json, cJSON *list, const PoiseInstrument *in,
                         const PoiseExplorerModel *m)
{
    for (size_t k = 0; k < m->ballast_count; k++) {
        const PoiseItem *item = &in->items[m->ballasts[k]];
        double most = item->as.mass.ballast_max_g;
        Slider s = {.group = "Ballast",
                    .unit = "g",
                    .label = item->id,
                    .number = poise_explorer_ballast_at(m, k),
                    .value = item->as.mass.mass_g.value,
                    .u = item->as.mass.mass_g.u,
                    .most = most > 0.0 ? most : MOST_BALLAST_G,
                    .step = 1.0,
                    .scale = 1.0,
                    .ballast = (int)k,
                    .path = {"items", item->id, "mass"}};
        add_slider(json, list, &s);
        Slider place = s;
        place.unit = "mm";
        place.value = place.u = 0.0;
        place.least = -FARTHEST_MM;
        place.most = FARTHEST_MM;
        place.path[2] = "at";
        place.group = "Ballast, moved towards the head";
        place.number += offsetof(PoiseEngineBallast, headwards_mm) / sizeof(double);
        add_slider(json, list, &place);
        place.group = "Ballast, moved up";
        place.number += 1;
        add_slider(json, list, &place);
    }
}

/* JSON of ASCII alone: names from files may hold anything, and "<" might end the script. */
static char *in_ascii(const char *json)
{
    PoiseText out = {0};
    size_t left = json ? strlen(json) : 0;
    for (const char *c = json; c && *c;) {
        unsigned code = 0;
        size_t n = poise_utf8_next(c, left, &code);
        if (n == 0) { /* never: names are checked when they are read */
            code = 0xFFFD;
            n = 1;
        }
        if (code >= 0x10000)
            poise_text_printf(&out, "\\u%04x\\u%04x", 0xD800 + ((code - 0x10000) >> 10),
                              0xDC00 + ((code - 0x10000) & 0x3FF));
        else if (code >= 0x7F || code == '<' || code == '&')
            poise_text_printf(&out, "\\u%04x", code);
        else
            poise_text_append_n(&out, c, 1);
        c += n;
        left -= n;
    }
    return poise_text_take(&out);
}

char *poise_explorer_json(const PoiseSheetSource *source, const PoiseExplorerModel *m)
{
    PoiseJson json = poise_json_begin();
    cJSON *numbers = poise_json_array(&json, NULL, "numbers");
    for (size_t i = 0; i < m->number_count; i++)
        poise_json_number(&json, numbers, NULL, m->numbers[i]);
    cJSON *results = poise_json_array(&json, NULL, "results");
    for (size_t i = 0; POISE_ENGINE_RESULTS[i]; i++)
        poise_json_text(&json, results, NULL, POISE_ENGINE_RESULTS[i]);
    poise_json_bool(&json, NULL, "left", source->instrument->frame.left);
    cJSON *sliders = poise_json_array(&json, NULL, "sliders");
    add_posture(&json, sliders, source->instrument);
    add_infills(&json, sliders, source->instrument, m);
    add_ballasts(&json, sliders, source->instrument, m);
    char *text = poise_json_end(&json);
    char *ascii = text ? in_ascii(text) : NULL;
    poise_release(text);
    return ascii;
}
