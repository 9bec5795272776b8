# Where the strap holds at each neck angle, and where the centre of mass is.
set xtics 10
set grid xtics ytics linecolor rgb RULE linewidth 0.5
set output OUTPUT
plot DATA index 'band-most' using 1:2:3 with filledcurves fillcolor rgb MAYBE fillstyle solid, \
     DATA index 'band-middle' using 1:2:3 with filledcurves fillcolor rgb HOLDS fillstyle solid, \
     DATA index 'band-least' using 1:2:3 with filledcurves fillcolor rgb SURE fillstyle solid, \
     DATA index 'band-file' using 1:2 with lines linecolor rgb MASS linewidth 1.5, \
     DATA index 'band-file' using 1:3 with lines linecolor rgb MASS linewidth 1.5, \
     DATA index 'playing' using 1:(YLO):(0):(YHI-YLO) with vectors nohead linecolor rgb INK linewidth 1 dashtype (3,4), \
     DATA index 'path' using 1:2 with lines linecolor rgb ACCENT linewidth 3, \
     DATA index 'leaders' using 1:2 with lines linecolor rgb MUTED linewidth 1, \
     DATA index 'settles' using 1:2 with points pointtype 7 pointsize 2.1 linecolor rgb ACCENT, \
     DATA index 'settles' using 1:2 with points pointtype 7 pointsize 1.2 linecolor rgb '#ffffff', \
     DATA index 'playing' using 1:2 with points pointtype 7 pointsize 2.1 linecolor rgb ACCENT, \
     DATA index 'remarks' using 1:2:3 with labels center font SMALL textcolor rgb MUTED, \
     DATA index 'notes' using 1:2:3 with labels center font TEXT textcolor rgb INK, \
     DATA index 'accents' using 1:2:3 with labels center font TEXT textcolor rgb ACCENT
