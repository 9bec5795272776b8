/* Writing the body of the benches. */
#ifndef POISE_BENCH_MESH_H
#define POISE_BENCH_MESH_H

#include <stdbool.h>
#include <stdio.h>

#include "shapes.h"

/* Binary STL is little-endian, as are the machines this is measured on. */
static inline bool bench_write_body(size_t triangles, const char *path)
{
    FILE *file = fopen(path, "wb");
    if (!file)
        return false;
    PoiseMesh *mesh = shape_new();
    shape_body(mesh, triangles);
    char header[80] = "a rounded body with a pocket and hollows";
    uint32_t count = (uint32_t)mesh->triangle_count;
    bool good =
        fwrite(header, sizeof header, 1, file) == 1 && fwrite(&count, sizeof count, 1, file) == 1;
    for (size_t t = 0; good && t < mesh->triangle_count; t++) {
        float facet[12] = {0};
        const char attribute[2] = {0};
        for (size_t i = 0; i < 9; i++)
            facet[3 + i] =
                (float)mesh->vertices_mm[3 * (size_t)mesh->triangles[3 * t + i / 3] + i % 3];
        good = fwrite(facet, sizeof facet, 1, file) == 1 &&
               fwrite(attribute, sizeof attribute, 1, file) == 1;
    }
    shape_free(mesh);
    return fclose(file) == 0 && good;
}

#endif
