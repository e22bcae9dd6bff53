/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/streaks_report.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/loss_report.h"
#include "flourgold/text.h"
#include "flourgold/version.h"

enum { PLACE = 48, NUMBER = 32 };

static const char *plural(size_t count) { return count == 1 ? "" : "s"; }

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
  fg_string(head, "file", "Readings from", slash != NULL ? slash + 1 : story->path, 0);
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
  for (size_t i = 0; i < a->count; i++) {
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
  if (story->streaks == NULL || !isnan(story->streaks->cut))
    fg_number(at, "chance", "Chance of beating the cut", FG_Q_SHARE,
              fg_chance_above(a->kriged.estimate, sqrt(a->kriged.variance), story->streaks->cut),
              0);
  fg_integer(at, "readings_used", "Readings used", (long)a->count, 0);
  add_weights(at, story);
}

/* ---- Flags -------------------------------------------------------------------------------- */

static void flag_columns(fg_node *table, bool pans, bool remarks) {
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
  fg_column(table, "pan", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "pan_foretold", pans ? "pan" : NULL, FG_Q_NUMBER, 0);
  fg_column(table, "pan_foretold_low", pans ? "from" : NULL, FG_Q_NUMBER, 0);
  fg_column(table, "pan_foretold_high", pans ? "to" : NULL, FG_Q_NUMBER, 0);
  fg_column_text(table, "remark", remarks ? "note" : NULL, 0);
}

static void flag_row(fg_node *table, const fg_readings *readings, const fg_flag *f) {
  const fg_reading *r = &readings->list[f->reading];
  fg_row(table);
  fg_cell(table, (double)f->rank);
  fg_cell_text(table, r->name);
  const double cells[] = {r->x_m,      r->y_m,          r->latitude_deg,       r->longitude_deg,
                          r->value,    f->estimate,     f->sd,                 f->inverse_distance,
                          f->chance,   (double)f->chance_rank, r->pan,         f->pan,
                          f->pan_low,  f->pan_high};
  for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++)
    fg_cell(table, cells[i]);
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
  bool remarks = false;
  for (size_t i = 0; i < shown; i++)
    remarks = remarks || s->flags[i].near_workings;
  flag_columns(people, s->pan_predicts, remarks);
  for (size_t i = 0; i < shown; i++)
    flag_row(people, story->readings, &s->flags[i]);
  fg_node *data = fg_table(root, "flags", NULL, FG_DATA_ONLY | FG_PRIMARY);
  flag_columns(data, false, false);
  for (size_t i = 0; i < s->flag_count; i++)
    flag_row(data, story->readings, &s->flags[i]);
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(key,
          "Estimate: black sand in the first six inches, the depth such a detector answers to "
          "(common practice, no source)%s. +-: its standard deviation. Beats cut: the chance that "
          "a fresh reading there is above the cut, by the normal distribution.%s",
          s->variogram.nugget > 0.0 ? ", the reading evened out with its neighbours" : "",
          s->pan_predicts ? " Pan: what a pan would hold, and its 95 % limits." : "");
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
  for (size_t i = 0; i < s->next_count; i++) {
    const fg_next_place *n = &s->next[i];
    const char name[2] = {(char)('A' + (int)i), '\0'};
    char place[PLACE];
    fg_row(table);
    fg_cell_text(table, name);
    fg_cell_text(table, place_text(story->readings, n->x_m, n->y_m, n->latitude_deg,
                                   n->longitude_deg, place));
    const double cells[] = {n->x_m,      n->y_m, n->latitude_deg, n->longitude_deg,
                            n->estimate, n->sd,  n->gain};
    for (size_t k = 0; k < sizeof cells / sizeof cells[0]; k++)
      fg_cell(table, cells[k]);
  }
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  if (s->next_count > 0)
    fg_note(key, "Gain: what it is worth, on the readings' scale, to know the place before "
                 "deciding to dig there. Each place is chosen as if the ones before it were taken.");
  else
    fg_note(key, "No further reading between these would change what beats the cut.");
}

/* ---- Pans --------------------------------------------------------------------------------- */

static void pan_words(fg_node *pan, const fg_streaks *s) {
  const fg_line *l = &s->line;
  char slope[NUMBER];
  char low[NUMBER];
  char high[NUMBER];
  if (!s->pan_fitted) {
    fg_note(pan, "The pans cannot tell whether black sand goes with gold here: three or more are "
                 "needed, not all alike, at differing readings.");
    return;
  }
  fg_number_text(l->slope, 3, slope, sizeof slope);
  fg_number_text(l->slope_low, 3, low, sizeof low);
  fg_number_text(l->slope_high, 3, high, sizeof high);
  if (s->pan_predicts)
    fg_note(pan,
            "In these %zu pans more black sand goes with more in the pan: %s for each unit of the "
            "reading (95 %%: %s to %s). It accounts for %.0f %% of the differences; the rest it "
            "does not foretell.",
            l->count, slope, low, high, 100.0 * l->r * l->r);
  else if (l->count < FG_STREAKS_PANS_LEAST)
    fg_note(pan, "%zu pans are too few for a word on the gold; pan at least %d flags, rich and "
                 "poor ones.",
            l->count, FG_STREAKS_PANS_LEAST);
  else
    fg_note(pan,
            "Black sand does NOT predict gold here: over %zu pans the slope is %s (95 %%: %s to "
            "%s), which chance alone would often give. Do not dig by this ranking; pan.",
            l->count, slope, low, high);
}

static void add_pan(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  fg_node *pan = fg_group(root, "pan", "Does black sand show gold here?", 0);
  fg_integer(pan, "count", NULL, (long)s->pan_count, 0);
  fg_boolean(pan, "predicts", NULL, s->pan_predicts, 0);
  if (s->pan_fitted) {
    const fg_line *l = &s->line;
    fg_number(pan, "slope", NULL, FG_Q_NUMBER, l->slope, 0);
    fg_number(pan, "slope_low", NULL, FG_Q_NUMBER, l->slope_low, 0);
    fg_number(pan, "slope_high", NULL, FG_Q_NUMBER, l->slope_high, 0);
    fg_number(pan, "slope_error", NULL, FG_Q_NUMBER, l->slope_error, 0);
    fg_number(pan, "intercept", NULL, FG_Q_NUMBER, l->intercept, 0);
    fg_number(pan, "r", NULL, FG_Q_NUMBER, l->r, 0);
    fg_number(pan, "r_squared", NULL, FG_Q_NUMBER, l->r * l->r, 0);
    fg_number(pan, "p_value", NULL, FG_Q_NUMBER, l->p_value, 0);
    fg_number(pan, "scatter", NULL, FG_Q_NUMBER, l->scatter, 0);
  }
  if (s->pan_count > 0)
    pan_words(pan, s);
  else
    fg_note(pan, "No pan counts were given, so nothing is known of gold. Pan a few flags, rich and "
                 "poor ones, and add the counts as a column named colours.");
}

/* ---- Variogram ---------------------------------------------------------------------------- */

static void variogram_fields(fg_node *node, const fg_variogram *v) {
  const bool plain = v->kind == FG_VARIOGRAM_NUGGET;
  const bool turned = !plain && v->ratio < 1.0;
  fg_string(node, "model", "Model", fg_variogram_names[v->kind], 0);
  fg_number(node, "nugget", "Nugget (scatter at one place)", FG_Q_NUMBER, v->nugget, 0);
  fg_number(node, "sill", "Sill (variance far apart)", FG_Q_NUMBER, v->sill, 0);
  fg_number(node, "range_m", plain ? NULL : "Range (likeness ends)", FG_Q_DISTANCE,
            plain ? (double)NAN : v->range_m, 0);
  fg_number(node, "direction_deg", turned ? "Longest along, from north" : NULL, FG_Q_ANGLE,
            v->direction_rad, 0);
  fg_number(node, "ratio", turned ? "Range across over along" : NULL, FG_Q_NUMBER, v->ratio, 0);
}

static void add_candidates(fg_node *root, const fg_streaks *s) {
  fg_node *table = fg_table(root, "models",
                            s->candidate_count > 0 ? "Models tried, each reading left out in turn"
                                                   : NULL,
                            s->candidate_count > 0 ? 0 : FG_DATA_ONLY);
  fg_column_text(table, "model", "model", 0);
  fg_column(table, "nugget", "nugget", FG_Q_NUMBER, 0);
  fg_column(table, "sill", "sill", FG_Q_NUMBER, 0);
  fg_column(table, "range_m", "range", FG_Q_DISTANCE, 0);
  fg_column(table, "direction_deg", "along", FG_Q_ANGLE, 0);
  fg_column(table, "ratio", "ratio", FG_Q_NUMBER, 0);
  fg_column(table, "rmse", "error", FG_Q_NUMBER, 0);
  fg_column(table, "standardised", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "score", "score", FG_Q_NUMBER, 0);
  fg_column_text(table, "chosen", "", 0);
  for (size_t i = 0; i < s->candidate_count; i++) {
    const fg_candidate *c = &s->candidates[i];
    const fg_variogram *v = &c->variogram;
    const bool plain = v->kind == FG_VARIOGRAM_NUGGET;
    const double none = (double)NAN;
    const bool turned = v->ratio < 1.0 && !plain;
    const double cells[] = {c->fitted ? v->nugget : none,
                            c->fitted ? v->sill : none,
                            c->fitted && !plain ? v->range_m : none,
                            c->fitted && turned ? v->direction_rad : none,
                            c->fitted ? v->ratio : none,
                            c->fitted ? c->cross.rmse : none,
                            c->fitted ? c->cross.standardised : none,
                            c->fitted ? c->cross.score : none};
    fg_row(table);
    fg_cell_text(table, fg_variogram_names[v->kind]);
    for (size_t k = 0; k < sizeof cells / sizeof cells[0]; k++)
      fg_cell(table, cells[k]);
    fg_cell_text(table, c->fitted && memcmp(v, &s->variogram, sizeof *v) == 0 ? "chosen" : "");
  }
}

static void add_cross(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  if (!s->crossed)
    return;
  fg_node *cross = fg_group(root, "cross_validation", "How well left-out readings are foretold", 0);
  fg_number(cross, "rmse", "Error of kriging", FG_Q_NUMBER, s->cross.rmse, 0);
  fg_number(cross, "inverse_distance_rmse", "Error of inverse distance", FG_Q_NUMBER,
            s->cross.inverse_distance_rmse, 0);
  fg_number(cross, "mean_error", "Too high by, in the mean", FG_Q_NUMBER, s->cross.mean_error, 0);
  fg_number(cross, "standardised", "Error^2 over variance (best: 1)", FG_Q_NUMBER,
            s->cross.standardised, 0);
  fg_number(cross, "score", NULL, FG_Q_NUMBER, s->cross.score, 0);
  fg_number(cross, "beat_expected", "Beating the cut: foretold", FG_Q_NUMBER, s->beat_expected, 0);
  fg_integer(cross, "beat_seen", "Beating the cut: seen", (long)s->beat_seen, 0);
}

static void add_variogram(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  fg_node *node = fg_group(root, "variogram", "How far likeness reaches (variogram)", 0);
  variogram_fields(node, &s->variogram);
  fg_string(node, "origin", "Where from",
            s->given     ? "given by hand"
            : s->assumed ? "assumed: too few places to fit"
                         : "fitted, chosen by leaving out",
            0);
  fg_integer(node, "neighbours", "Nearest readings used, at most", (long)s->neighbours, 0);
  add_candidates(root, s);
  add_cross(root, story);
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

/* ---- Remarks ------------------------------------------------------------------------------ */

static void remark(fg_node *heading, fg_node *list, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void remark(fg_node *heading, fg_node *list, const char *format, ...) {
  char line[400];
  va_list arguments;
  va_start(arguments, format);
  (void)vsnprintf(line, sizeof line, format, arguments);
  va_end(arguments);
  fg_bullet(heading, "%s", line);
  fg_list_string(list, line);
}

static void remark_file(fg_node *heading, fg_node *list, const fg_readings *r) {
  if (r->merged > 0)
    remark(heading, list, "%zu reading%s at the same place as another, averaged with it.",
           r->merged, r->merged == 1 ? " was" : "s were");
  if (r->without > 0)
    remark(heading, list, "%zu place%s without a reading left aside.", r->without,
           plural(r->without));
  if (r->at_workings > 0)
    remark(heading, list, "%zu reading%s at old workings left out: dumps are not the wash.",
           r->at_workings, plural(r->at_workings));
  if (r->track_points > 0)
    remark(heading, list, "%zu track or route point%s left aside; only waypoints hold readings.",
           r->track_points, plural(r->track_points));
}

static void remark_model(fg_node *heading, fg_node *list, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  if (s->assumed)
    remark(heading, list,
           "Fewer than %d places: the variogram is assumed (exponential, range half the ground's "
           "length), so the deviations and chances are guesses.",
           FG_STREAKS_FIT_LEAST);
  if (s->collinear)
    remark(heading, list, "All places lie on one line: nothing is known to its sides, and no "
                          "direction can be fitted. Take readings across it.");
  if (s->variogram.kind == FG_VARIOGRAM_NUGGET)
    remark(heading, list, "Readings near each other are no more alike than far ones: every "
                          "estimate is close to the mean, and the ranking says little. Take "
                          "readings closer together.");
  else if (s->variogram.nugget > 0.6 * s->variogram.sill)
    remark(heading, list, "Most of the differences are scatter from spot to spot (nugget %.0f %% "
                          "of the sill): the ranking is weak.",
           100.0 * s->variogram.nugget / s->variogram.sill);
  if (s->skewed)
    remark(heading, list, "A few readings stand far out: they rule the map, and the chances (normal "
                          "distribution) are rough. Take those readings again.");
  if (s->crossed && (s->cross.standardised > 1.6 || s->cross.standardised < 0.6))
    remark(heading, list, "Left-out readings miss by %.1f times what the deviations say.",
           sqrt(s->cross.standardised));
  if (s->crossed && s->cross.inverse_distance_rmse < 0.95 * s->cross.rmse)
    remark(heading, list, "Inverse distance foretells left-out readings better than kriging here.");
  if (s->crossed && fabs(s->beat_expected - (double)s->beat_seen) > 2.0 * s->beat_scatter)
    remark(heading, list, "Left-out readings: %.0f were foretold to beat the cut, %zu did. The "
                          "chances run too %s here; trust the order more than the figures.",
           s->beat_expected, s->beat_seen,
           s->beat_expected > (double)s->beat_seen ? "high" : "low");
  if (s->jitter > 1e-6)
    remark(heading, list, "Some systems were near singular; %.0e of the sill was added to solve "
                          "them. Give the model a nugget.",
           s->jitter);
  if (s->cut_assumed)
    remark(heading, list, "The cut is the upper quartile of the readings; --cut sets another.");
}

static void add_remarks(fg_node *root, const fg_streaks_story *story) {
  fg_node *heading = fg_group(root, NULL, "Remarks", 0);
  fg_node *list = fg_list(root, "remarks", FG_DATA_ONLY);
  remark_file(heading, list, story->readings);
  remark_model(heading, list, story);
  size_t near = 0;
  for (size_t i = 0; i < story->streaks->flag_count; i++)
    near += story->streaks->flags[i].near_workings;
  if (near > 0)
    remark(heading, list, "%zu flag%s within 50 ft of old workings: keep off.", near,
           plural(near));
  fg_string(heading, "map", story->map != NULL ? "Map" : NULL, story->map, 0);
  fg_string(heading, "gpx", story->gpx != NULL ? "GPX" : NULL, story->gpx, 0);
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
  for (size_t i = 0; i < r->working_count; i++) {
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
  if (report == NULL)
    return NULL;
  fg_node *root = fg_report_root(report);
  add_head(root, story);
  add_at(root, story);
  if (story->streaks->flag_count > 0) {
    add_flags(root, story);
    add_next(root, story);
    add_pan(root, story);
    add_workings(root, story->readings);
    add_wash(root, story->streaks);
  }
  add_variogram(root, story);
  add_remarks(root, story);
  add_trust(root);
  fg_report_cautions(root);
  return report;
}
