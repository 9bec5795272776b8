/** @file export.h  What the shared library shows to the outside. */
#ifndef POISE_EXPORT_H
#define POISE_EXPORT_H

#if defined(__GNUC__)
#define POISE_API __attribute__((visibility("default")))
#else
#define POISE_API
#endif

#endif
