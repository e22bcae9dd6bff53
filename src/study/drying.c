/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "core/complain.h"
#include "core/date.h"
#include "model/household.h"
#include "physics/evaporation.h"
#include "physics/moisture.h"
#include "physics/soil.h"
#include "study/drying_internal.h"

enum { RECENT_DAYS = 14 };

const double fg_sure_enough = 0.8;

/* ---- the weather of a day ---- */

static fg_status weather_of(const fg_drying_options *o, size_t i, const fg_weather_row *recent,
                            fg_weather_row *row, fg_complaints *complaints) {
  const fg_weather *w = o->weather;
  if (i < w->count) {
    *row = w->rows[i];
    return FG_OK;
  }
  const int day = w->rows[w->count - 1].day + (int)(i - w->count) + 1;
  if (!o->means) {
    *row = *recent;
  } else {
    const fg_weather_row *month = fg_weather_month(o->means, fg_date_month(day));
    if (!month) {
      fg_complain(complaints,
                  "the monthly means have no row for month %d; days up to %d after "
                  "the weather need it",
                  fg_date_month(day), o->days_ahead);
      return FG_ESCENARIO;
    }
    *row = *month;
    row->source = FG_WEATHER_MEANS;
  }
  row->line = 0;
  row->day = day;
  row->rain_m = 0.0;
  return FG_OK;
}

static fg_status evaporation_of(const fg_scenario *s, const fg_drying_options *o,
                                fg_weather_row *row, fg_et0 *et0, fg_complaints *complaints) {
  fg_day_weather *w = &row->weather;
  w->latitude_rad = s->site.latitude;
  w->elevation_m = s->site.elevation;
  w->day_of_year = fg_date_day_of_year(row->day);
  w->wind_height_m = o->wind_height_m;
  const fg_status status = fg_reference_evaporation(w, et0);
  if (status == FG_OK)
    return FG_OK;
  char date[FG_DATE_TEXT_MAX];
  fg_date_text(row->day, date, sizeof date);
  if (row->line > 0)
    fg_complain(complaints, "%s:%d: %s: %s", o->weather_path, row->line, date,
                fg_weather_contradiction(w));
  else
    fg_complain(complaints, "%s: %s: %s", o->means ? "monthly means" : o->weather_path, date,
                fg_weather_contradiction(w));
  return FG_ESCENARIO;
}

/* ---- the ground of a day ---- */

static bool is_flooded(const fg_drying_options *o, int day) {
  for (size_t i = 0; i < o->flood_count; ++i)
    if (o->flooded[i] == day)
      return true;
  return false;
}

static const fg_measurement *measured_on(const fg_drying_options *o, int day) {
  for (size_t i = 0; i < o->measurement_count; ++i)
    if (o->measured[i].day == day)
      return &o->measured[i];
  return NULL;
}

static fg_status measure(const fg_scenario *s, const fg_measurement *m, fg_ground *column,
                         fg_ground_water *water, fg_complaints *complaints) {
  const fg_status status = fg_ground_measured(column, s->soil.depth, m->moisture, water);
  if (status == FG_OK)
    return FG_OK;
  char date[FG_DATE_TEXT_MAX];
  fg_complain(complaints,
              "--measured %s: %.1f %% is more than this ground holds when all its "
              "pores are full (%.1f %%); check the weighing, soil.saturation and "
              "ground.bulk_density",
              fg_date_text(m->day, date, sizeof date), 100.0 * m->moisture,
              100.0 * column->saturation * FG_WATER_KG_M3 / column->dry_kg_m3);
  return FG_ESCENARIO;
}

static void note_state(const fg_scenario *s, const fg_ground *column, const fg_ground_water *water,
                       const fg_damp *damp, fg_drying_day *d) {
  d->depletion_m = water->depletion_m;
  d->excess_m = water->excess_m;
  d->missing_below_m = fg_ground_missing(water) - water->depletion_m + water->excess_m;
  d->surface = fg_ground_mean_moisture(column, water, column->layer_m);
  d->dug = fg_ground_mean_moisture(column, water, s->soil.depth);
  d->bottom = fg_ground_moisture(column, water, s->soil.depth);
  d->dry_depth_m = fg_ground_dry_depth(column, water, damp->limit, s->soil.depth);
  d->lost = fg_damp_lost(damp, d->dug);
  d->chance = NAN;
}

static fg_status run_day(const fg_scenario *s, const fg_drying_options *o, fg_weather_row *row,
                         fg_cold *cold, fg_ground_water *water, fg_drying *drying,
                         fg_complaints *complaints) {
  fg_drying_day d = {.day = row->day,
                     .source = row->source,
                     .flooded = is_flooded(o, row->day),
                     .rain_m = row->rain_m,
                     .tmin_k = row->weather.tmin_k,
                     .tmax_k = row->weather.tmax_k};
  fg_status status = evaporation_of(s, o, row, &d.et0, complaints);
  if (status != FG_OK)
    return status;
  status = fg_cold_step(row->rain_m, d.tmin_k, d.tmax_k, cold, &d.cold);
  if (status != FG_OK)
    return status;
  d.snow_m = cold->snow_m;
  const fg_ground_day day = fg_drying_ground_day(&d, 1.0);
  status = fg_ground_step(&drying->column, &day, water, &d.step);
  const fg_measurement *m = measured_on(o, row->day);
  if (status == FG_OK && m) {
    status = measure(s, m, &drying->column, water, complaints);
    d.measured = true;
  }
  if (status != FG_OK)
    return status;
  note_state(s, &drying->column, water, &drying->damp, &d);
  drying->fallbacks |= d.et0.fallbacks;
  drying->days[drying->count++] = d;
  return FG_OK;
}

/* ---- the run ---- */

static fg_status check_dates(const fg_drying_options *o, fg_complaints *complaints) {
  const int first = o->weather->rows[0].day;
  const int last = o->weather->rows[o->weather->count - 1].day + o->days_ahead;
  fg_status status = FG_OK;
  char date[FG_DATE_TEXT_MAX], from[FG_DATE_TEXT_MAX], to[FG_DATE_TEXT_MAX];
  fg_date_text(first, from, sizeof from);
  fg_date_text(last, to, sizeof to);
  for (size_t i = 0; i < o->flood_count + o->measurement_count; ++i) {
    const bool flood = i < o->flood_count;
    const int day = flood ? o->flooded[i] : o->measured[i - o->flood_count].day;
    if (day >= first && day <= last)
      continue;
    fg_complain(complaints, "%s %s: outside the days looked at, %s to %s",
                flood ? "--flooded" : "--measured", fg_date_text(day, date, sizeof date), from, to);
    status = FG_ESCENARIO;
  }
  return status;
}

static fg_status run_days(const fg_scenario *s, const fg_drying_options *o, fg_drying *drying,
                          fg_complaints *complaints) {
  fg_weather_row recent;
  fg_ground_water water;
  fg_cold cold = {0};
  const size_t count = o->weather->count + (size_t)o->days_ahead;
  drying->days = calloc(count, sizeof *drying->days);
  if (!drying->days)
    return FG_EMEMORY;
  fg_status status = fg_weather_recent(o->weather, RECENT_DAYS, &recent);
  fg_ground_at_capacity(&water);
  for (size_t i = 0; i < count && status == FG_OK; ++i) {
    fg_weather_row row;
    status = weather_of(o, i, &recent, &row, complaints);
    if (status == FG_OK)
      status = run_day(s, o, &row, &cold, &water, drying, complaints);
  }
  return status;
}

static void find_ready(fg_drying *drying) {
  size_t after = drying->count;
  while (after > 0 && drying->days[after - 1].dug <= drying->damp.limit &&
         fg_drying_open(&drying->days[after - 1]))
    --after;
  drying->ready = after < drying->count ? (int)after : -1;
}

static void find_likely(fg_drying *drying) {
  const double levels[2] = {0.5, fg_sure_enough};
  for (int k = 0; k < 2; ++k) {
    size_t after = drying->count;
    while (after > 0 && drying->days[after - 1].chance >= levels[k])
      --after;
    drying->likely[k] = after < drying->count ? (int)after : -1;
  }
}

static void compare_hargreaves(fg_drying *drying) {
  double penman = 0.0, hargreaves = 0.0;
  for (size_t i = 0; i < drying->given; ++i) {
    penman += drying->days[i].et0.et0_m_s;
    hargreaves += drying->days[i].et0.hargreaves_m_s;
  }
  drying->hargreaves_ratio = penman > 0.0 ? hargreaves / penman : (double)NAN;
}

fg_status fg_drying_run(const fg_scenario *scenario, const fg_drying_options *options,
                        fg_drying *drying, fg_complaints *complaints) {
  fg_drying d = {.given = options->weather->count, .likely = {-1, -1}};
  if (options->weather->count == 0 || options->days_ahead < 0 ||
      options->days_ahead > FG_DRYING_AHEAD_MAX)
    return FG_EDOMAIN;
  fg_status status = fg_scenario_ground(scenario, &d.column);
  if (status == FG_OK)
    status = check_dates(options, complaints);
  if (status == FG_OK)
    status = fg_damp_solve(scenario, options->allow, &d.damp);
  if (status == FG_OK)
    status = run_days(scenario, options, &d, complaints);
  if (status == FG_OK && options->samples > 0)
    status = fg_drying_chances(scenario, options, &d);
  if (status != FG_OK) {
    fg_drying_free(&d);
    return status;
  }
  find_ready(&d);
  find_likely(&d);
  compare_hargreaves(&d);
  *drying = d;
  return FG_OK;
}

void fg_drying_free(fg_drying *drying) {
  free(drying->days);
  *drying = (fg_drying){0};
}
