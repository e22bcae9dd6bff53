/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/gains.h"

#include <math.h>
#include <stdlib.h>

#include "flourgold/settings.h"
#include "scenario/settings_table.h"
#include "stats/band.h"
#include "study/fine.h"

/* What a member keeps. */
typedef struct outcome {
  double kept, fine, rate;
  double runs; /* 1, 0; NaN: no answer */
} outcome;

typedef struct comparing {
  const fg_scenario *scenario;
  const fg_trial *trials;
  fg_loss_options options;
  outcome *found; /* [member][column] */
  size_t columns; /* as it is, then each trial; or each scenario */
} comparing;

/* Share of the time that a deck runs between cleanings. */
static double running_share(const fg_scenario *s) {
  return s->run.cleaning_interval / (s->run.cleaning_interval + s->run.cleaning_time);
}

static const outcome no_answer = {NAN, NAN, NAN, NAN};

static fg_status judge(const fg_scenario *s, const fg_loss_options *options, outcome *out) {
  fg_loss loss;
  const fg_status status = fg_loss_run(s, options, &loss);
  if (status == FG_OK)
    *out = (outcome){loss.kept, fg_fine_kept(&loss), loss.kept_kg_s * running_share(s), 1.0};
  else if (status == FG_ESTALL)
    *out = (outcome){0.0, 0.0, 0.0, 0.0};
  if (status == FG_OK || status == FG_ESTALL)
    fg_loss_free(&loss);
  return status;
}

/* The member with the change of a trial. */
static fg_status change(const comparing *c, const fg_trial *trial, fg_scenario *member) {
  const fg_setting *setting = &fg_settings[trial->row];
  const double was = fg_setting_value(setting, c->scenario);
  const double drawn = fg_setting_value(setting, member);
  const bool adds = trial->row == FG_SET_RUN_GATE_OPENING || was == 0.0;
  const double value = adds ? drawn + trial->value - was : drawn * trial->value / was;
  const fg_status status =
      fg_scenario_set(member, trial->row, fmin(setting->highest, fmax(setting->lowest, value)));
  return status == FG_OK ? fg_scenario_resolve(member) : status;
}

static fg_status compare_member(const fg_scenario *member, size_t index, void *context) {
  const comparing *c = context;
  outcome *found = c->found + index * c->columns;
  fg_scenario *moved = malloc(sizeof *moved);
  if (!moved)
    return FG_EMEMORY;
  fg_status status = judge(member, &c->options, &found[0]);
  for (size_t t = 1; t < c->columns && status != FG_EMEMORY; ++t) {
    *moved = *member;
    if (change(c, &c->trials[t - 1], moved) == FG_OK &&
        judge(moved, &c->options, &found[t]) == FG_EMEMORY)
      status = FG_EMEMORY;
  }
  free(moved);
  return status;
}

/* The gain of column `t` over the first in one figure of all members. */
static fg_band gain_band(const comparing *c, const fg_plan *plan, size_t members, size_t t,
                         size_t offset, bool relative, double *room) {
  for (size_t i = 0; i < members; ++i) {
    const outcome *found = c->found + i * c->columns;
    const double was = *(const double *)(const void *)((const char *)&found[0] + offset);
    const double is = *(const double *)(const void *)((const char *)&found[t] + offset);
    room[i] = relative ? (was > 0.0 ? is / was - 1.0 : (double)NAN) : is - was;
  }
  return fg_weighted_band(room, plan->weight, members, room + members);
}

/* What column `t` keeps in the members in which it runs. */
static fg_band share_band(const comparing *c, const fg_plan *plan, size_t members, size_t t,
                          double *room) {
  for (size_t i = 0; i < members; ++i) {
    const outcome *found = c->found + i * c->columns + t;
    room[i] = found->runs > 0.0 ? found->kept : (double)NAN;
  }
  return fg_weighted_band(room, plan->weight, members, room + members);
}

static double share_that_runs(const comparing *c, const fg_plan *plan, size_t members, size_t t) {
  double all = 0.0, runs = 0.0;
  for (size_t i = 0; i < members; ++i) {
    const outcome *found = c->found + i * c->columns + t;
    const double weight = plan->weight ? plan->weight[i] : 1.0;
    all += isnan(found->runs) ? 0.0 : weight;
    runs += isnan(found->runs) ? 0.0 : weight * found->runs;
  }
  return all > 0.0 ? runs / all : (double)NAN;
}

/* `running`: the time that the deck runs with the change over that without. */
static void nominal_gain(const fg_loss *now, const fg_trial *trial, double running, fg_gain *gain) {
  const fg_banded unknown = {NAN, fg_band_unknown};
  *gain = (fg_gain){unknown, unknown, unknown, fg_band_unknown, NAN};
  if (now->machine.stalled || trial->stalled)
    return;
  gain->kept.nominal = trial->kept - now->kept;
  gain->fine.nominal = trial->fine_kept - fg_fine_kept(now);
  gain->rate.nominal =
      now->kept_kg_s > 0.0 ? trial->kept_kg_s * running / now->kept_kg_s - 1.0 : (double)NAN;
}

/* Of a trial over the scenario as it is. */
static double running_gain(const fg_scenario *scenario, const fg_trial *trial) {
  double interval = scenario->run.cleaning_interval, stop = scenario->run.cleaning_time;
  if (trial->row == FG_SET_RUN_CLEANING_INTERVAL)
    interval = trial->value;
  if (trial->row == FG_SET_RUN_CLEANING_TIME)
    stop = trial->value;
  return interval / (interval + stop) / running_share(scenario);
}

/* Room for what all members keep, no answer yet. */
static fg_status begin(comparing *c, size_t members, double **room) {
  c->options.kept_only = true;
  c->found = malloc(members * c->columns * sizeof *c->found);
  *room = malloc(3 * members * sizeof **room);
  if (!c->found || !*room)
    return FG_EMEMORY;
  for (size_t i = 0; i < members * c->columns; ++i)
    c->found[i] = no_answer;
  return FG_OK;
}

static void tell_gain(const comparing *c, const fg_plan *plan, size_t members, size_t t,
                      bool comparable, double *room, fg_gain *gain) {
  gain->runs = share_that_runs(c, plan, members, t);
  gain->share = share_band(c, plan, members, t, room);
  if (!comparable)
    return;
  gain->kept.band = gain_band(c, plan, members, t, offsetof(outcome, kept), false, room);
  gain->fine.band = gain_band(c, plan, members, t, offsetof(outcome, fine), false, room);
  gain->rate.band = gain_band(c, plan, members, t, offsetof(outcome, rate), true, room);
}

fg_status fg_gains_run(const fg_scenario *scenario, const fg_loss_options *options,
                       const fg_plan *plan, const fg_loss *now, const fg_trial trials[],
                       size_t count, fg_gain gains[]) {
  for (size_t t = 0; t < count; ++t)
    nominal_gain(now, &trials[t], running_gain(scenario, &trials[t]), &gains[t]);
  if (!plan || count == 0)
    return FG_OK;
  const size_t members = plan->samples < FG_GAIN_MEMBERS ? plan->samples : FG_GAIN_MEMBERS;
  comparing c = {.scenario = scenario, .trials = trials, .columns = count + 1};
  c.options = options ? *options : c.options;
  double *room = NULL;
  fg_status status = begin(&c, members, &room);
  if (status == FG_OK)
    status = fg_plan_run(plan, scenario, members, compare_member, &c, NULL);
  for (size_t t = 1; status == FG_OK && t <= count; ++t)
    tell_gain(&c, plan, members, t, !now->machine.stalled, room, &gains[t - 1]);
  free(c.found);
  free(room);
  return status;
}

/* One scenario's column. */
typedef struct column {
  const comparing *c;
  size_t t;
} column;

static fg_status judge_member(const fg_scenario *member, size_t index, void *context) {
  const column *one = context;
  return judge(member, &one->c->options, &one->c->found[index * one->c->columns + one->t]);
}

fg_status fg_gains_between(const fg_scenario scenarios[], size_t count,
                           const fg_loss_options *options, const fg_plan plans[],
                           const fg_loss *first, const fg_trial trials[], fg_gain gains[]) {
  for (size_t t = 0; t < count; ++t)
    nominal_gain(first, &trials[t], running_share(&scenarios[t]) / running_share(&scenarios[0]),
                 &gains[t]);
  if (!plans || count == 0)
    return FG_OK;
  const size_t members = plans[0].samples;
  comparing c = {.columns = count};
  c.options = options ? *options : c.options;
  double *room = NULL;
  fg_status status = begin(&c, members, &room);
  for (size_t t = 0; status == FG_OK && t < count; ++t) {
    column one = {&c, t};
    status = fg_plan_run(&plans[t], &scenarios[t], members, judge_member, &one, NULL);
  }
  for (size_t t = 0; status == FG_OK && t < count; ++t)
    tell_gain(&c, &plans[0], members, t, !first->machine.stalled, room, &gains[t]);
  free(c.found);
  free(room);
  return status;
}
