/** @file version.h  The version of the library. */
#ifndef POISE_VERSION_H
#define POISE_VERSION_H

#include "poise/export.h"

#ifdef __cplusplus
extern "C" {
#endif

/** "MAJOR.MINOR.PATCH" */
POISE_API const char *poise_version(void);

#ifdef __cplusplus
}
#endif
#endif
