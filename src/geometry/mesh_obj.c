/* OBJ: vertices and polygonal faces; everything else about looks is passed over. */
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "geometry/face.h"
#include "geometry/mesh_build.h"
#include "geometry/number.h"

#define NOT_WELDED UINT32_MAX

typedef struct Obj {
    const char *p, *end;         /* the rest of the line, without its end */
    const char *next, *file_end; /* the next line */
    size_t line;
    const char *name;
    PoiseFaults *faults;
    double scale;
    double (*points)[3]; /* as in the file, mm */
    uint32_t *welded;    /* vertex number in the mesh, or NOT_WELDED */
    size_t count, capacity;
    uint32_t *corners; /* of the face at hand, vertex numbers in the mesh */
    uint32_t *cut;     /* its triangles */
    size_t corner_count, corner_capacity;
    PoiseWeld *weld;
} Obj;

static PoiseStatus fault(Obj *o, const char *found, const char *expected)
{
    return poise_fault_add(o->faults, &(PoiseFault){.status = POISE_E_MESH,
                                                    .file = o->name,
                                                    .line = o->line,
                                                    .column = 1,
                                                    .found = found,
                                                    .expected = expected});
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f';
}

/* Takes up the line at o->next. */
static void start_line(Obj *o)
{
    o->p = o->next;
    const char *newline = memchr(o->p, '\n', (size_t)(o->file_end - o->p));
    o->end = newline ? newline : o->file_end;
    o->next = newline ? newline + 1 : o->file_end;
    if (o->end > o->p && o->end[-1] == '\r')
        o->end--;
    o->line++;
}

/* The length of the next word on the line, past blanks and backslash-newline joints; 0 at its end.
 */
static size_t next_word(Obj *o)
{
    for (;;) {
        while (o->p < o->end && is_blank(*o->p))
            o->p++;
        if (o->p + 1 != o->end || *o->p != '\\')
            break;
        start_line(o);
    }
    const char *q = o->p;
    while (q < o->end && !is_blank(*q))
        q++;
    return (size_t)(q - o->p);
}

static bool word_is(const Obj *o, size_t n, const char *word)
{
    return n == strlen(word) && memcmp(o->p, word, n) == 0;
}

static PoiseStatus take_point(Obj *o)
{
    double p[3];
    for (int i = 0; i < 3; i++) {
        size_t n = next_word(o);
        double value;
        if (n == 0 || poise_number_scan(o->p, o->p + n, &value) != n)
            return fault(o, "a vertex without three numbers", "\"v x y z\"");
        o->p += n;
        p[i] = value * o->scale;
    }
    /* A weight or a colour may follow. */
    if (!poise_coordinates_ok(p)) {
        char *where = poise_format("line %zu", o->line);
        if (!where)
            return poise_fault_memory(o->faults);
        PoiseStatus status = poise_coordinates_fault(p, o->name, where, o->faults);
        poise_release(where);
        return status;
    }
    if (o->count == o->capacity) {
        size_t capacity = o->capacity ? 2 * o->capacity : 1024;
        void *points = poise_resize(o->points, capacity, sizeof *o->points);
        if (points)
            o->points = points;
        void *welded = poise_resize(o->welded, capacity, sizeof *o->welded);
        if (welded)
            o->welded = welded;
        if (!points || !welded)
            return poise_fault_memory(o->faults);
        o->capacity = capacity;
    }
    if (o->count >= POISE_LIMIT_TRIANGLES)
        return fault(o, "more vertices than can be read", "20 million at most");
    memcpy(o->points[o->count], p, sizeof p);
    o->welded[o->count++] = NOT_WELDED;
    return POISE_OK;
}

/* "12", "12/3", "12//4", "-1": the vertex is the number before the first slash; negative ones count
 * back from the last vertex so far. */
static bool take_reference(const Obj *o, size_t n, size_t *index)
{
    size_t i = o->p[0] == '-', value = 0, digits = i;
    for (; i < n && o->p[i] >= '0' && o->p[i] <= '9'; i++)
        value = value < POISE_LIMIT_TRIANGLES * 10 ? 10 * value + (size_t)(o->p[i] - '0') : value;
    if (i == digits || (i < n && o->p[i] != '/') || value == 0 || value > o->count)
        return false;
    *index = o->p[0] == '-' ? o->count - value : value - 1;
    return true;
}

static PoiseStatus add_corner(Obj *o, size_t index)
{
    if (o->welded[index] == NOT_WELDED &&
        !poise_weld_corners(o->weld, (const double(*)[3]) & o->points[index], 1, &o->welded[index]))
        return poise_fault_memory(o->faults);
    /* Corners on one another make no edge. */
    if (o->corner_count && o->corners[o->corner_count - 1] == o->welded[index])
        return POISE_OK;
    if (o->corner_count == o->corner_capacity) {
        size_t capacity = o->corner_capacity ? 2 * o->corner_capacity : 64;
        void *corners = poise_resize(o->corners, capacity, sizeof *o->corners);
        if (corners)
            o->corners = corners;
        void *cut = poise_resize(o->cut, capacity, 3 * sizeof *o->cut);
        if (cut)
            o->cut = cut;
        if (!corners || !cut)
            return poise_fault_memory(o->faults);
        o->corner_capacity = capacity;
    }
    o->corners[o->corner_count++] = o->welded[index];
    return POISE_OK;
}

static PoiseStatus take_face(Obj *o)
{
    size_t n, named = 0;
    o->corner_count = 0;
    for (; (n = next_word(o)) > 0; named++) {
        size_t index;
        if (!take_reference(o, n, &index))
            return fault(o, "a face that names a vertex not there",
                         "numbers of vertices defined above");
        PoiseStatus status = add_corner(o, index);
        if (status)
            return status;
        o->p += n;
    }
    if (named < 3)
        return fault(o, "a face with fewer than three corners", "three or more");
    while (o->corner_count > 1 && o->corners[0] == o->corners[o->corner_count - 1])
        o->corner_count--;
    if (o->corner_count < 3) {
        o->weld->dropped++;
        return POISE_OK;
    }
    if (o->weld->triangle_count + o->corner_count > POISE_LIMIT_TRIANGLES)
        return fault(o, "more triangles than can be read", "20 million at most");
    size_t triangles = 0;
    PoiseStatus status =
        poise_face_cut(o->weld->vertices_mm, o->corners, o->corner_count, o->cut, &triangles);
    if (status == POISE_E_MEMORY)
        return poise_fault_memory(o->faults);
    if (status)
        return fault(o, "a face that crosses itself, or has too many corners and is not convex",
                     "a simple polygon");
    for (size_t k = 0; k < triangles; k++)
        if (!poise_weld_triangle(o->weld, &o->cut[3 * k]))
            return poise_fault_memory(o->faults);
    return POISE_OK;
}

static PoiseStatus take_statement(Obj *o)
{
    /* What the format has besides: texture and normal vectors, groups, materials, points and lines,
     * and other settings that carry no facets. */
    static const char *const PASSED_OVER[] = {
        "vt",         "vn",        "vp",    "o",        "g",       "s",      "mg",
        "usemtl",     "mtllib",    "l",     "p",        "lod",     "usemap", "maplib",
        "shadow_obj", "trace_obj", "bevel", "c_interp", "d_interp"};
    size_t n = next_word(o);
    if (n == 0 || o->p[0] == '#')
        return POISE_OK;
    if (word_is(o, n, "v")) {
        o->p += n;
        return take_point(o);
    }
    if (word_is(o, n, "f") || word_is(o, n, "fo")) {
        o->p += n;
        return take_face(o);
    }
    for (size_t i = 0; i < sizeof PASSED_OVER / sizeof *PASSED_OVER; i++)
        if (word_is(o, n, PASSED_OVER[i]))
            return POISE_OK;
    if (word_is(o, n, "cstype") || word_is(o, n, "surf") || word_is(o, n, "curv"))
        return fault(o, "a free-form surface", "polygons; export the mesh, not the surfaces");
    return fault(o, "text that is neither STL nor OBJ", "STL, 3MF or OBJ");
}

PoiseStatus poise_obj_text(const char *data, size_t size, const char *name, double scale,
                           PoiseWeld *weld, PoiseFaults *faults)
{
    Obj o = {.next = data,
             .file_end = data + size,
             .name = name,
             .faults = faults,
             .scale = scale,
             .weld = weld};
    PoiseStatus status = POISE_OK;
    while (!status && o.next < o.file_end) {
        start_line(&o);
        status = take_statement(&o);
    }
    poise_release(o.points);
    poise_release(o.welded);
    poise_release(o.corners);
    poise_release(o.cut);
    return status;
}
