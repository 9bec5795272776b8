/* Two plumb lines and where they cross. A vertical through the post goes through the centre of
 * mass; seen square on to the face, its picture goes through the pictures of both, however far the
 * instrument leans. */
#include <math.h>
#include <stdio.h>

#include "base/vec.h"
#include "scale/home_methods.h"
#include "scale/refusal.h"

/* mm. A mark nearer to its post gives no direction worth having: a millimetre is then 3° off. */
static const double LEAST_MARK_MM = 20;

/* A line through a post. */
typedef struct Line {
    PoisePoint post;
    double dx, dy;  /* unit vector along it */
    double mark_mm; /* distance of the mark; 0: the direction was given as an angle */
    double place_u_mm, angle_u;
} Line;

static PoiseStatus refuse(PoiseFaults *faults, size_t i, const char *key, const char *found,
                          const char *expected)
{
    return poise_refuse_reading(faults, "hangings", i, key, found, expected);
}

static PoiseStatus line_of(const PoiseHangReading *r, size_t i, Line *line, PoiseFaults *faults)
{
    if (!poise_point_ok(r->post))
        return refuse(faults, i, "post", "a coordinate that is not finite or beyond a kilometre",
                      "a position in mm");
    if (!poise_is_u(r->place_u_mm) || (!r->by_mark && !poise_is_u(r->angle_deg.u)))
        return refuse(faults, i, NULL, "an uncertainty that is negative or not finite",
                      "0 or more");
    *line = (Line){.post = r->post, .place_u_mm = r->place_u_mm};
    if (!r->by_mark) {
        if (!(fabs(r->angle_deg.value) <= 180))
            return refuse(faults, i, "angle", "an angle beyond 180°", "-180° to 180°");
        /* Down is where v = x sin φ + y cos φ falls fastest. */
        poise_sincos_deg(r->angle_deg.value, &line->dx, &line->dy);
        line->dx = -line->dx;
        line->dy = -line->dy;
        line->angle_u = r->angle_deg.u * 3.14159265358979323846 / 180;
        return POISE_OK;
    }
    if (!poise_point_ok(r->mark))
        return refuse(faults, i, "mark", "a coordinate that is not finite or beyond a kilometre",
                      "a position in mm");
    PoisePoint d = poise_from(r->post, r->mark);
    line->mark_mm = hypot(d.x_mm, d.y_mm);
    if (!(line->mark_mm >= LEAST_MARK_MM))
        return refuse(faults, i, "mark", "a mark at its post",
                      "a mark at least 20 mm from it, better beyond the balance point");
    line->dx = d.x_mm / line->mark_mm;
    line->dy = d.y_mm / line->mark_mm;
    return POISE_OK;
}

/* Variance of the line's place across itself, at a distance along it from the post. */
static double across(const Line *line, double along_mm)
{
    double u2 = line->place_u_mm * line->place_u_mm;
    if (line->mark_mm > 0) {
        double t = along_mm / line->mark_mm;
        return ((1 - t) * (1 - t) + t * t) * u2;
    }
    double swing = along_mm * line->angle_u;
    return u2 + swing * swing;
}

PoiseStatus poise_hang_crossing(const PoiseHangReading readings[2], PoiseHangResult *result,
                                PoiseFaults *faults)
{
    *result = (PoiseHangResult){{NAN, NAN}, NAN, NAN, NAN, NAN};
    Line a = {0}, b = {0};
    PoiseStatus status = line_of(&readings[0], 0, &a, faults);
    if (!status)
        status = line_of(&readings[1], 1, &b, faults);
    if (status)
        return status;
    /* The sine of the angle between the lines; also the determinant of the two normals
     * n = (−dy, dx). */
    double sine = a.dx * b.dy - a.dy * b.dx;
    double crossing = asin(fmin(1, fabs(sine))) * 180 / 3.14159265358979323846;
    if (!(crossing >= POISE_LEAST_CROSSING_DEG))
        return poise_refuse_value(faults, "/hangings", "plumb lines that cross at", crossing, "°",
                                  "at least 5°; hang it from two places farther apart");
    /* a.post + s a.d = b.post + t b.d */
    PoisePoint gap = poise_from(a.post, b.post);
    double s = (gap.x_mm * b.dy - gap.y_mm * b.dx) / sine;
    double t = (gap.x_mm * a.dy - gap.y_mm * a.dx) / sine;
    /* Shifts ε of the lines along their normals move the crossing by (ε_a b.d − ε_b a.d)/±sine. */
    double va = across(&a, s) / (sine * sine), vb = across(&b, t) / (sine * sine);
    double xx = va * b.dx * b.dx + vb * a.dx * a.dx;
    double yy = va * b.dy * b.dy + vb * a.dy * a.dy;
    double xy = va * b.dx * b.dy + vb * a.dx * a.dy;
    result->centre = (PoisePoint){a.post.x_mm + s * a.dx, a.post.y_mm + s * a.dy};
    result->x_u_mm = sqrt(xx);
    result->y_u_mm = sqrt(yy);
    result->correlation = xx > 0 && yy > 0 ? xy / sqrt(xx * yy) : 0;
    result->crossing_deg = crossing;
    return POISE_OK;
}
