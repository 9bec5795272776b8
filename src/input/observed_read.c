#include "input/observed_read.h"

/* How well a rule places a support that comes without ±: common practice, no source. */
static const double RULE_U_MM = 1.0;

static void read_supports(PoiseReading *r, const cJSON *list, PoiseObserved *o)
{
    char found[POISE_FOUND_SIZE];
    int n = cJSON_IsArray(list) ? cJSON_GetArraySize(list) : 0;
    if (n < 2 || n > POISE_MOST_OBSERVED_SUPPORTS) {
        poise_reading_fault(r, false, poise_found(list, found), "a list of 2 to 4 scales", NULL);
        return;
    }
    for (const cJSON *support = list->child; support; support = support->next) {
        size_t up = poise_reading_down_index(r, o->support_count);
        PoiseObservedSupport *to = &o->supports[o->support_count++];
        poise_read_object(r, support, &poise_support_keys, to, NULL);
        if (to->station_mm.u == 0.0)
            to->station_mm.u = RULE_U_MM;
        poise_reading_up(r, up);
    }
}

/* Of one hanging: a mark or an angle, not both. */
static void check_hung(PoiseReading *r, const cJSON *hanging, const char *post)
{
    const cJSON *hung = poise_member(hanging, post);
    if (!cJSON_IsObject(hung))
        return; /* said already */
    size_t up = poise_reading_down(r, post);
    bool mark = poise_member(hung, "mark") != NULL;
    bool angle = poise_member(hung, "neck_angle") != NULL;
    if (mark == angle)
        poise_reading_fault(r, false, mark ? "a mark and a neck angle" : "neither mark nor angle",
                            "a mark that the plumb line crosses, or the neck angle", NULL);
    poise_reading_up(r, up);
}

/* With the edge headwards of the balance point the weight lies on its tail side. */
static void check_edge(PoiseReading *r, const PoiseObserved *o)
{
    if (!o->has_edge || !(o->tips_tail_mm < o->tips_head_mm))
        return;
    size_t up = poise_reading_down(r, "edge");
    poise_reading_fault(r, false, "a \"tips_tail\" below \"tips_head\"",
                        "the larger of the two: over an edge headwards of its balance point the "
                        "instrument tips to the tail",
                        "are they swapped? For one station alone, write it for both");
    poise_reading_up(r, up);
}

static void need(PoiseReading *r, const cJSON *observed, const char *key, bool there,
                 const char *what)
{
    if (there || !poise_member(observed, key))
        return;
    size_t up = poise_reading_down(r, key);
    poise_reading_fault(r, true, "a reading that nothing can be compared with", what, NULL);
    poise_reading_up(r, up);
}

void poise_read_observed(PoiseReading *r, const cJSON *root, PoiseInstrument *in)
{
    const cJSON *observed = poise_member(root, "observed");
    if (!in->has_observed || !cJSON_IsObject(observed))
        return;
    size_t up = poise_reading_down(r, "observed"), out;
    const cJSON *scales = poise_member(observed, "scales");
    if (scales) {
        out = poise_reading_down(r, "scales");
        read_supports(r, scales, &in->observed);
        poise_reading_up(r, out);
    }
    out = poise_reading_down(r, "hanging");
    check_hung(r, poise_member(observed, "hanging"), "tail");
    check_hung(r, poise_member(observed, "hanging"), "horn");
    poise_reading_up(r, out);
    check_edge(r, &in->observed);
    need(r, observed, "scales", in->has_scale,
         "a file with \"scale\": stations start at the saddle");
    need(r, observed, "edge", in->has_scale, "a file with \"scale\": stations start at the saddle");
    need(r, observed, "hanging", in->has_posts, "a file with \"posts\": it hangs from them");
    need(r, observed, "slip", in->has_posts && in->has_strap,
         "a file with \"posts\" and \"strap\"");
    poise_reading_up(r, up);
}
