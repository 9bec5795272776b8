#include "geometry/section_job.h"

void poise_tally_prism(PoiseTally *t, const PoiseFlat *f, double z, double height, double scale)
{
    double h = height * scale;
    poise_sum_add(&t->volume, h * f->area);
    poise_sum_add(&t->first[0], h * f->x);
    poise_sum_add(&t->first[1], h * f->y);
    poise_sum_add(&t->first[2], h * z * f->area);
    poise_sum_add(&t->second[0], h * f->xx);
    poise_sum_add(&t->second[1], h * f->yy);
    poise_sum_add(&t->second[2], h * (z * z + height * height / 12) * f->area);
    poise_sum_add(&t->second[3], h * f->xy);
    poise_sum_add(&t->second[4], h * z * f->y);
    poise_sum_add(&t->second[5], h * z * f->x);
}

PoiseMoments poise_tally_moments(const PoiseTally *t, const PoiseSectionPlan *plan)
{
    /* Rows: the scan axes in mesh axes. */
    double b[3][3], first[3], s[3][3], half[3][3];
    for (int j = 0; j < 3; j++) {
        b[0][j] = plan->cosine * plan->axes[0][j] + plan->sine * plan->axes[1][j];
        b[1][j] = plan->cosine * plan->axes[1][j] - plan->sine * plan->axes[0][j];
        b[2][j] = plan->axes[2][j];
    }
    static const int row[6] = {0, 1, 2, 0, 1, 2}, column[6] = {0, 1, 2, 1, 2, 0};
    for (int i = 0; i < 3; i++)
        first[i] = poise_sum_value(&t->first[i]);
    for (int i = 0; i < 6; i++)
        s[row[i]][column[i]] = s[column[i]][row[i]] = poise_sum_value(&t->second[i]);
    PoiseMoments m = {.volume_mm3 = poise_sum_value(&t->volume)};
    for (int j = 0; j < 3; j++)
        for (int i = 0; i < 3; i++) {
            m.origin_mm[j] += plan->axes[i][j] * plan->centre[i];
            m.first_mm4[j] += b[i][j] * first[i];
        }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            half[i][j] = s[i][0] * b[0][j] + s[i][1] * b[1][j] + s[i][2] * b[2][j];
    for (int k = 0; k < 6; k++)
        for (int i = 0; i < 3; i++)
            m.second_mm5[k] += b[i][row[k]] * half[i][column[k]];
    return m;
}

static void scale(PoiseMoments *m, double f)
{
    m->volume_mm3 *= f;
    for (int i = 0; i < 3; i++)
        m->first_mm4[i] *= f;
    for (int i = 0; i < 6; i++)
        m->second_mm5[i] *= f;
}

void poise_split_fit(PoiseSplit *split, const PoiseMoments *solid)
{
    PoiseMoments *part[3] = {&split->perimeter, &split->skin, &split->infill};
    double total = part[0]->volume_mm3 + part[1]->volume_mm3 + part[2]->volume_mm3;
    double left_first[3], left_second[6];
    for (int p = 0; p < 3; p++)
        scale(part[p], solid->volume_mm3 / total);
    for (int i = 0; i < 3; i++)
        left_first[i] = solid->first_mm4[i] - part[0]->first_mm4[i] - part[1]->first_mm4[i] -
                        part[2]->first_mm4[i];
    for (int i = 0; i < 6; i++)
        left_second[i] = solid->second_mm5[i] - part[0]->second_mm5[i] - part[1]->second_mm5[i] -
                         part[2]->second_mm5[i];
    for (int p = 0; p < 3; p++) {
        double share = part[p]->volume_mm3 / solid->volume_mm3;
        for (int i = 0; i < 3; i++)
            part[p]->first_mm4[i] += share * left_first[i];
        for (int i = 0; i < 6; i++)
            part[p]->second_mm5[i] += share * left_second[i];
    }
}
