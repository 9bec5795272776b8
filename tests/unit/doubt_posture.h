/* One way to hang and rest a bass, for the tests and the bench of doubt: near the window's edge. */
#ifndef POISE_TEST_DOUBT_POSTURE_H
#define POISE_TEST_DOUBT_POSTURE_H

#include "doubt/balance.h"

/* Its mass and centre are the items' to say. */
static inline PoisePosture doubt_posture(void)
{
    return (PoisePosture){.neck_angle_deg = 20,
                          .has_hand = true,
                          .hand = {762, 0},
                          .has_strap = true,
                          .strap = {{-88, 1}, {367, 97}, 1150, 0.30},
                          .tail_mm = {-88, 1, -23},
                          .horn_mm = {367, 97, -23},
                          .has_seat = true,
                          .seat = {{176, -112}, 45, true, {30, 146}, 900}};
}

#endif
