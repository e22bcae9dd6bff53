/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/blowers_report.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/settings.h"
#include "pages/page.h"
#include "scenario/settings_table.h"

/* Below this share of its weight on the air a bed is hardly loose. */
static const double weak_support = 0.6;
/* This near its greatest a feed counts as at its edge. */
static const double feed_edge = 0.97;

static void head(fg_node *root, const fg_blowers_story *story) {
  const fg_scenario *s = story->scenario;
  fg_node *group =
      fg_page_head(root, "Blowers on this deck, each at its own best settings", "Scenario", s);
  fg_string(group, "catalogue", "Blowers from", story->catalogue, 0);
  fg_string(group, "present", *s->blower.name ? "Yours" : NULL,
            *s->blower.name ? s->blower.name : "yours", 0);
  fg_number(group, "elevation_m", "Elevation", FG_Q_DISTANCE, s->site.elevation, FG_EXACT);
  fg_number(group, "hours_h", "Planned hours", FG_Q_HOURS, s->run.hours, FG_EXACT);
  fg_boolean(group, "ground_known", NULL, story->grounds == 1, 0);
  if (story->grounds == 1)
    fg_string(group, "ground", "Ground", story->ground[0].words, 0);
  else
    fg_note(group, "The scenario says nothing of its ground, so each blower is judged on three "
                   "kinds. Once you know yours, write a group `ground` and ask again.");
  fg_note(group, "Figures of classes are indicative, not those of any one machine. Throttle, gate, "
                 "slope and feed are free within the group limits; aim: most gold an hour.");
}

/* ---- for people ---- */

#define OF(field) offsetof(fg_blower_verdict, field)
static const fg_column_of air_columns[] = {
    {NULL, "blower", FG_Q_NUMBER, FG_FIELD_CHARS, OF(name)},
    {NULL, "label", FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(volume_m3_s)},
    {NULL, "thr.", FG_Q_SHARE, FG_FIELD_NUMBER, OF(at[FG_KNOB_THROTTLE])},
    {NULL, "deck gets", FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(deck_m3_s)},
    {NULL, "bled", FG_Q_SHARE, FG_FIELD_NUMBER, OF(bled_share)},
    {NULL, "spare", FG_Q_SHARE, FG_FIELD_NUMBER, OF(spare_share)},
    {NULL, "box", FG_Q_PRESSURE, FG_FIELD_NUMBER, OF(box_pa)},
    {NULL, "bed up", FG_Q_SHARE, FG_FIELD_NUMBER, OF(support)},
};

static const fg_column_of carry_columns[] = {
    {NULL, "blower", FG_Q_NUMBER, FG_FIELD_CHARS, OF(name)},
    {NULL, "fuel", FG_Q_VOLUME, FG_FIELD_NUMBER, OF(fuel_m3)},
    {NULL, "oil", FG_Q_VOLUME, FG_FIELD_NUMBER, OF(oil_m3)},
    {NULL, "carry", FG_Q_MASS, FG_FIELD_NUMBER, OF(carry_kg)},
    {NULL, "noise", FG_Q_NOISE, FG_FIELD_NUMBER, OF(noise_dba)},
    {NULL, "NIOSH", FG_Q_HOURS, FG_FIELD_NUMBER, OF(niosh_s)},
    {NULL, "OSHA", FG_Q_HOURS, FG_FIELD_NUMBER, OF(osha_s)},
};
#undef OF

typedef struct gold_row {
  fg_blower_verdict v;
  double times_feed;
} gold_row;

static void gold_table(fg_node *root, const fg_blowers_ground *g, size_t count, bool exact) {
#define OF(field) offsetof(gold_row, field)
  const fg_column_of columns[] = {
      {NULL, "blower", FG_Q_NUMBER, FG_FIELD_CHARS, OF(v.name)},
      {NULL, "gold", FG_Q_GOLD_RATE, exact ? FG_FIELD_BANDED : FG_FIELD_SPREAD, OF(v.kept_kg_s)},
      {NULL, "kept", FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.kept.nominal)},
      {NULL, "half kept", FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(v.half_kept_m)},
      {NULL, "times feed", FG_Q_INTEGER, FG_FIELD_NUMBER, OF(times_feed)},
      {NULL, exact ? NULL : "stop", FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.stall_share)},
  };
#undef OF
  fg_node *table = fg_table(root, NULL, NULL, FG_TEXT_ONLY | FG_PROOF);
  FG_COLUMNS_OF(table, columns);
  for (size_t i = 0; i < count; ++i) {
    const gold_row row = {g->verdict[i], floor(1.0 + g->verdict[i].capacity_margin)};
    FG_ROW_OF(table, columns, &row);
  }
}

static void note_idle(fg_node *group, const fg_blowers_ground *g, size_t count) {
  for (size_t i = 0; i < count; ++i)
    if (!g->verdict[i].runs)
      fg_bullet(group, "%s cannot carry the bed: at every setting tried the deck stalls.",
                g->verdict[i].name);
    else if (g->verdict[i].support < weak_support)
      fg_bullet(group,
                "%s is too weak to loosen this bed: even at its best it carries %.0f %% of "
                "the weight; the shake alone moves the gravel.",
                g->verdict[i].name, 100.0 * g->verdict[i].support);
    else if (g->verdict[i].stalled)
      fg_bullet(group,
                "%s runs in some of the drawn cases only: with the nominal inputs the deck "
                "stalls at its best settings.",
                g->verdict[i].name);
}

/* Where more volume stops paying. */
static void note_enough(fg_node *group, const fg_blowers_ground *g, size_t count) {
  const long enough = fg_blower_enough(g->verdict, count);
  if (enough < 0)
    return;
  const fg_blower_verdict *v = &g->verdict[enough];
  const fg_blower_verdict *last = NULL;
  for (size_t i = 0; i < count; ++i)
    if (g->verdict[i].runs && !g->verdict[i].stalled)
      last = &g->verdict[i];
  char volume[48], speed[48] = "";
  (void)fg_quantity_text(FG_Q_VOLUME_RATE, FG_UNITS_US, v->volume_m3_s, volume, sizeof volume);
  if (isfinite(v->nozzle_m_s))
    (void)fg_quantity_text(FG_Q_NOZZLE_SPEED, FG_UNITS_US, v->nozzle_m_s, speed, sizeof speed);
  if (!last)
    return; /* with the nominal inputs none runs */
  if (last == v) {
    fg_bullet(group, "The largest, %s (%s), still brings more gold than any smaller one.", v->name,
              volume);
    return;
  }
  fg_bullet(group,
            "Enough for this deck and feed: %s (%s%s%s). Beyond that more volume brings less "
            "than 3 %% more gold, which is no more than the search is sure of: it is "
            "throttled off or bled away. %s runs at %.0f %% throttle, bleeds %.0f %% of "
            "its air through the gate, and has no use here for %.0f %% of what it could "
            "give.",
            v->name, volume, *speed ? ", " : "", speed, last->name,
            100.0 * last->at[FG_KNOB_THROTTLE], 100.0 * last->bled_share,
            100.0 * last->spare_share);
}

/* Where every blower is fed all that the shoveller can give, he sets the gold an hour. */
static void note_feed(fg_node *group, const fg_blowers_story *story, const fg_blowers_ground *g) {
  const double most = story->scenario->limits.feed_most;
  size_t running = 0, at_most = 0;
  char feed[64];
  for (size_t i = 0; i < story->count; ++i) {
    running += g->verdict[i].runs;
    at_most += g->verdict[i].runs && g->verdict[i].at[FG_KNOB_FEED] >= feed_edge * most;
  }
  if (running == 0 || 2 * at_most < running)
    return;
  fg_bullet(group,
            "%zu of the %zu that run take the greatest feed allowed, %s (limits.feed_most): "
            "there the shoveller, not the blower, sets the gold an hour.",
            at_most, running, fg_quantity_text(FG_Q_FEED, story->units, most, feed, sizeof feed));
}

static void ground_text(fg_node *root, const fg_blowers_story *story, const fg_blowers_ground *g) {
  char title[160];
  if (story->grounds == 1)
    (void)snprintf(title, sizeof title, "Air, smallest label first");
  else
    (void)snprintf(title, sizeof title, "On %s: %s", g->name, g->words);
  FG_TABLE_OF(root, NULL, title, FG_TEXT_ONLY, air_columns, g->verdict, story->count);
  gold_table(root, g, story->count, story->options.exact);
  FG_TABLE_OF(root, NULL, NULL, FG_TEXT_ONLY, carry_columns, g->verdict, story->count);
  fg_node *group = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  note_enough(group, g, story->count);
  note_feed(group, story, g);
  note_idle(group, g, story->count);
}

typedef struct data_row {
  const char *ground, *kind, *state;
  fg_blower_verdict v;
} data_row;

static data_row row_of(const fg_blowers_ground *g, size_t i) {
  const fg_blower_verdict *v = &g->verdict[i];
  const char *state = !v->runs ? "cannot carry the bed" : v->stalled ? "stalls" : "runs";
  return (data_row){g->name, fg_settings[FG_SET_BLOWER_KIND].choices[v->kind], state, *v};
}

#define OF(field) offsetof(data_row, field)
static const fg_column_of altitude_columns[] = {
    {NULL, "kind", FG_Q_NUMBER, FG_FIELD_TEXT, OF(kind)},
    {NULL, "fan speed", FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.speed_here)},
    {NULL, "volume", FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.volume_here)},
    {NULL, "pressure", FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.pressure_here)},
};

static void altitude_text(fg_node *root, const fg_blowers_story *story) {
  fg_node *table =
      fg_table(root, NULL, "Full throttle here, of full throttle at sea level", FG_TEXT_ONLY);
  FG_COLUMNS_OF(table, altitude_columns);
  for (int kind = FG_BLOWER_TWO_STROKE; kind <= FG_BLOWER_MAINS; ++kind)
    for (size_t i = 0; i < story->count; ++i) {
      const data_row row = row_of(&story->ground[0], i);
      if (row.v.kind != kind)
        continue;
      FG_ROW_OF(table, altitude_columns, &row);
      break;
    }
  fg_node *group = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(group, "Engines lose 3 %% of their power per 1000 ft above 500 ft; thin air also takes "
                 "less to move, so the volume hardly changes and the pressure falls.");
}

static void explain(fg_node *root, const fg_blowers_story *story) {
  fg_node *group = fg_group(root, NULL, "How to read the tables", FG_TEXT_ONLY);
  fg_bullet(group, "thr.: throttle, as fan speed. bled: share of the blower's air that leaves "
                   "through the gate. bed up: share of its weight on the air, open strips. "
                   "times feed: the most gravel the deck could carry over the feed; 1 is a stall. "
                   "stop: share of the drawn cases in which the deck stalls.");
  if (!story->options.exact)
    fg_bullet(group,
              "low and high hold 80 %% of %zu runs with every doubtful input drawn anew; a "
              "run that stalls counts as no gold.",
              story->options.samples);
  fg_bullet(group, "Fuel for the planned hours at that throttle (estimate: model), oil 1:50 for "
                   "two-strokes. carry: blower with its tank full and that fuel beside it, so one "
                   "tank is in reserve. Battery blowers: spare batteries come on top; one lasts a "
                   "quarter of an hour to an hour (common practice, no source).");
  fg_bullet(group,
            "NIOSH, OSHA: hours a day at that noise, full throttle and bare ears: 8 h halved "
            "every 3 dB above 85 (NIOSH 98-126), every 5 dB above 90 (29 CFR 1910.95).");
}

/* ---- for programs ---- */

static const fg_column_of data_columns[] = {
    {"ground", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(ground)},
    {"name", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(v.name)},
    {"kind", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(kind)},
    {"state", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(state)},
    {"kept", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(v.kept)},
    {"kept_g_h", NULL, FG_Q_GOLD_RATE, FG_FIELD_BANDED, OF(v.kept_kg_s)},
    {"volume_m3_s", NULL, FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(v.volume_m3_s)},
    {"nozzle_m_s", NULL, FG_Q_NOZZLE_SPEED, FG_FIELD_NUMBER, OF(v.nozzle_m_s)},
    {"throttle", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.at[FG_KNOB_THROTTLE])},
    {"gate_opening", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.at[FG_KNOB_GATE])},
    {"slope_deg", NULL, FG_Q_SLOPE, FG_FIELD_NUMBER, OF(v.at[FG_KNOB_SLOPE])},
    {"feed_kg_s", NULL, FG_Q_FEED, FG_FIELD_NUMBER, OF(v.at[FG_KNOB_FEED])},
    {"screen_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(v.at[FG_KNOB_SCREEN])},
    {"flow_m3_s", NULL, FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(v.flow_m3_s)},
    {"deck_flow_m3_s", NULL, FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(v.deck_m3_s)},
    {"bled_m3_s", NULL, FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(v.bled_m3_s)},
    {"leak_m3_s", NULL, FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(v.leak_m3_s)},
    {"bled_share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.bled_share)},
    {"full_throttle_m3_s", NULL, FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(v.full_m3_s)},
    {"spare_share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.spare_share)},
    {"deck_velocity_m_s", NULL, FG_Q_SPEED, FG_FIELD_NUMBER, OF(v.velocity_m_s)},
    {"box_pressure_pa", NULL, FG_Q_PRESSURE, FG_FIELD_NUMBER, OF(v.box_pa)},
    {"support", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.support)},
    {"mean_g_h", NULL, FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(v.mean_kg_s)},
    {"half_kept_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(v.half_kept_m)},
    {"capacity_margin", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.capacity_margin)},
    {"stall_share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.stall_share)},
    {"fuel_l", NULL, FG_Q_VOLUME, FG_FIELD_NUMBER, OF(v.fuel_m3)},
    {"oil_l", NULL, FG_Q_VOLUME, FG_FIELD_NUMBER, OF(v.oil_m3)},
    {"carry_kg", NULL, FG_Q_MASS, FG_FIELD_NUMBER, OF(v.carry_kg)},
    {"noise_dba", NULL, FG_Q_NOISE, FG_FIELD_NUMBER, OF(v.noise_dba)},
    {"niosh_h", NULL, FG_Q_HOURS, FG_FIELD_NUMBER, OF(v.niosh_s)},
    {"osha_h", NULL, FG_Q_HOURS, FG_FIELD_NUMBER, OF(v.osha_s)},
    {"speed_at_altitude", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.speed_here)},
    {"volume_at_altitude", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.volume_here)},
    {"pressure_at_altitude", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(v.pressure_here)},
};

static const fg_column_of enough_columns[] = {
    {"ground", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(ground)},
    {"name", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(v.name)},
    {"volume_m3_s", NULL, FG_Q_VOLUME_RATE, FG_FIELD_NUMBER, OF(v.volume_m3_s)},
};
#undef OF

static void add_data(fg_node *root, const fg_blowers_story *story) {
  fg_node *all = fg_table(root, "blowers", NULL, FG_PRIMARY | FG_DATA_ONLY);
  fg_node *enough = fg_table(root, "enough", NULL, FG_DATA_ONLY);
  FG_COLUMNS_OF(all, data_columns);
  FG_COLUMNS_OF(enough, enough_columns);
  for (size_t g = 0; g < story->grounds; ++g) {
    const long last = fg_blower_enough(story->ground[g].verdict, story->count);
    for (size_t i = 0; i < story->count; ++i) {
      const data_row row = row_of(&story->ground[g], i);
      FG_ROW_OF(all, data_columns, &row);
      if ((long)i == last)
        FG_ROW_OF(enough, enough_columns, &row);
    }
  }
}

fg_report *fg_blowers_report(const fg_blowers_story *story) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_report_blowers_answer(root, story);
  head(root, story);
  for (size_t g = 0; g < story->grounds; ++g)
    ground_text(root, story, &story->ground[g]);
  add_data(root, story);
  altitude_text(root, story);
  explain(root, story);
  if (!story->options.exact) {
    fg_node *doubt = fg_group(root, "doubt", NULL, FG_DATA_ONLY);
    fg_integer(doubt, "samples", NULL, (long)story->options.samples, 0);
    fg_integer(doubt, "seed", NULL, (long)story->options.seed, 0);
  }
  fg_page_end(root, story->scenario, FG_DECK_GROUPS, story->units);
  return report;
}
