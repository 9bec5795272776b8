/* What the elements of a 3MF model say. 3MF Core Specification 1.4.0. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "geometry/mesh_3mf_reader.h"
#include "geometry/number.h"

/* `list` with room for one more element, perhaps moved; NULL after stopping with "out of memory".
 */
static void *roomy(Poise3mfReader *r, void *list, size_t count, size_t *capacity, size_t size)
{
    if (count < *capacity)
        return list;
    size_t larger = *capacity ? 2 * *capacity : 64;
    void *grown = poise_resize(list, larger, size);
    if (grown)
        *capacity = larger;
    else
        poise_3mf_stop(r, poise_fault_memory(r->faults));
    return grown;
}

static const char *attribute(const XML_Char **attributes, const char *name)
{
    for (; *attributes; attributes += 2)
        if (strcmp(attributes[0], name) == 0)
            return attributes[1];
    return NULL;
}

static const char *skip_space(const char *p)
{
    while (*p == ' ' || *p == '\t' || *p == '\n' || *p == '\r')
        p++;
    return p;
}

/* The whole text is n numbers with white space around them. */
static bool numbers(const char *text, double *values, size_t n)
{
    if (!text)
        return false;
    const char *end = text + strlen(text);
    for (size_t i = 0; i < n; i++) {
        const char *p = skip_space(text);
        size_t taken = poise_number_scan(p, end, &values[i]);
        if (taken == 0 || (i > 0 && p == text) || !isfinite(values[i]))
            return false;
        text = p + taken;
    }
    return *skip_space(text) == '\0';
}

static bool whole_number(const char *text, uint32_t *value)
{
    if (!text)
        return false;
    text = skip_space(text);
    uint64_t sum = 0;
    const char *p = text;
    for (; *p >= '0' && *p <= '9' && sum <= INT32_MAX; p++)
        sum = 10 * sum + (uint64_t)(*p - '0');
    if (p == text || sum > INT32_MAX || *skip_space(p) != '\0') /* ST_ResourceID: below 2³¹ */
        return false;
    *value = (uint32_t)sum;
    return true;
}

void poise_3mf_start_model(Poise3mfReader *r, const XML_Char **attributes)
{
    static const struct {
        const char *name;
        double mm;
    } units[] = {{"millimeter", 1.0}, {"micron", 0.001}, {"centimeter", 10.0},
                 {"inch", 25.4},      {"foot", 304.8},   {"meter", 1000.0}};
    const char *unit = attribute(attributes, "unit"),
               *needs = attribute(attributes, "requiredextensions");
    r->model->unit_mm = unit ? 0.0 : 1.0; /* 3.4: the default is the millimetre */
    for (size_t i = 0; unit && i < sizeof units / sizeof *units; i++)
        if (strcmp(unit, units[i].name) == 0)
            r->model->unit_mm = units[i].mm;
    if (r->model->unit_mm == 0.0)
        poise_3mf_refuse(r, "a unit that 3MF does not know",
                         "micron, millimeter, centimeter, inch, foot or meter");
    else if (needs && *skip_space(needs))
        poise_3mf_refuse(r, "a 3MF file that needs extensions of the format",
                         "3MF core alone; export it without extensions, as one plain mesh file");
}

void poise_3mf_start_object(Poise3mfReader *r, const XML_Char **attributes)
{
    Poise3mfModel *m = r->model;
    uint32_t id;
    if (!whole_number(attribute(attributes, "id"), &id)) {
        poise_3mf_refuse(r, "an object without a number", "id=\"1\" or more");
        return;
    }
    for (size_t i = 0; i < m->object_count; i++)
        if (m->objects[i].id == id) {
            poise_3mf_refuse(r, "two objects with the same id", "an id of its own for each object");
            return;
        }
    enum { MOST_OBJECTS = 10000 }; /* they are searched one by one */
    if (m->object_count >= MOST_OBJECTS) {
        poise_3mf_refuse(r, "too many objects", "10000 at most");
        return;
    }
    const char *type = attribute(attributes, "type");
    Poise3mfObject *list = roomy(r, m->objects, m->object_count, &m->object_capacity, sizeof *list);
    if (!list)
        return;
    m->objects = list;
    Poise3mfObject *o = &list[m->object_count++];
    *o = (Poise3mfObject){.id = id,
                          .type = POISE_3MF_OTHER,
                          .first_vertex = m->vertex_count,
                          .first_triangle = m->triangle_count,
                          .first_component = m->component_count};
    if (!type || strcmp(type, "model") == 0)
        o->type = POISE_3MF_MODEL;
    else if (strcmp(type, "support") == 0 || strcmp(type, "solidsupport") == 0)
        o->type = POISE_3MF_SUPPORT;
}

void poise_3mf_start_vertex(Poise3mfReader *r, const XML_Char **attributes)
{
    Poise3mfModel *m = r->model;
    double p[3];
    if (!numbers(attribute(attributes, "x"), &p[0], 1) ||
        !numbers(attribute(attributes, "y"), &p[1], 1) ||
        !numbers(attribute(attributes, "z"), &p[2], 1)) {
        poise_3mf_refuse(r, "a vertex without three numbers", "x, y and z");
        return;
    }
    if (m->vertex_count >= POISE_LIMIT_TRIANGLES) {
        poise_3mf_refuse(r, "too many vertices", "20 million at most");
        return;
    }
    double *list = roomy(r, m->vertices, m->vertex_count, &m->vertex_capacity, sizeof p);
    if (!list)
        return;
    m->vertices = list;
    memcpy(&list[3 * m->vertex_count++], p, sizeof p);
    m->objects[m->object_count - 1].vertex_count++;
}

void poise_3mf_start_triangle(Poise3mfReader *r, const XML_Char **attributes)
{
    Poise3mfModel *m = r->model;
    Poise3mfObject *o = &m->objects[m->object_count - 1];
    static const char *const key[3] = {"v1", "v2", "v3"};
    uint32_t v[3];
    for (int i = 0; i < 3; i++)
        if (!whole_number(attribute(attributes, key[i]), &v[i]) || v[i] >= o->vertex_count) {
            poise_3mf_refuse(r, "a triangle that names a vertex not there",
                             "v1, v2 and v3 below the number of vertices");
            return;
        }
    if (m->triangle_count >= POISE_LIMIT_TRIANGLES) {
        poise_3mf_refuse(r, "too many triangles", "20 million at most");
        return;
    }
    uint32_t *list = roomy(r, m->triangles, m->triangle_count, &m->triangle_capacity, sizeof v);
    if (!list)
        return;
    m->triangles = list;
    memcpy(&list[3 * m->triangle_count++], v, sizeof v);
    o->triangle_count++;
}

/* A component or an item. */
static bool read_use(Poise3mfReader *r, const XML_Char **attributes, Poise3mfUse *use)
{
    static const Poise3mfTransform identity = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0, 0, 0}}};
    const char *transform = attribute(attributes, "transform");
    *use = (Poise3mfUse){.line = poise_3mf_line(r), .transform = identity};
    for (const XML_Char **a = attributes; *a; a += 2) {
        const char *local = strrchr(a[0], POISE_3MF_SEPARATOR);
        if (local && strcmp(local + 1, "path") == 0) {
            poise_3mf_refuse(r, "an object in another part of the package",
                             "objects of the model part itself");
            return false;
        }
    }
    if (!whole_number(attribute(attributes, "objectid"), &use->object_id)) {
        poise_3mf_refuse(r, "no object named", "objectid=\"number of an object\"");
        return false;
    }
    double m[12];
    if (!transform)
        return true;
    if (!numbers(transform, m, 12)) {
        poise_3mf_refuse(r, "a transform that is not 12 numbers", "\"m00 m01 m02 m10 … m32\"");
        return false;
    }
    memcpy(use->transform.m, m, sizeof m);
    return true;
}

void poise_3mf_start_use(Poise3mfReader *r, const XML_Char **attributes, bool item)
{
    Poise3mfModel *m = r->model;
    enum { MOST_USES = 100000 };
    Poise3mfUse use;
    if (!read_use(r, attributes, &use))
        return;
    if (m->component_count >= MOST_USES || m->item_count >= MOST_USES) {
        poise_3mf_refuse(r, "too many components or items", "100000 at most");
        return;
    }
    Poise3mfUse **list = item ? &m->items : &m->components;
    size_t *count = item ? &m->item_count : &m->component_count;
    size_t *capacity = item ? &m->item_capacity : &m->component_capacity;
    Poise3mfUse *larger = roomy(r, *list, *count, capacity, sizeof use);
    if (!larger)
        return;
    *list = larger;
    larger[(*count)++] = use;
    if (!item)
        m->objects[m->object_count - 1].component_count++;
}

void poise_3mf_start_relationship(Poise3mfReader *r, const XML_Char **attributes)
{
    const char *type = attribute(attributes, "Type"), *target = attribute(attributes, "Target");
    const char *mode = attribute(attributes, "TargetMode");
    if (!type || strcmp(type, POISE_3MF_MODEL_RELATION) != 0 || r->target)
        return;
    if (!target || (mode && strcmp(mode, "Internal") != 0) || strstr(target, "..") ||
        strchr(target, '\\') || strchr(target, ':')) {
        poise_3mf_refuse(r, "a model part outside the package",
                         "a part of the package, such as \"/3D/3dmodel.model\"");
        return;
    }
    r->target = poise_copy_text(target + (*target == '/'));
    if (!r->target)
        poise_3mf_stop(r, poise_fault_memory(r->faults));
}
