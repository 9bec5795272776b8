/* Where things fall on the page. */
#include <math.h>
#include <string.h>

#include "plot/sheet.h"

double poise_sheet_px_per_x(const PoiseSheet *sheet)
{
    double width = POISE_SHEET_WIDTH_PX - sheet->left_px - sheet->right_px;
    return width / (sheet->hi[0] - sheet->lo[0]);
}

double poise_sheet_px_per_y(const PoiseSheet *sheet)
{
    double height = sheet->height_px - sheet->top_px - sheet->bottom_px;
    return height / (sheet->hi[1] - sheet->lo[1]);
}

void poise_sheet_fit(PoiseSheet *sheet, const double min[2], const double max[2], double least_px,
                     double most_px, bool turned)
{
    double around = sheet->top_px + sheet->bottom_px;
    double width = POISE_SHEET_WIDTH_PX - sheet->left_px - sheet->right_px;
    double size[2] = {fmax(max[0] - min[0], 1.0), fmax(max[1] - min[1], 1.0)};
    double scale = fmin(width / size[0], (most_px - around) / size[1]);
    double height = fmax(scale * size[1], least_px - around);
    sheet->height_px = round(height + around);
    height = sheet->height_px - around;
    double middle[2] = {0.5 * (min[0] + max[0]), 0.5 * (min[1] + max[1])};
    double half[2] = {0.5 * width / scale, 0.5 * height / scale};
    for (int i = 0; i < 2; i++) {
        sheet->lo[i] = middle[i] - half[i];
        sheet->hi[i] = middle[i] + half[i];
    }
    if (turned) {
        double t = sheet->lo[0];
        sheet->lo[0] = sheet->hi[0];
        sheet->hi[0] = t;
    }
}

void poise_sheet_to_px(const PoiseSheet *sheet, const double at[2], double px[2])
{
    double x = sheet->left_px + (at[0] - sheet->lo[0]) * poise_sheet_px_per_x(sheet);
    double y =
        sheet->height_px - sheet->bottom_px - (at[1] - sheet->lo[1]) * poise_sheet_px_per_y(sheet);
    px[0] = x;
    px[1] = y;
}

void poise_sheet_from_px(const PoiseSheet *sheet, const double px[2], double at[2])
{
    double x = sheet->lo[0] + (px[0] - sheet->left_px) / poise_sheet_px_per_x(sheet);
    double y =
        sheet->lo[1] + (sheet->height_px - sheet->bottom_px - px[1]) / poise_sheet_px_per_y(sheet);
    at[0] = x;
    at[1] = y;
}

double poise_text_width_px(const char *text, double size_px)
{
    /* Mean advance of DejaVu Sans over English text is 0.56 of the size, over digits 0.64. */
    const double per_column = 0.6;
    return per_column * size_px * (double)poise_text_columns(text);
}

static void point(PoiseSheet *sheet, const double p[2])
{
    poise_sheet_numbers(sheet, p, 2);
    poise_sheet_row(sheet);
}

void poise_sheet_fill(PoiseSheet *sheet, const PoiseRings *rings)
{
    if (rings->rings == 0)
        return;
    for (size_t r = 0; r < rings->rings; r++) {
        size_t start = poise_rings_start(rings, r);
        for (size_t i = start; i < rings->ends[r]; i++)
            point(sheet, rings->points[i]);
        point(sheet, rings->points[start]);
    }
    for (size_t r = rings->rings - 1; r-- > 0;)
        point(sheet, rings->points[poise_rings_start(rings, r)]);
    poise_sheet_break(sheet);
}

void poise_sheet_rings(PoiseSheet *sheet, const PoiseRings *rings)
{
    for (size_t r = 0; r < rings->rings; r++) {
        size_t start = poise_rings_start(rings, r);
        for (size_t i = start; i < rings->ends[r]; i++)
            point(sheet, rings->points[i]);
        point(sheet, rings->points[start]);
        poise_sheet_break(sheet);
    }
}
