# SPDX-License-Identifier: GPL-3.0-or-later
# Map of black sand: bands and contours, ranked flags, next places, old workings, the wash.
#   gnuplot -c plots/streaks.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold streaks READINGS --map OUT.svg` writes beside the picture
# (OUT.svg.csv), here in feet; in metres the names end in _m:
#   kind,x_ft,y_ft,x2_ft,y2_ft,value,text
# Kinds: frame (two corners; value 1 when x and y are the file's own, 0 when they count from the
# middle of the places), legend (value: number of a band, text: where it begins), band (a
# rectangle, value: its band), contour and cut (a piece of a line), wash (a direction), flag
# (text: its rank), reading (the other flags), next (text: its letter), workings.
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
TALL = 900
load ARG0[1:strlen(ARG0)-10].'common.gp'

stats DATA every ::0::0 using (HEADING = strcol(2), 1) nooutput
UNIT = strstrt(HEADING, '_ft') ? 'ft' : 'm'
# Each kind by itself.
set table $FRAME
plot DATA skip 1 using 2:3:4:5:6 with table if (strcol(1) eq 'frame')
set table $BAND
plot DATA skip 1 using 2:3:4:5:6 with table if (strcol(1) eq 'band')
set table $CONTOUR
plot DATA skip 1 using 2:3:($4-$2):($5-$3) with table if (strcol(1) eq 'contour')
set table $CUT
plot DATA skip 1 using 2:3:($4-$2):($5-$3) with table if (strcol(1) eq 'cut')
set table $WASH
plot DATA skip 1 using 2:3 with table if (strcol(1) eq 'wash')
set table $READING
plot DATA skip 1 using 2:3 with table if (strcol(1) eq 'reading')
set table $FLAG
plot DATA skip 1 using 2:3:(strcol(7)) with table if (strcol(1) eq 'flag')
set table $NEXT
plot DATA skip 1 using 2:3:(strcol(7)) with table if (strcol(1) eq 'next')
set table $WORKINGS
plot DATA skip 1 using 2:3 with table if (strcol(1) eq 'workings')
unset table
LEVELS = ''; BANDS = 0; WASHES = 0; WORKINGS = 0; X = 0; Y = 0
stats DATA skip 1 using (strcol(1) eq 'legend' ? (LEVELS = LEVELS.' '.strcol(7), BANDS = BANDS + 1, 1) : 1) nooutput
stats DATA skip 1 using (WASHES = WASHES + (strcol(1) eq 'wash'), WORKINGS = WORKINGS + (strcol(1) eq 'workings'), 1) nooutput
set datafile separator whitespace
stats $FRAME using (X0 = $1, Y0 = $2, X1 = $3, Y1 = $4, OWN = $5, 1) nooutput

# From degrees the axes count from the corner, so that they can be paced.
EAST = OWN ? 0 : X0
NORTH = OWN ? 0 : Y0
set label 101 TITLE at screen 0.02,0.968
set label 102 SUBTITLE at screen 0.02,0.934 font face(17)
set lmargin at screen 0.115
set rmargin at screen 0.975
set bmargin at screen 0.29
set tmargin at screen 0.865
set size ratio -1
set xrange [X0-EAST:X1-EAST]
set yrange [Y0-NORTH:Y1-NORTH]
set xtics out
set ytics out
set xlabel (OWN ? 'x, east ('.UNIT.')' : 'east of the corner ('.UNIT.')') offset 0,0.3
set ylabel (OWN ? 'y, north ('.UNIT.')' : 'north of the corner ('.UNIT.')') offset 0.3,0
set format '%.0f'
unset grid

# Light to dark, so that grey print tells the same.
set palette defined (0 '#FFFDF4', 0.2 '#FFF0BF', 0.45 '#F7CE6B', 0.65 '#DD9226', 0.83 '#9C4F14', 1 '#4A2408') maxcolors BANDS
set cbrange [0:BANDS]
set colorbox horizontal user origin screen 0.115,0.165 size screen 0.86,0.028
set cbtics () out scale 0.5 font face(17)
do for [i=2:BANDS] { set cbtics add (word(LEVELS, i) i-1) }
set style fill solid noborder

# The wash, for both ways alike: which is downstream the readings do not tell.
if (WASHES > 0) {
  stats $WASH using (X = $1, Y = $2, 1) nooutput
  set arrow 1 from screen 0.93-0.034*X,0.905-0.034*Y to screen 0.93+0.034*X,0.905+0.034*Y heads size screen 0.012,22 filled linewidth 3 linecolor rgb BLUE front
  set label 11 'wash' at screen 0.885,0.905 right font boldface(17) textcolor rgb BLUE
}
set arrow 2 from screen 0.045,0.79 to screen 0.045,0.85 head size screen 0.014,22 filled linewidth 2.5 linecolor rgb BLACK front
set label 12 'N' at screen 0.045,0.868 center font boldface(19)

set key at screen 0.545,0.128 center top horizontal maxcols 3 samplen 1.5 width 2 height 0.2 spacing 1.35 font face(16)
at(value, corner) = value - corner
plot $BAND using (at($1,EAST)):(at($2,NORTH)):(at($1,EAST)):(at($3,EAST)):(at($2,NORTH)):(at($4,NORTH)):($5+0.5) with boxxyerror linecolor palette notitle, \
     $CONTOUR using (at($1,EAST)):(at($2,NORTH)):3:4 with vectors nohead linewidth 0.8 linecolor rgb '#6B4A22' notitle, \
     $CUT using (at($1,EAST)):(at($2,NORTH)):3:4 with vectors nohead linewidth 3.2 linecolor rgb BLACK notitle, \
     NaN with lines linewidth 3.2 linecolor rgb BLACK title 'the cut', \
     $READING using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 0.85 linecolor rgb '#FFFFFF' notitle, \
     $READING using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 0.6 linecolor rgb '#303030' notitle, \
     NaN with points pointtype 7 pointsize 0.6 linecolor rgb '#303030' title 'other flag', \
     $NEXT using (at($1,EAST)):(at($2,NORTH)) with points pointtype 13 pointsize 4.2 linecolor rgb '#FFFFFF' notitle, \
     $NEXT using (at($1,EAST)):(at($2,NORTH)) with points pointtype 13 pointsize 3.6 linecolor rgb BLUE notitle, \
     NaN with points pointtype 13 pointsize 2.4 linecolor rgb BLUE title 'A-E next reading', \
     $NEXT using (at($1,EAST)):(at($2,NORTH)):3 with labels font boldface(16) textcolor rgb 'white' notitle, \
     $FLAG using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 3.4 linecolor rgb BLACK notitle, \
     $FLAG using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 2.9 linecolor rgb '#FFFFFF' notitle, \
     NaN with points pointtype 6 pointsize 2.2 linewidth 2 linecolor rgb BLACK title '1-10 dig first', \
     $FLAG using (at($1,EAST)):(at($2,NORTH)):3 with labels font boldface(17) textcolor rgb 'black' notitle, \
     $WORKINGS using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 4 linecolor rgb '#FFFFFF' notitle, \
     $WORKINGS using (at($1,EAST)):(at($2,NORTH)) with points pointtype 2 pointsize 3 linewidth 5 linecolor rgb '#C00000' notitle, \
     NaN with points pointtype 2 pointsize 2 linewidth 4 linecolor rgb '#C00000' title (WORKINGS > 0 ? 'OLD WORKINGS: KEEP OUT' : '')
