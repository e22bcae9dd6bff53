# SPDX-License-Identifier: GPL-3.0-or-later
# Settling velocity against size, with the air of the deck that would lift.
#   gnuplot -c plots/settling.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot settling FILE -o OUT.svg` writes beside the picture
# (OUT.svg.csv), here in US units; with SI units the names end in _m_s:
#   size_mm,gold_flake_ft_s,gold_sphere_ft_s,magnetite_ft_s,quartz_ft_s,open_air_ft_s,
#   quiet_air_ft_s
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-11].'common.gp'

stats DATA every ::0::0 using (HEAD = strcol(2), 1) nooutput
stats DATA skip 1 using 1 nooutput name 'SIZE'
# A speed that is not known is an empty cell; no air is 0, which has no place on a log scale.
known(n) = valid(n) && column(n) > 0 ? column(n) : NaN
most(n) = known(n) > 0 ? column(n) : 0
least(n) = known(n) > 0 ? column(n) : 1e9
greater(a, b) = a > b ? a : b
smaller(a, b) = a < b ? a : b
stats DATA skip 1 using (greater(greater(most(2), most(3)), greater(most(4), most(5)))) nooutput name 'FAST'
stats DATA skip 1 using (smaller(smaller(least(2), least(3)), smaller(least(4), least(5)))) nooutput name 'SLOW'
stats DATA skip 1 using (most(6)) nooutput name 'OPEN'
stats DATA skip 1 using (most(7)) nooutput name 'QUIET'
LOW = QUIET_max > 0 && QUIET_max < SLOW_min ? QUIET_max : SLOW_min
HIGH = OPEN_max > FAST_max ? OPEN_max : FAST_max

set logscale xy
set logscale x2
set xrange [SIZE_min:SIZE_max]
set x2range [SIZE_min:SIZE_max]
set yrange [LOW/3:HIGH*1.3]
set xtics @MM_TICS out
set x2tics @MESH_TICS out offset 0,-0.3
set ytics ('0.005' 0.005, '0.01' 0.01, '0.02' 0.02, '0.05' 0.05, '0.1' 0.1, '0.2' 0.2, '0.5' 0.5, '1' 1, '2' 2, '5' 5, '10' 10, '20' 20, '50' 50, '100' 100, '200' 200) out
set label 104 'mesh'
set xlabel 'sieve size (mm, log scale)' offset 0,0.3
set ylabel 'speed of fall ('.unit(HEAD).', log scale)' offset 0.5,0

if (OPEN_max > 0) set label 1 'air of the open strips: lifts what falls slower' at SIZE_max,OPEN_max offset -1,0.75 right font face(15) textcolor rgb RED
if (QUIET_max > 0) set label 2 'air of the quiet strips' at SIZE_max,QUIET_max offset -1,-0.8 right font face(15) textcolor rgb '#A0487A'
set key at screen 0.54,0.12 center top horizontal maxcols 4 Left reverse samplen 3 width -2 height 0.3
plot DATA skip 1 using 1:(known(3)) with linespoints pointtype 7 pointinterval 9 linewidth 3 linecolor rgb ORANGE title 'gold, round', \
     '' skip 1 using 1:(known(2)) with linespoints pointtype 9 pointinterval 9 linewidth 3 linecolor rgb BLACK title 'gold, flake', \
     '' skip 1 using 1:(known(4)) with linespoints pointtype 5 pointinterval 9 linewidth 3 linecolor rgb BLUE title 'magnetite', \
     '' skip 1 using 1:(known(5)) with linespoints pointtype 13 pointinterval 9 linewidth 3 linecolor rgb GREEN title 'quartz', \
     '' skip 1 using 1:(known(6)) with lines dashtype '-' linewidth 3 linecolor rgb RED notitle, \
     '' skip 1 using 1:(known(7)) with lines dashtype '.-' linewidth 3 linecolor rgb PURPLE notitle
