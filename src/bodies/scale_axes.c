#include "bodies/scale_axes.h"

#include <stdio.h>

#include "base/faults.h"
#include "base/text.h"
#include "base/vec.h"
#include "model/place.h"

static PoiseStatus refuse_scale(const PoiseInstrument *instrument, const PoiseItem *item,
                                const char *pointer, const char *expected, const char *found,
                                PoiseFaults *faults)
{
    /* Without a scale in the file the place is the item's: it is the item that needs one. */
    return poise_instrument_fault(instrument,
                                  &(PoiseFault){.status = POISE_E_INPUT,
                                                .line = item->line,
                                                .column = item->column,
                                                .pointer = pointer,
                                                .found = found,
                                                .expected = expected},
                                  faults);
}

static PoiseStatus check_length(const PoiseInstrument *instrument, const PoiseItem *item,
                                double length_mm, PoiseFaults *faults)
{
    if (length_mm >= POISE_SCALE_LEAST_MM && length_mm <= POISE_SCALE_MOST_MM)
        return POISE_OK;
    char number[32] = "?", found[96];
    if (isfinite(length_mm))
        poise_double_text(length_mm, number);
    snprintf(found, sizeof found, "a nut and a saddle %s mm apart", number);
    return refuse_scale(instrument, item, "/scale", "a scale length from 100 to 2000 mm", found,
                        faults);
}

PoiseStatus poise_scale_axes(const PoiseInstrument *instrument, const PoiseItem *item,
                             PoiseScaleAxes *axes, PoiseFaults *faults)
{
    if (!instrument->has_scale)
        return refuse_scale(instrument, item, "/scale",
                            "\"scale\" with \"nut\" and \"saddle\", along which this item is built",
                            "no \"scale\"", faults);
    double x[3], y[3], z[3];
    for (int i = 0; i < 3; i++) {
        axes->nut_mm[i] = instrument->nut_mm[i];
        x[i] = instrument->nut_mm[i] - instrument->saddle_mm[i];
    }
    axes->length_mm = poise_length(x);
    PoiseStatus status = check_length(instrument, item, axes->length_mm, faults);
    if (status != POISE_OK)
        return status;
    for (int i = 0; i < 3; i++)
        x[i] /= axes->length_mm;
    poise_cross(instrument->frame.face, x, y);
    double sine = poise_length(y);
    if (!(sine >= POISE_SCALE_LEAST_SINE))
        return refuse_scale(instrument, item, "/scale",
                            "nut and saddle on a line that runs along the face",
                            "a line from saddle to nut that points out of the face", faults);
    for (int i = 0; i < 3; i++)
        y[i] /= sine;
    poise_cross(x, y, z);
    for (int i = 0; i < 3; i++) {
        axes->to_file[i][0] = x[i];
        axes->to_file[i][1] = y[i];
        axes->to_file[i][2] = z[i];
    }
    return POISE_OK;
}

void poise_scale_place(PoiseScaleAxes *axes, const PoiseItem *item, PoiseItemBody *out,
                       bool *placed)
{
    *placed = !item->has_at;
    for (int i = 0; i < 3; i++)
        out->shift_mm[i] = *placed ? axes->nut_mm[i] : 0.0;
    out->body = poise_body_move(&out->body, axes->to_file, out->shift_mm);
}
