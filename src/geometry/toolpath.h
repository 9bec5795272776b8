/* What a printer lays down, integrated along the moves of its program.
 *
 * Programs are those of ISO 6983-1 (numerical control: words of a letter and a number, one block a
 * line) as the RepRap G-code convention uses them for filament (from memory): E is the filament's
 * position. Read are
 *
 *   G0 G1        straight moves (alike: whatever feeds filament lays it)
 *   G2 G3        arcs in the XY plane, clockwise and counter-clockwise seen from above; I, J from
 *                the start to the middle, or R (negative: the longer way round); with Z a helix
 *   G4           dwell, for the time only
 *   G20 G21      inches, millimetres (the rule until one is given); for every word, E too
 *   G28          home: where that is the program does not say, as it does not when it starts. What
 *                is laid from an unknown place (a purge) is waste, told in `unplaced_mm3`
 *   G90 G91      absolute, relative positions
 *   G92          names the present position; without words all of it becomes 0
 *   M82 M83      absolute, relative E
 *   M220 M221    per cent of speed (time only) and of flow
 *
 * Any other code is passed over with the rest of its line, since its words mean other things; any
 * other word of a line that is read is passed over too. Refused instead is what would lay plastic
 * where this reader does not know: splines (G5), arcs in other planes, absolute arc middles
 * (G90.1), offsets taken back (G92.1 …), E as a volume (M200), parameters and expressions.
 * Comments, from ';' to the end of the line and in parentheses, never mean anything.
 *
 * E and G91. Controllers differ in whether G91 makes E relative when M82 was given. Here E is
 * relative while G91 or M83 is in force. Moves for which another reading would give another result
 * are counted in `doubtful_moves`.
 *
 * Retraction. Filament drawn back is owed: E laid down first pays that back, and only what is fed
 * beyond it is laid. A move that does both lays over the part of its way that is left.
 *
 * Without a move in the plane (prime, purge, a blob), filament fed beyond what is owed counts as a
 * point where the nozzle stands; `point_mm3` tells how much of the laid volume that is.
 *
 * The bead is a line. Its own width w and height h are left out of the second moments: at most
 * V (w² + h²)/12 about any axis (a rectangle's moment; rounded sides have less), which is 0.02 mm²
 * × V for 0.45 mm × 0.2 mm, 2e-5 of a section 100 mm across. The nozzle runs along the top of the
 * bead, so the middle of the plastic lies half a layer below the path: give `layer_mm` to put it
 * there. */
#ifndef POISE_GEOMETRY_TOOLPATH_H
#define POISE_GEOMETRY_TOOLPATH_H

#include <stdbool.h>
#include <stddef.h>

#include "poise/moments.h"
#include "poise/status.h"

/* What of the plastic belongs to the part. A move is kept or not as a whole, by the middle of the
 * way over which it lays: skirts, brims and purge lines are drawn apart from the part. All in mm,
 * in the program's coordinates. A zeroed struct, but for the filament, keeps everything. */
typedef struct PoiseToolpathOptions {
    double filament_mm;     /* filament diameter, > 0 */
    double layer_mm;        /* layer height; the plastic lies half of it below the path; 0: on it */
    double exclude_below_z; /* moves lower than this are not kept */
    bool has_top;
    double top_z; /* what is not kept and lies higher than this is told in `above_mm3` */
    bool has_keep_box;
    double keep_box[4]; /* x least, y least, x most, y most: moves beyond are not kept */
    /* Asked last, for every move in the box: whether a place belongs to the part. May be NULL. */
    bool (*keep)(const double at_mm[3], void *context);
    void *context;
} PoiseToolpathOptions;

typedef struct PoiseToolpath {
    PoiseMoments laid;       /* the plastic that is kept */
    double waste_mm3;        /* laid down, but not kept */
    double unplaced_mm3;     /* of the waste: from a place the program never stated */
    double low_mm3;          /* of the waste: lower than exclude_below_z */
    double above_mm3;        /* of the waste: higher than top_z */
    double point_mm3;        /* of the kept: fed without a move in the plane */
    double filament_mm;      /* length of filament laid down, kept and not */
    double kept_mm;          /* of it, kept */
    double path_mm;          /* length of the kept beads; laid volume/this is their section, mm² */
    double min_mm[3];        /* box around the kept paths (not moved by layer_mm) */
    double max_mm[3];        /* */
    size_t layers;           /* heights at which kept plastic lies, counted upwards */
    double layer_mm;         /* their mean distance; NAN for fewer than two */
    double seconds_at_least; /* Σ way/feed and dwells: a lower bound, since accelerations, heating
                                and homing are left out; moves before any F count as 0 */
    size_t bytes, lines, moves;
    size_t tool_changes;   /* T words; all tools are taken to feed the same plastic */
    size_t doubtful_moves; /* moves that lay, and would lay otherwise by another reading of G90 and
                              G91 for E */
    bool has_units;        /* G20 or G21 was given */
} PoiseToolpath;

/* Reads a program file ("-" is standard input).
 * POISE_OK; POISE_E_IO; POISE_E_MESH with a fault that names the line (a word without its number, a
 * stray character, a wrong checksum, a move out of range, an arc that cannot exist, a code that is
 * refused, no extrusion at all, nothing kept); POISE_E_USAGE (bad options); POISE_E_MEMORY. */
PoiseStatus poise_toolpath_read(const char *path, const PoiseToolpathOptions *options,
                                PoiseToolpath *toolpath, PoiseFaults *faults);
/* The same from memory; `name` is used in messages. */
PoiseStatus poise_toolpath_parse(const void *data, size_t size, const char *name,
                                 const PoiseToolpathOptions *options, PoiseToolpath *toolpath,
                                 PoiseFaults *faults);

#endif
