#include "geometry/toolpath.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/file.h"
#include "base/limits.h"
#include "base/text.h"
#include "geometry/toolpath_printer.h"

/* Per cent. Overrides beyond this are damage; printers offer 10 to 999. */
static const double MOST_PERCENT = 1000;

/* A line's codes, sorted out. */
typedef struct Orders {
    int motion; /* stated on this line, or -1 */
    bool set_position, home, dwell;
    bool inch, metric;
    bool volumetric, speed, flow; /* M200, M220, M221 */
} Orders;

static PoiseStatus take_code(PoisePrinterState *p, const PoiseBlock *block, int code,
                             Orders *orders)
{
    switch (code) {
    case POISE_G(0):
    case POISE_G(1):
    case POISE_G(2):
    case POISE_G(3):
        if (orders->motion >= 0)
            return poise_printer_refuse(p, block, "two kinds of move on one line", "one");
        orders->motion = code / 10;
        break;
    case POISE_G(4):
        orders->dwell = true;
        break;
    case POISE_G(17):
    case POISE_G(18):
    case POISE_G(19):
        p->plane = code / 10;
        break;
    case POISE_G(20):
        orders->inch = true;
        break;
    case POISE_G(21):
        orders->metric = true;
        break;
    case POISE_G(28):
        orders->home = true;
        break;
    case POISE_G(90):
    case POISE_G(91):
        p->relative = p->e_last_relative = code == POISE_G(91);
        break;
    case POISE_G(91) + 1: /* arc middles from the start, which is the rule anyhow */
        break;
    case POISE_G(92):
        orders->set_position = true;
        break;
    case POISE_M(82):
    case POISE_M(83):
        p->e_relative = p->e_last_relative = code == POISE_M(83);
        break;
    case POISE_M(200):
        orders->volumetric = true;
        break;
    case POISE_M(220):
        orders->speed = true;
        break;
    case POISE_M(221):
        orders->flow = true;
        break;
    case POISE_G(90) + 1:
        return poise_printer_refuse(p, block, "G90.1, absolute arc middles",
                                    "arc middles from the start (G91.1)");
    case POISE_G(92) + 1:
    case POISE_G(92) + 2:
    case POISE_G(92) + 3:
        return poise_printer_refuse(p, block, "G92.1, G92.2 or G92.3",
                                    "G92 alone to name a position");
    default:
        return poise_printer_refuse(p, block, "G5, a spline", "straight moves and arcs (G0 to G3)");
    }
    return POISE_OK;
}

static PoiseStatus dwell(PoisePrinterState *p, const PoiseBlock *block)
{
    double seconds = poise_block_has(block, 'S')   ? poise_block_value(block, 'S')
                     : poise_block_has(block, 'P') ? poise_block_value(block, 'P') / 1000
                                                   : 0;
    if (!(seconds >= 0 && seconds <= 1e6))
        return poise_printer_refuse(p, block, "a dwell that is no time",
                                    "P in milliseconds or S in seconds");
    poise_sum_add(&p->seconds, seconds);
    return POISE_OK;
}

/* S of M220 and M221; without S they only report. */
static PoiseStatus take_percent(PoisePrinterState *p, const PoiseBlock *block, double *factor)
{
    if (!poise_block_has(block, 'S'))
        return POISE_OK;
    double percent = poise_block_value(block, 'S');
    if (!(percent > 0 && percent <= MOST_PERCENT))
        return poise_block_refuse_word(block, 'S', "a percentage above 0, at most 1000", p->faults);
    *factor = percent / 100;
    return POISE_OK;
}

static PoiseStatus take_feed(PoisePrinterState *p, const PoiseBlock *block)
{
    if (!poise_block_has(block, 'F'))
        return POISE_OK;
    double v = poise_block_value(block, 'F') * p->mm_per_unit;
    if (!(v >= 0))
        return poise_block_refuse_word(block, 'F', "a feed rate of 0 or more", p->faults);
    if (v > 0)
        p->feed_mm_min = v;
    return POISE_OK;
}

static PoiseStatus take_units(PoisePrinterState *p, const PoiseBlock *block, const Orders *orders)
{
    if (orders->inch && orders->metric)
        return poise_printer_refuse(p, block, "both inches (G20) and millimetres (G21)",
                                    "one unit");
    if (orders->inch || orders->metric) {
        p->mm_per_unit = orders->inch ? 25.4 : 1;
        p->result->has_units = true;
    }
    bool on = (poise_block_has(block, 'D') && poise_block_value(block, 'D') != 0) ||
              (poise_block_has(block, 'S') && poise_block_value(block, 'S') != 0);
    if (orders->volumetric && on)
        return poise_printer_refuse(p, block, "M200, filament in mm³", "filament lengths in E");
    return POISE_OK;
}

static PoiseStatus take_line(PoisePrinterState *p, const PoiseBlock *block)
{
    Orders orders = {.motion = -1};
    PoiseStatus status = POISE_OK;
    for (int i = 0; i < block->code_count && !status; i++)
        status = take_code(p, block, block->codes[i], &orders);
    p->result->tool_changes += block->tool;
    if (!status)
        status = take_units(p, block, &orders);
    if (status)
        return status;
    bool settings = orders.dwell || orders.speed || orders.flow || orders.volumetric;
    if ((orders.motion >= 0) + orders.set_position + orders.home + settings > 1)
        return poise_printer_refuse(p, block, "two codes that share the line's words",
                                    "one a line");
    if (orders.set_position)
        return poise_printer_set_position(p, block);
    if (orders.home) {
        poise_printer_home(p, block);
        return POISE_OK;
    }
    if (settings) {
        if (orders.dwell)
            status = dwell(p, block);
        if (!status && orders.speed)
            status = take_percent(p, block, &p->speed);
        if (!status && orders.flow)
            status = take_percent(p, block, &p->flow);
        return status;
    }
    if (orders.motion >= 0)
        p->motion = orders.motion;
    status = take_feed(p, block);
    static const unsigned MOVES = 1U << ('X' - 'A') | 1U << ('Y' - 'A') | 1U << ('Z' - 'A') |
                                  1U << ('E' - 'A') | 1U << ('I' - 'A') | 1U << ('J' - 'A') |
                                  1U << ('R' - 'A');
    if (status || !(block->letters & MOVES))
        return status;
    if (p->motion < 0)
        return poise_printer_refuse(p, block, "a place to go to before any kind of move",
                                    "G0, G1, G2 or G3");
    return poise_printer_move(p, block);
}

static PoiseStatus check_options(const PoiseToolpathOptions *o, const char *name,
                                 PoiseFaults *faults)
{
    if (!(o->filament_mm > 0 && o->filament_mm <= 10))
        return poise_fault_say(faults, POISE_E_USAGE, name,
                               "the filament's diameter must be above 0 and at most 10 mm");
    if (!(o->layer_mm >= 0 && o->layer_mm <= 10))
        return poise_fault_say(faults, POISE_E_USAGE, name, "the layer height must be 0 to 10 mm");
    bool box = o->keep_box[0] <= o->keep_box[2] && o->keep_box[1] <= o->keep_box[3];
    if (isnan(o->exclude_below_z) || (o->has_keep_box && !box))
        return poise_fault_say(faults, POISE_E_USAGE, name,
                               "the region to keep must have its least corner first");
    return POISE_OK;
}

/* Whether anything is left to weigh. */
static PoiseStatus check_laid(const PoiseToolpath *t, const char *name, PoiseFaults *faults)
{
    if (t->laid.volume_mm3 > 0)
        return POISE_OK;
    PoiseFault fault = {.status = POISE_E_MESH, .file = name};
    if (t->unplaced_mm3 > 0 && t->unplaced_mm3 == t->waste_mm3) {
        fault.found = "plastic laid only from places the program does not state";
        fault.expected = "X, Y and Z before the first bead";
    } else if (t->waste_mm3 > 0) {
        fault.found = "plastic only outside the part";
        fault.expected = "some of it where the part is";
        fault.hint = "the part stands elsewhere on the bed than it was looked for";
    } else {
        fault.found = "no move that lays plastic";
        fault.expected = "moves with E words";
    }
    return poise_fault_add(faults, &fault);
}

PoiseStatus poise_toolpath_parse(const void *data, size_t size, const char *name,
                                 const PoiseToolpathOptions *options, PoiseToolpath *toolpath,
                                 PoiseFaults *faults)
{
    *toolpath = (PoiseToolpath){.bytes = size};
    PoiseStatus status = check_options(options, name, faults);
    if (status)
        return status;
    PoisePrinterState printer = {.bed = poise_bed(options),
                                 .result = toolpath,
                                 .faults = faults,
                                 .mm_per_unit = 1,
                                 .motion = -1,
                                 .plane = 17,
                                 .flow = 1,
                                 .speed = 1};
    PoiseBlock block;
    block.file = name;
    const char *p = data, *end = size ? p + size : p;
    if (size >= 3 && memcmp(p, "\xEF\xBB\xBF", 3) == 0) /* UTF-8's mark */
        p += 3;
    while (p < end && !status) {
        block.line = ++toolpath->lines;
        status = poise_block_scan(&block, p, end, &p, faults);
        if (!status && (block.code_count || block.letters || block.tool))
            status = take_line(&printer, &block);
    }
    if (status)
        return status;
    poise_bed_result(&printer.bed, toolpath);
    toolpath->seconds_at_least = poise_sum_value(&printer.seconds);
    return check_laid(toolpath, name, faults);
}

PoiseStatus poise_toolpath_read(const char *path, const PoiseToolpathOptions *options,
                                PoiseToolpath *toolpath, PoiseFaults *faults)
{
    *toolpath = (PoiseToolpath){0};
    PoiseView view;
    PoiseStatus status = poise_view_open(path, POISE_LIMIT_TOOLPATH_BYTES, &view, faults);
    if (status)
        return status;
    status = poise_toolpath_parse(view.data, view.size, path, options, toolpath, faults);
    poise_view_close(&view);
    return status;
}
