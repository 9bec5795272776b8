#include "statics/root.h"

#include <math.h>

/* The paper's advice for its parameters: κ1 = 0.2/(b − a), κ2 = 2, n0 = 1. */
static const double TRUNCATION = 0.2;
static const int SLACK = 1;

double poise_root(PoiseFunction f, const void *context, double a, double fa, double b, double fb,
                  double tolerance)
{
    if (fa == 0)
        return a;
    if (fb == 0)
        return b;
    double rising = fb > 0 ? 1.0 : -1.0;
    fa *= rising;
    fb *= rising;
    double kappa = TRUNCATION / (b - a);
    int halvings = (int)fmax(ceil(log2((b - a) / (2.0 * tolerance))), 0.0) + SLACK;
    double reach = ldexp(tolerance, halvings);
    for (int i = 0; i < halvings && b - a > 2.0 * tolerance; i++, reach *= 0.5) {
        double width = b - a, middle = 0.5 * (a + b);
        double secant = (fb * a - fa * b) / (fb - fa);
        double side = middle >= secant ? 1.0 : -1.0;
        double cut = kappa * width * width;
        double x = cut <= fabs(middle - secant) ? secant + side * cut : middle;
        double room = fmax(reach - 0.5 * width, 0.0);
        if (fabs(x - middle) > room)
            x = middle - side * room;
        double y = rising * f(x, context);
        if (y > 0) {
            b = x;
            fb = y;
        } else if (y < 0) {
            a = x;
            fa = y;
        } else {
            return x;
        }
    }
    return 0.5 * (a + b);
}
