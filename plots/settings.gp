# SPDX-License-Identifier: GPL-3.0-or-later
# A card to take along: throttle, gate and feed for damp (down) and coarse (across) ground.
#   gnuplot -c plots/settings.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot settings FILE -o OUT.svg` writes beside the picture, grain by
# grain:
#   moisture_percent,grain,throttle_percent,gate,bucket_every,box_inh2o,kept_percent_low,
#   kept_percent_mid,kept_percent_high,stall_percent
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
if (DATA eq '' || OUT eq '') exit error "usage: gnuplot -c SCRIPT.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]"
set datafile separator comma
FINE = 0; MEDIUM = 0; COARSE = 0
stats DATA skip 1 using (FINE = strcol(2) eq 'fine' ? 1 : FINE, MEDIUM = strcol(2) eq 'medium' ? 1 : MEDIUM, COARSE = strcol(2) eq 'coarse' ? 1 : COARSE, 1) nooutput name 'ALL'
COLUMNS = FINE + MEDIUM + COARSE
ROWS = ALL_records / COLUMNS
TALL = 250 + 165 * ROWS
load ARG0[1:strlen(ARG0)-11].'common.gp'
stats DATA every ::0::0 using (BOX = strcol(6), 1) nooutput

# common.gp places its lines for a picture 600 high.
TOP(pixels) = 1.0 - pixels / (1.0 * TALL)
set label 101 TITLE at screen 0.02,TOP(30) left font (PX == 1.0 ? face(34) : boldface(31)) noenhanced front
set label 102 LINE1 at screen 0.02,TOP(70) left font face(22) noenhanced front textcolor rgb '#333333'
set label 103 LINE2 at screen 0.02,TOP(98) left font face(22) noenhanced front textcolor rgb '#333333'
unset label 104

place(grain) = grain eq 'fine' ? 0 : grain eq 'medium' ? FINE : FINE + MEDIUM
row(n) = -(int(n) % int(ROWS))
set lmargin at screen 0.115
set rmargin at screen 0.99
set tmargin at screen TOP(160)
set bmargin at screen 1.0 - TOP(80)
set xrange [-0.5:COLUMNS-0.5]
set yrange [0.5-ROWS:0.5]
unset xtics
unset ytics
unset grid
unset key
unset colorbox
set border 0
set palette defined (0 '#FFFFFF', 0.5 '#FFF4CC', 1 '#F6CF6B')
set cbrange [0:100]
set style fill solid border linecolor rgb '#404040'
set label 4 'In brackets: half of the gravel is finer. A model, unproven.' at screen 0.5,(1.0-TOP(55)) center font face(21) noenhanced
set label 2 'damp' at screen 0.055,TOP(147) center font face(22)
set label 3 sprintf('Box (%s): if it shows less, close the gate; if more, open it.', unit(BOX)) at screen 0.5,(1.0-TOP(26)) center font face(21) noenhanced
names = 'fine medium coarse'
sizes = '0.8 1.9 3.8'
do for [i=1:3] {
  shown = i == 1 ? FINE : i == 2 ? MEDIUM : COARSE
  if (shown) { set label 10+i sprintf('%s (%s mm)', word(names,i), word(sizes,i)) at place(word(names,i)), graph 1.0 offset 0,0.9 center font face(21) }
}
big = boldface(26)
plain = face(23)
# A cell's four lines, in parts of its height.
line(n, k) = row(n) + 0.34 - 0.225 * k
runs(s) = s < 100
plot DATA skip 1 using (place(strcol(2))):(row($0)):(place(strcol(2))-0.49):(place(strcol(2))+0.49):(row($0)-0.48):(row($0)+0.48):8 with boxxyerror fillcolor palette linewidth 1.2, \
     '' skip 1 using (-0.5):(strcol(2) eq (FINE ? 'fine' : MEDIUM ? 'medium' : 'coarse') ? row($0) : NaN):(sprintf('%g %%', $1)) with labels right offset -0.8,0 font big noenhanced, \
     '' skip 1 using (place(strcol(2))):(line($0,0)):(runs($10) ? sprintf('throttle %.0f %%', 5*floor($3/5+0.5)) : '') with labels center font big noenhanced, \
     '' skip 1 using (place(strcol(2))):(line($0,1)):(runs($10) ? 'gate '.strcol(4) : 'does not run:') with labels center font plain noenhanced, \
     '' skip 1 using (place(strcol(2))):(line($0,2)):(runs($10) ? 'bucket '.strcol(5) : 'dry it first') with labels center font plain noenhanced, \
     '' skip 1 using (place(strcol(2))):(line($0,3)):(runs($10) ? sprintf(strstrt(BOX, '_pa') ? 'box %.0f, keeps %.0f %%' : 'box %.1f, keeps %.0f %%', $6, $8) : '') with labels center font plain noenhanced
