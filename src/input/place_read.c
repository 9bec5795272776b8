#include "input/place_read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "base/vec.h"

/* How far from square head and face may be drawn: sin 0.1°. Rounded coordinates of a drawing stay
 * far below; a wrong axis is far above. */
static const double SQUARE_WITHIN = 1.7453283658983088e-3;

static void unit(double v[3])
{
    double length = poise_length(v);
    for (int i = 0; i < 3; i++)
        v[i] /= length;
}

void poise_settle_frame(PoiseReading *r, PoiseFrame *frame)
{
    if (poise_length(frame->head) == 0.0 || poise_length(frame->face) == 0.0)
        return; /* said already */
    unit(frame->head);
    unit(frame->face);
    double along = poise_dot(frame->head, frame->face);
    if (fabs(along) > SQUARE_WITHIN) {
        size_t up = poise_reading_down(r, "frame"), out = poise_reading_down(r, "face");
        double degrees = acos(fmax(-1.0, fmin(1.0, along))) * 57.295779513082320877;
        poise_reading_say(r, "directions square to each other within 0.1 degrees", NULL,
                          "a face at %d degrees to the head", (int)lround(degrees));
        poise_reading_up(r, out);
        poise_reading_up(r, up);
        return;
    }
    for (int i = 0; i < 3; i++)
        frame->face[i] -= along * frame->head[i];
    unit(frame->face);
}

/* Has something at or below this pointer been refused already? */
static bool refused_below(const PoiseReading *r, const char *pointer)
{
    size_t n = r->faults ? poise_faults_count(r->faults) : 0;
    for (size_t i = 0; i < n; i++) {
        const char *at = poise_faults_get(r->faults, i)->pointer;
        if (at && strncmp(at, pointer, strlen(pointer)) == 0)
            return true;
    }
    return false;
}

void poise_settle_scale(PoiseReading *r, const PoiseInstrument *instrument)
{
    double strings[3];
    if (!instrument->has_scale || refused_below(r, "/scale/nut") ||
        refused_below(r, "/scale/saddle"))
        return;
    for (int i = 0; i < 3; i++)
        strings[i] = instrument->nut_mm[i] - instrument->saddle_mm[i];
    if (poise_dot(strings, instrument->frame.head) > 0.0)
        return;
    size_t up = poise_reading_down(r, "scale");
    poise_reading_fault(r, false, "a nut that is not headwards of the saddle",
                        "a nut further along frame/head than the saddle",
                        "are nut and saddle exchanged?");
    poise_reading_up(r, up);
}

/* "fret 5" gives 5; 0 when it is nothing of the kind. */
static int fret_of(const char *text)
{
    int n = 0;
    if (strncmp(text, "fret ", 5) != 0 || !text[5] || text[5] == '0')
        return 0;
    for (const char *c = text + 5; *c; c++) {
        if (*c < '0' || *c > '9' || n > 99)
            return 0;
        n = n * 10 + (*c - '0');
    }
    return n;
}

/* On the line of the strings, n frets from the nut: x_n = L (1 − 2^(−n/12)), twelve-tone equal
 * temperament. */
static void place_hand(PoiseInstrument *instrument, int fret)
{
    double share = 1.0 - exp2(-fret / 12.0);
    for (int i = 0; i < 3; i++)
        instrument->hand_mm[i] =
            instrument->nut_mm[i] + share * (instrument->saddle_mm[i] - instrument->nut_mm[i]);
    instrument->has_hand = true;
}

static void set_text(PoiseReading *r, PoiseInstrument *instrument, const char *text)
{
    instrument->hand_text = poise_copy_text(text);
    if (!instrument->hand_text)
        poise_reading_memory(r);
}

static void read_words(PoiseReading *r, const cJSON *hand, PoiseInstrument *instrument)
{
    enum { MOST_FRETS = 60 };
    char found[POISE_FOUND_SIZE];
    bool nut = strcmp(hand->valuestring, "nut") == 0;
    int fret = nut ? 0 : fret_of(hand->valuestring);
    int most = instrument->frets > 0 ? instrument->frets : MOST_FRETS;
    if ((!nut && fret == 0) || fret > most) {
        char expected[64];
        snprintf(expected, sizeof expected,
                 "\"nut\", \"fret 1\" to \"fret %d\", or a point [x, y, z]", most);
        poise_reading_fault(r, false, poise_found(hand, found), expected, NULL);
    } else if (!instrument->has_scale) {
        poise_reading_fault(r, false, poise_found(hand, found),
                            "a point [x, y, z], or a file with \"scale\"", NULL);
    } else {
        place_hand(instrument, fret);
        set_text(r, instrument, hand->valuestring);
    }
}

void poise_read_hand(PoiseReading *r, const cJSON *hand, PoiseInstrument *instrument)
{
    static const PoiseKey POSITION = {.about = "\"nut\", \"fret N\" or a point",
                                      .kind = POISE_VALUE_VECTOR,
                                      .unit = POISE_UNIT_LENGTH,
                                      .store = POISE_STORE_VECTOR,
                                      .at = offsetof(PoiseInstrument, hand_mm),
                                      .least = 3};
    if (!hand) {
        if (instrument->has_scale) {
            place_hand(instrument, 0);
            set_text(r, instrument, "nut");
        }
    } else if (cJSON_IsString(hand)) {
        read_words(r, hand, instrument);
    } else if (poise_read_value(r, hand, &POSITION, instrument)) {
        instrument->has_hand = true;
        set_text(r, instrument, "position");
    }
}
