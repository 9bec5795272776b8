#include "bodies/doubt.h"

#include <math.h>

#include "base/vec.h"

double poise_density_doubt_g(const PoiseMaterial *material, double mass_g)
{
    if (!material || !(material->density_g_cm3.value > 0.0))
        return 0.0;
    return fabs(mass_g) * material->density_g_cm3.u / material->density_g_cm3.value;
}

double poise_doubt_mass_u_g(const PoiseItemDoubt *doubt)
{
    double sources[3] = {doubt->density_u_g, doubt->flow_u_g, doubt->own_u_g};
    return poise_length(sources);
}

void poise_doubt_times(PoiseItemDoubt *doubt, int count)
{
    doubt->density_u_g *= count;
    doubt->flow_u_g *= count;
    doubt->own_u_g *= count;
}

void poise_doubt_turn(PoiseItemDoubt *doubt, double rotation[3][3])
{
    double turned[3];
    for (int i = 0; i < 3; i++) {
        double along[3];
        for (int j = 0; j < 3; j++)
            along[j] = rotation[i][j] * doubt->place_u_mm[j];
        turned[i] = poise_length(along);
    }
    for (int i = 0; i < 3; i++)
        doubt->place_u_mm[i] = turned[i];
}
