# SPDX-License-Identifier: GPL-3.0-or-later
# What each blower brings on this deck, and where its air goes.
#   gnuplot -c plots/blowers.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot blowers FILE -o OUT.svg` writes beside the picture, here in US
# units; with SI units the names end in _m3_min:
#   rank,name,label_cfm,kept_g_h,kept_g_h_low,kept_g_h_high,deck_cfm,bled_cfm,leaks_cfm,
#   full_throttle_cfm,throttle_percent
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-10].'common.gp'

stats DATA every ::0::0 using (VOLUME = strcol(3), 1) nooutput
stats DATA skip 1 using 1 nooutput name 'RANK'
stats DATA skip 1 using 6 nooutput name 'GOLD'
stats DATA skip 1 using 10 nooutput name 'AIR'
COUNT = RANK_records
SMALL = COUNT > 14 ? 10 : 13

set yrange [COUNT+0.6:0.4]
FACES = face(SMALL); FACE14 = face(14)
set ytics scale 0 font FACES noenhanced
set tmargin at screen 0.80
set bmargin at screen 0.21
set style fill solid 0.85 border linecolor rgb '#404040'

set label 2 'behind each bar: throttle' at screen 0.97,0.825 right font FACE14
set multiplot
set lmargin at screen 0.30
set rmargin at screen 0.60
set xrange [0:1.05*GOLD_max]
GSTEP = 10.0**floor(log10(GOLD_max > 0 ? GOLD_max/4 : 1)); GPART = GOLD_max/4/GSTEP
GTICS = (GPART > 5 ? 10 : GPART > 2 ? 5 : GPART > 1 ? 2 : 1) * GSTEP
set xtics GTICS out
set xlabel 'gold kept (g/h)' offset 0,0.3
set label 1 'smallest label first' at screen 0.02,0.825 left font FACE14
unset key
plot DATA skip 1 using 4:1:5:6:yticlabels(sprintf('%s, %.4g', strcol(2), $3)) with xerrorbars pointtype 7 pointsize 1.2 linewidth 2.5 linecolor rgb BLUE notitle

unset label 101; unset label 102; unset label 103; unset label 104; unset label 1; unset label 2
set lmargin at screen 0.64
set rmargin at screen 0.97
set ytics format '' ; set format y ''
set xrange [0:1.2*AIR_max]
ATICS = AIR_max > 1000 ? 500 : AIR_max > 400 ? 200 : AIR_max > 100 ? 100 : AIR_max > 20 ? 10 : 5
set xtics ATICS
set xlabel 'air of the blower ('.unit(VOLUME).')' offset 0,0.3
unset key
# A key wider than the panel: drawn by hand.
array KIND[4] = ['through the deck', 'bled by the gate', 'leaks', 'throttled off']
array COLOUR[4] = [ORANGE, SKY, GREY, '#FFFFFF']
array LEFT[4] = [0.08, 0.33, 0.57, 0.72]
do for [k=1:4] {
  set object 10+k rectangle from screen LEFT[k],0.035 to screen LEFT[k]+0.03,0.06 fillcolor rgb COLOUR[k] fillstyle solid 0.85 border linecolor rgb '#404040'
  set label 10+k KIND[k] at screen LEFT[k]+0.04,0.0475 left font FACE16
}
bar = 0.36
plot DATA skip 1 using 7:1:(0):7:($1-bar):($1+bar) with boxxyerror fillcolor rgb ORANGE notitle, \
     '' skip 1 using 7:1:7:($7+$8):($1-bar):($1+bar) with boxxyerror fillcolor rgb SKY notitle, \
     '' skip 1 using 7:1:($7+$8):($7+$8+$9):($1-bar):($1+bar) with boxxyerror fillcolor rgb GREY notitle, \
     '' skip 1 using 7:1:($7+$8+$9):10:($1-bar):($1+bar) with boxxyerror fillcolor rgb '#FFFFFF' notitle, \
     '' skip 1 using 10:1:($11 > 0 ? sprintf(' %.0f %%', $11) : ' stalls') with labels left font FACES notitle
unset multiplot
