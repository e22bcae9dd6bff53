# SPDX-License-Identifier: GPL-3.0-or-later
# What each riffle holds of the gold of every size, in per cent of what came to the deck.
#   gnuplot -c plots/riffles.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot riffles FILE -o OUT.svg` writes beside the picture
# (OUT.svg.csv), one line for each size class and riffle:
#   lower_mm,upper_mm,size_mm,riffle,held_percent
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-10].'common.gp'

stats DATA skip 1 using 4 nooutput name 'RIFFLE'
stats DATA skip 1 using 5 nooutput name 'HELD'
stats DATA skip 1 using 1 nooutput name 'LOWER'
stats DATA skip 1 using 2 nooutput name 'UPPER'
RIFFLES = int(RIFFLE_max)
TOTAL_WIDTH = RIFFLES > 8 ? RIFFLES/8.0 : 1.0
stats DATA skip 1 using (log($2/$1)) nooutput name 'ROW'

# Numbers where there is room for them, else a scale of colours; dark cells have white numbers.
PIXELS = 600 * 0.635 * ROW_min / log(UPPER_max/LOWER_min)
TEXTS = PIXELS >= 17 && RIFFLES <= 14

set lmargin at screen 0.11
set rmargin at screen (TEXTS ? 0.93 : 0.80)
set bmargin at screen 0.155
set tmargin at screen 0.79
set logscale y
set yrange [LOWER_min:UPPER_max]
set xrange [0.5:RIFFLES+0.5+TOTAL_WIDTH]
set xtics 1,(RIFFLES > 16 ? 5 : 1),RIFFLES out scale 0.5
set xtics add ('all' RIFFLES+0.5+TOTAL_WIDTH/2)
set ytics @MM_TICS out
set logscale y2
set y2range [LOWER_min:UPPER_max]
set y2tics @MESH_TICS out
set xlabel 'riffle, counted from the head of the deck' offset 0,0.2
set ylabel 'gold size (mm, log scale)' offset 0.8,0
set label 1 'held by each riffle (% of the gold of that size that came past the screen)' at screen 0.11,0.815 left font face(15)
unset grid

# Light to dark, so that grey print tells the same.
set palette defined (0 '#FFFFFF', 0.02 '#FFF4CC', 0.15 '#FADB78', 0.4 '#E9A227', 0.7 '#A85A14', 1 '#4A2408')
HIGH = HELD_max > 0 ? HELD_max : 1
set cbrange [0:HIGH]
set colorbox user origin screen 0.92,0.155 size screen 0.022,0.635
set cbtics out scale 0.5 format '%g' font FACE16
set label 2 'mesh' at screen (TEXTS ? 0.985 : 0.86),0.815 right font face(15)
if (TEXTS) { unset colorbox } else { set label 3 '%' at screen 0.931,0.815 center font face(15) }
if (PIXELS >= 6) { set style fill solid border linecolor rgb '#9A9A9A' } else { set style fill solid noborder }

text(held) = TEXTS && held >= 0.5 ? sprintf('%.0f', held) : ''
ALL = 0
all(riffle, held) = (ALL = riffle == 1 ? held : ALL + held, PIXELS >= 17 && riffle == RIFFLES ? sprintf('%.0f', ALL) : '')
plot DATA skip 1 using 4:3:($4-0.5):($4+0.5):1:2:5 with boxxyerror fillcolor palette linewidth 0.8 notitle, \
     '' skip 1 using 4:3:($5 < 0.45*HIGH ? text($5) : '') with labels font face(15.5) textcolor rgb 'black' notitle, \
     '' skip 1 using 4:3:($5 >= 0.45*HIGH ? text($5) : '') with labels font face(15.5) textcolor rgb 'white' notitle, \
     '' skip 1 using (RIFFLES+0.5+TOTAL_WIDTH/2):3:(all($4, $5)) with labels font boldface(15.5) textcolor rgb 'black' notitle
