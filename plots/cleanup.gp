# SPDX-License-Identifier: GPL-3.0-or-later
# The riffles from one cleaning on: how they fill and what is kept, and what cleaning at each
# interval brings.
#   gnuplot -c plots/cleanup.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot cleanup FILE -o OUT.svg` writes beside the picture:
#   after_min,fill_percent,kept_now_percent,.._low,.._high,kept_percent,.._low,.._high,
#   kept_g_h,.._low,.._high,best_min,good_from_min,good_to_min
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-10].'common.gp'

stats DATA skip 1 using 1 nooutput name 'TIME'
stats DATA skip 1 using 12 nooutput name 'BEST'
stats DATA skip 1 using 13 nooutput name 'FROM'
stats DATA skip 1 using 14 nooutput name 'TO'
stats DATA skip 1 using 11 nooutput name 'HIGH'
stats DATA skip 1 using 9 nooutput name 'GOLD'
# What matters lies within a few best intervals.
LAST = TIME_max < 4 * BEST_max ? TIME_max : 4 * BEST_max

set xrange [0:LAST]
set lmargin at screen 0.11
set rmargin at screen 0.97
set style fill solid 0.25 noborder
set arrow 1 from BEST_max, graph 0 to BEST_max, graph 1 nohead dashtype '-' linewidth 2 linecolor rgb BLACK front

set multiplot
set tmargin at screen 0.80
set bmargin at screen 0.50
set yrange [0:104]
set ytics 25 out
set xtics out format ''
set ylabel 'share (%)' offset 1,0
FACE14 = face(14)
set key at screen 0.54,0.85 center top horizontal maxcols 4 Left reverse samplen 2 width -4 font FACE14
plot DATA skip 1 using 1:4:5 with filledcurves fillcolor rgb ORANGE notitle, \
     '' skip 1 using 1:3 with lines linewidth 4 linecolor rgb RED title 'kept just then', \
     '' skip 1 using 1:2 with lines linewidth 3 dashtype '-' linecolor rgb GREY title 'pockets filled', \
     '' skip 1 using 1:6 with lines linewidth 4 linecolor rgb BLUE title 'kept since the cleaning'

unset label 101; unset label 102; unset label 103; unset label 104
set tmargin at screen 0.44
set bmargin at screen 0.15
set yrange [0:1.05 * (HIGH_records > 0 ? HIGH_max : GOLD_max)]
set ytics auto out
set xtics format '%g'
set xlabel 'running time between cleanings (min)' offset 0,0.3
set ylabel 'gold (g/h of shift)' offset 1,0
set object 1 rectangle from FROM_max, graph 0 to TO_max, graph 1 fillcolor rgb GREEN fillstyle transparent solid 0.2 noborder back
set label 1 sprintf('best: %.0f min; green: within 1 %% of it; shaded above: kept just then', BEST_max) at screen 0.97,0.468 right font FACE14 front
unset key
plot DATA skip 1 using 1:10:11 with filledcurves fillcolor rgb SKY fillstyle transparent solid 0.25 notitle, \
     '' skip 1 using 1:9 with lines linewidth 4 linecolor rgb BLUE notitle
unset multiplot
