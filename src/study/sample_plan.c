/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How many buckets, and the test that may end them early. */
#include <math.h>

#include <gsl/gsl_cdf.h>

#include "flourgold/grain.h"
#include "stats/gy.h"
#include "study/sampling_internal.h"

static const double most_buckets = 1e9;

double fg_sample_telling_grain(const fg_sample_basis *basis) {
  double mass = 0.0, square = 0.0;
  for (size_t k = 0; k < basis->count; ++k) {
    const fg_sample_class *c = &basis->classes[k];
    mass += c->share * c->recovery;
    square += c->share * c->recovery * c->telling_kg;
  }
  return mass > 0.0 ? square / mass : (double)NAN;
}

/* Size that 95 % of the gold is finer than. */
static double top_size(const fg_sample_basis *basis) {
  double coarsest = 0.0, finest = INFINITY;
  for (size_t k = 0; k < basis->count; ++k) {
    coarsest = fmax(coarsest, basis->classes[k].upper_m);
    finest = fmin(finest, basis->classes[k].lower_m);
  }
  const double all = fg_sample_gold_share(basis, finest, coarsest);
  double low = log(finest), high = log(coarsest);
  for (int step = 0; step < 60; ++step) {
    const double middle = 0.5 * (low + high);
    if (fg_sample_gold_share(basis, finest, exp(middle)) < 0.95 * all)
      low = middle;
    else
      high = middle;
  }
  return exp(high);
}

/* Gy's error of free gold: the shape factor is the volume of the scenario's disc over the cube
 * of its diameter. */
static double gy_deviation(const fg_scenario *s, const fg_sample_basis *basis, double kg) {
  const double top = top_size(basis);
  const double assay = s->gold.grade * basis->in_place_m3 / basis->bucket_kg;
  const fg_ore ore = {.shape_factor = 0.25 * M_PI * s->gold.thickness_ratio,
                      .size_factor = 0.25,
                      .liberation_m = top,
                      .top_size_m = top,
                      .assay = assay,
                      .mineral_grade = 1.0,
                      .mineral_kg_m3 = s->gold.density,
                      .gangue_kg_m3 = FG_QUARTZ_KG_M3};
  double deviation;
  return fg_gy_deviation(&ore, kg, &deviation) == FG_OK ? deviation : (double)NAN;
}

/* Whole buckets that hold as many; NaN when none would. */
static double buckets_for(double wanted, double per_bucket) {
  const double buckets = fmax(1.0, ceil(wanted / per_bucket - 1e-9));
  return buckets <= most_buckets ? buckets : (double)NAN;
}

fg_status fg_sample_plan_make(const fg_scenario *s, const fg_sample_basis *basis,
                              fg_sample_plan *plan) {
  const double z = gsl_cdf_ugaussian_Pinv(0.5 * (1.0 + s->sample.confidence));
  fg_sample_plan made = {
      .per_bucket = fg_sample_colours(basis, s->gold.grade, s->sample.visible_size, INFINITY),
      .all_per_bucket = fg_sample_colours(basis, s->gold.grade, 0.0, INFINITY),
      .to_count = NAN,
      .to_weigh = NAN,
      .buckets = NAN,
      .kg = NAN,
      .colours = NAN,
      .count_error = NAN,
      .mass_error = NAN,
      .gy_error = NAN};
  const double telling =
      s->gold.grade * basis->in_place_m3 * basis->found_share / fg_sample_telling_grain(basis);
  made.to_count = buckets_for(s->sample.grains, made.per_bucket);
  made.to_weigh = buckets_for(s->sample.grains, telling);
  made.buckets = isnan(made.to_count) || isnan(made.to_weigh) ? (double)NAN
                                                              : fmax(made.to_count, made.to_weigh);
  if (!isnan(made.buckets)) {
    made.kg = made.buckets * basis->bucket_kg;
    made.colours = made.buckets * made.per_bucket;
    made.count_error = z / sqrt(made.colours);
    made.mass_error = z / sqrt(made.buckets * telling);
    made.gy_error = z * gy_deviation(s, basis, made.kg);
  }
  *plan = made;
  return FG_OK;
}
