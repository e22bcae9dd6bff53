# SPDX-License-Identifier: GPL-3.0-or-later
# Rain and what the sun takes above; below, the water in the ground against what the deck bears,
# and the chance that it is dry enough.
#   gnuplot -c plots/drying.gp DATA.csv OUT.svg|OUT.png ['TITLE' ['SUBTITLE']]
# DATA.csv is what `flourgold plot drying FILE --weather CSV -o OUT.svg` writes beside the
# picture (OUT.svg.csv), here in US units; with SI units rain and et0 end in _mm:
#   date,rain_in,et0_in,surface_percent,moisture_percent,limit_percent,chance_percent,given,ready,
#   even_odds,likely
DATA = ARG1; OUT = ARG2; TITLE = ARG3; SUBTITLE = ARG4
load ARG0[1:strlen(ARG0)-9].'common.gp'

DAY = 86400.0
when(n) = strptime('%Y-%m-%d', strcol(n))
stats DATA every ::0::0 using (RAIN = strcol(2), 1) nooutput
stats DATA skip 1 using (when(1)) nooutput name 'TIME'
stats DATA skip 1 using 2 nooutput name 'WET'
stats DATA skip 1 using 3 nooutput name 'SUN'
stats DATA skip 1 using 5 nooutput name 'DUG'
stats DATA skip 1 using 4 nooutput name 'TOP'
READY = 0; EVEN = 0; LIKELY = 0; LAST = TIME_min; LIMIT = -1; CHANCES = 0
stats DATA skip 1 using ($9 > 0.5 ? (READY = when(1), 1) : 0) nooutput
stats DATA skip 1 using ($10 > 0.5 ? (EVEN = when(1), 1) : 0) nooutput
stats DATA skip 1 using ($11 > 0.5 ? (LIKELY = when(1), 1) : 0) nooutput
stats DATA skip 1 using ($8 > 0.5 ? (LAST = when(1), 1) : 0) nooutput
stats DATA skip 1 using (valid(6) ? (LIMIT = $6, 1) : 0) nooutput
stats DATA skip 1 using (valid(7) ? (CHANCES = 1, 1) : 0) nooutput
AHEAD = TIME_max > LAST
# A line needs two days.
WITH = TIME_max > TIME_min ? 'lines' : 'points pointtype 7'

set multiplot
set xdata time
set timefmt '%Y-%m-%d'
set xrange [TIME_min-DAY/2:TIME_max+DAY/2]
# A tic a week, or every so many that some eight fit.
DAYS = (TIME_max - TIME_min) / DAY
STEP = DAYS <= 10 ? 1 : DAYS <= 20 ? 2 : DAYS <= 60 ? 7 : DAYS <= 120 ? 14 : 28
set xtics STEP*DAY out
if (AHEAD) {
  set object 1 rectangle from first LAST+DAY/2, graph 0 to graph 1, graph 1 behind fillcolor rgb '#F1EEE6' fillstyle solid noborder
}
set grid ytics noxtics

# ---- above: rain and sun ----
set rmargin at screen (CHANCES ? 0.89 : 0.97)
HIGH = WET_max > SUN_max ? WET_max : SUN_max
set tmargin at screen 0.80
set bmargin at screen 0.63
set yrange [0:HIGH*1.12]
set ytics HIGH > 20 ? 20 : HIGH > 8 ? 5 : HIGH > 2 ? 2 : HIGH > 0.8 ? 0.5 : HIGH > 0.3 ? 0.2 : HIGH > 0.12 ? 0.1 : 0.05
set ylabel unit(RAIN).' a day' offset 0.5,0
set format x ''
if (AHEAD) set label 1 'days ahead: no rain' at first LAST+DAY, graph 0.83 left font face(15) textcolor rgb '#555555'
set key at screen 0.97,0.835 right top horizontal samplen 2 width 1
set style fill solid 0.9 noborder
set boxwidth DAY*0.8 absolute
plot DATA skip 1 using 1:2 with boxes linecolor rgb BLUE title 'rain', \
     '' skip 1 using 1:3 with @WITH linewidth 3 linecolor rgb ORANGE title 'what the sun can take'

# ---- below: water in the ground, chance ----
unset label
unset title
set tmargin at screen 0.60
set bmargin at screen 0.21
set format x '%b %d'
# What matters happens near the deck's limit, far below fresh rain: a log scale.
HIGH = 1.5 * (DUG_max > TOP_max ? DUG_max : TOP_max)
if (LIMIT > HIGH/1.5) HIGH = 1.5 * LIMIT
LOW = DUG_min < TOP_min ? DUG_min : TOP_min
if (LIMIT > 0 && LIMIT < LOW) LOW = LIMIT
LOW = LOW > 0.04 ? LOW/1.3 : 0.03
set logscale y
set yrange [LOW:HIGH]
set ytics ('0.05' 0.05, '0.1' 0.1, '0.2' 0.2, '0.5' 0.5, '1' 1, '2' 2, '5' 5, '10' 10, '20' 20, '50' 50) out
set ylabel 'water, % of dry weight (log)' offset 0.5,0
if (CHANCES) {
  set y2range [0:100]
  set y2tics 25 out
  set y2label 'chance, %' offset -1,0 font face(17) noenhanced
}
# With chances the day that holds with 80 %, and lightly that of even odds before it.
late(day) = day > TIME_min + 0.6*(TIME_max-TIME_min)
if (CHANCES) READY = LIKELY
if (CHANCES && EVEN > 0 && EVEN != LIKELY) {
  set arrow 2 from first EVEN, graph 0 to first EVEN, graph 1 nohead linewidth 2 dashtype '-' linecolor rgb GREY
  WORDS = 'even odds: weigh first'
  if (late(EVEN)) {
    set label 3 WORDS at first EVEN, graph 0.82 right offset -0.7,0 font face(15) textcolor rgb '#555555' front
  } else {
    set label 3 WORDS at first EVEN, graph 0.82 left offset 0.7,0 font face(15) textcolor rgb '#555555' front
  }
}
if (READY > 0) {
  set arrow 1 from first READY, graph 0 to first READY, graph 1 nohead linewidth 3 linecolor rgb GREEN
  WORDS = CHANCES ? 'dry enough, 80 %' : 'dry enough'
  if (late(READY)) {
    set label 2 WORDS at first READY, graph 0.93 right offset -0.7,0 font boldface(16) textcolor rgb '#00785A' front
  } else {
    set label 2 WORDS at first READY, graph 0.93 left offset 0.7,0 font boldface(16) textcolor rgb '#00785A' front
  }
}
set key at screen 0.54,0.105 center top horizontal maxcols 4 Left reverse samplen 3 width -2 height 0.3
# A curve without a point would be an error.
LIMIT_CURVE = LIMIT > 0 ? "DATA skip 1 using 1:6 with ".WITH." dashtype '-' linewidth 3 linecolor rgb RED title 'most this deck bears', " : ''
CHANCE_CURVE = CHANCES ? ", DATA skip 1 using 1:7 axes x1y2 with ".WITH." dashtype '.-' linewidth 3 linecolor rgb BLUE title 'chance it is dry enough'" : ''
GROUND = "DATA skip 1 using 1:4 with ".WITH." linewidth 2.5 linecolor rgb ORANGE title 'on top', DATA skip 1 using 1:5 with ".WITH." linewidth 4.5 linecolor rgb BLACK title 'in what is dug'"
eval 'plot '.LIMIT_CURVE.GROUND.CHANCE_CURVE
unset multiplot
