/* The explorer's place in the page: the shapes it turns, its data, its engine, its script. It stays
 * hidden until the script has the engine running, so that the sheet reads well without. */
#include <math.h>

#include "base/faults.h"
#include "base/memory.h"
#include "plot/shapes.h"
#include "report/assets.h"
#include "report/explorer_model.h"
#include "report/parts.h"

/* Points nearer than this to the line between their neighbours' are left out, mm: finer than a
 * screen shows. */
static const double SMOOTH_MM = 0.6;

static double off_line(const double a[2], const double b[2], const double p[2])
{
    double dx = b[0] - a[0], dy = b[1] - a[1], length = hypot(dx, dy);
    if (!(length > 0.0))
        return hypot(p[0] - a[0], p[1] - a[1]);
    return fabs(dx * (p[1] - a[1]) - dy * (p[0] - a[0])) / length;
}

/* Whether the chord from `kept` to `next` leaves out nothing that matters. */
static bool may_skip(double (*points)[2], size_t kept, size_t next)
{
    for (size_t i = kept + 1; i < next; i++)
        if (off_line(points[kept], points[next], points[i]) > SMOOTH_MM)
            return false;
    return true;
}

static void add_ring(PoiseText *t, double (*points)[2], size_t n)
{
    size_t kept = 0;
    poise_text_printf(t, "M%.1f %.1f", points[0][0], -points[0][1]);
    for (size_t i = 1; i < n; i++)
        if (i + 1 == n || !may_skip(points, kept, i + 1)) {
            poise_text_printf(t, "L%.1f %.1f", points[i][0], -points[i][1]);
            kept = i;
        }
    poise_text_append(t, "Z");
}

/* In the plane of the face, from the tail post; y down as SVG has it. */
static void add_shape(PoiseText *t, const PoisePlotShape *shape, PoiseItemKind kind)
{
    poise_text_printf(t, "<path class=\"%s\" d=\"",
                      kind == POISE_ITEM_NECK     ? "wood"
                      : kind == POISE_ITEM_POURED ? "pour"
                                                  : "body");
    for (size_t k = 0; k < shape->rings.rings; k++) {
        size_t from = poise_rings_start(&shape->rings, k);
        add_ring(t, shape->rings.points + from, shape->rings.ends[k] - from);
    }
    poise_text_append(t, "\"/>\n");
}

static PoiseStatus add_shapes(PoiseText *t, const PoiseSheetSource *s, PoiseFaults *faults)
{
    PoisePlotShapes shapes = {0};
    PoiseStatus status = poise_plot_shapes(s->instrument, s->weighing, &shapes, faults);
    if (status)
        return status;
    PoiseAxes axes = poise_frame_axes(&s->instrument->frame);
    PoisePoint tail = poise_axes_point(&axes, s->instrument->tail_mm);
    PoisePose pose = {.origin_mm = {tail.x_mm, tail.y_mm}};
    poise_pose_shapes(&pose, &shapes);
    for (size_t i = 0; i < shapes.count; i++)
        add_shape(t, &shapes.list[i], s->instrument->items[shapes.list[i].item].kind);
    poise_plot_shapes_free(&shapes);
    return POISE_OK;
}

static const char BEFORE[] =
    "<section id=\"explorer\" hidden>\n<h2>Try changes</h2>\n"
    "<p>Move a slider: weight, centre of mass, plumb line and verdict follow at once, computed "
    "here by the program's own code. Nothing is sent anywhere, and this sheet stays as it is; the "
    "change is written below for the instrument file.</p>\n"
    "<p class=\"verdict\" id=\"explorer-verdict\" aria-live=\"polite\"></p>\n"
    "<svg id=\"explorer-picture\" role=\"img\" aria-label=\"The instrument as it hangs with the "
    "sliders' values\">\n<g id=\"explorer-scene\">\n<rect class=\"window\"/>\n"
    "<g id=\"explorer-solids\">\n";

static const char AFTER[] =
    "</g>\n<line class=\"plumb\"/>\n<polyline class=\"strap\"/>\n<circle class=\"shoulder\" "
    "r=\"11\"/>\n<circle class=\"post\" id=\"explorer-tail\" r=\"8\"/>\n<circle class=\"post\" "
    "id=\"explorer-horn\" r=\"8\"/>\n<path class=\"force\"/>\n<circle class=\"ring\" r=\"17\"/>\n"
    "<circle class=\"centre\" r=\"12\"/>\n</g>\n<g id=\"explorer-scale\"><path/>"
    "<text>100 mm</text></g>\n</svg>\n"
    "<p class=\"key\">Band: where the strap holds a centre of mass. Dashed: plumb line through the "
    "centre of mass. Arrow: the hand's force, 1 mm of the drawing for each 2 g.</p>\n"
    "<div id=\"explorer-sliders\"></div>\n"
    "<p><button type=\"button\" id=\"explorer-reset\">Back to the file</button></p>\n"
    "<dl id=\"explorer-figures\"><dt>Figures</dt><dd>as above</dd></dl>\n"
    "<h3>For the instrument file</h3>\n<p id=\"explorer-how\"></p>\n"
    "<pre id=\"explorer-patch\" tabindex=\"0\">{}</pre>\n</section>\n";

static void add_script(PoiseDoc *doc, char *model)
{
    PoiseText *t = &doc->text;
    poise_text_append(t, "<script type=\"application/json\" id=\"model\">");
    poise_text_append(t, model);
    poise_text_append(t, "</script>\n<script type=\"text/plain\" id=\"engine\">");
    poise_base64_append(t, POISE_EXPLORER_WASM, POISE_EXPLORER_WASM_SIZE);
    poise_text_append(t, "</script>\n<script id=\"explorer-script\">\n");
    poise_text_append_n(t, (const char *)POISE_EXPLORER_JS, POISE_EXPLORER_JS_SIZE);
    poise_text_append(t, "</script>\n");
}

PoiseStatus poise_sheet_explorer(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults)
{
    if (POISE_EXPLORER_WASM_SIZE == 0 || !s->weighing->has_strap)
        return POISE_OK;
    PoiseExplorerModel model;
    PoiseText shapes = {0};
    PoiseStatus status = poise_explorer_model(s, &model, faults);
    if (!status)
        status = add_shapes(&shapes, s, faults);
    char *json = status ? NULL : poise_explorer_json(s, &model);
    if (!status && (!json || shapes.failed))
        status = poise_fault_memory(faults);
    if (!status) {
        poise_doc_end_section(doc);
        poise_text_append(&doc->text, BEFORE);
        poise_text_append(&doc->text, shapes.data ? shapes.data : "");
        poise_text_append(&doc->text, AFTER);
        add_script(doc, json);
    }
    poise_release(json);
    poise_text_clear(&shapes);
    poise_explorer_model_clear(&model);
    return status;
}
