/* Text in Markdown (CommonMark). */
#ifndef POISE_OUTPUT_MARKDOWN_H
#define POISE_OUTPUT_MARKDOWN_H

#include "base/text.h"

/* Text from a file, with the characters that Markdown or HTML would act on made inert. */
void poise_markdown_append(PoiseText *text, const char *from_file);

#endif
