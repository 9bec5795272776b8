#include "geometry/toolpath_printer.h"

#include <math.h>

#include "base/limits.h"

/* mm of filament. What is left of a retraction after it was paid back is round-off when it is less:
 * positions are below POISE_LIMIT_FILAMENT_MM, where a double's last digit is 2e-9 mm, and a tenth
 * of a micrometre of filament weighs 3e-7 g. */
static const double FILAMENT_NOISE_MM = 1e-7;
static const char AXIS[3] = {'X', 'Y', 'Z'};

static PoiseStatus finite_within(const PoiseBlock *block, char letter, double value, double limit,
                                 const char *expected, PoiseFaults *faults)
{
    if (fabs(value) <= limit)
        return POISE_OK;
    return poise_block_refuse_word(block, letter, expected, faults);
}

/* A letter that lost its number is damage ("X1O" for "X10"), whichever it is. */
static PoiseStatus refuse_bare(const PoiseBlock *block, PoiseFaults *faults)
{
    char letter = 'A';
    while (!(block->bare >> (letter - 'A') & 1U))
        letter++;
    return poise_block_refuse_word(block, letter, "a number behind it", faults);
}

/* The place the line's X, Y, Z lead to; the path's start is set. */
static PoiseStatus find_target(PoisePrinterState *p, const PoiseBlock *block, PoisePath *path)
{
    for (int i = 0; i < 3; i++) {
        path->to_mm[i] = path->from_mm[i] = p->at_mm[i];
        if (!poise_block_has(block, AXIS[i]))
            continue;
        double v = poise_block_value(block, AXIS[i]) * p->mm_per_unit;
        path->to_mm[i] = p->relative ? p->at_mm[i] + v : v + p->shift_mm[i];
        PoiseStatus status =
            finite_within(block, AXIS[i], path->to_mm[i], POISE_LIMIT_COORDINATE_MM,
                          "a place within 10000 mm", p->faults);
        if (status)
            return status;
    }
    return POISE_OK;
}

/* Filament fed by the line, mm, before the flow factor; moves the filament's position. */
static PoiseStatus feed_filament(PoisePrinterState *p, const PoiseBlock *block, double *fed_mm,
                                 bool *doubtful)
{
    *fed_mm = 0;
    if (!poise_block_has(block, 'E'))
        return POISE_OK;
    double v = poise_block_value(block, 'E') * p->mm_per_unit;
    bool relative = p->relative || p->e_relative;
    *doubtful = relative != p->e_last_relative || relative != p->e_relative;
    double to = relative ? p->e_mm + v : v;
    PoiseStatus status = finite_within(block, 'E', to, POISE_LIMIT_FILAMENT_MM,
                                       "a filament position within 10 km", p->faults);
    if (status)
        return status;
    *fed_mm = relative ? v : to - p->e_mm;
    p->e_mm = to;
    return POISE_OK;
}

/* Settles what was drawn back. Returns the length to lay; *fraction is the part of the move that
 * was spent on paying back. */
static double settle(PoisePrinterState *p, double fed_mm, double *fraction)
{
    *fraction = 0;
    if (fed_mm <= 0) {
        p->owed_mm -= fed_mm;
        return 0;
    }
    double paid = fmin(p->owed_mm, fed_mm);
    p->owed_mm -= paid;
    if (p->owed_mm < FILAMENT_NOISE_MM)
        p->owed_mm = 0;
    double laid = fed_mm - paid;
    if (laid < FILAMENT_NOISE_MM && paid > 0)
        return 0;
    *fraction = paid / fed_mm;
    return laid;
}

static void pass_time(PoisePrinterState *p, double way, double fed_mm)
{
    if (way == 0)
        way = fabs(fed_mm);
    double rate = p->feed_mm_min * p->speed;
    if (rate > 0)
        poise_sum_add(&p->seconds, 60 * way / rate);
}

/* A bead that starts where the program never said is a purge, not a part of anything. */
static void lay(PoisePrinterState *p, const PoisePath *path, double way_mm, double laid_mm,
                double fraction)
{
    double dx = path->to_mm[0] - path->from_mm[0], dy = path->to_mm[1] - path->from_mm[1];
    laid_mm *= p->flow;
    if (!(p->known[0] && p->known[1] && p->known[2]))
        poise_bed_waste_unplaced(&p->bed, laid_mm);
    else if (path->arc || dx != 0 || dy != 0)
        poise_bed_lay(&p->bed, path, way_mm, fraction, laid_mm);
    else
        poise_bed_drop(&p->bed, path->to_mm, laid_mm);
}

PoiseStatus poise_printer_move(PoisePrinterState *p, const PoiseBlock *block)
{
    if (block->bare)
        return refuse_bare(block, p->faults);
    PoisePath path = {.arc = false};
    PoiseStatus status = find_target(p, block, &path);
    if (!status && p->motion >= 2) {
        if (p->plane != 17)
            return poise_printer_refuse(p, block, "an arc in another plane than XY (G18, G19)",
                                        "arcs in XY (G17)");
        if (poise_block_has(block, 'P') && poise_block_value(block, 'P') != 0)
            return poise_block_refuse_word(block, 'P', "arcs of at most one turn", p->faults);
        status = poise_path_arc(&path, block, p->mm_per_unit, p->motion == 2, p->faults);
    }
    double fed = 0, fraction = 0;
    bool doubtful = false;
    if (!status)
        status = feed_filament(p, block, &fed, &doubtful);
    if (status)
        return status;
    p->result->moves++;
    double way = poise_path_length_mm(&path);
    pass_time(p, way, fed);
    double laid = settle(p, fed, &fraction);
    if (laid > 0) {
        p->result->doubtful_moves += doubtful;
        lay(p, &path, way, laid, fraction);
    }
    for (int i = 0; i < 3; i++) {
        p->at_mm[i] = path.to_mm[i];
        p->known[i] = p->known[i] || (!p->relative && poise_block_has(block, AXIS[i]));
    }
    return POISE_OK;
}

PoiseStatus poise_printer_set_position(PoisePrinterState *p, const PoiseBlock *block)
{
    if (block->bare)
        return refuse_bare(block, p->faults);
    bool named = poise_block_has(block, 'E');
    for (int i = 0; i < 3; i++)
        named = named || poise_block_has(block, AXIS[i]);
    for (int i = 0; i < 3; i++) {
        if (named && !poise_block_has(block, AXIS[i]))
            continue;
        double v = named ? poise_block_value(block, AXIS[i]) * p->mm_per_unit : 0;
        PoiseStatus status = finite_within(block, AXIS[i], v, POISE_LIMIT_COORDINATE_MM,
                                           "a place within 10000 mm", p->faults);
        if (status)
            return status;
        /* The first name a place gets is where it is. */
        if (!p->known[i])
            p->at_mm[i] = v;
        p->known[i] = true;
        p->shift_mm[i] = p->at_mm[i] - v;
    }
    if (named && !poise_block_has(block, 'E'))
        return POISE_OK;
    double e = named ? poise_block_value(block, 'E') * p->mm_per_unit : 0;
    PoiseStatus status = finite_within(block, 'E', e, POISE_LIMIT_FILAMENT_MM,
                                       "a filament position within 10 km", p->faults);
    if (!status)
        p->e_mm = e;
    return status;
}

void poise_printer_home(PoisePrinterState *p, const PoiseBlock *block)
{
    bool named =
        poise_block_has(block, 'X') || poise_block_has(block, 'Y') || poise_block_has(block, 'Z');
    for (int i = 0; i < 3; i++) {
        if (named && !poise_block_has(block, AXIS[i]))
            continue;
        p->at_mm[i] = p->shift_mm[i] = 0;
        p->known[i] = false;
    }
}
