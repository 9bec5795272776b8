#include "input/observed_read.h"

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
        poise_read_object(r, support, &poise_support_keys, &o->supports[o->support_count], NULL);
        o->support_count++;
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
    need(r, observed, "scales", in->has_scale,
         "a file with \"scale\": stations start at the saddle");
    need(r, observed, "edge", in->has_scale, "a file with \"scale\": stations start at the saddle");
    need(r, observed, "hanging", in->has_posts, "a file with \"posts\": it hangs from them");
    need(r, observed, "slip", in->has_posts && in->has_strap,
         "a file with \"posts\" and \"strap\"");
    poise_reading_up(r, up);
}
