# SPDX-License-Identifier: GPL-3.0-or-later
# Gold kept over two knobs: colours, hatched where the deck stalls, the best and the present place.
#   gnuplot -c plots/map.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot map FILE --knobs throttle,gate -o OUT.svg` writes beside the
# picture; the names of the columns tell the knobs and the aim:
#   part,throttle_percent,gate_percent,kept_mg_h,stall_percent
# Parts: map (an even grid, column after column), best and present (one point each).
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
TALL = 760
load ARG0[1:strlen(ARG0)-6].'common.gp'

stats DATA every ::0::0 using (ALONG = strcol(2), UP = strcol(3), AIM = strcol(4), 1) nooutput
set table $MAP
plot DATA skip 1 using 2:3:4:5 with table if (strcol(1) eq 'map')
set table $BEST
plot DATA skip 1 using 2:3:4 with table if (strcol(1) eq 'best')
set table $PRESENT
plot DATA skip 1 using 2:3 with table if (strcol(1) eq 'present')
unset table
set datafile separator whitespace

stats $MAP using 1 nooutput name 'X'
stats $MAP using 2 nooutput name 'Y'
stats $MAP using 3 nooutput name 'C'
stats $MAP using ($1 == X_min ? $2 : NaN) nooutput name 'ROW'
stats $PRESENT using 1 nooutput name 'NOWX'
stats $PRESENT using 2 nooutput name 'NOWY'
STEPS = ROW_records
DX = (X_max - X_min) / (STEPS - 1)
DY = (Y_max - Y_min) / (STEPS - 1)

axis(name) = strstrt(name, 'throttle') ? 'throttle (% of full speed)' : \
             strstrt(name, 'gate') ? 'gate open (%)' : \
             strstrt(name, 'slope') ? 'slope of the deck (degrees)' : \
             strstrt(name, '_lb_min') ? 'feed (lb/min)' : strstrt(name, 'feed') ? 'feed (kg/h)' : \
             strstrt(name, '_in') ? 'screen opening (in)' : 'screen opening (mm)'
HOURLY = strstrt(AIM, 'mg_h') > 0

set lmargin at screen 0.12
set rmargin at screen 0.84
set bmargin at screen 0.21
set tmargin at screen 0.80
# The present place may lie outside the range that was looked at.
low(a, b) = a < b ? a : b
high(a, b) = a > b ? a : b
set xrange [low(X_min - DX/2, NOWX_min - DX/2):high(X_max + DX/2, NOWX_max + DX/2)]
set yrange [low(Y_min - DY/2, NOWY_min - DY/2):high(Y_max + DY/2, NOWY_max + DY/2)]
set xtics out
set ytics out
set xlabel axis(ALONG) offset 0,0.2
set label 3 axis(UP) at screen 0.026,0.505 center rotate font face(17)
unset grid

# Light to dark, so that grey print tells the same.
set palette defined (0 '#FFFFFF', 0.25 '#FFF4CC', 0.5 '#FADB78', 0.7 '#E9A227', 0.87 '#A85A14', 1 '#4A2408')
# What is below half of the best is all the same: bad.
LEAST = 0.5 * C_max
show(c) = c > LEAST ? c : LEAST
set cbrange [LEAST:(C_max > 0 ? C_max : 1)]
set colorbox user origin screen 0.87,0.21 size screen 0.024,0.59
set cbtics out scale 0.5 format '%g' font FACE16
set label 1 (HOURLY ? 'gold kept (mg/h; white: half of the best, and less)' : 'gold kept (%; white: half of the best, and less)') at screen 0.98,0.825 right font face(15)

set style fill solid noborder
set key at screen 0.50,0.105 center top horizontal maxcols 2 width -4 Left reverse samplen 2 width 1 height 0.3
plot $MAP using 1:2:(show($3)) with image notitle, \
     $MAP using ($4 >= 50 ? $1 : NaN):2:($1-DX/2):($1+DX/2):($2-DY/2):($2+DY/2) with boxxyerror fillstyle transparent pattern 5 noborder linecolor rgb '#303030' title 'stalls in most runs', \
     $MAP using ($4 >= 5 && $4 < 50 ? $1 : NaN):2:($1-DX/2):($1+DX/2):($2-DY/2):($2+DY/2) with boxxyerror fillstyle transparent pattern 4 noborder linecolor rgb '#606060' title 'stalls in some (5 % and more)', \
     $BEST using 1:2 with points pointtype 7 pointsize 2.4 linecolor rgb 'white' notitle, \
     $BEST using 1:2 with points pointtype 7 pointsize 1.7 linecolor rgb BLUE title 'best', \
     $PRESENT using 1:2 with points pointtype 5 pointsize 2.2 linecolor rgb 'white' notitle, \
     $PRESENT using 1:2 with points pointtype 5 pointsize 1.5 linecolor rgb BLACK title 'as set now'
