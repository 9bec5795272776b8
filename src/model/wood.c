#include "model/wood.h"

double poise_wood_density_g_cm3(double gravity_at_mc, double moisture_percent)
{
    return gravity_at_mc * (1.0 + moisture_percent / 100.0);
}

static double shrink_factor(double moisture_percent)
{
    double dry = 1.0 - moisture_percent / POISE_FIBRE_SATURATION_PERCENT;
    return 0.265 * (dry > 0.0 ? dry : 0.0);
}

double poise_wood_gravity_at(double basic_gravity, double moisture_percent)
{
    return basic_gravity / (1.0 - shrink_factor(moisture_percent) * basic_gravity);
}

double poise_wood_basic_gravity(double gravity_at_mc, double moisture_percent)
{
    return gravity_at_mc / (1.0 + shrink_factor(moisture_percent) * gravity_at_mc);
}
