/* Files that the build puts into the program. */
#ifndef POISE_REPORT_ASSETS_H
#define POISE_REPORT_ASSETS_H

#include <stddef.h>

extern const unsigned char POISE_SHEET_CSS[], POISE_EXPLORER_JS[], POISE_EXPLORER_WASM[];
/* The explorer's engine has size 0 when the compiler for it was missing. */
extern const size_t POISE_SHEET_CSS_SIZE, POISE_EXPLORER_JS_SIZE, POISE_EXPLORER_WASM_SIZE;

#endif
