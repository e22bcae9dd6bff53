/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the counts said. */
#include <math.h>
#include <stddef.h>
#include <stdio.h>

#include "pages/sample_internal.h"
#include "physics/sieve.h"
#include "stats/band.h"

static const double yard3_m3 = 0.764554857984;
enum { PAIRS_SHOWN = 6 };

static const char *decision_word(fg_decision decision) {
  return decision == FG_STAY ? "stay" : decision == FG_LEAVE ? "leave" : "go on";
}

static void add_band(fg_node *node, const char *name, const char *label, fg_quantity quantity,
                     const fg_band *band, double factor) {
  const fg_band told = fg_band_scaled(band, factor);
  fg_number_band(node, name, isnan(told.mid) ? NULL : label, quantity, told.mid, &told, 0);
}

/* ---- the richest, or only, station ---- */

static void add_earnings(fg_node *root, const fg_sample_story *story, const fg_station *best) {
  add_band(root, "kept_g_h", "Kept by the deck in an hour", FG_Q_GOLD_RATE, &best->kept, 1.0);
  add_band(root, "kept_day_g", "- in a day", FG_Q_GOLD_MASS, &best->kept, story->basis->day_s);
  fg_number(root, "ground_m3_h", NULL, FG_Q_YARD_RATE, story->basis->ground_m3_s, 0);
}

static void add_best(fg_node *root, const fg_sample_story *story, const fg_station *best) {
  char title[96], words[64];
  const fg_band rate = {best->rate.lower, best->scatter.mean, best->rate.upper};
  (void)snprintf(title, sizeof title, "%s%s", story->result->count > 1 ? "The richest: " : "",
                 best->name);
  fg_node *node = fg_group(root, NULL, title, 0);
  fg_string(node, "station", NULL, best->name, 0);
  fg_integer(node, "buckets", "Buckets", (long)best->buckets, 0);
  fg_number(node, "colours", "Colours", FG_Q_INTEGER, best->scatter.count, 0);
  fg_number_band(node, "grains_per_bucket", "- in a bucket", FG_Q_NUMBER, rate.mid, &rate, 0);
  add_band(node, "grade_g_m3", "Grade, doubt of counting", FG_Q_GRADE, &best->grade, 1.0);
  add_band(node, "grade_all_doubt_g_m3", "- with the model's doubt", FG_Q_GRADE, &best->doubted,
           1.0);
  add_band(node, "grade_by_size_g_m3", "- by the sizes seen", FG_Q_GRADE, &best->by_size, 1.0);
  add_band(node, "grade_weighed_g_m3", "- by the gold weighed", FG_Q_GRADE, &best->weighed, 1.0);
  fg_number(node, "chance_pays", "Chance it beats the threshold", FG_Q_SHARE, best->chance_pays, 0);
  fg_number(node, "chance_pays_by_count", "- were the model true", FG_Q_SHARE,
            best->chance_by_count, 0);
  add_earnings(node, story, best);
  fg_string(node, "decision", NULL, decision_word(best->decision), 0);
  if (best->decision == FG_GO_ON)
    (void)snprintf(words, sizeof words, "still open: take more buckets");
  else
    (void)snprintf(words, sizeof words, "%s, after bucket %zu", decision_word(best->decision),
                   best->decided_after);
  fg_string(node, NULL, "Decide as you go", words, FG_TEXT_ONLY);
  fg_note(node,
          "Middle and, in brackets, the limits that hold with %.0f %% confidence. The upper limit "
          "by size allows for coarse gold of which no grain turned up. Gold kept has the model's "
          "doubt in its limits, of the grade and of what the deck keeps together: a deck that "
          "shows few colours also keeps little.",
          100.0 * story->scenario->sample.confidence);
}

/* ---- all stations ---- */

typedef struct station_row {
  fg_station s;
  double buckets;
  const char *law, *decision;
} station_row;

#define OF(field) offsetof(station_row, field)
static const fg_column_of station_columns[] = {
    {"station", "station", FG_Q_NUMBER, FG_FIELD_TEXT, OF(s.name)},
    {"buckets", "buckets", FG_Q_INTEGER, FG_FIELD_NUMBER, OF(buckets)},
    {"exposure_buckets", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.exposure)},
    {"colours", "colours", FG_Q_INTEGER, FG_FIELD_NUMBER, OF(s.scatter.count)},
    {"grains_per_bucket", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.scatter.mean)},
    {"grains_per_bucket_low", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.rate.lower)},
    {"grains_per_bucket_high", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.rate.upper)},
    {"grade_g_m3", "grade", FG_Q_GRADE, FG_FIELD_NUMBER, OF(s.grade.mid)},
    {"grade_g_m3_low", "from", FG_Q_GRADE, FG_FIELD_NUMBER, OF(s.grade.low)},
    {"grade_g_m3_high", "to", FG_Q_GRADE, FG_FIELD_NUMBER, OF(s.grade.high)},
    {"grade_all_doubt_g_m3_low", NULL, FG_Q_GRADE, FG_FIELD_NUMBER, OF(s.doubted.low)},
    {"grade_all_doubt_g_m3_high", NULL, FG_Q_GRADE, FG_FIELD_NUMBER, OF(s.doubted.high)},
    {"chance_pays", "pays", FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.chance_pays)},
    {"chance_pays_by_count", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.chance_by_count)},
    {"chance_richest", "richest", FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.chance_richest)},
    {"dispersion_chi2", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.scatter.chi2)},
    {"dispersion_chance", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.scatter.chi2_chance)},
    {"negative_binomial_k", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.scatter.k)},
    {"likelihood_ratio", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.scatter.likelihood_ratio)},
    {"likelihood_ratio_chance", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.scatter.ratio_chance)},
    {"sizes_chance", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.sizes_chance)},
    {"law", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(law)},
    {"decision", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(decision)},
};
#undef OF

static void add_stations(fg_node *root, const fg_sample_story *story) {
  const fg_sample_result *result = story->result;
  fg_node *table = fg_table(root, "stations", "All stations", FG_PRIMARY | FG_PROOF);
  FG_COLUMNS_OF(table, station_columns);
  for (size_t i = 0; i < result->count; ++i) {
    const fg_station *s = &result->stations[i];
    const station_row row = {.s = *s,
                             .buckets = (double)s->buckets,
                             .law = s->scatter.scattered ? "negative_binomial" : "poisson",
                             .decision = decision_word(s->decision)};
    FG_ROW_OF(table, station_columns, &row);
  }
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(key, "grade, from, to: with the doubt of counting alone. pays: chance to beat the "
               "threshold, all doubt counted. richest: chance to be the richest of these.");
}

static void add_pairs(fg_node *root, const fg_sample_story *story) {
  const fg_sample_result *result = story->result;
  const size_t best = result->richest;
  fg_node *table = fg_table(root, "comparisons", NULL, FG_DATA_ONLY);
  fg_column_text(table, "station", NULL, 0);
  fg_column_text(table, "than", NULL, 0);
  fg_column(table, "chance_richer", NULL, FG_Q_SHARE, 0);
  fg_string(root, "richest", NULL, result->stations[best].name, FG_DATA_ONLY);
  fg_number(root, "chance_richest", NULL, FG_Q_SHARE, result->stations[best].chance_richest,
            FG_DATA_ONLY);
  if (result->count < 2)
    return;
  fg_node *node = fg_group(root, NULL, "Which is richer, and how sure", FG_TEXT_ONLY);
  for (size_t k = 0; k < result->count; ++k) {
    if (k == best)
      continue;
    const double chance = result->beats[best * result->count + k];
    fg_row(table);
    fg_cell_text(table, result->stations[best].name);
    fg_cell_text(table, result->stations[k].name);
    fg_cell(table, chance);
    if (k <= PAIRS_SHOWN)
      fg_bullet(node, "%s is richer than %s: %.3g in 100.", result->stations[best].name,
                result->stations[k].name, 100.0 * chance);
  }
  fg_note(node, "The same deck and gold of the same sizes at all stations are taken for granted; "
                "then the model's doubt falls out and only counting is left. The best of several "
                "usually looks a little better than it is.");
}

/* ---- scatter, sizes, weight ---- */

/* "3.1 in 100", "fewer than 0.01 in 100" */
static const char *in_100(double chance, char words[40]) {
  if (chance < 1e-4)
    (void)snprintf(words, 40, "fewer than 0.01 in 100");
  else
    (void)snprintf(words, 40, "%.2g in 100", 100.0 * chance);
  return words;
}

static void tell_scatter(fg_node *node, const fg_station *s) {
  const fg_scatter *t = &s->scatter;
  char chance[40], ratio[40];
  if (t->buckets < 2)
    fg_bullet(node, "%s: one bucket cannot show scatter; its limits take plain chance.", s->name);
  else if (t->scattered)
    fg_bullet(node,
              "%s: the buckets scatter more than chance gives (index of dispersion: %s; "
              "likelihood ratio: %s; negative binomial k %.3g). The limits are widened "
              "for it%s.",
              s->name, in_100(t->chi2_chance, chance), in_100(t->ratio_chance, ratio), t->k,
              t->buckets < 5 ? ", and hold less often than they say: fewer than five such "
                               "buckets tell little"
                             : "");
  if (s->sizes_chance < 0.05)
    fg_bullet(node,
              "%s: the sizes counted do not fit those assumed (by chance: %s). Put what "
              "you saw into gold.classes, or trust the line 'by the sizes seen' more.",
              s->name, in_100(s->sizes_chance, chance));
  if (s->weighed.mid > 0.0 && s->grade.mid > 0.0 &&
      (s->weighed.low > s->grade.high || s->weighed.high < s->grade.low))
    fg_bullet(node,
              "%s: weight and count do not go together: the gold weighs %.2g times what its "
              "colours should. Flatter or coarser gold than assumed, or sand in the scale.",
              s->name, s->weighed.mid / s->grade.mid);
}

static void add_remarks(fg_node *root, const fg_sample_story *story) {
  fg_node *node = fg_group(root, NULL, "Remarks", FG_TEXT_ONLY);
  for (size_t i = 0; i < story->result->count; ++i)
    tell_scatter(node, &story->result->stations[i]);
  fg_bullet(node,
            "Whether buckets scatter is decided by the index of dispersion, at 20 in 100; "
            "the likelihood ratio stands beside it. Scattered: limits by the negative "
            "binomial's variance; else Garwood's. Chances are Gamma-Poisson, %s.",
            story->scenario->sample.prior_buckets > 0.0
                ? "the hoped-for grade counting as sample.prior_buckets"
                : "with Jeffreys' prior");
}

/* Gold too coarse to have turned up: what none seen in all buckets still allows. */
static void add_unseen(fg_node *root, const fg_sample_story *story, const fg_station *best) {
  static const int meshes[] = {10, 20};
  fg_node *node = fg_group(root, NULL, "Coarse gold", 0);
  fg_node *table = fg_table(node, "unseen", NULL, FG_DATA_ONLY);
  double upper = NAN;
  fg_column(table, "lower_mm", NULL, FG_Q_GRAIN_SIZE, 0);
  fg_column(table, "allowed_g_m3", NULL, FG_Q_GRADE, 0);
  if (fg_poisson_upper(0.0, story->scenario->sample.confidence, &upper) != FG_OK)
    return;
  for (size_t i = 0; i < sizeof meshes / sizeof meshes[0]; ++i) {
    double size;
    if (fg_sieve_aperture(meshes[i], &size) != FG_OK)
      continue;
    const double share = fg_sample_gold_share(story->basis, size, INFINITY);
    const double colours = fg_sample_colours(story->basis, 1.0, size, INFINITY);
    if (!(colours > 0.0))
      continue;
    const double allowed = share * upper / (colours * best->exposure);
    fg_row(table);
    fg_cell(table, size);
    fg_cell(table, allowed);
    fg_note(node,
            "Buckets like these without one grain over %d mesh can still come from ground that "
            "holds up to %.3g g/yd3 of such gold.",
            meshes[i], 1e3 * yard3_m3 * allowed);
  }
}

void fg_report_sample_result(fg_node *root, const fg_sample_story *story) {
  const fg_station *best = &story->result->stations[story->result->richest];
  add_best(root, story, best);
  add_stations(root, story);
  add_pairs(root, story);
  add_remarks(root, story);
  add_unseen(root, story, best);
  fg_node *doubt = fg_group(root, "model_doubt", "The model's doubt", 0);
  const fg_sample_doubt *d = story->doubt;
  fg_number(doubt, "factor_low", NULL, FG_Q_NUMBER, d->low, 0);
  fg_number(doubt, "factor_high", NULL, FG_Q_NUMBER, d->high, 0);
  fg_integer(doubt, "draws", NULL, (long)d->drawn, 0);
  fg_integer(doubt, "draws_running", NULL, (long)d->count, 0);
  fg_note(doubt,
          "With every assumed setting drawn within its doubt (%zu draws, %zu ran) the gold behind "
          "a colour lies between %.2g and %.2g times the figure used, 8 times in 10.",
          d->drawn, d->count, d->band.low, d->band.high);
}
