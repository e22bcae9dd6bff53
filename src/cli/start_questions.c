/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What `start` asks. */
#include "cli/start.h"

#define ALONE(unit)                                                                                \
  {                                                                                                \
    { "", " " unit }                                                                               \
  }

const fg_question fg_questions[] = {
    {FG_SET_SITE_ELEVATION, FG_UNKNOWN_ASSUMED, "How high above sea level is the place, in feet?",
     "From a map or a phone. Thin air lifts less, and engines lose power.", "2000 ft", NULL,
     ALONE("ft")},
    {FG_SET_GROUND_MOISTURE, FG_UNKNOWN_ASSUMED,
     "How much water is in the ground: dusty, cool, balls, or percent of the dry weight?",
     "dusty, pours like dry sand: 0.2 to 0.8 %. cool to the hand, no dust: 1 to 2 %. balls when "
     "squeezed: 2.5 to 5.5 %. (Common practice, no source.) Best: dry a weighed pan of it (calc "
     "moisture).",
     "dusty", NULL, ALONE("%")},
    {FG_SET_GROUND_CLAY, FG_UNKNOWN_ASSUMED, "How much clay: none, trace, some or sticky?",
     "Wet and knead a handful of fines. Falls apart: none. A ball that breaks at a touch: trace. "
     "A ribbon under an inch: some. A longer ribbon: sticky. Or a share: 3 %.",
     "none", NULL, ALONE("%")},
    {FG_SET_GOLD_MEDIAN_SIZE, FG_UNKNOWN_ASSUMED, "How big is the gold, in mesh?",
     "Half of its weight is finer than this. Grains like coarse sand: 20 mesh; like table salt: "
     "50; like flour: 200. (Common practice, no source.)",
     "?", NULL, ALONE("mesh")},
    {FG_SET_GOLD_GRADE, FG_UNKNOWN_ASSUMED, "How much gold is in a cubic yard, in grams?",
     "Grams of a clean-up over its buckets, times 50: a yard in the ground fills some 50 buckets. "
     "It changes the grams, not the share that is kept.",
     "?", NULL, ALONE("g/yd3")},
    {FG_SET_SCREEN_OPENING, FG_UNKNOWN_ASSUMED, "How wide are the holes of your screen, in inches?",
     "Inside width of one hole; or its mesh number, as in 4 mesh.", "1/4 in", NULL, ALONE("in")},
    {FG_SET_DECK_LENGTH, FG_UNKNOWN_GUESSED, "How long is the riffled deck, along the flow?",
     "Ruler, inches, from below the hopper to the tail.", "30 in", "30 in +- 5 in", ALONE("in")},
    {FG_SET_DECK_WIDTH, FG_UNKNOWN_GUESSED, "How wide is it, inside the side walls?",
     "Ruler, inches.", "12 in", "12 in +- 2 in", ALONE("in")},
    {FG_SET_DECK_RIFFLES,
     FG_UNKNOWN_GUESSED,
     "How many riffles does it have?",
     "Count the bars across the flow.",
     "6",
     "6",
     {{NULL, NULL}}},
    {FG_SET_DECK_SLOPE,
     FG_UNKNOWN_ASSUMED,
     "How steep is it?",
     "Hold a level a foot long on the deck: inches of gap under its low end, as in 4 3/8 in/ft. "
     "Or a phone's level, as in 20 deg. The unit must be there.",
     "4 3/8 in/ft",
     NULL,
     {{NULL, NULL}}},
    {FG_SET_BLOWER_KIND,
     FG_UNKNOWN_ASSUMED,
     "What drives the blower: two_stroke, four_stroke, battery or mains?",
     "Engines lose power with height, the others do not.",
     "two_stroke",
     NULL,
     {{NULL, NULL}}},
    {FG_SET_BLOWER_FREE_VOLUME, FG_UNKNOWN_GUESSED, "What air volume does its label promise?",
     "On the blower or in its booklet, in cfm or m3/h.", "450 cfm", "450 cfm +- 80 cfm",
     ALONE("cfm")},
    {FG_SET_BLOWER_NOZZLE_SPEED, FG_UNKNOWN_GUESSED, "And what air speed?",
     "Beside the volume, in mph or m/s: it sets the pressure the blower can give.", "190 mph",
     "190 mph +- 15 mph", ALONE("mph")},
    {FG_SET_RUN_THROTTLE, FG_UNKNOWN_ASSUMED, "How far open is the throttle when you run?",
     "Speed of the fan over its greatest: the pitch of the hum tells (a phone tuner). half, full, "
     "or percent.",
     "80 %", NULL, ALONE("%")},
    {FG_SET_RUN_GATE_OPENING, FG_UNKNOWN_ASSUMED,
     "How far open is the slide gate that bleeds air from the box?",
     "Open part over the whole: shut, half, full, or percent; none when there is no gate.", "60 %",
     NULL, ALONE("%")},
    {FG_SET_RUN_FEED,
     FG_UNKNOWN_GUESSED,
     "How fast do you shovel, in minutes a bucket?",
     "Time from one five-gallon bucket of loose gravel to the next, stops left out: 2, 90 s, or 1 "
     "bucket a minute.",
     "2 min/bucket",
     "2 +- 0.7 min/bucket",
     {{"", " min/bucket"}, {"a bucket every ", ""}}},
    {FG_SET_DECK_EMPTY_BOX_PRESSURE,
     FG_UNKNOWN_ASSUMED,
     "What does a tube of water on the empty box read, in inches?",
     "Clear tube, half full, bent to a U, one end sealed into the box. Empty deck, gate shut, "
     "full throttle: inches from one level to the other.",
     "?",
     NULL,
     {{"", " inH2O"}, {"", " of water"}}},
    {FG_SET_SHAKER_SPEED, FG_UNKNOWN_ASSUMED, "How fast does the shaker turn while you run?",
     "Turns a minute: from slow motion of a phone, or the pitch of the hum (rpm = 60 x Hz).", "?",
     NULL, ALONE("rpm")},
};

const size_t fg_questions_count = sizeof fg_questions / sizeof fg_questions[0];
