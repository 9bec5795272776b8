/* Programs as text, read and taken apart. */
#ifndef POISE_TEST_TOOLPATH_HELP_H
#define POISE_TEST_TOOLPATH_HELP_H

#include "check.h"
#include "geometry/toolpath.h"

#define PI 3.14159265358979323846
/* A millimetre of this filament is a cubic millimetre: 4/π = 1.128². */
static const double UNIT_FILAMENT = 1.1283791670955126;

static inline PoiseToolpath read_with(const char *text, const PoiseToolpathOptions *options)
{
    PoiseToolpath t;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_toolpath_parse(text, strlen(text), "part", options, &t, faults);
    if (status) {
        char *why = poise_fault_text(poise_faults_get(faults, 0));
        print_error("%s\n", why);
        poise_string_free(why);
    }
    assert_int_equal(status, POISE_OK);
    poise_faults_free(faults);
    return t;
}

static inline PoiseToolpath read_text(const char *text)
{
    PoiseToolpathOptions options = {.filament_mm = UNIT_FILAMENT};
    return read_with(text, &options);
}

/* The body at 1 g/mm³, so that masses are volumes. */
static inline PoiseBody body_of(const PoiseToolpath *t)
{
    return poise_body_from_moments(&t->laid, 1000);
}

static inline void check_same_body(const PoiseBody *a, const PoiseBody *b, double tolerance)
{
    check_near(a->mass_g, b->mass_g, tolerance);
    for (int i = 0; i < 3; i++) {
        check_near(a->centre_mm[i], b->centre_mm[i], tolerance);
        for (int j = 0; j < 3; j++)
            check_near(a->inertia_gmm2[i][j], b->inertia_gmm2[i][j],
                       tolerance * (1 + fabs(b->inertia_gmm2[i][j])));
    }
}

static inline void check_centre(const PoiseBody *body, double x, double y, double z,
                                double tolerance)
{
    check_near(body->centre_mm[0], x, tolerance);
    check_near(body->centre_mm[1], y, tolerance);
    check_near(body->centre_mm[2], z, tolerance);
}

#endif
