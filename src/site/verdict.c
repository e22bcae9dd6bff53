/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The finds against the members. */
#include "flourgold/verdict.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>
#include <stddef.h>
#include <stdlib.h>

#include "flourgold/grain.h"
#include "site/verdict_internal.h"

/* Colours of one size in the tailings scatter more than by chance: patches, the pan's own loss,
 * the model's error from size to size.  Negative binomial, 1/k the square of that extra
 * scatter: a half.  Assumed. */
static const double tail_k = 4.0;
/* The pan's part of the error when tailings are weighed. */
static const double tail_mass_error = 0.5;
/* Members lighter than this against the heaviest are not run again. */
static const double lightest = 2e-3;

/* ---- one member ---- */

/* What the deck keeps, or lets over the tail, as something to count grains of. */
static fg_status basis_of(const fg_scenario *s, const fg_loss *loss, bool tail,
                          fg_sample_basis *basis) {
  fg_sample_basis b = {.count = loss->gold_count};
  b.classes = calloc(loss->gold_count + 1, sizeof *b.classes);
  if (!b.classes)
    return FG_EMEMORY;
  for (size_t k = 0; k < b.count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    const double over = g->stuck + g->carried + g->shaken_out + g->full;
    const double share = isnan(g->share) ? 0.0 : g->share;
    const double grain = fg_disc_mass(g->size_m, s->gold.thickness_ratio, s->gold.density);
    const double recovery = g->passing * (tail ? over : g->kept);
    b.classes[k] = (fg_sample_class){.lower_m = g->lower_m,
                                     .upper_m = g->upper_m,
                                     .size_m = g->size_m,
                                     .share = share,
                                     .grain_kg = grain,
                                     .recovery = recovery,
                                     .per_gold = share * recovery / grain};
  }
  *basis = b;
  return FG_OK;
}

double fg_expected_catch(const fg_scenario *s, double loose_m3, double *air_ratio) {
  fg_loss loss;
  const fg_status status = fg_loss_run(s, NULL, &loss);
  double kg = NAN;
  if (status == FG_OK) {
    kg = loss.kept_kg_s / loss.feed_m3_s * loose_m3;
    if (air_ratio)
      *air_ratio = loss.machine.at.open_velocity_m_s / loss.machine.fluidising_m_s;
  } else if (status == FG_ESTALL && air_ratio) {
    *air_ratio = loss.machine.at.open_velocity_m_s / loss.machine.fluidising_m_s;
  }
  if (status == FG_OK || status == FG_ESTALL)
    fg_loss_free(&loss);
  return kg;
}

/* A Poisson number; beyond what whole numbers hold well, the normal one like it. */
static double draw_count(gsl_rng *rng, double mean) {
  static const double many = 1e6;
  return mean < many ? gsl_ran_poisson(rng, mean) : mean + gsl_ran_gaussian(rng, sqrt(mean));
}

static void judge_catch(const fg_scenario *s, const fg_sample_basis *kept,
                        const fg_evidence *evidence, gsl_rng *rng, fg_finds *finds) {
  fg_grain_kind kinds[FG_GRAIN_KINDS_MAX];
  const size_t count =
      fg_catch_grains(kept, finds->grade, evidence->loose_m3 / s->ground.swell, kinds);
  double density = 0.0, variance;
  fg_catch_moments(kinds, count, &finds->expected_kg, &variance);
  if (fg_catch_chance(kinds, count, evidence->error_kg, evidence->found_kg, &finds->at_most,
                      &density) != FG_OK)
    return;
  finds->log_likelihood = log(density * evidence->error_kg);
  finds->drawn_kg = gsl_ran_gaussian(rng, evidence->error_kg);
  for (size_t k = 0; k < count; ++k)
    finds->drawn_kg += kinds[k].mass_kg * draw_count(rng, kinds[k].expected);
  finds->drawn_kg = fmax(0.0, finds->drawn_kg);
  finds->running = true;
}

/* ln of the chance of a negative binomial count of that mean. */
static double log_count_chance(double count, double mean) {
  if (!(mean > 0.0))
    return count > 0.0 ? -(double)INFINITY : 0.0;
  return gsl_sf_lngamma(count + tail_k) - gsl_sf_lngamma(tail_k) - gsl_sf_lnfact((unsigned)count) +
         tail_k * log(tail_k / (tail_k + mean)) + count * log(mean / (tail_k + mean));
}

/* Sums over the rows of the form. */
typedef struct tail_sums {
  double loose_m3, colours, weighed_m3, gold_kg;
  double by_column[FG_COUNT_COLUMNS_MAX];
} tail_sums;

static tail_sums add_up(const fg_counts *tail) {
  tail_sums sums = {0};
  for (size_t i = 0; i < tail->bucket_count; ++i) {
    const fg_bucket *b = &tail->buckets[i];
    sums.loose_m3 += b->loose_m3;
    sums.colours += b->colours;
    for (size_t c = 0; c < tail->column_count; ++c)
      sums.by_column[c] += b->by_column[c];
    if (isnan(b->gold_kg))
      continue;
    sums.weighed_m3 += b->loose_m3;
    sums.gold_kg += b->gold_kg;
  }
  return sums;
}

/* The tailings' mass: few grains, the pan's own error and the scale's. */
static double log_tail_mass(const fg_sample_basis *over, double grade, double in_place_m3,
                            double found_kg, double scale_kg) {
  fg_grain_kind kinds[FG_GRAIN_KINDS_MAX];
  const size_t count = fg_catch_grains(over, grade, in_place_m3, kinds);
  double mean, variance, density = 0.0;
  fg_catch_moments(kinds, count, &mean, &variance);
  const double error = hypot(scale_kg, tail_mass_error * mean);
  if (fg_catch_chance(kinds, count, error, found_kg, NULL, &density) != FG_OK)
    return -(double)INFINITY;
  return log(density * scale_kg);
}

static void judge_tail(const fg_scenario *s, const fg_loss *loss, const fg_evidence *evidence,
                       fg_sample_basis *over, fg_finds *finds) {
  const fg_counts *tail = evidence->tail;
  const tail_sums sums = add_up(tail);
  /* A bucket of tailings stands for more than a bucket of ground: the screen's oversize and the
   * dust are not in it. */
  const double per_tail = loss->feed_kg_s / loss->deck_feed_kg_s / s->ground.swell;
  double expected = 0.0;
  over->in_place_m3 = sums.loose_m3 * per_tail;
  for (size_t c = 0; c < tail->column_count; ++c) {
    const double mean =
        fg_sample_colours(over, finds->grade, tail->columns[c].lower_m, tail->columns[c].upper_m);
    finds->log_likelihood += log_count_chance(sums.by_column[c], mean);
    expected += mean;
  }
  if (tail->column_count == 0) {
    expected = fg_sample_colours(over, finds->grade, s->sample.visible_size, INFINITY);
    finds->log_likelihood += log_count_chance(sums.colours, expected);
  }
  finds->tail_at_most =
      gsl_cdf_negative_binomial_P((unsigned)sums.colours, tail_k / (tail_k + expected), tail_k);
  if (sums.weighed_m3 > 0.0)
    finds->log_likelihood += log_tail_mass(over, finds->grade, sums.weighed_m3 * per_tail,
                                           sums.gold_kg, evidence->error_kg);
}

static void judge_grades(const fg_scenario *member, const fg_loss *loss,
                         const double grades[FG_GRADES], const fg_evidence *evidence, gsl_rng *rng,
                         fg_finds *finds) {
  fg_sample_basis kept, over = {0};
  if (basis_of(member, loss, false, &kept) != FG_OK)
    return;
  if (!evidence->tail || basis_of(member, loss, true, &over) == FG_OK)
    for (int g = 0; g < FG_GRADES; ++g) {
      fg_finds *f = &finds[g];
      f->grade = grades[g];
      f->kept = loss->kept * (1.0 - loss->screened_off);
      judge_catch(member, &kept, evidence, rng, f);
      if (f->running && evidence->tail)
        judge_tail(member, loss, evidence, &over, f);
    }
  fg_sample_basis_free(&kept);
  fg_sample_basis_free(&over);
}

/* ---- all members ---- */

typedef struct hearing {
  const fg_evidence *evidence;
  const fg_plan *plan;
  const fg_scenario *base;
  unsigned long seed;
  size_t count; /* of finds: members times grades */
  fg_finds *finds;
  double *prior;          /* of members, by what was observed on the machine */
  double *before, *after; /* weights */
  double *column, *scratch;
} hearing;

static void judge(const fg_scenario *member, size_t index, void *context) {
  const hearing *h = context;
  fg_finds *finds = &h->finds[index * FG_GRADES];
  double grades[FG_GRADES];
  fg_loss loss;
  const fg_status status = fg_loss_run(member, NULL, &loss);
  if (status == FG_ESTALL)
    fg_loss_free(&loss);
  if (status != FG_OK)
    return;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  if (rng) {
    gsl_rng_set(rng, h->seed * 65537UL + index);
    fg_member_grades(h->plan, index, member->gold.grade, grades);
    judge_grades(member, &loss, grades, h->evidence, rng, finds);
    gsl_rng_free(rng);
  }
  fg_loss_free(&loss);
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
    const double log_prior = log(h->prior[i / FG_GRADES]);
    h->before[i] = f->running ? log_prior : (double)NAN;
    h->after[i] = f->running ? log_prior + f->log_likelihood : (double)NAN;
  }
  v->stall_share = 1.0 - (double)v->running / (double)v->samples;
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
static fg_day_band band(const hearing *h, const double *weights, size_t offset) {
  for (size_t i = 0; i < h->count; ++i)
    h->column[i] = h->finds[i].running
                       ? *(const double *)(const void *)((const char *)&h->finds[i] + offset)
                       : (double)NAN;
  return (fg_day_band){fg_weighted_quantile(h->column, weights, h->count, 0.1, h->scratch),
                       fg_weighted_quantile(h->column, weights, h->count, 0.5, h->scratch),
                       fg_weighted_quantile(h->column, weights, h->count, 0.9, h->scratch)};
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
  double effective;
  bool weighed;
  const size_t n = v->samples;
  fg_status status = fg_plan_run(h->plan, h->base, n, judge, h);
  if (status == FG_OK)
    status = fg_plan_weigh(h->plan, h->base, h->prior, &effective, &weighed);
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
  h->prior = calloc(v->samples, sizeof *h->prior);
  h->before = calloc(h->count, sizeof *h->before);
  h->after = calloc(h->count, sizeof *h->after);
  h->column = calloc(h->count, sizeof *h->column);
  h->scratch = calloc(2 * h->count, sizeof *h->scratch);
  const fg_status status = h->finds && h->prior && h->before && h->after && h->column && h->scratch
                               ? hear(h, v)
                               : FG_EMEMORY;
  free(h->finds);
  free(h->prior);
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
    status = hold(&h, &v);
    v.expected_kg = fg_expected_catch(s, evidence->loose_m3, NULL);
    fg_plan_free(&plan);
  }
  free(base);
  if (status == FG_OK)
    *verdict = v;
  return status;
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
                        "sand is full. Then clean twice as often.",
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
