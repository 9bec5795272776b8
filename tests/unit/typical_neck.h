/* The shape of a common 648 mm neck, for tests. Sizes: common practice, no source. */
#ifndef POISE_TEST_TYPICAL_NECK_H
#define POISE_TEST_TYPICAL_NECK_H

#include "bodies/neck_shape.h"

static inline PoiseNeckShape typical_shape(void)
{
    return (PoiseNeckShape){.scale_mm = 648,
                            .length_mm = 475,
                            .nut_width_mm = 42.5,
                            .heel_width_mm = 56,
                            .first_mm = 21,
                            .twelfth_mm = 23,
                            .board_mm = 6,
                            .heel_length_mm = 76,
                            .heel_mm = 25,
                            .headstock_length_mm = 180,
                            .headstock_width_mm = 60,
                            .headstock_mm = 14.5,
                            .headstock_drop_mm = 8,
                            .exponent = POISE_NECK_EXPONENT};
}

#endif
