#include "plot/ellipse.h"

#include <math.h>

#include "base/vec.h"

static double form(const double v[3][3], const double a[3], const double b[3])
{
    double t[3];
    for (int i = 0; i < 3; i++)
        t[i] = poise_dot(v[i], b);
    return poise_dot(a, t);
}

PoiseEllipse poise_ellipse_95(const double v[3][3], const double x[3], const double y[3])
{
    double a = form(v, x, x), b = form(v, y, y), c = form(v, x, y);
    double middle = 0.5 * (a + b), spread = hypot(0.5 * (a - b), c);
    double q = -2.0 * log(0.05), turn = 0.5 * atan2(2.0 * c, a - b);
    /* Round-off may leave a direction without doubt a hair below 0. */
    return (PoiseEllipse){.long_mm = sqrt(q * fmax(middle + spread, 0.0)),
                          .short_mm = sqrt(q * fmax(middle - spread, 0.0)),
                          .axis = {cos(turn), sin(turn)}};
}
