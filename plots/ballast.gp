# Grams of ballast needed at each place: the darker, the fewer.
set output OUTPUT
plot DATA index 'outline' using 1:2 with filledcurves closed fillcolor rgb '#ffffff' fillstyle solid, \
     DATA index 'shade-6' using 1:2 with filledcurves closed fillcolor rgb '#eef4f5' fillstyle solid, \
     DATA index 'shade-5' using 1:2 with filledcurves closed fillcolor rgb '#dbe9ec' fillstyle solid, \
     DATA index 'shade-4' using 1:2 with filledcurves closed fillcolor rgb '#c3dbe0' fillstyle solid, \
     DATA index 'shade-3' using 1:2 with filledcurves closed fillcolor rgb '#a6cad3' fillstyle solid, \
     DATA index 'shade-2' using 1:2 with filledcurves closed fillcolor rgb '#86b6c3' fillstyle solid, \
     DATA index 'shade-1' using 1:2 with filledcurves closed fillcolor rgb '#649fb0' fillstyle solid, \
     DATA index 'hatch' using 1:2 with lines linecolor rgb EDGE linewidth 0.8, \
     DATA index 'contours' using 1:2 with lines linecolor rgb INK linewidth 1, \
     DATA index 'edge-whole' using 1:2 with lines linecolor rgb EDGE linewidth 1.4, \
     DATA index 'leaders' using 1:2 with lines linecolor rgb MUTED linewidth 1, \
     DATA index 'posts' using 1:2 with points pointtype 7 pointsize 0.9 linecolor rgb INK, \
     DATA index 'centre' using 1:2 with points pointtype 7 pointsize 1.7 linecolor rgb '#ffffff', \
     DATA index 'centre' using 1:2 with points pointtype 7 pointsize 1.2 linecolor rgb INK, \
     DATA index 'places' using 1:2 with points pointtype 7 pointsize 2.0 linecolor rgb '#ffffff', \
     DATA index 'places' using 1:2 with points pointtype 6 pointsize 1.8 linecolor rgb ACCENT linewidth 2, \
     DATA index 'best' using 1:2 with points pointtype 7 pointsize 1.8 linecolor rgb ACCENT, \
     DATA index 'remarks' using 1:2:3 with labels center font SMALL textcolor rgb MUTED, \
     DATA index 'notes' using 1:2:3 with labels center font TEXT textcolor rgb INK, \
     DATA index 'accents' using 1:2:3 with labels center font TEXT textcolor rgb ACCENT
