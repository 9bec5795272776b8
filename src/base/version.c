#include "poise/version.h"

const char *poise_version(void)
{
    return POISE_VERSION;
}
