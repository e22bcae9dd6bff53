/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/cleanup.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/grain.h"
#include "flourgold/quantity.h"
#include "model/holding.h"
#include "stats/band.h"
#include "study/fine.h"
#include "study/interval_internal.h"
#include "study/plan.h"

enum { POINTS = FG_CLEANUP_POINTS, ADVISERS = 64 };
/* A pocket this full looks full. */
static const double full_share = 0.9;
static const double shortest_run_s = 60.0, named_step_s = 300.0;

/* What one run says: build-up at the points; a stalled run holds nothing. */
typedef enum told { NO_ANSWER = 0, STALLED, RUNS } told;
typedef struct verdict {
  told told;
  double gold_kg_s;
  double held_s[POINTS], fine_held_s[POINTS], fill[POINTS], upper_fill[POINTS];
  /* worked out from these */
  double best_s, upper_full_s;
  double kept_now[POINTS], kept_kg_s[POINTS];
} verdict;

typedef struct many {
  const fg_scenario *scenario;
  double after_s[POINTS];
  verdict *member;
} many;

static void mean_fill(const fg_holding *h, verdict *v) {
  const size_t n = h->riffles, upper = (n + 1) / 2;
  for (size_t i = 0; i < POINTS; ++i) {
    double all = 0.0, first = 0.0;
    for (size_t r = 0; r < n; ++r) {
      all += h->fill[i * n + r];
      if (r < upper)
        first += h->fill[i * n + r];
    }
    v->fill[i] = all / (double)n;
    v->upper_fill[i] = first / (double)upper;
  }
}

/* First time at which the upper half is full, straight between points. */
static double full_time(const many *m, const verdict *v) {
  for (size_t i = 0; i < POINTS; ++i) {
    if (v->upper_fill[i] < full_share)
      continue;
    const double before = i > 0 ? v->upper_fill[i - 1] : 0.0;
    const double start = i > 0 ? m->after_s[i - 1] : 0.0;
    return start + (m->after_s[i] - start) * (full_share - before) / (v->upper_fill[i] - before);
  }
  return NAN;
}

static fg_status work_out(const many *m, verdict *v, fg_clean_interval *best) {
  fg_build_up b;
  const double cleaning = m->scenario->run.cleaning_time;
  fg_status status = fg_build_up_new(m->after_s, v->held_s, POINTS, &b);
  if (status != FG_OK)
    return status;
  status = fg_build_up_best(&b, cleaning, best);
  for (size_t i = 0; i < POINTS; ++i) {
    v->kept_now[i] = fmax(0.0, fg_build_up_slope(&b, m->after_s[i]));
    v->kept_kg_s[i] = v->gold_kg_s * v->held_s[i] / (m->after_s[i] + cleaning);
  }
  fg_build_up_free(&b);
  v->best_s = status == FG_OK ? best->best_s : (double)NAN;
  v->upper_full_s = full_time(m, v);
  return status == FG_EDOMAIN ? FG_OK : status; /* no gold held: no best interval */
}

static fg_status judge(const many *m, const fg_scenario *s, verdict *v, fg_holding *kept) {
  fg_holding h = {0};
  const fg_status status = fg_holding_run(s, NULL, m->after_s, POINTS, fg_fine_limit_m, &h);
  *v = (verdict){.told = status == FG_OK       ? RUNS
                         : status == FG_ESTALL ? STALLED
                                               : NO_ANSWER,
                 .best_s = NAN,
                 .upper_full_s = NAN};
  if (status == FG_OK) {
    v->gold_kg_s = h.gold_kg_s;
    memcpy(v->held_s, h.held_s, sizeof v->held_s);
    memcpy(v->fine_held_s, h.fine_held_s, sizeof v->fine_held_s);
    mean_fill(&h, v);
  }
  if (kept)
    *kept = h;
  else
    fg_holding_free(&h);
  return status;
}

static fg_status judge_member(const fg_scenario *member, size_t index, void *context) {
  many *m = context;
  fg_clean_interval best;
  verdict *v = &m->member[index];
  fg_status status = judge(m, member, v, NULL);
  if (status == FG_OK && (status = work_out(m, v, &best)) != FG_OK)
    v->told = NO_ANSWER;
  return status;
}

/* ---- over all members ---- */

/* A number of one member at one point; NaN leaves the member out. */
typedef double (*reading)(const many *m, const verdict *v, size_t point);

static double read_kept_now(const many *m, const verdict *v, size_t i) {
  (void)m;
  return v->kept_now[i];
}
static double read_kept(const many *m, const verdict *v, size_t i) {
  return v->held_s[i] / m->after_s[i];
}
static double read_fine(const many *m, const verdict *v, size_t i) {
  return v->fine_held_s[i] / m->after_s[i];
}
static double read_gold(const many *m, const verdict *v, size_t i) {
  (void)m;
  return v->kept_kg_s[i];
}
static double read_fill(const many *m, const verdict *v, size_t i) {
  (void)m;
  return v->told == RUNS ? v->fill[i] : (double)NAN;
}
static double read_best(const many *m, const verdict *v, size_t i) {
  (void)m;
  (void)i;
  return v->best_s;
}
/* Not full within the shift counts as later than any. */
static double read_full(const many *m, const verdict *v, size_t i) {
  (void)m;
  (void)i;
  if (v->told != RUNS)
    return NAN;
  return isnan(v->upper_full_s) ? HUGE_VAL : v->upper_full_s;
}

typedef struct banding {
  const many *m;
  const fg_plan *plan;
  double *value, *scratch;
} banding;

static double known(double x) { return isfinite(x) ? x : (double)NAN; }

static void take_band(const banding *b, fg_banded *out) {
  const fg_band band = fg_weighted_band(b->value, b->plan->weight, b->plan->samples, b->scratch);
  out->band = (fg_band){known(band.low), known(band.mid), known(band.high)};
}

static void band_of(const banding *b, reading read, size_t point, fg_banded *out) {
  for (size_t i = 0; i < b->plan->samples; ++i) {
    const verdict *v = &b->m->member[i];
    b->value[i] = v->told == NO_ANSWER ? (double)NAN : read(b->m, v, point);
  }
  take_band(b, out);
}

/* Gold over all time of each member at an interval. */
static fg_status band_at(const banding *b, double interval_s, fg_banded *out) {
  const double cleaning = b->m->scenario->run.cleaning_time;
  for (size_t i = 0; i < b->plan->samples; ++i) {
    const verdict *v = &b->m->member[i];
    b->value[i] = v->told == STALLED ? 0.0 : (double)NAN;
    if (v->told != RUNS)
      continue;
    fg_build_up up;
    const fg_status status = fg_build_up_new(b->m->after_s, v->held_s, POINTS, &up);
    if (status != FG_OK)
      return status;
    b->value[i] = v->gold_kg_s * fg_build_up_at(&up, interval_s) / (interval_s + cleaning);
    fg_build_up_free(&up);
  }
  take_band(b, out);
  return FG_OK;
}

/* The interval that brings most over all members: their gold added up is a build-up too. */
static fg_status find_together(const many *m, const double *weight, size_t count,
                               fg_clean_interval *best) {
  double sum[POINTS] = {0.0};
  for (size_t i = 0; i < count; ++i)
    if (m->member[i].told == RUNS)
      for (size_t k = 0; k < POINTS; ++k)
        sum[k] += (weight ? weight[i] : 1.0) * m->member[i].gold_kg_s * m->member[i].held_s[k];
  return fg_interval_best(m->after_s, sum, POINTS, m->scenario->run.cleaning_time, best);
}

static fg_status find_safest(const banding *b, fg_cleanup *c) {
  fg_clean_interval best;
  const fg_status status = find_together(b->m, b->plan->weight, b->plan->samples, &best);
  c->safest_s = status == FG_OK ? best.best_s : (double)NAN;
  return status == FG_EDOMAIN ? FG_OK : status;
}

static fg_status tell_bands(const banding *b, fg_cleanup *c) {
  for (size_t i = 0; i < POINTS; ++i) {
    fg_cleanup_point *p = &c->point[i];
    band_of(b, read_kept_now, i, &p->kept_now);
    band_of(b, read_kept, i, &p->kept);
    band_of(b, read_fine, i, &p->fine_kept);
    band_of(b, read_gold, i, &p->kept_kg_s);
    band_of(b, read_fill, i, &p->fill);
  }
  band_of(b, read_best, 0, &c->best_s);
  band_of(b, read_full, 0, &c->upper_full_s);
  fg_status status = find_safest(b, c);
  const double interval = c->stalled ? c->safest_s : c->best_s.nominal;
  if (status == FG_OK)
    status = band_at(b, interval, &c->best_kg_s);
  if (status == FG_OK)
    status = band_at(b, b->m->scenario->run.cleaning_interval, &c->present_kg_s);
  return status;
}

static fg_status run_members(many *m, size_t samples, unsigned long seed, fg_cleanup *c) {
  fg_plan plan;
  fg_status status = fg_plan_new(m->scenario, samples, seed, &plan);
  if (status != FG_OK)
    return status;
  banding b = {.m = m, .plan = &plan};
  m->member = calloc(samples, sizeof *m->member);
  b.value = calloc(samples, sizeof *b.value);
  b.scratch = calloc(2 * samples, sizeof *b.scratch);
  status = m->member && b.value && b.scratch ? fg_plan_weigh(&plan, m->scenario) : FG_EMEMORY;
  if (status == FG_OK)
    status = fg_plan_run(&plan, m->scenario, samples, judge_member, m, &c->stall_share);
  c->effective = plan.effective;
  c->weighed = plan.weighed;
  if (status == FG_OK)
    status = tell_bands(&b, c);
  free(m->member);
  free(b.value);
  free(b.scratch);
  fg_plan_free(&plan);
  return status;
}

/* ---- the nominal run ---- */

static void tell_points(const many *m, const verdict *v, fg_cleanup *c) {
  for (size_t i = 0; i < POINTS; ++i) {
    fg_cleanup_point *p = &c->point[i];
    p->kept_now.nominal = v->kept_now[i];
    p->kept.nominal = v->held_s[i] / m->after_s[i];
    p->fine_kept.nominal = v->fine_held_s[i] / m->after_s[i];
    p->kept_kg_s.nominal = v->kept_kg_s[i];
    p->fill.nominal = v->fill[i];
  }
}

/* The whole number of equal batches that brings most in a shift. */
static void part_shift(const fg_build_up *gold, const fg_build_up *sand, fg_cleanup *c) {
  double most = -1.0;
  for (long n = 1; (double)n * (c->cleaning_s + shortest_run_s) <= c->shift_s; ++n) {
    const double interval = c->shift_s / (double)n - c->cleaning_s;
    const double held = (double)n * fg_build_up_at(gold, interval);
    if (!(held > most))
      continue;
    most = held;
    c->shift = (fg_shift){n, interval, c->gold_kg_s * held, fg_build_up_at(sand, interval)};
  }
}

static fg_status tell_nominal(const many *m, verdict *v, const fg_holding *h, fg_cleanup *c) {
  fg_build_up gold, sand;
  fg_status status = work_out(m, v, &c->best);
  if (status != FG_OK)
    return status;
  c->gold_kg_s = v->gold_kg_s;
  c->best_s.nominal = v->best_s;
  c->upper_full_s.nominal = v->upper_full_s;
  tell_points(m, v, c);
  for (size_t i = 0; i < POINTS; ++i)
    for (size_t r = 0; r < h->riffles; ++r)
      c->fill[i][r] = h->fill[i * h->riffles + r];
  status = fg_build_up_new(m->after_s, v->held_s, POINTS, &gold);
  if (status != FG_OK)
    return status;
  status = fg_build_up_new(m->after_s, h->concentrate_kg, POINTS, &sand);
  if (status == FG_OK) {
    const double interval = m->scenario->run.cleaning_interval;
    c->best_kg_s.nominal = c->gold_kg_s * c->best.rate;
    c->present_kg_s.nominal =
        c->gold_kg_s * fg_build_up_at(&gold, interval) / (interval + c->cleaning_s);
    part_shift(&gold, &sand, c);
    fg_build_up_free(&sand);
  }
  fg_build_up_free(&gold);
  return status;
}

static void forget(fg_cleanup *c) {
  const fg_banded unknown = {NAN, fg_band_unknown};
  c->stall_share = c->safest_s = c->capacity_margin = c->effective = NAN;
  c->best_s = c->upper_full_s = c->best_kg_s = c->present_kg_s = unknown;
  c->best = (fg_clean_interval){NAN, NAN, NAN, NAN, false};
  c->shift = (fg_shift){0, NAN, NAN, NAN};
  c->gold_kg_s = NAN;
  for (size_t i = 0; i < POINTS; ++i)
    c->point[i] =
        (fg_cleanup_point){c->point[i].after_s, unknown, unknown, unknown, unknown, unknown};
}

/* Time (s) in which the black sand of the feed could fill every pocket. */
static double filling_time(const fg_scenario *s, const fg_machine *m) {
  const double pocket_kg = m->at.fill.volume_m3 * (1.0 - m->voidage) * FG_MAGNETITE_KG_M3;
  return s->deck.riffles * pocket_kg / (m->deck_feed_kg_s * s->ground.magnetite);
}

/* In geometric steps from a small part of the filling time; on whole or half minutes where they
 * stay well apart. */
static void place_points(double filling_s, double longest_s, double after_s[POINTS]) {
  const double first = fmin(longest_s / 50.0, fmax(1.0, filling_s / 40.0));
  for (int i = 0; i < POINTS; ++i) {
    const double here = first * pow(longest_s / first, i / (POINTS - 1.0));
    const double apart = here * (1.0 - pow(first / longest_s, 1.0 / (POINTS - 1.0)));
    const double unit = apart > 90.0 ? 60.0 : apart > 45.0 ? 30.0 : 0.0;
    after_s[i] = i + 1 == POINTS ? longest_s : unit > 0.0 ? unit * round(here / unit) : here;
  }
}

fg_status fg_cleanup_check(const fg_scenario *s, char *message, size_t size) {
  char shift[64], stop[64], interval[64];
  fg_quantity_text(FG_Q_HOURS, FG_UNITS_US, s->run.hours, shift, sizeof shift);
  fg_quantity_text(FG_Q_MINUTES, FG_UNITS_US, s->run.cleaning_time, stop, sizeof stop);
  fg_quantity_text(FG_Q_MINUTES, FG_UNITS_US, s->run.cleaning_interval, interval, sizeof interval);
  if (!(s->run.cleaning_time > 0.0))
    (void)snprintf(message, size,
                   "run.cleaning_time: a stop that takes no time would pay at every moment; give "
                   "the minutes one cleaning takes, as \"5 min\"");
  else if (!(s->run.hours >= s->run.cleaning_time + shortest_run_s))
    (void)snprintf(message, size,
                   "run.hours: a shift of %s has no room for a minute's run and a cleaning of %s",
                   shift, stop);
  else if (s->run.cleaning_interval > s->run.hours - s->run.cleaning_time)
    (void)snprintf(message, size,
                   "run.cleaning_interval: %s and a cleaning of %s are more than the shift of %s "
                   "(run.hours); shorten it or give a longer shift",
                   interval, stop, shift);
  else
    return FG_OK;
  return FG_ESCENARIO;
}

fg_status fg_cleanup_run(const fg_scenario *scenario, size_t samples, unsigned long seed,
                         fg_cleanup *cleanup) {
  const double longest = scenario->run.hours - scenario->run.cleaning_time;
  if (!(scenario->run.cleaning_time > 0.0) || !(longest >= shortest_run_s))
    return FG_EDOMAIN;
  many m = {.scenario = scenario};
  fg_cleanup *c = calloc(1, sizeof *c);
  verdict *v = calloc(1, sizeof *v);
  fg_holding h = {0};
  fg_machine machine;
  fg_status status = c && v ? fg_machine_solve(scenario, &machine) : FG_EMEMORY;
  if (status == FG_OK) {
    *c = (fg_cleanup){.magnetite = scenario->ground.magnetite,
                      .riffles = (size_t)scenario->deck.riffles,
                      .samples = samples,
                      .seed = seed,
                      .cleaning_s = scenario->run.cleaning_time,
                      .shift_s = scenario->run.hours};
    place_points(filling_time(scenario, &machine), longest, m.after_s);
    for (size_t i = 0; i < POINTS; ++i)
      c->point[i].after_s = m.after_s[i];
    forget(c);
    status = judge(&m, scenario, v, &h);
    c->capacity_margin = h.machine.capacity_margin;
    c->stalled = status == FG_ESTALL;
    if (status == FG_OK)
      status = tell_nominal(&m, v, &h, c);
    else if (c->stalled)
      status = FG_OK;
  }
  if (status == FG_OK && samples > 0)
    status = run_members(&m, samples, seed, c);
  if (status == FG_OK)
    *cleanup = *c;
  fg_holding_free(&h);
  free(v);
  free(c);
  return status;
}

/* ---- the interval to name ---- */

static fg_status advise_together(many *m, unsigned long seed, fg_clean_interval *best) {
  fg_plan plan;
  double stalled = 0.0;
  fg_status status = fg_plan_new(m->scenario, FG_SAMPLES_DEFAULT, seed, &plan);
  if (status != FG_OK)
    return status;
  m->member = calloc(ADVISERS, sizeof *m->member);
  status = m->member ? fg_plan_fit(&plan, m->scenario) : FG_EMEMORY;
  if (status == FG_OK)
    status = fg_plan_run(&plan, m->scenario, ADVISERS, judge_member, m, &stalled);
  if (status == FG_OK)
    status = stalled >= 1.0 ? FG_ESTALL : find_together(m, NULL, ADVISERS, best);
  free(m->member);
  fg_plan_free(&plan);
  return status;
}

static fg_status advise_alone(const many *m, fg_clean_interval *best) {
  verdict *v = calloc(1, sizeof *v);
  fg_status status = v ? judge(m, m->scenario, v, NULL) : FG_EMEMORY;
  if (status == FG_OK)
    status = fg_interval_best(m->after_s, v->held_s, POINTS, m->scenario->run.cleaning_time, best);
  free(v);
  return status;
}

/* The present interval where it is as good as any; else to the minutes people go by. */
static double name_interval(const fg_scenario *s, const fg_clean_interval *best) {
  const double now = s->run.cleaning_interval;
  const double step = best->to_s - best->from_s < 2.0 * named_step_s ? 60.0 : named_step_s;
  return now >= best->from_s && now <= best->to_s ? now
                                                  : fmax(step, step * round(best->best_s / step));
}

fg_status fg_cleanup_advise(const fg_scenario *scenario, bool exact, fg_clean_interval *advised) {
  char message[400];
  many m = {.scenario = scenario};
  fg_machine machine;
  fg_clean_interval best;
  if (fg_cleanup_check(scenario, message, sizeof message) != FG_OK)
    return FG_EDOMAIN;
  fg_status status = fg_machine_solve(scenario, &machine);
  if (status != FG_OK)
    return status;
  place_points(filling_time(scenario, &machine), scenario->run.hours - scenario->run.cleaning_time,
               m.after_s);
  status = exact ? advise_alone(&m, &best) : advise_together(&m, FG_SEARCH_SEED, &best);
  if (status != FG_OK)
    return status;
  best.best_s = name_interval(scenario, &best);
  *advised = best;
  return FG_OK;
}

double fg_cleanup_relative(const fg_cleanup *c, double interval_s) {
  double after_s[POINTS], held_s[POINTS];
  fg_build_up b;
  if (c->stalled)
    return NAN;
  for (size_t i = 0; i < POINTS; ++i) {
    after_s[i] = c->point[i].after_s;
    held_s[i] = c->point[i].kept.nominal * after_s[i];
  }
  if (fg_build_up_new(after_s, held_s, POINTS, &b) != FG_OK)
    return NAN;
  const double rate = fg_build_up_at(&b, interval_s) / (interval_s + c->cleaning_s);
  fg_build_up_free(&b);
  return rate / c->best.rate;
}
