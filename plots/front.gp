# The plan, with what each section weighs and where the whole balances.
set output OUTPUT
plot DATA index 'fill-body' using 1:2 with filledcurves closed fillcolor rgb BODY fillstyle solid, \
     DATA index 'edge-body' using 1:2 with lines linecolor rgb EDGE linewidth 1.4, \
     DATA index 'fill-pour' using 1:2 with filledcurves closed fillcolor rgb POUR fillstyle solid, \
     DATA index 'edge-pour' using 1:2 with lines linecolor rgb EDGE linewidth 1, \
     DATA index 'fill-neck' using 1:2 with filledcurves closed fillcolor rgb WOOD fillstyle solid, \
     DATA index 'edge-neck' using 1:2 with lines linecolor rgb EDGE linewidth 1.4, \
     DATA index 'masses' using 1:2:3 with circles fillcolor rgb MASS fillstyle transparent solid 0.30 border linecolor rgb MASS linewidth 0.8, \
     DATA index 'leaders' using 1:2 with lines linecolor rgb MUTED linewidth 1, \
     DATA index 'posts' using 1:2 with points pointtype 7 pointsize 1.1 linecolor rgb INK, \
     DATA index 'ray' using 1:2 with lines linecolor rgb ACCENT linewidth 0.8 dashtype (4,4), \
     DATA index 'lens' using 1:2:3 with circles fillcolor rgb '#ffffff' fillstyle solid border linecolor rgb MUTED linewidth 1, \
     DATA index 'lens' using 1:2 with points pointtype 1 pointsize 1.2 linecolor rgb ACCENT linewidth 1.5, \
     DATA index 'large' using 1:2 with lines linecolor rgb ACCENT linewidth 2, \
     DATA index 'centre' using 1:2 with points pointtype 7 pointsize 1.9 linecolor rgb '#ffffff', \
     DATA index 'centre' using 1:2 with points pointtype 7 pointsize 1.2 linecolor rgb ACCENT, \
     DATA index 'ellipse' using 1:2 with lines linecolor rgb ACCENT linewidth 1, \
     DATA index 'remarks' using 1:2:3 with labels center font SMALL textcolor rgb MUTED, \
     DATA index 'notes' using 1:2:3 with labels center font TEXT textcolor rgb INK, \
     DATA index 'accents' using 1:2:3 with labels center font TEXT textcolor rgb ACCENT
