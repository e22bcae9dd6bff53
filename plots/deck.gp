# SPDX-License-Identifier: GPL-3.0-or-later
# Concentration of one gold size over the depth of the moving bed and along the deck.
#   gnuplot -c plots/deck.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot deck FILE -o OUT.svg` writes beside the picture
# (OUT.svg.csv), here in US units; with SI units distance and height end in _mm:
#   part,distance_in,height_in,relative_concentration
# Parts: bed (an even grid, column after column, 1 is the concentration at the head), riffle
# (where each stands) and quiet strip (where it begins, up to its riffle).
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-7].'common.gp'

stats DATA every ::0::0 using (DISTANCE = strcol(2), HEIGHT = strcol(3), 1) nooutput
set table $BED
plot DATA skip 1 using 2:3:4 with table if (strcol(1) eq 'bed')
set table $RIFFLES
plot DATA skip 1 using 2 with table if (strcol(1) eq 'riffle')
set table $QUIET
plot DATA skip 1 using 2 with table if (strcol(1) eq 'quiet strip')
unset table
set datafile separator whitespace

stats $BED using 1 nooutput name 'X'
stats $BED using 2 nooutput name 'Z'
stats $BED using 3 nooutput name 'C'
stats $RIFFLES using 1 nooutput name 'R'
stats $QUIET using 1 nooutput name 'Q'
stats $BED using ($1 == X_min ? $2 : NaN) nooutput name 'LAYER'
LAYERS = LAYER_records
COLUMNS = X_records / LAYERS
DX = (X_max - X_min) / (COLUMNS - 1)
DZ = (Z_max - Z_min) / (LAYERS - 1)
TOP = Z_max + DZ/2
END = R_max
FLOOR = -0.2 * TOP

set lmargin at screen 0.11
set rmargin at screen 0.85
set bmargin at screen 0.22
set tmargin at screen 0.76
set xrange [0:END*1.012]
set yrange [FLOOR:TOP]
set xtics out
DECADE = 10**floor(log10(TOP))
set ytics 0,DECADE*(TOP/DECADE > 5 ? 2 : TOP/DECADE > 2.5 ? 1 : 0.5) out
set xlabel 'distance from the head of the deck ('.unit(DISTANCE).')' offset 0,0.2
set label 3 'height in the moving bed ('.unit(HEIGHT).')' at screen 0.022,0.49 center rotate font face(17)
unset grid

# Light to dark, so that grey print tells the same; over four decades at most.
set palette defined (0 '#FFFFFF', 0.25 '#FFF4CC', 0.5 '#FADB78', 0.7 '#E9A227', 0.87 '#A85A14', 1 '#4A2408')
LEAST = C_min > C_max * 1e-4 ? C_min : C_max * 1e-4
if (LEAST > C_max / 2) LEAST = C_max / 2
show(c) = c > LEAST ? c : LEAST
set logscale cb
set cbrange [LEAST:(C_max > 1 ? C_max : 1)]
set colorbox user origin screen 0.885,0.22 size screen 0.022,0.54
set cbtics ('10' 10, '5' 5, '2' 2, '1' 1, '0.5' 0.5, '0.2' 0.2, '0.1' 0.1, '0.05' 0.05, '0.02' 0.02, '0.01' 0.01, '0.005' 0.005, '0.002' 0.002, '0.001' 0.001) out scale 0.5 font FACE16
if (LEAST > 0.05) set cbtics add ('0.7' 0.7, '0.3' 0.3)
set label 1 'gold there (1: as at the head, log scale)' at screen 0.98,0.79 right font face(15)
set label 2 'black: riffles; grey: quiet strips before them (a sketch, not to scale)' at screen 0.48,0.05 center font face(15)
WIDE = 0.008 * END
QUIET = R_min - Q_min
set style fill solid noborder
plot $BED using 1:2:(show($3)) with image notitle, \
     $QUIET using 1:(FLOOR/2):1:($1+QUIET):(FLOOR):(0) with boxxyerror linecolor rgb '#C8C8C8' notitle, \
     $RIFFLES using 1:(FLOOR/2):($1-WIDE):1:(FLOOR):(0) with boxxyerror linecolor rgb 'black' notitle
