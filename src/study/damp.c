/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What damp costs a deck: the model run at one moisture after another. */
#include <math.h>

#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "physics/moisture.h"
#include "study/drying.h"
#include "study/fine.h"

static const double throttles[] = {0.45, 0.60, 0.75, 0.90, 1.0};
static const double gates[] = {0.1, 0.5, 0.9};
/* Water beyond what does not bind; beyond the last of these gravel is mud. */
static const double nodes[FG_DAMP_NODES] = {0.0,  0.0025, 0.005, 0.01, 0.015,
                                            0.02, 0.03,   0.05,  0.08, 0.13};

/* Kept share at one setting; NaN when the deck stalls or the point lies outside the model. */
static fg_status kept_at(fg_scenario *s, fg_deck_setting setting, double *kept) {
  fg_loss loss;
  *kept = NAN;
  s->run.throttle = setting.throttle;
  s->run.gate_opening = setting.gate_opening;
  const fg_status status = fg_loss_run(s, NULL, &loss);
  if (status == FG_EMEMORY)
    return status;
  if (status != FG_OK && status != FG_ESTALL)
    return FG_OK;
  if (status == FG_OK) {
    const double fine = fg_fine_kept(&loss);
    *kept = isnan(fine) ? loss.kept : fine;
  }
  fg_loss_free(&loss);
  return FG_OK;
}

typedef struct best_so_far {
  double kept;
  fg_deck_setting setting;
} best_so_far;

static fg_status try_setting(fg_scenario *s, fg_deck_setting setting, best_so_far *best) {
  double kept;
  const fg_status status = kept_at(s, setting, &kept);
  if (status == FG_OK && !isnan(kept) && !(kept <= best->kept))
    *best = (best_so_far){kept, setting};
  return status;
}

fg_status fg_best_fine_kept(const fg_scenario *scenario, double moisture, double *kept,
                            fg_deck_setting *best) {
  fg_scenario s = *scenario;
  best_so_far found = {.kept = NAN};
  (void)fg_scenario_set(&s, FG_SET_GROUND_MOISTURE, moisture);
  fg_status status = fg_scenario_resolve(&s);
  const fg_deck_setting own = {scenario->run.throttle, scenario->run.gate_opening};
  if (status == FG_OK)
    status = try_setting(&s, own, &found);
  for (size_t i = 0; i < sizeof throttles / sizeof throttles[0]; ++i)
    for (size_t k = 0; k < sizeof gates / sizeof gates[0] && status == FG_OK; ++k)
      status = try_setting(&s, (fg_deck_setting){throttles[i], gates[k]}, &found);
  if (status != FG_OK)
    return status;
  if (isnan(found.kept))
    return FG_ESTALL;
  *kept = found.kept;
  if (best)
    *best = found.setting;
  return FG_OK;
}

/* Share lost to damp; all of it where the deck stalls. */
static fg_status lost_at(const fg_scenario *s, double moisture, double dry_kept, double *lost,
                         fg_deck_setting *best) {
  double kept;
  const fg_status status = fg_best_fine_kept(s, moisture, &kept, best);
  if (status == FG_ESTALL) {
    *lost = 1.0;
    return FG_OK;
  }
  if (status == FG_OK)
    *lost = fmax(0.0, 1.0 - kept / dry_kept);
  return status;
}

/* Between two nodes on either side of what is allowed; to a hundredth of a point. */
static fg_status find_limit(const fg_scenario *s, size_t upper, fg_damp *d) {
  double low = nodes[upper - 1], high = nodes[upper];
  while (high - low > 1e-4) {
    const double middle = 0.5 * (low + high);
    double lost;
    const fg_status status = lost_at(s, middle, d->dry_kept, &lost, NULL);
    if (status != FG_OK)
      return status;
    if (lost <= d->allow)
      low = middle;
    else
      high = middle;
  }
  d->limit = d->bound + low;
  return fg_best_fine_kept(s, low, &d->limit_kept, &d->limit_best);
}

/* The scenario's loose grains without the clay that holds water among them: what damp then takes
 * hangs on the binding water alone, and clay cannot excuse it by lumps that thin the feed. */
static fg_status loose_grains(const fg_scenario *scenario, fg_scenario *loose) {
  *loose = *scenario;
  fg_status status = fg_scenario_set(loose, FG_SET_GROUND_CLAY, 0.0);
  if (status == FG_OK && !fg_setting_given(scenario, FG_SET_GROUND_CLODS))
    status = fg_scenario_set(loose, FG_SET_GROUND_CLODS, 0.0);
  return status;
}

fg_status fg_damp_solve(const fg_scenario *scenario, double allow, fg_damp *damp) {
  fg_damp d = {.allow = allow, .limit = INFINITY, .limit_kept = NAN};
  fg_scenario loose;
  fg_status status = loose_grains(scenario, &loose);
  if (status == FG_OK)
    status = fg_bound_water(fmin(scenario->ground.clay, FG_CREDITED_CLAY), &d.bound);
  if (status == FG_OK)
    status = fg_best_fine_kept(&loose, 0.0, &d.dry_kept, &d.dry_best);
  if (status != FG_OK)
    return status;
  if (!(d.dry_kept > 0.0) || !(allow >= 0.0) || !(allow < 1.0))
    return FG_EDOMAIN;
  for (size_t i = 0; i < FG_DAMP_NODES; ++i) {
    d.moisture[i] = d.bound + nodes[i];
    d.lost[i] = i > 0 ? d.lost[i - 1] : 0.0;
    if (i > 0 && d.lost[i] < 1.0) {
      double lost;
      status = lost_at(&loose, nodes[i], d.dry_kept, &lost, NULL);
      if (status != FG_OK)
        return status;
      d.lost[i] = fmax(d.lost[i], lost);
    }
    if (i > 0 && d.lost[i] > allow && isinf(d.limit)) {
      status = find_limit(&loose, i, &d);
      if (status != FG_OK)
        return status;
    }
  }
  *damp = d;
  return FG_OK;
}

double fg_damp_lost(const fg_damp *damp, double moisture) {
  double left = 0.0, left_lost = 0.0;
  for (size_t i = 0; i < FG_DAMP_NODES; ++i) {
    double right = damp->moisture[i], right_lost = damp->lost[i];
    if (damp->limit > left && damp->limit < right && moisture <= damp->limit) {
      right = damp->limit;
      right_lost = damp->allow;
    } else if (damp->limit > left && damp->limit < right) {
      left = damp->limit;
      left_lost = damp->allow;
    }
    if (moisture <= right)
      return right > left
                 ? left_lost + (right_lost - left_lost) * (moisture - left) / (right - left)
                 : right_lost;
    left = right;
    left_lost = right_lost;
  }
  return left_lost;
}
