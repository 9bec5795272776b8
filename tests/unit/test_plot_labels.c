/* Labels that do not cover each other, and the ellipse and the ballast they speak of. */
#include "check.h"

#include "plot/ellipse.h"
#include "plot/label_clear.h"
#include "plot/label_place.h"
#include "plot/need.h"

static const double PAGE[4] = {0, 0, 1000, 600};

static bool apart(const PoiseLabel *a, const PoiseLabel *b)
{
    return fabs(a->x - b->x) >= 0.5 * (a->width + b->width) - 1e-6 ||
           fabs(a->y - b->y) >= 0.5 * (a->height + b->height) - 1e-6;
}

static void all_apart_and_inside(const PoiseLabel *labels, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (!labels[i].fixed) {
            assert_true(labels[i].x - 0.5 * labels[i].width >= PAGE[0] - 1e-9);
            assert_true(labels[i].x + 0.5 * labels[i].width <= PAGE[2] + 1e-9);
            assert_true(labels[i].y - 0.5 * labels[i].height >= PAGE[1] - 1e-9);
            assert_true(labels[i].y + 0.5 * labels[i].height <= PAGE[3] + 1e-9);
        }
        for (size_t j = i + 1; j < n; j++)
            assert_true(apart(&labels[i], &labels[j]));
    }
}

static void test_labels_on_one_point_come_apart(void **state)
{
    (void)state;
    PoiseLabel labels[12];
    for (int i = 0; i < 12; i++)
        labels[i] = (PoiseLabel){.x = 500, .y = 300, .width = 80 + 5 * i, .height = 20};
    assert_true(poise_labels_place(labels, 12, PAGE));
    all_apart_and_inside(labels, 12);
}

static void test_a_label_with_room_stays(void **state)
{
    (void)state;
    PoiseLabel labels[2] = {{.x = 200, .y = 100, .width = 80, .height = 20},
                            {.x = 200, .y = 130, .width = 80, .height = 20}};
    assert_true(poise_labels_place(labels, 2, PAGE));
    check_near(labels[0].x, 200, 0);
    check_near(labels[0].y, 100, 0);
    check_near(labels[1].y, 130, 0);
}

static void test_obstacles_stay_and_corners_hold(void **state)
{
    (void)state;
    PoiseLabel labels[4] = {{.x = 990, .y = 595, .width = 120, .height = 40},
                            {.x = 950, .y = 570, .width = 60, .height = 30, .fixed = true},
                            {.x = 980, .y = 580, .width = 90, .height = 20},
                            {.x = -50, .y = -10, .width = 90, .height = 20}};
    assert_true(poise_labels_place(labels, 4, PAGE));
    check_near(labels[1].x, 950, 0);
    check_near(labels[1].y, 570, 0);
    all_apart_and_inside(labels, 4);
}

static void test_the_order_of_labels_does_not_matter(void **state)
{
    (void)state;
    PoiseLabel a[5], b[5];
    for (int i = 0; i < 5; i++)
        a[i] = (PoiseLabel){.x = 300 + 7 * i, .y = 200 + 3 * i * i, .width = 90, .height = 18};
    for (int i = 0; i < 5; i++)
        b[i] = a[4 - i];
    poise_labels_place(a, 5, PAGE);
    poise_labels_place(b, 5, PAGE);
    for (int i = 0; i < 5; i++) {
        check_near(a[i].x, b[4 - i].x, 1e-9);
        check_near(a[i].y, b[4 - i].y, 1e-9);
    }
}

static void test_lines_and_boxes(void **state)
{
    (void)state;
    const double box[4] = {100, 50, 200, 90};
    const struct {
        PoiseLabelLine line;
        bool meets;
    } cases[] = {
        {{{0, 0}, {300, 150}, 0}, true},     /* through two sides */
        {{{120, 60}, {130, 70}, 0}, true},   /* all of it inside */
        {{{150, 70}, {150, 70}, 0}, true},   /* a point */
        {{{210, 70}, {210, 70}, 0}, false},  /* a point outside */
        {{{0, 70}, {90, 70}, 0}, false},     /* ends before it */
        {{{0, 70}, {110, 70}, 0}, true},     /* ends in it */
        {{{150, 0}, {150, 300}, 0}, true},   /* upright */
        {{{100, 0}, {100, 300}, 0}, false},  /* along a side: touches only */
        {{{0, 60}, {110, -200}, 0}, false},  /* past a corner */
        {{{300, 20}, {150, 300}, 0}, false}, /* past another */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const PoiseLabelLine *line = &cases[i].line;
        const PoiseLabelLine back = {{line->to[0], line->to[1]}, {line->from[0], line->from[1]}, 0};
        if (poise_line_meets_box(line, box) != cases[i].meets ||
            poise_line_meets_box(&back, box) != cases[i].meets)
            fail_msg("line %zu", i);
    }
}

static bool on_line(const PoiseLabel *label, const PoiseLabelLine *line)
{
    const double box[4] = {label->x - 0.5 * label->width, label->y - 0.5 * label->height,
                           label->x + 0.5 * label->width, label->y + 0.5 * label->height};
    return poise_line_meets_box(line, box);
}

/* A line strikes through a label: it goes just past it, as far as it must and no further. */
static void test_a_label_leaves_a_line(void **state)
{
    (void)state;
    const PoiseLabelLine line = {{0, 300}, {1000, 300}, 4};
    PoiseLabel labels[3] = {
        {.x = 500, .y = 305, .width = 100, .height = 40},
        {.x = 800, .y = 350, .width = 100, .height = 40}, /* clear: stays */
        {.x = 200, .y = 300, .width = 40, .height = 40, .fixed = true} /* an obstacle: stays */};
    assert_true(poise_labels_clear(labels, 3, &line, 1, PAGE));
    assert_false(on_line(&labels[0], &line));
    check_near(labels[0].y, 320, 5); /* 15 px down, not 25 up */
    check_near(labels[0].x, 500, 5);
    check_near(labels[1].y, 350, 0);
    check_near(labels[2].y, 300, 0);
}

/* The gap is kept at the sides of the label. */
static void test_the_gap_beside_a_line(void **state)
{
    (void)state;
    PoiseLabelLine line = {{453, 0}, {453, 600}, 2};
    PoiseLabel label = {.x = 400, .y = 300, .width = 100, .height = 20};
    assert_true(poise_labels_clear(&label, 1, &line, 1, PAGE));
    check_near(label.x, 400, 0); /* 3 px are enough for 2 */
    line.gap = 6;
    assert_true(poise_labels_clear(&label, 1, &line, 1, PAGE));
    assert_true(label.x + 50 <= 447);
}

/* A leader of one runs under another, and a label's own leader would. */
static void test_leaders_run_under_no_label(void **state)
{
    (void)state;
    PoiseLabel labels[2] = {
        {.x = 200, .y = 300, .width = 60, .height = 20, .leader = true, .at = {500, 300}},
        {.x = 350, .y = 300, .width = 60, .height = 20}};
    PoiseLabelLine leader;
    assert_true(poise_label_leader(&labels[0], &leader));
    check_near(leader.from[0], 230, 0);
    check_near(leader.to[0], 500, 0);
    assert_true(on_line(&labels[1], &leader));
    assert_true(poise_labels_clear(labels, 2, NULL, 0, PAGE));
    assert_true(poise_label_leader(&labels[0], &leader));
    assert_false(on_line(&labels[1], &leader));
    assert_true(apart(&labels[0], &labels[1]));
    /* beside its point it has none */
    labels[0].x = 465;
    labels[0].y = 300;
    assert_false(poise_label_leader(&labels[0], &leader));
}

static void test_a_label_without_a_clear_place_stays(void **state)
{
    (void)state;
    PoiseLabelLine lines[60];
    for (int i = 0; i < 60; i++) /* a page ruled closer than the label is high */
        lines[i] = (PoiseLabelLine){{0, 10 * i + 5}, {1000, 10 * i + 5}, 4};
    PoiseLabel label = {.x = 500, .y = 300, .width = 100, .height = 20};
    assert_false(poise_labels_clear(&label, 1, lines, 60, PAGE));
    check_near(label.x, 500, 0);
    check_near(label.y, 300, 0);
}

/* 5.991 is the 95 % point of chi-squared with 2 degrees of freedom in every table (NIST/SEMATECH
 * e-Handbook of Statistical Methods, 1.3.6.7.4; from memory). */
static void test_ellipse_of_independent_axes(void **state)
{
    (void)state;
    const double v[3][3] = {{4, 0, 0}, {0, 9, 0}, {0, 0, 1}}, x[3] = {1, 0, 0}, y[3] = {0, 1, 0};
    PoiseEllipse e = poise_ellipse_95(v, x, y);
    check_near(e.long_mm, 3 * sqrt(5.991), 1e-3);
    check_near(e.short_mm, 2 * sqrt(5.991), 1e-3);
    check_near(fabs(e.axis[1]), 1, 1e-12); /* along y */
}

static void test_ellipse_turns_with_the_covariance(void **state)
{
    (void)state;
    /* variances 9 along (cos 30°, sin 30°) and 1 across */
    double c = sqrt(3.0) / 2, s = 0.5;
    const double v[3][3] = {
        {9 * c * c + s * s, 8 * c * s, 0}, {8 * c * s, 9 * s * s + c * c, 0}, {0, 0, 5}};
    PoiseEllipse e = poise_ellipse_95(v, (double[3]){1, 0, 0}, (double[3]){0, 1, 0});
    check_near(e.long_mm, 3 * sqrt(5.991), 1e-3);
    check_near(e.short_mm, sqrt(5.991), 1e-3);
    check_near(e.axis[0], c, 1e-12);
    check_near(e.axis[1], s, 1e-12);
    /* a plane with another axis: x and z */
    PoiseEllipse flat = poise_ellipse_95(v, (double[3]){0, 0, 1}, (double[3]){1, 0, 0});
    check_near(flat.long_mm, sqrt(7.0 * 5.991), 2e-3);
}

/* A neck-heavy instrument: posts 390 mm apart, strap 1050 mm, hand at the nut. */
static PoiseWeighing hanging(double centre_x, double angle)
{
    PoiseWeighing w = {.total = {.mass_g = 2900},
                       .neck_angle_deg = angle,
                       .centre = {centre_x, 5},
                       .hand = {743, 0},
                       .has_hand = true,
                       .has_strap = true,
                       .strap = {{0, 0}, {390, 70}, 1050, 0.3}};
    assert_int_equal(poise_strap_hang(&w.strap, w.centre, 2900, angle, w.hand, &w.hanging, NULL),
                     POISE_OK);
    return w;
}

/* The hand's load once `grams` are put at a station, by solving the strap anew. */
static double load_with(const PoiseWeighing *w, double grams, double station)
{
    double c = cos(w->neck_angle_deg * acos(-1.0) / 180), mass = w->total.mass_g + grams;
    double h = (w->total.mass_g * w->hanging.station_mm + grams * station) / mass;
    PoisePoint centre = {h / c, 0}; /* any point with that h will do */
    PoiseHanging hang;
    assert_int_equal(
        poise_strap_hang(&w->strap, centre, mass, w->neck_angle_deg, w->hand, &hang, NULL),
        POISE_OK);
    return hang.hand_load_g;
}

static void test_ballast_meets_the_target_when_it_is_put_there(void **state)
{
    (void)state;
    for (int with_target = 0; with_target < 2; with_target++)
        for (int k = 0; k < 2; k++) {
            PoiseWeighing w = hanging(k ? 20 : 340, 15);
            assert_int_equal(w.hanging.verdict, k ? POISE_TAIL_HEAVY : POISE_NECK_HEAVY);
            PoiseInstrument in = {.has_target_hand_load = with_target, .target_hand_load_g = 60};
            PoiseNeed need = poise_need_find(&in, &w);
            double station = k ? 600 : 20, grams = poise_need_at(&need, station);
            assert_true(grams > 0 && isfinite(grams));
            check_near(fabs(load_with(&w, grams, station)), with_target ? 60 : 0, 1e-6);
            check_near(poise_need_station(&need, grams), station, 1e-6);
            assert_true(isinf(poise_need_at(&need, k ? 20 : 340)));
            check_near(poise_need_limit(&need), k ? w.hanging.window_mm.lo : w.hanging.window_mm.hi,
                       1e-9);
        }
}

static void test_without_a_target_it_is_the_aircraft_rule(void **state)
{
    (void)state;
    PoiseWeighing w = hanging(340, 15);
    PoiseInstrument in = {0};
    PoiseNeed need = poise_need_find(&in, &w);
    double direct;
    assert_int_equal(
        poise_ballast_needed(2900, w.hanging.station_mm, w.hanging.window_mm, 30, &direct),
        POISE_OK);
    check_close(poise_need_at(&need, 30), direct, 1e-12);
}

static void test_nothing_is_needed_where_it_holds(void **state)
{
    (void)state;
    PoiseWeighing w = hanging(210, 15);
    assert_int_equal(w.hanging.verdict, POISE_HOLDS);
    PoiseInstrument in = {.has_target_hand_load = true, .target_hand_load_g = 60};
    PoiseNeed need = poise_need_find(&in, &w);
    assert_int_equal(need.count, 0);
    check_near(poise_need_at(&need, 700), 0, 0);
    /* but a margin may still be wanted */
    in.has_target_margin = true;
    in.target_margin_mm = w.hanging.margin_mm + 10;
    need = poise_need_find(&in, &w);
    double grams = poise_need_at(&need, 30);
    double h = (2900 * w.hanging.station_mm + grams * 30) / (2900 + grams);
    check_near(w.hanging.window_mm.hi - h, in.target_margin_mm, 1e-9);
}

/* A belt that does not grip: what is enough for the margin is, near the strap, too much for the
 * hand. The answers are put there and judged by solving the strap anew. */
static void test_no_amount_that_breaks_another_target(void **state)
{
    (void)state;
    PoiseWeighing w = hanging(340, 15);
    w.strap.friction = 0;
    assert_int_equal(poise_strap_hang(&w.strap, w.centre, 2900, 15, w.hand, &w.hanging, NULL),
                     POISE_OK);
    PoiseInstrument in = {.has_target_hand_load = true,
                          .target_hand_load_g = 60,
                          .has_target_margin = true,
                          .target_margin_mm = 6};
    PoiseNeed need = poise_need_find(&in, &w);
    double limit = poise_need_limit(&need);
    assert_true(poise_need_clashes(&need));
    assert_true(limit < w.hanging.window_mm.hi - 6 - 1);
    assert_true(isinf(poise_need_at(&need, limit + 0.01)));
    double grams = poise_need_at(&need, limit - 1e-6);
    check_near(load_with(&w, grams, limit), -60, 1e-3);
    double far = poise_need_at(&need, limit - 100), most = poise_need_most(&need, limit - 100);
    assert_true(far < most);
    assert_true(fabs(load_with(&w, far, limit - 100)) < 60);
    check_near(load_with(&w, most, limit - 100), -60, 1e-6);
    /* with no hand to speak of it is nowhere */
    in.target_hand_load_g = 0.1;
    need = poise_need_find(&in, &w);
    assert_true(isinf(poise_need_limit(&need)) && poise_need_limit(&need) < 0);
    assert_true(isinf(poise_need_at(&need, -500)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_labels_on_one_point_come_apart),
        cmocka_unit_test(test_a_label_with_room_stays),
        cmocka_unit_test(test_obstacles_stay_and_corners_hold),
        cmocka_unit_test(test_the_order_of_labels_does_not_matter),
        cmocka_unit_test(test_lines_and_boxes),
        cmocka_unit_test(test_a_label_leaves_a_line),
        cmocka_unit_test(test_the_gap_beside_a_line),
        cmocka_unit_test(test_leaders_run_under_no_label),
        cmocka_unit_test(test_a_label_without_a_clear_place_stays),
        cmocka_unit_test(test_ellipse_of_independent_axes),
        cmocka_unit_test(test_ellipse_turns_with_the_covariance),
        cmocka_unit_test(test_ballast_meets_the_target_when_it_is_put_there),
        cmocka_unit_test(test_without_a_target_it_is_the_aircraft_rule),
        cmocka_unit_test(test_nothing_is_needed_where_it_holds),
        cmocka_unit_test(test_no_amount_that_breaks_another_target),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
