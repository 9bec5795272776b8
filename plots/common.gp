# What all pictures share: page, type, palette, axes. The lines above this file set DATA, OUTPUT,
# TERMINAL, the page in px (A5 across is 1120 px wide) and the ranges of the axes.

# A restrained palette, told apart by lightness first, so that it stays legible in grey and to
# colour-blind readers.
INK    = '#1c2730'   # text, strap, outlines
MUTED  = '#5c6870'   # small text, axes
RULE   = '#c9cfd2'   # grid, leaders
HOLDS  = '#cfe5ea'   # where the strap holds
SURE   = '#a8cfd9'   # where it holds in any case
MAYBE  = '#e9f3f5'   # where it may hold
BODY   = '#ece7dc'   # printed and solid
POUR   = '#b9cdd3'   # poured
WOOD   = '#d8c3a0'   # neck
EDGE   = '#8d8675'   # outlines of solids
MASS   = '#2d6487'   # masses
ACCENT = '#b8431f'   # what the picture is about
SECOND = '#7a8f3c'   # what it is compared with

if (TERMINAL eq 'svg') \
    set terminal svg noenhanced size WIDTH,HEIGHT font 'DejaVu Sans,'.sprintf('%g', TEXT_PX) \
        linewidth 1 background '#ffffff'
if (TERMINAL eq 'png') \
    set terminal pngcairo noenhanced size 1.5*WIDTH,1.5*HEIGHT font 'DejaVu Sans,'.sprintf('%g', TEXT_PX*0.75) \
        fontscale 1.5 linewidth 1.5 pointscale 1.5 background '#ffffff'
if (TERMINAL eq 'pdf') \
    set terminal pdfcairo noenhanced size 21cm,21.0*HEIGHT/WIDTH cm font 'DejaVu Sans,'.sprintf('%g', TEXT_PX*0.4) \
        fontscale 1 linewidth 1 pointscale 0.6 background '#ffffff'
if (TERMINAL eq 'qt')  set terminal qt noenhanced size WIDTH,HEIGHT font 'DejaVu Sans,11' title 'poise' persist
if (TERMINAL eq 'wxt') set terminal wxt noenhanced size WIDTH,HEIGHT font 'DejaVu Sans,11' title 'poise' persist
if (TERMINAL eq 'x11') set terminal x11 noenhanced size WIDTH,HEIGHT font 'DejaVu Sans,11' title 'poise' persist
if (TERMINAL eq 'aqua') set terminal aqua noenhanced size WIDTH,HEIGHT font 'DejaVu Sans,11' title 'poise'
if (TERMINAL eq 'windows') set terminal windows noenhanced size WIDTH,HEIGHT font 'DejaVu Sans,11' title 'poise'

set encoding utf8
set datafile separator tab
unset key
set samples 2
set format '%g'
set minussign

# Text sizes are in px of the page. Other terminals count in points at 96 to the inch; the PDF page is
# 210 mm wide, 595 points to 1120 px: 0.53 · 0.75.
POINTS = TERMINAL eq 'svg' ? 1.0 : TERMINAL eq 'pdf' ? 0.4 : 0.75
TEXT    = sprintf(',%g', TEXT_PX*POINTS)
SMALL   = sprintf(',%g', SMALL_PX*POINTS)
HEADING = sprintf('DejaVu Sans Bold,%g', TITLE_PX*POINTS)

# Words come from the data, so that no name ever stands in a script.
TITLE = ''; SUBTITLE = ''; ACROSS = ''; UP = ''
set table $unused
plot DATA index 'words' every ::0::0 using (TITLE = stringcolumn(1), 0):(0) with table, \
     DATA index 'words' every ::1::1 using (SUBTITLE = stringcolumn(1), 0):(0) with table, \
     DATA index 'words' every ::2::2 using (ACROSS = stringcolumn(1), 0):(0) with table, \
     DATA index 'words' every ::3::3 using (UP = stringcolumn(1), 0):(0) with table
unset table
set label 1 TITLE at screen LEFT/WIDTH, screen 1.0 - 30.0/HEIGHT left font HEADING textcolor rgb INK
set label 2 SUBTITLE at screen LEFT/WIDTH, screen 1.0 - 58.0/HEIGHT left font TEXT textcolor rgb MUTED
set xlabel ACROSS font SMALL textcolor rgb MUTED offset 0, (TERMINAL eq 'svg' ? 0.9 : 0.3)
set ylabel UP font SMALL textcolor rgb MUTED offset 0.4, 0

set lmargin at screen LEFT/WIDTH
set rmargin at screen 1.0 - RIGHT/WIDTH
set tmargin at screen 1.0 - TOP/HEIGHT
set bmargin at screen BOTTOM/HEIGHT
set xrange [XLO:XHI]
set yrange [YLO:YHI]
set border 3 linecolor rgb RULE linewidth 1
set xtics out nomirror font SMALL textcolor rgb MUTED
set ytics out nomirror font SMALL textcolor rgb MUTED
