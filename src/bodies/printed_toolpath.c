#include "bodies/printed_toolpath.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/limits.h"
#include "base/vec.h"
#include "bodies/mesh_item.h"
#include "bodies/print_facts.h"
#include "bodies/printed_fill.h"
#include "bodies/refuse.h"
#include "geometry/columns.h"
#include "geometry/toolpath.h"

/* From the bed to the mesh: r_mesh = axesᵀ (r_bed − shift). */
typedef struct Bedding {
    double axes[3][3]; /* the bed's x, y, z as rows, in the mesh's axes */
    double shift_mm[3];
} Bedding;

/* What a move is asked of: is it inside the mesh? */
typedef struct Inside {
    const PoiseColumns *columns;
    const double *shift_mm;
    double layer_mm;
} Inside;

typedef struct Job {
    const PoiseInstrument *instrument;
    const PoiseItem *item;
    const PoisePrinted *printed;
    PoiseFaults *faults;
    PoiseToolpathOptions options;
    Bedding bedding;
    PoiseColumns *columns; /* NULL: no mesh */
    Inside inside;
    PoiseToolpath toolpath;
    double box_mm[3]; /* of the part as laid, along the bed's axes */
} Job;

static PoiseStatus read_path(Job *j, PoiseToolpath *toolpath, bool quiet)
{
    PoiseFaults *found = poise_faults_new();
    PoiseStatus status =
        found ? poise_toolpath_read(j->printed->toolpath, &j->options, toolpath, found)
              : POISE_E_MEMORY;
    if (status == POISE_E_MEMORY)
        poise_fault_memory(j->faults);
    else if (status && !quiet)
        status =
            poise_item_pass_on(j->instrument, j->item, "/toolpath",
                               status == POISE_E_USAGE ? POISE_E_INPUT : status, found, j->faults);
    poise_faults_free(found);
    return status;
}

/* Where the part's own plastic begins: without a height given, nothing is too low. */
static double lowest_of(const PoisePrinted *printed)
{
    double skip = printed->toolpath_skip_below_mm;
    return skip > 0.0 ? skip : -POISE_LIMIT_COORDINATE_MM;
}

/* Turned anticlockwise on the bed: r_bed = Rz(turn) A r_mesh. */
static void find_axes(Job *j)
{
    double flat[3][3], s, c;
    poise_bed_axes(j->printed->slicing.up, flat);
    poise_sincos_deg(j->printed->toolpath_turn_deg, &s, &c);
    for (int i = 0; i < 3; i++) {
        j->bedding.axes[0][i] = c * flat[0][i] - s * flat[1][i];
        j->bedding.axes[1][i] = s * flat[0][i] + c * flat[1][i];
        j->bedding.axes[2][i] = flat[2][i];
    }
}

static PoiseStatus cut_mesh(Job *j)
{
    PoiseMesh *mesh = NULL;
    PoiseMoments moments;
    PoiseStatus status = poise_mesh_item(j->instrument, j->item, j->printed->mesh,
                                         j->printed->mesh_unit, &mesh, &moments, j->faults);
    if (status)
        return status;
    /* The outer wall's middle lies half a line inside the mesh, the first line of a brim half a
     * line outside: columns of half a line, judged within 0.36 of a line, tell them apart. */
    status =
        poise_columns_new(mesh, j->bedding.axes, 0.5 * j->printed->slicing.line_mm, &j->columns);
    poise_mesh_free(mesh);
    return status ? poise_fault_memory(j->faults) : POISE_OK;
}

static void measure_box(Job *j, const PoiseToolpath *t)
{
    for (int i = 0; i < 2; i++)
        j->box_mm[i] = t->max_mm[i] - t->min_mm[i] + j->printed->slicing.line_mm;
    j->box_mm[2] = t->max_mm[2]; /* the bed is at 0 */
}

/* Lays the part's box over the mesh's. */
static PoiseStatus lay_over(Job *j, const double min_mm[3], const double max_mm[3])
{
    PoiseToolpath part;
    j->options.exclude_below_z = fmax(j->printed->toolpath_skip_below_mm, POISE_TOOLPATH_SKIRT_MM);
    PoiseStatus status = read_path(j, &part, true);
    j->options.exclude_below_z = lowest_of(j->printed);
    if (status && status != POISE_E_MEMORY) /* nothing as high, or a fault that is told now */
        status = read_path(j, &part, false);
    if (status)
        return status;
    for (int i = 0; i < 2; i++)
        j->bedding.shift_mm[i] =
            0.5 * (part.min_mm[i] + part.max_mm[i]) - 0.5 * (min_mm[i] + max_mm[i]);
    j->bedding.shift_mm[2] = -min_mm[2];
    j->toolpath.layer_mm = part.layer_mm;
    measure_box(j, &part);
    return POISE_OK;
}

static bool is_inside(const double at_mm[3], void *context)
{
    const Inside *inside = context;
    double r[3];
    for (int i = 0; i < 3; i++)
        r[i] = at_mm[i] - inside->shift_mm[i];
    r[2] -= 0.5 * inside->layer_mm; /* the nozzle runs along the bead's top */
    return poise_columns_hold(inside->columns, r, 0.5 * inside->layer_mm);
}

static double layer_of(const Job *j)
{
    return j->toolpath.layer_mm > 0.0 ? j->toolpath.layer_mm : j->printed->slicing.layer_mm;
}

static PoiseStatus lay_in_mesh(Job *j)
{
    double min_mm[3], max_mm[3];
    PoiseStatus status = cut_mesh(j);
    if (status)
        return status;
    poise_columns_box(j->columns, min_mm, max_mm);
    if (!j->printed->has_toolpath_at)
        status = lay_over(j, min_mm, max_mm);
    if (status)
        return status;
    j->inside = (Inside){j->columns, j->bedding.shift_mm, layer_of(j)};
    j->options.keep = is_inside;
    j->options.context = &j->inside;
    status = read_path(j, &j->toolpath, false);
    if (!status && j->printed->has_toolpath_at) {
        measure_box(j, &j->toolpath);
        j->box_mm[2] -= j->bedding.shift_mm[2] + min_mm[2];
    }
    return status;
}

static void find_body(const Job *j, PoiseItemBody *out)
{
    PoiseMoments laid = j->toolpath.laid;
    laid.origin_mm[2] -= 0.5 * layer_of(j);
    PoiseLaying laying = poise_printed_laying(j->printed, true);
    PoiseBody body = poise_body_from_moments(&laid, laying.density_g_cm3.value * laying.flow.value);
    double back[3][3], shift[3];
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++)
            back[i][k] = j->bedding.axes[k][i];
    poise_rotate(back, j->bedding.shift_mm, shift);
    for (int i = 0; i < 3; i++)
        shift[i] = -shift[i];
    out->body = poise_body_move(&body, back, shift);
    out->doubt = poise_laying_doubt(&laying, out->body.mass_g);
    out->doubt.own_u_g = out->body.mass_g * POISE_TOOLPATH_OWN_U;
}

static void find_facts(const Job *j, PoiseItemBody *out)
{
    const PoiseToolpath *t = &j->toolpath;
    PoisePrintJob job = {
        .body_g = out->body.mass_g,
        .density_g_cm3 = j->printed->material->density_g_cm3.value,
        .waste = t->laid.volume_mm3 > 0.0 ? t->waste_mm3 / t->laid.volume_mm3 : 0.0,
        .layers = t->layers,
        .up = {0.0, 0.0, 1.0},
    };
    memcpy(job.size_mm, j->box_mm, sizeof job.size_mm);
    out->has_print = true;
    poise_print_facts(&job, &j->instrument->printer, &out->print);
}

/* "412 g", "8.3 g", without a decimal comma, whatever the locale. */
static const char *grams(double mass_g, char text[32])
{
    long tenths = lround(10.0 * mass_g);
    if (tenths < 100)
        snprintf(text, 32, "%ld.%ld g", tenths / 10, tenths % 10);
    else
        snprintf(text, 32, "%ld g", lround(mass_g));
    return text;
}

static void warn_of_box(const Job *j, PoiseItemBody *out)
{
    static const char *const axes[] = {"bed's x", "bed's y", "height"};
    double min_mm[3], max_mm[3];
    poise_columns_box(j->columns, min_mm, max_mm);
    for (int i = 0; i < 3; i++) {
        double over = j->box_mm[i] - (max_mm[i] - min_mm[i]);
        if (fabs(over) <= POISE_TOOLPATH_BOX_MM)
            continue;
        char sentence[POISE_ITEM_WARNING_SIZE];
        snprintf(sentence, sizeof sentence,
                 "along the %s the toolpath is %ld mm %s than the mesh: another part, or turned on "
                 "the bed (toolpath_turn, toolpath_at)?",
                 axes[i], lround(fabs(over)), over > 0.0 ? "larger" : "smaller");
        poise_item_add_warning(out, sentence);
        return;
    }
}

static void warn(const Job *j, PoiseItemBody *out)
{
    char sentence[POISE_ITEM_WARNING_SIZE];
    if (!isnan(out->layers_g)) {
        char laid[32], layers[32];
        snprintf(sentence, sizeof sentence, "toolpath lays %s, the layer model says %s",
                 grams(out->toolpath_g, laid), grams(out->layers_g, layers));
        poise_item_add_warning(out, sentence);
    }
    if (j->columns)
        warn_of_box(j, out);
    if (j->toolpath.doubtful_moves == 0)
        return;
    snprintf(sentence, sizeof sentence,
             "%zu of the toolpath's moves can be read in two ways: it mixes G91 with absolute "
             "extrusion",
             j->toolpath.doubtful_moves);
    poise_item_add_warning(out, sentence);
}

PoiseStatus poise_printed_toolpath(const PoiseInstrument *instrument, const PoiseItem *item,
                                   double layers_g, PoiseItemBody *out, PoiseFaults *faults)
{
    const PoisePrinted *printed = &item->as.printed;
    double filament = instrument->printer.filament_mm;
    Job j = {.instrument = instrument, .item = item, .printed = printed, .faults = faults};
    j.options =
        (PoiseToolpathOptions){.filament_mm = filament > 0.0 ? filament : POISE_PRINT_FILAMENT_MM,
                               .exclude_below_z = lowest_of(printed)};
    find_axes(&j);
    poise_rotate(j.bedding.axes, printed->toolpath_at_mm, j.bedding.shift_mm);
    for (int i = 0; i < 3; i++) /* toolpath_at is where the bed's origin goes */
        j.bedding.shift_mm[i] = printed->has_toolpath_at ? -j.bedding.shift_mm[i] : 0.0;
    PoiseStatus status;
    if (printed->mesh) {
        status = lay_in_mesh(&j);
    } else {
        status = read_path(&j, &j.toolpath, false);
        if (!status)
            measure_box(&j, &j.toolpath);
    }
    if (!status) {
        find_body(&j, out);
        out->has_toolpath = true;
        out->toolpath_g = out->body.mass_g;
        out->layers_g = layers_g;
        find_facts(&j, out);
        warn(&j, out);
    }
    poise_columns_free(j.columns);
    return status;
}
