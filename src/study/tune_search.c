/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "study/tune_internal.h"

/* Starts this close together (in shares of the ranges) would find the same place. */
static const double least_distance = 0.15;
/* What the stated order may take off the aim: an inch to the foot outside the bulletins' slopes, at
 * most two of them; the whole range of the throttle; that of the feed. */
static const double slope_cost = 0.007, slope_most = 2.0, throttle_cost = 0.01, feed_cost = 0.004;
static const double bulletin_least = 4.0 / 12.0, bulletin_most = 6.0 / 12.0; /* tangents */

double fg_knob_value(const fg_knob_range *range, fg_knob knob, double place) {
  if (knob == FG_KNOB_FEED)
    return range->low * pow(range->high / range->low, place);
  return range->low + place * (range->high - range->low);
}

double fg_knob_place(const fg_knob_range *range, fg_knob knob, double value) {
  if (knob == FG_KNOB_FEED)
    return log(value / range->low) / log(range->high / range->low);
  return (value - range->low) / (range->high - range->low);
}

static double within(double place) { return fmin(1.0, fmax(0.0, place)); }

void fg_search_setting(fg_search *s, size_t screen, const double *u, double at[FG_KNOBS]) {
  if (s->options->knob[FG_KNOB_SCREEN].free)
    s->fixed[FG_KNOB_SCREEN] = s->options->screen_m[screen];
  memcpy(at, s->fixed, sizeof s->fixed);
  for (size_t i = 0; i < s->dimensions; ++i) {
    const fg_knob knob = s->free[i];
    at[knob] = fg_knob_value(&s->options->knob[knob], knob, within(u[i]));
  }
}

fg_status fg_search_judge(fg_search *s, fg_verdicts *v, const double at[FG_KNOBS],
                          fg_judged *judged) {
  s->runs += v->count;
  const fg_status status =
      fg_verdicts_run(s->scenario, v == &s->last ? s->judges : s->plan, at, v, judged);
  if (status == FG_OK && v == &s->many && s->seen_count < FG_SEEN_MAX)
    s->seen[s->seen_count++] = *judged;
  return status;
}

static double place_of(const fg_search *s, fg_knob knob, double value) {
  const fg_knob_range *range = &s->options->knob[knob];
  return range->free ? within(fg_knob_place(range, knob, value)) : 0.0;
}

double fg_search_worth(const fg_search *s, const fg_judged *judged) {
  const double slope = tan(judged->at[FG_KNOB_SLOPE]);
  const double outside = 12.0 * fmax(0.0, fmax(bulletin_least - slope, slope - bulletin_most));
  const double cost = slope_cost * fmin(slope_most, outside) +
                      throttle_cost * place_of(s, FG_KNOB_THROTTLE, judged->at[FG_KNOB_THROTTLE]) +
                      feed_cost * place_of(s, FG_KNOB_FEED, judged->at[FG_KNOB_FEED]);
  return judged->aim * (1.0 - cost);
}

static fg_status judge_candidate(fg_search *s, fg_verdicts *v, fg_search_candidate *c) {
  double at[FG_KNOBS];
  fg_search_setting(s, c->screen, c->u, at);
  const fg_status status = fg_search_judge(s, v, at, &c->judged);
  c->worth = status == FG_OK ? fg_search_worth(s, &c->judged) : 0.0;
  return status;
}

/* ---- marks for a hand ---- */

/* The gate's openings as one judges them by eye. */
static const double gate_marks[] = {0.0, 0.125, 0.25, 1.0 / 3.0, 0.5, 2.0 / 3.0, 0.75, 0.875, 1.0};
static const double throttle_mark = 0.05, slope_mark = 0.25 / 12.0, feed_mark_s = 5.0;
static const double bucket_m3 = 5.0 * 0.003785411784;

static double nearest_gate(double opening) {
  double nearest = gate_marks[0];
  for (size_t i = 1; i < sizeof gate_marks / sizeof gate_marks[0]; ++i)
    if (fabs(gate_marks[i] - opening) < fabs(nearest - opening))
      nearest = gate_marks[i];
  return nearest;
}

static double nearest_mark(const fg_search *s, fg_knob knob, double value) {
  const double bucket_kg = bucket_m3 * s->scenario->ground.bulk_density;
  switch (knob) {
  case FG_KNOB_THROTTLE:
    return throttle_mark * round(value / throttle_mark);
  case FG_KNOB_GATE:
    return nearest_gate(value);
  case FG_KNOB_SLOPE:
    return atan(slope_mark * round(tan(value) / slope_mark));
  case FG_KNOB_FEED:
    return bucket_kg / (feed_mark_s * ceil(bucket_kg / value / feed_mark_s - 1e-6));
  default:
    return value;
  }
}

void fg_search_by_hand(const fg_search *s, double at[FG_KNOBS]) {
  for (size_t i = 0; i < s->dimensions; ++i) {
    const fg_knob knob = s->free[i];
    const fg_knob_range *range = &s->options->knob[knob];
    const double place = fg_knob_place(range, knob, at[knob]);
    if (place > 0.01 && place < 0.99) /* an end is a mark */
      at[knob] = fmin(range->high, fmax(range->low, nearest_mark(s, knob, at[knob])));
  }
}

/* ---- a first look ---- */

static int by_worth(const void *a, const void *b) {
  const double x = ((const fg_search_candidate *)a)->worth;
  const double y = ((const fg_search_candidate *)b)->worth;
  return x < y ? 1 : -(x > y);
}

/* The candidate that a hint, or the present setting, is. */
static fg_search_candidate known_place(const fg_search *s, const double at[FG_KNOBS]) {
  fg_search_candidate c = {.screen = 0};
  for (size_t i = 0; i < s->dimensions; ++i) {
    const fg_knob knob = s->free[i];
    c.u[i] = within(fg_knob_place(&s->options->knob[knob], knob, at[knob]));
  }
  for (size_t i = 1; i < s->options->screens; ++i)
    if (fabs(s->options->screen_m[i] - at[FG_KNOB_SCREEN]) <
        fabs(s->options->screen_m[c.screen] - at[FG_KNOB_SCREEN]))
      c.screen = i;
  return c;
}

/* Sobol's sequence over knobs and screens, the present setting and the hint. */
static fg_status list_candidates(fg_search *s, fg_search_candidate *candidates, size_t *count) {
  const bool screens = s->options->knob[FG_KNOB_SCREEN].free;
  const size_t columns = s->dimensions + (screens ? 1 : 0);
  double present[FG_KNOBS];
  fg_tune_present(s->scenario, present);
  *count = 0;
  candidates[(*count)++] = known_place(s, present);
  if (s->options->hinted)
    candidates[(*count)++] = known_place(s, s->options->hint);
  if (columns == 0)
    return FG_OK;
  gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)columns);
  if (!sequence)
    return FG_EMEMORY;
  fg_status status = FG_OK;
  for (size_t i = 0; i < s->spend.candidates && status == FG_OK; ++i) {
    double point[FG_KNOBS] = {0.0};
    if (gsl_qrng_get(sequence, point) != GSL_SUCCESS)
      status = FG_EDOMAIN;
    fg_search_candidate *c = &candidates[(*count)++];
    *c = (fg_search_candidate){.screen = 0};
    memcpy(c->u, point, s->dimensions * sizeof *point);
    if (screens)
      c->screen = (size_t)(point[s->dimensions] * (double)s->options->screens);
  }
  gsl_qrng_free(sequence);
  return status;
}

static double distance(const fg_search *s, const fg_search_candidate *a,
                       const fg_search_candidate *b) {
  double square = a->screen == b->screen ? 0.0 : 1.0;
  for (size_t i = 0; i < s->dimensions; ++i)
    square += (a->u[i] - b->u[i]) * (a->u[i] - b->u[i]);
  return sqrt(square);
}

/* The best candidates that do not lie on top of each other. */
static size_t choose_starts(const fg_search *s, const fg_search_candidate *sorted, size_t count,
                            fg_search_candidate starts[FG_STARTS_MAX]) {
  size_t chosen = 0;
  for (size_t i = 0; i < count && chosen < s->spend.starts; ++i) {
    bool apart = sorted[i].judged.aim > 0.0;
    for (size_t j = 0; j < chosen && apart; ++j)
      apart = distance(s, &sorted[i], &starts[j]) >= least_distance;
    if (apart)
      starts[chosen++] = sorted[i];
  }
  return chosen;
}

fg_status fg_search_look(fg_search *s, fg_search_candidate starts[FG_STARTS_MAX], size_t *chosen) {
  fg_search_candidate candidates[FG_CANDIDATES_MAX + 2];
  size_t count = 0;
  fg_status status = list_candidates(s, candidates, &count);
  for (size_t i = 0; i < count && status == FG_OK; ++i)
    status = judge_candidate(s, &s->first, &candidates[i]);
  if (status != FG_OK)
    return status;
  qsort(candidates, count, sizeof *candidates, by_worth);
  /* Those that run for somebody only are worth no second look. */
  size_t better = 0;
  while (better < count && better < s->spend.promising && candidates[better].judged.aim > 0.0)
    ++better;
  for (size_t i = 0; i < better && status == FG_OK; ++i)
    status = judge_candidate(s, &s->middle, &candidates[i]);
  qsort(candidates, better, sizeof *candidates, by_worth);
  *chosen = choose_starts(s, candidates, better, starts);
  return status;
}
