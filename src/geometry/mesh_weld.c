#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "geometry/mesh_build.h"

/* Vertices this many at least, so that small meshes do not grow their tables again and again. */
enum { FEW_VERTICES = 64 };

static uint64_t hash_corner(const double p[3])
{
    uint64_t b[3];
    memcpy(b, p, sizeof b);
    /* Odd constants from the golden ratio and its relatives; the shifts bring the high bits, where
     * doubles differ, down to where the table looks. */
    uint64_t h = b[0] * 0x9E3779B97F4A7C15U;
    h = (h ^ (h >> 32) ^ b[1]) * 0xC2B2AE3D27D4EB4FU;
    h = (h ^ (h >> 29) ^ b[2]) * 0x165667B19E3779F9U;
    return h ^ (h >> 32);
}

static bool grow_vertices(PoiseWeld *w, size_t capacity)
{
    double *larger = poise_resize(w->vertices_mm, capacity, 3 * sizeof *larger);
    if (!larger)
        return false;
    w->vertices_mm = larger;
    w->vertex_capacity = capacity;
    return true;
}

static bool grow_triangles(PoiseWeld *w, size_t capacity)
{
    uint32_t *larger = poise_resize(w->triangles, capacity, 3 * sizeof *larger);
    if (!larger)
        return false;
    w->triangles = larger;
    w->triangle_capacity = capacity;
    return true;
}

/* A new table of at least `slots` slots with all vertices put in. */
static bool grow_slots(PoiseWeld *w, size_t slots)
{
    size_t count = 2 * FEW_VERTICES;
    while (count < slots)
        count *= 2;
    PoiseWeldSlot *table = poise_alloc_zero(count, sizeof *table);
    if (!table)
        return false;
    for (size_t v = 0; v < w->vertex_count; v++) {
        uint64_t h = hash_corner(&w->vertices_mm[3 * v]);
        size_t at = (size_t)h & (count - 1);
        while (table[at].vertex)
            at = (at + 1) & (count - 1);
        table[at] = (PoiseWeldSlot){(uint32_t)(h >> 32), (uint32_t)v + 1};
    }
    poise_release(w->slots);
    w->slots = table;
    w->slot_count = count;
    return true;
}

/* Room for n more vertices, the table at most half full. */
static bool make_room(PoiseWeld *w, size_t n)
{
    size_t need = w->vertex_count + n;
    if (need > w->vertex_capacity && !grow_vertices(w, need + need / 2 + FEW_VERTICES))
        return false;
    return 2 * need <= w->slot_count || grow_slots(w, 4 * need);
}

bool poise_weld_reserve(PoiseWeld *w, size_t triangles)
{
    /* A closed mesh has about half as many vertices as triangles (Euler). */
    return grow_triangles(w, w->triangle_count + triangles) &&
           make_room(w, triangles / 2 + FEW_VERTICES);
}

static inline bool same(const PoiseWeld *w, const PoiseWeldSlot *slot, uint32_t tag,
                        const double p[3])
{
    if (slot->tag != tag)
        return false;
    const double *q = &w->vertices_mm[3 * ((size_t)slot->vertex - 1)];
    return (q[0] == p[0]) & (q[1] == p[1]) & (q[2] == p[2]); /* one branch for all three */
}

bool poise_weld_corners(PoiseWeld *w, const double (*corners)[3], size_t n, uint32_t *vertices)
{
    if (!make_room(w, n))
        return false;
    double p[POISE_WELD_BATCH][3];
    uint64_t hash[POISE_WELD_BATCH];
    size_t mask = w->slot_count - 1;
    /* Hash all first: the table's slots come from memory while the others are worked out. */
    for (size_t k = 0; k < n; k++) {
        for (int i = 0; i < 3; i++)
            p[k][i] = corners[k][i] + 0.0; /* −0 + 0 = 0 */
        hash[k] = hash_corner(p[k]);
        __builtin_prefetch(&w->slots[(size_t)hash[k] & mask]);
    }
    for (size_t k = 0; k < n; k++) {
        size_t at = (size_t)hash[k] & mask;
        uint32_t tag = (uint32_t)(hash[k] >> 32);
        while (w->slots[at].vertex && !same(w, &w->slots[at], tag, p[k]))
            at = (at + 1) & mask;
        PoiseWeldSlot *slot = &w->slots[at];
        if (!slot->vertex) {
            memcpy(&w->vertices_mm[3 * w->vertex_count], p[k], sizeof p[k]);
            *slot = (PoiseWeldSlot){tag, (uint32_t)++w->vertex_count};
        }
        vertices[k] = slot->vertex - 1;
    }
    return true;
}

bool poise_weld_triangle(PoiseWeld *w, const uint32_t v[3])
{
    if (v[0] == v[1] || v[1] == v[2] || v[2] == v[0]) {
        w->dropped++;
        return true;
    }
    if (w->triangle_count == w->triangle_capacity &&
        !grow_triangles(w, 2 * w->triangle_capacity + FEW_VERTICES))
        return false;
    memcpy(&w->triangles[3 * w->triangle_count], v, 3 * sizeof *v);
    w->triangle_count++;
    return true;
}

void poise_weld_clear(PoiseWeld *w)
{
    poise_release(w->vertices_mm);
    poise_release(w->triangles);
    poise_release(w->slots);
    *w = (PoiseWeld){0};
}

static void find_bounds(PoiseMesh *mesh)
{
    for (int i = 0; i < 3; i++)
        mesh->min_mm[i] = mesh->max_mm[i] = mesh->vertices_mm[i];
    for (size_t v = 1; v < mesh->vertex_count; v++)
        for (size_t i = 0; i < 3; i++) {
            double x = mesh->vertices_mm[3 * v + i];
            if (x < mesh->min_mm[i])
                mesh->min_mm[i] = x;
            if (x > mesh->max_mm[i])
                mesh->max_mm[i] = x;
        }
}

PoiseStatus poise_weld_finish(PoiseWeld *w, const char *name, PoiseMesh **out, PoiseFaults *faults)
{
    if (w->triangle_count == 0) {
        poise_weld_clear(w);
        return poise_fault_say(faults, POISE_E_MESH, name, "the mesh has no triangles");
    }
    poise_release(w->slots);
    w->slots = NULL;
    PoiseMesh *mesh = poise_alloc_zero(1, sizeof *mesh);
    if (!mesh || !grow_vertices(w, w->vertex_count) || !grow_triangles(w, w->triangle_count)) {
        poise_release(mesh);
        poise_weld_clear(w);
        return poise_fault_memory(faults);
    }
    mesh->vertex_count = w->vertex_count;
    mesh->triangle_count = w->triangle_count;
    mesh->vertices_mm = w->vertices_mm;
    mesh->triangles = w->triangles;
    mesh->dropped_triangles = w->dropped;
    find_bounds(mesh);
    if (w->integrated) {
        double middle[3];
        for (int i = 0; i < 3; i++)
            middle[i] = 0.5 * (mesh->min_mm[i] + mesh->max_mm[i]);
        mesh->moments = poise_moments_about(&w->moments, middle);
        mesh->integrated = 1;
    }
    *w = (PoiseWeld){0};
    *out = mesh;
    return POISE_OK;
}

PoiseStatus poise_coordinates_fault(const double p[3], const char *name, const char *where,
                                    PoiseFaults *faults)
{
    char number[3][32];
    for (int i = 0; i < 3; i++)
        poise_double_text(p[i], number[i]);
    char *found =
        poise_format("a corner at (%s, %s, %s) mm in %s", number[0], number[1], number[2], where);
    if (!found)
        return poise_fault_memory(faults);
    poise_fault_add(faults,
                    &(PoiseFault){.status = POISE_E_MESH,
                                  .file = name,
                                  .found = found,
                                  .expected = "finite coordinates within 10 m of the origin",
                                  .hint = "the unit may be wrong, or the file damaged"});
    poise_release(found);
    return POISE_E_MESH;
}

void poise_mesh_free(PoiseMesh *mesh)
{
    if (!mesh)
        return;
    poise_release(mesh->vertices_mm);
    poise_release(mesh->triangles);
    poise_release(mesh);
}
