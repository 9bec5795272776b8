/* What the pictures of the instrument itself have in common. */
#ifndef POISE_PLOT_SCENE_H
#define POISE_PLOT_SCENE_H

#include "plot/notes.h"
#include "plot/plot.h"
#include "plot/shapes.h"
#include "plot/sheet.h"

typedef struct PoiseScene {
    const PoiseInstrument *in;
    const PoiseWeighing *w;
    const PoisePlotOptions *options;
    PoiseSheet *sheet;
    PoiseNotes *notes;
    PoiseAxes axes;
    PoisePose pose;
    PoisePlotShapes shapes; /* in the picture's coordinates */
    double min[2], max[2];  /* what the picture has to show */
} PoiseScene;

/* The area of a mass's circle: r = this · √(mass in g), mm; 100 g is a disc of 40 mm. */
#define POISE_CIRCLE_MM 2.0

/* Carries the solids into the picture: at the neck angle (hanging) or as a plan, from the tail post
 * if there is one. Shows them, the posts and the centre of mass. Free with poise_scene_clear(). */
PoiseStatus poise_scene_make(PoiseScene *scene, const PoiseInstrument *in, const PoiseWeighing *w,
                             bool hanging, PoiseFaults *faults);
void poise_scene_clear(PoiseScene *scene);

/* A point of the file in the picture. */
void poise_scene_point(const PoiseScene *scene, const double r_mm[3], double at[2]);
/* Grows what is shown by a point ± margin. */
void poise_scene_show(PoiseScene *scene, const double at[2], double margin_mm);
/* Likewise by the circles of all masses. */
void poise_scene_show_masses(PoiseScene *scene);

/* Blocks that all of them have: fills and edges of the solids, "masses" (x, y, radius), "posts". */
void poise_scene_solids(PoiseScene *scene);
void poise_scene_masses(PoiseScene *scene);
void poise_scene_posts(PoiseScene *scene);
/* "tail post" and "horn post" beside them. */
void poise_scene_name_posts(PoiseScene *scene);

/* "Linnet, no battery: 1.38 kg ± 0.03 kg", or the name alone */
void poise_plot_subtitle(PoiseText *out, const PoiseWeighing *w, bool with_mass);
/* The strap's verdict as a headline: in words, without a full stop. */
void poise_plot_verdict(PoiseText *out, const PoiseWeighing *w);
/* The leg's likewise; there must be a seat. */
void poise_plot_seat_verdict(PoiseText *out, const PoiseWeighing *w);
/* The block "words": title, subtitle and the names of the axes, one a line. Empties the two texts;
 * one that failed makes the sheet fail. */
void poise_plot_words(PoiseSheet *sheet, PoiseText *title, PoiseText *subtitle, const char *across,
                      const char *up);

/* The views; each fills the sheet. POISE_E_USAGE with a fault when the file lacks what it shows. */
typedef PoiseStatus PoiseViewMaker(const PoiseInstrument *in, const PoiseWeighing *w,
                                   const PoisePlotOptions *options, PoiseSheet *sheet,
                                   PoiseNotes *notes, PoiseFaults *faults);
PoiseViewMaker poise_view_side, poise_view_front, poise_view_window, poise_view_ballast,
    poise_view_budget;

#endif
