#include "geometry/carve.h"

#include <math.h>

#include "geometry/region_geos.h"

/* A corner of the outline and what bounds the strips that meet there. */
typedef struct Corner {
    double at[2];
    double moved[2][2]; /* the ends of the moved edges before and after it */
    double middle[2];   /* where the bisector leaves the mitre; of reflex corners */
    bool convex;        /* the strips overlap instead */
    bool cut;           /* reflex and too sharp: the mitre ends in an edge, not in a tip */
} Corner;

static Corner corner_between(const double a[2], const double b[2], const double c[2],
                             double distance)
{
    const double limit = POISE_MITRE_LIMIT;
    double u[2] = {b[0] - a[0], b[1] - a[1]}, v[2] = {c[0] - b[0], c[1] - b[1]};
    double long_u = hypot(u[0], u[1]), long_v = hypot(v[0], v[1]);
    for (int i = 0; i < 2; i++) {
        u[i] /= long_u;
        v[i] /= long_v;
    }
    double sine = u[0] * v[1] - u[1] * v[0], cosine = u[0] * v[0] + u[1] * v[1], reach = 0;
    /* Straight on counts as reflex: the strips then share an edge, and no slit is left. */
    bool convex = sine > 0, cut = false;
    if (!convex) { /* of half the turn */
        double half_cosine = sqrt(fmax(0, (1 + cosine) / 2)), half_sine = sqrt((1 - cosine) / 2);
        cut = half_cosine * limit < 1;
        reach = cut ? (limit - half_cosine) / half_sine : half_sine / half_cosine;
    }
    Corner k = {.at = {b[0], b[1]}, .convex = convex, .cut = cut};
    k.moved[0][0] = b[0] + distance * (-u[1] + reach * u[0]);
    k.moved[0][1] = b[1] + distance * (u[0] + reach * u[1]);
    k.moved[1][0] = b[0] + distance * (-v[1] - reach * v[0]);
    k.moved[1][1] = b[1] + distance * (v[0] - reach * v[1]);
    for (int i = 0; i < 2; i++)
        k.middle[i] = (k.moved[0][i] + k.moved[1][i]) / 2;
    return k;
}

void poise_carve_strips(const PoiseRings *in, double distance, PoiseRings *pieces)
{
    for (size_t r = 0; r < in->rings; r++) {
        size_t start = poise_rings_start(in, r), n = in->ends[r] - start;
        const double(*p)[2] = (const double(*)[2])(in->points + start);
        Corner from = corner_between(p[n - 1], p[0], p[1 % n], distance);
        for (size_t i = 0; i < n; i++) {
            Corner to = corner_between(p[i], p[(i + 1) % n], p[(i + 2) % n], distance);
            poise_rings_add(pieces, from.at[0], from.at[1]);
            poise_rings_add(pieces, to.at[0], to.at[1]);
            if (!to.convex)
                poise_rings_add(pieces, to.middle[0], to.middle[1]);
            if (to.convex || to.cut)
                poise_rings_add(pieces, to.moved[0][0], to.moved[0][1]);
            if (from.convex || from.cut)
                poise_rings_add(pieces, from.moved[1][0], from.moved[1][1]);
            if (!from.convex)
                poise_rings_add(pieces, from.middle[0], from.middle[1]);
            poise_rings_close(pieces);
            from = to;
        }
    }
}
