/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/blowers.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/roots.h"
#include "flourgold/air.h"
#include "flourgold/blower.h"
#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "model/circuit.h"
#include "physics/engine.h"
#include "physics/safety.h"
#include "scenario/settings_table.h"
#include "stats/band.h"

static const double oil_kg_m3 = 870.0;
static const double sea_level_pa = 101325.0;
static const double enough_share = 0.97;
/* Above this a blower gives all it has. */
static const double full_throttle_edge = 0.97;

const fg_ground_kind fg_ground_kinds[FG_GROUND_KINDS] = {
    {"fine dry sand", "0.3 % moisture, 1 % clay, median grain 0.6 mm", 0.003, 0.01, 0.6e-3, 2.2},
    {"ordinary gravel", "0.8 % moisture, 3 % clay, median grain 1.9 mm", 0.008, 0.03, 1.9e-3, 3.0},
    {"coarse, slightly damp", "1.5 % moisture, 3 % clay, median grain 4 mm", 0.015, 0.03, 4e-3,
     3.0},
};

bool fg_ground_known(const fg_scenario *scenario) {
  for (size_t i = 0; i < fg_settings_count; ++i)
    if (fg_setting_same_group((int)i, FG_SET_GROUND_CLAY) && fg_setting_given(scenario, (int)i))
      return true;
  return false;
}

fg_status fg_ground_put(const fg_ground_kind *kind, fg_scenario *scenario) {
  const struct {
    fg_setting_row row;
    double value;
  } given[] = {{FG_SET_GROUND_MOISTURE, kind->moisture},
               {FG_SET_GROUND_CLAY, kind->clay},
               {FG_SET_GROUND_MEDIAN_GRAIN, kind->median_grain},
               {FG_SET_GROUND_GRAIN_SPREAD, kind->grain_spread}};
  for (size_t i = 0; i < sizeof given / sizeof given[0]; ++i)
    (void)fg_scenario_set(scenario, given[i].row, given[i].value);
  return fg_scenario_resolve(scenario);
}

/* Only what somebody gave: the table's usual figures are no facts about this blower. */
static double if_given(const fg_scenario *s, fg_setting_row row) {
  return fg_setting_given(s, row) ? fg_setting_value(&fg_settings[row], s) : (double)NAN;
}

static fg_status tell_altitude(const fg_scenario *s, fg_blower_verdict *v) {
  const fg_blower_kind kind = (fg_blower_kind)s->blower.kind;
  fg_air here, low;
  fg_status status = fg_air_at(s->site.air_temperature, s->site.pressure, s->site.humidity, &here);
  if (status == FG_OK)
    status = fg_air_at(s->site.air_temperature, sea_level_pa, s->site.humidity, &low);
  if (status != FG_OK)
    return status;
  const double up = fg_fan_speed(kind, 1.0, s->site.elevation, here.density_kg_m3);
  const double down = fg_fan_speed(kind, 1.0, 0.0, low.density_kg_m3);
  v->speed_here = v->volume_here = up / down;
  v->pressure_here = v->speed_here * v->speed_here * here.density_kg_m3 / low.density_kg_m3;
  return FG_OK;
}

static fg_status tell_load(const fg_scenario *s, fg_blower_verdict *v) {
  const fg_status status = tell_altitude(s, v);
  if (status != FG_OK)
    return status;
  const fg_blower_kind kind = (fg_blower_kind)s->blower.kind;
  const double throttle = v->runs ? v->at[FG_KNOB_THROTTLE] : 1.0;
  v->fuel_m3 = fg_blower_is_engine(kind)
                   ? s->run.hours * fg_blower_fuel(kind, if_given(s, FG_SET_BLOWER_FUEL_USE),
                                                   throttle, s->site.elevation)
                   : 0.0;
  v->oil_m3 = s->blower.kind == FG_BLOWER_TWO_STROKE ? FG_OIL_SHARE * v->fuel_m3 : 0.0;
  v->carry_kg =
      if_given(s, FG_SET_BLOWER_MASS) + FG_PETROL_KG_M3 * v->fuel_m3 + oil_kg_m3 * v->oil_m3;
  v->noise_dba = if_given(s, FG_SET_BLOWER_NOISE);
  if (isnan(v->noise_dba))
    return FG_OK;
  return fg_noise_hours(v->noise_dba, &v->niosh_s, &v->osha_s);
}

typedef struct full_throttle {
  const fg_scenario *s;
  fg_machine m;
  double box_pa;
} full_throttle;

static double left_at_box(double volume_m3_s, void *context) {
  const full_throttle *f = context;
  return fg_supply_pressure(f->s, &f->m, volume_m3_s) - f->box_pa;
}

/* How much more there would be than the deck has use for. */
static void tell_spare(const fg_scenario *s, const fg_machine *m, fg_blower_verdict *v) {
  full_throttle f = {s, *m, v->box_pa};
  f.m.fan.speed /= s->run.throttle;
  double full = v->flow_m3_s;
  if (s->run.throttle < 1.0 &&
      fg_root(left_at_box, &f, v->flow_m3_s, fg_fan_free_volume(&f.m.fan), 1e-9, &full) != FG_OK)
    return;
  v->full_m3_s = full;
  v->spare_share = fmax(0.0, 1.0 - (v->deck_m3_s + v->leak_m3_s) / full);
}

static void tell_air(const fg_machine *m, fg_blower_verdict *v) {
  const fg_operating *at = &m->at;
  v->flow_m3_s = at->blower_flow_m3_s;
  v->bled_m3_s = at->gate_flow_m3_s;
  v->leak_m3_s = at->leak_flow_m3_s;
  v->deck_m3_s = at->blower_flow_m3_s - at->gate_flow_m3_s - at->leak_flow_m3_s;
  v->bled_share = at->gate_flow_m3_s / at->blower_flow_m3_s;
  v->velocity_m_s = at->open_velocity_m_s;
  v->box_pa = at->box_pressure_pa;
  v->support = at->support_open;
  v->capacity_margin = m->capacity_margin;
}

static fg_status tell_nominal(const fg_scenario *s, fg_blower_verdict *v) {
  fg_loss loss;
  const fg_status status = fg_loss_run(s, NULL, &loss);
  if (status != FG_OK && status != FG_ESTALL)
    return status;
  v->stalled = status == FG_ESTALL;
  tell_air(&loss.machine, v);
  tell_spare(s, &loss.machine, v);
  if (!v->stalled) {
    v->kept.nominal = loss.kept;
    v->kept_kg_s.nominal = loss.kept_kg_s;
    v->half_kept_m = loss.half_kept_m;
  }
  fg_loss_free(&loss);
  return FG_OK;
}

static void take_settings(const fg_tuned *tuned, bool exact, fg_blower_verdict *v) {
  v->runs = true;
  v->mean_kg_s = tuned->best.aim;
  v->stall_share = exact ? (double)NAN : tuned->best.stall_share;
  memcpy(v->at, tuned->best.at, sizeof v->at);
  if (exact)
    return;
  v->kept.band = tuned->best_kept;
  v->kept_kg_s.band = tuned->best_kg_s;
}

const char *fg_blower_name(const fg_scenario *scenario) {
  return *scenario->blower.name != '\0' ? scenario->blower.name : "yours";
}

/* With `deck` (settings another blower did best with) slope, feed and screen are taken from there
 * and only throttle and gate are sought; the verdict changes only where that brings more. */
static fg_status tune(const fg_scenario *s, const fg_blowers_options *options, const double *deck,
                      fg_blower_verdict *v) {
  fg_tune_options tuning;
  fg_tuned tuned;
  fg_tune_defaults(s, FG_AIM_GOLD_PER_HOUR, &tuning);
  tuning.samples = options->exact ? 1 : options->samples;
  tuning.seed = options->seed;
  tuning.quick = deck || !options->exact; /* one member is cheap */
  tuning.exact = options->exact;
  for (int k = FG_KNOB_SLOPE; deck && k < FG_KNOBS; ++k)
    tuning.knob[k].free = false;
  const fg_status status = fg_tune_run(s, &tuning, &tuned);
  if (status != FG_OK)
    return status == FG_ESTALL ? FG_OK : status;
  if (tuned.best.aim > v->mean_kg_s)
    take_settings(&tuned, options->exact, v);
  return FG_OK;
}

static fg_blower_verdict nothing_known(const fg_scenario *s) {
  const fg_banded unknown = {NAN, fg_band_unknown};
  const size_t points = s->blower.curve_count;
  fg_blower_verdict v = {.kind = s->blower.kind,
                         .volume_m3_s = points > 0 ? s->blower.curve[points - 1].volume_m3_s
                                                   : s->blower.free_volume,
                         .nozzle_m_s = points > 0 ? (double)NAN : s->blower.nozzle_speed,
                         .kept = unknown,
                         .kept_kg_s = unknown};
  (void)snprintf(v.name, sizeof v.name, "%s", s->blower.name);
  double *const numbers[] = {&v.stall_share,     &v.flow_m3_s,  &v.deck_m3_s,    &v.bled_m3_s,
                             &v.leak_m3_s,       &v.bled_share, &v.velocity_m_s, &v.box_pa,
                             &v.support,         &v.full_m3_s,  &v.spare_share,  &v.half_kept_m,
                             &v.capacity_margin, &v.noise_dba,  &v.niosh_s,      &v.osha_s};
  for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; ++i)
    *numbers[i] = NAN;
  for (int k = 0; k < FG_KNOBS; ++k)
    v.at[k] = NAN;
  return v;
}

/* What follows from the settings found. */
static fg_status describe(const fg_scenario *scenario, fg_blower_verdict *v) {
  fg_scenario *set = malloc(sizeof *set);
  if (!set)
    return FG_EMEMORY;
  fg_status status = FG_OK;
  if (v->runs) {
    status = fg_tune_apply(scenario, v->at, set);
    if (status == FG_OK)
      status = tell_nominal(set, v);
  }
  free(set);
  return status == FG_OK ? tell_load(scenario, v) : status;
}

fg_status fg_blower_judge(const fg_scenario *scenario, const fg_blowers_options *options,
                          fg_blower_verdict *verdict) {
  fg_blower_verdict v = nothing_known(scenario);
  fg_status status = tune(scenario, options, NULL, &v);
  if (status == FG_OK)
    status = describe(scenario, &v);
  if (status == FG_OK)
    *verdict = v;
  return status;
}

/* A blower on the deck as another one liked it best. */
static fg_status try_deck(const fg_scenario *scenario, const fg_blowers_options *options,
                          const double deck[FG_KNOBS], fg_blower_verdict *v) {
  fg_scenario *set = malloc(sizeof *set);
  if (!set)
    return FG_EMEMORY;
  double at[FG_KNOBS];
  memcpy(at, deck, sizeof at);
  if (v->runs) {
    at[FG_KNOB_THROTTLE] = v->at[FG_KNOB_THROTTLE];
    at[FG_KNOB_GATE] = v->at[FG_KNOB_GATE];
  }
  fg_status status = fg_tune_apply(scenario, at, set);
  if (status == FG_OK)
    status = tune(set, options, deck, v);
  free(set);
  return status;
}

static int by_volume(const void *a, const void *b) {
  const fg_blower_verdict *x = a, *y = b;
  if (x->volume_m3_s != y->volume_m3_s)
    return x->volume_m3_s < y->volume_m3_s ? -1 : 1;
  return strcmp(x->name, y->name);
}

typedef struct contest {
  const fg_scenario *each;
  size_t count;
  const fg_blowers_options *options;
  fg_blower_verdict *verdicts;
  fg_status *status;
} contest;

/* Whether a blower is searched from scratch first, to find slope and feed for all: the smallest,
 * the largest and one between. */
static bool is_scout(const contest *c, size_t index) {
  size_t least = 0, most = 0;
  for (size_t i = 1; i < c->count; ++i) {
    if (c->verdicts[i].volume_m3_s < c->verdicts[least].volume_m3_s)
      least = i;
    if (c->verdicts[i].volume_m3_s > c->verdicts[most].volume_m3_s)
      most = i;
  }
  return index == least || index == most || index == c->count / 2;
}

static bool is_own(const contest *c, size_t index) {
  return c->options->own &&
         strcmp(c->verdicts[index].name, fg_blower_name(&c->options->own->set)) == 0;
}

static bool is_other(const contest *c, size_t index) { return !is_own(c, index); }

/* One that has not enough with another's slope and feed may do better with its own. */
static bool is_strained(const contest *c, size_t index) {
  const fg_blower_verdict *v = &c->verdicts[index];
  return !is_own(c, index) && (!v->runs || v->at[FG_KNOB_THROTTLE] >= full_throttle_edge);
}

/* Searches those that `which` says; deck as in tune().  One blower a thread: the small ensembles
 * of a search do not fill two. */
static fg_status search(const contest *c, bool (*which)(const contest *, size_t),
                        const double *deck) {
  const long blowers = (long)c->count;
#pragma omp parallel for schedule(dynamic, 1)
  for (long i = 0; i < blowers; ++i) {
    c->status[i] = FG_OK;
    if (which(c, (size_t)i))
      c->status[i] = deck ? try_deck(&c->each[i], c->options, deck, &c->verdicts[i])
                          : tune(&c->each[i], c->options, NULL, &c->verdicts[i]);
  }
  for (size_t i = 0; i < c->count; ++i)
    if (c->status[i] != FG_OK)
      return c->status[i];
  return FG_OK;
}

/* The settings found for the scenario's own blower; false: there are none. */
static bool take_own(const contest *c) {
  bool taken = false;
  for (size_t i = 0; i < c->count; ++i)
    if (is_own(c, i)) {
      take_settings(&c->options->own->tuned, c->options->exact, &c->verdicts[i]);
      taken = true;
    }
  return taken;
}

static fg_status search_all(const contest *c) {
  fg_status status = take_own(c) ? FG_OK : search(c, is_scout, NULL);
  size_t best = 0;
  for (size_t i = 1; i < c->count; ++i)
    if (c->verdicts[i].mean_kg_s > c->verdicts[best].mean_kg_s)
      best = i;
  if (status == FG_OK && c->verdicts[best].runs) {
    double deck[FG_KNOBS];
    memcpy(deck, c->verdicts[best].at, sizeof deck);
    status = search(c, is_other, deck);
  }
  return status == FG_OK ? search(c, is_strained, NULL) : status;
}

fg_status fg_blowers_judge(const fg_scenario *each, size_t count, const fg_blowers_options *options,
                           fg_blower_verdict *verdicts) {
  const contest c = {each, count, options, verdicts, calloc(count, sizeof *c.status)};
  if (!c.status)
    return FG_EMEMORY;
  for (size_t i = 0; i < count; ++i)
    verdicts[i] = nothing_known(&each[i]);
  fg_status status = search_all(&c);
  for (size_t i = 0; i < count && status == FG_OK; ++i)
    status = describe(&each[i], &verdicts[i]);
  free(c.status);
  if (status == FG_OK)
    qsort(verdicts, count, sizeof *verdicts, by_volume);
  return status;
}

long fg_blower_enough(const fg_blower_verdict *verdicts, size_t count) {
  double most = 0.0;
  for (size_t i = 0; i < count; ++i)
    most = fmax(most, verdicts[i].mean_kg_s);
  for (size_t i = 0; i < count && most > 0.0; ++i)
    if (verdicts[i].mean_kg_s >= enough_share * most)
      return (long)i;
  return -1;
}
