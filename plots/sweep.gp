# Candidates: mass against hand load, filament as colour, light for little.
set palette defined (0 '#d9e6b8', 0.5 '#5d9a9c', 1 '#21314d')
set cbrange [FILAMENT_LO:FILAMENT_HI]
if (HAS_FILAMENT > 0) { set colorbox vertical user origin screen 1.0-96.0/WIDTH, screen 0.2 size screen 16.0/WIDTH, screen 0.5; \
    set cbtics font SMALL textcolor rgb MUTED; \
    set label 3 'filament, g' at screen 1.0-104.0/WIDTH, screen 0.74 left font SMALL textcolor rgb MUTED } \
else { unset colorbox }
set grid xtics ytics linecolor rgb RULE linewidth 0.5
set output OUTPUT
plot DATA index 'target' using 1:2 with filledcurves closed fillcolor rgb MAYBE fillstyle solid, \
     DATA index 'leaders' using 1:2 with lines linecolor rgb RULE linewidth 1, \
     DATA index 'front' using 1:2 with lines linecolor rgb ACCENT linewidth 2.5, \
     DATA index 'candidates' using 1:2 with points pointtype 7 pointsize 1.0 linecolor rgb MUTED, \
     DATA index 'candidates' using 1:2:3 with points pointtype 7 pointsize 0.85 linecolor palette, \
     DATA index 'front' using (MARK_FRONT > 0 ? $1 : NaN):2 with points pointtype 6 pointsize 1.3 linecolor rgb ACCENT linewidth 2, \
     DATA index 'front' using 1:(MARK_FRONT > 0 ? NaN : $2) with lines linecolor rgb ACCENT linewidth 2.5, \
     DATA index 'missed' using 1:2 with points pointtype 2 pointsize 1.2 linecolor rgb INK linewidth 1.5, \
     DATA index 'best' using 1:2 with points pointtype 6 pointsize 2.4 linecolor rgb ACCENT linewidth 2.5, \
     DATA index 'remarks' using 1:2:3 with labels center font SMALL textcolor rgb MUTED, \
     DATA index 'notes' using 1:2:3 with labels center font TEXT textcolor rgb INK, \
     DATA index 'accents' using 1:2:3 with labels center font TEXT textcolor rgb ACCENT
