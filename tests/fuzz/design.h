/* A whole instrument made from bytes, and its file: as it is, moved, mirrored, or only some of its
 * items. */
#ifndef POISE_TEST_FUZZ_DESIGN_H
#define POISE_TEST_FUZZ_DESIGN_H

#include "base/text.h"
#include "fuzz.h"

enum { DESIGN_ITEMS = 8 };

typedef enum DesignKind {
    DESIGN_POINT,
    DESIGN_BOX,
    DESIGN_CYLINDER,
    DESIGN_SLAB,
    DESIGN_NECK,
    DESIGN_STRINGS,
    DESIGN_KINDS
} DesignKind;

typedef struct DesignItem {
    DesignKind kind;
    double at[3], turn[3], size[3], mass;
    int axis, count;
    bool pocket;
} DesignItem;

typedef struct Design {
    double nut[3], saddle[3], tail[3], horn[3], rest[3], arm[3];
    double strap, friction, angle, arm_mass;
    bool has_seat, has_arm;
    size_t count;
    DesignItem items[DESIGN_ITEMS];
    /* of the ballast put on last; mass 0: none */
    double ballast_at[3], ballast;
} Design;

/* How a design is written. */
typedef struct View {
    double shift[3];
    bool mirror;
    unsigned items; /* bit i: item i is there */
} View;

static inline void design_point(FuzzBytes *b, double reach, double out[3])
{
    for (int i = 0; i < 3; i++)
        out[i] = fuzz_number(b, -reach, reach);
}

static inline DesignItem design_item(FuzzBytes *b)
{
    DesignItem item = {.kind = (DesignKind)fuzz_int(b, 0, DESIGN_KINDS - 1)};
    design_point(b, 700.0, item.at);
    design_point(b, 180.0, item.turn);
    for (int i = 0; i < 3; i++)
        item.size[i] = fuzz_number(b, 1.0, 400.0);
    item.mass = fuzz_number(b, 0.0, 3000.0);
    item.axis = fuzz_int(b, 0, 2);
    item.count = fuzz_int(b, 1, 4);
    item.pocket = fuzz_byte(b) & 1;
    return item;
}

static inline Design design_from(FuzzBytes *b)
{
    Design d = {.count = (size_t)fuzz_int(b, 1, DESIGN_ITEMS)};
    design_point(b, 50.0, d.saddle);
    memcpy(d.nut, d.saddle, sizeof d.nut);
    d.nut[0] += fuzz_number(b, 300.0, 900.0);
    design_point(b, 300.0, d.tail);
    design_point(b, 300.0, d.horn);
    d.horn[0] = d.tail[0] + fuzz_number(b, -20.0, 700.0);
    d.strap = fuzz_number(b, 200.0, 2000.0);
    d.friction = fuzz_number(b, 0.0, 1.2);
    d.angle = fuzz_number(b, -89.0, 89.0);
    unsigned flags = fuzz_byte(b);
    d.has_seat = flags & 1;
    d.has_arm = flags & 2;
    design_point(b, 300.0, d.rest);
    design_point(b, 300.0, d.arm);
    d.arm_mass = fuzz_number(b, 0.0, 2000.0);
    for (size_t i = 0; i < d.count; i++)
        d.items[i] = design_item(b);
    return d;
}

static inline void write_place(PoiseText *t, const View *v, const double p[3], int n)
{
    for (int i = 0; i < n; i++)
        poise_text_printf(t, "%s%.17g", i ? "," : "[",
                          (v->mirror && i == 1 ? -p[i] : p[i]) + v->shift[i]);
    poise_text_append(t, "]");
}

static inline void write_slab(PoiseText *t, const View *v, const DesignItem *item)
{
    double x = item->size[0], y = item->size[1], sign = v->mirror ? -1.0 : 1.0;
    poise_text_printf(t,
                      "\"kind\":\"solid\",\"material\":\"test\",\"thickness\":%.17g,"
                      "\"outline\":[[0,0],[%.17g,0],[%.17g,%.17g],[0,%.17g]]",
                      item->size[2], x, x, sign * y, sign * y / 2.0);
    if (item->pocket)
        poise_text_printf(t, ",\"cut\":[{\"at\":[%.17g,%.17g],\"diameter\":%.17g}]", x / 2.0,
                          sign * y / 4.0, (x < y ? x : y) / 4.0);
}

static inline void write_item(PoiseText *t, const View *v, const DesignItem *item)
{
    const double *s = item->size;
    switch (item->kind) {
    case DESIGN_NECK:
        poise_text_append(t, "\"kind\":\"neck\"");
        return; /* stands where the scale says */
    case DESIGN_STRINGS:
        poise_text_append(t, "\"kind\":\"strings\",\"gauges\":[\"0.25 mm\",\"1.1 mm wound\"]");
        return;
    case DESIGN_SLAB:
        write_slab(t, v, item);
        break;
    case DESIGN_BOX:
        poise_text_printf(t, "\"kind\":\"mass\",\"mass\":%.17g,\"box\":[%.17g,%.17g,%.17g]",
                          item->mass, s[0], s[1], s[2]);
        break;
    case DESIGN_CYLINDER:
        poise_text_printf(
            t,
            "\"kind\":\"mass\",\"mass\":%.17g,\"cylinder\":{\"diameter\":%.17g,\"length\":%.17g,"
            "\"axis\":\"%c\"}",
            item->mass, s[0], s[1], "xyz"[item->axis]);
        break;
    case DESIGN_POINT:
    case DESIGN_KINDS:
        poise_text_printf(t, "\"kind\":\"mass\",\"mass\":%.17g", item->mass);
        break;
    }
    poise_text_printf(t, ",\"count\":%d,\"at\":", item->count);
    write_place(t, v, item->at, 3);
    /* Mirrored in y, turning about x and z goes the other way round. */
    double sign = v->mirror ? -1.0 : 1.0;
    poise_text_printf(t, ",\"turn\":[%.17g,%.17g,%.17g]", sign * item->turn[0], item->turn[1],
                      sign * item->turn[2]);
}

static inline void write_frame(PoiseText *t, const Design *d, const View *v)
{
    poise_text_printf(t, "{\"poise\":1,\"name\":\"made\",\"frame\":{\"handed\":\"%s\"}",
                      v->mirror ? "left" : "right");
    poise_text_append(t, ",\"scale\":{\"nut\":");
    write_place(t, v, d->nut, 3);
    poise_text_append(t, ",\"saddle\":");
    write_place(t, v, d->saddle, 3);
    poise_text_append(t, ",\"frets\":22},\"posts\":{\"tail\":");
    write_place(t, v, d->tail, 3);
    poise_text_append(t, ",\"horn\":");
    write_place(t, v, d->horn, 3);
    poise_text_printf(t,
                      "},\"strap\":{\"length\":%.17g,\"friction\":%.17g},"
                      "\"stance\":{\"neck_angle\":%.17g}",
                      d->strap, d->friction, d->angle);
    if (d->has_seat) {
        poise_text_append(t, ",\"seat\":{\"rest\":");
        write_place(t, v, d->rest, 3);
        if (d->has_arm) {
            poise_text_append(t, ",\"arm\":{\"at\":");
            write_place(t, v, d->arm, 3);
            poise_text_printf(t, ",\"mass\":%.17g}", d->arm_mass);
        }
        poise_text_append(t, "}");
    }
}

/* The instrument file; free with poise_string_free(). */
static inline char *design_file(const Design *d, const View *v)
{
    PoiseText t = {0};
    write_frame(&t, d, v);
    poise_text_append(&t, ",\"materials\":{\"test\":{\"density\":0.6}},\"items\":{");
    bool first = true, seen[DESIGN_KINDS] = {false};
    for (size_t i = 0; i < d->count; i++) {
        DesignKind kind = d->items[i].kind;
        bool once = kind == DESIGN_NECK || kind == DESIGN_STRINGS;
        if (!(v->items >> i & 1) || (once && seen[kind]))
            continue;
        seen[kind] = true;
        poise_text_printf(&t, "%s\"i%zu\":{", first ? "" : ",", i);
        write_item(&t, v, &d->items[i]);
        poise_text_append(&t, "}");
        first = false;
    }
    if (d->ballast > 0.0) {
        poise_text_printf(&t, "%s\"ballast\":{\"kind\":\"mass\",\"mass\":%.17g,\"at\":",
                          first ? "" : ",", d->ballast);
        write_place(&t, v, d->ballast_at, 3);
        poise_text_append(&t, "}");
    }
    poise_text_append(&t, "}}");
    return poise_text_take(&t);
}

#endif
