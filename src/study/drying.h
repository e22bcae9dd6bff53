/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DRYING_H
#define FLOURGOLD_DRYING_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "input/weather.h"
#include "physics/frost.h"
#include "physics/ground_water.h"

/* Ground drying after rain, day by day, and what its damp costs this deck. */

/* ---- what damp costs ---- */

enum { FG_DAMP_NODES = 10 };

/* Settings a deck was run at. */
typedef struct fg_deck_setting {
  double throttle, gate_opening;
} fg_deck_setting;

/* Largest kept share of the fine gold (finer than fg_fine_limit_m; of all gold where there is
 * none so fine) at this moisture (by dry mass), over a small set of throttle and gate settings
 * and the scenario's own; *best (may be NULL) receives the setting.  FG_ESTALL when the deck
 * stalls at all of them.  Model. */
fg_status fg_best_fine_kept(const fg_scenario *scenario, double moisture, double *kept,
                            fg_deck_setting *best);

/* The share of the gold that this deck keeps when bone dry which damp takes, against moisture.
 * It is that of the loose grains: lumps of clay, unless their share is given, are left out, for
 * they would thin the feed and so excuse the damp. */
typedef struct fg_damp {
  double bound;    /* water that the clay holds and that binds nothing */
  double dry_kept; /* at its best setting, bone dry */
  fg_deck_setting dry_best;
  double allow;      /* share that may be lost to damp */
  double limit;      /* moisture at which just that is lost; INFINITY: none of those
                        looked at loses so much */
  double limit_kept; /* kept there; NaN with an infinite limit */
  fg_deck_setting limit_best;
  double moisture[FG_DAMP_NODES], lost[FG_DAMP_NODES]; /* lost never falls with moisture */
} fg_damp;

/* FG_ESTALL when the deck stalls even when bone dry; FG_EDOMAIN when it keeps no gold then. */
fg_status fg_damp_solve(const fg_scenario *scenario, double allow, fg_damp *damp);

/* Share lost to damp at a moisture: straight lines between the nodes and the limit; beyond the
 * last node its own. */
double fg_damp_lost(const fg_damp *damp, double moisture);

/* ---- day by day ---- */

/* The chance of dry ground that a trip is planned on: 80 % (judgement; a day's drive is lost in one
 * trip of five). */
extern const double fg_sure_enough;

enum { FG_MEASUREMENTS_MAX = 64, FG_DRYING_AHEAD_MAX = 1500 };

typedef struct fg_measurement {
  int day;
  double moisture; /* by dry mass, mean of what is dug */
} fg_measurement;

typedef struct fg_drying_options {
  const char *weather_path; /* for messages */
  const fg_weather *weather;
  const fg_weather *means; /* NULL: the mean of the last days goes on */
  double wind_height_m;    /* NaN: 2 m */
  size_t flood_count, measurement_count;
  int flooded[FG_MEASUREMENTS_MAX];             /* days */
  fg_measurement measured[FG_MEASUREMENTS_MAX]; /* rising days */
  int days_ahead; /* after the last row; at most FG_DRYING_AHEAD_MAX */
  double allow;
  size_t samples; /* 0: no chances */
  unsigned long seed;
} fg_drying_options;

typedef struct fg_drying_day {
  int day;
  fg_weather_source source;
  bool flooded, measured;
  double rain_m, tmin_k, tmax_k;
  fg_et0 et0;
  fg_cold_day cold;
  double snow_m; /* water in the snow that lies */
  fg_ground_result step;
  double depletion_m, missing_below_m, excess_m;
  double surface, dug, bottom; /* moisture by dry mass: layer, mean of what is dug, its foot */
  double dry_depth_m;          /* dry enough down to here, at most soil.depth */
  double lost;                 /* share of the fine gold that damp takes */
  double chance;               /* that damp takes no more than allowed; NaN: not worked out */
} fg_drying_day;

typedef struct fg_drying {
  fg_damp damp;
  fg_ground column; /* after the last measurement */
  size_t count;
  fg_drying_day *days;
  size_t given;  /* of them from the weather file */
  int ready;     /* index of the first day dry enough and open after the last that is not, -1 */
  int likely[2]; /* index of the day from which on the chance is at least even, and
                    fg_sure_enough; -1: none, or not worked out */
  unsigned fallbacks;      /* all that were used */
  double hargreaves_ratio; /* its sum over that of Penman-Monteith; NaN: no evaporation */
} fg_drying;

/* The ground of a scenario as fg_ground_step() takes it; moisture is that of what passes the
 * screen, as ground.moisture is.  What evaporates is field capacity less half the wilting point
 * (FAO-56, eq. 73); below it lies fg_residual_water(), which the deck's bonds leave out too. */
fg_status fg_scenario_ground(const fg_scenario *scenario, fg_ground *column);

/* Whether a day's ground can be dug and dries: no snow on it, no frost in it. */
bool fg_drying_open(const fg_drying_day *day);

/* Runs the days.  FG_ESTALL, FG_EDOMAIN as fg_damp_solve(); FG_ESCENARIO after a line in
 * *complaints (a day's weather that cannot be, a date outside the days, a measurement the
 * ground cannot hold, a month missing from the means); FG_EMEMORY.  Free with
 * fg_drying_free(). */
fg_status fg_drying_run(const fg_scenario *scenario, const fg_drying_options *options,
                        fg_drying *drying, fg_complaints *complaints);
void fg_drying_free(fg_drying *drying);

#endif
