/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From counted colours to a grade, station by station. */
#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_cdf.h>

#include "stats/band.h"
#include "study/leave_or_stay.h"
#include "study/sampling_internal.h"

/* Everything the stations share. */
typedef struct court {
  const fg_scenario *scenario;
  const fg_sample_basis *basis;
  const fg_sample_doubt *doubt;
  const fg_counts *counts;
  double colours_per_grade; /* in one standard bucket */
  double *count, *exposure; /* the buckets of one station */
  fg_sequential test;
  bool tested; /* by the owner's own rates */
} court;

static double confidence_of(const court *c) { return c->scenario->sample.confidence; }

/* ---- what is counted ---- */

/* Colours of a bucket that the decide-as-you-go test speaks of. */
static double visible_colours(const court *c, const fg_bucket *bucket) {
  const fg_counts *counts = c->counts;
  if (counts->column_count == 0)
    return bucket->colours;
  double sum = 0.0;
  for (size_t i = 0; i < counts->column_count; ++i)
    if (counts->columns[i].lower_m >= 0.99 * c->scenario->sample.visible_size)
      sum += bucket->by_column[i];
  return sum;
}

/* By the owner's rates colours of a visible size alone are counted; by the model's, all that were,
 * with its doubt about them. */
static fg_decision decide(const court *c, double visible, double all, double exposure) {
  if (c->tested)
    return visible <= fg_sequential_leave_at(&c->test, exposure)  ? FG_LEAVE
           : visible >= fg_sequential_stay_at(&c->test, exposure) ? FG_STAY
                                                                  : FG_GO_ON;
  const double stay = c->scenario->sample.threshold * c->colours_per_grade * exposure;
  return fg_decide(fg_stay_ratio(all, stay, c->doubt->factor, c->doubt->count),
                   c->scenario->sample.alpha, c->scenario->sample.beta);
}

static void run_test(const court *c, size_t station, fg_station *out) {
  double visible = 0.0, all = 0.0, exposure = 0.0;
  size_t taken = 0;
  for (size_t i = 0; i < c->counts->bucket_count; ++i) {
    const fg_bucket *b = &c->counts->buckets[i];
    if (b->station != station || out->decision != FG_GO_ON)
      continue;
    visible += visible_colours(c, b);
    all += b->colours;
    exposure += b->loose_m3 / c->scenario->sample.bucket;
    ++taken;
    out->decision = decide(c, visible, all, exposure);
    out->decided_after = out->decision == FG_GO_ON ? 0 : taken;
  }
}

static void gather(court *c, size_t station, fg_station *out) {
  for (size_t i = 0; i < c->counts->bucket_count; ++i) {
    const fg_bucket *b = &c->counts->buckets[i];
    if (b->station != station)
      continue;
    c->count[out->buckets] = b->colours;
    c->exposure[out->buckets++] = b->loose_m3 / c->scenario->sample.bucket;
  }
}

/* ---- grades ---- */

/* The model's doubt, as factors low and high, added to that of counting as independent errors of
 * the logarithm. */
static fg_band add_doubt(const fg_band *band, double low, double high) {
  fg_band wide = *band;
  const double down = log(fmin(1.0, low)), up = log(fmax(1.0, high));
  if (band->low > 0.0)
    wide.low = band->mid * exp(-hypot(log(band->mid / band->low), down));
  wide.high = band->mid > 0.0 ? band->mid * exp(hypot(log(band->high / band->mid), up))
                              : band->high * exp(up);
  return wide;
}

/* A deck that keeps little shows few colours: grade and kept share are drawn together, and much of
 * their doubt falls out. */
static void earn(const court *c, fg_station *out) {
  const double per_grade = c->basis->ground_m3_s * c->basis->gold_share_running;
  const fg_band kept = {out->grade.low * per_grade, out->grade.mid * per_grade,
                        out->grade.high * per_grade};
  out->kept = add_doubt(&kept, c->doubt->kept_low, c->doubt->kept_high);
}

static fg_status grade_by_count(court *c, fg_station *out) {
  fg_status status = fg_count_scatter(c->count, c->exposure, out->buckets, &out->scatter);
  if (status == FG_OK)
    status = fg_scatter_limits(&out->scatter, c->exposure, confidence_of(c), &out->rate);
  if (status != FG_OK)
    return status;
  out->exposure = out->scatter.exposure;
  out->grade =
      (fg_band){out->rate.lower / c->colours_per_grade, out->scatter.mean / c->colours_per_grade,
                out->rate.upper / c->colours_per_grade};
  out->doubted = add_doubt(&out->grade, c->doubt->low, c->doubt->high);
  earn(c, out);
  return FG_OK;
}

/* The weight of the gold found scatters as a count of grains of its telling mass. */
static fg_status grade_by_weight(court *c, size_t station, double factor, fg_station *out) {
  double gold = 0.0, exposure = 0.0;
  fg_interval limits;
  for (size_t i = 0; i < c->counts->bucket_count; ++i) {
    const fg_bucket *b = &c->counts->buckets[i];
    if (b->station != station || isnan(b->gold_kg))
      continue;
    gold += b->gold_kg;
    exposure += b->loose_m3 / c->scenario->sample.bucket;
  }
  const double grain = factor * fg_sample_telling_grain(c->basis);
  const double ground = exposure * c->basis->in_place_m3 * c->basis->found_share;
  if (!(ground > 0.0) || !(grain > 0.0))
    return FG_OK;
  const fg_status status = fg_poisson_limits(gold / grain, confidence_of(c), &limits);
  if (status == FG_OK)
    out->weighed =
        (fg_band){grain * limits.lower / ground, gold / ground, grain * limits.upper / ground};
  return status;
}

static double column_sum(const court *c, size_t station, size_t column) {
  double sum = 0.0;
  for (size_t i = 0; i < c->counts->bucket_count; ++i)
    if (c->counts->buckets[i].station == station)
      sum += c->counts->buckets[i].by_column[column];
  return sum;
}

/* Each colour stands for the gold of its size in the ground; gold of sizes that cannot be counted
 * stands in the proportion of the scenario's sizes.  A size of which nobody saw a grain may be
 * there all the same: the heaviest weight is taken of all sizes, as Fay & Feuer do. */
static fg_status grade_by_mesh(court *c, size_t station, double factor, fg_station *out) {
  double counts[FG_COUNT_COLUMNS_MAX], weights[FG_COUNT_COLUMNS_MAX], covered = 0.0, sum = 0.0;
  size_t sizes = 0;
  fg_interval limits;
  for (size_t i = 0; i < c->counts->column_count; ++i) {
    const fg_count_column *column = &c->counts->columns[i];
    const double share = fg_sample_gold_share(c->basis, column->lower_m, column->upper_m);
    const double colours = fg_sample_colours(c->basis, 1.0, column->lower_m, column->upper_m);
    const double found = column_sum(c, station, i);
    if (!(colours > 0.0) && found > 0.0)
      return FG_OK; /* a size the scenario says is not there */
    if (!(colours > 0.0))
      continue;
    covered += share;
    counts[sizes] = found / factor;
    weights[sizes++] = factor * share / colours;
    sum += found * share / colours;
  }
  if (sizes == 0)
    return FG_OK;
  const fg_status status = fg_weighted_limits(counts, weights, sizes, confidence_of(c), &limits);
  const double ground = out->exposure * covered;
  if (status == FG_OK)
    out->by_size = (fg_band){limits.lower / ground, sum / ground, limits.upper / ground};
  return status;
}

/* Chi-square of the colours by mesh against the scenario's sizes; neighbours are pooled until
 * each group expects five (Cochran's rule). */
static void test_sizes(const court *c, size_t station, fg_station *out) {
  const double colours = out->scatter.count;
  double chi2 = 0.0, expected = 0.0, found = 0.0, left = colours;
  int groups = 0;
  for (size_t i = 0; i < c->counts->column_count; ++i) {
    const fg_count_column *column = &c->counts->columns[i];
    expected += colours / c->colours_per_grade *
                fg_sample_colours(c->basis, 1.0, column->lower_m, column->upper_m);
    found += column_sum(c, station, i);
    const bool last = i + 1 == c->counts->column_count;
    if (!last && (expected < 5.0 || left - expected < 5.0))
      continue;
    if (expected > 0.0) {
      chi2 += (found - expected) * (found - expected) / expected;
      ++groups;
    }
    left -= expected;
    expected = found = 0.0;
  }
  if (groups > 1)
    out->sizes_chance = gsl_cdf_chisq_Q(chi2, (double)(groups - 1));
}

/* ---- chances ---- */

/* Counts that scatter tell less: they are thinned by their variance factor. */
static fg_status believe(const court *c, double factor, fg_station *out) {
  const double buckets = c->scenario->sample.prior_buckets;
  const double hoped = c->scenario->gold.grade * c->colours_per_grade;
  const fg_gamma prior = {0.5 + buckets * hoped, buckets};
  const fg_status status = fg_gamma_update(&prior, out->scatter.mean * out->exposure / factor,
                                           out->exposure / factor, &out->posterior);
  if (status != FG_OK)
    return status;
  const double needed = c->scenario->sample.threshold * c->colours_per_grade;
  out->chance_by_count = fg_gamma_above(&out->posterior, needed);
  double sum = 0.0;
  for (size_t i = 0; i < c->doubt->count; ++i)
    sum += fg_gamma_above(&out->posterior, needed / c->doubt->factor[i]);
  out->chance_pays = c->doubt->count > 0 ? sum / (double)c->doubt->count : (double)NAN;
  return FG_OK;
}

static fg_status judge_station(court *c, size_t station, fg_station *out) {
  *out = (fg_station){.name = c->counts->names[station],
                      .weighed = fg_band_unknown,
                      .by_size = fg_band_unknown,
                      .sizes_chance = NAN};
  gather(c, station, out);
  fg_status status = grade_by_count(c, out);
  if (status != FG_OK)
    return status;
  const double factor = fg_scatter_factor(&out->scatter, c->exposure);
  status = grade_by_weight(c, station, factor, out);
  if (status == FG_OK)
    status = grade_by_mesh(c, station, factor, out);
  if (status == FG_OK)
    status = believe(c, factor, out);
  test_sizes(c, station, out);
  run_test(c, station, out);
  return status;
}

fg_status fg_sample_judge(const fg_scenario *scenario, const fg_sample_basis *basis,
                          const fg_sample_doubt *doubt, const fg_counts *counts,
                          fg_sample_result *result) {
  court c = {.scenario = scenario, .basis = basis, .doubt = doubt, .counts = counts};
  const size_t stations = counts->station_count;
  c.colours_per_grade = fg_sample_counted(scenario, basis, counts, 1.0);
  if (!(c.colours_per_grade > 0.0) || stations == 0)
    return FG_EDOMAIN;
  c.tested = fg_sequential_rates(scenario->sample.leave_rate, scenario->sample.stay_rate,
                                 scenario->sample.alpha, scenario->sample.beta, &c.test) == FG_OK;
  fg_sample_result found = {.count = stations,
                            .stations = calloc(stations, sizeof *found.stations),
                            .beats = calloc(stations * stations, sizeof *found.beats)};
  c.count = malloc(counts->bucket_count * sizeof *c.count);
  c.exposure = malloc(counts->bucket_count * sizeof *c.exposure);
  fg_status status = found.stations && found.beats && c.count && c.exposure ? FG_OK : FG_EMEMORY;
  for (size_t i = 0; i < stations && status == FG_OK; ++i)
    status = judge_station(&c, i, &found.stations[i]);
  if (status == FG_OK)
    status = fg_sample_compare(&found);
  free(c.count);
  free(c.exposure);
  if (status == FG_OK)
    *result = found;
  else
    fg_sample_result_free(&found);
  return status;
}

void fg_sample_result_free(fg_sample_result *result) {
  free(result->stations);
  free(result->beats);
  *result = (fg_sample_result){0};
}
