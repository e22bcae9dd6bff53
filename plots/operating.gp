# SPDX-License-Identifier: GPL-3.0-or-later
# What the blower gives at the box against what the box takes, with the gate.
#   gnuplot -c plots/operating.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot operating FILE -o OUT.svg` writes beside the picture
# (OUT.svg.csv), here in US units; with SI units the names end in _m3_min and _pa:
#   curve,volume_cfm,pressure_inh2o
# The curves: blower, blower at full throttle, gate as set, gate shut, gate open; and one
# point each: operating point, label volume.
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-12].'common.gp'

stats DATA every ::0::0 using (VOLUME = strcol(2), PRESSURE = strcol(3), 1) nooutput
pick(curve, n) = strcol(1) eq curve ? column(n) : NaN
stats DATA skip 1 using (pick('operating point', 2)) nooutput name 'FLOW'
stats DATA skip 1 using (pick('operating point', 3)) nooutput name 'BOX'
stats DATA skip 1 using (pick('label volume', 2)) nooutput name 'LABEL'
stats DATA skip 1 using (pick('blower', 3)) nooutput name 'SET'
stats DATA skip 1 using (pick('blower at full throttle', 2)) nooutput name 'FULL'

# Pressures go with the square of the volume: on a square-root scale the small ones can be seen
# beside the large.
WIDE = 1.05 * (LABEL_max > FULL_max ? LABEL_max : FULL_max)
HIGH = 1.12 * SET_max
set xrange [0:WIDE]
set yrange [0:HIGH]
set nonlinear y via sqrt(y) inverse y*y
set xtics out
set ytics (0) out
LAST = 0
do for [power=-2:5] { do for [step in '1 2 3 5'] {
  TIC = step * 10.0**power
  if (sqrt(TIC) - sqrt(LAST) > 0.07 * sqrt(HIGH)) { set ytics add (sprintf('%.6g', TIC) TIC); LAST = TIC }
} }
set bmargin at screen 0.265
set tmargin at screen 0.80
set xlabel 'air moved ('.unit(VOLUME).')' offset 0,0.3
set lmargin at screen 0.12
set label 2 'pressure in the box ('.unit(PRESSURE).', root scale)' at screen 0.028,0.53 center rotate font face(17)

set arrow 1 from LABEL_max, 0 to LABEL_max, HIGH nohead dashtype '.' linewidth 2.5 linecolor rgb GREY
set label 1 sprintf('operating point: %.3g %s at %.3g %s; dotted: the label, %.3g %s', BOX_max, unit(PRESSURE), FLOW_max, unit(VOLUME), LABEL_max, unit(VOLUME)) at screen 0.12,0.828 left font face(16)
set key at screen 0.54,0.14 center top horizontal maxcols 3 Left reverse samplen 3 width -3 height 0.3
plot DATA skip 1 using (pick('blower',2)):(pick('blower',3)) with lines linewidth 4 linecolor rgb BLACK title 'blower as set', \
     '' skip 1 using (pick('blower at full throttle',2)):(pick('blower at full throttle',3)) with lines dashtype '-' linewidth 2.5 linecolor rgb BLACK title 'blower, full throttle', \
     '' skip 1 using (pick('gate as set',2)):(pick('gate as set',3)) with lines linewidth 4 linecolor rgb ORANGE title 'box, gate as set', \
     '' skip 1 using (pick('gate shut',2)):(pick('gate shut',3)) with lines dashtype '-' linewidth 3 linecolor rgb BLUE title 'box, gate shut', \
     '' skip 1 using (pick('gate open',2)):(pick('gate open',3)) with lines dashtype '.-' linewidth 3 linecolor rgb GREEN title 'box, gate open', \
     '' skip 1 using (pick('operating point',2)):(pick('operating point',3)) with points pointtype 7 pointsize 1.8 linecolor rgb RED title 'operating point'
