/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scenario/measuring.h"

#include <math.h>
#include <string.h>

#define DEG 0.017453292519943295
#define IN 0.0254
#define EIGHTH_INCH_WATER 31.13611
#define NONE NAN

const fg_measuring fg_measurings[] = {
    {"deck.empty_box_pressure", "deck.cloth_permeability", "empty_box_pressure = \"____ inH2O\"",
     "Clear tube, half full of water, bent to a U, one end sealed into a hole in the box. Empty "
     "deck, gate shut, full throttle: measure from one water level to the other. An inch of "
     "water is 1 inH2O.",
     "to 1/8 in of water, some 10 %", EIGHTH_INCH_WATER, 0.0, NONE, NONE},
    {"shaker.stroke", "shaker.unbalance", "stroke = \"____ in\"",
     "Tape paper to the running, loaded box. Touch it with a sharp pencil held still against a "
     "post. Photograph the line beside a ruler: its length, less the width of a dot.",
     "to 0.004 in (0.1 mm) on a magnified photo", 1e-4, 0.05, NONE, NONE},
    {"shaker.speed", "shaker.rated_speed", "speed = \"____ rpm\"",
     "While running, film the rotor or the box in slow motion and count the frames of ten turns: "
     "rpm = 600 x frames per second / frames. Or a phone tuner on the hum: rpm = 60 x Hz.",
     "to 3 %", 0.2, 0.03, NONE, NONE},
    {"ground.sieves", "ground.median_grain",
     "sieves = ((\"1/4 in\",\"__ g\"),(\"2 mm\",\"__ g\"),(\"0.6 mm\",\"__ g\"),(\"pan\",\"__ "
     "g\"))",
     "Dry a quart of gravel, shake it through kitchen sieves and window screen, coarsest first; "
     "weigh what stays on each and in the pan. Measure the openings with a ruler over ten wires.",
     "grain size to 10 %", 0.0, 0.0, NONE, NONE},
    {"ground.bucket_weight", "ground.bulk_density", "bucket_weight = \"____ lb\"",
     "Pour dry gravel into a bucket to the 5 gallon mark, do not tamp, weigh, take off the empty "
     "bucket. (5 gallons of water weigh 41.7 lb: that finds the mark.)",
     "to 3 %", 0.2, 0.03, NONE, NONE},
    {"ground.moisture", NULL, "moisture = \"____ %\"",
     "Weigh a pound of what passes the screen in a pan, dry it in an oven or over a fire until "
     "it loses no more, weigh again; calc moisture works it out.",
     "to 0.2 % with a kitchen scale", 0.0, 0.0, NONE, NONE},
    {"ground.clay", NULL, "clay = \"________\"   (none, trace, some or sticky)",
     "Wet a handful of fines and knead it. Falls apart: none. Holds a ball that breaks at a "
     "touch: trace. Presses into a ribbon under an inch: some. A longer ribbon: sticky. Or shake "
     "fines in a jar of water with a pinch of dish soap, let stand a day, and measure the three "
     "layers (jar_sand, jar_silt, jar_clay).",
     "words to a third, a jar to a quarter", 0.0, 0.0, NONE, NONE},
    {"ground.jar_sand", NULL, "jar_sand = \"____ in\"",
     "see ground.clay: the lowest layer, after a "
     "minute",
     "to 1/16 in", IN / 16.0, 0.0, NONE, NONE},
    {"ground.jar_silt", NULL, "jar_silt = \"____ in\"",
     "see ground.clay: the layer above the sand, "
     "after two hours",
     "to 1/16 in", IN / 16.0, 0.0, NONE, NONE},
    {"ground.jar_clay", NULL, "jar_clay = \"____ in\"",
     "see ground.clay: the uppermost layer, after "
     "a day",
     "to 1/16 in; it swells", IN / 16.0, 0.25, NONE, NONE},
    {"ground.magnetite", NULL, "magnetite = \"____ %\"",
     "Draw a magnet in a plastic bag through a weighed pound of dry fines until it brings no "
     "more; weigh what came.",
     "to a fifth", 0.0, 0.0, NONE, NONE},
    {"ground.swell", NULL, "swell = ____",
     "Dig a square hole, measure it, and count the level buckets that came out: volume of the "
     "buckets over volume of the hole (231 in3 a gallon).",
     "to 5 %", 0.0, 0.0, NONE, NONE},
    {"gold.thickness_ratio", NULL, "thickness_ratio = ____",
     "Count 50 or more flakes of one sieve size, weigh them together to 1 mg; calc flake works "
     "it out.",
     "to a fifth", 0.0, 0.0, NONE, NONE},
    {"gold.median_size", NULL, "median_size = \"____ mesh\"",
     "Sieve gold panned from the ground (not the tray's own catch): the sieve that parts its "
     "weight in halves.",
     "to one sieve", 0.0, 0.0, NONE, NONE},
    {"deck.slope", NULL, "slope = \"____ in/ft\"",
     "Lay a level a foot long on the deck, upper end touching; measure the gap under its lower "
     "end: inches per foot.",
     "to 1/8 in per ft", 0.0, 0.0, 16.0 * DEG, 24.0 * DEG},
    {"deck.riffle_height", NULL, "riffle_height = \"____ in\"",
     "Ruler from the cloth to the top "
     "of a riffle.",
     "to 1/16 in", 0.0, 0.0, 0.375 * IN, 0.75 * IN},
    {"deck.dead_air_share", NULL, "dead_air_share = \"____ %\"",
     "Of the distance from riffle to riffle, the part just upslope of a riffle where the board "
     "has no holes.",
     "to 3 %", 0.0, 0.0, NONE, NONE},
    {"screen.opening", NULL, "opening = \"____ in\"", "Inside width of one hole of the screen.",
     "to 1/32 in", 0.0, 0.0, 0.1875 * IN, 0.375 * IN},
    {"hose.kind", "hose.roughness", "kind = \"________\"   (smooth or ribbed)",
     "Feel inside the hose.", "to a half", 0.0, 0.0, NONE, NONE},
    {"hose.diameter", NULL, "diameter = \"____ in\"", "Inside, across the end.", "to 1/16 in", 0.0,
     0.0, 3.0 * IN, 5.0 * IN},
    {"gate.area", NULL, "area = \"____ in2\"", "Width times height of the fully open gate.",
     "to 5 %", 0.0, 0.0, 0.005, 0.012},
    {"run.throttle", NULL, "throttle = \"____ %\"",
     "Pitch of the blower's hum as a share of its pitch at full throttle, by a phone tuner.",
     "to 3 %", 0.0, 0.0, 0.65, 0.95},
    {"run.gate_opening", NULL, "gate_opening = \"____ %\"", "Open part of the gate over its whole.",
     "to 5 %", 0.0, 0.0, 0.3, 0.9},
    {"blower.label_derate", NULL, "label_derate = ____",
     "Fill a bag of known volume from the hose at full throttle and time it: true volume over the "
     "label's.",
     "to a tenth", 0.0, 0.0, NONE, NONE},
    {"observed.box_pressure", NULL, "box_pressure = \"____ inH2O\"",
     "The tube of water on the running, loaded box.", "to 1/8 in of water", EIGHTH_INCH_WATER, 0.0,
     NONE, NONE},
    {"observed.rotor_speed", NULL, "rotor_speed = \"____ rpm\"",
     "Slow motion or the pitch of the hum, as for shaker.speed.", "to 3 %", 0.2, 0.03, NONE, NONE},
    {"observed.bed_depth", NULL, "bed_depth = \"____ in\"",
     "Touch a thin ruler down to the standing sand between two riffles of the running deck.",
     "to 1/16 in", IN / 16.0, 0.15, NONE, NONE},
    {"observed.crossing_time", NULL, "crossing_time = \"____ s\"",
     "Paint ten pebbles as thick as the bed; time each from hopper to tail, take the mean.",
     "to a quarter", 0.5, 0.25, NONE, NONE},
    {"observed.gate_stop", NULL, "gate_stop = \"____ %\"",
     "Open the gate a little every minute until the gravel stops running.", "to a tenth", 0.10, 0.0,
     NONE, NONE},
    {"observed.full_minutes", NULL, "full_minutes = \"____ min\"",
     "From a cleaning until the black sand of the upper half of the riffles is level with their "
     "tops.",
     "to a quarter", 120.0, 0.25, NONE, NONE},
};

const size_t fg_measurings_count = sizeof fg_measurings / sizeof fg_measurings[0];

/* Clay by feel, each within its texture class of the US triangle when little of the rest is
 * silt: sand below 10 %, loamy sand below 15 %, sandy loam below 20 %, sandy clay loam 20 to
 * 35 %.  Source: Soil Science Division Staff, Soil Survey Manual, USDA Handbook 18, ch. 3. */
static const fg_word clay_words[] = {
    {"none", 0.02, 0.012, "a wet, kneaded handful falls apart"},
    {"trace", 0.06, 0.025, "holds a ball that breaks at a touch"},
    {"some", 0.13, 0.035, "presses out into a ribbon shorter than an inch"},
    {"sticky", 0.27, 0.045, "a longer ribbon; sticks to the fingers"},
    {NULL, 0.0, 0.0, NULL},
};

/* Readings, and what each gives a value to. */
static const struct {
  const char *key, *from;
} replaced[] = {
    {"deck.cloth_permeability", "deck.empty_box_pressure"},
    {"shaker.unbalance", "shaker.stroke"},
    {"shaker.rated_speed", "shaker.speed"},
    {"ground.median_grain", "ground.sieves"},
    {"ground.grain_spread", "ground.sieves"},
    {"ground.bulk_density", "ground.bucket_weight"},
    {"ground.clay", "ground.jar_clay"},
    {"hose.roughness", "hose.kind"},
};

const fg_measuring *fg_measuring_of(const char *key) {
  for (size_t i = 0; i < fg_measurings_count; ++i)
    if (strcmp(fg_measurings[i].key, key) == 0)
      return &fg_measurings[i];
  return NULL;
}

const fg_measuring *fg_measuring_for(const char *key) {
  const fg_measuring *own = fg_measuring_of(key);
  if (own)
    return own;
  for (size_t i = 0; i < sizeof replaced / sizeof replaced[0]; ++i)
    if (strcmp(replaced[i].key, key) == 0)
      return fg_measuring_of(replaced[i].from);
  if (strcmp(key, "deck.board_open_share") == 0)
    return fg_measuring_of("deck.empty_box_pressure");
  return NULL;
}

const fg_word *fg_setting_words(const char *key) {
  return strcmp(key, "ground.clay") == 0 ? clay_words : NULL;
}

bool fg_reading_absent(const fg_scenario *scenario, size_t row) {
  const fg_setting *setting = &fg_settings[row];
  if (scenario->origin[row] != FG_FROM_DEFAULT)
    return false;
  if (setting->type == FG_T_SIEVES || strcmp(setting->key, "hose.kind") == 0)
    return true;
  return setting->type == FG_T_NUMBER && !setting->required && isnan(setting->standard) &&
         !setting->standard_text;
}

const char *fg_setting_from(const fg_scenario *scenario, size_t row) {
  if (scenario->origin[row] != FG_FROM_DERIVED)
    return NULL;
  for (size_t i = 0; i < sizeof replaced / sizeof replaced[0]; ++i) {
    if (strcmp(replaced[i].key, fg_settings[row].key) != 0)
      continue;
    const int from = fg_setting_find(replaced[i].from);
    if (from >= 0 && scenario->origin[from] >= FG_FROM_CATALOGUE)
      return replaced[i].from;
  }
  return NULL;
}

bool fg_likely_range(size_t row, double *low, double *high) {
  const fg_setting *setting = &fg_settings[row];
  const fg_measuring *measuring = fg_measuring_of(setting->key);
  *low = setting->likely_low;
  *high = setting->likely_high;
  if ((isnan(*low) || isnan(*high)) && measuring) {
    *low = measuring->low;
    *high = measuring->high;
  }
  return isfinite(*low) && isfinite(*high) && *high > *low;
}
