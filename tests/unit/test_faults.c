/* The list of faults: what it says, where it stops, what is left when memory runs out. */
#include "check.h"

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"

static void reads(const PoiseFault *fault, const char *want)
{
    char *text = poise_fault_text(fault);
    assert_string_equal(text, want);
    poise_string_free(text);
}

static void says_where_and_what(void **state)
{
    (void)state;
    reads(&(PoiseFault){.status = POISE_E_INPUT,
                        .file = "a\033.json",
                        .line = 3,
                        .column = 7,
                        .pointer = "/items/x\n",
                        .found = "5",
                        .expected = "6",
                        .hint = "seven"},
          "a\\x1B.json:3:7: /items/x\\x0A: found 5, expected 6; seven");
    reads(&(PoiseFault){.status = POISE_E_IO, .file = "a"}, "a: cannot read or write");
    reads(&(PoiseFault){.status = POISE_E_INPUT, .pointer = "", .found = "x"},
          "(whole document): x");
}

/* The edge: the hundredth fault is the last that is listed. */
static void stops_at_the_limit(void **state)
{
    (void)state;
    PoiseFaults *faults = poise_faults_new();
    assert_non_null(faults);
    for (size_t i = 0; i < POISE_LIMIT_FAULTS; i++)
        poise_fault_say(faults, POISE_E_INPUT, "f", "fault %zu", i);
    assert_int_equal(poise_faults_count(faults), POISE_LIMIT_FAULTS);
    assert_null(poise_faults_get(faults, POISE_LIMIT_FAULTS));
    for (size_t i = 0; i < 12; i++)
        assert_int_equal(poise_fault_say(faults, POISE_E_MESH, "f", "more"), POISE_E_MESH);
    assert_int_equal(poise_faults_count(faults), POISE_LIMIT_FAULTS + 1);
    assert_int_equal(poise_faults_total(faults), POISE_LIMIT_FAULTS + 12);
    assert_string_equal(poise_faults_get(faults, POISE_LIMIT_FAULTS)->found, "… and 12 more");
    assert_string_equal(poise_faults_get(faults, POISE_LIMIT_FAULTS - 1)->found, "fault 99");
    assert_null(poise_faults_get(faults, POISE_LIMIT_FAULTS + 1));
    poise_fault_memory(faults);
    assert_string_equal(poise_faults_get(faults, POISE_LIMIT_FAULTS + 1)->found, "out of memory");
    assert_int_equal(poise_faults_total(faults), POISE_LIMIT_FAULTS + 13);
    assert_int_equal(poise_faults_status(faults), POISE_E_INPUT); /* of the first */
    poise_faults_free(faults);
}

static void survives_without_memory(void **state)
{
    (void)state;
    for (long at = 0; at < 8; at++) {
        PoiseFaults *faults = poise_faults_new();
        assert_non_null(faults);
        poise_alloc_fail_at(at, 1);
        PoiseStatus status = poise_fault_add(
            faults, &(PoiseFault){POISE_E_MESH, "f", 1, 1, "/p", "found", "expected", "hint"});
        poise_alloc_fail_at(-1, 0);
        assert_int_equal(status, POISE_E_MESH);
        assert_int_equal(poise_faults_count(faults), 1);
        assert_string_equal(poise_faults_get(faults, 0)->found, at < 6 ? "out of memory" : "found");
        poise_faults_free(faults);
    }
    poise_alloc_fail_at(0, 0);
    PoiseFaults *none = poise_faults_new();
    poise_alloc_fail_at(-1, 0);
    assert_null(none);
    poise_faults_free(NULL);
    assert_int_equal(poise_fault_memory(NULL), POISE_E_MEMORY);
    assert_int_equal(poise_fault_say(NULL, POISE_E_IO, "f", "nobody listens"), POISE_E_IO);
}

/* The exit codes are fixed: scripts depend on them. */
static void names_every_status(void **state)
{
    (void)state;
    static const int codes[] = {0, 2, 3, 4, 5, 3, 70, 70};
    for (int s = POISE_OK; s <= POISE_E_INTERNAL; s++) {
        assert_int_equal(poise_status_exit_code((PoiseStatus)s), codes[s]);
        assert_true(strlen(poise_status_name((PoiseStatus)s)) > 3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(says_where_and_what),
        cmocka_unit_test(stops_at_the_limit),
        cmocka_unit_test(survives_without_memory),
        cmocka_unit_test(names_every_status),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
