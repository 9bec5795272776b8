# Masses as sorted bars. The names stand left of the axis, so labels may leave the plotted area there.
unset ytics
set border 1 linecolor rgb RULE
set grid xtics linecolor rgb RULE linewidth 0.5
set output OUTPUT
plot DATA index 'bars-body' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb MASS fillstyle solid noborder, \
     DATA index 'bars-neck' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb '#b08d57' fillstyle solid noborder, \
     DATA index 'bars-parts' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb '#93a3ab' fillstyle solid noborder, \
     DATA index 'estimates' using ($1/2):2:($1/2):3 with boxxyerror fillcolor rgb '#ffffff' fillstyle solid border linecolor rgb MASS linewidth 1.2, \
     DATA index 'doubts' using 1:2:3 with xerrorbars pointtype 0 pointsize 0.6 linecolor rgb INK linewidth 1.4, \
     DATA index 'names' using (XLO):1:2 with labels right offset char -1,0 font face(TEXT_PX) textcolor rgb INK, \
     DATA index 'amounts' using 1:2:3 with labels left offset char 0.8,0 font face(SMALL_PX) textcolor rgb MUTED
