# SPDX-License-Identifier: GPL-3.0-or-later
# What all pictures share.  A picture's script sets DATA, OUT, TITLE and SUBTITLE from its
# arguments and then loads this.

if (DATA eq '' || OUT eq '') exit error "usage: gnuplot -c SCRIPT.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]"

set encoding utf8
set datafile separator comma

# Height of a picture 900 wide; a script may have set another.
if (!exists('TALL')) TALL = 600

# The kind of picture follows from the ending.  PNG has twice the pixels, for print.
ENDING = strlen(OUT) > 4 ? OUT[strlen(OUT)-3:] : ''
if (ENDING eq '.svg' || ENDING eq '.SVG') {
  set terminal svg size 900,TALL dynamic enhanced font 'sans-serif,16' background rgb 'white'
} else { if (ENDING eq '.png' || ENDING eq '.PNG') {
  if (strstrt(GPVAL_TERMINALS, 'pngcairo') > 0) {
    set terminal pngcairo size 1800,2*TALL enhanced font 'Sans,12' fontscale 2 linewidth 2 pointscale 2 background rgb 'white'
  } else {
    set terminal png size 900,TALL enhanced font 'Sans,12' background rgb 'white'
  }
} else {
  exit error 'the picture must end in .svg or .png'
} }
# "-.svg" and "-.png" go to standard output.
if (strlen(OUT) > 5 || OUT[1:1] ne '-') set output OUT

# Sizes of text, in pixels of a picture 900 wide.
PX = (ENDING eq '.svg' || ENDING eq '.SVG') ? 1.0 : 0.75
face(size) = sprintf(',%.4g', size * PX)
boldface(size) = (PX == 1.0 ? 'sans-serif:Bold' : 'Sans:Bold').face(size)

# Okabe and Ito's colours, told apart by every kind of colour sight.
ORANGE = '#E69F00'; SKY = '#56B4E9'; GREEN = '#009E73'; YELLOW = '#F0E442'
BLUE = '#0072B2'; RED = '#D55E00'; PURPLE = '#CC79A7'; GREY = '#8A8A8A'; BLACK = '#000000'

# A title may hold anything: it is never taken for markup.  The lines of the subtitle are set one
# by one, since the space between lines differs from one kind of picture to the other.
BREAK = strstrt(SUBTITLE, "\n")
LINE1 = BREAK > 0 ? SUBTITLE[1:BREAK-1] : SUBTITLE
LINE2 = BREAK > 0 ? SUBTITLE[BREAK+1:] : ''
TITLE_FACE = PX == 1.0 ? face(25) : boldface(23)
set label 101 TITLE at screen 0.02,0.955 left font TITLE_FACE noenhanced front
set label 102 LINE1 at screen 0.02,0.907 left font face(16) noenhanced front textcolor rgb '#333333'
set label 103 LINE2 at screen 0.02,0.87 left font face(16) noenhanced front textcolor rgb '#333333'

set border 31 linewidth 1.2 linecolor rgb '#404040'
FACE16 = face(16)
set tics font FACE16 nomirror textcolor rgb 'black'
set xlabel font face(17) noenhanced
set ylabel font face(17) noenhanced
set key font FACE16 noenhanced
set grid linewidth 0.6 linecolor rgb '#CFCFCF' dashtype solid
set lmargin at screen 0.11
set rmargin at screen 0.97
set tmargin at screen 0.76
set bmargin at screen 0.25

# Size tics: millimetres below, ASTM E11 mesh above.
set macros
MM_TICS = "('0.01' 0.01, '0.02' 0.02, '0.05' 0.05, '0.1' 0.1, '0.2' 0.2, '0.5' 0.5, '1' 1, '2' 2, '5' 5, '10' 10, '20' 20, '50' 50)"
MESH_TICS = "('635' 0.020, '400' 0.038, '200' 0.075, '100' 0.150, '50' 0.300, '30' 0.600, '16' 1.18, '8' 2.36, '4' 4.75)"

# The left end of a row of mesh tics.
set label 104 '' at screen 0.02,(PX == 1.0 ? 0.808 : 0.799) left font face(16)

# The unit that the end of a column's name tells.
unit(name) = strstrt(name, '_inh2o') ? 'inH2O' : strstrt(name, '_pa') ? 'Pa' : \
             strstrt(name, '_cfm') ? 'cfm' : strstrt(name, '_m3_min') ? 'm3/min' : \
             strstrt(name, '_ft_s') ? 'ft/s' : strstrt(name, '_m_s') ? 'm/s' : \
             strstrt(name, '_mm') ? 'mm' : strstrt(name, '_in') ? 'in' : '?'
