/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DAY_H
#define FLOURGOLD_DAY_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* A day around the run: how long the deck is fed, what it catches, what is carried in, burnt
 * and drunk.  The deck is the model's; the rest is plain reckoning with the settings day.*. */

enum { FG_LOAD_ITEMS = 6 };

/* One line of the packing list. */
typedef struct fg_load_item {
  const char *name;
  double kg;
} fg_load_item;

/* What keeps the run from being longer. */
typedef enum fg_day_end {
  FG_DAY_ENDS_RUN = 0, /* run.hours */
  FG_DAY_ENDS_LENGTH   /* day.length, after walking and setting up */
} fg_day_end;

typedef struct fg_day {
  /* heat */
  double adjusted_k; /* temperature of the work/rest schedule */
  double work_share; /* of an hour one person may shovel */
  /* time, s */
  size_t loads; /* a person's walks in with a load */
  double walking_s, set_up_s;
  double run_s;              /* at the deck: feeding, resting, cleaning */
  double fed_s;              /* gravel goes in as fast as run.feed */
  double cleaning_s, rest_s; /* rest: nobody shovels, by heat or because arms are tired */
  double engine_s;           /* turning: all but the stops for cleaning and for heat */
  double cleanings;          /* times the riffles are emptied, the last at the end */
  fg_day_end end;
  double duty; /* share of the running time in which gravel goes in */
  /* what it brings; zero for a stalled deck */
  double loose_m3, in_place_m3, gravel_kg, buckets;
  double gold_kg;
  double concentrate_kg;
  /* what it takes */
  double fuel_m3, oil_m3;        /* burnt; oil mixed in for a two-stroke engine */
  double water_low_m3, water_m3; /* drunk by all: a cup every 20, every 15 minutes */
  fg_load_item load[FG_LOAD_ITEMS];
  double carry_kg;
} fg_day;

/* Reckons one day for a resolved scenario; loss: its run of the model, NULL when it stalls.
 * Rules: shovelling stops for the share of each hour that heat asks for (heat.h) unless others
 * can take over; the crew's pace is people x day.pace x that share; the deck is fed no more
 * than that.  Fuel: full-throttle use x (0.2 + 0.8 throttle^3) while turning - a fifth at idle
 * (estimate), the rest with the air's power (fan laws).  Oil 1:50 for a two-stroke.  A cup is 8
 * US fluid ounces.  Fuel is carried with a quarter to spare.  FG_EDOMAIN as fg_heat_adjusted(). */
fg_status fg_day_run(const fg_scenario *scenario, const fg_loss *loss, fg_day *day);

/* ---- with doubt, and several places ---- */

enum { FG_DAYS_MAX = 20 };

typedef struct fg_trip {
  const fg_scenario *scenario;
  fg_day day;      /* nominal */
  bool stalled;    /* the nominal deck */
  fg_loss loss;    /* nominal; empty arrays when it stalls */
  double *gold_kg; /* [samples] a stalled member catches nothing; NaN: no answer */
  double *weight;  /* [samples] by what was observed on the machine; else 1 */
  double mean_kg;  /* of gold_kg: the trips are ranked by it */
  fg_band gold, buckets, in_place;
  double stall_share;
  double chance_best; /* that no other trip brings more */
} fg_trip;

typedef struct fg_days {
  size_t count, samples; /* samples 0: nominal runs alone */
  fg_trip trip[FG_DAYS_MAX];
  size_t order[FG_DAYS_MAX];              /* best first */
  double beats[FG_DAYS_MAX][FG_DAYS_MAX]; /* chance that row brings more than column; ties half */
} fg_days;

/* Runs and ranks the days.  Draws are common: a doubt that two scenarios share is drawn once for
 * both, so that it cannot decide between them; only what they say differently of ground, gold or
 * place is drawn for each by itself.  samples 0: nominal runs alone, no chances.  Free with
 * fg_days_free() after FG_OK.  Failures as fg_loss_run(), *wrong (may be NULL) then tells the
 * scenario. */
fg_status fg_days_run(const fg_scenario *const *scenarios, size_t count, size_t samples,
                      unsigned long seed, fg_days *days, size_t *wrong);
void fg_days_free(fg_days *days);

#endif
