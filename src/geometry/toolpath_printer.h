/* The machine that carries a program out: its state, and what a move does to it. */
#ifndef POISE_GEOMETRY_TOOLPATH_PRINTER_H
#define POISE_GEOMETRY_TOOLPATH_PRINTER_H

#include "geometry/toolpath_lay.h"

typedef struct PoisePrinterState {
    PoiseBed bed;
    PoiseToolpath *result;
    PoiseFaults *faults;
    double mm_per_unit;
    int motion; /* 0 … 3, or -1: none yet (ISO 6983-1: it stays until another is given) */
    int plane;  /* 17, 18, 19 */
    bool relative;
    bool e_relative;      /* the last of M82 and M83 */
    bool e_last_relative; /* the last of G90, G91, M82 and M83 */
    double at_mm[3];      /* where the nozzle is, in the coordinates at the program's start */
    double shift_mm[3];   /* what G92 added */
    bool known[3];        /* the axis was placed by the program, not by homing or switching on */
    double e_mm, owed_mm; /* filament position; drawn back and not yet paid back */
    double flow, speed;   /* factors */
    double feed_mm_min;   /* 0: none yet */
    PoiseSum seconds;
} PoisePrinterState;

/* A fault at the line's start. */
static inline PoiseStatus poise_printer_refuse(const PoisePrinterState *p, const PoiseBlock *block,
                                               const char *found, const char *expected)
{
    return poise_block_refuse(block, NULL, found, expected, p->faults);
}

/* G0 to G3, by p->motion and the line's words. */
PoiseStatus poise_printer_move(PoisePrinterState *p, const PoiseBlock *block);
/* G92. */
PoiseStatus poise_printer_set_position(PoisePrinterState *p, const PoiseBlock *block);
/* G28. */
void poise_printer_home(PoisePrinterState *p, const PoiseBlock *block);

#endif
