/* A 3MF model as its XML says it, before the build items are put together. */
#ifndef POISE_GEOMETRY_MESH_3MF_H
#define POISE_GEOMETRY_MESH_3MF_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "poise/status.h"

/* 4 rows of 3: [x' y' z'] = [x y z 1] · M. 3MF Core Specification 1.4.0, 3.3. */
typedef struct Poise3mfTransform {
    double m[4][3];
} Poise3mfTransform;

/* A component or a build item: an object and where it goes. */
typedef struct Poise3mfUse {
    uint32_t object_id;
    size_t line;
    Poise3mfTransform transform;
} Poise3mfUse;

typedef enum Poise3mfType {
    POISE_3MF_MODEL,
    POISE_3MF_SUPPORT, /* support and solidsupport: printed, but broken off */
    POISE_3MF_OTHER    /* surface and other: no solid */
} Poise3mfType;

typedef struct Poise3mfObject {
    uint32_t id;
    Poise3mfType type;
    bool busy; /* being put together: a component that leads back here is a cycle */
    size_t first_vertex, vertex_count;
    size_t first_triangle, triangle_count;
    size_t first_component, component_count;
} Poise3mfObject;

typedef struct Poise3mfModel {
    double unit_mm;
    double *vertices; /* 3 each, file units */
    size_t vertex_count, vertex_capacity;
    uint32_t *triangles; /* 3 each, counted from the object's first vertex */
    size_t triangle_count, triangle_capacity;
    Poise3mfObject *objects;
    size_t object_count, object_capacity;
    Poise3mfUse *components;
    size_t component_count, component_capacity;
    Poise3mfUse *items;
    size_t item_count, item_capacity;
} Poise3mfModel;

/* An XML part read piece by piece. */
typedef struct Poise3mfReader Poise3mfReader;

/* A reader for the package's relationships (model NULL) or for the model part. `name` is the file's
 * name, for messages. NULL when out of memory. */
Poise3mfReader *poise_3mf_reader_new(Poise3mfModel *model, const char *name, PoiseFaults *faults);
/* Feeds the next piece. After a failure the reader takes no more. */
PoiseStatus poise_3mf_reader_feed(Poise3mfReader *reader, const char *data, size_t size, bool last);
/* The model part's name in the package, without the leading slash, from the relationships; NULL
 * when there is none. Owned by the reader. */
const char *poise_3mf_reader_target(const Poise3mfReader *reader);
void poise_3mf_reader_free(Poise3mfReader *reader);

void poise_3mf_model_clear(Poise3mfModel *model);

#endif
