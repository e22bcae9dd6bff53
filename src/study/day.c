/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One day: time, catch and load. */
#include "study/day.h"

#include <math.h>

#include "physics/engine.h"
#include "physics/heat.h"

static const double cup_m3 = 8.0 * 29.5735295625e-6;
static const double can_kg = 1.0;
static const double water_kg_m3 = 1000.0;
static const double spare = 1.25; /* of the fuel */
enum { LOADS_MOST = 1000 };

/* Shares of the running time, cleaning stops left out. */
typedef struct effort {
  double work_share; /* one person's, by heat */
  double awake;      /* share in which somebody may work */
  double duty;       /* gravel goes in */
} effort;

static fg_status find_effort(const fg_scenario *s, fg_day *day, effort *e) {
  const double people = (double)s->day.people;
  const fg_status status =
      fg_heat_adjusted(s->day.hottest, s->site.humidity, (fg_sky)s->day.sky, &day->adjusted_k);
  if (status != FG_OK)
    return status;
  e->work_share = fg_heat_work_share(day->adjusted_k);
  e->awake = fmin(1.0, people * e->work_share);
  e->duty = fmin(e->awake, people * s->day.pace * e->work_share / s->run.feed);
  day->work_share = e->work_share;
  day->duty = e->duty;
  return FG_OK;
}

/* Time of a day with so many walks in and out with a load. */
static void spend_time(const fg_scenario *s, const effort *e, size_t loads, fg_day *day) {
  day->loads = loads;
  day->set_up_s = s->day.set_up;
  day->walking_s = loads > 0 ? 2.0 * (2.0 * (double)loads - 1.0) * s->day.walk : 0.0;
  const double left = fmax(0.0, s->day.length - day->set_up_s - day->walking_s);
  day->end = left < s->run.hours ? FG_DAY_ENDS_LENGTH : FG_DAY_ENDS_RUN;
  day->run_s = fmin(left, s->run.hours);
  const double fill = s->run.cleaning_interval, clean = s->run.cleaning_time;
  day->fed_s = e->duty > 0.0 ? day->run_s * fill / (fill / e->duty + clean) : 0.0;
  day->cleanings = day->fed_s / fill;
  day->cleaning_s = day->cleanings * clean;
  day->rest_s = fmax(0.0, day->run_s - day->cleaning_s - day->fed_s);
  day->engine_s = e->duty > 0.0 ? (day->run_s - day->cleaning_s) * e->awake : 0.0;
}

static void take_along(const fg_scenario *s, fg_day *day) {
  const double out_s = day->walking_s + day->set_up_s + day->run_s;
  const double drinkers = (double)s->day.people;
  day->fuel_m3 = fg_blower_fuel((fg_blower_kind)s->blower.kind, s->blower.fuel_use, s->run.throttle,
                                s->site.elevation) *
                 day->engine_s;
  day->oil_m3 = s->blower.kind == FG_BLOWER_TWO_STROKE ? FG_OIL_SHARE * day->fuel_m3 : 0.0;
  day->water_low_m3 = drinkers * cup_m3 * out_s / 1200.0;
  day->water_m3 = drinkers * cup_m3 * out_s / 900.0;
  const double fuel_kg = day->fuel_m3 > 0.0 ? spare * day->fuel_m3 * FG_PETROL_KG_M3 + can_kg : 0.0;
  const fg_load_item items[FG_LOAD_ITEMS] = {
      {"box and tray", s->shaker.mass},
      {"stand, hopper, screen, hose", s->day.frame},
      {s->blower.kind == FG_BLOWER_BATTERY ? "blower with battery" : "blower, tank full",
       s->blower.mass},
      {"fuel and can, a quarter to spare", fuel_kg},
      {"water, a cup every 15 minutes", day->water_m3 * water_kg_m3},
      {"tools, pan, first aid, masks", s->day.gear}};
  day->carry_kg = 0.0;
  for (int i = 0; i < FG_LOAD_ITEMS; ++i) {
    day->load[i] = items[i];
    day->carry_kg += items[i].kg;
  }
}

/* Fewest walks that carry it all. */
static void find_loads(const fg_scenario *s, const effort *e, fg_day *day) {
  const double at_once = s->day.load * (double)s->day.people;
  size_t loads = 1;
  for (;; ++loads) {
    spend_time(s, e, loads, day);
    take_along(s, day);
    if (day->carry_kg <= at_once * (double)loads || loads == LOADS_MOST)
      return;
  }
}

fg_status fg_day_run(const fg_scenario *s, const fg_loss *loss, fg_day *day) {
  fg_day d = {.loads = 0};
  effort e;
  const fg_status status = find_effort(s, &d, &e);
  if (status != FG_OK)
    return status;
  find_loads(s, &e, &d);
  if (loss) {
    d.loose_m3 = loss->feed_m3_s * d.fed_s;
    d.in_place_m3 = loss->in_place_m3_s * d.fed_s;
    d.gravel_kg = loss->feed_kg_s * d.fed_s;
    d.buckets = d.loose_m3 / s->sample.bucket;
    d.gold_kg = loss->kept_kg_s * d.fed_s;
    d.concentrate_kg = loss->concentrate_kg_s * d.fed_s;
  }
  *day = d;
  return FG_OK;
}
