/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/streaks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_sort_double.h>
#include <gsl/gsl_statistics_double.h>

#include "study/streaks_internal.h"

static const double pi = 3.14159265358979323846;
static const double long_shape = 1.5; /* elongation from which on the places show a direction */
static const double predicts_below = 0.05;

void fg_streaks_free(fg_streaks *streaks) {
  free(streaks->flags);
  free(streaks->map.estimate);
  *streaks = (fg_streaks){0};
}

/* ---- Cut, wash, pans ---------------------------------------------------------------------- */

/* The upper quartile (by GSL between the two readings about it), and the scale. */
static fg_status set_cut(const fg_survey *survey, const fg_streaks_options *options,
                         fg_streaks *streaks) {
  double *sorted = malloc(survey->count * sizeof *sorted);
  if (!sorted)
    return FG_EMEMORY;
  for (size_t i = 0; i < survey->count; ++i)
    sorted[i] = survey->data[i].value;
  gsl_sort(sorted, 1, survey->count);
  streaks->cut_assumed = isnan(options->cut);
  streaks->cut = streaks->cut_assumed
                     ? gsl_stats_quantile_from_sorted_data(sorted, 1, survey->count, 0.75)
                     : options->cut;
  if (!options->variogram_given)
    streaks->scale = fg_scale_choose(sorted, survey->count);
  free(sorted);
  return FG_OK;
}

static void set_wash(const fg_survey *survey, double given, fg_streaks *streaks) {
  const fg_variogram *v = &streaks->variogram;
  streaks->wash_source = FG_WASH_UNKNOWN;
  streaks->wash_rad = (double)NAN;
  if (!isnan(given)) {
    streaks->wash_source = FG_WASH_GIVEN;
    streaks->wash_rad = fmod(given + 2.0 * pi, pi);
  } else if (v->ratio < 1.0 && v->kind != FG_VARIOGRAM_NUGGET) {
    streaks->wash_source = FG_WASH_VARIOGRAM;
    streaks->wash_rad = v->direction_rad;
  } else if (survey->elongation >= long_shape) {
    streaks->wash_source = FG_WASH_SHAPE;
    streaks->wash_rad = survey->axis_rad;
  }
}

static fg_status join_pans(const fg_readings *readings, fg_streaks *streaks) {
  double *x = malloc((readings->count + 1) * sizeof *x);
  double *y = malloc((readings->count + 1) * sizeof *y);
  size_t n = 0;
  for (size_t i = 0; x && y && i < readings->count; ++i) {
    if (isnan(readings->list[i].pan))
      continue;
    x[n] = readings->list[i].value;
    y[n++] = readings->list[i].pan;
  }
  const bool made = x && y;
  streaks->pan_count = n;
  streaks->pan_fitted = made && fg_line_fit(x, y, n, &streaks->line) == FG_OK;
  streaks->pan_predicts = streaks->pan_fitted && n >= FG_STREAKS_PANS_LEAST &&
                          streaks->line.slope > 0.0 && streaks->line.p_value < predicts_below;
  free(x);
  free(y);
  return made ? FG_OK : FG_EMEMORY;
}

/* ---- Flags -------------------------------------------------------------------------------- */

static fg_status make_flag(const fg_readings *readings, fg_kriging *kriging, double power,
                           size_t index, fg_streaks *streaks) {
  const fg_reading *r = &readings->list[index];
  fg_flag *flag = &streaks->flags[index];
  fg_kriged got;
  *flag = (fg_flag){.reading = index,
                    .value = r->value,
                    .pan = (double)NAN,
                    .pan_low = (double)NAN,
                    .pan_high = (double)NAN};
  fg_status status = fg_kriging_without(kriging, index, &got);
  if (status != FG_OK)
    return status;
  flag->inverse_distance = fg_inverse_distance(kriging, power, &streaks->scale);
  const double chance = fg_foretell(streaks, &got).chance;
  streaks->beat_expected += chance;
  streaks->beat_scatter += chance * (1.0 - chance);
  streaks->beat_seen += r->value > streaks->cut;
  status = fg_kriging_at(kriging, r->x_m, r->y_m, &got);
  if (status != FG_OK)
    return status;
  flag->there = fg_foretell(streaks, &got);
  flag->near_workings = fg_workings_distance(readings, r->x_m, r->y_m) < FG_WORKINGS_CLEARANCE_M;
  if (streaks->pan_predicts) {
    fg_line_foretell(&streaks->line, r->value, &flag->pan, &flag->pan_low, &flag->pan_high);
    flag->pan_low = fmax(flag->pan_low, 0.0);
  }
  return FG_OK;
}

/* Larger first; what differs by rounding only is a tie, which the reading itself breaks. */
static int compare_falling(double a, double b) {
  const double close = 1e-9 * (fabs(a) + fabs(b));
  return a > b + close ? -1 : b > a + close ? 1 : 0;
}

static int by_reading(const fg_flag *a, const fg_flag *b) {
  if (a->value != b->value)
    return a->value > b->value ? -1 : 1;
  return a->reading < b->reading ? -1 : a->reading > b->reading;
}

static int by_estimate(const void *left, const void *right) {
  const fg_flag *a = left;
  const fg_flag *b = right;
  if (a->near_workings != b->near_workings)
    return a->near_workings ? 1 : -1;
  const int order = compare_falling(a->there.estimate, b->there.estimate);
  return order != 0 ? order : by_reading(a, b);
}

static int by_chance(const void *left, const void *right) {
  const fg_flag *a = left;
  const fg_flag *b = right;
  if (a->near_workings != b->near_workings)
    return a->near_workings ? 1 : -1;
  const int order = compare_falling(a->there.chance, b->there.chance);
  return order != 0 ? order : by_estimate(left, right);
}

/* What lies at old workings stands last and gets no rank. */
static void rank(fg_streaks *streaks, bool chance) {
  fg_flag *flags = streaks->flags;
  qsort(flags, streaks->flag_count, sizeof *flags, by_chance);
  for (size_t i = 0; i < streaks->flag_count; ++i)
    flags[i].chance_rank = flags[i].near_workings ? 0 : i + 1;
  if (!chance)
    qsort(flags, streaks->flag_count, sizeof *flags, by_estimate);
  for (size_t i = 0; i < streaks->flag_count; ++i)
    flags[i].rank = flags[i].near_workings ? 0 : i + 1;
}

static fg_status make_flags(const fg_readings *readings, const fg_streaks_options *options,
                            fg_kriging *kriging, fg_streaks *streaks) {
  streaks->flags = calloc(readings->count, sizeof *streaks->flags);
  if (!streaks->flags)
    return FG_EMEMORY;
  streaks->flag_count = readings->count;
  fg_status status = FG_OK;
  for (size_t i = 0; status == FG_OK && i < readings->count; ++i)
    status = make_flag(readings, kriging, options->power, i, streaks);
  streaks->beat_scatter = sqrt(streaks->beat_scatter);
  if (status == FG_OK)
    rank(streaks, options->rank_by_chance);
  return status;
}

/* ---- All of it ---------------------------------------------------------------------------- */

fg_status fg_streaks_kriging(const fg_readings *readings, const fg_streaks *streaks,
                             fg_kriging **kriging) {
  fg_survey survey;
  fg_status status = fg_survey_make(readings, &survey);
  if (status != FG_OK)
    return status;
  fg_survey_rescale(&survey, &streaks->scale);
  status =
      fg_kriging_new(survey.data, survey.count, &streaks->variogram, streaks->neighbours, kriging);
  fg_survey_free(&survey);
  return status;
}

static size_t neighbours_of(const fg_streaks_options *options, size_t count) {
  if (options->neighbours > 0)
    return options->neighbours;
  return count <= FG_STREAKS_ALL_UP_TO ? FG_STREAKS_ALL_UP_TO : FG_STREAKS_NEIGHBOURS;
}

static fg_status work_out(const fg_readings *readings, fg_survey *survey,
                          const fg_streaks_options *options, fg_streaks *streaks) {
  streaks->neighbours = neighbours_of(options, survey->count);
  streaks->collinear = survey->collinear;
  fg_status status = set_cut(survey, options, streaks);
  if (status != FG_OK)
    return status;
  fg_survey_rescale(survey, &streaks->scale);
  status = fg_streaks_choose(survey, options, streaks);
  if (status == FG_OK)
    status = join_pans(readings, streaks);
  if (status != FG_OK)
    return status;
  set_wash(survey, options->direction_rad, streaks);
  fg_kriging *kriging = NULL;
  status = fg_kriging_new(survey->data, survey->count, &streaks->variogram, streaks->neighbours,
                          &kriging);
  if (status == FG_OK)
    status = make_flags(readings, options, kriging, streaks);
  if (status == FG_OK)
    status = fg_streaks_draw(survey, kriging, streaks);
  if (status == FG_OK)
    streaks->jitter = fg_kriging_jitter(kriging);
  fg_kriging_free(kriging);
  return status == FG_OK ? fg_streaks_look_ahead(readings, survey, streaks) : status;
}

fg_status fg_streaks_run(const fg_readings *readings, const fg_streaks_options *options,
                         fg_streaks *streaks) {
  fg_survey survey;
  if (readings->count < 3)
    return FG_EDOMAIN;
  fg_status status = fg_survey_make(readings, &survey);
  if (status != FG_OK)
    return status;
  fg_streaks made = {0};
  const bool ranked = survey.variance > 0.0 || options->variogram_given;
  status = ranked ? work_out(readings, &survey, options, &made) : FG_EDOMAIN;
  fg_survey_free(&survey);
  if (status == FG_OK)
    *streaks = made;
  else
    fg_streaks_free(&made);
  return status;
}
