/* What a printer's program lays: the first byte chooses options, the rest is the program. Nothing
 * laid may go missing: what is kept is at most what the filament holds. */
#include "fuzz.h"
#include "geometry/toolpath.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0)
        return 0;
    PoiseToolpathOptions options = {.filament_mm = 1.75,
                                    .layer_mm = data[0] & 1 ? 0.2 : 0.0,
                                    .exclude_below_z = data[0] & 2 ? 0.1 : 0.0,
                                    .has_keep_box = (data[0] & 4) != 0,
                                    .keep_box = {0, 0, 100, 100}};
    PoiseFaults *faults = poise_faults_new();
    REQUIRE(faults != NULL);
    PoiseToolpath path;
    PoiseStatus status = poise_toolpath_parse(data + 1, size - 1, "fuzz", &options, &path, faults);
    REQUIRE(status == POISE_OK || poise_faults_status(faults) == status);
    REQUIRE(status != POISE_E_INTERNAL);
    if (!status) {
        double section = 1.75 * 1.75 * 0.78539816339744831; /* mm², of the filament */
        double whole = section * path.filament_mm;
        REQUIRE(isfinite(path.laid.volume_mm3) && path.laid.volume_mm3 > 0.0);
        REQUIRE_NEAR(path.laid.volume_mm3 + path.waste_mm3, whole, 1e-6 * whole);
        REQUIRE(path.point_mm3 <= path.laid.volume_mm3 * (1.0 + 1e-9));
        REQUIRE(path.unplaced_mm3 <= path.waste_mm3 * (1.0 + 1e-9) + 1e-12);
        for (int i = 0; i < 3; i++)
            REQUIRE(path.min_mm[i] <= path.max_mm[i]);
    }
    for (size_t i = 0; i < poise_faults_count(faults); i++)
        poise_string_free(poise_fault_text(poise_faults_get(faults, i)));
    poise_faults_free(faults);
    return 0;
}
