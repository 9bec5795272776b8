/* The sections of the build sheet, one function each. */
#ifndef POISE_REPORT_PARTS_H
#define POISE_REPORT_PARTS_H

#include "report/report.h"

/* sheet_balance.c */
void poise_sheet_head(PoiseDoc *doc, const PoiseSheetSource *s);
void poise_sheet_balance(PoiseDoc *doc, const PoiseSheetSource *s);
void poise_sheet_doubt(PoiseDoc *doc, const PoiseSheetSource *s);
/* sheet_pictures.c */
PoiseStatus poise_sheet_pictures(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults);
/* sheet_print.c */
void poise_sheet_print(PoiseDoc *doc, const PoiseSheetSource *s);
void poise_sheet_pours(PoiseDoc *doc, const PoiseSheetSource *s);
/* sheet_bench.c */
void poise_sheet_shopping(PoiseDoc *doc, const PoiseSheetSource *s);
void poise_sheet_assembly(PoiseDoc *doc, const PoiseSheetSource *s);
/* sheet_remedies.c */
void poise_sheet_remedies(PoiseDoc *doc, const PoiseSheetSource *s);
/* sheet_trust.c */
void poise_sheet_assumptions(PoiseDoc *doc, const PoiseSheetSource *s);
void poise_sheet_cautions(PoiseDoc *doc, const PoiseSheetSource *s);
PoiseStatus poise_sheet_inputs(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults);
/* explorer.c: for HTML; nothing when the program was built without it */
PoiseStatus poise_sheet_explorer(PoiseDoc *doc, const PoiseSheetSource *s, PoiseFaults *faults);

#endif
