#include "geometry/section_job.h"

#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/vec.h"

/* Distance of the lines, mm, and how many there are at least and at most: the regions' edges are
 * followed exactly along the lines, only what ends between two of them is rounded off. */
#define LINE_STEP_MM 0.25
#define FEWEST_LINES 400
#define MOST_LINES   4000
/* Directions that are tried for the lines. */
#define DIRECTIONS 180
/* Triangles whose direction is asked at most: the long edges show in any sample of that size. */
#define SAMPLE ((size_t)65536)
/* Lines of printing thicker or thinner than this, mm, are a unit mistake. */
#define THICKEST_MM 1000.0
/* More skins than that are the whole part. */
#define MOST_SKINS 65535

static PoiseStatus check(const char *name, const PoiseSlicing *s, PoiseFaults *faults)
{
    double length = poise_length(s->up);
    if (!(s->layer_mm > 0 && s->layer_mm <= THICKEST_MM))
        return poise_fault_say(faults, POISE_E_USAGE, name,
                               "found a layer height of %g mm, expected more than 0", s->layer_mm);
    if (!(s->line_mm > 0 && s->line_mm <= THICKEST_MM))
        return poise_fault_say(faults, POISE_E_USAGE, name,
                               "found a line width of %g mm, expected more than 0", s->line_mm);
    if (s->top < 0 || s->bottom < 0 || s->top > MOST_SKINS || s->bottom > MOST_SKINS)
        return poise_fault_say(faults, POISE_E_USAGE, name,
                               "found %d top and %d bottom skins, expected 0 … %d", s->top,
                               s->bottom, MOST_SKINS);
    if (!(length > 0 && isfinite(length)))
        return poise_fault_say(faults, POISE_E_USAGE, name,
                               "found the build direction (%g, %g, %g), expected one with a length",
                               s->up[0], s->up[1], s->up[2]);
    return POISE_OK;
}

/* Right-handed axes with z along `up`; exact when `up` is along a mesh axis. */
static void make_axes(const double up[3], double axes[3][3])
{
    double scale = fmax(fabs(up[0]), fmax(fabs(up[1]), fabs(up[2]))), z[3];
    for (int i = 0; i < 3; i++)
        z[i] = up[i] / scale;
    double length = poise_length(z);
    for (int i = 0; i < 3; i++)
        axes[2][i] = z[i] / length;
    int across = fabs(axes[2][0]) < 0.75 ? 0 : 1;
    double x[3] = {0};
    x[across] = 1;
    for (int i = 0; i < 3; i++)
        x[i] -= axes[2][across] * axes[2][i];
    length = poise_length(x);
    for (int i = 0; i < 3; i++)
        axes[0][i] = x[i] / length;
    poise_cross(axes[2], axes[0], axes[1]);
}

/* Equal in value, so that −0 counts as 0. */
static bool are_own_axes(double axes[3][3])
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            if (axes[i][j] != (i == j ? 1.0 : 0.0))
                return false;
    return true;
}

static bool turn_vertices(const PoiseMesh *mesh, PoiseSectionPlan *plan, double lo[3], double hi[3])
{
    bool turned = !are_own_axes(plan->axes);
    plan->vertices = mesh->vertices_mm;
    if (turned) {
        plan->turned = poise_resize(NULL, mesh->vertex_count, 3 * sizeof *plan->turned);
        if (!plan->turned)
            return false;
        for (size_t i = 0; i < mesh->vertex_count; i++)
            poise_rotate(plan->axes, mesh->vertices_mm + 3 * i, plan->turned + 3 * i);
        plan->vertices = plan->turned;
    }
    for (int c = 0; c < 3; c++) {
        lo[c] = INFINITY;
        hi[c] = -INFINITY;
    }
    for (size_t i = 0; i < mesh->vertex_count; i++)
        for (int c = 0; c < 3; c++) {
            double v = plan->vertices[3 * i + (size_t)c];
            lo[c] = v < lo[c] ? v : lo[c];
            hi[c] = v > hi[c] ? v : hi[c];
        }
    return true;
}

static PoiseStatus make_planes(const char *name, double wanted_mm, double low, double high,
                               PoiseSectionPlan *plan, PoiseFaults *faults)
{
    double height = high - low, count = floor(height / wanted_mm + 0.5);
    if (!(count <= (double)POISE_LIMIT_LAYERS))
        return poise_fault_say(
            faults, POISE_E_USAGE, name,
            "found %.0f layers of %g mm in a part %g mm tall, expected at most %zu", count,
            wanted_mm, height, POISE_LIMIT_LAYERS);
    plan->layers = count < 1 ? 1 : (size_t)count;
    plan->layer_mm = height / (double)plan->layers;
    plan->planes = poise_resize(NULL, plan->layers, sizeof *plan->planes);
    if (!plan->planes)
        return poise_fault_memory(faults);
    for (size_t k = 0; k < plan->layers; k++)
        plan->planes[k] = low + ((double)k + 0.5) * plan->layer_mm;
    return POISE_OK;
}

/* How much outline, all layers together, runs in each direction: an upright triangle with normal n
 * is cut across n, over a length in proportion to its area times its normal's horizontal part. */
static void weigh_directions(const PoiseMesh *mesh, const double *vertices,
                             double weight[DIRECTIONS])
{
    const double per_radian = DIRECTIONS / 3.14159265358979323846;
    size_t stride = (mesh->triangle_count + SAMPLE - 1) / SAMPLE;
    for (size_t t = 0; t < mesh->triangle_count; t += stride) {
        const double *a = vertices + 3 * (size_t)mesh->triangles[3 * t];
        const double *b = vertices + 3 * (size_t)mesh->triangles[3 * t + 1];
        const double *c = vertices + 3 * (size_t)mesh->triangles[3 * t + 2];
        double u[3], v[3], n[3];
        for (int i = 0; i < 3; i++) {
            u[i] = b[i] - a[i];
            v[i] = c[i] - a[i];
        }
        poise_cross(u, v, n);
        double across = hypot(n[0], n[1]);
        if (!(across > 0))
            continue;
        double turn =
            atan2(n[0], -n[1]) * per_radian + DIRECTIONS; /* atan2(y, x) of z × n, made positive */
        weight[(size_t)(turn + 0.5) % DIRECTIONS] += across;
    }
}

/* The direction of the lines that keeps farthest from where outlines run. A line's error grows with
 * the square of the cotangent of the angle at which it is crossed. */
static void choose_direction(const PoiseMesh *mesh, PoiseSectionPlan *plan)
{
    const double step = 3.14159265358979323846 / DIRECTIONS;
    double weight[DIRECTIONS] = {0}, cost[DIRECTIONS];
    weigh_directions(mesh, plan->vertices, weight);
    for (int i = 0; i < DIRECTIONS; i++) {
        double s = sin(step * i);
        cost[i] = 1 / (s * s + step * step);
    }
    int best = 0;
    double least = INFINITY;
    for (int d = 0; d < DIRECTIONS; d++) {
        double sum = 0;
        for (int i = 0; i < DIRECTIONS; i++)
            sum += weight[i] * cost[(i - d + DIRECTIONS) % DIRECTIONS];
        if (sum < least) {
            least = sum;
            best = d;
        }
    }
    plan->cosine = cos(step * best);
    plan->sine = sin(step * best);
}

static void make_scan(const PoiseMesh *mesh, PoiseSectionPlan *plan)
{
    double lo = INFINITY, hi = -INFINITY;
    for (size_t i = 0; i < mesh->vertex_count; i++) {
        const double *v = plan->vertices + 3 * i;
        double y = plan->cosine * (v[1] - plan->centre[1]) - plan->sine * (v[0] - plan->centre[0]);
        lo = y < lo ? y : lo;
        hi = y > hi ? y : hi;
    }
    double lines = ceil((hi - lo) / LINE_STEP_MM);
    lines = lines < FEWEST_LINES ? FEWEST_LINES : lines > MOST_LINES ? MOST_LINES : lines;
    plan->scan = (PoiseScan){.low_mm = lo, .step_mm = (hi - lo) / lines, .lines = (size_t)lines};
}

PoiseStatus poise_section_plan(const PoiseMesh *mesh, const char *name, const PoiseSlicing *slicing,
                               PoiseSectionPlan *plan, PoiseFaults *faults)
{
    *plan = (PoiseSectionPlan){0};
    PoiseStatus status = check(name, slicing, faults);
    if (status)
        return status;
    double lo[3], hi[3];
    make_axes(slicing->up, plan->axes);
    if (!turn_vertices(mesh, plan, lo, hi))
        return poise_fault_memory(faults);
    for (int c = 0; c < 3; c++) {
        if (!(hi[c] > lo[c] && hi[c] - lo[c] <= 4 * POISE_LIMIT_COORDINATE_MM))
            return poise_fault_say(faults, POISE_E_MESH, name,
                                   "the mesh is %g mm × %g mm × %g mm, expected a solid",
                                   hi[0] - lo[0], hi[1] - lo[1], hi[2] - lo[2]);
        plan->centre[c] = lo[c] + (hi[c] - lo[c]) / 2;
    }
    status = make_planes(name, slicing->layer_mm, lo[2], hi[2], plan, faults);
    if (status)
        return status;
    choose_direction(mesh, plan);
    make_scan(mesh, plan);
    return POISE_OK;
}

void poise_section_plan_release(PoiseSectionPlan *plan)
{
    poise_release(plan->turned);
    poise_release(plan->planes);
    *plan = (PoiseSectionPlan){0};
}
