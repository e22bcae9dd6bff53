/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/streaks_report.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/version.h"
#include "pages/page.h"
#include "pages/streaks_report_internal.h"

enum { PLACE = 48 };

/* "34.12345, -112.34567" or "x 12, y 40 m", as the file has positions. */
static const char *place_text(const fg_readings *r, double x_m, double y_m, double latitude,
                              double longitude, char buffer[static PLACE]) {
  if (r->degrees)
    snprintf(buffer, PLACE, "%.5f, %.5f", latitude, longitude);
  else
    snprintf(buffer, PLACE, "%.1f, %.1f %s", x_m / r->unit_m, y_m / r->unit_m, r->unit);
  return buffer;
}

static void add_head(fg_node *root, const fg_streaks_story *story) {
  const fg_readings *r = story->readings;
  const char *slash = strrchr(story->path, '/');
  fg_node *head = fg_group(root, NULL, "Where to dig: flags ranked by black sand", 0);
  fg_string(head, "version", NULL, FG_VERSION, 0);
  fg_string(head, "file", "Readings from", slash ? slash + 1 : story->path, 0);
  fg_string(head, "field", "Taken from", r->field, 0);
  fg_string(head, "scale", "Scale", r->percent ? "percent" : "the detector's own", 0);
  fg_integer(head, "places", "Places with a reading", (long)r->count, 0);
  fg_integer(head, "merged", r->merged > 0 ? "Readings averaged into others" : NULL,
             (long)r->merged, 0);
  fg_integer(head, "without_reading", r->without > 0 ? "Places without a reading" : NULL,
             (long)r->without, 0);
  fg_number(head, "cut", "Cut: worth digging from", FG_Q_NUMBER, story->streaks->cut, 0);
  fg_boolean(head, "cut_assumed", NULL, story->streaks->cut_assumed, 0);
  fg_note(head, "Only a pan proves gold. Black sand shows where heavy grains dropped; it can be "
                "rich and barren.");
}

/* ---- One place ---------------------------------------------------------------------------- */

static void add_weights(fg_node *at, const fg_streaks_story *story) {
  const fg_place_asked *a = story->at;
  fg_node *table = fg_table(at, "weights", "Readings it was made of", FG_DATA_ONLY);
  fg_column_text(table, "name", NULL, 0);
  fg_column(table, "distance_m", NULL, FG_Q_DISTANCE, 0);
  fg_column(table, "value", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "weight", NULL, FG_Q_NUMBER, 0);
  for (size_t i = 0; i < a->count; ++i) {
    const fg_reading *r = &story->readings->list[a->index[i]];
    fg_row(table);
    fg_cell_text(table, r->name);
    fg_cell(table, hypot(r->x_m - a->x_m, r->y_m - a->y_m));
    fg_cell(table, r->value);
    fg_cell(table, a->weight[i]);
  }
}

static void add_at(fg_node *root, const fg_streaks_story *story) {
  const fg_place_asked *a = story->at;
  if (!a->asked)
    return;
  double latitude;
  double longitude;
  char place[PLACE];
  fg_readings_locate(story->readings, a->x_m, a->y_m, &latitude, &longitude);
  fg_node *at = fg_group(root, "at", "At the place asked for", 0);
  fg_string(at, "place", "Place",
            place_text(story->readings, a->x_m, a->y_m, latitude, longitude, place), FG_TEXT_ONLY);
  fg_number(at, "x_m", NULL, FG_Q_DISTANCE, a->x_m, 0);
  fg_number(at, "y_m", NULL, FG_Q_DISTANCE, a->y_m, 0);
  fg_number(at, "latitude", NULL, FG_Q_NUMBER, latitude, 0);
  fg_number(at, "longitude", NULL, FG_Q_NUMBER, longitude, 0);
  fg_number(at, "estimate", "Estimate (kriging)", FG_Q_NUMBER, a->kriged.estimate, 0);
  fg_number(at, "sd", "Standard deviation", FG_Q_NUMBER, sqrt(a->kriged.variance), 0);
  fg_number(at, "variance", NULL, FG_Q_NUMBER, a->kriged.variance, 0);
  fg_number(at, "inverse_distance", "By inverse distance", FG_Q_NUMBER, a->inverse_distance, 0);
  fg_number(at, "power", "- to the power", FG_Q_NUMBER, story->power, 0);
  if (!story->streaks || !isnan(story->streaks->cut))
    fg_number(at, "chance", "Chance of beating the cut", FG_Q_SHARE,
              fg_chance_above(a->kriged.estimate, sqrt(a->kriged.variance), story->streaks->cut),
              0);
  fg_integer(at, "readings_used", "Readings used", (long)a->count, 0);
  add_weights(at, story);
}

/* ---- Flags -------------------------------------------------------------------------------- */

/* Columns that people see only where they hold something. */
typedef struct flag_columns_shown {
  bool panned, foretold, remarks;
} flag_columns_shown;

static void flag_columns(fg_node *table, const flag_columns_shown *show) {
  fg_column(table, "rank", "rank", FG_Q_INTEGER, 0);
  fg_column_text(table, "name", "flag", 0);
  fg_column(table, "x_m", NULL, FG_Q_DISTANCE, 0);
  fg_column(table, "y_m", NULL, FG_Q_DISTANCE, 0);
  fg_column(table, "latitude", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "longitude", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "reading", "reading", FG_Q_NUMBER, 0);
  fg_column(table, "estimate", "estimate", FG_Q_NUMBER, 0);
  fg_column(table, "sd", "+-", FG_Q_NUMBER, 0);
  fg_column(table, "inverse_distance", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "chance", "beats cut", FG_Q_SHARE, 0);
  fg_column(table, "chance_rank", NULL, FG_Q_INTEGER, 0);
  fg_column(table, "pan", show->panned ? "panned" : NULL, FG_Q_NUMBER, 0);
  fg_column(table, "pan_foretold", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "pan_foretold_low", show->foretold ? "pan from" : NULL, FG_Q_NUMBER, 0);
  fg_column(table, "pan_foretold_high", show->foretold ? "to" : NULL, FG_Q_NUMBER, 0);
  fg_column_text(table, "remark", show->remarks ? "note" : NULL, 0);
}

static double rank_or_none(size_t rank) { return rank > 0 ? (double)rank : (double)NAN; }

static void flag_row(fg_node *table, const fg_readings *readings, const fg_flag *f) {
  const fg_reading *r = &readings->list[f->reading];
  fg_row(table);
  fg_cell(table, rank_or_none(f->rank));
  fg_cell_text(table, r->name);
  const double cells[] = {
      r->x_m,      r->y_m, r->latitude_deg,     r->longitude_deg, r->value,
      f->estimate, f->sd,  f->inverse_distance, f->chance,        rank_or_none(f->chance_rank),
      r->pan,      f->pan, f->pan_low,          f->pan_high};
  fg_cells(table, cells, sizeof cells / sizeof cells[0]);
  fg_cell_text(table, f->near_workings ? "keep off" : "");
}

/* People see the first ones; data holds all. */
static void add_flags(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  const size_t shown = s->flag_count < story->top ? s->flag_count : story->top;
  char title[64];
  if (shown < s->flag_count)
    snprintf(title, sizeof title, "The first %zu flags of %zu", shown, s->flag_count);
  else
    snprintf(title, sizeof title, "The flags");
  fg_node *people = fg_table(root, "flags", title, FG_TEXT_ONLY);
  flag_columns_shown show = {.panned = s->pan_count > 0, .foretold = s->pan_predicts};
  for (size_t i = 0; i < shown; ++i)
    show.remarks = show.remarks || s->flags[i].near_workings;
  flag_columns(people, &show);
  for (size_t i = 0; i < shown; ++i)
    flag_row(people, story->readings, &s->flags[i]);
  fg_node *data = fg_table(root, "flags", NULL, FG_DATA_ONLY | FG_PRIMARY);
  flag_columns(data, &show);
  for (size_t i = 0; i < s->flag_count; ++i)
    flag_row(data, story->readings, &s->flags[i]);
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(key,
          "Estimate: black sand in the first six inches, the depth such a detector answers to "
          "(common practice, no source)%s. +-: its standard deviation. Beats cut: the chance that "
          "a fresh reading there is above the cut, by the normal distribution.%s",
          s->variogram.nugget > 0.0 ? ", the reading evened out with its neighbours" : "",
          s->pan_predicts ? " Pan from, to: what a pan would hold, in 95 of 100." : "");
}

static void add_next(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  fg_node *table = fg_table(root, "next", "Take the next readings here", 0);
  fg_column_text(table, "name", "place", 0);
  fg_column_text(table, "place", "position", FG_TEXT_ONLY);
  fg_column(table, "x_m", NULL, FG_Q_DISTANCE, 0);
  fg_column(table, "y_m", NULL, FG_Q_DISTANCE, 0);
  fg_column(table, "latitude", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "longitude", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "estimate", "estimate", FG_Q_NUMBER, 0);
  fg_column(table, "sd", "+-", FG_Q_NUMBER, 0);
  fg_column(table, "gain", "gain", FG_Q_NUMBER, 0);
  for (size_t i = 0; i < s->next_count; ++i) {
    const fg_next_place *n = &s->next[i];
    const char name[2] = {(char)('A' + (int)i), '\0'};
    char place[PLACE];
    fg_row(table);
    fg_cell_text(table, name);
    fg_cell_text(table, place_text(story->readings, n->x_m, n->y_m, n->latitude_deg,
                                   n->longitude_deg, place));
    const double cells[] = {n->x_m,      n->y_m, n->latitude_deg, n->longitude_deg,
                            n->estimate, n->sd,  n->gain};
    fg_cells(table, cells, sizeof cells / sizeof cells[0]);
  }
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  if (s->next_count > 0)
    fg_note(key,
            "Gain: what it is worth, on the readings' scale, to know the place before "
            "deciding to dig there. Each place is chosen as if the ones before it were taken.");
  else
    fg_note(key, "No place stands out for a further reading.");
}

static void add_wash(fg_node *root, const fg_streaks *s) {
  static const char *const words[] = {
      [FG_WASH_UNKNOWN] = "unknown",
      [FG_WASH_GIVEN] = "given",
      [FG_WASH_VARIOGRAM] = "the readings stay alike farthest along it",
      [FG_WASH_SHAPE] = "the long axis of the places",
  };
  fg_node *wash = fg_group(root, "wash", "The wash", 0);
  const bool known = s->wash_source != FG_WASH_UNKNOWN;
  fg_number(wash, "direction_deg", known ? "Runs, from north" : NULL, FG_Q_ANGLE, s->wash_rad, 0);
  fg_string(wash, "direction_from", "Direction from", words[s->wash_source], 0);
}

static void add_workings(fg_node *root, const fg_readings *r) {
  const bool any = r->working_count > 0;
  fg_node *table = fg_table(root, "old_workings", any ? "Old workings: do not enter" : NULL,
                            any ? 0 : FG_DATA_ONLY);
  fg_column_text(table, "name", "name", 0);
  fg_column_text(table, "place", "place", FG_TEXT_ONLY);
  fg_column(table, "x_m", NULL, FG_Q_DISTANCE, 0);
  fg_column(table, "y_m", NULL, FG_Q_DISTANCE, 0);
  fg_column(table, "latitude", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "longitude", NULL, FG_Q_NUMBER, 0);
  for (size_t i = 0; i < r->working_count; ++i) {
    const fg_working *w = &r->workings[i];
    char place[PLACE];
    fg_row(table);
    fg_cell_text(table, w->name);
    fg_cell_text(table, place_text(r, w->x_m, w->y_m, w->latitude_deg, w->longitude_deg, place));
    fg_cell(table, w->x_m);
    fg_cell(table, w->y_m);
    fg_cell(table, w->latitude_deg);
    fg_cell(table, w->longitude_deg);
  }
}

static void add_trust(fg_node *root) {
  fg_node *heading = fg_group(root, NULL, "How far to trust this", FG_TEXT_ONLY);
  fg_note(heading,
          "This is a map of black sand, not of gold. Iron-rich rock, rust and old cans read as "
          "black sand; gold can lie where there is none. A chance is a model's: it takes the "
          "ground between readings to be like the rest. Only a pan proves gold: pan the first "
          "flags and some poor ones before you dig.");
}

fg_report *fg_streaks_report(const fg_streaks_story *story) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  add_head(root, story);
  add_at(root, story);
  if (story->streaks->flag_count > 0) {
    add_flags(root, story);
    add_next(root, story);
    fg_streaks_add_pan(root, story);
    add_workings(root, story->readings);
    add_wash(root, story->streaks);
  }
  fg_streaks_add_variogram(root, story);
  fg_streaks_add_remarks(root, story);
  add_trust(root);
  fg_page_cautions(root);
  return report;
}
