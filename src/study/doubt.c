/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/doubt.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "physics/laws.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"
#include "stats/band.h"
#include "study/plan.h"

/* Inputs that move the kept share of fine gold most come first: the first columns of a
 * low-discrepancy sequence are its best. */
static const fg_setting_row strongest[] = {
    FG_SET_CLOSURE_PORE_EXPONENT, FG_SET_GOLD_THICKNESS_RATIO, FG_SET_GROUND_MOISTURE,
    FG_SET_CLOSURE_SIEVING,       FG_SET_GROUND_MEDIAN_GRAIN,  FG_SET_CLOSURE_BED_VISCOSITY,
    FG_SET_BLOWER_LABEL_DERATE,   FG_SET_CLOSURE_DRAG_LAW,     FG_SET_CLOSURE_SIEVING_LAW,
    FG_SET_GROUND_GRAIN_SPREAD,   FG_SET_GROUND_CLAY,          FG_SET_CLOSURE_STOKES_FACTOR,
    FG_SET_CLOSURE_BOND_STRENGTH, FG_SET_GROUND_MAGNETITE,     FG_SET_CLOSURE_EXCESS_AIR,
    FG_SET_DECK_DEAD_AIR_LEAK};
enum { STRONGEST = sizeof strongest / sizeof strongest[0] };

/* A range this wide, end over end, is told in factors. */
static const double wide_range = 1.5;
/* One end of the middle 80 % of a normal distribution, in standard deviations. */
static const double tenth = 1.2815515655446004;

static bool is_assumed(const fg_scenario *s, int row) {
  return s->origin[row] == FG_FROM_DEFAULT || s->origin[row] == FG_FROM_DERIVED;
}

/* Ends for a value given without an error: half as far as for an assumed one. */
static void move_range(const fg_setting *setting, double value, fg_doubt *d) {
  const double low = setting->likely_low, high = setting->likely_high;
  const double middle = isnan(setting->standard) ? 0.5 * (low + high) : setting->standard;
  if (low > 0.0 && middle > 0.0 && high / low >= wide_range) {
    d->low = value * sqrt(low / middle);
    d->high = value * sqrt(high / middle);
  } else {
    d->low = value - 0.5 * (middle - low);
    d->high = value + 0.5 * (high - middle);
    if (low >= 0.0 && d->low < 0.0)
      d->low = 0.0;
  }
}

/* A value worked out from a reading that is itself drawn moves with the reading. */
static bool moves_with_reading(const fg_scenario *s, int row) {
  if (s->origin[row] != FG_FROM_DERIVED)
    return false;
  const int reading = fg_setting_from(s, row);
  return reading >= 0 && s->error_of[reading] > 0.0;
}

/* Read off the machine or set by hand: in doubt only as long as nobody looked. */
static bool is_read_off(int row) {
  static const fg_setting_row rows[] = {
      FG_SET_SCREEN_OPENING, FG_SET_DECK_SLOPE,   FG_SET_DECK_RIFFLE_HEIGHT, FG_SET_HOSE_DIAMETER,
      FG_SET_GATE_AREA,      FG_SET_RUN_THROTTLE, FG_SET_RUN_GATE_OPENING};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i)
    if (row == (int)rows[i])
      return true;
  return false;
}

static bool doubt_number(const fg_scenario *s, int row, fg_doubt *doubt) {
  const fg_setting *setting = &fg_settings[row];
  const double value = fg_setting_value(setting, s), spread = s->error_of[row];
  fg_doubt d = {.row = row, .nominal = value};
  if (!isfinite(value) || moves_with_reading(s, row))
    return false;
  if (spread > 0.0) {
    *doubt = (fg_doubt){row, FG_D_NORMAL, value - tenth * spread, value, value + tenth * spread};
    return true;
  }
  if (isnan(setting->likely_low))
    return false;
  if (is_assumed(s, row)) {
    d.low = fmin(setting->likely_low, value);
    d.high = fmax(setting->likely_high, value);
  } else {
    if (value == 0.0 || is_read_off(row))
      return false; /* given as absent, or as seen */
    move_range(setting, value, &d);
  }
  d.kind = !(d.low > 0.0)                 ? FG_D_SPLIT_UNIFORM
           : d.high / d.low >= wide_range ? FG_D_LOG_NORMAL
                                          : FG_D_NORMAL;
  *doubt = d;
  return d.high > d.low;
}

bool fg_doubt_of(const fg_scenario *scenario, int row, fg_doubt *doubt) {
  if (fg_settings[row].type == FG_T_NUMBER)
    return doubt_number(scenario, row, doubt);
  if (row != FG_SET_CLOSURE_DRAG_LAW && row != FG_SET_CLOSURE_SIEVING_LAW)
    return false;
  const double law = fg_setting_value(&fg_settings[row], scenario);
  *doubt = (fg_doubt){row, FG_D_CHOICE, 0.0, law, 0.0};
  return is_assumed(scenario, row);
}

void fg_doubt_recentre(const fg_scenario *base, fg_doubt *doubt) {
  static const fg_setting_row shifted[] = {FG_SET_RUN_THROTTLE, FG_SET_RUN_GATE_OPENING,
                                           FG_SET_DECK_SLOPE, FG_SET_SCREEN_OPENING};
  if (doubt->row == FG_SET_RUN_FEED) {
    const double times = base->run.feed / doubt->nominal;
    doubt->low *= times;
    doubt->high *= times;
    doubt->nominal = base->run.feed;
  }
  for (size_t i = 0; i < sizeof shifted / sizeof shifted[0]; ++i) {
    if (doubt->row != (int)shifted[i])
      continue;
    const double set = fg_setting_value(&fg_settings[doubt->row], base);
    doubt->low += set - doubt->nominal;
    doubt->high += set - doubt->nominal;
    doubt->nominal = set;
  }
}

double fg_doubt_deviation(double low, double high) { return 0.5 * (high - low) / tenth; }

/* Other groups are outcomes, limits, or of another day's work. */
static bool deck_feels(int row) {
  static const fg_setting_row others[] = {FG_SET_OBSERVED_BOX_PRESSURE,
                                          FG_SET_LIMITS_THROTTLE_LEAST, FG_SET_SOIL_CLASS,
                                          FG_SET_SAMPLE_METHOD, FG_SET_DAY_PEOPLE};
  for (size_t i = 0; i < sizeof others / sizeof others[0]; ++i)
    if (fg_setting_same_group(row, others[i]))
      return false;
  return true;
}

/* What is read off a machine is known to whoever runs it, unless with an error. */
static bool is_drawn(const fg_scenario *s, int row, fg_doubt *doubt) {
  return deck_feels(row) && (!is_read_off(row) || s->error_of[row] > 0.0) &&
         fg_doubt_of(s, row, doubt);
}

size_t fg_doubt_list(const fg_scenario *scenario, fg_doubt doubts[FG_SETTINGS_MAX]) {
  bool taken[FG_SETTINGS_MAX] = {false};
  size_t count = 0;
  for (size_t i = 0; i < STRONGEST; ++i) {
    const int row = strongest[i];
    taken[row] = true;
    if (is_drawn(scenario, row, &doubts[count]))
      ++count;
  }
  for (size_t row = 0; row < fg_settings_count; ++row)
    if (!taken[row] && is_drawn(scenario, (int)row, &doubts[count]))
      ++count;
  return count;
}

/* A law by the chances in its table. */
static double choose(const fg_doubt *d, double p) {
  double drag[FG_DRAG_COUNT], sieving[FG_SIEVING_COUNT];
  for (int law = 0; law < FG_DRAG_COUNT; ++law)
    drag[law] = fg_drag_laws[law].chance;
  for (int law = 0; law < FG_SIEVING_COUNT; ++law)
    sieving[law] = fg_sieving_laws[law].chance;
  return d->row == FG_SET_CLOSURE_DRAG_LAW
             ? (double)fg_weighted_choice(drag, FG_DRAG_COUNT, p)
             : (double)fg_weighted_choice(sieving, FG_SIEVING_COUNT, p);
}

double fg_doubt_value(const fg_doubt *doubt, double probability) {
  const fg_doubt *d = doubt;
  const fg_setting *setting = &fg_settings[d->row];
  double value;
  if (d->kind == FG_D_CHOICE)
    return choose(d, probability);
  if (d->kind == FG_D_SPLIT_UNIFORM) {
    value = probability < 0.5 ? d->low + 2.0 * probability * (d->nominal - d->low)
                              : d->nominal + (2.0 * probability - 1.0) * (d->high - d->nominal);
  } else {
    const double z = gsl_cdf_ugaussian_Pinv(probability) / tenth;
    const double end = z < 0.0 ? d->low : d->high;
    value = d->kind == FG_D_NORMAL ? d->nominal + fabs(z) * (end - d->nominal)
                                   : d->nominal * pow(end / d->nominal, fabs(z));
  }
  return fmin(setting->highest, fmax(setting->lowest, value));
}

void fg_doubt_apply(const fg_doubt *doubt, double probability, fg_scenario *scenario) {
  const fg_setting *setting = &fg_settings[doubt->row];
  const double value = fg_doubt_value(doubt, probability);
  if (setting->type == FG_T_CHOICE) {
    *(int *)(void *)((char *)scenario + setting->offset) = (int)value;
    return;
  }
  (void)fg_scenario_draw(scenario, doubt->row, value);
}
