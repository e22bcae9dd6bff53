/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The finds against the members. */
#include "study/verdict.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>

#include "stats/band.h"
#include "study/cleanup.h"
#include "study/plan.h"
#include "study/verdict_internal.h"

/* Members lighter than this against the heaviest are not run again. */
static const double lightest = 2e-3;

typedef struct hearing {
  const fg_evidence *evidence;
  const fg_plan *plan;
  const fg_scenario *base;
  unsigned long seed;
  size_t count; /* of finds: members times grades */
  fg_finds *finds;
  double *before, *after; /* weights */
  double *column, *scratch;
} hearing;

static fg_status judge(const fg_scenario *member, size_t index, void *context) {
  const hearing *h = context;
  fg_finds *finds = &h->finds[index * FG_GRADES];
  double grades[FG_GRADES];
  fg_loss loss;
  const fg_status status = fg_loss_run(member, NULL, &loss);
  if (status == FG_ESTALL)
    fg_loss_free(&loss);
  if (status != FG_OK)
    return status;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  if (rng) {
    gsl_rng_set(rng, h->seed * 65537UL + index);
    fg_member_grades(h->plan, index, member->gold.grade, grades);
    fg_member_finds(member, &loss, grades, h->evidence, rng, finds);
    gsl_rng_free(rng);
  }
  fg_loss_free(&loss);
  return rng ? FG_OK : FG_EMEMORY;
}

/* Kish's number for members, whose grades are no draws of their own. */
static double effective_members(const hearing *h, size_t samples) {
  for (size_t i = 0; i < samples; ++i) {
    h->column[i] = 0.0;
    for (size_t g = 0; g < FG_GRADES; ++g)
      h->column[i] += h->after[i * FG_GRADES + g];
  }
  return fg_effective_size(h->column, samples);
}

/* Turns logs into weights, the largest 1; -INFINITY and NaN become 0.  False when all are. */
static bool weights_from_logs(double *weights, size_t count) {
  double most = -INFINITY;
  for (size_t i = 0; i < count; ++i)
    most = fmax(most, weights[i]); /* passes over NaN */
  if (!isfinite(most))
    return false;
  for (size_t i = 0; i < count; ++i)
    weights[i] = isnan(weights[i]) ? 0.0 : exp(weights[i] - most);
  return true;
}

static fg_status weigh(const hearing *h, fg_verdict *v) {
  for (size_t i = 0; i < h->count; ++i) {
    const fg_finds *f = &h->finds[i];
    v->running += f->running && i % FG_GRADES == 0;
    const double log_prior = log(h->plan->weight[i / FG_GRADES]);
    h->before[i] = f->running ? log_prior : (double)NAN;
    h->after[i] = f->running ? log_prior + f->log_likelihood : (double)NAN;
  }
  if (10 * v->running < v->samples)
    return FG_ESTALL;
  if (!weights_from_logs(h->before, h->count) || !weights_from_logs(h->after, h->count))
    return FG_ENOROOT;
  v->effective = effective_members(h, v->samples);
  return FG_OK;
}

static void run_again(const hearing *h, size_t samples) {
  const long members = (long)samples;
#pragma omp parallel for schedule(dynamic, 4)
  for (long i = 0; i < members; ++i) {
    const size_t at = (size_t)i * FG_GRADES;
    double most = 0.0;
    for (size_t g = 0; g < FG_GRADES; ++g)
      most = fmax(most, h->after[at + g]);
    if (most > lightest)
      fg_member_harm(h->plan, h->base, (size_t)i, h->evidence, &h->finds[at]);
  }
}

fg_cause fg_finds_shares(const fg_finds *f, double shares[FG_CAUSES]) {
  fg_cause most = FG_CAUSE_LUCK;
  double all = 0.0;
  for (int c = 0; c < FG_CAUSES; ++c) {
    shares[c] = fmax(0.0, f->harm[c]);
    all += shares[c];
    if (f->harm[c] > f->harm[most])
      most = (fg_cause)c;
  }
  for (int c = 0; c < FG_CAUSES; ++c)
    shares[c] = all > 0.0 ? shares[c] / all : c == FG_CAUSE_LUCK ? 1.0 : 0.0;
  return most;
}

static void order_causes(fg_verdict *v) {
  for (int c = 0; c < FG_CAUSES; ++c) {
    int place = c;
    for (; place > 0 && v->cause[v->order[place - 1]].weight < v->cause[c].weight; --place)
      v->order[place] = v->order[place - 1];
    v->order[place] = (fg_cause)c;
  }
}

static void count_causes(const hearing *h, fg_verdict *v) {
  double all = 0.0, harm[FG_CAUSES] = {0}, shares[FG_CAUSES];
  for (size_t i = 0; i < h->count; ++i) {
    const double weight = h->after[i];
    if (!(weight > lightest))
      continue;
    all += weight;
    v->cause[fg_finds_shares(&h->finds[i], shares)].main += weight;
    for (int c = 0; c < FG_CAUSES; ++c) {
      v->cause[c].weight += weight * shares[c];
      harm[c] += weight * h->finds[i].harm[c];
    }
  }
  for (int c = 0; c < FG_CAUSES; ++c) {
    v->cause[c].weight /= all;
    v->cause[c].main /= all;
    v->cause[c].factor = exp(harm[c] / all);
  }
  order_causes(v);
}

/* Quantiles of one number of the running members. */
static fg_band band(const hearing *h, const double *weights, size_t offset) {
  for (size_t i = 0; i < h->count; ++i)
    h->column[i] = h->finds[i].running
                       ? *(const double *)(const void *)((const char *)&h->finds[i] + offset)
                       : (double)NAN;
  return fg_weighted_band(h->column, weights, h->count, h->scratch);
}

static double mean_before(const hearing *h, size_t offset) {
  double all = 0.0, sum = 0.0;
  for (size_t i = 0; i < h->count; ++i) {
    if (!h->finds[i].running)
      continue;
    all += h->before[i];
    sum += h->before[i] * *(const double *)(const void *)((const char *)&h->finds[i] + offset);
  }
  return sum / all;
}

static fg_status hear(hearing *h, fg_verdict *v) {
  const size_t n = v->samples;
  fg_status status = fg_plan_run(h->plan, h->base, n, judge, h, &v->stall_share);
  if (status == FG_OK)
    status = weigh(h, v);
  if (status != FG_OK)
    return status;
  run_again(h, n);
  count_causes(h, v);
  v->chance = mean_before(h, offsetof(fg_finds, at_most));
  v->chance_tail =
      h->evidence->tail ? mean_before(h, offsetof(fg_finds, tail_at_most)) : (double)NAN;
  v->predicted = band(h, h->before, offsetof(fg_finds, drawn_kg));
  v->grade_before = band(h, h->before, offsetof(fg_finds, grade));
  v->grade = band(h, h->after, offsetof(fg_finds, grade));
  v->kept_before = band(h, h->before, offsetof(fg_finds, kept));
  v->kept = band(h, h->after, offsetof(fg_finds, kept));
  return FG_OK;
}

static bool can_be(const fg_evidence *e) {
  return e->loose_m3 > 0.0 && isfinite(e->loose_m3) && e->found_kg >= 0.0 &&
         isfinite(e->found_kg) && e->error_kg > 0.0;
}

static fg_status hold(hearing *h, fg_verdict *v) {
  h->count = v->samples * FG_GRADES;
  h->finds = calloc(h->count, sizeof *h->finds);
  h->before = calloc(h->count, sizeof *h->before);
  h->after = calloc(h->count, sizeof *h->after);
  h->column = calloc(h->count, sizeof *h->column);
  h->scratch = calloc(2 * h->count, sizeof *h->scratch);
  const fg_status status =
      h->finds && h->before && h->after && h->column && h->scratch ? hear(h, v) : FG_EMEMORY;
  free(h->finds);
  free(h->before);
  free(h->after);
  free(h->column);
  free(h->scratch);
  return status;
}

fg_status fg_verdict_run(const fg_scenario *s, const fg_evidence *evidence, size_t samples,
                         unsigned long seed, fg_verdict *verdict) {
  if (!can_be(evidence))
    return FG_EDOMAIN;
  fg_verdict v = {.samples = samples};
  fg_plan plan = {0};
  fg_scenario *base = malloc(sizeof *base);
  if (!base)
    return FG_EMEMORY;
  fg_verdict_base(s, base);
  fg_status status = fg_verdict_plan(base, samples, seed, &plan);
  if (status == FG_OK) {
    hearing h = {.evidence = evidence, .plan = &plan, .base = base, .seed = seed};
    status = fg_plan_weigh(&plan, base);
    if (status == FG_OK)
      status = hold(&h, &v);
    fg_clean_interval advised;
    v.clean_every_s = fg_cleanup_advise(s, false, &advised) == FG_OK ? advised.best_s : (double)NAN;
    v.expected_kg = fg_expected_catch(s, evidence->loose_m3, NULL);
    fg_plan_free(&plan);
  }
  free(base);
  if (status == FG_OK)
    *verdict = v;
  return status;
}

const char *fg_verdict_cleaning(const fg_verdict *v, char *buffer, size_t size) {
  (void)snprintf(buffer, size, "Clean every %.0f min of running.", v->clean_every_s / 60.0);
  return isnan(v->clean_every_s) ? "" : buffer;
}

const char *fg_verdict_next(const fg_verdict *v, bool tail_panned) {
  static const char *const checks[FG_CAUSES] = {
      [FG_CAUSE_GROUND] = "Pan two level buckets of the raw gravel whole, from the same face, and "
                          "count: that tells the ground without the deck.",
      [FG_CAUSE_DAMP] = "Weigh, dry and weigh again a pound of what passes the screen, from the "
                        "foot of the cut: that tells its moisture.",
      [FG_CAUSE_MUCH_AIR] = "Read the box pressure with a tube of water while it runs, then close "
                            "the throttle until the gravel just still moves, and re-pan the tail.",
      [FG_CAUSE_LITTLE_AIR] = "Read the box pressure with a tube of water while it runs, and time "
                              "a pebble over the deck: a slow, deep bed wants more air.",
      [FG_CAUSE_FLAKY] = "Look at twenty colours from the side under a lens: how thick are they "
                         "against their width?",
      [FG_CAUSE_FINE] = "Sieve the catch on 40, 60 and 100 mesh and weigh each part: how much of "
                        "the gold is finer than thought?",
      [FG_CAUSE_FULL] = "Look at the upper riffles just before the next cleaning: level with black "
                        "sand is full.",
      [FG_CAUSE_FEED] = "Time ten buckets onto the screen: how fast was it fed?",
      [FG_CAUSE_REST] = "Run a counted number of lead or tungsten grains, sieved to size, and see "
                        "where they stay: that tells what this deck keeps.",
      [FG_CAUSE_LUCK] = "Run as many buckets again from the same face: a few grains decided this "
                        "catch."};
  const fg_cause first = v->order[0], second = v->order[1];
  const bool first_outside = first == FG_CAUSE_GROUND || first == FG_CAUSE_LUCK;
  const bool second_outside = second == FG_CAUSE_GROUND || second == FG_CAUSE_LUCK;
  if (!tail_panned && (first_outside != second_outside || first == FG_CAUSE_REST))
    return "Pan two buckets of the tailings again, count the colours by mesh, and give them with "
           "--tailings: gold there speaks against the deck, none there against the ground.";
  return checks[first];
}
