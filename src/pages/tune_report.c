/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/tune_report.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "flourgold/settings.h"
#include "pages/loss_report.h"
#include "scenario/settings_table.h"
#include "study/knobs.h"
#include "study/tune_table.h"

/* The settings as one would call them across the wash. */
static void say_settings(fg_node *root, const fg_tune_story *story) {
  char text[FG_KNOBS][96];
  for (int k = 0; k < FG_KNOBS; ++k)
    (void)fg_knob_words(&story->best->set, story->units, (fg_knob)k, story->best->tuned.best.at[k],
                        text[k], sizeof text[k]);
  fg_node *heading = fg_group(root, NULL, "Set it so", FG_TEXT_ONLY);
  fg_note(heading,
          "Throttle at %s, gate %s, deck at %s, one bucket every %s through the %s screen.",
          text[FG_KNOB_THROTTLE], text[FG_KNOB_GATE], text[FG_KNOB_SLOPE], text[FG_KNOB_FEED],
          text[FG_KNOB_SCREEN]);
}

/* The knobs side by side: the best, the present, and how far each may stray. */
static void knob_text(const fg_tune_story *story, int knob, double value, char text[96]) {
  (void)fg_knob_words(&story->best->set, story->units, (fg_knob)knob, value, text, 96);
}

typedef struct knob_row {
  const char *label;
  char best[96], now[96], from[96], to[96];
} knob_row;

#define OF(field) offsetof(knob_row, field)
static const fg_column_of knob_columns[] = {
    {NULL, "", FG_Q_NUMBER, FG_FIELD_TEXT, OF(label)},
    {NULL, "best", FG_Q_NUMBER, FG_FIELD_CHARS, OF(best)},
    {NULL, "now", FG_Q_NUMBER, FG_FIELD_CHARS, OF(now)},
    {NULL, "good from", FG_Q_NUMBER, FG_FIELD_CHARS, OF(from)},
    {NULL, "to", FG_Q_NUMBER, FG_FIELD_CHARS, OF(to)},
};
#undef OF

static void settings_text(fg_node *root, const fg_tune_story *story) {
  static const char *const labels[FG_KNOBS] = {"throttle", "gate", "slope", "bucket every",
                                               "screen"};
  const fg_tuned *t = &story->best->tuned;
  fg_node *table = fg_table(root, NULL, "Knob by knob", FG_TEXT_ONLY | FG_PROOF);
  FG_COLUMNS_OF(table, knob_columns);
  for (int k = 0; k < FG_KNOBS; ++k) {
    const bool moved = story->options->knob[k].free && k != FG_KNOB_SCREEN;
    knob_row row = {labels[k], "", "", "as given", "as given"};
    knob_text(story, k, t->best.at[k], row.best);
    knob_text(story, k, t->present.at[k], row.now);
    if (moved) {
      knob_text(story, k, t->good_low[k], row.from);
      knob_text(story, k, t->good_high[k], row.to);
    }
    FG_ROW_OF(table, knob_columns, &row);
  }
}

static void knob_values(fg_node *group, const double at[FG_KNOBS]) {
  fg_number(group, "throttle", NULL, FG_Q_SHARE, at[FG_KNOB_THROTTLE], 0);
  fg_number(group, "gate_opening", NULL, FG_Q_SHARE, at[FG_KNOB_GATE], 0);
  fg_number(group, "slope_deg", NULL, FG_Q_SLOPE, at[FG_KNOB_SLOPE], 0);
  fg_number(group, "feed_kg_s", NULL, FG_Q_FEED, at[FG_KNOB_FEED], 0);
  fg_number(group, "screen_mm", NULL, FG_Q_GRAIN_SIZE, at[FG_KNOB_SCREEN], 0);
}

#define OF(field) offsetof(fg_loss, machine.field)
static const fg_column_of target_lines[] = {
    {"box_pressure_pa", "Pressure in the box", FG_Q_PRESSURE, FG_FIELD_NUMBER,
     OF(at.box_pressure_pa)},
    {"rotor_rpm", "Rotor", FG_Q_FREQUENCY, FG_FIELD_NUMBER, OF(at.shake.speed_hz)},
    {"bed_depth_m", "Depth of the moving bed", FG_Q_LENGTH, FG_FIELD_NUMBER, OF(at.depth_m)},
    {"residence_s", "A pebble crosses the deck in", FG_Q_TIME, FG_FIELD_NUMBER, OF(residence_s)},
    {"deck_velocity_m_s", "Air up through the open strips", FG_Q_SPEED, FG_FIELD_NUMBER,
     OF(at.open_velocity_m_s)},
    {"shake_gamma", "Shake in units of gravity", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.shake.gamma)},
};
#undef OF

/* The band behind a figure; NULL when the nominal run is told alone. */
static const fg_band *told(const fg_tune_story *story, const fg_band *band) {
  return story->bands ? band : NULL;
}

static double present_kept(const fg_tune_story *story) {
  return story->present_loss ? story->present_loss->kept : 0.0;
}

static double present_kg_s(const fg_tune_story *story) {
  return story->present_loss ? story->present_loss->kept_kg_s : 0.0;
}

/* Gain of the aim in the nominal run; NaN when the present setting keeps nothing. */
static double nominal_gain(const fg_tune_story *story) {
  const bool hourly = story->options->aim == FG_AIM_GOLD_PER_HOUR;
  const double now = hourly ? present_kg_s(story) : present_kept(story);
  const double best = hourly ? story->loss->kept_kg_s : story->loss->kept;
  return now > 0.0 ? best / now - 1.0 : (double)NAN;
}

/* What the gain is worth believing, in words. */
static void say_gain(fg_node *heading, const fg_tune_story *story) {
  const fg_tuned *t = &story->best->tuned;
  bool same = true;
  for (int k = 0; k < FG_KNOBS; ++k)
    same = same && t->best.at[k] == t->present.at[k];
  if (same) {
    fg_note(heading, "Your present settings are as good as any the search found: leave them.");
    return;
  }
  if (isnan(t->better_share)) {
    fg_note(heading, "At the present settings the deck does not run at all in this model.");
    return;
  }
  fg_note(heading, "Better than the present settings in %.0f of 100 runs.",
          100.0 * t->better_share);
  if (t->gain.low < 0.0)
    fg_note(heading, "The gain is not certain: pan the same volume of tailings at both settings "
                     "before you believe it.");
  if (story->options->aim == FG_AIM_GOLD_PER_HOUR && story->loss->kept < present_kept(story))
    fg_note(heading, "A smaller share of the gold is kept than now, of more gravel. Where the "
                     "gravel, not the time, is scarce: --aim least-loss.");
}

/* The nominal run's figures stand without suffix; the bands are over all members, a stalled one
 * counted as nothing. */
static void results(fg_node *root, const fg_tune_story *story) {
  const fg_tuned *t = &story->best->tuned;
  fg_node *heading = fg_group(root, NULL, "What it brings", 0);
  fg_number_band(heading, "kept", "Gold kept, share", FG_Q_SHARE, story->loss->kept,
                 told(story, &t->best_kept), 0);
  fg_number_band(heading, "kept_g_h", "Gold kept, per hour", FG_Q_GOLD_RATE, story->loss->kept_kg_s,
                 told(story, &t->best_kg_s), 0);
  fg_number(heading, "stall_share", "Runs in which the deck stalls", FG_Q_SHARE,
            t->best.stall_share, 0);
  fg_number_band(heading, "gain", "Gain over the present settings", FG_Q_SHARE, nominal_gain(story),
                 told(story, &t->gain), 0);
  fg_number(heading, "better_share", NULL, FG_Q_SHARE, t->better_share, 0);
  say_gain(heading, story);
  fg_node *present = fg_group(root, "present", "At the present settings", 0);
  fg_number_band(present, "kept", "Gold kept, share", FG_Q_SHARE, present_kept(story),
                 told(story, &t->present_kept), 0);
  fg_number_band(present, "kept_g_h", "Gold kept, per hour", FG_Q_GOLD_RATE, present_kg_s(story),
                 told(story, &t->present_kg_s), 0);
  fg_number(present, "stall_share", "Runs in which the deck stalls", FG_Q_SHARE,
            t->present.stall_share, 0);
  knob_values(present, t->present.at);
}

/* What tells that the machine is not where it should be, and which knob brings it there. */
static void what_to_watch(fg_node *root, const fg_tune_story *story) {
  const fg_machine *m = &story->loss->machine;
  const bool shut = story->best->tuned.best.at[FG_KNOB_GATE] < 0.06;
  char pressure[64], crossing[64];
  (void)fg_quantity_text(FG_Q_PRESSURE, story->units, m->at.box_pressure_pa, pressure,
                         sizeof pressure);
  (void)fg_quantity_text(FG_Q_TIME, story->units, m->residence_s, crossing, sizeof crossing);
  fg_node *heading = fg_group(root, NULL, "What to watch, and which knob to turn", FG_TEXT_ONLY);
  if (shut)
    fg_bullet(heading,
              "The box shows less than %s: more throttle. More: less throttle, or crack "
              "the gate.",
              pressure);
  else
    fg_bullet(heading,
              "The box shows less than %s: close the gate bit by bit; more: open it. The "
              "rotor is the throttle's business.",
              pressure);
  fg_bullet(heading,
            "The bed creeps or piles up at the head: %s, then feed slower, then set the "
            "deck steeper.",
            shut ? "more throttle" : "close the gate an eighth");
  fg_bullet(heading, "It boils, or fountains burst through it: open the gate an eighth. The finest "
                     "gold goes first.");
  fg_bullet(heading, "A plume of dust stands over the deck, not only at the screen: less throttle. "
                     "Stand upwind in any case.");
  fg_bullet(heading,
            "A pebble crosses the deck in much less than %s: set the deck flatter, or "
            "feed slower.",
            crossing);
  fg_bullet(heading, "The tailings come as black as the feed: the riffles are full; clean them. "
                     "Pan the tailings: colours there tell more than any model.");
}

/* Whether the aim stays good over most of a knob's range. */
static bool hardly_matters(const fg_tune_story *story, fg_knob knob) {
  const fg_knob_range *range = &story->options->knob[knob];
  const fg_tuned *t = &story->best->tuned;
  return t->good_high[knob] - t->good_low[knob] > 0.8 * (range->high - range->low);
}

/* What lies behind an end of a knob's range, and what that asks for. */
static const char *edge_words(const fg_tune_story *story, fg_knob knob) {
  static const char *const low[FG_KNOBS] = {
      "The lowest throttle allowed (limits.throttle_least) is best: that limit set it, not the "
      "physics.",
      "The gate wants to be shut: a little more air would not hurt. A tighter box, or more "
      "throttle, "
      "gives it.",
      "The flattest deck that the legs allow (limits.slope_least) is best: that limit set it, not "
      "the physics.",
      "The slowest feed allowed (limits.feed_least) is best: that limit set it, not the physics.",
      ""};
  static const char *const high[FG_KNOBS] = {
      "Full throttle is best: the blower's end set it, not the physics. A stronger blower may keep "
      "more: `flourgold blowers`.",
      "The gate wants to be fully open: the blower is more than this deck needs. A larger gate or "
      "a "
      "smaller blower would do.",
      "The steepest deck that the legs allow (limits.slope_most) is best: that limit set it, not "
      "the physics.",
      "The fastest feed allowed (limits.feed_most) is best: the shoveller set it, not the physics.",
      ""};
  static const char *const shake =
      "Much throttle with an open gate: the deck wants the shake, not the air; the rotor turns "
      "with "
      "the flow. The end of the range set it, not the physics: more off-centre weight would shake "
      "as hard at less throttle.";
  static const char *const gate =
      "The gate came out at its end, but hardly matters here: see its good range.";
  const fg_tuned *t = &story->best->tuned;
  if (knob == FG_KNOB_GATE && hardly_matters(story, knob))
    return gate;
  const bool for_shake = t->best.at[FG_KNOB_GATE] > 0.5 && t->best.at[FG_KNOB_THROTTLE] > 0.7;
  if (t->edge_high[knob] && for_shake && (knob == FG_KNOB_GATE || knob == FG_KNOB_THROTTLE))
    return shake;
  return t->edge_low[knob] ? low[knob] : high[knob];
}

/* No end of a range without saying so. */
static void edge_note(fg_node *root, const fg_tune_story *story) {
  fg_node *list = fg_list(root, "at_edge", FG_DATA_ONLY);
  for (int k = 0; k < FG_KNOB_SCREEN; ++k) {
    const fg_tuned *t = &story->best->tuned;
    if (!t->edge_low[k] && !t->edge_high[k])
      continue;
    fg_note(root, "%s", edge_words(story, (fg_knob)k));
    fg_list_string(list, fg_knob_names[k]);
  }
}

static void good_ranges(fg_node *root, const fg_tune_story *story) {
  fg_node *group = fg_group(root, "good_range", NULL, FG_DATA_ONLY);
  for (int k = 0; k < FG_KNOBS; ++k) {
    if (!story->options->knob[k].free || k == FG_KNOB_SCREEN)
      continue;
    static const char *const names[FG_KNOBS] = {"throttle", "gate_opening", "slope_deg",
                                                "feed_kg_s", "screen_mm"};
    const fg_setting *row = &fg_settings[fg_knob_rows[k]];
    char low[48], high[48];
    (void)snprintf(low, sizeof low, "%s_low", names[k]);
    (void)snprintf(high, sizeof high, "%s_high", names[k]);
    fg_number(group, low, NULL, row->quantity, story->best->tuned.good_low[k], 0);
    fg_number(group, high, NULL, row->quantity, story->best->tuned.good_high[k], 0);
  }
}

fg_report *fg_tune_report(const fg_tune_story *story) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_report_tune_answer(root, story, &story->best->tuned, &story->best->set);
  fg_node *head = fg_page_head(root, "Best settings for this ground and this deck", "Scenario",
                               story->scenario);
  fg_string(head, "aim", "Aim",
            story->options->aim == FG_AIM_GOLD_PER_HOUR ? "gold-per-hour" : "least-loss", 0);
  fg_number(head, "moisture", "Moisture", FG_Q_PERCENT, story->scenario->ground.moisture,
            FG_TEXT_ONLY | FG_EXACT);
  say_settings(root, story);
  settings_text(root, story);
  knob_values(fg_group(root, "settings", NULL, FG_DATA_ONLY), story->best->tuned.best.at);
  edge_note(root, story);
  fg_report_loss_lines(fg_group(root, "targets", "Then check there", 0), target_lines,
                       FG_COUNT_OF(target_lines), story->loss, story->bands);
  results(root, story);
  good_ranges(root, story);
  fg_number(root, "cleaning_interval_min", NULL, FG_Q_MINUTES, story->best->cleaning_s,
            FG_DATA_ONLY);
  fg_integer(root, "runs", NULL, (long)story->best->tuned.runs, 0);
  fg_report_gold(root, story->loss, story->bands);
  fg_report_limits(root, story->loss);
  what_to_watch(root, story);
  fg_report_warnings(root, &story->best->set, &story->loss->machine);
  fg_report_doubt(fg_group(root, NULL, NULL, FG_TEXT_ONLY), story->bands);
  fg_page_end(root, story->scenario, FG_DECK_GROUPS " limits", story->units);
  return report;
}

typedef struct ground_row {
  char moisture[32], feed[64]; /* for people */
  fg_tune_cell c;
} ground_row;

#define OF(field) offsetof(ground_row, field)
static const fg_column_of ground_columns[] = {
    {NULL, "moist", FG_Q_NUMBER, FG_FIELD_CHARS, OF(moisture)},
    {"moisture_percent", NULL, FG_Q_PERCENT, FG_FIELD_NUMBER, OF(c.moisture)},
    {"grain", "grain", FG_Q_NUMBER, FG_FIELD_TEXT, OF(c.grain)},
    {"median_grain_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(c.median_m)},
    {"throttle", "throttle", FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.at[FG_KNOB_THROTTLE])},
    {"gate_opening", "gate", FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.at[FG_KNOB_GATE])},
    {"feed_kg_s", NULL, FG_Q_FEED, FG_FIELD_NUMBER, OF(c.at[FG_KNOB_FEED])},
    {"bucket", "bucket every", FG_Q_NUMBER, FG_FIELD_CHARS, OF(feed)},
    {"box_pressure_pa", "box", FG_Q_PRESSURE, FG_FIELD_NUMBER, OF(c.box_pressure_pa)},
    {"kept", "kept", FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.kept.mid)},
    {"kept_low", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.kept.low)},
    {"kept_mid", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.kept.mid)},
    {"kept_high", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.kept.high)},
    {"kept_g_h", "gold", FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(c.kg_s.mid)},
    {"stall_share", "stalls", FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.stall_share)},
};
#undef OF

static ground_row row_of(const fg_tune_cell *cell, double bulk) {
  ground_row row = {"", "stalls", *cell};
  (void)snprintf(row.moisture, sizeof row.moisture, "%.3g %%", 100.0 * cell->moisture);
  if (!cell->stalls) {
    (void)fg_bucket_words(cell->at[FG_KNOB_FEED], bulk, row.feed, sizeof row.feed);
    return row;
  }
  for (int k = 0; k < FG_KNOBS; ++k)
    row.c.at[k] = (double)NAN;
  row.c.box_pressure_pa = (double)NAN;
  row.c.kept.low = row.c.kept.mid = row.c.kept.high = row.c.kg_s.mid = 0.0;
  row.c.stall_share = 1.0;
  return row;
}

fg_report *fg_tune_table_report(const fg_scenario *scenario, const fg_tune_cell *own,
                                const fg_tune_cell *cells, size_t count, fg_unit_system units) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_node *head =
      fg_page_head(root, "Air and feed against moisture and grain size", "Scenario", scenario);
  fg_number(head, "slope", "Slope", FG_Q_SLOPE, own->at[FG_KNOB_SLOPE], FG_TEXT_ONLY | FG_EXACT);
  fg_node *table = fg_table(root, "table", NULL, FG_PRIMARY);
  FG_COLUMNS_OF(table, ground_columns);
  const ground_row yours = row_of(own, scenario->ground.bulk_density);
  FG_ROW_OF(table, ground_columns, &yours);
  for (size_t i = 0; i < count; ++i) {
    const ground_row row = row_of(&cells[i], scenario->ground.bulk_density);
    FG_ROW_OF(table, ground_columns, &row);
  }
  fg_note(
      fg_group(root, NULL, NULL, FG_TEXT_ONLY),
      "The first line is your own ground, as `flourgold tune` says. Each other line is the best "
      "throttle, gate and feed for that ground at the same slope, most gold per hour; kept is the "
      "middle of the doubt. \"stalls\": the share of "
      "the doubt in which the deck does not run even so.");
  fg_page_end(root, scenario, FG_DECK_GROUPS " limits", units);
  return report;
}
