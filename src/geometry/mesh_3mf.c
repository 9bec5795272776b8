/* 3MF: a zip package with a model in XML. 3MF Core Specification 1.4.0, in its ISO edition ISO/IEC
 * 25422. Parts are only read in memory, never written anywhere, so their names can lead nowhere. */
#include "geometry/mesh_3mf.h"

#include <string.h>
#include <zip.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "geometry/mesh_build.h"

/* Components within components. */
enum { MOST_NESTED = 32 };
/* Objects put in place, counting every copy; stops components that double at every level. */
enum { MOST_COPIES = 100000 };
/* Bytes a part may inflate to however small it is packed: short XML packs well. */
static const size_t FREE_INFLATED_BYTES = (size_t)4 << 20;

static PoiseStatus say(PoiseFaults *faults, const char *name, const char *what, const char *detail)
{
    return poise_fault_say(faults, POISE_E_MESH, name, "not a readable 3MF file: %s%s%s", what,
                           detail ? ": " : "", detail ? detail : "");
}

static PoiseStatus zip_fault(PoiseFaults *faults, const char *name, zip_error_t *error)
{
    if (zip_error_code_zip(error) == ZIP_ER_MEMORY)
        return poise_fault_memory(faults);
    return say(faults, name, "the zip package is damaged", zip_error_strerror(error));
}

/* Inflates a part into a reader, within the limits. */
static PoiseStatus read_part(zip_t *zip, const char *part, Poise3mfReader *reader, const char *name,
                             PoiseFaults *faults)
{
    zip_stat_t stat;
    zip_stat_init(&stat);
    if (zip_stat(zip, part, 0, &stat) != 0)
        return say(faults, name, "the package has no part", part);
    if (!(stat.valid & ZIP_STAT_COMP_SIZE))
        return say(faults, name, "a part does not say its size", part);
    zip_file_t *file = zip_fopen(zip, part, 0);
    if (!file)
        return zip_fault(faults, name, zip_get_error(zip));
    enum { PIECE = 65536 };
    PoiseStatus status = POISE_OK;
    size_t total = 0;
    char *piece = poise_alloc(PIECE);
    if (!piece)
        status = poise_fault_memory(faults);
    for (zip_int64_t n = 1; !status && n > 0;) {
        n = zip_fread(file, piece, PIECE);
        if (n < 0) {
            status = zip_fault(faults, name, zip_file_get_error(file));
            break;
        }
        total += (size_t)n;
        if (total > POISE_LIMIT_INFLATED_BYTES ||
            (total > FREE_INFLATED_BYTES && total / POISE_LIMIT_INFLATE_RATIO > stat.comp_size))
            status = say(faults, name, "a part inflates to far more than it is packed", part);
        else
            status = poise_3mf_reader_feed(reader, piece, (size_t)n, n == 0);
    }
    poise_release(piece);
    zip_fclose(file);
    return status;
}

static PoiseStatus read_model(zip_t *zip, Poise3mfModel *model, const char *name,
                              PoiseFaults *faults)
{
    Poise3mfReader *relations = poise_3mf_reader_new(NULL, name, faults), *reader = NULL;
    PoiseStatus status = relations ? read_part(zip, "_rels/.rels", relations, name, faults)
                                   : poise_fault_memory(faults);
    const char *part = status ? NULL : poise_3mf_reader_target(relations);
    if (!status && !part)
        status = say(faults, name, "its relationships name no model part", NULL);
    if (!status) {
        reader = poise_3mf_reader_new(model, name, faults);
        status = reader ? read_part(zip, part, reader, name, faults) : poise_fault_memory(faults);
    }
    poise_3mf_reader_free(reader);
    poise_3mf_reader_free(relations);
    return status;
}

/* Putting the build items together. */
typedef struct Assembly {
    Poise3mfModel *model;
    PoiseWeld *weld;
    const char *name;
    PoiseFaults *faults;
    size_t copies;
} Assembly;

static PoiseStatus refuse(const Assembly *a, size_t line, const char *found, const char *expected)
{
    return poise_fault_add(a->faults, &(PoiseFault){.status = POISE_E_MESH,
                                                    .file = a->name,
                                                    .line = line,
                                                    .column = 1,
                                                    .found = found,
                                                    .expected = expected});
}

/* `inner` first, then `outer`: row vectors, so the product is inner · outer. */
static Poise3mfTransform chain(const Poise3mfTransform *inner, const Poise3mfTransform *outer)
{
    Poise3mfTransform t;
    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 3; j++) {
            t.m[i][j] = i == 3 ? outer->m[3][j] : 0.0;
            for (int k = 0; k < 3; k++)
                t.m[i][j] += inner->m[i][k] * outer->m[k][j];
        }
    return t;
}

static double determinant(const Poise3mfTransform *t)
{
    const double(*m)[3] = t->m;
    return m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
           m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
           m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
}

static PoiseStatus place_vertices(Assembly *a, const Poise3mfObject *o, const Poise3mfTransform *t,
                                  size_t line, uint32_t *number)
{
    for (size_t v = 0; v < o->vertex_count; v++) {
        const double *p = &a->model->vertices[3 * (o->first_vertex + v)];
        double q[3];
        for (int j = 0; j < 3; j++)
            q[j] = (p[0] * t->m[0][j] + p[1] * t->m[1][j] + p[2] * t->m[2][j] + t->m[3][j]) *
                   a->model->unit_mm;
        if (!poise_coordinates_ok(q)) {
            char *where = poise_format("the object used in line %zu of the model", line);
            if (!where)
                return poise_fault_memory(a->faults);
            PoiseStatus status = poise_coordinates_fault(q, a->name, where, a->faults);
            poise_release(where);
            return status;
        }
        if (!poise_weld_corners(a->weld, (const double(*)[3]) & q, 1, &number[v]))
            return poise_fault_memory(a->faults);
    }
    return POISE_OK;
}

static PoiseStatus place_mesh(Assembly *a, const Poise3mfObject *o, const Poise3mfTransform *t,
                              size_t line)
{
    if (o->triangle_count > POISE_LIMIT_TRIANGLES - a->weld->triangle_count)
        return refuse(a, line, "more triangles than can be read", "20 million at most");
    double volume_factor = determinant(t);
    if (volume_factor == 0.0)
        return refuse(a, line, "a transform that flattens its object",
                      "a determinant other than 0");
    uint32_t *number = poise_resize(NULL, o->vertex_count, sizeof *number);
    if (!number)
        return poise_fault_memory(a->faults);
    PoiseStatus status = place_vertices(a, o, t, line, number);
    for (size_t k = 0; k < o->triangle_count && !status; k++) {
        const uint32_t *v = &a->model->triangles[3 * (o->first_triangle + k)];
        uint32_t triangle[3] = {number[v[0]], number[v[1]], number[v[2]]};
        if (volume_factor < 0.0) { /* 3.3: the shape must not change the sign of its volume */
            triangle[1] = number[v[2]];
            triangle[2] = number[v[1]];
        }
        if (!poise_weld_triangle(a->weld, triangle))
            status = poise_fault_memory(a->faults);
    }
    poise_release(number);
    return status;
}

static Poise3mfObject *find_object(const Poise3mfModel *model, uint32_t id)
{
    for (size_t i = 0; i < model->object_count; i++)
        if (model->objects[i].id == id)
            return &model->objects[i];
    return NULL;
}

static PoiseStatus place(Assembly *a, const Poise3mfUse *use, const Poise3mfTransform *outer,
                         int nested)
{
    Poise3mfObject *o = find_object(a->model, use->object_id);
    if (!o)
        return refuse(a, use->line, "an object id that no object has",
                      "the id of an object of the model");
    if (o->busy)
        return refuse(a, use->line, "an object that contains itself", "components without cycles");
    if (nested == MOST_NESTED)
        return refuse(a, use->line, "components nested too deeply", "32 levels at most");
    if (a->copies++ == MOST_COPIES)
        return refuse(a, use->line, "too many copies of objects", "100000 at most");
    if (o->type == POISE_3MF_SUPPORT)
        return POISE_OK; /* broken off after printing: no part of the body */
    if (o->type == POISE_3MF_OTHER)
        return refuse(a, use->line, "an object that is not a solid", "objects of type \"model\"");
    Poise3mfTransform t = chain(&use->transform, outer);
    o->busy = true;
    PoiseStatus status = o->triangle_count ? place_mesh(a, o, &t, use->line) : POISE_OK;
    for (size_t i = 0; i < o->component_count && !status; i++)
        status = place(a, &a->model->components[o->first_component + i], &t, nested + 1);
    o->busy = false;
    return status;
}

PoiseStatus poise_3mf_package(const unsigned char *data, size_t size, const char *name,
                              PoiseWeld *weld, PoiseFaults *faults)
{
    static const Poise3mfTransform identity = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0, 0, 0}}};
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t *source = zip_source_buffer_create(data, size, 0, &error);
    zip_t *zip = source ? zip_open_from_source(source, ZIP_RDONLY, &error) : NULL;
    if (!zip) {
        PoiseStatus status = zip_fault(faults, name, &error);
        if (source)
            zip_source_free(source);
        zip_error_fini(&error);
        return status;
    }
    zip_error_fini(&error);
    Poise3mfModel model = {0};
    PoiseStatus status = read_model(zip, &model, name, faults);
    zip_discard(zip);
    Assembly assembly = {.model = &model, .weld = weld, .name = name, .faults = faults};
    if (!status && model.item_count == 0)
        status = say(faults, name, "its build has no items", NULL);
    for (size_t i = 0; i < model.item_count && !status; i++)
        status = place(&assembly, &model.items[i], &identity, 0);
    poise_3mf_model_clear(&model);
    return status;
}
