/* Writes the meshes of the demonstration instrument: six printed sections and the poured inlay, as
 * binary STL.
 *
 *   poise_make_mudlark DIRECTORY
 *
 * Prints one line for each. Fails, and leaves no file of that name, when a mesh is not closed or
 * does not fit the bed. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "body_shape.h"
#include "closed_check.h"
#include "surface_grid.h"

static const double GRID_MM = 2;
/* Flat on the plate, without turning. */
static const double BED_MM = 220;

static void put_u32(unsigned char *to, uint32_t value)
{
    for (int i = 0; i < 4; i++)
        to[i] = (unsigned char)(value >> (8 * i) & 0xFF);
}

static void put_float(unsigned char *to, double value)
{
    float rounded = (float)value;
    uint32_t bits;
    memcpy(&bits, &rounded, sizeof bits);
    put_u32(to, bits);
}

/* Facet normals are written as zero: a reader takes them from the corners' order. */
static bool write_stl(const char *path, const MudlarkSurface *s)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL)
        return false;
    unsigned char head[84] = "Mudlark, demonstration mesh; mm; saddle at x = 0, face at z = 0";
    put_u32(head + 80, (uint32_t)s->triangle_count);
    bool good = fwrite(head, sizeof head, 1, file) == 1;
    for (size_t t = 0; t < s->triangle_count && good; t++) {
        unsigned char facet[50] = {0};
        for (int k = 0; k < 3; k++)
            for (int x = 0; x < 3; x++)
                put_float(facet + 12 + 12 * k + 4 * x, s->vertices_mm[s->triangles[t][k]][x]);
        good = fwrite(facet, sizeof facet, 1, file) == 1;
    }
    good = fclose(file) == 0 && good;
    if (!good)
        remove(path);
    return good;
}

static bool check_and_write(const char *dir, const char *name, const MudlarkSurface *s,
                            bool printed)
{
    MudlarkClosedness c;
    if (!mudlark_closed_check(s, &c)) {
        fprintf(stderr, "%s: out of memory\n", name);
        return false;
    }
    double size[3];
    for (int x = 0; x < 3; x++)
        size[x] = c.max_mm[x] - c.min_mm[x];
    printf("%-10s %6zu triangles %8.2f mL %6.1f x %6.1f x %5.1f mm\n", name, s->triangle_count,
           c.volume_mm3 / 1000, size[0], size[1], size[2]);
    if (c.bad_edges > 0 || c.repeated_vertices > 0 || c.flat_triangles > 0 || !(c.volume_mm3 > 0)) {
        fprintf(
            stderr,
            "%s: not a closed solid: %zu bad edges, %zu repeated vertices, %zu flat triangles\n",
            name, c.bad_edges, c.repeated_vertices, c.flat_triangles);
        return false;
    }
    if (printed && (size[0] > BED_MM || size[1] > BED_MM)) {
        fprintf(stderr, "%s: larger than the %g mm bed\n", name, BED_MM);
        return false;
    }
    size_t room = strlen(dir) + strlen(name) + sizeof "/.stl";
    char *path = malloc(room);
    bool good = path != NULL;
    if (good) {
        snprintf(path, room, "%s/%s.stl", dir, name);
        good = write_stl(path, s);
    }
    if (!good)
        fprintf(stderr, "%s: cannot write it in %s\n", name, dir);
    free(path);
    return good;
}

static bool make(const char *dir, const char *name, MudlarkField *field, MudlarkShape *shape,
                 const double lo[2], const double hi[2], bool printed)
{
    /* Nodes at odd millimetres, one step beyond the block on every side. */
    double from[3] = {lo[0] - 1, lo[1] - 1, -MUDLARK_THICKNESS_MM - 1};
    double to[3] = {hi[0] + 1, hi[1] + 1, 1};
    MudlarkSurface surface;
    const char *error;
    bool good = mudlark_surface_make(field, shape, from, to, GRID_MM, &surface, &error);
    if (good)
        good = check_and_write(dir, name, &surface, printed);
    else
        fprintf(stderr, "%s: %s\n", name, error);
    mudlark_surface_free(&surface);
    return good;
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: poise_make_mudlark DIRECTORY\n");
        return 2;
    }
    static MudlarkShape shape;
    mudlark_shape_init(&shape);
    bool good = true;
    for (int i = 0; i < MUDLARK_SECTIONS && good; i++) {
        shape.section = &MUDLARK_SECTION[i];
        good = make(argv[1], shape.section->name, mudlark_section_field, &shape,
                    shape.section->lo_mm, shape.section->hi_mm, true);
    }
    const double lo[2] = {-40, 60}, hi[2] = {340, 150};
    good = good && make(argv[1], "inlay", mudlark_inlay_field, &shape, lo, hi, false);
    return good ? 0 : 1;
}
