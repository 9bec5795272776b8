/* The resin card: what it says to weigh out adds up as shown, and it does not promise a depth that
 * a pocket out of level does not keep. */
#include <math.h>

#include "check.h"

#include "base/text.h"
#include "bodies/item_body.h"
#include "output/words.h"

/* The card of one item; its lines stay the list's. */
static const char *line(PoiseFactList *list, PoisePourFacts facts, const char *label)
{
    PoiseItemBody body = {.has_pour = true, .pour = facts};
    PoiseItemResult item = {.detail = &body, .solid_mm3 = 1000, .predicted_g = 1};
    poise_words_pour(list, &item);
    assert_false(list->failed);
    for (size_t i = 0; i < list->count; i++)
        if (strcmp(list->lines[i].label, label) == 0)
            return list->lines[i].value;
    return NULL;
}

static void says(PoisePourFacts facts, const char *label, const char *want)
{
    PoiseFactList list = {0};
    const char *found = line(&list, facts, label);
    if (want)
        assert_string_equal(found, want);
    else
        assert_null(found);
    poise_facts_clear(&list);
}

static PoisePourFacts cups(int pours, double a_g, double b_g, double pigment_g)
{
    return (PoisePourFacts){.depth_mm = 9,
                            .limit_mm = 6,
                            .pours = pours,
                            .level_pours = pours,
                            .has_cups = true,
                            .cup_a_g = a_g,
                            .cup_b_g = b_g,
                            .pigment_g = pigment_g};
}

/* 2 × 37.6 = 75.2; 3 × 25.1 is 75.3, so that the last takes 25.0. */
static void grams_add_up_as_shown(void **state)
{
    (void)state;
    says(cups(1, 84.0, 75.2, 0), "Weigh out", "part A 84 g, part B 75 g");
    says(cups(1, 84.0, 75.2, 0), "For each pour", NULL);
    says(cups(2, 168.0, 75.17, 0), "Weigh out", "part A 168.0 g, part B 75.2 g in all");
    says(cups(2, 168.0, 75.17, 0), "For each pour", "part A 84.0 g, part B 37.6 g");
    says(cups(3, 168.0, 75.2, 7.5), "For each pour",
         "part A 56.0 g, part B 25.1 g, pigment 2.5 g; the last one: part A 56.0 g, part B 25.0 g, "
         "pigment 2.5 g");
    /* 0.6 g in 10 pours: rounded up to 0.1 g, nine of them would be more than there is. */
    says(cups(10, 100.0, 0.6, 0), "For each pour",
         "part A 10.0 g, part B 0.0 g; the last one: part A 10.0 g, part B 0.6 g");
    says(cups(3, 1500.0, 750.0, 0), "Weigh out", "part A 1500.0 g, part B 750.0 g in all");
}

static void depths_out_of_level(void **state)
{
    (void)state;
    PoisePourFacts p = cups(3, 1, 1, 0);
    says(p, "Out of level", NULL);
    p.tilt_deg = 1.5;
    p.tilt_error_mm = 5.6;
    p.low_rise_mm = 2.8;
    p.over_rim = true;
    says(p, "Depth",
         "9.0 mm, in 3 pours of 3.0 mm, up to 5.8 mm at the low side (deepest the material allows: "
         "6.0 mm); wait between them as the product's data sheet says");
    says(
        p, "Out of level",
        "with the \"tilt\" of the file one side stands 5.6 mm deeper than the other; filled to the "
        "rim, up to 2.8 mm above it; level the body first");
    p.pours = 0;
    p.too_steep = true;
    p.level_pours = 1;
    says(p, "Depth",
         "9.0 mm, but as far out of level as the file says no number of pours covers the floor and "
         "keeps to 6.0 mm: level the body first; level, it takes 1 pour");
    p.too_steep = false;
    p.floor_dry = true;
    p.pours = 1;
    says(
        p, "Depth",
        "9.0 mm, in one pour, which leaves part of the floor dry (deepest the material allows: 6.0 "
        "mm)");
    p = (PoisePourFacts){.depth_mm = NAN, .tilt_deg = 10, .tilt_error_mm = NAN, .low_rise_mm = NAN};
    says(p, "Out of level",
         "with the \"tilt\" of the file one side stands deeper than the other; how much, cannot be "
         "told without a mesh");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grams_add_up_as_shown),
        cmocka_unit_test(depths_out_of_level),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
