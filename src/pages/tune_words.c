/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Settings as a person sets them. */
#include <math.h>
#include <stdio.h>

#include "flourgold/settings.h"
#include "pages/tune_report.h"
#include "scenario/settings_table.h"
#include "study/knobs.h"

static const double bucket_m3 = 5.0 * 0.003785411784;

/* Openings as one judges them by eye. */
static const struct {
  double share;
  const char *words, *fraction;
} gate_steps[] = {{0.0, "shut", "shut"},
                  {0.125, "an eighth open", "1/8 open"},
                  {0.25, "a quarter open", "1/4 open"},
                  {1.0 / 3.0, "a third open", "1/3 open"},
                  {0.5, "half open", "1/2 open"},
                  {2.0 / 3.0, "two thirds open", "2/3 open"},
                  {0.75, "three quarters open", "3/4 open"},
                  {0.875, "seven eighths open", "7/8 open"},
                  {1.0, "fully open", "fully open"}};

static size_t nearest_step(double opening) {
  size_t nearest = 0;
  for (size_t i = 1; i < sizeof gate_steps / sizeof gate_steps[0]; ++i)
    if (fabs(gate_steps[i].share - opening) < fabs(gate_steps[nearest].share - opening))
      nearest = i;
  return nearest;
}

const char *fg_gate_words(double opening, char *buffer, size_t size) {
  (void)snprintf(buffer, size, "%s", gate_steps[nearest_step(opening)].words);
  return buffer;
}

const char *fg_gate_fraction(double opening, char *buffer, size_t size) {
  (void)snprintf(buffer, size, "%s", gate_steps[nearest_step(opening)].fraction);
  return buffer;
}

const char *fg_bucket_words(double feed_kg_s, double bulk_kg_m3, char *buffer, size_t size) {
  const long seconds = lround(bucket_m3 * bulk_kg_m3 / feed_kg_s / 5.0) * 5;
  if (seconds >= 60 && seconds % 60 == 0)
    (void)snprintf(buffer, size, "%ld min", seconds / 60);
  else if (seconds >= 60 && seconds % 60 == 30)
    (void)snprintf(buffer, size, "%ld 1/2 min", seconds / 60);
  else if (seconds >= 60)
    (void)snprintf(buffer, size, "%ld min %02ld s", seconds / 60, seconds % 60);
  else
    (void)snprintf(buffer, size, "%ld s", seconds);
  return buffer;
}

/* Inches per foot to the eighth, as a person sets it. */
static void slope_words(double slope, char *buffer, size_t size) {
  const long eighths = lround(96.0 * tan(slope));
  static const char *const parts[8] = {"", " 1/8", " 1/4", " 3/8", " 1/2", " 5/8", " 3/4", " 7/8"};
  (void)snprintf(buffer, size, "%ld%s in/ft", eighths / 8, parts[eighths % 8]);
}

const char *fg_knob_words(const fg_scenario *scenario, fg_unit_system units, fg_knob knob,
                          double value, char *buffer, size_t size) {
  const bool us = units == FG_UNITS_US;
  const fg_setting *row = &fg_settings[fg_knob_rows[knob]];
  (void)fg_quantity_text(row->quantity, units, value, buffer, size);
  if (knob == FG_KNOB_THROTTLE)
    (void)snprintf(buffer, size, "%.0f %%", 100.0 * value);
  if (knob == FG_KNOB_GATE)
    return fg_gate_words(value, buffer, size);
  if (knob == FG_KNOB_FEED)
    return fg_bucket_words(value, scenario->ground.bulk_density, buffer, size);
  if (knob == FG_KNOB_SLOPE && us)
    slope_words(value, buffer, size);
  if (knob == FG_KNOB_SCREEN && us)
    (void)snprintf(buffer, size, "%.3g in", value / 0.0254);
  return buffer;
}
