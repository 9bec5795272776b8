# Masses as sorted bars. The names stand left of the axis, so labels may leave the plotted area there.
unset ytics
set border 1 linecolor rgb RULE
set grid xtics linecolor rgb RULE linewidth 0.5
set output OUTPUT
plot DATA index 'bars-body' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb MASS fillstyle solid noborder, \
     DATA index 'bars-neck' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb '#b08d57' fillstyle solid noborder, \
     DATA index 'bars-parts' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb '#c6cfd4' fillstyle solid noborder, \
     DATA index 'estimates' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb '#ffffff' fillstyle solid border linecolor rgb MASS linewidth 1.2, \
     DATA index 'doubts' using 1:2:3 with xerrorbars pointtype 0 pointsize 0.6 linecolor rgb INK linewidth 1.4, \
     DATA index 'names' using (XLO):1:2 with labels right offset char -1,0 font TEXT textcolor rgb INK, \
     DATA index 'amounts' using 1:2:3 with labels left offset char 0.8,0 font SMALL textcolor rgb MUTED, \
     DATA index 'key-body' using 1:2 with points pointtype 5 pointsize 1.6 linecolor rgb MASS, \
     DATA index 'key-body' using 1:2:3 with labels left offset char 1.4,0 font SMALL textcolor rgb INK, \
     DATA index 'key-neck' using 1:2 with points pointtype 5 pointsize 1.6 linecolor rgb '#b08d57', \
     DATA index 'key-neck' using 1:2:3 with labels left offset char 1.4,0 font SMALL textcolor rgb INK, \
     DATA index 'key-parts' using 1:2 with points pointtype 5 pointsize 1.6 linecolor rgb '#c6cfd4', \
     DATA index 'key-parts' using 1:2:3 with labels left offset char 1.4,0 font SMALL textcolor rgb INK
