/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the report of `flourgold streaks` that say how far to believe it: pans, variogram,
 * remarks. */
#include <math.h>
#include <stdio.h>

#include "core/text.h"
#include "pages/streaks_report_internal.h"

enum { NUMBER = 32 };

static const char *plural(size_t count) { return count == 1 ? "" : "s"; }

/* ---- How sure ------------------------------------------------------------------------------ */

void fg_streaks_add_sureness(fg_node *head, fg_node *answer, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  fg_number(head, "explained", s->crossed ? "Foretold of the differences" : NULL, FG_Q_SHARE,
            s->crossed ? s->explained : (double)NAN, 0);
  if (s->given)
    fg_note(answer,
            "How sure: as sure as the variogram given by hand; nothing here tests it but the "
            "share that left-out readings were foretold.");
  else if (s->assumed)
    fg_note(answer,
            "How sure: a guess. From %zu places nobody can tell how far likeness reaches, so it is "
            "assumed. Take %d or more.",
            story->readings->count, FG_STREAKS_FIT_LEAST);
  else if (s->variogram.kind == FG_VARIOGRAM_NUGGET)
    fg_note(answer,
            "How sure: this is no map. The readings look no more alike near each other than far "
            "apart: shuffled over the places they do as well in %.0f of 100. Trust the readings "
            "themselves, and take more, closer together.",
            100.0 * s->chance);
  else
    fg_note(
        answer,
        "How sure: the pattern is real as far as chance goes (shuffled over the places, readings "
        "look as alike in %.0f of 100). Of the differences between readings, their neighbours "
        "foretell %.0f %%%s.",
        100.0 * s->chance, 100.0 * s->explained, s->explained < 0.3 ? ": little" : "");
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
  (void)fg_number_text(l->slope, 3, slope, sizeof slope);
  (void)fg_number_text(l->slope_low, 3, low, sizeof low);
  (void)fg_number_text(l->slope_high, 3, high, sizeof high);
  if (s->pan_predicts)
    fg_note(pan,
            "In these %zu pans more black sand goes with more in the pan: %s for each unit of the "
            "reading (95 %%: %s to %s). It accounts for %.0f %% of the differences; the rest it "
            "does not foretell.",
            l->count, slope, low, high, 100.0 * l->r * l->r);
  else if (l->count < FG_STREAKS_PANS_LEAST)
    fg_note(pan,
            "%zu pans are too few for a word on the gold; pan at least %d flags, rich and "
            "poor ones.",
            l->count, FG_STREAKS_PANS_LEAST);
  else
    fg_note(pan,
            "Black sand does NOT predict gold here: over %zu pans the slope is %s (95 %%: %s to "
            "%s), which chance alone would often give. Do not dig by this ranking; pan.",
            l->count, slope, low, high);
}

void fg_streaks_add_pan(fg_node *root, const fg_streaks_story *story) {
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

typedef struct model_row {
  const char *model, *chosen;
  fg_variogram v;
  double evidence;
} model_row;

/* A model that could not be fitted has no figures.  Evidence is told against the first's. */
static model_row row_of(const fg_streaks_candidate *c, const fg_streaks_candidate *first) {
  const double none = (double)NAN;
  model_row row = {fg_variogram_names[c->variogram.kind], c->chosen ? "chosen" : "", c->variogram,
                   c->evidence - first->evidence};
  const bool plain = c->variogram.kind == FG_VARIOGRAM_NUGGET;
  if (!c->fitted)
    row.v.nugget = row.v.sill = row.v.ratio = row.evidence = none;
  if (!c->fitted || plain)
    row.v.range_m = none;
  if (!c->fitted || plain || !(row.v.ratio < 1.0))
    row.v.direction_rad = none;
  return row;
}

#define OF(field) offsetof(model_row, field)
static const fg_column_of model_columns[] = {
    {"model", "model", FG_Q_NUMBER, FG_FIELD_TEXT, OF(model)},
    {"nugget", "nugget", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.nugget)},
    {"sill", "sill", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.sill)},
    {"range_m", "range", FG_Q_DISTANCE, FG_FIELD_NUMBER, OF(v.range_m)},
    {"direction_deg", "along", FG_Q_ANGLE, FG_FIELD_NUMBER, OF(v.direction_rad)},
    {"ratio", "ratio", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.ratio)},
    {"evidence", "evidence", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(evidence)},
    {"chosen", "", FG_Q_NUMBER, FG_FIELD_TEXT, OF(chosen)},
};
#undef OF

/* A single one was no choice. */
static void add_candidates(fg_node *root, const fg_streaks *s) {
  const bool shown = s->candidate_count > 1;
  fg_node *table =
      fg_table(root, "models", shown ? "Models tried" : NULL, shown ? 0 : FG_DATA_ONLY);
  FG_COLUMNS_OF(table, model_columns);
  for (size_t i = 0; i < s->candidate_count; ++i) {
    const model_row row = row_of(&s->candidates[i], &s->candidates[0]);
    FG_ROW_OF(table, model_columns, &row);
  }
  if (shown)
    fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY),
            "Evidence: logarithm of how many times better a model explains the readings, over all "
            "it may be, than a nugget alone does. What chance it leaves to that is added to the "
            "nugget.");
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

void fg_streaks_add_variogram(fg_node *root, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  fg_node *node = fg_group(root, "variogram", "How far likeness reaches (variogram)", 0);
  variogram_fields(node, &s->variogram);
  fg_string(node, "origin", "Where from",
            s->given                                   ? "given by hand"
            : s->assumed                               ? "assumed: too few places to fit"
            : s->variogram.kind == FG_VARIOGRAM_NUGGET ? "no likeness was found"
                                                       : "fitted by likelihood",
            0);
  fg_string(node, "scale", "Readings taken",
            s->scale.logarithmic ? "by their logarithms" : "as they are",
            s->scale.logarithmic ? 0 : FG_DATA_ONLY);
  fg_number(node, "shift", s->scale.shift != 0.0 ? "- of what is above" : NULL, FG_Q_NUMBER,
            s->scale.shift, 0);
  fg_number(node, "chance", NULL, FG_Q_SHARE, s->chance, 0);
  fg_integer(node, "neighbours", "Nearest readings used, at most", (long)s->neighbours, 0);
  add_candidates(root, s);
  add_cross(root, story);
}

/* ---- Remarks ------------------------------------------------------------------------------ */

static void remark_file(fg_node *heading, fg_node *list, const fg_readings *r) {
  if (r->merged > 0)
    fg_remark(heading, list,
              "%zu reading%s at the same place as another: their scatter measures the nugget, and "
              "their mean weighs more than one reading.",
              r->merged, r->merged == 1 ? " was" : "s were");
  if (r->without > 0)
    fg_remark(heading, list, "%zu place%s without a reading left aside.", r->without,
              plural(r->without));
  if (r->at_workings > 0)
    fg_remark(heading, list, "%zu reading%s at old workings left out: dumps are not the wash.",
              r->at_workings, plural(r->at_workings));
  if (r->track_points > 0)
    fg_remark(heading, list, "%zu track or route point%s left aside; only waypoints hold readings.",
              r->track_points, plural(r->track_points));
}

static void remark_model(fg_node *heading, fg_node *list, const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  if (s->assumed)
    fg_remark(
        heading, list,
        "Fewer than %d places: the variogram is assumed (exponential, range half the ground's "
        "length, nugget %.0f %% of the sill), so the chances are guesses.",
        FG_STREAKS_FIT_LEAST, 100.0 * FG_STREAKS_NUGGET);
  if (s->collinear)
    fg_remark(heading, list,
              "All places lie on one line: nothing is known to its sides, and no "
              "direction can be fitted. Take readings across it.");
  if (s->variogram.kind == FG_VARIOGRAM_NUGGET)
    fg_remark(heading, list,
              "Readings near each other are no more alike than far ones: every "
              "estimate is close to the mean, and the ranking says little. Take "
              "readings closer together.");
  else if (s->variogram.nugget > 0.6 * s->variogram.sill)
    fg_remark(heading, list,
              "Most of the differences are scatter from spot to spot (nugget %.0f %% "
              "of the sill): the ranking is weak.",
              100.0 * s->variogram.nugget / s->variogram.sill);
  if (s->variogram.nugget <= 0.0)
    fg_remark(heading, list,
              "The model given takes each reading as exact (no nugget), so at the flags the chance "
              "is all or nothing.");
  if (s->scale.logarithmic)
    fg_remark(heading, list,
              "A few readings stand far above the rest, so the logarithms were mapped%s; estimates "
              "are brought back as means.",
              s->scale.shift != 0.0 ? " (of what lies above a shift)" : "");
  if (s->crossed && (s->cross.standardised > 1.6 || s->cross.standardised < 0.6))
    fg_remark(heading, list, "Left-out readings miss by %.1f times what the deviations say.",
              sqrt(s->cross.standardised));
  if (s->crossed && s->cross.inverse_distance_rmse < 0.95 * s->cross.rmse)
    fg_remark(heading, list,
              "Inverse distance foretells left-out readings better than kriging here.");
  if (s->crossed && fabs(s->beat_expected - (double)s->beat_seen) > 2.0 * s->beat_scatter)
    fg_remark(heading, list,
              "Left-out readings: %.0f were foretold to beat the cut, %zu did. The "
              "chances run too %s here; trust the order more than the figures.",
              s->beat_expected, s->beat_seen,
              s->beat_expected > (double)s->beat_seen ? "high" : "low");
  if (s->jitter > 1e-6)
    fg_remark(heading, list,
              "Some systems were near singular; %.0e of the sill was added to solve "
              "them. Give the model a nugget.",
              s->jitter);
  if (s->cut_assumed)
    fg_remark(heading, list, "The cut is the upper quartile of the readings; --cut sets another.");
}

void fg_streaks_add_remarks(fg_node *root, const fg_streaks_story *story) {
  fg_node *heading = fg_group(root, NULL, "Remarks", 0);
  fg_node *list = fg_list(root, "remarks", FG_DATA_ONLY);
  remark_file(heading, list, story->readings);
  remark_model(heading, list, story);
  size_t near = 0;
  for (size_t i = 0; i < story->streaks->flag_count; ++i)
    near += story->streaks->flags[i].near_workings;
  if (near > 0)
    fg_remark(heading, list,
              "%zu flag%s within 50 ft of old workings: keep off. Such places get no rank.", near,
              plural(near));
  fg_string(heading, "map", story->map ? "Map" : NULL, story->map, 0);
  fg_string(heading, "gpx", story->gpx ? "GPX" : NULL, story->gpx, 0);
}
