#include "weigh/frame.h"

#include <string.h>

#include "base/vec.h"

PoiseAxes poise_frame_axes(const PoiseFrame *frame)
{
    PoiseAxes a;
    memcpy(a.x, frame->head, sizeof a.x);
    memcpy(a.z, frame->face, sizeof a.z);
    poise_cross(a.z, a.x, a.y);
    if (frame->left)
        for (int i = 0; i < 3; i++)
            a.y[i] = -a.y[i];
    return a;
}

PoisePoint poise_axes_point(const PoiseAxes *axes, const double r_mm[3])
{
    return (PoisePoint){poise_dot(axes->x, r_mm), poise_dot(axes->y, r_mm)};
}

void poise_axes_xyz(const PoiseAxes *axes, const double r_mm[3], double xyz_mm[3])
{
    double x = poise_dot(axes->x, r_mm), y = poise_dot(axes->y, r_mm), z = poise_dot(axes->z, r_mm);
    xyz_mm[0] = x;
    xyz_mm[1] = y;
    xyz_mm[2] = z;
}

void poise_axes_horizontal(const PoiseAxes *axes, double neck_angle_deg, double direction[3])
{
    double s, c;
    poise_sincos_deg(neck_angle_deg, &s, &c);
    for (int i = 0; i < 3; i++)
        direction[i] = c * axes->x[i] - s * axes->y[i];
}
