#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "geometry/mesh_build.h"

static const struct {
    const char *name;
    double mm;
} UNITS[] = {{"mm", 1.0}, {"cm", 10.0}, {"m", 1000.0}, {"in", 25.4}, {"ft", 304.8}, {"um", 0.001}};

/* Largest side of a part of an instrument, mm: under SMALL a file without a unit is suspect (a part
 * that small is rarely printed for its mass); between LEAST and MOST a guess at the unit is worth
 * naming. */
static const double SMALL_MM = 15.0, LEAST_MM = 30.0, MOST_MM = 1500.0;

static PoiseStatus unit_scale(const char *unit, const char *name, double *scale,
                              PoiseFaults *faults)
{
    *scale = 1.0;
    if (!unit)
        return POISE_OK;
    for (size_t i = 0; i < sizeof UNITS / sizeof *UNITS; i++)
        if (strcmp(unit, UNITS[i].name) == 0) {
            *scale = UNITS[i].mm;
            return POISE_OK;
        }
    char *found = poise_format("the mesh unit \"%s\"", unit);
    if (!found)
        return poise_fault_memory(faults);
    poise_fault_add(faults, &(PoiseFault){.status = POISE_E_USAGE,
                                          .file = name,
                                          .found = found,
                                          .expected = "mm, cm, m, in, ft or um"});
    poise_release(found);
    return POISE_E_USAGE;
}

static bool plausible(double extent_mm)
{
    return extent_mm >= LEAST_MM && extent_mm <= MOST_MM;
}

/* STL and OBJ carry no unit: say so when the size suggests another one. */
static void warn_about_unit(PoiseMesh *mesh, const char *unit, double scale)
{
    double extent = 0.0;
    for (int i = 0; i < 3; i++)
        if (mesh->max_mm[i] - mesh->min_mm[i] > extent)
            extent = mesh->max_mm[i] - mesh->min_mm[i];
    char number[32];
    snprintf(number, sizeof number, extent < 100.0 ? "%.3g" : "%.0f", extent);
    for (char *c = number; *c; c++)
        if (*c == ',')
            *c = '.'; /* as in poise_double_text(): no locale changes what poise writes */
    if (unit && scale != 1.0 && extent > MOST_MM && plausible(extent / scale)) {
        snprintf(mesh->unit_warning, sizeof mesh->unit_warning,
                 "the longest side is %s mm; the file looks like millimetres, not \"%s\"", number,
                 unit);
    } else if (!unit && extent < SMALL_MM) {
        bool inch = plausible(25.4 * extent), metre = plausible(1000.0 * extent);
        const char *guess = inch && metre ? " (inches, metres)"
                            : inch        ? " (inches)"
                            : metre       ? " (metres)"
                                          : "";
        snprintf(mesh->unit_warning, sizeof mesh->unit_warning,
                 "the longest side is only %.12s mm; if the file is in another unit%.18s, name it: "
                 "mesh_unit, --mesh-unit",
                 number, guess);
    }
}

static bool starts_with(const unsigned char *data, size_t size, const char *text)
{
    size_t n = strlen(text);
    return size >= n && memcmp(data, text, n) == 0;
}

/* Past white space, is the first word "solid"? */
static bool looks_like_stl_text(const char *data, size_t size)
{
    size_t i = 0;
    while (i < size && (data[i] == ' ' || (data[i] >= '\t' && data[i] <= '\r')))
        i++;
    static const char word[] = "solid";
    for (size_t k = 0; k < 5; k++, i++)
        if (i >= size || (data[i] | 0x20) != word[k])
            return false;
    return i == size || data[i] == ' ' || (data[i] >= '\t' && data[i] <= '\r');
}

/* Text without zero bytes in its first kilobyte, a guess good enough to choose which fault to
 * report. */
static bool looks_like_text(const unsigned char *data, size_t size)
{
    return memchr(data, 0, size < 1024 ? size : 1024) == NULL;
}

PoiseStatus poise_mesh_parse(const void *data, size_t size, const char *name, const char *unit,
                             PoiseMesh **mesh, PoiseFaults *faults)
{
    *mesh = NULL;
    double scale;
    PoiseStatus status = unit_scale(unit, name, &scale, faults);
    if (status)
        return status;
    if (size == 0)
        return poise_fault_say(faults, POISE_E_MESH, name, "the file is empty");
    if (size > POISE_LIMIT_MESH_BYTES)
        return poise_fault_say(faults, POISE_E_MESH, name,
                               "the file is larger than the limit of %zu bytes",
                               POISE_LIMIT_MESH_BYTES);
    PoiseWeld weld = {0};
    bool unitless = true;
    size_t mark =
        starts_with(data, size, "\xEF\xBB\xBF") ? 3 : 0; /* UTF-8 byte order mark of a text file */
    const char *text = (const char *)data + mark;
    size_t length = size - mark;
    /* The size first: many binary STL files begin with "solid" all the same. */
    if (poise_is_stl_binary(data, size)) {
        status = poise_stl_binary(data, size, name, scale, &weld, faults);
    } else if (starts_with(data, size, "PK\003\004")) {
        unitless = false;
        status = poise_3mf_package(data, size, name, &weld, faults);
    } else if (!looks_like_text(data, size)) {
        status =
            poise_stl_binary(data, size, name, scale, &weld, faults); /* says what does not fit */
    } else if (looks_like_stl_text(text, length)) {
        status = poise_stl_text(text, length, name, scale, &weld, faults);
    } else {
        status = poise_obj_text(text, length, name, scale, &weld, faults);
    }
    if (status) {
        poise_weld_clear(&weld);
        return status;
    }
    status = poise_weld_finish(&weld, name, mesh, faults);
    if (!status && unitless)
        warn_about_unit(*mesh, unit, scale);
    return status;
}

PoiseStatus poise_mesh_read(const char *path, const char *unit, PoiseMesh **mesh,
                            PoiseFaults *faults)
{
    *mesh = NULL;
    PoiseView view;
    PoiseStatus status = poise_view_open(path, POISE_LIMIT_MESH_BYTES, &view, faults);
    if (status)
        return status;
    status = poise_mesh_parse(view.data, view.size, path, unit, mesh, faults);
    poise_view_close(&view);
    return status;
}
