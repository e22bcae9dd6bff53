/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one member says of the finds. */
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>
#include <stdlib.h>

#include "study/sampling_internal.h"
#include "study/verdict_internal.h"

/* Colours of one size in the tailings scatter more than by chance: patches, the pan's own loss,
 * the model's error from size to size.  Negative binomial, 1/k the square of that extra
 * scatter: a half.  Assumed. */
static const double tail_k = 4.0;
/* The pan's part of the error when tailings are weighed. */
static const double tail_mass_error = 0.5;
/* What the deck keeps, or lets over the tail, as something to count grains of. */
static fg_status basis_of(const fg_scenario *s, const fg_loss *loss, bool tail,
                          fg_sample_basis *basis) {
  fg_sample_basis b = {.count = loss->gold_count, .flakes = fg_sample_flakes(s)};
  b.classes = calloc(loss->gold_count + 1, sizeof *b.classes);
  if (!b.classes)
    return FG_EMEMORY;
  for (size_t k = 0; k < b.count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    const double over = g->stuck + g->carried + g->shaken_out + g->full;
    b.classes[k] = fg_sample_class_of(&b.flakes, g->lower_m, g->upper_m, g->share,
                                      g->passing * (tail ? over : g->kept));
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
  fg_catch_kind kinds[FG_CATCH_KINDS_MAX];
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
  fg_catch_kind kinds[FG_CATCH_KINDS_MAX];
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

void fg_member_finds(const fg_scenario *member, const fg_loss *loss, const double grades[FG_GRADES],
                     const fg_evidence *evidence, gsl_rng *rng, fg_finds *finds) {
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
