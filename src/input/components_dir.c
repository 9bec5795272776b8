/* Where the component library is. */
#include "base/data_dir.h"
#include "poise/instrument.h"

char *poise_components_dir(void)
{
    return poise_data_dir("POISE_COMPONENTS", "components", POISE_INSTALLED_COMPONENTS);
}
