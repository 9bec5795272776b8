/* The smallest use of the installed library: weigh a file and print one sentence. Built by
 * check_install.sh with pkg-config and with CMake. */
#include <poise/poise.h>
#include <stdio.h>

int main(int argc, char **argv)
{
    PoiseFaults *faults = poise_faults_new();
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *weighing = NULL;
    if (argc != 2 || !faults)
        return 2;
    PoiseStatus status = poise_instrument_read(argv[1], NULL, NULL, &instrument, faults);
    if (!status)
        status = poise_weigh(instrument, NULL, &weighing, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++) {
        char *line = poise_fault_text(poise_faults_get(faults, i));
        fprintf(stderr, "%s\n", line ? line : "out of memory");
        poise_string_free(line);
    }
    if (!status)
        printf("%s: %.0f g\n", weighing->name, weighing->total.mass_g);
    poise_weighing_free(weighing);
    poise_instrument_free(instrument);
    poise_faults_free(faults);
    return poise_status_exit_code(status);
}
