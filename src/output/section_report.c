#include "output/section_report.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bodies/print_facts.h"
#include "bodies/printed_fill.h"
#include "bodies/printed_toolpath.h"
#include "output/json_build.h"
#include "output/layout.h"
#include "output/words.h"

/* The choices the table of masses shows: perimeters down, infill across. */
static const int TABLE_INFILL_PERCENT[] = {10, 15, 20, 30, 40, 60, 100};
enum {
    TABLE_COLUMNS = sizeof TABLE_INFILL_PERCENT / sizeof *TABLE_INFILL_PERCENT,
    LEAST_ROW = 2,
    LAST_ROW = 6
};

static const double MM3_PER_CM3 = 1000.0;

/* What the section weighs with other perimeters and infill, from the same slicing. */
static double mass_with(const PoisePrinted *p, const PoiseSection *s, int perimeters, double infill)
{
    const PoiseSplit *split = &s->splits[perimeters];
    double solid =
        split->perimeter.volume_mm3 + split->skin.volume_mm3 + infill * split->infill.volume_mm3;
    PoiseLaying laying = poise_printed_laying(p, false);
    return laying.density_g_cm3.value * laying.flow.value * solid / MM3_PER_CM3;
}

static void add_volume(PoiseFactList *list, const char *label, double mm3, double all_mm3,
                       const char *what)
{
    poise_facts_add(list, label, "%.1f cm³ (%.1f %%): %s", mm3 / MM3_PER_CM3, 100.0 * mm3 / all_mm3,
                    what);
}

static void add_bed(PoiseFactList *list, const PoisePrintFacts *p)
{
    if (!p->bed_known)
        return;
    if (p->fits_bed) {
        poise_facts_add(list, "Bed", p->turn_deg > 0.0 ? "fits, turned by %.0f°" : "fits",
                        p->turn_deg);
        return;
    }
    PoiseText how = {0};
    poise_bed_words(p, &how);
    if (how.failed)
        list->failed = true;
    else
        poise_facts_add(list, "Bed", "does not fit: %s", how.data);
    poise_text_clear(&how);
}

/* "−0.4, 12.0, 2.1 mm" */
static void add_centre(PoiseFactList *list, const double centre_mm[3])
{
    PoiseText t = {0};
    for (int i = 0; i < 3; i++) {
        poise_text_append(&t, i ? ", " : "");
        poise_words_number(&t, centre_mm[i], 1);
    }
    poise_text_append(&t, " mm in the mesh's own axes");
    poise_facts_take(list, "Centre of mass", &t);
}

static void add_mass(PoiseFactList *list, const PoisePrinted *p, const PoiseItemResult *r)
{
    const PoiseItemBody *b = r->detail;
    char settings[64];
    snprintf(settings, sizeof settings, "%.0f %% infill, %d perimeter%s", 100.0 * p->infill.value,
             p->perimeters, p->perimeters == 1 ? "" : "s");
    PoiseText t = {0};
    poise_words_mass(&t, r->body.mass_g);
    poise_text_append(&t, " ± ");
    poise_words_mass(&t, r->mass_u_g);
    poise_text_printf(&t, " in %s, ", p->material->name);
    if (b->has_toolpath)
        poise_text_append(&t, "as the toolpath lays it");
    else
        poise_text_append(&t, settings);
    poise_facts_take(list, "Mass", &t);
    if (b->has_toolpath)
        poise_facts_add(list, "As laid", "%.*f g; %.*f g by the layer model (%s)",
                        poise_toolpath_decimals(b->toolpath_g), b->toolpath_g,
                        poise_toolpath_decimals(b->layers_g), b->layers_g, settings);
}

static void add_facts(PoiseFactList *list, const PoiseInstrument *in, const PoiseWeighing *w)
{
    const PoiseItemResult *r = &w->items[0];
    const PoiseItemBody *b = r->detail;
    add_mass(list, &in->items[0].as.printed, r);
    add_centre(list, r->body.centre_mm);
    add_volume(list, "Perimeters", r->perimeter_mm3, r->solid_mm3,
               b->has_toolpath ? "in the layer model" : "within the walls' line widths");
    add_volume(list, "Skins", r->skin_mm3, r->solid_mm3,
               b->has_toolpath ? "in the layer model"
                               : "solid layers under and over open surfaces");
    add_volume(list, "Infill region", r->infill_mm3, r->solid_mm3,
               b->has_toolpath ? "in the layer model" : "the rest, filled with the pattern");
    poise_facts_add(list, "Filament", "%.0f g, %.1f m, %.2f spools", r->filament_g, r->filament_m,
                    b->print.spools);
    poise_facts_add(list, "Printing",
                    "about %.1f hours (%zu layer%s; common practice for the speed)", r->filament_h,
                    b->loaded->section.layers, b->loaded->section.layers == 1 ? "" : "s");
    if (!isnan(b->print.price))
        poise_facts_add(list, "Price", "%.2f of filament", b->print.price);
    poise_facts_add(list, "Size as printed", "%.1f × %.1f × %.1f mm", b->print.size_mm[0],
                    b->print.size_mm[1], b->print.size_mm[2]);
    add_bed(list, &b->print);
}

static void add_choices(PoiseText *t, const PoisePrinted *p, const PoiseItemBody *b)
{
    const PoiseSection *s = &b->loaded->section;
    poise_text_append(t, "\nGrams with other settings");
    if (b->has_toolpath)
        poise_text_append(t, ", by the layer model (not the toolpath)");
    poise_text_append(t, "\n  perimeters");
    for (int c = 0; c < TABLE_COLUMNS; c++)
        poise_text_printf(t, "%6d %%", TABLE_INFILL_PERCENT[c]);
    poise_text_append(t, " infill\n");
    for (int n = LEAST_ROW; n <= LAST_ROW; n++) {
        poise_text_printf(t, "  %10d", n);
        for (int c = 0; c < TABLE_COLUMNS; c++)
            poise_text_printf(t, "%8.0f", mass_with(p, s, n, TABLE_INFILL_PERCENT[c] / 100.0));
        poise_text_append(t, "\n");
    }
}

/* A warning of the section itself, without its name in front; NULL for one about an instrument that
 * hangs on a strap, which a section does not do. */
static const char *own_warning(const PoiseWeighing *w, size_t i)
{
    const char *id = w->items[0].id;
    size_t n = strlen(id);
    bool own = strncmp(w->warnings[i], id, n) == 0;
    if (!own)
        return NULL;
    const char *rest = w->warnings[i] + n;
    return strncmp(rest, ": ", 2) == 0 ? rest + 2 : rest + strspn(rest, " ");
}

char *poise_section_text(const PoiseInstrument *in, const PoiseWeighing *w)
{
    PoiseText t = {0};
    PoiseFactList list = {0};
    const PoisePrinted *p = &in->items[0].as.printed;
    poise_text_append_inert(&t, p->mesh);
    poise_text_append(&t, "\n\n");
    add_facts(&list, in, w);
    for (size_t i = 0; i < list.count; i++)
        poise_layout_fact(&t, list.lines[i].label, list.lines[i].value);
    t.failed = t.failed || list.failed;
    poise_facts_clear(&list);
    add_choices(&t, p, w->items[0].detail);
    for (size_t i = 0, told = 0; i < w->warning_count; i++) {
        const char *warning = own_warning(w, i);
        if (!warning)
            continue;
        poise_text_append(&t, told++ ? "" : "\nWarnings\n");
        poise_layout_bullet(&t, warning);
    }
    return poise_text_take(&t);
}

static void add_split(PoiseJson *j, const PoiseSection *s)
{
    cJSON *list = poise_json_array(j, NULL, "splits");
    for (int n = 0; n <= POISE_MAX_PERIMETERS && !j->failed; n++) {
        cJSON *o = poise_json_object(j, list, NULL);
        poise_json_number(j, o, "perimeters", n);
        poise_json_number(j, o, "perimeter_mm3", s->splits[n].perimeter.volume_mm3);
        poise_json_number(j, o, "skin_mm3", s->splits[n].skin.volume_mm3);
        poise_json_number(j, o, "infill_mm3", s->splits[n].infill.volume_mm3);
    }
}

char *poise_section_json(const PoiseInstrument *in, const PoiseWeighing *w)
{
    const PoiseItemResult *r = &w->items[0];
    const PoiseItemBody *b = r->detail;
    const PoiseSection *s = &b->loaded->section;
    PoiseJson j = poise_json_begin();
    poise_json_number(&j, NULL, "poise", 1);
    poise_json_text(&j, NULL, "mesh", in->items[0].as.printed.mesh);
    poise_json_text(&j, NULL, "material", in->items[0].as.printed.material->id);
    poise_json_number(&j, NULL, "mass_g", r->body.mass_g);
    poise_json_number(&j, NULL, "mass_u_g", r->mass_u_g);
    poise_json_vector(&j, NULL, "centre_mm", r->body.centre_mm, 3);
    if (b->has_toolpath) {
        cJSON *laid = poise_json_object(&j, NULL, "toolpath");
        poise_json_number(&j, laid, "laid_g", b->toolpath_g);
        poise_json_number(&j, laid, "layer_model_g", b->layers_g);
    }
    cJSON *split = poise_json_object(&j, NULL, "split");
    poise_json_number(&j, split, "perimeter_mm3", r->perimeter_mm3);
    poise_json_number(&j, split, "skin_mm3", r->skin_mm3);
    poise_json_number(&j, split, "infill_mm3", r->infill_mm3);
    poise_json_number(&j, split, "solid_mm3", r->solid_mm3);
    cJSON *filament = poise_json_object(&j, NULL, "filament");
    poise_json_number(&j, filament, "g", r->filament_g);
    poise_json_number(&j, filament, "m", r->filament_m);
    poise_json_number(&j, filament, "h", r->filament_h);
    poise_json_number(&j, filament, "spools", b->print.spools);
    poise_json_number(&j, filament, "price", b->print.price);
    cJSON *bed = b->print.bed_known ? poise_json_object(&j, NULL, "bed") : NULL;
    if (bed) {
        poise_json_bool(&j, bed, "fits", b->print.fits_bed);
        poise_json_number(&j, bed, "turn_deg", b->print.turn_deg);
        poise_json_vector(&j, bed, "over_mm", b->print.over_mm, 3);
    } else {
        poise_json_null(&j, NULL, "bed");
    }
    poise_json_vector(&j, NULL, "size_mm", b->print.size_mm, 3);
    poise_json_number(&j, NULL, "layers", (double)s->layers);
    poise_json_number(&j, NULL, "triangles", (double)b->loaded->triangles);
    poise_json_number(&j, NULL, "layered_mm3", s->layered_mm3);
    poise_json_number(&j, NULL, "simplified_mm2", s->simplified_mm2);
    add_split(&j, s);
    poise_json_texts(&j, NULL, "cautions", w->cautions, w->caution_count);
    cJSON *warnings = poise_json_array(&j, NULL, "warnings");
    for (size_t i = 0; i < w->warning_count && !j.failed; i++)
        if (own_warning(w, i))
            poise_json_text(&j, warnings, NULL, own_warning(w, i));
    return poise_json_end(&j);
}
