/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multimin.h>
#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/settings.h"
#include "tune_internal.h"

/* How much is spent where. */
typedef struct budget {
  size_t candidates, first_members;  /* a first look at many */
  size_t starts, steps, members;     /* simplex searches */
  size_t finalists;                  /* judged by all members */
  size_t range_steps;                /* to each side, for the good range */
} budget;

static const budget thorough = {96, 8, 3, 36, 16, 3, 6};
static const budget brisk = {32, 6, 2, 24, 8, 2, 0};
enum { CANDIDATES_MAX = 128, STARTS_MAX = 4 };

/* A coarser deck is good enough to look for a place; the finalists get the full one. */
static const fg_loss_options search_deck = {.cells = 8, .steps = 6, .times = 8};
/* Starts this close together (in shares of the ranges) would find the same place. */
static const double least_distance = 0.15;
/* A good setting keeps this share of the best. */
static const double good_share = 0.97;

typedef struct search {
  const fg_scenario *scenario;
  const fg_tune_options *options;
  const fg_plan *plan;
  budget spend;
  fg_knob free[FG_KNOBS]; /* continuous free knobs */
  size_t dimensions;
  double fixed[FG_KNOBS]; /* knobs that are not searched, and the screen of this start */
  fg_verdicts first, middle, last;
  size_t runs;
  double scale;           /* aim of the best candidate: the search works in shares of it */
  fg_status status;       /* of the last evaluation */
} search;

static double knob_value(const fg_knob_range *range, fg_knob knob, double u) {
  if (knob == FG_KNOB_FEED) return range->low * pow(range->high / range->low, u);
  return range->low + u * (range->high - range->low);
}

static double knob_place(const fg_knob_range *range, fg_knob knob, double value) {
  if (knob == FG_KNOB_FEED) return log(value / range->low) / log(range->high / range->low);
  return (value - range->low) / (range->high - range->low);
}

static void place_to_setting(const search *s, const double *u, double at[FG_KNOBS]) {
  memcpy(at, s->fixed, sizeof s->fixed);
  for (size_t i = 0; i < s->dimensions; ++i) {
    const fg_knob knob = s->free[i];
    at[knob] = knob_value(&s->options->knob[knob], knob, fmin(1.0, fmax(0.0, u[i])));
  }
}

static fg_status judge(search *s, fg_verdicts *v, const double at[FG_KNOBS], fg_judged *judged) {
  s->runs += v->count;
  return fg_verdicts_run(s->scenario, s->plan, at, v, judged);
}

/* ---- a first look ---- */

typedef struct candidate {
  double u[FG_KNOBS]; /* places of the continuous knobs */
  size_t screen;
  fg_judged judged;
} candidate;

static int by_aim(const void *a, const void *b) {
  const double x = ((const candidate *)a)->judged.aim, y = ((const candidate *)b)->judged.aim;
  return x < y ? 1 : -(x > y);
}

static void use_screen(search *s, size_t screen) {
  if (s->options->knob[FG_KNOB_SCREEN].free)
    s->fixed[FG_KNOB_SCREEN] = s->options->screen_m[screen];
}

static fg_status look(search *s, candidate *candidates, size_t *count) {
  const bool screens = s->options->knob[FG_KNOB_SCREEN].free;
  const size_t columns = s->dimensions + (screens ? 1 : 0);
  gsl_qrng *sequence = columns > 0 ? gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)columns) : NULL;
  if (columns > 0 && !sequence) return FG_EMEMORY;
  fg_status status = FG_OK;
  *count = columns > 0 ? s->spend.candidates : 1;
  for (size_t i = 0; i < *count && status == FG_OK; ++i) {
    double point[FG_KNOBS] = {0.0}, at[FG_KNOBS];
    if (sequence && gsl_qrng_get(sequence, point) != GSL_SUCCESS) status = FG_EDOMAIN;
    candidate *c = &candidates[i];
    memcpy(c->u, point, sizeof c->u);
    c->screen = screens ? (size_t)(point[s->dimensions] * (double)s->options->screens) : 0;
    use_screen(s, c->screen);
    place_to_setting(s, c->u, at);
    if (status == FG_OK) status = judge(s, &s->first, at, &c->judged);
  }
  gsl_qrng_free(sequence);
  qsort(candidates, *count, sizeof *candidates, by_aim);
  return status;
}

static double distance(const search *s, const candidate *a, const candidate *b) {
  double square = a->screen == b->screen ? 0.0 : 1.0;
  for (size_t i = 0; i < s->dimensions; ++i) square += (a->u[i] - b->u[i]) * (a->u[i] - b->u[i]);
  return sqrt(square);
}

/* The best candidates that do not lie on top of each other. */
static size_t choose_starts(const search *s, const candidate *sorted, size_t count,
                            candidate starts[STARTS_MAX]) {
  size_t chosen = 0;
  for (size_t i = 0; i < count && chosen < s->spend.starts; ++i) {
    bool apart = sorted[i].judged.aim > 0.0;
    for (size_t j = 0; j < chosen && apart; ++j)
      apart = distance(s, &sorted[i], &starts[j]) >= least_distance;
    if (apart) starts[chosen++] = sorted[i];
  }
  return chosen;
}

/* ---- downhill ---- */

/* Shares of the best candidate's aim that are lost, plus a slope back into the ranges. */
static double shortfall(const gsl_vector *v, void *context) {
  search *s = context;
  double u[FG_KNOBS], at[FG_KNOBS], outside = 0.0;
  for (size_t i = 0; i < s->dimensions; ++i) {
    u[i] = gsl_vector_get(v, i);
    outside += fmax(0.0, -u[i]) + fmax(0.0, u[i] - 1.0);
  }
  fg_judged judged;
  place_to_setting(s, u, at);
  s->status = judge(s, &s->middle, at, &judged);
  if (s->status != FG_OK) return GSL_NAN;
  return 1.0 - judged.aim / s->scale + outside;
}

static fg_status run_simplex(search *s, gsl_multimin_fminimizer *simplex) {
  for (size_t step = 0; step < s->spend.steps; ++step) {
    if (gsl_multimin_fminimizer_iterate(simplex) != GSL_SUCCESS) break;
    if (s->status != FG_OK) return s->status;
    if (gsl_multimin_test_size(gsl_multimin_fminimizer_size(simplex), 0.01) == GSL_SUCCESS) break;
  }
  return FG_OK;
}

/* Simplex search from one start; the start becomes the best place found. */
static fg_status descend(search *s, candidate *start) {
  if (s->dimensions == 0) return FG_OK;
  gsl_multimin_function function = {shortfall, s->dimensions, s};
  gsl_vector *place = gsl_vector_alloc(s->dimensions), *size = gsl_vector_alloc(s->dimensions);
  gsl_multimin_fminimizer *simplex =
      gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, s->dimensions);
  fg_status status = place && size && simplex ? FG_OK : FG_EMEMORY;
  if (status == FG_OK) {
    use_screen(s, start->screen);
    for (size_t i = 0; i < s->dimensions; ++i) {
      gsl_vector_set(place, i, start->u[i]);
      gsl_vector_set(size, i, start->u[i] > 0.5 ? -0.2 : 0.2); /* inwards */
    }
    if (gsl_multimin_fminimizer_set(simplex, &function, place, size) == GSL_SUCCESS)
      status = run_simplex(s, simplex);
    for (size_t i = 0; i < s->dimensions && status == FG_OK; ++i)
      start->u[i] =
          fmin(1.0, fmax(0.0, gsl_vector_get(gsl_multimin_fminimizer_x(simplex), i)));
  }
  gsl_multimin_fminimizer_free(simplex);
  gsl_vector_free(place);
  gsl_vector_free(size);
  return status;
}

/* ---- the verdict of all members ---- */

static fg_status judge_finalists(search *s, const candidate *starts, size_t count,
                                 fg_tuned *tuned) {
  fg_status status = FG_OK;
  tuned->best.aim = -1.0;
  for (size_t i = 0; i < count && i < s->spend.finalists && status == FG_OK; ++i) {
    fg_judged judged;
    double at[FG_KNOBS];
    use_screen(s, starts[i].screen);
    place_to_setting(s, starts[i].u, at);
    status = judge(s, &s->last, at, &judged);
    if (status == FG_OK && judged.aim > tuned->best.aim) tuned->best = judged;
  }
  return status;
}

static fg_spread spread_of(const double *values, size_t count, double *scratch) {
  return (fg_spread){fg_weighted_quantile(values, NULL, count, 0.1, scratch),
                     fg_weighted_quantile(values, NULL, count, 0.5, scratch),
                     fg_weighted_quantile(values, NULL, count, 0.9, scratch)};
}

/* Gain of each member over the present setting, where the present one keeps anything. */
static fg_status compare_with_present(search *s, fg_tuned *tuned) {
  const size_t n = s->last.count;
  double *gain = calloc(3 * n, sizeof *gain), *scratch = gain ? gain + n : NULL;
  if (!gain) return FG_EMEMORY;
  fg_judged best;
  double present[FG_KNOBS];
  fg_tune_present(s->scenario, present);
  fg_status status = judge(s, &s->last, tuned->best.at, &best);
  if (status == FG_OK) {
    memcpy(gain, s->last.value, n * sizeof *gain);
    tuned->best_kept = spread_of(s->last.kept, n, scratch);
    tuned->best_kg_s = spread_of(s->last.gold, n, scratch);
    status = judge(s, &s->last, present, &tuned->present);
  }
  if (status == FG_OK) {
    tuned->present_kept = spread_of(s->last.kept, n, scratch);
    tuned->present_kg_s = spread_of(s->last.gold, n, scratch);
    for (size_t i = 0; i < n; ++i)
      gain[i] = s->last.value[i] > 0.0 ? gain[i] / s->last.value[i] - 1.0 : (double)NAN;
    tuned->gain = spread_of(gain, n, scratch);
  }
  free(gain);
  return status;
}

/* Walks one knob away from the best until the aim falls below its good share; the place is
 * read off between the last two points. */
static fg_status walk(search *s, const fg_tuned *tuned, double best_aim, size_t i, double step,
                      double *good) {
  const fg_knob knob = s->free[i];
  const fg_knob_range *range = &s->options->knob[knob];
  const double floor = good_share * best_aim, from = knob_place(range, knob, tuned->best.at[knob]);
  double at[FG_KNOBS], u = from, aim = best_aim;
  memcpy(at, tuned->best.at, sizeof at);
  *good = tuned->best.at[knob];
  for (size_t k = 1; k <= s->spend.range_steps; ++k) {
    const double next = fmin(1.0, fmax(0.0, from + step * (double)k));
    fg_judged judged;
    at[knob] = knob_value(range, knob, next);
    const fg_status status = judge(s, &s->middle, at, &judged);
    if (status != FG_OK) return status;
    if (judged.aim < floor) {
      const double along = (aim - floor) / (aim - judged.aim);
      *good = knob_value(range, knob, u + along * (next - u));
      return FG_OK;
    }
    u = next;
    aim = judged.aim;
    *good = at[knob];
    if (next <= 0.0 || next >= 1.0) break;
  }
  return FG_OK;
}

static fg_status find_good_ranges(search *s, fg_tuned *tuned) {
  fg_judged best;
  memcpy(tuned->good_low, tuned->best.at, sizeof tuned->good_low);
  memcpy(tuned->good_high, tuned->best.at, sizeof tuned->good_high);
  if (s->spend.range_steps == 0) return FG_OK;
  fg_status status = judge(s, &s->middle, tuned->best.at, &best);
  const double step = 1.0 / (double)s->spend.range_steps;
  for (size_t i = 0; i < s->dimensions && status == FG_OK; ++i) {
    const fg_knob knob = s->free[i];
    status = walk(s, tuned, best.aim, i, -step, &tuned->good_low[knob]);
    if (status == FG_OK) status = walk(s, tuned, best.aim, i, step, &tuned->good_high[knob]);
  }
  return status;
}

static void mark_edges(const search *s, fg_tuned *tuned) {
  for (size_t i = 0; i < s->dimensions; ++i) {
    const fg_knob knob = s->free[i];
    const double u = knob_place(&s->options->knob[knob], knob, tuned->best.at[knob]);
    tuned->edge_low[knob] = u < 0.02;
    tuned->edge_high[knob] = u > 0.98;
  }
}

static fg_status search_all(search *s, fg_tuned *tuned) {
  candidate candidates[CANDIDATES_MAX], starts[STARTS_MAX];
  size_t count = 0;
  fg_status status = look(s, candidates, &count);
  if (status != FG_OK) return status;
  const size_t chosen = choose_starts(s, candidates, count, starts);
  if (chosen == 0) return FG_ESTALL;
  s->scale = candidates[0].judged.aim;
  for (size_t i = 0; i < chosen && status == FG_OK; ++i) status = descend(s, &starts[i]);
  if (status == FG_OK) status = judge_finalists(s, starts, chosen, tuned);
  if (status == FG_OK) status = compare_with_present(s, tuned);
  /* Never worse than what is there already. */
  if (status == FG_OK && tuned->present.aim > tuned->best.aim) {
    tuned->best = tuned->present;
    tuned->best_kept = tuned->present_kept;
    tuned->best_kg_s = tuned->present_kg_s;
    tuned->gain = (fg_spread){0.0, 0.0, 0.0};
  }
  if (status == FG_OK) status = find_good_ranges(s, tuned);
  mark_edges(s, tuned);
  tuned->runs = s->runs;
  return status;
}

static size_t at_most(size_t wanted, size_t most) { return wanted < most ? wanted : most; }

fg_status fg_tune_run(const fg_scenario *scenario, const fg_tune_options *options,
                      fg_tuned *tuned) {
  fg_plan plan;
  fg_status status = fg_plan_new(scenario, options->samples, options->seed, &plan);
  if (status != FG_OK) return status;
  if (options->exact) plan.count = 0; /* every member is the scenario itself */
  search s = {.scenario = scenario,
              .options = options,
              .plan = &plan,
              .spend = options->quick ? brisk : thorough};
  if (options->search_samples > 0) s.spend.members = options->search_samples;
  fg_tune_present(scenario, s.fixed);
  for (int k = 0; k < FG_KNOBS; ++k)
    if (options->knob[k].free && k != FG_KNOB_SCREEN) s.free[s.dimensions++] = (fg_knob)k;
  status = fg_verdicts_new(at_most(s.spend.first_members, options->samples), options->aim,
                           &search_deck, &s.first);
  if (status == FG_OK)
    status = fg_verdicts_new(at_most(s.spend.members, options->samples), options->aim, &search_deck,
                             &s.middle);
  if (status == FG_OK) status = fg_verdicts_new(options->samples, options->aim, NULL, &s.last);
  fg_tuned found = {.runs = 0};
  if (status == FG_OK) status = search_all(&s, &found);
  fg_verdicts_free(&s.first);
  fg_verdicts_free(&s.middle);
  fg_verdicts_free(&s.last);
  fg_plan_free(&plan);
  if (status == FG_OK) *tuned = found;
  return status;
}
