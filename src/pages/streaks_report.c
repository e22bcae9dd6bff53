/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/streaks_report.h"
#include "core/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/version.h"
#include "pages/page.h"
#include "pages/streaks_report_internal.h"

enum { PLACE = 48 };

/* "34.12345, -112.34567" or "x 12, y 40 m", as the file has positions. */
static const char *place_text(const fg_readings *r, double x_m, double y_m, double latitude,
                              double longitude, char buffer[static PLACE]) {
  if (r->degrees)
    (void)snprintf(buffer, PLACE, "%.5f, %.5f", latitude, longitude);
  else
    (void)snprintf(buffer, PLACE, "%.1f, %.1f %s", x_m / r->unit_m, y_m / r->unit_m, r->unit);
  return buffer;
}

/* Where to dig first: the flags of the first ranks, none beside old workings. */
static void dig_line(fg_node *answer, const fg_streaks_story *story) {
  enum { TOLD = 3 };
  static const char *const between[TOLD] = {"", " first, then ", " and "};
  const fg_streaks *s = story->streaks;
  const char *slash = strrchr(story->path, '/');
  fg_text names = {0};
  size_t told = 0;
  for (size_t i = 0; i < s->flag_count && told < TOLD; ++i)
    if (!s->flags[i].near_workings)
      fg_text_printf(&names, "%s%s", between[told++],
                     story->readings->list[s->flags[i].reading].name);
  char *list = fg_text_take(&names, NULL);
  if (told > 0 && list)
    fg_note(answer, "%s: dig at %s; only a pan proves gold.", slash ? slash + 1 : story->path,
            list);
  free(list);
}

static void add_head(fg_node *root, const fg_streaks_story *story) {
  fg_node *answer = fg_answer(root);
  dig_line(answer, story);
  const fg_readings *r = story->readings;
  const char *slash = strrchr(story->path, '/');
  fg_node *head = fg_group(root, NULL, "Where to dig: flags ranked by black sand", 0);
  fg_string(head, "version", NULL, FG_VERSION, 0);
  fg_string(head, "file", "Readings from", slash ? slash + 1 : story->path, 0);
  fg_string(head, "field", "Taken from", r->field, 0);
  fg_string(head, "scale", "Scale", r->percent ? "percent" : "the detector's own", 0);
  fg_integer(head, "places", "Places with a reading", (long)r->count, 0);
  fg_integer(head, "merged", r->merged > 0 ? "Repeats at one place" : NULL, (long)r->merged, 0);
  fg_integer(head, "without_reading", r->without > 0 ? "Places without a reading" : NULL,
             (long)r->without, 0);
  fg_number(head, "cut", "Cut: worth digging from", FG_Q_NUMBER, story->streaks->cut, 0);
  fg_boolean(head, "cut_assumed", NULL, story->streaks->cut_assumed, 0);
  fg_streaks_add_sureness(head, answer, story);
  fg_note(head, "Only a pan proves gold. Black sand shows where heavy grains dropped; it can be "
                "rich and barren.");
}

/* ---- One place ---------------------------------------------------------------------------- */

typedef struct weight_row {
  fg_reading reading;
  double distance_m, weight;
} weight_row;

#define OF(field) offsetof(weight_row, field)
static const fg_column_of weight_columns[] = {
    {"name", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(reading.name)},
    {"distance_m", NULL, FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(distance_m)},
    {"value", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(reading.value)},
    {"weight", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(weight)},
};
#undef OF

static void add_weights(fg_node *at, const fg_streaks_story *story) {
  const fg_place_asked *a = story->at;
  fg_node *table = fg_table(at, "weights", "Readings it was made of", FG_DATA_ONLY);
  FG_COLUMNS_OF(table, weight_columns);
  for (size_t i = 0; i < a->count; ++i) {
    const fg_reading *r = &story->readings->list[a->index[i]];
    const weight_row row = {*r, hypot(r->x_m - a->x_m, r->y_m - a->y_m), a->weight[i]};
    FG_ROW_OF(table, weight_columns, &row);
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
  const fg_foretold there = fg_foretell(story->streaks, &a->kriged);
  fg_number(at, "estimate", "Estimate (kriging)", FG_Q_NUMBER, there.estimate, 0);
  fg_number(at, "sd", "Standard deviation", FG_Q_NUMBER, there.sd, 0);
  fg_number(at, "variance", NULL, FG_Q_NUMBER, there.sd * there.sd, 0);
  fg_number(at, "low", "One reading in ten below", FG_Q_NUMBER, there.low, 0);
  fg_number(at, "high", "One in ten above", FG_Q_NUMBER, there.high, 0);
  fg_number(at, "inverse_distance", "By inverse distance", FG_Q_NUMBER, a->inverse_distance, 0);
  fg_number(at, "power", "- to the power", FG_Q_NUMBER, story->power, 0);
  fg_number(at, "chance", "Chance of beating the cut", FG_Q_SHARE, there.chance, 0);
  fg_integer(at, "readings_used", "Readings used", (long)a->count, 0);
  add_weights(at, story);
}

/* ---- Flags -------------------------------------------------------------------------------- */

typedef struct flag_row {
  fg_reading at;
  fg_flag flag;
  double rank, chance_rank;
  const char *remark;
} flag_row;

static double rank_or_none(size_t rank) { return rank > 0 ? (double)rank : (double)NAN; }

/* The first `count` flags; people see some columns only where they hold something. */
static void flag_table(fg_node *root, const fg_streaks_story *story, const char *title,
                       unsigned flags, size_t count) {
  const fg_streaks *s = story->streaks;
  bool remarks = false;
  for (size_t i = 0; i < count; ++i)
    remarks = remarks || s->flags[i].near_workings;
#define OF(field) offsetof(flag_row, field)
  const fg_column_of columns[] = {
      {"rank", "rank", FG_Q_INTEGER, FG_FIELD_NUMBER, OF(rank)},
      {"name", "flag", FG_Q_NUMBER, FG_FIELD_CHARS, OF(at.name)},
      {"x_m", NULL, FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(at.x_m)},
      {"y_m", NULL, FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(at.y_m)},
      {"latitude", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.latitude_deg)},
      {"longitude", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.longitude_deg)},
      {"reading", "reading", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.value)},
      {"estimate", "estimate", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(flag.there.estimate)},
      {"sd", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(flag.there.sd)},
      {"low", "from", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(flag.there.low)},
      {"high", "to", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(flag.there.high)},
      {"inverse_distance", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(flag.inverse_distance)},
      {"chance", "beats cut", FG_Q_SHARE, FG_FIELD_NUMBER, OF(flag.there.chance)},
      {"chance_rank", NULL, FG_Q_INTEGER, FG_FIELD_NUMBER, OF(chance_rank)},
      {"pan", s->pan_count > 0 ? "panned" : NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.pan)},
      {"pan_foretold", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(flag.pan)},
      {"pan_foretold_low", s->pan_predicts ? "pan from" : NULL, FG_Q_NUMBER, FG_FIELD_NUMBER,
       OF(flag.pan_low)},
      {"pan_foretold_high", s->pan_predicts ? "to" : NULL, FG_Q_NUMBER, FG_FIELD_NUMBER,
       OF(flag.pan_high)},
      {"remark", remarks ? "note" : NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(remark)},
  };
#undef OF
  fg_node *table = fg_table(root, "flags", title, flags);
  FG_COLUMNS_OF(table, columns);
  for (size_t i = 0; i < count; ++i) {
    const fg_flag *f = &s->flags[i];
    const flag_row row = {story->readings->list[f->reading], *f, rank_or_none(f->rank),
                          rank_or_none(f->chance_rank), f->near_workings ? "keep off" : ""};
    FG_ROW_OF(table, columns, &row);
  }
}

/* People see the first ones; data holds all. */
static void add_flags(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  const size_t shown = s->flag_count < story->top ? s->flag_count : story->top;
  char title[64];
  if (shown < s->flag_count)
    (void)snprintf(title, sizeof title, "The first %zu flags of %zu", shown, s->flag_count);
  else
    (void)snprintf(title, sizeof title, "The flags");
  flag_table(root, story, title, FG_TEXT_ONLY | FG_PROOF, shown);
  flag_table(root, story, NULL, FG_DATA_ONLY | FG_PRIMARY, s->flag_count);
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(
      key,
      "Estimate: black sand in the first six inches, the depth such a detector answers to "
      "(common practice, no source)%s. From, to: one fresh reading in ten there lies below, one "
      "in ten above. Beats cut: the chance that a fresh reading is above the cut.%s",
      s->variogram.nugget > 0.0 ? ", the reading evened out with its neighbours" : "",
      s->pan_predicts ? " Pan from, to: what a pan would hold, in 95 of 100." : "");
}

typedef struct next_row {
  char name[2], place[PLACE];
  fg_next_place at;
} next_row;

#define OF(field) offsetof(next_row, field)
static const fg_column_of next_columns[] = {
    {"name", "place", FG_Q_NUMBER, FG_FIELD_CHARS, OF(name)},
    {NULL, "position", FG_Q_NUMBER, FG_FIELD_CHARS, OF(place)},
    {"x_m", NULL, FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(at.x_m)},
    {"y_m", NULL, FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(at.y_m)},
    {"latitude", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.latitude_deg)},
    {"longitude", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.longitude_deg)},
    {"estimate", "estimate", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.there.estimate)},
    {"sd", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.there.sd)},
    {"low", "from", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.there.low)},
    {"high", "to", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.there.high)},
    {"gain", "gain", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.there.gain)},
};
#undef OF

static void add_next(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  fg_node *table = fg_table(root, "next", "Take the next readings here", 0);
  FG_COLUMNS_OF(table, next_columns);
  for (size_t i = 0; i < s->next_count; ++i) {
    const fg_next_place *n = &s->next[i];
    next_row row = {{(char)('A' + (int)i)}, "", *n};
    (void)place_text(story->readings, n->x_m, n->y_m, n->latitude_deg, n->longitude_deg, row.place);
    FG_ROW_OF(table, next_columns, &row);
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

typedef struct working_row {
  char place[PLACE];
  fg_working at;
} working_row;

#define OF(field) offsetof(working_row, field)
static const fg_column_of working_columns[] = {
    {"name", "name", FG_Q_NUMBER, FG_FIELD_CHARS, OF(at.name)},
    {NULL, "place", FG_Q_NUMBER, FG_FIELD_CHARS, OF(place)},
    {"x_m", NULL, FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(at.x_m)},
    {"y_m", NULL, FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(at.y_m)},
    {"latitude", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.latitude_deg)},
    {"longitude", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(at.longitude_deg)},
};
#undef OF

static void add_workings(fg_node *root, const fg_readings *r) {
  const bool any = r->working_count > 0;
  fg_node *table = fg_table(root, "old_workings", any ? "Old workings: do not enter" : NULL,
                            any ? 0 : FG_DATA_ONLY);
  FG_COLUMNS_OF(table, working_columns);
  for (size_t i = 0; i < r->working_count; ++i) {
    const fg_working *w = &r->workings[i];
    working_row row = {"", *w};
    (void)place_text(r, w->x_m, w->y_m, w->latitude_deg, w->longitude_deg, row.place);
    FG_ROW_OF(table, working_columns, &row);
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
