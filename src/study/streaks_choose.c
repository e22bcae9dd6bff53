/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice of a variogram. */
#include <math.h>

#include "study/streaks_internal.h"

static const double longest = 1.5; /* range, of the ground's length */

/* A range may be as short as the places stand apart, and half as long again as the ground. */
static fg_variogram_freedom freedom_of(const fg_survey *survey, double direction_rad) {
  fg_variogram_freedom freedom = {.anisotropic = !survey->collinear,
                                  .direction_rad = direction_rad,
                                  .shortest_m = fmin(survey->spacing_m, 0.1 * survey->diagonal_m),
                                  .longest_m = longest * survey->diagonal_m};
  if (!(freedom.shortest_m > 0.0))
    freedom.shortest_m = 0.01 * survey->diagonal_m;
  return freedom;
}

static fg_status add_candidate(const fg_survey *survey, const fg_variogram_freedom *freedom,
                               fg_variogram_kind kind, fg_streaks *streaks) {
  fg_streaks_candidate *c = &streaks->candidates[streaks->candidate_count++];
  *c = (fg_streaks_candidate){.variogram = {.kind = kind}};
  const fg_status status =
      fg_variogram_fit(kind, survey->data, survey->count, freedom, &c->variogram, &c->evidence);
  c->fitted = status == FG_OK;
  return status == FG_EMEMORY ? status : FG_OK;
}

/* As likely as not there is no likeness at all, before the readings are seen; what they leave of
 * that is added to the nugget, for where likeness shows by luck it also shows too strong. */
static fg_status allow_for_luck(const fg_survey *survey, fg_streaks *streaks) {
  const fg_streaks_candidate *c = streaks->candidates;
  fg_variogram *v = &streaks->variogram;
  double times = 0.0;
  double kinds = 0.0;
  for (size_t i = 1; i < streaks->candidate_count; ++i) {
    kinds += c[i].fitted;
    times += c[i].fitted ? exp(c[i].evidence - c[0].evidence) : 0.0;
  }
  if (v->kind == FG_VARIOGRAM_NUGGET)
    return FG_OK;
  v->nugget += (v->sill - v->nugget) / (1.0 + times / kinds);
  return fg_variogram_scale(survey->data, survey->count, v);
}

/* Candidates stand from the simplest on, the nugget first. */
static fg_status pick(const fg_survey *survey, fg_streaks *streaks) {
  fg_streaks_candidate *best = NULL;
  for (size_t i = 0; i < streaks->candidate_count; ++i) {
    fg_streaks_candidate *c = &streaks->candidates[i];
    const bool first = !best || best->variogram.kind == FG_VARIOGRAM_NUGGET;
    if (c->fitted && (first || c->evidence > best->evidence))
      best = c;
  }
  if (!best)
    return FG_ENOROOT;
  best->chosen = true;
  streaks->variogram = best->variogram;
  return allow_for_luck(survey, streaks);
}

static fg_status fit_all(const fg_survey *survey, const fg_streaks_options *options,
                         fg_streaks *streaks) {
  static const fg_variogram_kind kinds[] = {FG_VARIOGRAM_EXPONENTIAL, FG_VARIOGRAM_SPHERICAL,
                                            FG_VARIOGRAM_GAUSSIAN};
  fg_variogram_freedom freedom = freedom_of(survey, options->direction_rad);
  const int turns = freedom.anisotropic ? 2 : 1;
  fg_status status = fg_variogram_chance(survey->data, survey->count, &freedom, &streaks->chance);
  if (status == FG_OK)
    status = add_candidate(survey, &freedom, FG_VARIOGRAM_NUGGET, streaks);
  const bool alike = streaks->chance <= FG_STREAKS_CHANCE;
  for (int turned = 0; alike && turned < turns; ++turned) {
    freedom.anisotropic = turned == 1;
    for (size_t i = 0; status == FG_OK && i < sizeof kinds / sizeof kinds[0]; ++i)
      status = add_candidate(survey, &freedom, kinds[i], streaks);
  }
  return status == FG_OK ? pick(survey, streaks) : status;
}

/* For too few places: what is common, said as an assumption. */
static fg_status assume(const fg_survey *survey, fg_streaks *streaks) {
  streaks->assumed = true;
  streaks->variogram = (fg_variogram){.kind = FG_VARIOGRAM_EXPONENTIAL,
                                      .nugget = FG_STREAKS_NUGGET,
                                      .sill = 1.0,
                                      .range_m = survey->diagonal_m / 2.0,
                                      .ratio = 1.0};
  return fg_variogram_scale(survey->data, survey->count, &streaks->variogram);
}

/* Leaves out each reading in turn; not with a model that has no variance. */
static fg_status validate(const fg_survey *survey, double power, fg_streaks *streaks) {
  fg_kriging *kriging = NULL;
  fg_status status = fg_kriging_new(survey->data, survey->count, &streaks->variogram,
                                    streaks->neighbours, &kriging);
  if (status == FG_OK)
    status = fg_cross_validate(kriging, power, &streaks->scale, &streaks->cross);
  fg_kriging_free(kriging);
  streaks->crossed = status == FG_OK;
  if (streaks->crossed)
    streaks->explained =
        fmax(1.0 - streaks->cross.rmse * streaks->cross.rmse / survey->variance, 0.0);
  return status == FG_EDOMAIN ? FG_OK : status;
}

fg_status fg_streaks_choose(const fg_survey *survey, const fg_streaks_options *options,
                            fg_streaks *streaks) {
  fg_status status = FG_OK;
  streaks->candidate_count = 0;
  streaks->given = options->variogram_given;
  streaks->chance = (double)NAN;
  streaks->freedom = fg_variogram_free(survey->data, survey->count);
  if (options->variogram_given) {
    streaks->variogram = options->variogram;
    streaks->freedom = (double)INFINITY;
  } else if (survey->count < FG_STREAKS_FIT_LEAST) {
    status = assume(survey, streaks);
  } else {
    status = fit_all(survey, options, streaks);
  }
  return status == FG_OK ? validate(survey, options->power, streaks) : status;
}
