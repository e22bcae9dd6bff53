/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/tune_report.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "flourgold/loss_report.h"
#include "flourgold/settings.h"
#include "flourgold/version.h"

static const double bucket_m3 = 5.0 * 0.003785411784;

const char *fg_gate_words(double opening, char *buffer, size_t size) {
  static const struct {
    double share;
    const char *words;
  } steps[] = {{0.0, "shut"},          {0.125, "an eighth open"},   {0.25, "a quarter open"},
               {1.0 / 3.0, "a third open"}, {0.5, "half open"},     {2.0 / 3.0, "two thirds open"},
               {0.75, "three quarters open"}, {0.875, "seven eighths open"}, {1.0, "fully open"}};
  size_t nearest = 0;
  for (size_t i = 1; i < sizeof steps / sizeof steps[0]; ++i)
    if (fabs(steps[i].share - opening) < fabs(steps[nearest].share - opening)) nearest = i;
  (void)snprintf(buffer, size, "%s", steps[nearest].words);
  return buffer;
}

const char *fg_bucket_words(double feed_kg_s, double bulk_kg_m3, char *buffer, size_t size) {
  const long seconds = lround(bucket_m3 * bulk_kg_m3 / feed_kg_s / 5.0) * 5;
  if (seconds >= 60)
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

/* A knob as it is set by hand. */
static const char *in_own_terms(const fg_tune_story *story, fg_knob knob, double value,
                                char *buffer, size_t size) {
  const bool us = story->units == FG_UNITS_US;
  const fg_setting *row = &fg_settings[fg_setting_find(fg_knob_keys[knob])];
  fg_quantity_text(row->quantity, story->units, value, buffer, size);
  if (knob == FG_KNOB_GATE) return fg_gate_words(value, buffer, size);
  if (knob == FG_KNOB_FEED)
    return fg_bucket_words(value, story->best_scenario->ground.bulk_density, buffer, size);
  if (knob == FG_KNOB_SLOPE && us) slope_words(value, buffer, size);
  if (knob == FG_KNOB_SCREEN && us) (void)snprintf(buffer, size, "%.3f in", value / 0.0254);
  return buffer;
}

/* The knobs side by side: the best, the present, and how far each may stray. */
static void settings_text(fg_node *root, const fg_tune_story *story) {
  static const char *const labels[FG_KNOBS] = {"throttle", "gate", "slope", "bucket every",
                                               "screen"};
  const fg_tuned *t = story->tuned;
  fg_node *table = fg_table(root, NULL, "Set", FG_TEXT_ONLY);
  fg_column_text(table, "knob", "", 0);
  fg_column_text(table, "best", "best", 0);
  fg_column_text(table, "now", "now", 0);
  fg_column_text(table, "from", "good from", 0);
  fg_column_text(table, "to", "to", 0);
  for (int k = 0; k < FG_KNOBS; ++k) {
    char text[96];
    const bool moved = story->options->knob[k].free && k != FG_KNOB_SCREEN;
    const double cells[4] = {t->best.at[k], t->present.at[k], t->good_low[k], t->good_high[k]};
    fg_row(table);
    fg_cell_text(table, labels[k]);
    for (int i = 0; i < 4; ++i)
      fg_cell_text(table, i >= 2 && !moved ? "as given"
                                           : in_own_terms(story, (fg_knob)k, cells[i], text,
                                                          sizeof text));
  }
}

static void knob_numbers(fg_node *parent, const char *name, const double at[FG_KNOBS]) {
  fg_node *group = fg_group(parent, name, NULL, FG_DATA_ONLY);
  fg_number(group, "throttle", NULL, FG_Q_SHARE, at[FG_KNOB_THROTTLE], 0);
  fg_number(group, "gate_opening", NULL, FG_Q_SHARE, at[FG_KNOB_GATE], 0);
  fg_number(group, "slope_deg", NULL, FG_Q_SLOPE, at[FG_KNOB_SLOPE], 0);
  fg_number(group, "feed_kg_s", NULL, FG_Q_FEED, at[FG_KNOB_FEED], 0);
  fg_number(group, "screen_mm", NULL, FG_Q_GRAIN_SIZE, at[FG_KNOB_SCREEN], 0);
}

static void spread_number(fg_node *parent, const char *name, const char *label, fg_quantity q,
                          double value, const fg_spread *spread) {
  const double band[3] = {spread->low, spread->mid, spread->high};
  fg_number_band(parent, name, label, q, value, band, 0);
}

static void targets(fg_node *root, const fg_tune_story *story) {
  const fg_machine *m = &story->loss->machine;
  fg_node *group = fg_group(root, "targets", "Then check there", 0);
  const struct {
    const char *name, *label;
    fg_quantity quantity;
    const double *field;
  } rows[] = {
      {"box_pressure_pa", "Pressure in the box", FG_Q_PRESSURE, &m->at.box_pressure_pa},
      {"rotor_rpm", "Rotor", FG_Q_FREQUENCY, &m->at.shake.speed_hz},
      {"bed_depth_m", "Depth of the moving bed", FG_Q_LENGTH, &m->at.depth_m},
      {"residence_s", "A pebble crosses the deck in", FG_Q_TIME, &m->residence_s},
      {"deck_velocity_m_s", "Air up through the open strips", FG_Q_SPEED,
       &m->at.open_velocity_m_s},
      {"shake_gamma", "Shake in units of gravity", FG_Q_NUMBER, &m->at.shake.gamma},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i)
    fg_report_machine_number(group, rows[i].name, rows[i].label, rows[i].quantity, m,
                             rows[i].field, story->bands);
}

/* The nominal run's figures stand without suffix; the bands are over all members, a stalled one
 * counted as nothing. */
static void results(fg_node *root, const fg_tune_story *story) {
  const fg_tuned *t = story->tuned;
  fg_node *heading = fg_group(root, NULL, "What it brings", 0);
  spread_number(heading, "kept", "Gold kept, share", FG_Q_SHARE, story->loss->kept, &t->best_kept);
  spread_number(heading, "kept_g_h", "Gold kept, per hour", FG_Q_GOLD_RATE, story->loss->kept_kg_s,
                &t->best_kg_s);
  fg_number(heading, "stall_share", "Runs in which the deck stalls", FG_Q_SHARE,
            t->best.stall_share, 0);
  spread_number(heading, "gain", "Gain over the present settings", FG_Q_SHARE, t->gain.mid,
                &t->gain);
  fg_node *present = fg_group(root, "present", "At the present settings", 0);
  spread_number(present, "kept", "Gold kept, share", FG_Q_SHARE, t->present_kept.mid,
                &t->present_kept);
  spread_number(present, "kept_g_h", "Gold kept, per hour", FG_Q_GOLD_RATE, t->present_kg_s.mid,
                &t->present_kg_s);
  fg_number(present, "stall_share", "Runs in which the deck stalls", FG_Q_SHARE,
            t->present.stall_share, 0);
  fg_number(present, "throttle", NULL, FG_Q_SHARE, t->present.at[FG_KNOB_THROTTLE], 0);
  fg_number(present, "gate_opening", NULL, FG_Q_SHARE, t->present.at[FG_KNOB_GATE], 0);
  fg_number(present, "slope_deg", NULL, FG_Q_SLOPE, t->present.at[FG_KNOB_SLOPE], 0);
  fg_number(present, "feed_kg_s", NULL, FG_Q_FEED, t->present.at[FG_KNOB_FEED], 0);
  fg_number(present, "screen_mm", NULL, FG_Q_GRAIN_SIZE, t->present.at[FG_KNOB_SCREEN], 0);
}

static void what_to_watch(fg_node *root) {
  fg_node *heading = fg_group(root, NULL, "What to watch, and which knob to turn", FG_TEXT_ONLY);
  fg_bullet(heading, "The bed creeps or piles up: close the gate a little, or feed slower; then "
                     "open the throttle.");
  fg_bullet(heading, "The bed boils, or fountains burst through it: open the gate a little. The "
                     "finest gold goes first.");
  fg_bullet(heading, "A plume of dust blows off the deck: too much air for the finest; open the "
                     "gate. Stand upwind in any case.");
  fg_bullet(heading, "The gravel races over the riffles: set the deck flatter, or feed slower.");
  fg_bullet(heading, "Black sand in the tailings: the riffles are full; clean them. Pan the "
                     "tailings: colours there tell more than any model.");
}

static void edge_note(fg_node *root, const fg_tune_story *story) {
  for (int k = 0; k < FG_KNOBS; ++k)
    if (story->tuned->edge_low[k] || story->tuned->edge_high[k])
      fg_note(root,
              "The best %s lies at the %s end of its range: the range set it, not the physics. "
              "Widen it with --set limits.* if your machine and your back allow.",
              fg_knob_names[k], story->tuned->edge_low[k] ? "low" : "high");
}

static void good_ranges(fg_node *root, const fg_tune_story *story) {
  fg_node *group = fg_group(root, "good_range", NULL, FG_DATA_ONLY);
  for (int k = 0; k < FG_KNOBS; ++k) {
    if (!story->options->knob[k].free || k == FG_KNOB_SCREEN) continue;
    static const char *const names[FG_KNOBS] = {"throttle", "gate_opening", "slope_deg",
                                                "feed_kg_s", "screen_mm"};
    const fg_setting *row = &fg_settings[fg_setting_find(fg_knob_keys[k])];
    char low[48], high[48];
    (void)snprintf(low, sizeof low, "%s_low", names[k]);
    (void)snprintf(high, sizeof high, "%s_high", names[k]);
    fg_number(group, low, NULL, row->quantity, story->tuned->good_low[k], 0);
    fg_number(group, high, NULL, row->quantity, story->tuned->good_high[k], 0);
  }
}

fg_report *fg_tune_report(const fg_tune_story *story) {
  fg_report *report = fg_report_new();
  if (!report) return NULL;
  fg_node *root = fg_report_root(report);
  fg_node *head = fg_group(root, NULL, "Best settings for this ground and this deck", 0);
  fg_string(head, "version", NULL, FG_VERSION, 0);
  fg_string(head, "scenario", "Scenario", fg_report_scenario_name(story->scenario), 0);
  fg_string(head, "aim", "Aim",
            story->options->aim == FG_AIM_GOLD_PER_HOUR ? "gold-per-hour" : "least-loss", 0);
  fg_number(head, "moisture", "Moisture", FG_Q_PERCENT, story->scenario->ground.moisture,
            FG_TEXT_ONLY);
  settings_text(root, story);
  knob_numbers(root, "settings", story->tuned->best.at);
  edge_note(root, story);
  targets(root, story);
  results(root, story);
  good_ranges(root, story);
  fg_integer(root, "runs", NULL, (long)story->tuned->runs, 0);
  fg_report_gold(root, story->loss, story->bands);
  fg_report_limits(root, story->loss);
  what_to_watch(root);
  fg_report_warnings(root, story->best_scenario, &story->loss->machine);
  fg_report_doubt(fg_group(root, NULL, NULL, FG_TEXT_ONLY), story->bands);
  fg_report_assumed_in(root, story->scenario, FG_DECK_GROUPS " limits", story->units);
  fg_report_trust(root);
  fg_report_cautions(root);
  return report;
}

static void table_row(fg_node *table, const fg_tune_cell *c, double bulk) {
  char feed[64], moisture[32];
  fg_row(table);
  (void)snprintf(moisture, sizeof moisture, "%.3g %%", 100.0 * c->moisture);
  fg_cell_text(table, moisture);
  fg_cell(table, c->moisture);
  fg_cell_text(table, c->grain);
  fg_cell(table, c->median_m);
  fg_cell(table, c->stalls ? (double)NAN : c->at[FG_KNOB_THROTTLE]);
  fg_cell(table, c->stalls ? (double)NAN : c->at[FG_KNOB_GATE]);
  fg_cell(table, c->stalls ? (double)NAN : c->at[FG_KNOB_FEED]);
  fg_cell_text(table, c->stalls ? "stalls"
                                : fg_bucket_words(c->at[FG_KNOB_FEED], bulk, feed, sizeof feed));
  fg_cell(table, c->stalls ? (double)NAN : c->box_pressure_pa);
  const double kept[] = {c->kept.mid, c->kept.low, c->kept.mid, c->kept.high, c->kg_s.mid};
  for (size_t i = 0; i < sizeof kept / sizeof kept[0]; ++i)
    fg_cell(table, c->stalls ? 0.0 : kept[i]);
  fg_cell(table, c->stalls ? 1.0 : c->stall_share);
}

fg_report *fg_tune_table_report(const fg_scenario *scenario, const fg_tune_cell *cells,
                                size_t count, fg_unit_system units) {
  fg_report *report = fg_report_new();
  if (!report) return NULL;
  fg_node *root = fg_report_root(report);
  fg_node *head = fg_group(root, NULL, "Air and feed against moisture and grain size", 0);
  fg_string(head, "version", NULL, FG_VERSION, 0);
  fg_string(head, "scenario", "Scenario", fg_report_scenario_name(scenario), 0);
  fg_number(head, "slope", "Slope", FG_Q_SLOPE, scenario->deck.slope, FG_TEXT_ONLY);
  fg_node *table = fg_table(root, "table", NULL, FG_PRIMARY);
  fg_column_text(table, "moisture", "moist", FG_TEXT_ONLY);
  fg_column(table, "moisture_percent", NULL, FG_Q_PERCENT, 0);
  fg_column_text(table, "grain", "grain", 0);
  fg_column(table, "median_grain_mm", NULL, FG_Q_GRAIN_SIZE, 0);
  fg_column(table, "throttle", "throttle", FG_Q_SHARE, 0);
  fg_column(table, "gate_opening", "gate", FG_Q_SHARE, 0);
  fg_column(table, "feed_kg_s", NULL, FG_Q_FEED, 0);
  fg_column_text(table, "bucket", "bucket every", 0);
  fg_column(table, "box_pressure_pa", "box", FG_Q_PRESSURE, 0);
  fg_column(table, "kept", "kept", FG_Q_SHARE, 0);
  fg_column(table, "kept_low", NULL, FG_Q_SHARE, 0);
  fg_column(table, "kept_mid", NULL, FG_Q_SHARE, 0);
  fg_column(table, "kept_high", NULL, FG_Q_SHARE, 0);
  fg_column(table, "kept_g_h", "gold", FG_Q_GOLD_RATE, 0);
  fg_column(table, "stall_share", "stalls", FG_Q_SHARE, 0);
  for (size_t i = 0; i < count; ++i) table_row(table, &cells[i], scenario->ground.bulk_density);
  fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY),
          "Each line is the best throttle, gate and feed for that ground on this deck at this "
          "slope, most gold per hour; kept is the middle of the doubt. \"stalls\": the share of "
          "the doubt in which the deck does not run even so.");
  fg_report_assumed_in(root, scenario, FG_DECK_GROUPS " limits", units);
  fg_report_trust(root);
  fg_report_cautions(root);
  return report;
}
