#include <math.h>
#include <stdio.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/sum.h"
#include "base/text.h"
#include "base/vec.h"
#include "geometry/mesh_build.h"

/* A volume below this times surface × longest side is round-off of none: for a 200 mm part it is a
 * sheet thinner than a nanometre. Dimensionless. */
static const double FLAT = 1e-9;

/* Half-edges sorted by their lower vertex: start[v] … start[v + 1] of `other` holds, for each use
 * of an edge with v as its lower end, 2·(upper vertex) + (1 when it runs from the upper to the
 * lower one). */
typedef struct Edges {
    uint32_t *start, *other;
} Edges;

/* What is wrong with the edges. */
typedef struct BadEdges {
    size_t open, turned,
        odd; /* used once; as many facets on each side do not agree; any other number */
    uint32_t first[2];
} BadEdges;

static PoiseStatus check_indices(const PoiseMesh *mesh, const char *name, PoiseFaults *faults)
{
    for (size_t k = 0; k < mesh->triangle_count; k++) {
        const uint32_t *t = &mesh->triangles[3 * k];
        for (int i = 0; i < 3; i++)
            if (t[i] >= mesh->vertex_count)
                return poise_fault_say(faults, POISE_E_MESH, name,
                                       "triangle %zu has vertex %lu of %zu", k + 1,
                                       (unsigned long)t[i], mesh->vertex_count);
        if (t[0] == t[1] || t[1] == t[2] || t[2] == t[0])
            return poise_fault_say(faults, POISE_E_MESH, name,
                                   "triangle %zu uses the same vertex twice", k + 1);
    }
    return POISE_OK;
}

/* Counting sort: two passes over the triangles. */
static bool sort_edges(const PoiseMesh *mesh, Edges *edges)
{
    size_t corners = 3 * mesh->triangle_count;
    edges->start = poise_alloc_zero(mesh->vertex_count + 2, sizeof *edges->start);
    edges->other = poise_resize(NULL, corners, sizeof *edges->other);
    if (!edges->start || !edges->other)
        return false;
    uint32_t *fill = edges->start + 1; /* after filling, fill[v] has become the start of v + 1 */
    for (size_t k = 0; k < corners; k += 3)
        for (size_t i = 0; i < 3; i++) {
            uint32_t a = mesh->triangles[k + i], b = mesh->triangles[k + (i + 1) % 3];
            fill[(a < b ? a : b) + 1]++;
        }
    for (size_t v = 1; v <= mesh->vertex_count; v++)
        fill[v] += fill[v - 1];
    for (size_t k = 0; k < corners; k += 3)
        for (size_t i = 0; i < 3; i++) {
            uint32_t a = mesh->triangles[k + i], b = mesh->triangles[k + (i + 1) % 3];
            uint32_t low = a < b ? a : b, high = a < b ? b : a;
            edges->other[fill[low]++] = 2 * high + (a > b);
        }
    return true;
}

static void sift_down(uint32_t *list, size_t at, size_t n)
{
    for (size_t child; (child = 2 * at + 1) < n; at = child) {
        if (child + 1 < n && list[child + 1] > list[child])
            child++;
        if (list[at] >= list[child])
            return;
        uint32_t t = list[at];
        list[at] = list[child];
        list[child] = t;
    }
}

/* Most vertices have three or so edges: insertion. A fan's hub may have thousands: heap sort. (The
 * library's qsort may allocate.) */
static void sort_few(uint32_t *list, size_t n)
{
    enum { FEW = 24 };
    if (n <= FEW) {
        for (size_t i = 1; i < n; i++) {
            uint32_t x = list[i];
            size_t j = i;
            for (; j > 0 && list[j - 1] > x; j--)
                list[j] = list[j - 1];
            list[j] = x;
        }
        return;
    }
    for (size_t i = n / 2; i-- > 0;)
        sift_down(list, i, n);
    for (size_t i = n; --i > 0;) {
        uint32_t t = list[0];
        list[0] = list[i];
        list[i] = t;
        sift_down(list, 0, i);
    }
}

static size_t bad_total(const BadEdges *bad)
{
    return bad->open + bad->turned + bad->odd;
}

/* An edge is good when as many facets run along it one way as the other. */
static void count_bad(const PoiseMesh *mesh, Edges *edges, BadEdges *bad)
{
    for (size_t v = 0; v < mesh->vertex_count; v++) {
        uint32_t *list = edges->other + edges->start[v];
        size_t n = edges->start[v + 1] - edges->start[v];
        if (n == 2 && (list[0] ^ list[1]) == 1)
            continue;
        sort_few(list, n);
        for (size_t i = 0, j; i < n; i = j) {
            size_t down = 0;
            for (j = i; j < n && list[j] >> 1 == list[i] >> 1; j++)
                down += list[j] & 1;
            size_t uses = j - i;
            if (2 * down == uses)
                continue;
            if (bad_total(bad) == 0) {
                bad->first[0] = (uint32_t)v;
                bad->first[1] = list[i] >> 1;
            }
            bad->open += uses == 1;
            bad->turned += uses % 2 == 0;
            bad->odd += uses % 2 == 1 && uses > 1;
        }
    }
}

static void append_kind(PoiseText *text, size_t count, const char *what)
{
    if (count)
        poise_text_printf(text, "%s%zu %s", text->length ? ", " : "", count, what);
}

static PoiseStatus report_bad(const PoiseMesh *mesh, const BadEdges *bad, const char *name,
                              PoiseFaults *faults)
{
    PoiseText kinds = {0}, found = {0};
    append_kind(&kinds, bad->open, "open, beside a hole");
    append_kind(&kinds, bad->turned, "between facets that disagree which side is out");
    append_kind(&kinds, bad->odd, "shared by an odd number of facets");
    char number[3][32];
    for (int i = 0; i < 3; i++) {
        double middle = 0.5 * (mesh->vertices_mm[3 * (size_t)bad->first[0] + (size_t)i] +
                               mesh->vertices_mm[3 * (size_t)bad->first[1] + (size_t)i]);
        poise_double_text(round(middle * 1000) / 1000 + 0.0, number[i]);
    }
    char *list = poise_text_take(&kinds);
    poise_text_printf(&found, "%zu bad edge%s (%s), the first at (%s, %s, %s) mm", bad_total(bad),
                      bad_total(bad) == 1 ? "" : "s", list ? list : "", number[0], number[1],
                      number[2]);
    poise_release(list);
    char *sentence = poise_text_take(&found);
    if (!sentence || !list) {
        poise_release(sentence);
        return poise_fault_memory(faults);
    }
    poise_fault_add(
        faults, &(PoiseFault){.status = POISE_E_MESH,
                              .file = name,
                              .found = sentence,
                              .expected = "a closed mesh, every edge shared by facets that agree",
                              .hint = "repair the mesh where it was made and export it again"});
    poise_release(sentence);
    return POISE_E_MESH;
}

static PoiseStatus check_edges(const PoiseMesh *mesh, const char *name, PoiseFaults *faults)
{
    Edges edges = {0};
    BadEdges bad = {0};
    bool enough = sort_edges(mesh, &edges);
    if (enough)
        count_bad(mesh, &edges, &bad);
    poise_release(edges.start);
    poise_release(edges.other);
    if (!enough)
        return poise_fault_memory(faults);
    return bad_total(&bad) ? report_bad(mesh, &bad, name, faults) : POISE_OK;
}

static double surface_mm2(const PoiseMesh *mesh)
{
    PoiseSum area = {0};
    for (size_t k = 0; k < mesh->triangle_count; k++) {
        const uint32_t *t = &mesh->triangles[3 * k];
        const double *a = &mesh->vertices_mm[3 * (size_t)t[0]],
                     *b = &mesh->vertices_mm[3 * (size_t)t[1]];
        const double *c = &mesh->vertices_mm[3 * (size_t)t[2]];
        double u[3], v[3], n[3];
        for (int i = 0; i < 3; i++) {
            u[i] = b[i] - a[i];
            v[i] = c[i] - a[i];
        }
        poise_cross(u, v, n);
        poise_sum_add(&area, 0.5 * sqrt(poise_dot(n, n)));
    }
    return poise_sum_value(&area);
}

static PoiseStatus check_volume(const PoiseMesh *mesh, const char *name, PoiseFaults *faults)
{
    double volume = poise_mesh_moments(mesh).volume_mm3, longest = 0.0;
    for (int i = 0; i < 3; i++)
        longest = fmax(longest, mesh->max_mm[i] - mesh->min_mm[i]);
    if (!(fabs(volume) > FLAT * surface_mm2(mesh) * longest))
        return poise_fault_say(faults, POISE_E_MESH, name,
                               "the mesh is flat: it encloses no volume");
    if (volume > 0.0)
        return POISE_OK;
    char number[32];
    poise_double_text(round(volume), number);
    return poise_fault_say(
        faults, POISE_E_MESH, name,
        "the mesh is inside out: its volume is %s mm3; turn its facets over and export it again",
        number);
}

static PoiseStatus check_shells(const PoiseMesh *mesh, const char *name, PoiseFaults *faults)
{
    bool bad = false;
    double at[3], volume;
    PoiseStatus status = poise_mesh_stray_hollow(mesh, &bad, at, &volume);
    if (status)
        return poise_fault_memory(faults);
    if (!bad)
        return POISE_OK;
    char number[4][32];
    for (int i = 0; i < 3; i++)
        poise_double_text(round(at[i] * 1000) / 1000 + 0.0, number[i]);
    poise_double_text(round(volume * 1000) / 1000, number[3]);
    return poise_fault_say(
        faults, POISE_E_MESH, name,
        "a shell of the mesh is inside out and lies in no other (volume %s mm3, a corner at "
        "(%s, %s, %s) mm); turn its facets over and export it again",
        number[3], number[0], number[1], number[2]);
}

PoiseStatus poise_mesh_check(const PoiseMesh *mesh, const char *name, PoiseFaults *faults)
{
    if (mesh->triangle_count == 0)
        return poise_fault_say(faults, POISE_E_MESH, name, "the mesh has no triangles");
    PoiseStatus status = check_indices(mesh, name, faults);
    if (!status)
        status = check_edges(mesh, name, faults);
    if (!status)
        status = check_volume(mesh, name, faults);
    if (!status)
        status = check_shells(mesh, name, faults);
    return status;
}
