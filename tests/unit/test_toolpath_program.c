/* How a program is read: units, modes, retractions, comments, and what is refused. The line format
 * and the codes are those of the RepRap G-code convention and ISO 6983-1 (from memory). */
#include <stdlib.h>
#include <unistd.h>

#include "toolpath_help.h"

static void same_as(const char *text, const char *plain)
{
    PoiseToolpath a = read_text(text), b = read_text(plain);
    PoiseBody x = body_of(&a), y = body_of(&b);
    check_same_body(&x, &y, 1e-10);
}

static const char *PLAIN = "G21\nG90\nM82\nG1 X25.4 Y50.8 Z2.54\nG1 X50.8 E25.4\nG1 Y76.2 E50.8\n";

static void test_units_and_modes(void **state)
{
    (void)state;
    same_as("G20\nG90\nM82\nG1 X1 Y2 Z.1\nG1 X2 E1\nG1 Y3 E2\n", PLAIN);
    same_as("G20\nG90\nM83\nG1 X1 Y2 Z0.1\nG21\nG1 X50.8 E25.4\nG20 G1 Y3 E1\n", PLAIN);
    same_as("G90\nG1 X25.4 Y50.8 Z2.54\nG91\nM83\nG1 X25.4 E25.4\nG1 Y25.4 E25.4\n", PLAIN);
    /* an arc in inches */
    same_as("G20\nG0 X1 Y0 Z0\nG3 X-1 Y0 I-1 E1\n", "G0 X25.4 Y0 Z0\nG3 X-25.4 Y0 I-25.4 E25.4\n");
    PoiseToolpath t = read_text("G1 X0 Y0 Z0\nG1 X1 E1\n");
    assert_false(t.has_units);
}

/* G91 with M82, or G90 after M83: controllers differ, so such moves are told. */
static void test_doubtful_modes(void **state)
{
    (void)state;
    PoiseToolpath t = read_text("G1 X0 Y0 Z0\nM83\nG1 X5 E1\nG90\nG1 X10 E1\nM83\nG1 X15 E1\n");
    check_near(t.laid.volume_mm3, 3, 1e-12);
    assert_int_equal(t.doubtful_moves, 1);
    t = read_text("G1 X0 Y0 Z0\nM82\nG1 X5 E1\nG91\nG1 X5 E1\n");
    check_near(t.laid.volume_mm3, 2, 1e-12);
    assert_int_equal(t.doubtful_moves, 1);
    /* the usual farewell draws back only, and is not in doubt */
    t = read_text("G1 X0 Y0 Z0\nM82\nG1 X5 E1\nG91\nG1 Z5 E-2\nG90\n");
    assert_int_equal(t.doubtful_moves, 0);
}

static void test_set_position(void **state)
{
    (void)state;
    /* the place stays, its name changes */
    same_as("G1 X25.4 Y50.8 Z2.54\nG92 X0 Y0\nG92 E100\nG1 X25.4 E125.4\nG1 Y25.4 E150.8\n", PLAIN);
    same_as("G1 X25.4 Y50.8 Z2.54 E7\nG92 E0\nG1 X50.8 E25.4\nG92 E0\nG1 Y76.2 E25.4\n",
            "M83\nG1 X25.4 Y50.8 Z2.54 E0\nG1 X50.8 E25.4\nG1 Y76.2 E25.4\n");
    /* without words everything is 0 from here */
    same_as("G1 X25.4 Y50.8 Z2.54\nG92\nG1 X25.4 E25.4\nG1 Y25.4 E50.8\n", PLAIN);
    /* a place named before any move */
    same_as("G92 X25.4 Y50.8 Z2.54 E0\nG1 X50.8 E25.4\nG1 Y76.2 E50.8\n", PLAIN);
}

static void test_retraction(void **state)
{
    (void)state;
    PoiseToolpath t =
        read_text("M83\nG1 X0 Y0 Z1\nG1 X10 E5\nG1 E-0.8\nG0 X50\nG1 E0.8\nG1 X60 E5\n");
    check_near(t.laid.volume_mm3, 10, 1e-9);
    check_near(t.point_mm3, 0, 0);
    PoiseBody b = body_of(&t);
    check_centre(&b, 30, 0, 1, 1e-9);
    /* absolute, drawn back along a move, paid back in two steps */
    t = read_text("M82\nG1 X0 Y0 Z1\nG1 X10 E5\nG1 X9 E4\nG0 X50\nG1 E4.5\nG1 E5\nG1 X60 E10\n");
    check_near(t.laid.volume_mm3, 10, 1e-9);
    b = body_of(&t);
    check_centre(&b, 30, 0, 1, 1e-9);
    /* paid back while moving: 2 of 5 are owed, so the last 3/5 of the way get 3 */
    t = read_text("M83\nG1 X0 Y0 Z1\nG1 E-2\nG1 X10 E5\n");
    check_near(t.laid.volume_mm3, 3, 1e-12);
    b = body_of(&t);
    check_centre(&b, 7, 0, 1, 1e-12);
    check_near(t.path_mm, 6, 1e-12);
    check_near(b.inertia_gmm2[2][2], 3 * 36 / 12.0, 1e-12);
    /* the same on an arc: the last half of a half circle is a quarter circle */
    t = read_text("M83\nG1 X10 Y0 Z1\nG1 E-2\nG3 X-10 Y0 I-10 E4\n");
    b = body_of(&t);
    check_centre(&b, -20 / PI, 20 / PI, 1, 1e-12);
    /* more paid back than owed is a blob where it happens */
    t = read_text("M83\nG1 X0 Y0 Z1\nG1 X10 E5\nG1 E-1\nG0 X20\nG1 E3\n");
    check_near(t.laid.volume_mm3, 7, 1e-12);
    check_near(t.point_mm3, 2, 1e-12);
    b = body_of(&t);
    check_centre(&b, (5.0 * 5 + 2 * 20) / 7, 0, 1, 1e-12);
}

/* Laid, wasted and owed are all that was fed. */
static void test_balance(void **state)
{
    (void)state;
    char text[20000];
    size_t n = (size_t)snprintf(text, sizeof text, "M83\nG1 X0 Y0 Z1\n");
    unsigned seed = 7;
    double net = 0, low = 0;
    for (int i = 0; i < 300; i++) {
        seed = seed * 1664525U + 1013904223U;
        int e = (int)(seed >> 16) % 2000 - 700;
        n += (size_t)snprintf(text + n, sizeof text - n, "G1 X%d E%d.%03d\n", i % 7 * 10, e / 1000,
                              abs(e) % 1000);
        double fed = e / 1000 + (e < 0 && e > -1000 ? 1
                                 : e < 0            ? -1
                                                    : 1) *
                                    (abs(e) % 1000) / 1000.0;
        net += fed;
        low = fmax(low, net); /* plastic comes whenever the highest position so far is passed */
    }
    PoiseToolpathOptions options = {
        .filament_mm = UNIT_FILAMENT, .has_keep_box = true, .keep_box = {-1, -1, 31, 1}};
    PoiseToolpath t = read_with(text, &options);
    assert_true(t.waste_mm3 > 0);
    check_near(t.laid.volume_mm3 + t.waste_mm3, low, 1e-9);
    check_near(t.filament_mm, low, 1e-9);
}

static void test_comments_and_strangers(void **state)
{
    (void)state;
    same_as("; G20 G91 M83 G92 X5\n"
            "G21 ; G20\n"
            "(G20) G90 (G91)\n"
            "M82 (M83)\n"
            "  g1 x25.4y50.8z2.54;E100\n"
            "M117 G1 X99 E99 (never closed\n"
            "SET_SOMETHING E=5 X=7\n"
            "EXCLUDE NAME=x\n"
            "M104 S200\n"
            "%\n"
            "\xC3\xA9 G1 X9 E9\n"
            "\n"
            "\t \r\n"
            "G1 X 50.8 (X0) E25.4(E99)H7\n"
            "T1\n"
            "G11\nM106 S255\n"
            "G1 F300\n"
            "Y76.2 E50.8\r\n", /* the kind of move stays */
            PLAIN);
    PoiseToolpath t = read_text("T0\nT1 E5\nG1 X0 Y0 Z0\nG1 X1 E1");
    assert_int_equal(t.tool_changes, 2);
    assert_int_equal(t.lines, 4);
    check_near(t.laid.volume_mm3, 1, 1e-12);
    same_as("\xEF\xBB\xBFG20\nG90\nM82\nG1 X1 Y2 Z.1\nG1 X2 E1\nG1 Y3 E2\n", PLAIN);
}

/* Words touch, and E is never a power of ten. */
static void test_numbers(void **state)
{
    (void)state;
    same_as("G1X10Y20Z1\nG1X20E5", "G1 X10 Y20 Z1\nG1 X20 E5\n");
    same_as("G1 X+10. Y20.000000000000000000000 Z0001\nG1 X.2e1 Y-0.0",
            "G1 X10 Y20 Z1\nG1 X.2 Y0 E1");
    PoiseToolpath t = read_text("G1 X0.1 Y-0.30000000000000004 Z0\nG1 X8.7654321 E1");
    check_near(t.min_mm[0], 0.1, 0);
    check_near(t.min_mm[1], -0.30000000000000004, 0);
    check_near(t.max_mm[0], 8.7654321, 0);
}

/* Numbered lines with checksums, as the RepRap G-code page prints them (from memory; worked again:
 * exclusive or of the bytes before the asterisk). */
static void test_checksums(void **state)
{
    (void)state;
    read_text("N3 T0*57\nN4 G92 E0*67\nN5 G28*22\nN6 G1 F1500.0*82\nN7 G1 X2.0 Y2.0 F3000.0*85\n"
              "N8 G1 X3.0 Y3.0*33\nG1 Z1\nG1 X9 E1\n");
    read_text("G1 X0 Y0 Z1*5\nG1 X9 E1 ; 3*4\n"); /* no N: not for checking */
}

static void test_flow_and_time(void **state)
{
    (void)state;
    PoiseToolpath t = read_text("G1 X0 Y0 Z0\nM221 S95\nG1 X10 E10\nM221 S100\nM83\nG1 X20 E10\n");
    check_near(t.laid.volume_mm3, 19.5, 1e-12);
    t = read_text(
        "G92 X0 Y0 Z0\nM83\nG1 F600 X10 E1\nM220 S200\nG1 X20 E1\nG4 P500\nG4 S2\nG1 E5\n");
    check_near(t.seconds_at_least, 1 + 0.5 + 2.5 + 0.25, 1e-12);
}

static bool right_half(const double at_mm[3], void *context)
{
    ++*(int *)context;
    return at_mm[0] > 50;
}

static void test_keeping(void **state)
{
    (void)state;
    static const char *text = "M83\nG1 X0 Y0 Z.2\nG1 X100 E1\nG1 X110 Y10\nG1 X120 E2\n"
                              "G1 Z.4\nG1 X60 E4\nG1 E8\n";
    PoiseToolpathOptions o = {.filament_mm = UNIT_FILAMENT};
    PoiseToolpath t = read_with(text, &o);
    check_near(t.laid.volume_mm3, 15, 1e-12);
    assert_int_equal(t.layers, 2);
    check_near(t.layer_mm, 0.2, 1e-12);
    o.exclude_below_z = 0.3;
    t = read_with(text, &o);
    check_near(t.laid.volume_mm3, 12, 1e-12);
    check_near(t.waste_mm3, 3, 1e-12);
    check_near(t.low_mm3, 3, 1e-12);
    check_near(t.above_mm3, 0, 0);
    o = (PoiseToolpathOptions){
        .filament_mm = UNIT_FILAMENT, .has_keep_box = true, .keep_box = {0, -1, 100, 10}};
    t = read_with(text, &o);
    check_near(t.laid.volume_mm3, 13, 1e-12);
    check_near(t.above_mm3, 0, 0); /* no top is given */
    o.has_top = true;
    o.top_z = 0.3;
    o.keep_box[2] = 50.0; /* keeps the first bead, loses one below the top and two above it */
    t = read_with(text, &o);
    check_near(t.laid.volume_mm3, 1, 1e-12);
    check_near(t.waste_mm3, 14, 1e-12);
    check_near(t.above_mm3, 12, 1e-12);
    o.keep_box[2] = 100.0;
    t = read_with(text, &o);
    check_near(t.max_mm[0], 120, 0); /* a move is kept whole, by its middle */
    int asked = 0;
    o = (PoiseToolpathOptions){.filament_mm = UNIT_FILAMENT, .keep = right_half, .context = &asked};
    t = read_with(text, &o);
    check_near(t.laid.volume_mm3, 14, 1e-12);
    check_near(t.kept_mm, 14, 1e-12);
    check_near(t.filament_mm, 15, 1e-12);
    assert_int_equal(asked, 4);
    /* half a layer down */
    o = (PoiseToolpathOptions){.filament_mm = UNIT_FILAMENT, .layer_mm = 0.2};
    t = read_with("G1 X0 Y0 Z.2\nG1 X100 E1\n", &o);
    PoiseBody b = body_of(&t);
    check_centre(&b, 50, 0, 0.1, 1e-12);
}

/* From a place the program never stated nothing is part of the part. */
static void test_unplaced(void **state)
{
    (void)state;
    PoiseToolpath t =
        read_text("G28\nG1 E3\nG1 Y-3 Z.2\nG1 X60 E9\nG92 E0\nG1 X10 Y10\nG1 X20 E1\n");
    check_near(t.laid.volume_mm3, 1, 1e-12);
    check_near(t.waste_mm3, 9, 1e-12);
    check_near(t.unplaced_mm3, 9, 1e-12);
}

static void refuse(const char *text, size_t line, const char *saying)
{
    PoiseToolpathOptions options = {.filament_mm = 1.75};
    PoiseToolpath t;
    PoiseFaults *faults = poise_faults_new();
    PoiseStatus status = poise_toolpath_parse(text, strlen(text), "part", &options, &t, faults);
    if (status != POISE_E_MESH)
        print_error("accepted: %s\n", text);
    assert_int_equal(status, POISE_E_MESH);
    assert_int_equal(poise_faults_count(faults), 1);
    const PoiseFault *fault = poise_faults_get(faults, 0);
    assert_int_equal(fault->line, line);
    assert_string_equal(fault->file, "part");
    assert_non_null(fault->expected);
    char *whole = poise_fault_text(fault);
    if (!strstr(whole, saying))
        print_error("\"%s\" does not say \"%s\"\n", whole, saying);
    assert_non_null(strstr(whole, saying));
    poise_string_free(whole);
    poise_faults_free(faults);
}

static void test_refusals(void **state)
{
    (void)state;
    refuse("", 0, "no move that lays plastic");
    refuse("G1 X0 Y0 Z0\nG1 X5\nG1 E-5\nG1 E-1\n", 0, "no move that lays plastic");
    refuse("G28\nG1 X5 E5\n", 0, "X, Y and Z");
    refuse("G20 G21\n", 1, "one unit");
    refuse("M200 D1.75\nG1 X1 E1", 1, "filament lengths");
    refuse("G1 X0\nG1 X1O Y5\n", 2, "O"); /* a letter O for a nought: Y5 stands, O is bare */
    refuse("G1 X\n", 1, "X without a number");
    refuse("G1 Xnan\n", 1, "without a number");
    refuse("G1 X1 E\n", 1, "E without a number");
    refuse("G1 X1 X2\n", 1, "each letter once");
    refuse("G1 X#101\n", 1, "\"#\"");
    refuse("G1 X[1+2]\n", 1, "\"[\"");
    refuse("G1 X12000\n", 1, "found X12000, expected a place within 10000 mm");
    refuse("G91\nG1 X9000\nG1 X9000\n", 3, "X9000");
    refuse("G20\nG1 Y394\n", 2, "Y394");
    refuse("G1 Z99999999999999999999999999999999999999999999999\n", 1, "Z9999");
    refuse("G1 E99999999\n", 1, "10 km");
    refuse("G92 X20000\n", 1, "X20000");
    refuse("G1 F-5 X1\n", 1, "feed rate");
    refuse("M221 S0\n", 1, "percentage");
    refuse("G4 P-5\n", 1, "dwell");
    refuse("X10\n", 1, "before any kind of move");
    refuse("G0 G1 X1\n", 1, "two kinds of move");
    refuse("G92 G1 X1\n", 1, "share the line's words");
    refuse("G5 I1 J2 P3 Q4 X5 Y6 E1\n", 1, "spline");
    refuse("G90.1\n", 1, "arc middles");
    refuse("G92.1\n", 1, "G92 alone");
    refuse("/G1 X5 E1\n", 1, "\"/\"");
    refuse("(open\nG1 X1\n", 1, "not closed");
    refuse("N8 G1 X3.0 Y3.0*34\n", 1, "checksum 33");
    refuse("N8 G1 X3.1 Y3.0*33\n", 1, "wrong checksum");
    refuse("G1 X1\x01\n", 1, "byte 1");
}

static void test_impossible_arcs(void **state)
{
    (void)state;
    refuse("G1 X0 Y0\nG2 X10 E1\n", 2, "without I, J or R");
    refuse("G1 X0 Y0\nG2 X10 I5 R5 E1\n", 2, "both");
    refuse("G1 X0 Y0\nG2 X10 R4 E1\n", 2, "half the chord, 5 mm");
    refuse("G1 X0 Y0\nG2 R4 E1\n", 2, "two ends apart");
    refuse("G1 X0 Y0\nG2 X10 I0 J0 E1\n", 2, "radius above 0");
    refuse("G1 X0 Y0\nG2 X10 I4 E1\n", 2, "at most 0.05 mm");
    refuse("G1 X0 Y0\nG2 X10 I50000 E1\n", 2, "10000");
    refuse("G1 X0 Y0\nG2 X10 R999999999999999999999999999999999999999999999 E1\n", 2, "10000");
    refuse("G1 X0 Y0\nG2 X10 J-999999999999999999999999999999999999999999999 E1\n", 2, "10000");
    refuse("G1 X0 Y0\nG2 X10 I E1\n", 2, "I without a number");
    refuse("G1 X0 Y0\nG18\nG2 X10 I5 E1\n", 3, "another plane");
    refuse("G1 X0 Y0\nG2 X10 I5 P2 E1\n", 2, "one turn");
    /* what rounding to 0.01 mm does to an arc is not held against it */
    read_text("G1 X0 Y0 Z0\nG2 X10.01 I4.99 E1\n");
    read_text("G1 X0 Y0 Z0\nG2 X10.01 R5 E1\n");
}

static void test_overlong_line(void **state)
{
    (void)state;
    static char text[6000];
    size_t n = (size_t)snprintf(text, sizeof text, "G1 X1");
    memset(text + n, ' ', 5000);
    refuse(text, 1, "overlong");
    memcpy(text, "G1 X1;", 6);
    memset(text + 6, 'x', 4000); /* a comment may be long */
    memcpy(text + 5000, "\nG1 Y0 Z0\nG1 X3 E1\n", 20);
    read_text(text);
}

static void test_options(void **state)
{
    (void)state;
    static const char *text = "G1 X0 Y0 Z0\nG1 X5 E1\n";
    const PoiseToolpathOptions bad[] = {
        {.filament_mm = 0},
        {.filament_mm = NAN},
        {.filament_mm = 1.75, .layer_mm = -1},
        {.filament_mm = 1.75, .exclude_below_z = NAN},
        {.filament_mm = 1.75, .has_keep_box = true, .keep_box = {1, 0, 0, 1}},
    };
    PoiseToolpath t;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_int_equal(poise_toolpath_parse(text, strlen(text), "p", &bad[i], &t, NULL),
                         POISE_E_USAGE);
    PoiseToolpathOptions elsewhere = {
        .filament_mm = 1.75, .has_keep_box = true, .keep_box = {50, 50, 60, 60}};
    assert_int_equal(poise_toolpath_parse(text, strlen(text), "p", &elsewhere, &t, NULL),
                     POISE_E_MESH);
    check_near(t.waste_mm3, PI / 4 * 1.75 * 1.75, 1e-12);
}

/* Cut anywhere, or with any byte changed, a program is read or refused, never worse; the digits
 * that are read stay finite. The text is copied to a block of its own size, so that a sanitizer
 * sees any step past its end. */
static void test_damage(void **state)
{
    (void)state;
    static const char *text =
        "G21\nG90\nN4 G92 E0*67\nG1 X0 Y0 Z.2 F900\nG1 X10 E1 (a)\n"
        "G3 X0 Y10 I-10 J0 E2;b\nM83\nG2 X10 Y0 R10 E1.5\nG1 E-1\nT1\nM221 S90\n";
    static const char strange[] = {'\0', '\n', 'E', '-', '9', '(', '*', ';', '.', (char)0xFF};
    size_t size = strlen(text);
    PoiseToolpathOptions options = {.filament_mm = 1.75};
    for (size_t cut = 0; cut <= size; cut++) {
        char *copy = malloc(cut ? cut : 1);
        assert_non_null(copy);
        for (size_t k = 0; k < sizeof strange + 1; k++) {
            memcpy(copy, text, cut);
            if (k && cut)
                copy[cut - 1] = strange[k - 1];
            PoiseToolpath t;
            PoiseStatus status = poise_toolpath_parse(copy, cut, "part", &options, &t, NULL);
            assert_true(status == POISE_OK || status == POISE_E_MESH);
            assert_true(status || isfinite(t.laid.second_mm5[0]));
        }
        free(copy);
    }
}

static void test_file(void **state)
{
    (void)state;
    char name[] = POISE_TEST_BINARY_DIR "/toolpath-XXXXXX";
    int fd = mkstemp(name);
    assert_true(fd >= 0);
    static const char text[] = "G1 X0 Y0 Z1\r\nG1 X10 E5";
    assert_int_equal(write(fd, text, sizeof text - 1), sizeof text - 1);
    close(fd);
    PoiseToolpathOptions options = {.filament_mm = UNIT_FILAMENT};
    PoiseToolpath t;
    assert_int_equal(poise_toolpath_read(name, &options, &t, NULL), POISE_OK);
    check_near(t.laid.volume_mm3, 5, 1e-12);
    assert_int_equal(t.bytes, sizeof text - 1);
    assert_int_equal(t.lines, 2);
    unlink(name);
    assert_int_equal(poise_toolpath_read(name, &options, &t, NULL), POISE_E_IO);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_units_and_modes),
        cmocka_unit_test(test_doubtful_modes),
        cmocka_unit_test(test_set_position),
        cmocka_unit_test(test_retraction),
        cmocka_unit_test(test_balance),
        cmocka_unit_test(test_comments_and_strangers),
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_checksums),
        cmocka_unit_test(test_flow_and_time),
        cmocka_unit_test(test_keeping),
        cmocka_unit_test(test_unplaced),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_impossible_arcs),
        cmocka_unit_test(test_overlong_line),
        cmocka_unit_test(test_options),
        cmocka_unit_test(test_damage),
        cmocka_unit_test(test_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
