/* Moving a strap post along the body's edge. */
#include <math.h>
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "base/vec.h"
#include "decide/remedy_place.h"
#include "output/words.h"
#include "statics/root.h"

/* Steps of the search along the edge; how near a root is found; the chord whose normal carries the
 * post; what counts as sitting on the edge; how near a post's hardware is to it. All mm. */
static const double STEP_MM = 2.0, TOLERANCE_MM = 0.01, HALF_CHORD_MM = 5.0, ON_EDGE_MM = 30.0,
                    HARDWARE_MM = 30.0;
enum { PUSHES = 6 }; /* further mm tried after rounding */

typedef struct PostSearch {
    const PoiseRemedyTask *task;
    const PoiseEdgePath *path; /* NULL: straight along the strings */
    PoiseAxes axes;
    bool horn;
    double post_mm[3]; /* now, file */
    double start;      /* along the path */
    double away;       /* of the post to the left of the edge */
    double hardware_g;
    double sense; /* +1 or −1: the way along the edge */
} PostSearch;

/* The post's move, in file coordinates, after s mm along the edge, at the same distance from it. */
static void move_at(const PostSearch *p, double s, double move[3])
{
    double dx = p->sense * s, dy = 0.0;
    if (p->path) {
        double n0[2], n1[2];
        PoisePoint from = poise_edge_at(p->path, p->start, HALF_CHORD_MM, n0);
        PoisePoint to = poise_edge_at(p->path, p->start + p->sense * s, HALF_CHORD_MM, n1);
        dx = to.x_mm - from.x_mm + p->away * (n1[0] - n0[0]);
        dy = to.y_mm - from.y_mm + p->away * (n1[1] - n0[1]);
    }
    for (int i = 0; i < 3; i++)
        move[i] = dx * p->axes.x[i] + dy * p->axes.y[i];
}

static PoiseStanceSetting after(const PostSearch *p, const double move[3], double moment_gmm[3])
{
    PoiseStanceSetting setting = p->task->linear->stance;
    double *post = p->horn ? setting.horn_mm : setting.tail_mm;
    for (int i = 0; i < 3; i++) {
        post[i] += move[i];
        moment_gmm[i] = p->task->total.moment_gmm[i] + p->hardware_g * move[i];
    }
    return setting;
}

static double miss_after(const PostSearch *p, const double move[3])
{
    double moment[3];
    PoiseStanceSetting setting = after(p, move, moment);
    return poise_stance_miss(p->task, &setting, p->task->total.mass_g, moment);
}

/* What is short there, as it is told. */
static double short_after(const PostSearch *p, const double move[3], PoiseGoal *worst,
                          double *short_by)
{
    double moment[3];
    PoiseStanceSetting setting = after(p, move, moment);
    return poise_stance_short(p->task, &setting, p->task->total.mass_g, moment, worst, short_by);
}

static double miss_at(double s, const void *context)
{
    const PostSearch *p = context;
    double move[3];
    move_at(p, s, move);
    return miss_after(p, move);
}

/* The button, end pin or screw that goes with the post. */
static bool is_hardware(const PoiseItem *item, const double post_mm[3])
{
    if (item->kind != POISE_ITEM_PART || !item->has_at)
        return false;
    double d[3];
    for (int i = 0; i < 3; i++)
        d[i] = item->at_mm[i] - post_mm[i];
    return poise_length(d) <= HARDWARE_MM &&
           (strcmp(item->part->family, "posts") == 0 || strstr(item->part->id, "end-pin") != NULL ||
            strstr(item->part->id, "strap-post") != NULL);
}

/* A post away from the edge is moved along the strings. */
static const char *way_of(const PostSearch *p)
{
    return p->path ? "along the edge" : "along the strings";
}

static void propose(PoiseRemedyTask *t, const PostSearch *p, double s, const double move[3])
{
    const char *post = p->horn ? "horn" : "tail";
    PoiseRemedy *r = poise_task_propose(t, POISE_REMEDY_POST, 4);
    if (!r)
        return;
    double to[3], along = poise_dot(p->axes.x, move), up = poise_dot(p->axes.y, move);
    for (int i = 0; i < 3; i++)
        to[i] = p->post_mm[i] + move[i];
    PoiseText title = {0}, step = {0};
    poise_text_printf(&title, "the %s post %.0f mm %s, to ", post, s, way_of(p));
    poise_point_say(&title, to);
    poise_text_printf(&step, "%s post: %.0f mm towards the %s and %.0f mm %s", post, fabs(along),
                      along >= 0.0 ? "head" : "tail", fabs(up), up >= 0.0 ? "up" : "down");
    poise_task_title(t, r, &title);
    poise_task_step(t, r, &step);
    poise_task_name(t, r, "%s post moved", post);
    char *pointer = poise_format("/posts/%s", post);
    poise_task_patch_at(t, r, pointer, poise_point_json(to));
    poise_release(pointer);
    for (size_t i = 0; i < t->instrument->item_count; i++) {
        const PoiseItem *item = &t->instrument->items[i];
        if (!is_hardware(item, p->post_mm))
            continue;
        double at[3];
        for (int k = 0; k < 3; k++)
            at[k] = item->at_mm[k] + move[k];
        poise_task_patch(t, r, item->id, "at", NULL, poise_point_json(at));
        poise_text_printf(&step, "%s goes with it", item->id);
        poise_task_step(t, r, &step);
    }
}

/* After the root: whole millimetres, coordinates of tenths, and it must still hold. */
static bool settle(PoiseRemedyTask *t, const PostSearch *p, double root)
{
    double s = ceil(root);
    for (int i = 0; i < PUSHES; i++, s += 1.0) {
        double move[3];
        move_at(p, s, move);
        for (int k = 0; k < 3; k++)
            move[k] = round(10.0 * (p->post_mm[k] + move[k])) / 10.0 - p->post_mm[k];
        if (miss_after(p, move) <= 0.0) {
            propose(t, p, s, move);
            return true;
        }
    }
    return false;
}

/* The move after which least is short; none where it is best as it is. */
typedef struct BestMove {
    double grams, move[3]; /* as of poise_stance_short() */
} BestMove;

static void take_better(const PostSearch *p, double s, BestMove *best)
{
    PoiseGoal worst;
    double move[3], by;
    move_at(p, s, move);
    double grams = short_after(p, move, &worst, &by);
    if (grams >= best->grams)
        return;
    best->grams = grams;
    memcpy(best->move, move, sizeof best->move);
}

/* One way along the edge. */
static bool one_way(PoiseRemedyTask *t, const PostSearch *p, double most, BestMove *best)
{
    double x = 0.0, f = miss_at(0.0, p);
    for (int i = 1; i * STEP_MM <= most; i++) {
        double y = i * STEP_MM, g = miss_at(y, p);
        if (g <= 0.0 && isfinite(f))
            return settle(t, p, poise_root(miss_at, p, x, f, y, g, TOLERANCE_MM));
        take_better(p, y, best);
        x = y;
        f = g;
    }
    return false;
}

static void say_short(PoiseRemedyTask *t, const PostSearch *p, const double best[3])
{
    PoiseGoal worst;
    double by;
    if (!(short_after(p, best, &worst, &by) > 0.0))
        return;
    bool moved = poise_length(best) > 0.0;
    PoiseText text = {0};
    poise_text_printf(
        &text, "Moving the %s post %s by up to %.0f mm does not %s: ", p->horn ? "horn" : "tail",
        way_of(p), POISE_REMEDY_POST_MM, moved ? "do it" : "help");
    poise_goal_say_short(&text, &worst, by);
    if (moved) {
        double to[3];
        for (int i = 0; i < 3; i++)
            to[i] = p->post_mm[i] + best[i];
        poise_text_append(&text, " at best, at ");
        poise_point_say(&text, to);
    } else {
        poise_text_append(&text, " where it is, and no less elsewhere");
    }
    poise_text_append(&text, ".");
    poise_task_short(t, p->horn ? "horn post" : "tail post", &text, by, poise_goal_unit(&worst));
}

static void move_post(PoiseRemedyTask *t, const PoiseEdgePath *path, bool horn)
{
    const PoiseInstrument *in = t->instrument;
    PostSearch p = {.task = t, .axes = poise_frame_axes(&in->frame), .horn = horn};
    memcpy(p.post_mm, horn ? in->horn_mm : in->tail_mm, sizeof p.post_mm);
    PoisePoint at = poise_axes_point(&p.axes, p.post_mm);
    double distance, normal[2], most = POISE_REMEDY_POST_MM;
    p.start = poise_edge_nearest(path, at, &distance);
    if (distance <= ON_EDGE_MM) {
        p.path = path;
        PoisePoint edge = poise_edge_at(path, p.start, HALF_CHORD_MM, normal);
        p.away = (at.x_mm - edge.x_mm) * normal[0] + (at.y_mm - edge.y_mm) * normal[1];
        most = fmin(most, 0.5 * path->along[path->count]);
    }
    for (size_t i = 0; i < in->item_count; i++)
        if (is_hardware(&in->items[i], p.post_mm))
            p.hardware_g += t->weighing->items[i].body.mass_g;
    PoiseGoal worst;
    double by;
    BestMove best = {0};
    double now = best.grams = short_after(&p, best.move, &worst, &by);
    bool found = false;
    for (int way = 0; way < 2; way++) {
        p.sense = way ? -1.0 : 1.0;
        double reach = most;
        if (!p.path) { /* straight along the strings, within the outline's length */
            double end = at.x_mm;
            for (size_t i = 0; i < path->count; i++)
                end = p.sense * path->points[i][0] > p.sense * end ? path->points[i][0] : end;
            reach = fmin(most, fabs(end - at.x_mm));
        }
        found = one_way(t, &p, reach, &best) || found;
    }
    if (best.grams > now - POISE_REMEDY_SHOWS_G)
        best = (BestMove){.grams = now};
    if (!found)
        say_short(t, &p, best.move);
}

PoiseStatus poise_remedy_posts(PoiseRemedyTask *t, PoiseFaults *faults)
{
    bool heavy = !isnan(t->out->target_mass_g) && t->total.mass_g > t->out->target_mass_g;
    if (!t->strap || heavy)
        return POISE_OK;
    PoiseBodyOutline outline;
    PoiseEdgePath path = {0};
    PoiseStatus status = poise_task_outline(t, &outline, faults);
    if (!status && outline.edge.rings == 0)
        poise_task_note(t, "Post moves were not tried: no printed section or solid piece with an "
                           "outline lies at the tail post's depth.");
    else if (!status && !poise_edge_path(&outline.edge, 0, &path))
        status = poise_fault_memory(faults);
    if (path.along) {
        move_post(t, &path, true);
        move_post(t, &path, false);
    }
    poise_edge_path_clear(&path);
    poise_body_outline_clear(&outline);
    return !status && t->out->failed ? poise_fault_memory(faults) : status;
}
