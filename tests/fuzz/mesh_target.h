/* The common end of the mesh fuzzers: parse, and what parses goes through check, moments and, when
 * small, slicing. */
#ifndef POISE_TEST_MESH_TARGET_H
#define POISE_TEST_MESH_TARGET_H

#include "fuzz.h"
#include "poise/poise.h"

enum { MESH_SLICE_TRIANGLES = 300, MESH_SLICE_LAYERS = 12 };

static inline void mesh_is_sound(const PoiseMesh *mesh)
{
    for (size_t i = 0; i < 3 * mesh->triangle_count; i++)
        REQUIRE(mesh->triangles[i] < mesh->vertex_count);
    for (size_t i = 0; i < mesh->vertex_count; i++)
        for (size_t k = 0; k < 3; k++) {
            double x = mesh->vertices_mm[3 * i + k];
            REQUIRE(x >= mesh->min_mm[k] && x <= mesh->max_mm[k]);
        }
    REQUIRE(memchr(mesh->unit_warning, '\0', sizeof mesh->unit_warning) != NULL);
}

/* The parts add up to the whole: what slicing promises for every closed mesh. */
static inline void split_adds_up(const PoiseSection *section)
{
    double volume = section->solid.volume_mm3;
    REQUIRE(isfinite(volume) && volume > 0.0);
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        const PoiseSplit *s = &section->splits[n];
        double parts[3] = {s->perimeter.volume_mm3, s->skin.volume_mm3, s->infill.volume_mm3};
        REQUIRE_NEAR(parts[0] + parts[1] + parts[2], volume, 1e-6 * volume);
        for (int i = 0; i < 3; i++)
            REQUIRE(parts[i] >= -1e-6 * volume);
    }
}

static inline void slice_small(const PoiseMesh *mesh, PoiseFaults *faults)
{
    double height = mesh->max_mm[2] - mesh->min_mm[2];
    if (mesh->triangle_count > MESH_SLICE_TRIANGLES || !(height > 1e-3))
        return;
    PoiseSlicing slicing = poise_slicing_default();
    slicing.layer_mm = height / MESH_SLICE_LAYERS;
    slicing.line_mm = 2.0 * slicing.layer_mm;
    PoiseSection section;
    PoiseStatus status =
        poise_section_slice(mesh, "fuzz", &slicing, 1, NULL, NULL, &section, faults);
    REQUIRE(status != POISE_E_INTERNAL);
    if (!status)
        split_adds_up(&section);
}

static inline void mesh_target(const void *data, size_t size, const char *unit)
{
    PoiseFaults *faults = poise_faults_new();
    REQUIRE(faults != NULL);
    PoiseMesh *mesh = NULL;
    PoiseStatus status = poise_mesh_parse(data, size, "fuzz", unit, &mesh, faults);
    REQUIRE((status == POISE_OK) == (mesh != NULL));
    REQUIRE(status == POISE_OK || poise_faults_status(faults) == status);
    if (!status) {
        mesh_is_sound(mesh);
        PoiseMoments moments = poise_mesh_moments(mesh);
        REQUIRE(isfinite(moments.volume_mm3));
        if (poise_mesh_check(mesh, "fuzz", faults) == POISE_OK) {
            REQUIRE(moments.volume_mm3 > 0.0);
            slice_small(mesh, faults);
        }
    }
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        poise_string_free(poise_fault_text(poise_faults_get(faults, i)));
    poise_mesh_free(mesh);
    poise_faults_free(faults);
}

#endif
