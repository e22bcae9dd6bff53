# SPDX-License-Identifier: GPL-3.0-or-later
# Kept and each way of losing, by size of gold, stacked to 100 %.
#   gnuplot -c plots/loss.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot loss FILE -o OUT.svg` writes beside the picture (OUT.svg.csv):
#   lower_mm,upper_mm,size_mm,kept_percent,blown_off_percent,carried_percent,
#   shaken_out_percent,full_percent,stuck_percent,on_screen_percent
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-7].'common.gp'

stats DATA skip 1 using 1 nooutput name 'LOWER'
stats DATA skip 1 using 2 nooutput name 'UPPER'
stats DATA skip 1 using 10 nooutput name 'SCREEN'

set logscale x
set logscale x2
set xrange [LOWER_min:UPPER_max]
set x2range [LOWER_min:UPPER_max]
set yrange [0:100]
set xtics @MM_TICS out
set x2tics @MESH_TICS out offset 0,-0.3
set ytics 20 out
set xlabel 'gold size (mm, log scale)' offset 0,0.3
set label 104 'mesh'
set ylabel 'share of the gold of that size (%)' offset 1,0
unset grid
set grid ytics front

array NAME[7] = ['kept', 'blown off', 'carried over', 'shaken out', 'pockets full', 'stuck or in clods', 'left on the screen']
array COLOUR[7] = [ORANGE, SKY, BLUE, GREEN, PURPLE, GREY, '#303030']
array PATTERN[7] = [3, 5, 3, 2, 4, 1, 7]
KINDS = SCREEN_max > 0 ? 7 : 6
below(k) = k > 1 ? (sum [i=4:k+2] column(i)) : 0

# Very many classes have no room for lines between them.
EDGE = LOWER_records <= 60 ? 1 : 0.1
set key at screen 0.54,0.115 center top horizontal maxcols 4 Left reverse samplen 2 width -1 height 0.3
plot for [k=1:KINDS] DATA skip 1 using 3:(50):1:2:(below(k)):(below(k+1)) with boxxyerror \
       fillstyle pattern PATTERN[k] border linecolor rgb '#404040' fillcolor rgb COLOUR[k] linewidth EDGE title NAME[k], \
     DATA skip 1 using 3:($4 >= 7 ? $4/2 : NaN):(LOWER_records <= 16 ? sprintf('%.0f', $4) : '') \
       with labels font boldface(16) textcolor rgb 'black' notitle
