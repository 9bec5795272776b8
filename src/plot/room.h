/* Where a picture of the instrument has room left for a legend. */
#ifndef POISE_PLOT_ROOM_H
#define POISE_PLOT_ROOM_H

#include "plot/scene.h"

/* Lines that are drawn besides the solids, as pairs of points of the picture. */
typedef struct PoiseRoomLines {
    size_t count;
    double ends[24][2][2];
} PoiseRoomLines;

/* Adds one; lines past the room for them are left out. */
void poise_room_line(PoiseRoomLines *lines, double x, double y, double to_x, double to_y);

/* Finds the middle of a box of this size, px, that covers no solid, post, line or (with_masses)
 * circle: beside the head from the foot of the picture upwards, else on the other side. False when
 * there is none; then `px` is the foot beside the head. */
bool poise_room_find(const PoiseScene *scene, bool with_masses, const PoiseRoomLines *lines,
                     double width_px, double height_px, double px[2]);

#endif
