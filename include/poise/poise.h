/** @file poise.h  Everything libpoise offers. */
#ifndef POISE_POISE_H
#define POISE_POISE_H

#include "poise/doubt.h"
#include "poise/instrument.h"
#include "poise/mesh.h"
#include "poise/moments.h"
#include "poise/section.h"
#include "poise/statics.h"
#include "poise/status.h"
#include "poise/version.h"
#include "poise/weigh.h"

#endif
