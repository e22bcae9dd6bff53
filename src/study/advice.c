/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/advice.h"

#include <math.h>

#include "flourgold/config.h"
#include "flourgold/settings.h"

const double fg_fine_limit_m = 0.250e-3;

/* A knob, and how it is moved: by a factor, or to a sum. */
typedef struct knob {
  const char *words;
  const char *key;
  double factor, add;
} knob;

static const knob knobs[] = {
    {"open the throttle to", "run.throttle", 1.15, 0.0},
    {"close the throttle to", "run.throttle", 0.85, 0.0},
    {"open the gate to", "run.gate_opening", 1.0, 0.2},
    {"close the gate to", "run.gate_opening", 1.0, -0.2},
    {"feed slower, at", "run.feed", 0.7, 0.0},
    {"feed half as fast, at", "run.feed", 0.5, 0.0},
    {"set the deck flatter, at", "deck.slope", 1.0, -0.0349065850398866},
    {"set the deck steeper, at", "deck.slope", 1.0, 0.0349065850398866},
    {"let the ground dry to", "ground.moisture", 0.5, 0.0},
    {"break the clods, down to", "ground.clods", 0.3, 0.0},
    {"screen finer, at", "screen.opening", 0.5, 0.0},
    {"clean the riffles every", "run.cleaning_interval", 0.5, 0.0},
    {"shake harder: off-centre weight", "shaker.unbalance", 1.5, 0.0},
};

_Static_assert(sizeof knobs / sizeof knobs[0] <= FG_TRIALS_MAX, "room for every trial");

double fg_fine_kept(const fg_loss *loss) {
  double mass = 0.0, kept = 0.0;
  for (size_t k = 0; k < loss->gold_count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    if (isnan(g->share) || g->size_m >= fg_fine_limit_m)
      continue;
    mass += g->share * g->passing;
    kept += g->share * g->passing * g->kept;
  }
  return mass > 0.0 ? kept / mass : (double)NAN;
}

static void judge(const fg_scenario *s, const fg_loss_options *options, fg_trial *trial,
                  fg_status *status) {
  fg_loss loss;
  *status = fg_loss_run(s, options, &loss);
  if (*status != FG_OK && *status != FG_ESTALL)
    return;
  trial->stalled = *status == FG_ESTALL;
  trial->capacity_margin = loss.machine.capacity_margin;
  trial->kept = trial->stalled ? (double)NAN : loss.kept;
  trial->kept_kg_s = trial->stalled ? 0.0 : loss.kept_kg_s;
  trial->fine_kept = trial->stalled ? (double)NAN : fg_fine_kept(&loss);
  fg_loss_free(&loss);
  *status = FG_OK;
}

/* Sets one number and derives the rest anew; a feed set so is a mass. */
static fg_status move(fg_scenario *s, int row, double value) {
  const fg_setting *setting = &fg_settings[row];
  *fg_setting_number(setting, s) = value;
  if (s->origin[row] < FG_FROM_CATALOGUE)
    s->origin[row] = FG_FROM_SET;
  if (setting->offset == offsetof(fg_scenario, run.feed))
    s->run.feed_basis = FG_BASIS_SI;
  return fg_scenario_resolve(s);
}

static fg_status try_knob(const fg_scenario *scenario, const fg_loss_options *options,
                          const knob *k, fg_trial *trial) {
  const int row = fg_setting_find(k->key);
  if (row < 0)
    return FG_EDOMAIN;
  const fg_setting *setting = &fg_settings[row];
  const double now = fg_setting_value(setting, scenario);
  const double value = fmin(setting->highest, fmax(setting->lowest, now * k->factor + k->add));
  if (fabs(value - now) <= 1e-9 * fabs(now))
    return FG_EDOMAIN; /* already at its end */
  fg_scenario moved = *scenario;
  fg_status status = move(&moved, row, value);
  if (status != FG_OK)
    return status;
  *trial = (fg_trial){.words = k->words, .key = k->key, .value = value};
  judge(&moved, options, trial, &status);
  return status;
}

fg_status fg_advice_run(const fg_scenario *scenario, const fg_loss_options *options,
                        fg_trial trials[FG_TRIALS_MAX], size_t *count) {
  size_t done = 0;
  for (size_t i = 0; i < sizeof knobs / sizeof knobs[0]; ++i) {
    const fg_status status = try_knob(scenario, options, &knobs[i], &trials[done]);
    if (status == FG_OK)
      ++done;
    else if (status == FG_EMEMORY)
      return status;
  }
  *count = done;
  return FG_OK;
}

double fg_kept_without_clay(const fg_scenario *scenario, const fg_loss_options *options) {
  fg_scenario clean = *scenario;
  fg_trial trial = {.kept = NAN};
  const int row = fg_setting_find("ground.clay");
  /* Set, so that a jar does not bring it back. */
  fg_status status = row >= 0 ? fg_scenario_correct(&clean, row, 0.0) : FG_EDOMAIN;
  if (status == FG_OK)
    judge(&clean, options, &trial, &status);
  return status == FG_OK ? trial.kept : (double)NAN;
}
