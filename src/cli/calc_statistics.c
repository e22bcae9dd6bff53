/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counts, tests and sample sizes. */
#include <math.h>

#include <gsl/gsl_cdf.h>

#include "cli/calc_formulas.h"
#include "flourgold/grain.h"
#include "stats/counts.h"
#include "stats/gy.h"
#include "stats/sequential.h"

#define MOST_COUNT 1e12
#define MOST_TRIALS 1e6

/* clang-format off */
#define CONFIDENCE                                                                                 \
  {"confidence", FG_Q_SHARE, .need = FG_CALC_STANDARD, .standard = 0.95, .lowest = 0.0,            \
   .highest = 1.0, .meaning = "chance that the limits hold, inside 0 to 1"}
#define COUNT(name_, need_, meaning_)                                                              \
  {(name_), FG_Q_INTEGER, .need = (need_), .lowest = 0.0, .highest = MOST_COUNT, .meaning = (meaning_)}
#define RISK(name_, meaning_)                                                                      \
  {(name_), FG_Q_SHARE, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 0.5, .meaning = (meaning_)}
/* clang-format on */

/* A share that must lie inside its ends, not on them. */
static fg_status read_inside(fg_calc_work *work, const char *name, double highest, double *value) {
  *value = fg_calc_value(work, name);
  if (*value > 0.0 && *value < highest)
    return FG_OK;
  return fg_calc_refuse(work, "%s: must be above 0 and below %g", name, highest);
}

static fg_status give_limits(fg_calc_work *work, fg_status status, const fg_interval *limits) {
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "lower", limits->lower);
  fg_calc_result(work, "upper", limits->upper);
  return FG_OK;
}

static fg_status work_poisson(fg_calc_work *work) {
  fg_interval limits;
  double confidence;
  fg_status status = read_inside(work, "confidence", 1.0, &confidence);
  if (status == FG_OK)
    status = fg_poisson_limits(fg_calc_value(work, "count"), confidence, &limits);
  return give_limits(work, status, &limits);
}

const fg_calc fg_calc_of_poisson = {
    .name = "poisson",
    .title = "exact limits of a mean from one count",
    .inputs = {COUNT("count", FG_CALC_NEEDED, "grains counted"), CONFIDENCE},
    .outputs = {{"lower", "Lower limit", FG_Q_NUMBER}, {"upper", "Upper limit", FG_Q_NUMBER}},
    .source = "Garwood, Biometrika 28:437, 1936",
    .example = "count=5 confidence=95%",
    .work = work_poisson,
};

static fg_status work_binomial(fg_calc_work *work) {
  fg_interval limits;
  const double found = fg_calc_value(work, "found"), of = fg_calc_value(work, "of");
  if (found > of)
    return fg_calc_refuse(work, "found: %.10g of %.10g cannot be; it must be at most of", found,
                          of);
  double confidence;
  fg_status status = read_inside(work, "confidence", 1.0, &confidence);
  if (status == FG_OK)
    status = fg_binomial_limits(found, of, confidence, &limits);
  return give_limits(work, status, &limits);
}

const fg_calc fg_calc_of_binomial = {
    .name = "binomial",
    .title = "exact limits of a share",
    .inputs = {COUNT("found", FG_CALC_NEEDED, "how many of them were found"),
               {"of", FG_Q_INTEGER, .need = FG_CALC_NEEDED, .lowest = 1.0, .highest = MOST_TRIALS,
                .meaning = "how many there were"},
               CONFIDENCE},
    .outputs = {{"lower", "Lower limit", FG_Q_SHARE}, {"upper", "Upper limit", FG_Q_SHARE}},
    .source = "Clopper & Pearson, Biometrika 26:404, 1934",
    .example = "found=18 of=20 confidence=95%",
    .work = work_binomial,
};

/* Which pair was given: one whole pair, and nothing of the other. */
static fg_status choose_pair(fg_calc_work *work, bool *shares) {
  const bool leave[2] = {fg_calc_given(work, "leave_share"), fg_calc_given(work, "leave_rate")};
  const bool stay[2] = {fg_calc_given(work, "stay_share"), fg_calc_given(work, "stay_rate")};
  *shares = leave[0];
  if ((leave[0] && stay[0] && !leave[1] && !stay[1]) ||
      (leave[1] && stay[1] && !leave[0] && !stay[0]))
    return FG_OK;
  return fg_calc_refuse(work, "give leave_share and stay_share (each trial finds or not), or "
                              "leave_rate and stay_rate (a count for each trial)");
}

static fg_status work_sequential(fg_calc_work *work) {
  fg_sequential test;
  bool shares;
  fg_status status = choose_pair(work, &shares);
  if (status != FG_OK)
    return status;
  const double leave = fg_calc_value(work, shares ? "leave_share" : "leave_rate");
  const double stay = fg_calc_value(work, shares ? "stay_share" : "stay_rate");
  double alpha, beta;
  status = read_inside(work, "alpha", 0.5, &alpha);
  if (read_inside(work, "beta", 0.5, &beta) != FG_OK || status != FG_OK)
    return FG_ESCENARIO;
  if (leave >= stay)
    return fg_calc_refuse(work, "%s: %.6g must be smaller than %s, %.6g; are they swapped?",
                          shares ? "leave_share" : "leave_rate", leave,
                          shares ? "stay_share" : "stay_rate", stay);
  status = (shares ? fg_sequential_shares : fg_sequential_rates)(leave, stay, alpha, beta, &test);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "leave_intercept", test.leave_intercept);
  fg_calc_result(work, "stay_intercept", test.stay_intercept);
  fg_calc_result(work, "slope", test.slope);
  return FG_OK;
}

const fg_calc fg_calc_of_sequential = {
    .name = "sequential",
    .title = "when to leave and when to stay, counting as you go",
    .inputs = {{"leave_share", FG_Q_SHARE, .lowest = 1e-12, .highest = 0.999999, .instead = "leave",
                .otherwise = "leave_rate",
                .meaning = "share of trials with a find where one should leave"},
               {"stay_share", FG_Q_SHARE, .lowest = 1e-12, .highest = 0.999999, .instead = "stay",
                .otherwise = "stay_rate",
                .meaning = "share of trials with a find where one should stay"},
               {"leave_rate", FG_Q_NUMBER, .lowest = 1e-12, .highest = 1e9, .instead = "leave",
                .otherwise = "leave_share",
                .meaning = "finds for each trial where one should leave"},
               {"stay_rate", FG_Q_NUMBER, .lowest = 1e-12, .highest = 1e9, .instead = "stay",
                .otherwise = "stay_share", .meaning = "finds for each trial where one should stay"},
               RISK("alpha", "accepted chance to stay where one should leave"),
               RISK("beta", "accepted chance to leave where one should stay")},
    .outputs = {{"leave_intercept", "Leave at this + slope n, or less", FG_Q_NUMBER},
                {"stay_intercept", "Stay at this + slope n, or more", FG_Q_NUMBER},
                {"slope", "Slope", FG_Q_NUMBER}},
    .source = "Wald, Sequential Analysis, 1947; NIST/SEMATECH e-Handbook of Statistical Methods, "
              "6.2.6",
    .example = "leave_rate=2 stay_rate=5 alpha=10% beta=10%",
    .work = work_sequential,
};

static fg_status work_posterior(fg_calc_work *work) {
  const fg_gamma prior = {fg_calc_value(work, "shape"), fg_calc_value(work, "rate")};
  fg_gamma posterior;
  const fg_status status = fg_gamma_update(&prior, fg_calc_value(work, "count"),
                                           fg_calc_value(work, "exposure"), &posterior);
  if (status == FG_EDOMAIN)
    return fg_calc_refuse(work, "shape + count and rate + exposure must both be above 0");
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "mean", fg_gamma_mean(&posterior));
  fg_calc_result(work, "chance_above",
                 fg_gamma_above(&posterior, fg_calc_value(work, "threshold")));
  return FG_OK;
}

const fg_calc fg_calc_of_posterior = {
    .name = "posterior",
    .title = "a rate after a count, with a gamma prior",
    .inputs = {{"shape", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 1e9,
                .meaning = "of the gamma prior; 0.5 with rate 0 is Jeffreys'"},
               {"rate", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 1e9,
                .meaning = "of the gamma prior: the exposure it counts for"},
               COUNT("count", FG_CALC_NEEDED, "grains counted"),
               {"exposure", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 1e9,
                .meaning = "in what they were counted, e.g. buckets"},
               {"threshold", FG_Q_NUMBER, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 1e12,
                .meaning = "rate to beat"}},
    .outputs = {{"mean", "Mean of the rate", FG_Q_NUMBER},
                {"chance_above", "Chance that it beats the threshold", FG_Q_SHARE}},
    .source = "Gelman et al., Bayesian Data Analysis, chapter 2",
    .example = "shape=3 rate=5 count=3 exposure=2 threshold=1",
    .work = work_posterior,
};

static fg_status work_gy(fg_calc_work *work) {
  const fg_ore ore = {.shape_factor = fg_calc_value(work, "shape_factor"),
                      .size_factor = fg_calc_value(work, "size_factor"),
                      .liberation_m = fg_calc_value(work, "liberation"),
                      .top_size_m = fg_calc_value(work, "top_size"),
                      .assay = fg_calc_value(work, "assay"),
                      .mineral_grade = fg_calc_value(work, "mineral_grade"),
                      .mineral_kg_m3 = fg_calc_value(work, "mineral_density"),
                      .gangue_kg_m3 = fg_calc_value(work, "gangue_density")};
  if (!(ore.assay < ore.mineral_grade))
    return fg_calc_refuse(work, "assay: %.6g must be smaller than mineral_grade, %.6g", ore.assay,
                          ore.mineral_grade);
  double kg, confidence;
  fg_status status = read_inside(work, "confidence", 1.0, &confidence);
  if (status != FG_OK)
    return status;
  const double z = gsl_cdf_ugaussian_Pinv(0.5 * (1.0 + confidence));
  status = fg_gy_sample(&ore, fg_calc_value(work, "relative_error") / z, &kg);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "sample_g",
                 kg * fg_calc_value(work, "stages") * fg_calc_value(work, "safety"));
  return FG_OK;
}

#define POSITIVE(name_, quantity_, low_, high_, meaning_)                                          \
  {                                                                                                \
    (name_), (quantity_), .need = FG_CALC_NEEDED, .lowest = (low_), .highest = (high_),            \
                          .meaning = (meaning_)                                                    \
  }
#define USUAL(name_, quantity_, standard_, low_, high_, meaning_)                                  \
  {                                                                                                \
    (name_), (quantity_), .need = FG_CALC_STANDARD, .standard = (standard_), .lowest = (low_),     \
                          .highest = (high_), .meaning = (meaning_)                                \
  }

const fg_calc fg_calc_of_gy = {
    .name = "gy",
    .title = "sample for a wanted error, by Gy's formula",
    .inputs = {USUAL("shape_factor", FG_Q_NUMBER, 0.5, 1e-4, 1.0,
                     "grain volume over cube of its size; 0.2 for flaky gold"),
               USUAL("size_factor", FG_Q_NUMBER, 0.25, 0.01, 1.0,
                     "0.25 for mixed sizes, 0.5 for a sieved fraction"),
               POSITIVE("liberation", FG_Q_GRAIN_SIZE, 1e-7, 1.0,
                        "grain size at which the mineral is free; as large as top_size: all free"),
               POSITIVE("top_size", FG_Q_GRAIN_SIZE, 1e-7, 1.0, "sieve that 95 % passes"),
               POSITIVE("assay", FG_Q_SHARE, 1e-12, 1.0, "metal in the ore, by mass"),
               USUAL("mineral_grade", FG_Q_SHARE, 1.0, 1e-12, 1.0,
                     "metal in the pure mineral, by mass"),
               POSITIVE("mineral_density", FG_Q_METAL_DENSITY, 500.0, 25000.0, "of the mineral"),
               USUAL("gangue_density", FG_Q_METAL_DENSITY, FG_QUARTZ_KG_M3, 500.0, 25000.0,
                     "of the rest of the ore"),
               POSITIVE("relative_error", FG_Q_SHARE, 1e-6, 10.0,
                        "half width of the limits over the assay"),
               CONFIDENCE,
               USUAL("stages", FG_Q_INTEGER, 1.0, 1.0, 100.0,
                     "sampling steps that share the error"),
               USUAL("safety", FG_Q_NUMBER, 1.0, 1.0, 100.0, "factor on the mass")},
    .outputs = {{"sample_g", "Sample", FG_Q_MASS}},
    .source = "Gy, Sampling of Particulate Materials, 1979, as in Wills & Finch, Mineral "
              "Processing Technology",
    .example = "liberation=0.15mm top_size=5mm assay=5% mineral_grade=86.6% "
               "mineral_density=7.5g/cm3 relative_error=2%",
    .work = work_gy,
};

static fg_status work_grains_needed(fg_calc_work *work) {
  double *grains = fg_calc_place(work, "grains"), confidence;
  const double error = fg_calc_value(work, "relative_error");
  fg_status status = read_inside(work, "confidence", 1.0, &confidence);
  if (status == FG_OK)
    status = fg_grains_needed(error, confidence, grains);
  if (status == FG_OK)
    status = fg_poisson_within(*grains, error, fg_calc_place(work, "within"));
  return status;
}

const fg_calc fg_calc_of_grains_needed = {
    .name = "grains_needed",
    .title = "grains a sample should hold",
    .inputs = {POSITIVE("relative_error", FG_Q_SHARE, 1e-5, 10.0,
                        "half width of the limits over the count"),
               CONFIDENCE},
    .outputs = {{"grains", "Grains", FG_Q_NUMBER},
                {"within", "Exact chance to be as near", FG_Q_SHARE}},
    .source = "normal law of counts, (z/error)^2, rounded up; Clifton et al., USGS Prof. Paper "
              "625-C, 1969, take 20 for about a half",
    .example = "relative_error=50% confidence=95%",
    .work = work_grains_needed,
};
