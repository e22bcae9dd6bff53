/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice of a variogram. */
#include <math.h>
#include <stdlib.h>

#include "study/streaks_internal.h"

enum { ISOTROPIC_CLASSES = 15, CLASSES = 12, SECTORS = 6, FIT_MOST = 5000 };

/* Experimental variograms, all directions together and by sector. */
typedef struct lag_sets {
  fg_lag together[ISOTROPIC_CLASSES];
  fg_lag apart[CLASSES * SECTORS];
  size_t together_count, apart_count;
  fg_variogram_freedom freedom;
} lag_sets;

/* Of very many places every so-manieth stands for all: the pairs grow with the square. */
static fg_status make_lags(const fg_survey *survey, lag_sets *sets) {
  const size_t step = (survey->count + FIT_MOST - 1) / FIT_MOST;
  const size_t count = (survey->count + step - 1) / step;
  const double longest = survey->diagonal_m / 2.0;
  fg_datum *some = malloc(count * sizeof *some);
  if (!some)
    return FG_EMEMORY;
  for (size_t i = 0; i < count; ++i)
    some[i] = survey->data[i * step];
  fg_status status = fg_variogram_lags(some, count, ISOTROPIC_CLASSES, 1, longest, sets->together,
                                       &sets->together_count);
  if (status == FG_OK)
    status =
        fg_variogram_lags(some, count, CLASSES, SECTORS, longest, sets->apart, &sets->apart_count);
  free(some);
  sets->freedom.shortest_m = fmin(0.5 * survey->spacing_m, 0.1 * longest);
  if (!(sets->freedom.shortest_m > 0.0))
    sets->freedom.shortest_m = 0.01 * longest;
  sets->freedom.longest_m = survey->diagonal_m;
  return status;
}

static fg_status judge(const fg_survey *survey, const fg_streaks_options *options,
                       size_t neighbours, const fg_variogram *v, fg_cross *cross) {
  fg_kriging *kriging = NULL;
  fg_status status = fg_kriging_new(survey->data, survey->count, v, neighbours, &kriging);
  if (status == FG_OK)
    status = fg_cross_validate(kriging, options->power, NULL, cross);
  fg_kriging_free(kriging);
  return status;
}

static fg_status add_candidate(const fg_survey *survey, const fg_streaks_options *options,
                               lag_sets *sets, fg_variogram_kind kind, bool anisotropic,
                               fg_streaks *streaks) {
  fg_streaks_candidate *c = &streaks->candidates[streaks->candidate_count];
  *c = (fg_streaks_candidate){0};
  sets->freedom.anisotropic = anisotropic;
  sets->freedom.direction_rad = options->direction_rad;
  fg_status status = fg_variogram_fit(kind, anisotropic ? sets->apart : sets->together,
                                      anisotropic ? sets->apart_count : sets->together_count,
                                      &sets->freedom, &c->variogram);
  if (status == FG_OK)
    status = judge(survey, options, streaks->neighbours, &c->variogram, &c->cross);
  if (status == FG_EMEMORY)
    return status;
  c->fitted = status == FG_OK;
  c->variogram.kind = kind;
  ++streaks->candidate_count;
  return FG_OK;
}

/* Candidates stand from the simplest on: a later one must be clearly better. */
static fg_status pick(fg_streaks *streaks) {
  fg_streaks_candidate *best = NULL;
  for (size_t i = 0; i < streaks->candidate_count; ++i) {
    fg_streaks_candidate *c = &streaks->candidates[i];
    const double needed = !best                                         ? 0.0
                          : c->variogram.ratio < best->variogram.ratio  ? 2.0
                          : best->variogram.kind == FG_VARIOGRAM_NUGGET ? 2.0
                                                                        : 0.0;
    if (c->fitted &&
        (!best || (best->cross.score - c->cross.score) * (double)c->cross.count > needed))
      best = c;
  }
  if (!best)
    return FG_ENOROOT;
  best->chosen = true;
  streaks->variogram = best->variogram;
  streaks->cross = best->cross;
  streaks->crossed = true;
  return FG_OK;
}

static fg_status fit_all(const fg_survey *survey, const fg_streaks_options *options,
                         fg_streaks *streaks) {
  static const fg_variogram_kind kinds[] = {FG_VARIOGRAM_EXPONENTIAL, FG_VARIOGRAM_SPHERICAL,
                                            FG_VARIOGRAM_GAUSSIAN};
  lag_sets *sets = calloc(1, sizeof *sets);
  if (!sets)
    return FG_EMEMORY;
  fg_status status = make_lags(survey, sets);
  if (status == FG_OK)
    status = add_candidate(survey, options, sets, FG_VARIOGRAM_NUGGET, false, streaks);
  for (int turned = 0; turned < (survey->collinear ? 1 : 2); ++turned)
    for (size_t i = 0; status == FG_OK && i < sizeof kinds / sizeof kinds[0]; ++i)
      status = add_candidate(survey, options, sets, kinds[i], turned == 1, streaks);
  free(sets);
  return status == FG_OK ? pick(streaks) : status;
}

/* For too few places: what is common, said as an assumption. */
static void assume(const fg_survey *survey, fg_streaks *streaks) {
  streaks->assumed = true;
  streaks->variogram = (fg_variogram){.kind = FG_VARIOGRAM_EXPONENTIAL,
                                      .sill = survey->variance,
                                      .range_m = survey->diagonal_m / 2.0,
                                      .ratio = 1.0};
}

fg_status fg_streaks_choose(const fg_survey *survey, const fg_streaks_options *options,
                            fg_streaks *streaks) {
  streaks->candidate_count = 0;
  streaks->given = options->variogram_given;
  if (options->variogram_given)
    streaks->variogram = options->variogram;
  else if (survey->count < FG_STREAKS_FIT_LEAST)
    assume(survey, streaks);
  else
    return fit_all(survey, options, streaks);
  const fg_status status =
      judge(survey, options, streaks->neighbours, &streaks->variogram, &streaks->cross);
  streaks->crossed = status == FG_OK;
  return status == FG_EDOMAIN ? FG_OK : status;
}
