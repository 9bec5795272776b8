# The instrument as it hangs.
set output OUTPUT
plot DATA index 'window' using 1:2 with filledcurves closed fillcolor rgb HOLDS fillstyle solid, \
     DATA index 'fill-body' using 1:2 with filledcurves closed fillcolor rgb BODY fillstyle solid, \
     DATA index 'edge-body' using 1:2 with lines linecolor rgb EDGE linewidth 1, \
     DATA index 'fill-pour' using 1:2 with filledcurves closed fillcolor rgb POUR fillstyle solid, \
     DATA index 'edge-pour' using 1:2 with lines linecolor rgb EDGE linewidth 0.7, \
     DATA index 'fill-neck' using 1:2 with filledcurves closed fillcolor rgb WOOD fillstyle solid, \
     DATA index 'edge-neck' using 1:2 with lines linecolor rgb EDGE linewidth 1, \
     DATA index 'masses' using 1:2:3 with circles fillcolor rgb MASS fillstyle transparent solid 0.30 border linecolor rgb MASS linewidth 0.8, \
     DATA index 'plumb' using 1:2 with lines linecolor rgb ACCENT linewidth 2 dashtype (12,6), \
     DATA index 'strap' using 1:2 with lines linecolor rgb INK linewidth 4, \
     DATA index 'shoulder' using 1:2 with points pointtype 7 pointsize 1.6 linecolor rgb INK, \
     DATA index 'posts' using 1:2 with points pointtype 7 pointsize 1.1 linecolor rgb INK, \
     DATA index 'force' using 1:2:3:4 with vectors filled head size screen 0.012,20,60 linecolor rgb ACCENT linewidth 3.5, \
     DATA index 'scale-mass' using 1:2:3 with circles fillcolor rgb MASS fillstyle transparent solid 0.30 border linecolor rgb MASS linewidth 0.8, \
     DATA index 'centre' using 1:2 with points pointtype 7 pointsize 2.2 linecolor rgb '#ffffff', \
     DATA index 'centre' using 1:2 with points pointtype 7 pointsize 1.6 linecolor rgb ACCENT, \
     DATA index 'leaders' using 1:2 with lines linecolor rgb RULE linewidth 1, \
     DATA index 'remarks' using 1:2:3 with labels center font SMALL textcolor rgb MUTED, \
     DATA index 'notes' using 1:2:3 with labels center font TEXT textcolor rgb INK, \
     DATA index 'accents' using 1:2:3 with labels center font TEXT textcolor rgb ACCENT
