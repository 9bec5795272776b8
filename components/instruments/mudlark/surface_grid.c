#include "surface_grid.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A vertex stays this share of an edge away from both its ends: vertices of different edges are
 * then never equal, not even after rounding to the 32-bit floats of a binary STL file (2 % of 2 mm
 * is 0.04 mm; a float near 400 mm resolves 0.00003 mm). */
static const double EDGE_MARGIN = 0.02;

#define NO_VERTEX UINT32_MAX

/* Corners of a cube are numbered by bits: 1 = +x, 2 = +y, 4 = +z. An edge is its lower corner and
 * its axis. */
enum { CORNERS = 8, EDGES = 24, MAX_LOOP = 12 };

/* The corners of each face, counter-clockwise seen from outside the cube. */
static const int FACES[6][4] = {{0, 4, 6, 2}, {1, 3, 7, 5}, {0, 1, 5, 4},
                                {2, 6, 7, 3}, {0, 2, 3, 1}, {4, 5, 7, 6}};

typedef struct Grid {
    double lo_mm[3], step_mm;
    size_t count[3], nodes;
    double *value;
    uint32_t *edge_vertex; /* 3 per node: the vertex on the edge from the node along x, y, z */
    MudlarkSurface *out;
    size_t vertex_room, triangle_room;
} Grid;

static int edge_index(int corner_a, int corner_b)
{
    int axis_bit = corner_a ^ corner_b;
    int axis = axis_bit == 1 ? 0 : axis_bit == 2 ? 1 : 2;
    return axis * CORNERS + (corner_a < corner_b ? corner_a : corner_b);
}

static bool reserve(void **array, size_t *room, size_t needed, size_t size)
{
    if (needed <= *room)
        return true;
    size_t wanted = needed + *room + 1024;
    void *grown = realloc(*array, wanted * size);
    if (grown == NULL)
        return false;
    *array = grown;
    *room = wanted;
    return true;
}

static bool add_vertex(Grid *g, const double at_mm[3], uint32_t *index)
{
    MudlarkSurface *s = g->out;
    void *array = s->vertices_mm;
    if (!reserve(&array, &g->vertex_room, s->vertex_count + 1, sizeof s->vertices_mm[0]))
        return false;
    s->vertices_mm = array;
    memcpy(s->vertices_mm[s->vertex_count], at_mm, sizeof s->vertices_mm[0]);
    *index = (uint32_t)s->vertex_count++;
    return true;
}

static bool add_triangle(Grid *g, uint32_t a, uint32_t b, uint32_t c)
{
    MudlarkSurface *s = g->out;
    void *array = s->triangles;
    if (!reserve(&array, &g->triangle_room, s->triangle_count + 1, sizeof s->triangles[0]))
        return false;
    s->triangles = array;
    uint32_t *t = s->triangles[s->triangle_count++];
    t[0] = a;
    t[1] = b;
    t[2] = c;
    return true;
}

static size_t node_index(const Grid *g, size_t i, size_t j, size_t k)
{
    return (i * g->count[1] + j) * g->count[2] + k;
}

static bool sample(Grid *g, MudlarkField *field, void *context, const char **error)
{
    for (size_t i = 0; i < g->count[0]; i++)
        for (size_t j = 0; j < g->count[1]; j++)
            for (size_t k = 0; k < g->count[2]; k++) {
                double at[3] = {g->lo_mm[0] + (double)i * g->step_mm,
                                g->lo_mm[1] + (double)j * g->step_mm,
                                g->lo_mm[2] + (double)k * g->step_mm};
                double value = field(context, at);
                bool border = i == 0 || j == 0 || k == 0 || i + 1 == g->count[0] ||
                              j + 1 == g->count[1] || k + 1 == g->count[2];
                if (border && value < 0) {
                    *error = "the solid reaches the border of its grid";
                    return false;
                }
                g->value[node_index(g, i, j, k)] = value;
            }
    return true;
}

/* The vertex on the edge from a node along an axis, by linear interpolation; made on first use. */
static bool vertex_on_edge(Grid *g, const size_t node[3], int axis, uint32_t *index)
{
    size_t a = node_index(g, node[0], node[1], node[2]);
    uint32_t *slot = &g->edge_vertex[3 * a + (size_t)axis];
    if (*slot == NO_VERTEX) {
        size_t far[3] = {node[0], node[1], node[2]};
        far[axis]++;
        double va = g->value[a], vb = g->value[node_index(g, far[0], far[1], far[2])];
        double t = fmin(fmax(va / (va - vb), EDGE_MARGIN), 1 - EDGE_MARGIN);
        double at[3];
        for (int x = 0; x < 3; x++)
            at[x] = g->lo_mm[x] + (double)node[x] * g->step_mm;
        at[axis] += t * g->step_mm;
        if (!add_vertex(g, at, slot))
            return false;
    }
    *index = *slot;
    return true;
}

/* On one face of the cube the surface runs between the edge where a walk round the face enters a
 * run of inside corners and the edge where it leaves it. Two inside corners that face each other
 * across the face count as two runs. The rule looks at the face's own corners only, so both cubes
 * at the face agree on it. Seen from outside the cube the piece goes from entry to exit; the
 * neighbour sees it the other way round, which is what makes the triangles' directions consistent.
 */
static void link_face(const int face[4], unsigned inside, int next[EDGES])
{
    for (int k = 0; k < 4; k++) {
        int here = face[k], after = face[(k + 1) % 4];
        if (!(inside >> here & 1) || (inside >> after & 1))
            continue;
        int first = k; /* walk back to the start of the run */
        while (inside >> face[(first + 3) % 4] & 1)
            first = (first + 3) % 4;
        next[edge_index(face[(first + 3) % 4], face[first])] = edge_index(here, after);
    }
}

static bool same_face(int edge_a, int edge_b)
{
    for (int f = 0; f < 6; f++) {
        bool has_a = false, has_b = false;
        for (int k = 0; k < 4; k++) {
            int e = edge_index(FACES[f][k], FACES[f][(k + 1) % 4]);
            has_a = has_a || e == edge_a;
            has_b = has_b || e == edge_b;
        }
        if (has_a && has_b)
            return true;
    }
    return false;
}

/* A loop of n vertices as triangles. A diagonal must not lie in a face of the cube: the neighbour
 * might draw the same one and the edge would be used four times. When every corner of the loop has
 * such a diagonal the loop is filled from its middle. */
static bool fill_loop(Grid *g, const int edges[], const uint32_t vertices[], int n)
{
    for (int apex = 0; apex < n; apex++) {
        bool good = true;
        for (int k = 2; k < n - 1; k++)
            good = good && !same_face(edges[apex], edges[(apex + k) % n]);
        if (!good)
            continue;
        for (int k = 1; k < n - 1; k++)
            if (!add_triangle(g, vertices[apex], vertices[(apex + k) % n],
                              vertices[(apex + k + 1) % n]))
                return false;
        return true;
    }
    double middle[3] = {0, 0, 0};
    for (int k = 0; k < n; k++)
        for (int x = 0; x < 3; x++)
            middle[x] += g->out->vertices_mm[vertices[k]][x] / n;
    uint32_t centre;
    if (!add_vertex(g, middle, &centre))
        return false;
    for (int k = 0; k < n; k++)
        if (!add_triangle(g, centre, vertices[k], vertices[(k + 1) % n]))
            return false;
    return true;
}

static bool march_cube(Grid *g, size_t i, size_t j, size_t k)
{
    unsigned inside = 0;
    for (int c = 0; c < CORNERS; c++) {
        size_t x = i + (size_t)(c & 1), y = j + (size_t)(c >> 1 & 1), z = k + (size_t)(c >> 2 & 1);
        if (g->value[node_index(g, x, y, z)] < 0)
            inside |= 1u << c;
    }
    if (inside == 0 || inside == 0xFF)
        return true;
    int next[EDGES];
    for (int e = 0; e < EDGES; e++)
        next[e] = -1;
    for (int f = 0; f < 6; f++)
        link_face(FACES[f], inside, next);
    for (int start = 0; start < EDGES; start++) {
        int edges[MAX_LOOP], n = 0;
        uint32_t vertices[MAX_LOOP];
        for (int e = start; next[e] >= 0 && n < MAX_LOOP; n++) {
            int corner = e % CORNERS, axis = e / CORNERS, onward = next[e];
            size_t node[3] = {i + (size_t)(corner & 1), j + (size_t)(corner >> 1 & 1),
                              k + (size_t)(corner >> 2 & 1)};
            if (!vertex_on_edge(g, node, axis, &vertices[n]))
                return false;
            edges[n] = e;
            next[e] = -1; /* used */
            e = onward;
        }
        if (n > 0 && !fill_loop(g, edges, vertices, n))
            return false;
    }
    return true;
}

static bool march(Grid *g)
{
    for (size_t i = 0; i + 1 < g->count[0]; i++)
        for (size_t j = 0; j + 1 < g->count[1]; j++)
            for (size_t k = 0; k + 1 < g->count[2]; k++)
                if (!march_cube(g, i, j, k))
                    return false;
    return true;
}

bool mudlark_surface_make(MudlarkField *field, void *context, const double lo_mm[3],
                          const double hi_mm[3], double step_mm, MudlarkSurface *surface,
                          const char **error)
{
    *surface = (MudlarkSurface){0};
    Grid g = {.step_mm = step_mm, .nodes = 1, .out = surface};
    for (int x = 0; x < 3; x++) {
        g.lo_mm[x] = lo_mm[x];
        g.count[x] = (size_t)ceil((hi_mm[x] - lo_mm[x]) / step_mm) + 1;
        g.nodes *= g.count[x];
    }
    g.value = malloc(g.nodes * sizeof *g.value);
    g.edge_vertex = malloc(3 * g.nodes * sizeof *g.edge_vertex);
    bool done = g.value != NULL && g.edge_vertex != NULL;
    *error = done ? NULL : "out of memory";
    if (done) {
        memset(g.edge_vertex, 0xFF, 3 * g.nodes * sizeof *g.edge_vertex);
        done = sample(&g, field, context, error);
    }
    if (done) {
        done = march(&g);
        *error = done ? NULL : "out of memory";
    }
    free(g.value);
    free(g.edge_vertex);
    return done;
}

void mudlark_surface_free(MudlarkSurface *surface)
{
    free(surface->vertices_mm);
    free(surface->triangles);
    *surface = (MudlarkSurface){0};
}
