/* Hanging from a strap that slips freely. */
#ifndef POISE_STATICS_FREE_HANG_H
#define POISE_STATICS_FREE_HANG_H

#include "statics/strap.h"

/* Every equilibrium without friction over the whole turn (−180°, 180°], stable ones first, each
 * kind by nearness to the given angle. `centre` is relative to the tail post. Returns how many. */
size_t poise_free_hangs(const PoiseStrap *strap, PoisePoint centre, double neck_angle_deg,
                        PoiseFreeHang found[POISE_MAX_FREE_HANGS]);

#endif
