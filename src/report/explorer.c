#include "report/assets.h"
#include "report/parts.h"

PoiseStatus poise_sheet_explorer(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults)
{
    (void)doc;
    (void)s;
    (void)faults;
    return POISE_OK;
}
