#include "bodies/printed_toolpath.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
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
    double box_mm[3];  /* of the part as laid, along the bed's axes */
    double raised_mm;  /* how much too high the part was laid, and is taken lower */
    double layers_u_g; /* the layer model's own doubt */
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

/* What the part is raised by as a whole: its top beyond the mesh's, when that is more than rounding
 * to whole layers and not another part. */
static double raised_by(const PoiseToolpath *part, double height_mm, double layer_mm)
{
    double over = part->max_mm[2] - height_mm;
    return over > POISE_TOOLPATH_ROUNDING * layer_mm && over <= POISE_TOOLPATH_RAISED_MM ? over
                                                                                         : 0.0;
}

static double layer_of(const Job *j)
{
    return j->toolpath.layer_mm > 0.0 ? j->toolpath.layer_mm : j->printed->slicing.layer_mm;
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
    j->toolpath.layer_mm = part.layer_mm;
    j->raised_mm = raised_by(&part, max_mm[2] - min_mm[2], layer_of(j));
    j->bedding.shift_mm[2] = j->raised_mm - min_mm[2];
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

static void shift_up(Job *j, double mm)
{
    j->bedding.shift_mm[2] += mm;
    j->options.top_z += mm;
}

/* A blob above the top, primed there before the nozzle came down, looks like a raised part but
 * lowering would cost the first layers: of the two, what keeps more is right. */
static PoiseStatus doubt_raise(Job *j)
{
    PoiseToolpath as_it_lies;
    shift_up(j, -j->raised_mm);
    PoiseStatus status = read_path(j, &as_it_lies, true);
    if (status == POISE_E_MEMORY)
        return status;
    if (!status && as_it_lies.laid.volume_mm3 > j->toolpath.laid.volume_mm3) {
        j->toolpath = as_it_lies;
        j->raised_mm = 0.0;
    } else {
        shift_up(j, j->raised_mm);
    }
    return POISE_OK;
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
    j->options.has_top = true; /* a bead that reaches into the mesh is kept */
    j->options.top_z = max_mm[2] + j->bedding.shift_mm[2] + POISE_TOOLPATH_ROUNDING * layer_of(j);
    status = read_path(j, &j->toolpath, false);
    if (!status && j->raised_mm > 0.0)
        status = doubt_raise(j);
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

static double grams_of(const Job *j, double volume_mm3)
{
    PoiseLaying laying = poise_printed_laying(j->printed, true);
    return 1e-3 * volume_mm3 * laying.density_g_cm3.value * laying.flow.value;
}

int poise_toolpath_decimals(double mass_g)
{
    return mass_g < 1.0 ? 3 : mass_g < 10.0 ? 2 : mass_g < 100.0 ? 1 : 0;
}

/* A value ≥ 0 without a decimal comma, whatever the locale. */
static void add_fixed(PoiseText *t, double value, int decimals)
{
    long scale = lround(pow(10.0, decimals)), n = lround(value * (double)scale);
    poise_text_printf(t, "%ld", n / scale);
    if (decimals > 0)
        poise_text_printf(t, ".%0*ld", decimals, n % scale);
}

/* "412 g", "8.31 g" */
static void add_grams(PoiseText *t, double mass_g)
{
    add_fixed(t, mass_g, poise_toolpath_decimals(mass_g));
    poise_text_append(t, " g");
}

/* Hands over what was built up; false when memory ran out. */
static bool say(PoiseText *t, PoiseItemBody *out)
{
    char *sentence = poise_text_take(t);
    if (sentence)
        poise_item_add_warning(out, sentence);
    poise_release(sentence);
    return sentence != NULL;
}

/* Density and flow are the same in both, so only what each has on its own tells them apart. */
static bool warn_of_mass(const Job *j, PoiseItemBody *out)
{
    double doubt = hypot(j->layers_u_g, out->doubt.own_u_g);
    double over = fabs(out->toolpath_g - out->layers_g);
    if (isnan(out->layers_g) || over <= fmax(doubt, POISE_TOOLPATH_AGREES * out->layers_g))
        return true;
    PoiseText t = {0};
    poise_text_append(&t, "toolpath lays ");
    add_grams(&t, out->toolpath_g);
    poise_text_append(&t, ", the layer model says ");
    add_grams(&t, out->layers_g);
    return say(&t, out);
}

enum { WASTE_REASONS = 4 };

/* ": 0.32 g above the mesh's top, 0.10 g …", or ": all above the mesh's top". No trifles. */
static void add_reasons(const Job *j, PoiseText *t)
{
    const PoiseToolpath *p = &j->toolpath;
    double trifle = 1e-3 * p->waste_mm3;
    const struct {
        double volume_mm3;
        const char *where;
    } reasons[WASTE_REASONS] = {{p->above_mm3, "above the mesh's top"},
                                {p->waste_mm3 - p->above_mm3 - p->low_mm3 - p->unplaced_mm3,
                                 p->above_mm3 > trifle
                                     ? "elsewhere outside it (skirt, brim, supports, another part)"
                                     : "outside the mesh (skirt, brim, supports, another part)"},
                                {p->low_mm3, "lower than toolpath_skip_below"},
                                {p->unplaced_mm3, "laid before the toolpath says where (purge)"}};
    int count = 0, told = 0;
    for (int i = 0; i < WASTE_REASONS; i++)
        count += reasons[i].volume_mm3 > trifle;
    for (int i = 0; i < WASTE_REASONS; i++) {
        if (reasons[i].volume_mm3 <= trifle)
            continue;
        poise_text_append(t, told++ ? ", " : ": ");
        if (count > 1)
            add_grams(t, grams_of(j, reasons[i].volume_mm3));
        else
            poise_text_append(t, "all");
        poise_text_printf(t, " %s", reasons[i].where);
    }
}

static bool warn_of_waste(const Job *j, PoiseItemBody *out)
{
    const PoiseToolpath *p = &j->toolpath;
    double share = p->waste_mm3 / (p->laid.volume_mm3 + p->waste_mm3);
    if (share <= POISE_TOOLPATH_LEFT_OUT)
        return true;
    PoiseText t = {0};
    add_grams(&t, grams_of(j, p->waste_mm3));
    poise_text_printf(&t, " (%ld %%) of what the toolpath lays is left out", lround(100.0 * share));
    add_reasons(j, &t);
    return say(&t, out);
}

static bool warn_of_height(const Job *j, PoiseItemBody *out)
{
    if (j->raised_mm == 0.0)
        return true;
    PoiseText t = {0};
    poise_text_append(&t, "the toolpath ends ");
    add_fixed(&t, j->raised_mm, 2);
    poise_text_append(&t, " mm above the mesh's top: taken as laid that much too high (nozzle "
                          "offset, raft) and lowered");
    return say(&t, out);
}

static void warn_of_box(const Job *j, PoiseItemBody *out)
{
    if (!j->columns)
        return;
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

static PoiseStatus warn(const Job *j, PoiseItemBody *out)
{
    bool said = warn_of_mass(j, out) && warn_of_waste(j, out) && warn_of_height(j, out);
    warn_of_box(j, out);
    if (!said)
        return poise_fault_memory(j->faults);
    if (j->toolpath.doubtful_moves == 0)
        return POISE_OK;
    PoiseText t = {0};
    poise_text_printf(&t,
                      "%zu of the toolpath's moves can be read in two ways: it mixes G91 with "
                      "absolute extrusion",
                      j->toolpath.doubtful_moves);
    return say(&t, out) ? POISE_OK : poise_fault_memory(j->faults);
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
    j.layers_u_g = out->doubt.own_u_g; /* before the toolpath's takes its place */
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
        status = warn(&j, out);
    }
    poise_columns_free(j.columns);
    return status;
}
