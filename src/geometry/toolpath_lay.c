#include "geometry/toolpath_lay.h"

#include <math.h>

/* mm. Plastic this much above the last height counted lies in a new layer: a little under the
 * thinnest layer a section may have. A path that climbs all the way counts one in each such step.
 */
static const double LEAST_LAYER_MM = 0.019;

/* Where the products xx, yy, zz, xy, yz, zx take their factors from. */
static const int PAIR[6][2] = {{0, 0}, {1, 1}, {2, 2}, {0, 1}, {1, 2}, {2, 0}};

PoiseBed poise_bed(const PoiseToolpathOptions *options)
{
    double d = options->filament_mm;
    return (PoiseBed){.options = options,
                      .section_mm2 = 3.14159265358979323846 / 4 * d * d,
                      .min_mm = {INFINITY, INFINITY, INFINITY},
                      .max_mm = {-INFINITY, -INFINITY, -INFINITY}};
}

static bool is_kept(const PoiseToolpathOptions *o, const double at[3])
{
    if (at[2] < o->exclude_below_z)
        return false;
    if (o->has_keep_box && (at[0] < o->keep_box[0] || at[1] < o->keep_box[1] ||
                            at[0] > o->keep_box[2] || at[1] > o->keep_box[3]))
        return false;
    return !o->keep || o->keep(at, o->context);
}

/* Counts a bead that is not kept, by the reason. */
static void discard(PoiseBed *bed, const double at[3], double volume)
{
    const PoiseToolpathOptions *o = bed->options;
    poise_sum_add(&bed->waste, volume);
    if (at[2] < o->exclude_below_z)
        poise_sum_add(&bed->low, volume);
    else if (o->has_top && at[2] > o->top_z)
        poise_sum_add(&bed->above, volume);
}

static void begin(PoiseBed *bed, const double at[3])
{
    bed->begun = true;
    for (int i = 0; i < 3; i++)
        bed->origin_mm[i] = at[i];
    bed->lowest_mm = bed->level_mm = at[2];
    bed->layers = 1;
}

static void add(PoiseBed *bed, const PoisePathMeans *means, double volume)
{
    if (!bed->begun)
        begin(bed, means->at_mm);
    double r[3];
    poise_sum_add(&bed->volume, volume);
    for (int i = 0; i < 3; i++) {
        r[i] = means->at_mm[i] - bed->origin_mm[i];
        poise_sum_add(&bed->first[i], volume * r[i]);
        bed->min_mm[i] = poise_path_least(bed->min_mm[i], means->min_mm[i]);
        bed->max_mm[i] = poise_path_most(bed->max_mm[i], means->max_mm[i]);
    }
    for (int k = 0; k < 6; k++)
        poise_sum_add(&bed->second[k],
                      volume * (r[PAIR[k][0]] * r[PAIR[k][1]] + means->spread_mm2[k]));
    double z = means->at_mm[2];
    bed->lowest_mm = fmin(bed->lowest_mm, z);
    if (z > bed->level_mm + LEAST_LAYER_MM) {
        bed->level_mm = z;
        bed->layers++;
    }
}

void poise_bed_lay(PoiseBed *bed, const PoisePath *path, double way_mm, double fraction,
                   double filament_mm)
{
    double volume = filament_mm * bed->section_mm2, middle[3];
    poise_path_at(path, 0.5 * (1 + fraction), middle);
    if (!is_kept(bed->options, middle)) {
        discard(bed, middle, volume);
        return;
    }
    PoisePathMeans means = poise_path_means(path, fraction);
    add(bed, &means, volume);
    poise_sum_add(&bed->path, (1 - fraction) * way_mm);
}

void poise_bed_drop(PoiseBed *bed, const double at_mm[3], double filament_mm)
{
    double volume = filament_mm * bed->section_mm2;
    if (!is_kept(bed->options, at_mm)) {
        discard(bed, at_mm, volume);
        return;
    }
    PoisePathMeans means = {.spread_mm2 = {0}};
    for (int i = 0; i < 3; i++)
        means.at_mm[i] = means.min_mm[i] = means.max_mm[i] = at_mm[i];
    add(bed, &means, volume);
    poise_sum_add(&bed->point, volume);
}

void poise_bed_waste_unplaced(PoiseBed *bed, double filament_mm)
{
    poise_sum_add(&bed->waste, filament_mm * bed->section_mm2);
    poise_sum_add(&bed->unplaced, filament_mm * bed->section_mm2);
}

void poise_bed_result(const PoiseBed *bed, PoiseToolpath *toolpath)
{
    PoiseMoments *m = &toolpath->laid;
    m->volume_mm3 = poise_sum_value(&bed->volume);
    for (int i = 0; i < 3; i++) {
        m->origin_mm[i] = bed->origin_mm[i];
        m->first_mm4[i] = poise_sum_value(&bed->first[i]);
        toolpath->min_mm[i] = bed->min_mm[i];
        toolpath->max_mm[i] = bed->max_mm[i];
    }
    for (int k = 0; k < 6; k++)
        m->second_mm5[k] = poise_sum_value(&bed->second[k]);
    m->origin_mm[2] -= 0.5 * bed->options->layer_mm;
    toolpath->waste_mm3 = poise_sum_value(&bed->waste);
    toolpath->unplaced_mm3 = poise_sum_value(&bed->unplaced);
    toolpath->low_mm3 = poise_sum_value(&bed->low);
    toolpath->above_mm3 = poise_sum_value(&bed->above);
    toolpath->point_mm3 = poise_sum_value(&bed->point);
    toolpath->kept_mm = m->volume_mm3 / bed->section_mm2;
    toolpath->filament_mm = (m->volume_mm3 + toolpath->waste_mm3) / bed->section_mm2;
    toolpath->path_mm = poise_sum_value(&bed->path);
    toolpath->layers = bed->layers;
    toolpath->layer_mm =
        bed->layers > 1 ? (bed->level_mm - bed->lowest_mm) / (double)(bed->layers - 1) : NAN;
}
