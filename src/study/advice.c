/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/advice.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"
#include "study/cleanup.h"
#include "study/fine.h"

/* A knob, and how it is moved: by a factor, or to a sum. */
typedef struct knob {
  const char *words;
  fg_setting_row row;
  double factor, add;
} knob;

static const knob knobs[] = {
    {"open the throttle to", FG_SET_RUN_THROTTLE, 1.15, 0.0},
    {"close the throttle to", FG_SET_RUN_THROTTLE, 0.85, 0.0},
    {"open the gate to", FG_SET_RUN_GATE_OPENING, 1.0, 0.2},
    {"close the gate to", FG_SET_RUN_GATE_OPENING, 1.0, -0.2},
    {"feed slower, at", FG_SET_RUN_FEED, 0.7, 0.0},
    {"feed half as fast, at", FG_SET_RUN_FEED, 0.5, 0.0},
    {"set the deck flatter, at", FG_SET_DECK_SLOPE, 1.0, -0.0349065850398866},
    {"set the deck steeper, at", FG_SET_DECK_SLOPE, 1.0, 0.0349065850398866},
    {"let the ground dry to", FG_SET_GROUND_MOISTURE, 0.5, 0.0},
    {"break the clods, down to", FG_SET_GROUND_CLODS, 0.3, 0.0},
    {"screen finer, at", FG_SET_SCREEN_OPENING, 0.5, 0.0},
    {"shake harder: off-centre weight", FG_SET_SHAKER_UNBALANCE, 1.5, 0.0},
};

enum { KNOBS = sizeof knobs / sizeof knobs[0], WIDE = 5, DRY = 2, STEPS_MAX = 24 };
_Static_assert(KNOBS + 1 + WIDE <= FG_TRIALS_MAX && DRY <= WIDE, "room for every trial");

static const double dry_enough[DRY] = {0.01, 0.005}; /* moistures that good days have */
static const double few_clods = 0.01;
static const double enough_spare = 0.2;
static const double degree = 0.017453292519943295;

void fg_trial_tell(const fg_loss *loss, bool stalled, fg_trial *trial) {
  trial->stalled = stalled;
  trial->capacity_margin = loss->machine.capacity_margin;
  trial->kept = stalled ? (double)NAN : loss->kept;
  trial->kept_kg_s = stalled ? 0.0 : loss->kept_kg_s;
  trial->fine_kept = stalled ? (double)NAN : fg_fine_kept(loss);
}

static void judge(const fg_scenario *s, const fg_loss_options *options, fg_trial *trial,
                  fg_status *status) {
  fg_loss loss;
  *status = fg_loss_run(s, options, &loss);
  if (*status != FG_OK && *status != FG_ESTALL)
    return;
  fg_trial_tell(&loss, *status == FG_ESTALL, trial);
  fg_loss_free(&loss);
  *status = FG_OK;
}

/* FG_EDOMAIN where the setting is at that value already. */
static fg_status try_value(const fg_scenario *scenario, const fg_loss_options *options,
                           const char *words, int row, double wanted, fg_trial *trial) {
  const fg_setting *setting = &fg_settings[row];
  const double now = fg_setting_value(setting, scenario);
  const double value = fmin(setting->highest, fmax(setting->lowest, wanted));
  if (fabs(value - now) <= 1e-9 * fabs(now))
    return FG_EDOMAIN;
  fg_scenario moved = *scenario;
  fg_status status = fg_scenario_set(&moved, row, value);
  if (status == FG_OK)
    status = fg_scenario_resolve(&moved);
  if (status != FG_OK)
    return status;
  *trial = (fg_trial){.words = words, .row = row, .value = value};
  judge(&moved, options, trial, &status);
  return status;
}

static fg_status try_knob(const fg_scenario *scenario, const fg_loss_options *options,
                          const knob *k, fg_trial *trial) {
  const int row = k->row;
  if (row == FG_SET_GROUND_CLODS && scenario->ground.clods <= few_clods)
    return FG_EDOMAIN;
  const double now = fg_setting_value(&fg_settings[row], scenario);
  return try_value(scenario, options, k->words, row, now * k->factor + k->add, trial);
}

/* The interval that every command names. */
static fg_status try_interval(const fg_scenario *scenario, const fg_loss_options *options,
                              bool exact, fg_trial *trial) {
  fg_clean_interval advised;
  const fg_status status = fg_cleanup_advise(scenario, exact, &advised);
  return status == FG_OK ? try_value(scenario, options, "clean the riffles every",
                                     FG_SET_RUN_CLEANING_INTERVAL, advised.best_s, trial)
                         : status;
}

/* ---- wider steps, for a deck that stalls ---- */

static size_t wider_throttle(const fg_scenario *s, double steps[STEPS_MAX]) {
  size_t count = 0;
  for (int tenths = 5; tenths <= 10; ++tenths)
    if (0.1 * tenths > s->run.throttle + 1e-9)
      steps[count++] = 0.1 * tenths;
  return count;
}

static size_t wider_gate(const fg_scenario *s, double steps[STEPS_MAX]) {
  steps[0] = 0.0;
  return s->run.gate_opening > 0.0;
}

static size_t wider_feed(const fg_scenario *s, double steps[STEPS_MAX]) {
  steps[0] = 0.35 * s->run.feed;
  steps[1] = 0.25 * s->run.feed;
  return 2;
}

/* By two degrees as far as the legs allow. */
static size_t wider_slope(const fg_scenario *s, double steps[STEPS_MAX]) {
  const double most = s->limits.slope_most;
  size_t count = 0;
  while (count + 1 < STEPS_MAX && s->deck.slope + (4.0 + 2.0 * (double)count) * degree < most) {
    steps[count] = s->deck.slope + (4.0 + 2.0 * (double)count) * degree;
    ++count;
  }
  if (most > s->deck.slope)
    steps[count++] = most;
  return count;
}

static size_t wider_moisture(const fg_scenario *s, double steps[STEPS_MAX]) {
  size_t count = 0;
  for (size_t i = 0; i < DRY; ++i)
    if (dry_enough[i] < s->ground.moisture)
      steps[count++] = dry_enough[i];
  return count;
}

static const struct {
  const char *words;
  fg_setting_row row;
  size_t (*steps)(const fg_scenario *, double[STEPS_MAX]);
} wider[WIDE] = {
    {"open the throttle to", FG_SET_RUN_THROTTLE, wider_throttle},
    {"shut the gate, to", FG_SET_RUN_GATE_OPENING, wider_gate},
    {"feed much slower, at", FG_SET_RUN_FEED, wider_feed},
    {"set the deck steeper, at", FG_SET_DECK_SLOPE, wider_slope},
    {"let the ground dry to", FG_SET_GROUND_MOISTURE, wider_moisture},
};

static bool runs_well(const fg_trial *t) {
  return !t->stalled && t->capacity_margin >= enough_spare;
}

/* Adds the first value of each knob at which the deck runs well, unless a small step of that
 * knob does already. */
static fg_status try_wider(const fg_scenario *scenario, const fg_loss_options *options,
                           fg_trial trials[FG_TRIALS_MAX], size_t *count) {
  const size_t small = *count;
  for (size_t i = 0; i < WIDE; ++i) {
    double steps[STEPS_MAX];
    const int row = wider[i].row;
    bool done = false;
    for (size_t k = 0; k < small; ++k)
      done = done || (trials[k].row == row && runs_well(&trials[k]));
    const size_t most = wider[i].steps(scenario, steps);
    for (size_t k = 0; k < most && !done; ++k) {
      fg_trial trial;
      const fg_status status = try_value(scenario, options, wider[i].words, row, steps[k], &trial);
      if (status == FG_EMEMORY)
        return status;
      done = status == FG_OK && runs_well(&trial);
      if (done)
        trials[(*count)++] = trial;
    }
  }
  return FG_OK;
}

/* Damp ground: half of much water is still much. */
static fg_status try_drier(const fg_scenario *scenario, const fg_loss_options *options,
                           fg_trial trials[FG_TRIALS_MAX], size_t *count) {
  for (size_t i = 0; i < DRY; ++i) {
    const double now = scenario->ground.moisture, wanted = dry_enough[i];
    if (now <= dry_enough[0] || fabs(0.5 * now - wanted) < 0.1 * wanted)
      continue;
    const fg_status status = try_value(scenario, options, "let the ground dry to",
                                       FG_SET_GROUND_MOISTURE, wanted, &trials[*count]);
    if (status == FG_EMEMORY)
      return status;
    *count += status == FG_OK;
  }
  return FG_OK;
}

static bool is_stalled(const fg_scenario *scenario, const fg_loss_options *options) {
  fg_trial now = {.stalled = false};
  fg_status status;
  judge(scenario, options, &now, &status);
  return status == FG_OK && now.stalled;
}

fg_status fg_advice_run(const fg_scenario *scenario, const fg_loss_options *options, bool exact,
                        fg_trial trials[FG_TRIALS_MAX], size_t *count) {
  size_t done = 0;
  for (size_t i = 0; i < KNOBS; ++i) {
    const fg_status status = try_knob(scenario, options, &knobs[i], &trials[done]);
    if (status == FG_OK)
      ++done;
    else if (status == FG_EMEMORY)
      return status;
  }
  const fg_status cleaned = try_interval(scenario, options, exact, &trials[done]);
  if (cleaned == FG_EMEMORY)
    return cleaned;
  done += cleaned == FG_OK;
  const fg_status status = is_stalled(scenario, options)
                               ? try_wider(scenario, options, trials, &done)
                               : try_drier(scenario, options, trials, &done);
  if (status != FG_EMEMORY)
    *count = done;
  return status == FG_EMEMORY ? status : FG_OK;
}

double fg_kept_without_clay(const fg_scenario *scenario, const fg_loss_options *options) {
  fg_scenario clean = *scenario;
  fg_trial trial = {.kept = NAN};
  /* Set, so that a jar does not bring it back. */
  fg_status status = fg_scenario_correct(&clean, FG_SET_GROUND_CLAY, 0.0);
  if (status == FG_OK)
    judge(&clean, options, &trial, &status);
  return status == FG_OK ? trial.kept : (double)NAN;
}
