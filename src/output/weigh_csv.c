/* The results of weighing as one CSV table (RFC 4180): a row for each item, then the instrument as
 * the row "total", which alone fills the balance columns. A value without meaning is an empty
 * field. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "output/csv.h"
#include "poise/weigh.h"

static const char HEADER[] =
    "item,kind,mass_g,mass_u_g,centre_x_mm,centre_y_mm,centre_z_mm,perimeter_mm3,skin_mm3,infill_"
    "mm3,solid_mm3,"
    "filament_g,filament_m,filament_h,price,neck_angle_deg,station_mm,window_lo_mm,window_hi_mm,"
    "margin_mm,verdict,"
    "needed_friction,hand_load_g,hold_lo_deg,hold_hi_deg,settles_at_deg,free_hang_deg,lean_deg,p_"
    "neck_heavy,"
    "seat_station_mm,seat_window_lo_mm,seat_window_hi_mm,seat_verdict,seat_hand_load_g\r\n";

enum { BALANCE_COLUMNS = 19 };

static void add_numbers(PoiseText *t, const double *values, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        poise_text_append(t, ",");
        poise_csv_number(t, values[i]);
    }
}

static void add_item(PoiseText *t, const PoiseItemResult *r)
{
    poise_csv_field(t, r->id);
    poise_text_printf(t, ",%s", r->kind);
    const double *c = r->body.centre_mm;
    double values[] = {r->body.mass_g,   r->mass_u_g,   c[0],          c[1],         c[2],
                       r->perimeter_mm3, r->skin_mm3,   r->infill_mm3, r->solid_mm3, r->filament_g,
                       r->filament_m,    r->filament_h, r->price};
    add_numbers(t, values, sizeof values / sizeof *values);
    for (int i = 0; i < BALANCE_COLUMNS; i++)
        poise_text_append(t, ",");
    poise_text_append(t, "\r\n");
}

static void add_strap(PoiseText *t, const PoiseWeighing *w)
{
    const PoiseHanging *h = &w->hanging;
    double no = (double)NAN;
    double before[] = {w->has_strap ? w->neck_angle_deg : no, h->station_mm, h->window_mm.lo,
                       h->window_mm.hi, h->margin_mm};
    add_numbers(t, before, 5);
    poise_text_append(t, ",");
    if (w->has_strap && h->has_verdict)
        poise_text_append(t, poise_verdict_name(h->verdict));
    bool range = w->has_strap && h->holds_somewhere;
    double after[] = {h->needed_friction,
                      h->hand_load_g,
                      range ? h->hold_range_deg.lo : no,
                      range ? h->hold_range_deg.hi : no,
                      h->settles_at_deg,
                      w->free_hang_deg,
                      w->lean_deg,
                      w->p_neck_heavy};
    add_numbers(t, after, sizeof after / sizeof *after);
}

static void add_seat(PoiseText *t, const PoiseWeighing *w)
{
    const PoiseResting *r = &w->resting;
    if (!w->has_seat) {
        poise_text_append(t, ",,,,,");
        return;
    }
    double from = w->seat_from_h_mm;
    double before[] = {r->horizontal_mm - from, r->window_mm.lo - from, r->window_mm.hi - from};
    add_numbers(t, before, 3);
    poise_text_printf(t, ",%s,", poise_verdict_name(r->verdict));
    poise_csv_number(t, r->hand_load_g);
}

static void add_total(PoiseText *t, const PoiseWeighing *w)
{
    double no = (double)NAN;
    const double *c = w->total.centre_mm;
    poise_text_append(t, "total,");
    double values[] = {w->total.mass_g, w->mass_u_g,   c[0],          c[1],    c[2], no, no, no, no,
                       w->filament_g,   w->filament_m, w->filament_h, w->price};
    add_numbers(t, values, sizeof values / sizeof *values);
    add_strap(t, w);
    add_seat(t, w);
    poise_text_append(t, "\r\n");
}

char *poise_weighing_csv(const PoiseWeighing *w)
{
    PoiseText t = {0};
    poise_text_append(&t, HEADER);
    for (size_t i = 0; i < w->item_count; i++)
        add_item(&t, &w->items[i]);
    add_total(&t, w);
    return poise_text_take(&t);
}
