#include "base/vec.h"

static const double RAD_PER_DEG = 0.017453292519943295769; /* π/180 */

void poise_sincos_deg(double deg, double *s, double *c)
{
    double quarter = round(deg / 90.0);
    double rest = (deg - 90.0 * quarter) * RAD_PER_DEG;
    double sr = sin(rest), cr = cos(rest);
    int q = (int)fmod(quarter, 4.0);
    if (q < 0)
        q += 4;
    switch (q) {
    case 0:
        *s = sr, *c = cr;
        break;
    case 1:
        *s = cr, *c = -sr;
        break;
    case 2:
        *s = -sr, *c = -cr;
        break;
    default:
        *s = -cr, *c = sr;
        break;
    }
}

void poise_rotation_xyz(const double turn_deg[3], double r[3][3])
{
    double sx, cx, sy, cy, sz, cz;
    poise_sincos_deg(turn_deg[0], &sx, &cx);
    poise_sincos_deg(turn_deg[1], &sy, &cy);
    poise_sincos_deg(turn_deg[2], &sz, &cz);
    r[0][0] = cz * cy;
    r[0][1] = cz * sy * sx - sz * cx;
    r[0][2] = cz * sy * cx + sz * sx;
    r[1][0] = sz * cy;
    r[1][1] = sz * sy * sx + cz * cx;
    r[1][2] = sz * sy * cx - cz * sx;
    r[2][0] = -sy;
    r[2][1] = cy * sx;
    r[2][2] = cy * cx;
}
