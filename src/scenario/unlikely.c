/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scenario/unlikely.h"

#include <math.h>
#include <stddef.h>

#include "flourgold/settings.h"

#define IN 0.0254
#define FT 0.3048
#define CFM 0.0004719474432
#define MPH 0.44704
#define INCH_WATER 249.08891
#define DEG (3.14159265358979323846 / 180.0)
#define G_PER_YD3 (1e-3 / 0.764554857984)

typedef struct unlikely {
  fg_setting_row row;
  double low, high; /* SI; beyond them */
  const char *hint;
} unlikely;

/* All bounds: common practice, no source.  They are wide: a hint that comes too often is not read.
 */
static const unlikely bounds[] = {
    {FG_SET_SITE_ELEVATION, -450.0, 14000 * FT, "few washes lie above 10000 ft"},
    {FG_SET_GROUND_MOISTURE, 0.0, 0.12,
     "ground that balls when squeezed holds 3 to 6 %; this would be mud"},
    {FG_SET_GROUND_BULK_DENSITY, 1100.0, 2100.0,
     "loose gravel weighs 2400 to 3000 lb/yd3, solid rock 4500"},
    {FG_SET_GOLD_GRADE, 0.0, 100 * G_PER_YD3, "0.1 to 5 g/yd3 is usual; is it per bucket?"},
    {FG_SET_GOLD_MEDIAN_SIZE, 0.0, 0.006,
     "half of the gold's weight is finer than the median: 30 to 100 mesh is usual"},
    {FG_SET_SCREEN_OPENING, 0.001, 0.026, "screens of 1/8 to 1/2 in are usual"},
    {FG_SET_DECK_LENGTH, 10 * IN, 8 * FT, "decks of 20 to 48 in are usual"},
    {FG_SET_DECK_WIDTH, 4 * IN, 4 * FT, "decks of 8 to 20 in are usual"},
    {FG_SET_DECK_SLOPE, 0.0, 35 * DEG,
     "4 to 6 in/ft, 18 to 27 degrees to the horizontal, is usual; sand slides by itself from 33"},
    {FG_SET_DECK_RIFFLES, 0.0, 30.0, "5 to 12 bars are usual"},
    {FG_SET_DECK_EMPTY_BOX_PRESSURE, 0.1 * INCH_WATER, 12 * INCH_WATER,
     "1 to 6 inches of water are usual"},
    {FG_SET_SHAKER_SPEED, 3.0, 100.0, "600 to 3000 rpm is usual"},
    {FG_SET_HOSE_DIAMETER, 1 * IN, 8 * IN, "hoses of 3 to 6 in are usual"},
    {FG_SET_BLOWER_FREE_VOLUME, 60 * CFM, 2500 * CFM,
     "300 to 1000 cfm stand on blowers that are carried"},
    {FG_SET_BLOWER_NOZZLE_SPEED, 50 * MPH, 300 * MPH, "120 to 250 mph stand on their labels"},
    {FG_SET_RUN_FEED, 0.0, 3.0, "a person shovels a bucket a minute at best for hours"},
};

const char *fg_unlikely(int row, double si) {
  for (size_t i = 0; i < sizeof bounds / sizeof bounds[0]; ++i)
    if (bounds[i].row == row)
      return si < bounds[i].low || si > bounds[i].high ? bounds[i].hint : NULL;
  return NULL;
}
