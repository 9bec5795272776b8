#include "geometry/section_load.h"

#include <string.h>

#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "geometry/section_cache.h"

static PoiseStatus compute(const PoiseView *view, const char *path, const char *unit,
                           const PoiseSlicing *slicing, const PoiseSectionOptions *options,
                           PoiseLoadedSection *loaded, PoiseFaults *faults)
{
    PoiseMesh *mesh = NULL;
    PoiseStatus status = poise_mesh_parse(view->data, view->size, path, unit, &mesh, faults);
    if (status)
        return status;
    status = poise_mesh_check(mesh, path, faults);
    if (!status)
        status = poise_section_slice(mesh, path, slicing, options->threads, options->progress,
                                     options->context, &loaded->section, faults);
    if (!status) {
        memcpy(loaded->min_mm, mesh->min_mm, sizeof loaded->min_mm);
        memcpy(loaded->max_mm, mesh->max_mm, sizeof loaded->max_mm);
        memcpy(loaded->unit_warning, mesh->unit_warning, sizeof loaded->unit_warning);
        loaded->triangles = mesh->triangle_count;
    }
    poise_mesh_free(mesh);
    return status;
}

PoiseStatus poise_section_load(const char *path, const char *unit, const PoiseSlicing *slicing,
                               const PoiseSectionOptions *options, PoiseLoadedSection *loaded,
                               PoiseFaults *faults)
{
    memset(loaded, 0, sizeof *loaded); /* padding too: it goes into the cache's records */
    PoiseView view;
    PoiseStatus status = poise_view_open(path, POISE_LIMIT_MESH_BYTES, &view, faults);
    if (status)
        return status;
    char *dir = options->no_cache ? NULL : poise_cache_dir();
    PoiseFingerprint key = {{0}};
    bool found = false;
    if (dir) {
        key = poise_cache_key(view.data, view.size, unit, slicing);
        found = poise_cache_get(dir, &key, loaded);
    }
    if (!found) {
        status = compute(&view, path, unit, slicing, options, loaded, faults);
        if (!status && dir)
            poise_cache_put(dir, &key, loaded, POISE_CACHE_LIMIT_BYTES);
    }
    poise_release(dir);
    poise_view_close(&view);
    return status;
}
