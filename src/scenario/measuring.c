/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scenario/measuring.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "scenario/settings_table.h"

#define IN 0.0254
#define EIGHTH_INCH_WATER 31.13611

const fg_measuring fg_measurings[] = {
    {FG_SET_DECK_EMPTY_BOX_PRESSURE, FG_SET_DECK_CLOTH_PERMEABILITY,
     "empty_box_pressure = \"____ inH2O\"",
     "Clear tube, half full of water, bent to a U, one end sealed into a hole in the box. Empty "
     "deck, gate shut, full throttle: measure from one water level to the other. An inch of "
     "water is 1 inH2O.",
     "to 1/8 in of water, some 10 %", EIGHTH_INCH_WATER, 0.0},
    {FG_SET_SHAKER_STROKE, FG_SET_SHAKER_UNBALANCE, "stroke = \"____ in\"",
     "Tape paper to the running, loaded box. Touch it with a sharp pencil held still against a "
     "post. Photograph the line beside a ruler: its length, less the width of a dot.",
     "to 0.004 in (0.1 mm) on a magnified photo", 1e-4, 0.05},
    {FG_SET_SHAKER_SPEED, FG_SET_SHAKER_RATED_SPEED, "speed = \"____ rpm\"",
     "While running, film the rotor or the box in slow motion and count the frames of ten turns: "
     "rpm = 600 x frames per second / frames. Or a phone tuner on the hum: rpm = 60 x Hz.",
     "to 3 %", 0.2, 0.03},
    {FG_SET_GROUND_SIEVES, FG_SET_GROUND_MEDIAN_GRAIN,
     "sieves = ((\"1/4 in\",\"__ g\"),(\"2 mm\",\"__ g\"),(\"0.6 mm\",\"__ g\"),(\"pan\",\"__ "
     "g\"))",
     "Dry a quart of gravel, shake it through kitchen sieves and window screen, coarsest first; "
     "weigh what stays on each and in the pan. Measure the openings with a ruler over ten wires.",
     "grain size to 10 %", 0.0, 0.0},
    {FG_SET_GROUND_BUCKET_WEIGHT, FG_SET_GROUND_BULK_DENSITY, "bucket_weight = \"____ lb\"",
     "Pour dry gravel into a bucket to the 5 gallon mark, do not tamp, weigh, take off the empty "
     "bucket. (5 gallons of water weigh 41.7 lb: that finds the mark.)",
     "to 3 %", 0.2, 0.03},
    {FG_SET_GROUND_MOISTURE, FG_SET_NONE, "moisture = \"____ %\"",
     "Weigh a pound of what passes the screen in a pan, dry it in an oven or over a fire until "
     "it loses no more, weigh again; calc moisture works it out.",
     "to 0.2 % with a kitchen scale", 0.0, 0.0},
    {FG_SET_GROUND_CLAY, FG_SET_NONE, "clay = \"________\"   (none, trace, some or sticky)",
     "Wet a handful of fines and knead it. Falls apart: none. Holds a ball that breaks at a "
     "touch: trace. Presses into a ribbon under an inch: some. A longer ribbon: sticky. Or shake "
     "fines in a jar of water with a pinch of dish soap, let stand a day, and measure the three "
     "layers (jar_sand, jar_silt, jar_clay).",
     "words to a third, a jar to a quarter", 0.0, 0.0},
    {FG_SET_GROUND_JAR_SAND, FG_SET_NONE, "jar_sand = \"____ in\"",
     "see ground.clay: the lowest layer, after a "
     "minute",
     "to 1/16 in", IN / 16.0, 0.0},
    {FG_SET_GROUND_JAR_SILT, FG_SET_NONE, "jar_silt = \"____ in\"",
     "see ground.clay: the layer above the sand, "
     "after two hours",
     "to 1/16 in", IN / 16.0, 0.0},
    {FG_SET_GROUND_JAR_CLAY, FG_SET_NONE, "jar_clay = \"____ in\"",
     "see ground.clay: the uppermost layer, after "
     "a day",
     "to 1/16 in; it swells", IN / 16.0, 0.25},
    {FG_SET_GROUND_MAGNETITE, FG_SET_NONE, "magnetite = \"____ %\"",
     "Draw a magnet in a plastic bag through a weighed pound of dry fines until it brings no "
     "more; weigh what came.",
     "to a fifth", 0.0, 0.0},
    {FG_SET_GROUND_SWELL, FG_SET_NONE, "swell = ____",
     "Dig a square hole, measure it, and count the level buckets that came out: volume of the "
     "buckets over volume of the hole (231 in3 a gallon).",
     "to 5 %", 0.0, 0.0},
    {FG_SET_GOLD_THICKNESS_RATIO, FG_SET_NONE, "thickness_ratio = ____",
     "Count 50 or more flakes of one sieve size, weigh them together to 1 mg; calc flake works "
     "it out.",
     "to a fifth", 0.0, 0.0},
    {FG_SET_GOLD_MEDIAN_SIZE, FG_SET_NONE, "median_size = \"____ mesh\"",
     "Sieve gold panned from the ground (not the tray's own catch): the sieve that parts its "
     "weight in halves.",
     "to one sieve", 0.0, 0.0},
    {FG_SET_DECK_SLOPE, FG_SET_NONE, "slope = \"____ in/ft\"",
     "Lay a level a foot long on the deck, upper end touching; measure the gap under its lower "
     "end: inches per foot.",
     "to 1/8 in per ft", 0.0, 0.0},
    {FG_SET_DECK_RIFFLE_HEIGHT, FG_SET_NONE, "riffle_height = \"____ in\"",
     "Ruler from the cloth to the top "
     "of a riffle.",
     "to 1/16 in", 0.0, 0.0},
    {FG_SET_DECK_DEAD_AIR_SHARE, FG_SET_NONE, "dead_air_share = \"____ %\"",
     "Of the distance from riffle to riffle, the part just upslope of a riffle where the board "
     "has no holes.",
     "to 3 %", 0.0, 0.0},
    {FG_SET_SCREEN_OPENING, FG_SET_NONE, "opening = \"____ in\"",
     "Inside width of one hole of the screen.", "to 1/32 in", 0.0, 0.0},
    {FG_SET_HOSE_KIND, FG_SET_HOSE_ROUGHNESS, "kind = \"________\"   (smooth or ribbed)",
     "Feel inside the hose.", "to a half", 0.0, 0.0},
    {FG_SET_HOSE_DIAMETER, FG_SET_NONE, "diameter = \"____ in\"", "Inside, across the end.",
     "to 1/16 in", 0.0, 0.0},
    {FG_SET_GATE_AREA, FG_SET_NONE, "area = \"____ in2\"",
     "Width times height of the fully open gate.", "to 5 %", 0.0, 0.0},
    {FG_SET_RUN_THROTTLE, FG_SET_NONE, "throttle = \"____ %\"",
     "Pitch of the blower's hum as a share of its pitch at full throttle, by a phone tuner.",
     "to 3 %", 0.0, 0.0},
    {FG_SET_RUN_GATE_OPENING, FG_SET_NONE, "gate_opening = \"____ %\"",
     "Open part of the gate over its whole.", "to 5 %", 0.0, 0.0},
    {FG_SET_BLOWER_LABEL_DERATE, FG_SET_NONE, "label_derate = ____",
     "Fill a bag of known volume from the hose at full throttle and time it: true volume over the "
     "label's.",
     "to a tenth", 0.0, 0.0},
    {FG_SET_OBSERVED_BOX_PRESSURE, FG_SET_NONE, "box_pressure = \"____ inH2O\"",
     "The tube of water on the running, loaded box.", "to 1/8 in of water", EIGHTH_INCH_WATER, 0.0},
    {FG_SET_OBSERVED_ROTOR_SPEED, FG_SET_NONE, "rotor_speed = \"____ rpm\"",
     "Slow motion or the pitch of the hum, as for shaker.speed.", "to 3 %", 0.2, 0.03},
    {FG_SET_OBSERVED_BED_DEPTH, FG_SET_NONE, "bed_depth = \"____ in\"",
     "Touch a thin ruler down to the standing sand between two riffles of the running deck.",
     "to 1/16 in", IN / 16.0, 0.15},
    {FG_SET_OBSERVED_CROSSING_TIME, FG_SET_NONE, "crossing_time = \"____ s\"",
     "Paint ten pebbles as thick as the bed; time each from hopper to tail, take the mean.",
     "to a quarter", 0.5, 0.25},
    {FG_SET_OBSERVED_GATE_STOP, FG_SET_NONE, "gate_stop = \"____ %\"",
     "Open the gate a little every minute until the gravel stops running.", "to a tenth", 0.10,
     0.0},
    {FG_SET_OBSERVED_FULL_MINUTES, FG_SET_NONE, "full_minutes = \"____ min\"",
     "From a cleaning until the black sand of the upper half of the riffles is level with their "
     "tops.",
     "to a quarter", 120.0, 0.25},
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

/* Moisture by feel: common practice, no source.  One standard deviation beside each. */
static const fg_word moisture_words[] = {
    {"dusty", 0.005, 0.003,
     "pours like dry sand and raises dust (these shares: common practice, no source)"},
    {"dry", 0.005, 0.003, "the same as dusty"},
    {"cool", 0.015, 0.005, "cool to the hand, no dust, does not stick"},
    {"balls", 0.04, 0.015, "holds together when squeezed; hardly any deck runs on it"},
    {NULL, 0.0, 0.0, NULL},
};

/* Without an error of their own: the usual one of the setting counts. */
static const fg_word gate_words[] = {
    {"shut", 0.0, 0.0, "no air bled off"},
    {"closed", 0.0, 0.0, "the same"},
    {"none", 0.0, 0.0, "there is no gate"},
    {"half", 0.5, 0.0, "half of it free"},
    {"open", 1.0, 0.0, "all of it free"},
    {"full", 1.0, 0.0, "the same"},
    {NULL, 0.0, 0.0, NULL},
};

static const fg_word throttle_words[] = {
    {"half", 0.5, 0.0, "fan at half its greatest speed"},
    {"full", 1.0, 0.0, "fan at its greatest speed"},
    {NULL, 0.0, 0.0, NULL},
};

/* Readings, and what each gives a value to. */
static const struct {
  fg_setting_row row, from;
} replaced[] = {
    {FG_SET_DECK_CLOTH_PERMEABILITY, FG_SET_DECK_EMPTY_BOX_PRESSURE},
    {FG_SET_SHAKER_UNBALANCE, FG_SET_SHAKER_STROKE},
    {FG_SET_SHAKER_RATED_SPEED, FG_SET_SHAKER_SPEED},
    {FG_SET_GROUND_MEDIAN_GRAIN, FG_SET_GROUND_SIEVES},
    {FG_SET_GROUND_GRAIN_SPREAD, FG_SET_GROUND_SIEVES},
    {FG_SET_GROUND_BULK_DENSITY, FG_SET_GROUND_BUCKET_WEIGHT},
    {FG_SET_GROUND_CLAY, FG_SET_GROUND_JAR_CLAY},
    {FG_SET_HOSE_ROUGHNESS, FG_SET_HOSE_KIND},
};

const fg_measuring *fg_measuring_of(int row) {
  for (size_t i = 0; i < fg_measurings_count; ++i)
    if (fg_measurings[i].row == row)
      return &fg_measurings[i];
  return NULL;
}

const fg_measuring *fg_measuring_for(int row) {
  const fg_measuring *own = fg_measuring_of(row);
  if (own)
    return own;
  for (size_t i = 0; i < sizeof replaced / sizeof replaced[0]; ++i)
    if (replaced[i].row == row)
      return fg_measuring_of(replaced[i].from);
  if (row == FG_SET_DECK_BOARD_OPEN_SHARE)
    return fg_measuring_of(FG_SET_DECK_EMPTY_BOX_PRESSURE);
  return NULL;
}

const fg_word *fg_setting_words(int row) {
  switch (row) {
  case FG_SET_GROUND_CLAY:
    return clay_words;
  case FG_SET_GROUND_MOISTURE:
    return moisture_words;
  case FG_SET_RUN_GATE_OPENING:
    return gate_words;
  case FG_SET_RUN_THROTTLE:
    return throttle_words;
  default:
    return NULL;
  }
}

const fg_word *fg_setting_word(int row, const char *text) {
  for (const fg_word *word = fg_setting_words(row); word && word->word; ++word)
    if (strcasecmp(word->word, text) == 0)
      return word;
  return NULL;
}

const char *fg_setting_words_text(int row, char *buffer, size_t size) {
  size_t used = 0;
  buffer[0] = '\0';
  for (const fg_word *word = fg_setting_words(row); word && word->word && used < size; ++word)
    used += (size_t)snprintf(buffer + used, size - used, "%s%s", used > 0 ? ", " : "", word->word);
  return buffer;
}

bool fg_reading_absent(const fg_scenario *scenario, size_t row) {
  const fg_setting *setting = &fg_settings[row];
  if (scenario->origin[row] != FG_FROM_DEFAULT)
    return false;
  if (setting->type == FG_T_SIEVES || row == FG_SET_HOSE_KIND)
    return true;
  return setting->type == FG_T_NUMBER && !setting->required && isnan(setting->standard) &&
         !setting->standard_text;
}

int fg_setting_from(const fg_scenario *scenario, int row) {
  if (scenario->origin[row] != FG_FROM_DERIVED)
    return FG_SET_NONE;
  for (size_t i = 0; i < sizeof replaced / sizeof replaced[0]; ++i)
    if (replaced[i].row == row && fg_setting_given(scenario, replaced[i].from))
      return replaced[i].from;
  return FG_SET_NONE;
}
