/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/gains.h"

#include <math.h>
#include <stdlib.h>

#include "flourgold/settings.h"
#include "scenario/settings_table.h"
#include "stats/band.h"

/* What a member keeps. */
typedef struct outcome {
  double kept, fine, rate;
  double runs; /* 1, 0; NaN: no answer */
} outcome;

typedef struct comparing {
  const fg_scenario *scenario;
  const fg_trial *trials;
  fg_loss_options options;
  outcome *found; /* [member][0: as it is, then each trial] */
  size_t columns;
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

/* The gain of trial `t` (from 1) in one figure of all members. */
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

static void nominal_gain(const fg_loss *now, const fg_trial *trial, fg_gain *gain) {
  const fg_banded unknown = {NAN, fg_band_unknown};
  *gain = (fg_gain){unknown, unknown, unknown, NAN};
  if (now->machine.stalled || trial->stalled)
    return;
  gain->kept.nominal = trial->kept - now->kept;
  gain->fine.nominal = trial->fine_kept - fg_fine_kept(now);
  gain->rate.nominal = now->kept_kg_s > 0.0 ? trial->kept_kg_s / now->kept_kg_s - 1.0 : (double)NAN;
}

fg_status fg_gains_run(const fg_scenario *scenario, const fg_loss_options *options,
                       const fg_plan *plan, const fg_loss *now, const fg_trial trials[],
                       size_t count, fg_gain gains[]) {
  for (size_t t = 0; t < count; ++t)
    nominal_gain(now, &trials[t], &gains[t]);
  if (!plan || count == 0)
    return FG_OK;
  const size_t members = plan->samples < FG_GAIN_MEMBERS ? plan->samples : FG_GAIN_MEMBERS;
  comparing c = {.scenario = scenario, .trials = trials, .columns = count + 1};
  c.options = options ? *options : c.options;
  c.options.kept_only = true;
  c.found = malloc(members * c.columns * sizeof *c.found);
  double *room = malloc(3 * members * sizeof *room);
  fg_status status = c.found && room ? FG_OK : FG_EMEMORY;
  for (size_t i = 0; status == FG_OK && i < members * c.columns; ++i)
    c.found[i] = no_answer;
  if (status == FG_OK)
    status = fg_plan_run(plan, scenario, members, compare_member, &c, NULL);
  for (size_t t = 1; status == FG_OK && t <= count; ++t) {
    fg_gain *gain = &gains[t - 1];
    gain->runs = share_that_runs(&c, plan, members, t);
    if (now->machine.stalled)
      continue;
    gain->kept.band = gain_band(&c, plan, members, t, offsetof(outcome, kept), false, room);
    gain->fine.band = gain_band(&c, plan, members, t, offsetof(outcome, fine), false, room);
    gain->rate.band = gain_band(&c, plan, members, t, offsetof(outcome, rate), true, room);
  }
  free(c.found);
  free(room);
  return status;
}
