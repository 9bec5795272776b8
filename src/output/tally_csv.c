/* A tally as one CSV table (RFC 4180): a row for each item, then the whole as the row "total". */
#include <math.h>

#include "output/csv.h"
#include "output/tally_report.h"

static const char HEADER[] =
    "item,kind,predicted_g,predicted_u_g,weighed_g,scale_u_g,gap_g,z,expected_g,expected_u_g,"
    "expected_z,unexplained_g,fits,corrected_g,corrected_u_g,total_u_if_weighed_next_g\r\n";

static void add_numbers(PoiseText *t, const double *values, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        poise_text_append(t, ",");
        poise_csv_number(t, values[i]);
    }
}

static void add_item(PoiseText *t, const PoiseTallyItem *item)
{
    const double before[] = {item->predicted_g, item->predicted_u_g,
                             item->weighed_g,   item->scale_u_g,
                             item->gap_g,       item->z,
                             item->expected_g,  item->expected_u_g,
                             item->expected_z,  item->weighed ? item->unexplained_g : (double)NAN};
    const double after[] = {item->corrected_g, item->corrected_u_g, item->next_u_g};
    poise_csv_field(t, item->id);
    poise_text_printf(t, ",%s", item->kind);
    add_numbers(t, before, sizeof before / sizeof *before);
    poise_text_append(t, !item->weighed ? "," : item->odd ? ",no" : ",yes");
    add_numbers(t, after, sizeof after / sizeof *after);
    poise_text_append(t, "\r\n");
}

char *poise_tally_csv(const PoiseTally *tally)
{
    PoiseText t = {0};
    double no = (double)NAN;
    poise_text_append(&t, HEADER);
    for (size_t i = 0; i < tally->item_count; i++)
        add_item(&t, &tally->items[i]);
    const double before[] = {
        tally->estimate.value, tally->estimate.u, no, no, no, no, no, no, no, no};
    const double after[] = {tally->learned.value, tally->learned.u, no};
    poise_text_append(&t, "total,");
    add_numbers(&t, before, sizeof before / sizeof *before);
    poise_text_append(&t, ",");
    add_numbers(&t, after, sizeof after / sizeof *after);
    poise_text_append(&t, "\r\n");
    return poise_text_take(&t);
}
