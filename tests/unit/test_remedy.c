/* Remedies for the demonstration instruments: each one is written into the file, read again by the
 * public door and weighed there, and must do what was said of it. */
#include "check.h"

#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"
#include "decide/body_outline.h"
#include "decide/remedy.h"
#include "poise/poise.h"

#include <stdlib.h>

#define INSTRUMENTS POISE_TEST_DEMOS "/"
static const char COMPONENTS[] = POISE_TEST_SOURCE_DIR "/components";

typedef struct Fixture {
    char *text, *dir;
    PoiseFaults *faults;
    PoiseDocument *document;
    PoiseShelf shelf;
} Fixture;

/* The demo's text with one stretch replaced (NULL: as it is). */
static Fixture open_demo(const char *name, const char *old, const char *new)
{
    Fixture f = {.faults = poise_faults_new()};
    size_t size = 0;
    char *path = poise_format("%s%s/%s.json", INSTRUMENTS, name, name), *text = NULL;
    assert_int_equal(poise_file_read(path, 1 << 20, &text, &size, f.faults), POISE_OK);
    f.dir = poise_path_dir(path);
    f.text = text;
    if (old) {
        char *at = strstr(text, old);
        assert_non_null(at);
        f.text = poise_format("%.*s%s%s", (int)(at - text), text, new, at + strlen(old));
        poise_release(text);
    }
    poise_release(path);
    assert_int_equal(poise_document_parse(f.text, strlen(f.text), name, &f.document, f.faults),
                     POISE_OK);
    assert_int_equal(poise_shelf_read(COMPONENTS, &f.shelf, f.faults), POISE_OK);
    return f;
}

static void close_demo(Fixture *f)
{
    poise_document_free(f->document);
    poise_shelf_clear(&f->shelf);
    poise_faults_free(f->faults);
    poise_release(f->dir);
    poise_release(f->text);
}

static PoiseRemedies *find(Fixture *f, const char *variant, const PoiseRemedyOptions *options)
{
    PoiseRemedies *r = NULL;
    PoiseStatus status =
        poise_remedies_find(f->document, variant, f->dir, &f->shelf, options, &r, f->faults);
    for (size_t i = 0; i < poise_faults_count(f->faults); i++)
        print_error("%s\n", poise_faults_get(f->faults, i)->found);
    assert_int_equal(status, POISE_OK);
    return r;
}

/* Writes the remedy into the text, reads and weighs that, and compares. */
static void confirm(Fixture *f, const char *variant, const PoiseRemedies *all, size_t i,
                    const PoiseRemedyOptions *options)
{
    const PoiseRemedy *r = &all->list[i];
    char *text = NULL;
    size_t size = 0;
    cJSON *patch = poise_remedy_variant(f->document, variant, r);
    assert_int_equal(poise_variant_insert(f->text, strlen(f->text), f->document, r->name, patch,
                                          &text, &size, f->faults),
                     POISE_OK);
    PoiseInstrument *in = NULL;
    PoiseWeighing *w = NULL;
    PoiseStatus status = poise_instrument_parse(text, size, "wren.json", f->dir, r->name,
                                                COMPONENTS, &in, f->faults);
    for (size_t k = 0; k < poise_faults_count(f->faults); k++)
        print_error("%s\n", poise_faults_get(f->faults, k)->found);
    assert_int_equal(status, POISE_OK);
    assert_int_equal(poise_weigh(in, NULL, &w, f->faults), POISE_OK);
    if (options->angle_count == 0) {
        if (!w->targets_met)
            print_error("%s misses the target\n", r->title);
        assert_true(w->targets_met);
        check_near(w->hanging.margin_mm, r->state.strap[0].margin_mm, 1e-9);
        check_near(w->hanging.hand_load_g, r->state.strap[0].hand_load_g, 1e-9);
    }
    check_near(w->total.mass_g, r->state.mass_g, 1e-9);
    check_near(w->total.mass_g - all->now.mass_g, r->added_g, 1e-9);
    check_near(w->filament_g, r->state.filament_g, 1e-9);
    for (size_t a = 0; a < options->angle_count; a++) {
        PoiseHanging h;
        assert_int_equal(poise_strap_hang(&w->strap, w->centre, w->total.mass_g,
                                          options->angles_deg[a], w->hand, &h, NULL),
                         POISE_OK);
        assert_true(fabs(h.hand_load_g) <= all->target_hand_load_g);
    }
    poise_weighing_free(w);
    poise_instrument_free(in);
    cJSON_Delete(patch);
    poise_release(text);
}

/* All variants of a demo under one target; returns how many remedies were confirmed. */
static size_t confirm_all(const char *demo, const char *old, const char *new,
                          const char *const *variants, size_t count, PoiseRemedyOptions options)
{
    size_t confirmed = 0;
    Fixture f = open_demo(demo, old, new);
    options.most = 6;
    for (size_t v = 0; v < count; v++) {
        PoiseRemedies *r = find(&f, variants[v], &options);
        assert_int_equal(r->dropped, 0);
        assert_true(r->met || r->count > 0 || r->shortfall_count > 0);
        assert_true(r->met == (r->worst == NULL));
        for (size_t i = 0; i < r->count; i++) {
            confirm(&f, variants[v], r, i, &options);
            assert_true(i == 0 || round(r->list[i].added_g) >= round(r->list[i - 1].added_g));
            confirmed++;
        }
        poise_remedies_free(r);
    }
    close_demo(&f);
    return confirmed;
}

static const char *const MUDLARK[] = {NULL, "light wings", "heavier tail", "lighter tuners",
                                      "first prints weighed"};
static const char *const LINNET[] = {NULL, "tulipwood", "side tuners", "no battery"};

static void test_bass_as_it_is(void **state)
{
    (void)state;
    assert_true(confirm_all("mudlark", NULL, NULL, MUDLARK, 5, (PoiseRemedyOptions){0}) >= 18);
}

static void test_bass_that_must_just_hold(void **state)
{
    (void)state;
    assert_true(confirm_all("mudlark", "\"mass\": \"3.8 kg\", \"hand_load\": \"100 g\"",
                            "\"mass\": \"4 kg\", \"margin\": 5", MUDLARK, 5,
                            (PoiseRemedyOptions){0}) >= 10);
}

static void test_ukulele_with_a_sharper_target(void **state)
{
    (void)state;
    assert_true(confirm_all("linnet", "\"mass\": \"1.4 kg\", \"hand_load\": \"60 g\"",
                            "\"mass\": \"1.5 kg\", \"margin\": 50", LINNET, 4,
                            (PoiseRemedyOptions){0}) >= 8);
}

static void test_several_angles(void **state)
{
    (void)state;
    PoiseRemedyOptions two = {.angle_count = 2, .angles_deg = {10, 30}};
    assert_true(confirm_all("mudlark", NULL, NULL, MUDLARK, 1, two) >= 1);
}

/* Ballast in closed form through the whole program: with room for it and no limit to the mass, the
 * first remedy of that kind is the ballast rule's answer, rounded up to the gram. */
static void test_ballast_is_the_rule(void **state)
{
    (void)state;
    Fixture f =
        open_demo("mudlark", "\"target\": { \"mass\": \"3.8 kg\", \"hand_load\": \"100 g\" },", "");
    PoiseInstrument *in = NULL;
    PoiseWeighing *w = NULL;
    assert_int_equal(
        poise_instrument_parse(f.text, strlen(f.text), "m", f.dir, NULL, COMPONENTS, &in, f.faults),
        POISE_OK);
    assert_int_equal(poise_weigh(in, NULL, &w, f.faults), POISE_OK);
    PoiseRemedyOptions options = {.most = 50};
    PoiseRemedies *r = find(&f, NULL, &options);
    assert_true(r->default_target);
    const PoiseRemedy *place = NULL;
    for (size_t i = 0; i < r->count && !place; i++)
        if (r->list[i].kind == POISE_REMEDY_PLACE)
            place = &r->list[i];
    assert_non_null(place);
    const cJSON *items = cJSON_GetObjectItemCaseSensitive(place->patch, "items");
    const cJSON *patch = items->child;
    const cJSON *at = cJSON_GetObjectItemCaseSensitive(patch, "at");
    double mass = cJSON_GetObjectItemCaseSensitive(patch, "mass")->valuedouble, needed;
    PoisePoint p = {cJSON_GetArrayItem(at, 0)->valuedouble, cJSON_GetArrayItem(at, 1)->valuedouble};
    double station = poise_horizontal_mm(p, 20) - poise_horizontal_mm(w->strap.tail, 20);
    assert_int_equal(poise_ballast_needed(w->total.mass_g, w->hanging.station_mm,
                                          w->hanging.window_mm, station, &needed),
                     POISE_OK);
    check_near(mass, ceil(needed), 0);
    poise_remedies_free(r);
    poise_weighing_free(w);
    poise_instrument_free(in);
    close_demo(&f);
}

/* Too heavy, but balanced with room to spare: ballast may come off, down to the target and no
 * further. */
static void test_ballast_comes_off(void **state)
{
    (void)state;
    Fixture f = open_demo("mudlark", "\"mass\": \"3.8 kg\"", "\"mass\": \"4.25 kg\"");
    PoiseRemedyOptions options = {.most = 50};
    PoiseRemedies *r = find(&f, "heavier tail", &options);
    const PoiseRemedy *off = NULL;
    for (size_t i = 0; i < r->count && !off; i++)
        if (r->list[i].kind == POISE_REMEDY_REMOVE)
            off = &r->list[i];
    assert_non_null(off);
    assert_true(off->state.mass_g <= 4250 && off->state.mass_g > 4249);
    const cJSON *mass = poise_pointer_get_const(off->patch, "/items/tail-ballast/mass");
    check_near(mass->valuedouble, 120 + off->added_g, 1e-9);
    poise_remedies_free(r);
    close_demo(&f);
}

/* What was printed and weighed is not printed again. */
static void test_weighed_sections_stay(void **state)
{
    (void)state;
    Fixture f = open_demo("mudlark", NULL, NULL);
    PoiseRemedyOptions options = {.most = 50};
    PoiseRemedies *r = find(&f, "first prints weighed", &options);
    assert_true(r->count > 3);
    for (size_t i = 0; i < r->count; i++) {
        assert_null(poise_pointer_get(r->list[i].patch, "/items/spine-tail"));
        assert_null(poise_pointer_get(r->list[i].patch, "/items/wing-bout"));
    }
    poise_remedies_free(r);
    close_demo(&f);
}

static bool says(const PoiseRemedies *r, const char *what)
{
    for (size_t i = 0; i < r->conflict_count; i++)
        if (strstr(r->conflicts[i], what))
            return true;
    return false;
}

static void test_targets_that_cannot_be(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"\"mass\": \"3.8 kg\", \"hand_load\": \"100 g\"", "Out of reach"},
        {"\"mass\": \"2.6 kg\", \"hand_load\": \"100 g\"", "Out of reach"},
        {"\"mass\": \"2.9 kg\", \"hand_load\": \"10 g\"", "These two clash"},
        {"\"margin\": 160", "more than there is"},
    };
    PoiseRemedyOptions options = {0};
    for (size_t i = 0; i < 4; i++) {
        Fixture f =
            open_demo("mudlark", "\"mass\": \"3.8 kg\", \"hand_load\": \"100 g\"", cases[i][0]);
        PoiseRemedies *r = find(&f, NULL, &options);
        if (i == 0) { /* this one can be met: nothing is said to clash */
            assert_true(r->count > 0 && r->conflict_count == 0);
        } else {
            assert_int_equal(r->count, 0);
            assert_true(says(r, cases[i][1]));
            assert_true(r->shortfall_count > 0);
        }
        poise_remedies_free(r);
        close_demo(&f);
    }
}

#define POSTS                                                                                      \
    "  \"posts\": { \"tail\": [0, -79, -16], \"horn\": [-85, 268, -16] },\n"                       \
    "  \"strap\": { \"length\": 920, \"friction\": \"0.35 ± 0.1\" },\n"
#define STANCE "  \"stance\": { \"neck_angle\": 25, \"hand\": \"fret 1\" },\n"
#define SEAT   "  \"seat\": { \"rest\": [80, 96], \"width\": 90 },\n"

static void test_nothing_to_do_and_nothing_to_go_by(void **state)
{
    (void)state;
    PoiseRemedyOptions options = {0};
    Fixture f = open_demo("linnet", NULL, NULL);
    PoiseRemedies *r = find(&f, NULL, &options);
    assert_true(r->met && r->count == 0);
    poise_remedies_free(r);
    r = NULL;
    assert_int_equal(
        poise_remedies_find(f.document, "no such", f.dir, &f.shelf, &options, &r, f.faults),
        POISE_E_USAGE);
    assert_null(r);
    PoiseRemedyOptions steep = {.angle_count = 1, .angles_deg = {89}};
    assert_int_equal(poise_remedies_find(f.document, NULL, f.dir, &f.shelf, &steep, &r, f.faults),
                     POISE_E_USAGE);
    close_demo(&f);
    /* On the leg alone, then on nothing at all. */
    static const char *const without[][2] = {{POSTS, ""}, {POSTS STANCE SEAT, STANCE}};
    for (int i = 0; i < 2; i++) {
        f = open_demo("linnet", without[i][0], without[i][1]);
        PoiseStatus status =
            poise_remedies_find(f.document, NULL, f.dir, &f.shelf, &options, &r, f.faults);
        assert_int_equal(status, i ? POISE_E_INPUT : POISE_OK);
        assert_true(i || (r->leg && !r->strap));
        poise_remedies_free(i ? NULL : r);
        close_demo(&f);
    }
}

/* The outline of a slab at its depth is the slab's, and a left-handed player's is turned over. */
static void test_outline(void **state)
{
    (void)state;
    Fixture f = open_demo("linnet", NULL, NULL);
    PoiseInstrument *in = NULL;
    PoiseWeighing *w = NULL;
    assert_int_equal(
        poise_instrument_parse(f.text, strlen(f.text), "l", f.dir, NULL, COMPONENTS, &in, f.faults),
        POISE_OK);
    assert_int_equal(poise_weigh(in, NULL, &w, f.faults), POISE_OK);
    PoiseBodyOutline right, left, none;
    assert_int_equal(poise_body_outline(in, w, -16, 12, &right, f.faults), POISE_OK);
    in->frame.left = true;
    assert_int_equal(poise_body_outline(in, w, -16, 12, &left, f.faults), POISE_OK);
    assert_int_equal(poise_body_outline(in, w, 200, 12, &none, f.faults), POISE_OK);
    assert_int_equal(right.edge.rings, 1);
    assert_int_equal(left.edge.rings, 1);
    assert_int_equal(none.edge.rings, 0);
    /* Shoelace formula over the file's own points. */
    const PoiseOutline *o = &poise_instrument_item(in, "body")->as.solid.outline;
    double area = 0;
    for (size_t i = 0; i < o->count; i++) {
        const double *a = o->points_mm[i], *b = o->points_mm[(i + 1) % o->count];
        area += 0.5 * (a[0] * b[1] - a[1] * b[0]);
    }
    check_close(fabs(poise_ring_area(&right.edge, 0)), fabs(area), 1e-4);
    assert_int_equal(left.edge.count, right.edge.count);
    for (size_t i = 0; i < left.edge.count; i++) {
        check_near(left.edge.points[i][0], right.edge.points[i][0], 1e-9);
        check_near(left.edge.points[i][1], -right.edge.points[i][1], 1e-9);
    }
    /* Every point of the inset is that far from the edge. */
    PoiseEdgePath path;
    assert_true(poise_edge_path(&right.edge, 0, &path));
    for (size_t i = 0; i < right.inset.count; i++) {
        double away, normal[2];
        PoisePoint p = {right.inset.points[i][0], right.inset.points[i][1]};
        double s = poise_edge_nearest(&path, p, &away);
        assert_true(away > 12 - 1e-6);
        PoisePoint q = poise_edge_at(&path, s, 5, normal);
        check_near(hypot(p.x_mm - q.x_mm, p.y_mm - q.y_mm), away, 1e-9);
        check_near(hypot(normal[0], normal[1]), 1, 1e-12);
    }
    poise_edge_path_clear(&path);
    poise_body_outline_clear(&right);
    poise_body_outline_clear(&left);
    poise_body_outline_clear(&none);
    poise_weighing_free(w);
    poise_instrument_free(in);
    close_demo(&f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bass_as_it_is),
        cmocka_unit_test(test_bass_that_must_just_hold),
        cmocka_unit_test(test_ukulele_with_a_sharper_target),
        cmocka_unit_test(test_several_angles),
        cmocka_unit_test(test_ballast_is_the_rule),
        cmocka_unit_test(test_ballast_comes_off),
        cmocka_unit_test(test_weighed_sections_stay),
        cmocka_unit_test(test_targets_that_cannot_be),
        cmocka_unit_test(test_nothing_to_do_and_nothing_to_go_by),
        cmocka_unit_test(test_outline),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
