# SPDX-License-Identifier: GPL-3.0-or-later
# Map of black sand: bands and contours, ranked flags, next places, old workings, the wash.
#   gnuplot -c plots/streaks.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold streaks READINGS --map OUT.svg` writes beside the picture
# (OUT.svg.csv), here in feet; in metres the names end in _m:
#   kind,x_ft,y_ft,x2_ft,y2_ft,value,text
# A circle of 15 m (49.2 ft) is drawn about old workings.
# Kinds: frame (two corners; value 1 when x and y are the file's own, 0 when they count from the
# middle of the places), legend (value: number of a band, text: where it begins), band (a
# rectangle, value: its band), contour and cut (a piece of a line), wash (value: its direction, degrees from north), flag
# (text: its rank), reading (the other flags), next (text: its letter), workings.
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4

# As tall as the ground needs, within bounds: above it 128 pixels for text, below it 212.
set datafile separator comma
GROUND = 0.6
if (DATA ne '') { stats DATA every ::1::1 using (GROUND = ($5-$3) / ($4-$2), 1) nooutput }
TALL = 340 + int(774 * (GROUND < 0.3 ? 0.3 : GROUND > 0.95 ? 0.95 : GROUND))
# A long ground from south to north stays in the middle.
WIDE = GROUND > 0.95 ? 0.86 * 0.95 / GROUND : 0.86
up(pixels) = pixels / (TALL + 0.0)
down(pixels) = 1 - up(pixels)
load ARG0[1:strlen(ARG0)-10].'common.gp'

stats DATA every ::0::0 using (HEADING = strcol(2), 1) nooutput
UNIT = strstrt(HEADING, '_ft') ? 'ft' : 'm'
# Each kind by itself.
# A kind without a row would have no table: each begins with a row far outside.
$BAND << EOD
1e12 1e12 1e12 1e12 0
EOD
$CONTOUR << EOD
1e12 1e12 0 0
EOD
$CUT << EOD
1e12 1e12 0 0
EOD
$WASH << EOD
1e12 1e12 0 0
EOD
$READING << EOD
1e12 1e12 0 0
EOD
$FLAG << EOD
1e12 1e12 0 0
EOD
$NEXT << EOD
1e12 1e12 0 0
EOD
$WORKINGS << EOD
1e12 1e12 0 0
EOD
set table $FRAME
plot DATA skip 1 using 2:3:4:5:6 with table if (strcol(1) eq 'frame')
set table $BAND append
plot DATA skip 1 using 2:3:4:5:6 with table if (strcol(1) eq 'band')
set table $CONTOUR append
plot DATA skip 1 using 2:3:($4-$2):($5-$3) with table if (strcol(1) eq 'contour')
set table $CUT append
plot DATA skip 1 using 2:3:($4-$2):($5-$3) with table if (strcol(1) eq 'cut')
set table $WASH append
plot DATA skip 1 using 6 with table if (strcol(1) eq 'wash')
set table $READING append
plot DATA skip 1 using 2:3 with table if (strcol(1) eq 'reading')
set table $FLAG append
plot DATA skip 1 using 2:3:(strcol(7)) with table if (strcol(1) eq 'flag')
set table $NEXT append
plot DATA skip 1 using 2:3:(strcol(7)) with table if (strcol(1) eq 'next')
set table $WORKINGS append
plot DATA skip 1 using 2:3 with table if (strcol(1) eq 'workings')
unset table
LEVELS = ''; BANDS = 0; WASHES = 0; WORKINGS = 0; READINGS = 0; X = 0; Y = 0
stats DATA skip 1 using (strcol(1) eq 'legend' ? (LEVELS = LEVELS.' '.strcol(7), BANDS = BANDS + 1, 1) : 1) nooutput
stats DATA skip 1 using (WASHES = WASHES + (strcol(1) eq 'wash'), WORKINGS = WORKINGS + (strcol(1) eq 'workings'), READINGS = READINGS + (strcol(1) eq 'reading'), 1) nooutput
set datafile separator whitespace
stats $FRAME using (X0 = $1, Y0 = $2, X1 = $3, Y1 = $4, OWN = $5 > 0, 1) nooutput

# From degrees the axes count from the corner, so that they can be paced.
EAST = OWN ? 0 : X0
NORTH = OWN ? 0 : Y0
set label 101 at screen 0.02,down(32)
set label 102 at screen 0.02,down(63)
set label 103 at screen 0.02,down(89)
set lmargin at screen 0.545-WIDE/2
set rmargin at screen 0.545+WIDE/2
set bmargin at screen up(212)
set tmargin at screen down(122)
set size ratio -1
set xrange [X0-EAST:X1-EAST]
set yrange [Y0-NORTH:Y1-NORTH]
power(x) = 10.0**floor(log10(x))
round(x) = power(x) * (x/power(x) > 5 ? 10 : x/power(x) > 2 ? 5 : x/power(x) > 1 ? 2 : 1)
XSTEP = round((X1-X0) / (9*WIDE/0.86 > 4 ? 9*WIDE/0.86 : 4))
YSTEP = round((Y1-Y0) / (TALL > 700 ? 9 : 5))
set xtics XSTEP out
set ytics YSTEP out
set xlabel (OWN ? 'x, east ('.UNIT.')' : 'east of the corner ('.UNIT.')') offset 0,0.3
set ylabel (OWN ? 'y, north ('.UNIT.')' : 'north of the corner ('.UNIT.')') offset 0.3,0
set format '%.0f'
unset grid

# Light to dark, so that grey print tells the same.
set palette defined (0 '#FFFBEA', 0.2 '#FFEFBB', 0.45 '#F7CE6B', 0.65 '#DD9226', 0.83 '#9C4F14', 1 '#4A2408')
set cbrange [0:1]
unset colorbox
tone(band) = BANDS > 1 ? band / (BANDS - 1.0) : 0.3
side(band) = 0.115 + 0.86 * band / BANDS
do for [i=1:BANDS] {
  set object i rectangle from screen side(i-1),up(122) to screen side(i),up(147) fillcolor palette frac tone(i-1) fillstyle solid border linecolor rgb '#404040'
  if (i > 1) { set label 20+i word(LEVELS, i) at screen side(i-1),up(107) center font FACE16 noenhanced }
}
set style fill solid noborder

# The wash, for both ways alike: which is downstream the readings do not tell.
if (WASHES > 0) {
  stats $WASH using (X = sin($1*pi/180), Y = cos($1*pi/180), 1) nooutput
  set arrow 1 from screen 0.855-0.034*X,down(67)-up(31)*Y to screen 0.855+0.034*X,down(67)+up(31)*Y heads size screen 0.012,22 filled linewidth 3 linecolor rgb BLUE front
  set label 11 'wash' at screen 0.81,down(67) right font boldface(17) textcolor rgb BLUE
}
set arrow 2 from screen 0.955,down(98) to screen 0.955,down(46) head size screen 0.014,22 filled linewidth 2.5 linecolor rgb BLACK front
set label 12 'N' at screen 0.955,down(30) center font boldface(19)

# Points come out larger in SVG.
DOT = PX == 1.0 ? 0.6 : 1.0
DIAMOND = PX == 1.0 ? 0.42 : 1.0
SMALL = READINGS > 1000 ? 0.3 : READINGS > 200 ? 0.6 : 1.0
set key at screen 0.545,up(92) center top vertical maxrows 3 samplen 1.5 width 2 height 0.2 spacing 1.35 font FACE16
at(value, corner) = value - corner
plot $BAND using (at($1,EAST)):(at($2,NORTH)):(at($1,EAST)):(at($3,EAST)):(at($2,NORTH)):(at($4+0.1*($4-$2),NORTH)):(tone($5)) with boxxyerror linecolor palette notitle, \
     $CONTOUR using (at($1,EAST)):(at($2,NORTH)):3:4 with vectors nohead linewidth 0.8 linecolor rgb '#6B4A22' notitle, \
     $CUT using (at($1,EAST)):(at($2,NORTH)):3:4 with vectors nohead linewidth 3.2 linecolor rgb BLACK notitle, \
     NaN with lines linewidth 3.2 linecolor rgb BLACK title 'the cut', \
     $READING using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 0.85*SMALL*DOT linecolor rgb '#FFFFFF' notitle, \
     $READING using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 0.6*SMALL*DOT linecolor rgb '#303030' notitle, \
     NaN with points pointtype 7 pointsize 0.6*DOT linecolor rgb '#303030' title 'other flag', \
     $NEXT using (at($1,EAST)):(at($2,NORTH)) with points pointtype 13 pointsize 4.2*DIAMOND linecolor rgb '#FFFFFF' notitle, \
     $NEXT using (at($1,EAST)):(at($2,NORTH)) with points pointtype 13 pointsize 3.6*DIAMOND linecolor rgb BLUE notitle, \
     NaN with points pointtype 13 pointsize 2.4*DIAMOND linecolor rgb BLUE title 'A-E next reading', \
     $NEXT using (at($1,EAST)):(at($2,NORTH)):3 with labels font boldface(16) textcolor rgb 'white' notitle, \
     $FLAG using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 3.4*DOT linecolor rgb BLACK notitle, \
     $FLAG using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 2.9*DOT linecolor rgb '#FFFFFF' notitle, \
     NaN with points pointtype 6 pointsize 2.2*DOT linewidth 2 linecolor rgb BLACK title '1-10 dig first', \
     $FLAG using (at($1,EAST)):(at($2,NORTH)):3 with labels font boldface(17) textcolor rgb 'black' notitle, \
     $WORKINGS using (at($1,EAST)):(at($2,NORTH)):(UNIT eq 'ft' ? 49.2 : 15) with circles fillstyle empty border linecolor rgb '#C00000' linewidth 1.5 dashtype 2 notitle, \
     $WORKINGS using (at($1,EAST)):(at($2,NORTH)) with points pointtype 7 pointsize 4*DOT linecolor rgb '#FFFFFF' notitle, \
     $WORKINGS using (at($1,EAST)):(at($2,NORTH)) with points pointtype 2 pointsize 3*DOT linewidth 5 linecolor rgb '#C00000' notitle, \
     NaN with points pointtype 2 pointsize 2*DOT linewidth 4 linecolor rgb '#C00000' title (WORKINGS > 0 ? 'OLD WORKINGS: KEEP OUT' : '')
