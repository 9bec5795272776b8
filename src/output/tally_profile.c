/* What a tally teaches, as a profile. */
#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "base/text.h"
#include "output/json_build.h"
#include "output/tally_report.h"

/* Decimals that give u three digits: one more than is shown (JCGM 100:2008, 7.2.6: so that rounding
 * does no harm in what is worked out from it), at most half a percent of u. */
static int decimals_of(double u)
{
    enum { DIGITS = 3, MOST = 15 };
    double decimals = DIGITS - 1 - floor(log10(u)), step = pow(10.0, -decimals);
    if (round(u / step) * step >= pow(10.0, DIGITS) * step) /* 0.09996 is 0.100 */
        decimals--;
    return decimals > MOST ? MOST : decimals < 0.0 ? 0 : (int)decimals;
}

/* "1.2371 ± 0.0062 g/cm3", with the digits that its ± supports. */
static void add_text(PoiseJson *j, cJSON *parent, const char *key, PoiseQuantity q,
                     const char *unit)
{
    PoiseText text = {0};
    if (q.u > 0.0) {
        int decimals = decimals_of(q.u);
        poise_text_printf(&text, "%.*f%s ± %.*f%s", decimals, q.value, unit, decimals, q.u, unit);
    } else {
        char value[32];
        poise_double_text(q.value, value);
        poise_text_printf(&text, "%s%s", value, unit);
    }
    char *taken = poise_text_take(&text);
    if (taken)
        poise_json_text(j, parent, key, taken);
    else
        j->failed = true;
    poise_release(taken);
}

static void add_note(PoiseJson *j, const PoiseTally *t)
{
    size_t count = poise_tally_profile_count(t);
    char *note = poise_format("learned from %zu weighed %s; ± is one standard uncertainty%s", count,
                              count == 1 ? "item" : "items",
                              poise_tally_is_doubtful(t)
                                  ? "; the readings do not fit the file's estimates: not to be "
                                    "relied on before the cause is found"
                                  : "");
    if (note)
        poise_json_text(j, NULL, "note", note);
    else
        j->failed = true;
    poise_release(note);
}

char *poise_tally_profile(const PoiseTally *tally)
{
    PoiseJson j = poise_json_begin();
    poise_json_number(&j, NULL, "poise_profile", 1);
    poise_json_text(&j, NULL, "from", tally->weighing->name);
    add_note(&j, tally);
    if (tally->has_flow)
        add_text(&j, NULL, "flow", tally->flow_after, "");
    else if (tally->instrument->learned_flow.value > 0.0) /* as the profile at hand has it */
        add_text(&j, NULL, "flow", tally->instrument->learned_flow, "");
    cJSON *list = poise_json_object(&j, NULL, "materials");
    for (size_t i = 0; i < tally->material_count && !j.failed; i++) {
        const PoiseTallyMaterial *m = &tally->materials[i];
        if (!poise_tally_in_profile(m))
            continue;
        cJSON *o = poise_json_object(&j, list, m->material->id);
        add_text(&j, o, "density", m->density_after, " g/cm3");
        if (m->printed)
            add_text(&j, o, "laid", m->laid_after, " g/cm3");
    }
    return poise_json_end(&j);
}
