/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/observe.h"

#include <math.h>

#include "flourgold/loss.h"
#include "flourgold/machine.h"
#include "flourgold/settings.h"
#include "model/household.h"
#include "scenario/settings_table.h"

const double fg_fair_deviation = 2.0;

static const double gate_step = 0.05;
static const double full_share = 0.9; /* of a pocket that looks level with the riffle */
static const double longest_s = 86400.0;

/* The machine as it was read, solved. */
typedef struct reading_case {
  fg_scenario run;
  fg_machine machine;
} reading_case;

/* One expectation: its value and whether it is a bound only. */
typedef struct expectation {
  double value;
  fg_bound bound;
} expectation;

static fg_status stalls_at(const fg_scenario *run, double gate, bool *stalled) {
  fg_scenario moved = *run;
  fg_machine m;
  moved.run.gate_opening = gate;
  const fg_status status = fg_machine_solve(&moved, &m);
  if (status == FG_OK)
    *stalled = m.stalled;
  return status;
}

/* Narrows a gate between one that runs and one that stalls. */
static fg_status narrow(const fg_scenario *run, double running, double stalling, double *gate) {
  for (int i = 0; i < 12; ++i) {
    const double middle = 0.5 * (running + stalling);
    bool stalled = false;
    const fg_status status = stalls_at(run, middle, &stalled);
    if (status != FG_OK)
      return status;
    if (stalled)
      stalling = middle;
    else
      running = middle;
  }
  *gate = 0.5 * (running + stalling);
  return FG_OK;
}

/* The gate, opened from where it stood, at which the bed stops. */
static fg_status expect_gate(const reading_case *c, expectation *e) {
  double gate = c->run.run.gate_opening;
  while (gate < 1.0) {
    const double next = fmin(1.0, gate + gate_step);
    bool stalled = false;
    const fg_status status = stalls_at(&c->run, next, &stalled);
    if (status != FG_OK)
      return status;
    if (stalled)
      return narrow(&c->run, gate, next, &e->value);
    gate = next;
  }
  *e = (expectation){1.0, FG_BOUND_AT_LEAST};
  return FG_OK;
}

/* Mean fill of the upper half of the pockets after a time of running. */
static fg_status fill_after(const fg_scenario *run, double seconds, double *fill) {
  const fg_loss_options quick = {.cells = 8, .steps = 4, .times = 8};
  fg_scenario timed = *run;
  fg_loss loss;
  timed.run.cleaning_interval = seconds;
  const fg_status status = fg_loss_run(&timed, &quick, &loss);
  if (status != FG_OK)
    return status;
  const size_t upper = (loss.riffles + 1) / 2;
  double sum = 0.0;
  for (size_t i = 0; i < upper; ++i)
    sum += loss.fill[i];
  *fill = sum / (double)upper;
  fg_loss_free(&loss);
  return FG_OK;
}

/* Time to a full share, by halving in the logarithm to two parts in a hundred. */
static fg_status expect_full(const reading_case *c, expectation *e) {
  double early = 60.0, late = 600.0, fill = 0.0;
  for (;;) {
    const fg_status status = fill_after(&c->run, late, &fill);
    if (status != FG_OK)
      return status;
    if (fill >= full_share)
      break;
    if (late >= longest_s) {
      *e = (expectation){late, FG_BOUND_AT_LEAST};
      return FG_OK;
    }
    early = late;
    late *= 2.0;
  }
  while (late / early > 1.02) {
    const double middle = sqrt(early * late);
    const fg_status status = fill_after(&c->run, middle, &fill);
    if (status != FG_OK)
      return status;
    if (fill >= full_share)
      late = middle;
    else
      early = middle;
  }
  e->value = sqrt(early * late);
  return FG_OK;
}

static fg_status expect_box(const reading_case *c, expectation *e) {
  e->value = c->machine.at.box_pressure_pa;
  return FG_OK;
}

static fg_status expect_rotor(const reading_case *c, expectation *e) {
  e->value = c->machine.at.shake.speed_hz;
  return FG_OK;
}

static fg_status expect_depth(const reading_case *c, expectation *e) {
  e->value = c->machine.at.depth_m;
  return FG_OK;
}

/* A pebble as thick as the bed goes with the bed's mean speed. */
static fg_status expect_crossing(const reading_case *c, expectation *e) {
  e->value = c->machine.residence_s;
  return FG_OK;
}

static const struct {
  fg_setting_row row;
  fg_status (*expect)(const reading_case *c, expectation *e);
} observations[FG_OBSERVATIONS_MAX] = {
    {FG_SET_OBSERVED_BOX_PRESSURE, expect_box}, {FG_SET_OBSERVED_ROTOR_SPEED, expect_rotor},
    {FG_SET_OBSERVED_BED_DEPTH, expect_depth},  {FG_SET_OBSERVED_CROSSING_TIME, expect_crossing},
    {FG_SET_OBSERVED_GATE_STOP, expect_gate},   {FG_SET_OBSERVED_FULL_MINUTES, expect_full},
};

static void list_seen(const fg_scenario *s, fg_observed *o) {
  for (size_t i = 0; i < FG_OBSERVATIONS_MAX; ++i) {
    const int row = observations[i].row;
    const double seen = fg_setting_value(&fg_settings[row], s);
    if (!isfinite(seen) || !(s->error_of[row] > 0.0))
      continue;
    o->item[o->count++] = (fg_observation){
        .row = row, .seen = seen, .error = s->error_of[row], .predicted = NAN, .deviation = NAN};
  }
}

static fg_status predict_one(const reading_case *c, fg_observation *item) {
  expectation e = {NAN, FG_BOUND_NONE};
  for (size_t i = 0; i < FG_OBSERVATIONS_MAX; ++i) {
    if ((int)observations[i].row != item->row)
      continue;
    const fg_status status = observations[i].expect(c, &e);
    if (status != FG_OK)
      return status;
  }
  item->predicted = e.value;
  item->bound = e.bound;
  item->deviation = (item->seen - e.value) / item->error;
  /* Seen beyond a bound, it agrees with it. */
  if ((double)e.bound * item->deviation > 0.0)
    item->deviation = 0.0;
  return FG_OK;
}

fg_status fg_observe_predict(const fg_scenario *scenario, fg_observed *out) {
  fg_observed o = {.count = 0};
  reading_case c;
  list_seen(scenario, &o);
  if (o.count > 0) {
    fg_scenario_as_run(scenario, &c.run);
    const fg_status status = fg_machine_solve(&c.run, &c.machine);
    if (status != FG_OK)
      return status;
    o.stalled = c.machine.stalled;
  }
  for (size_t i = 0; i < o.count && !o.stalled; ++i) {
    const fg_status status = predict_one(&c, &o.item[i]);
    if (status != FG_OK)
      return status;
    o.misfit += o.item[i].deviation * o.item[i].deviation;
  }
  if (o.stalled)
    o.misfit = INFINITY;
  o.log_likelihood = -0.5 * o.misfit;
  *out = o;
  return FG_OK;
}

bool fg_observe_agrees(const fg_observed *observed) {
  for (size_t i = 0; i < observed->count; ++i)
    if (!(fabs(observed->item[i].deviation) <= fg_fair_deviation))
      return false;
  return true;
}
