#include "doubt/first_order.h"

#include <math.h>

static double slope(double x_low, double y_low, double x, double y, double x_high, double y_high)
{
    if (isnan(y))
        return (double)NAN;
    if (!isfinite(y_low)) {
        x_low = x;
        y_low = y;
    }
    if (!isfinite(y_high)) {
        x_high = x;
        y_high = y;
    }
    return x_high > x_low ? (y_high - y_low) / (x_high - x_low) : (double)NAN;
}

void poise_sensitivities(PoiseModel *model, const void *context, size_t n, const PoiseInput *inputs,
                         size_t m, double *y, double *c)
{
    double x[POISE_MOST_INPUTS] = {0.0}, low[POISE_MOST_RESULTS], high[POISE_MOST_RESULTS];
    for (size_t i = 0; i < n; i++)
        x[i] = inputs[i].value;
    model(x, y, context);
    for (size_t i = 0; i < n; i++) {
        const PoiseInput *in = &inputs[i];
        if (!(in->u > 0.0)) {
            for (size_t k = 0; k < m; k++)
                c[k * n + i] = 0.0;
            continue;
        }
        double x_low = fmax(in->value - in->u, in->least);
        double x_high = fmin(in->value + in->u, in->most);
        x[i] = x_low;
        model(x, low, context);
        x[i] = x_high;
        model(x, high, context);
        x[i] = in->value;
        for (size_t k = 0; k < m; k++)
            c[k * n + i] = slope(x_low, low[k], in->value, y[k], x_high, high[k]);
    }
}

double poise_combined_u(size_t n, const double *c, const double *covariance)
{
    double variance = 0.0;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            if (covariance[i * n + j] != 0.0)
                variance += c[i] * c[j] * covariance[i * n + j];
    if (isnan(variance))
        return (double)NAN;
    /* Round-off may leave what cancels a hair below 0. */
    return variance < 0.0 ? 0.0 : sqrt(variance);
}

double poise_effective_dof(size_t n, const double *contributions, const double *dof)
{
    double variance = 0.0, fourth = 0.0;
    for (size_t i = 0; i < n; i++) {
        double square = contributions[i] * contributions[i];
        variance += square;
        if (isfinite(dof[i]))
            fourth += square * square / dof[i];
    }
    return fourth > 0.0 ? variance * variance / fourth : (double)INFINITY;
}
