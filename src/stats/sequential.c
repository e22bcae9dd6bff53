/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/sequential.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include <gsl/gsl_randist.h>

static bool is_risk(double risk) { return risk > 0.0 && risk < 0.5; }

/* Lines from what a find adds to the log likelihood ratio and what a trial takes off it. */
static fg_status draw_lines(double leave, double stay, double alpha, double beta, double find,
                            double trial, fg_sequential *test) {
  if (!is_risk(alpha) || !is_risk(beta) || !isfinite(find) || !isfinite(trial) || !(find > 0.0))
    return FG_EDOMAIN;
  *test = (fg_sequential){.leave = leave,
                          .stay = stay,
                          .alpha = alpha,
                          .beta = beta,
                          .log_ratio = find,
                          .leave_intercept = -log((1.0 - alpha) / beta) / find,
                          .stay_intercept = log((1.0 - beta) / alpha) / find,
                          .slope = trial / find};
  return FG_OK;
}

fg_status fg_sequential_shares(double leave, double stay, double alpha, double beta,
                               fg_sequential *test) {
  if (!(leave > 0.0 && leave < stay && stay < 1.0))
    return FG_EDOMAIN;
  const double find = log(stay / leave) + log((1.0 - leave) / (1.0 - stay));
  return draw_lines(leave, stay, alpha, beta, find, log((1.0 - leave) / (1.0 - stay)), test);
}

fg_status fg_sequential_rates(double leave, double stay, double alpha, double beta,
                              fg_sequential *test) {
  if (!(leave > 0.0 && leave < stay && isfinite(stay)))
    return FG_EDOMAIN;
  return draw_lines(leave, stay, alpha, beta, log(stay / leave), stay - leave, test);
}

double fg_sequential_leave_at(const fg_sequential *test, double n) {
  return fmax(-1.0, floor(test->leave_intercept + test->slope * n));
}

double fg_sequential_stay_at(const fg_sequential *test, double n) {
  return fmax(0.0, ceil(test->stay_intercept + test->slope * n));
}

/* Chances of each sum that is still undecided: `chance[i]` of the sum `from` + i; and of each
 * count in one bucket. */
typedef struct open_sums {
  double *chance;
  size_t from, count;
  double *bucket;
  size_t most; /* counts in `bucket` */
} open_sums;

/* Mixes one more bucket in; what crosses a line goes to the odds. */
static fg_status next_bucket(const fg_sequential *test, double n, open_sums *now,
                             fg_sequential_odds *odds) {
  const double leave = fg_sequential_leave_at(test, n), stay = fg_sequential_stay_at(test, n);
  const size_t from = (size_t)(leave + 1.0), to = (size_t)fmax(stay, leave + 1.0);
  double *next = calloc(to - from + 1, sizeof *next);
  if (!next)
    return FG_EMEMORY;
  for (size_t i = 0; i < now->count; ++i) {
    double rest = now->chance[i];
    const size_t start = now->from + i;
    for (size_t x = start; x < to && x - start < now->most; ++x) {
      const double part = now->chance[i] * now->bucket[x - start];
      rest -= part;
      if (x < from)
        odds->leave += part;
      else
        next[x - from] += part;
    }
    odds->stay += fmax(0.0, rest);
  }
  free(now->chance);
  now->chance = next;
  now->from = from;
  now->count = to - from;
  return FG_OK;
}

/* Room for every step that does not cross the upper line; false when that is too much work. */
static bool make_room(const fg_sequential *test, double rate, size_t buckets, open_sums *now) {
  const double open = test->stay_intercept - test->leave_intercept + 2.0;
  const double most = open + test->slope + 4.0;
  if (!(open * most * (double)buckets < 5e8) || !(most < 1e7))
    return false;
  now->most = (size_t)most;
  now->chance = calloc(1, sizeof *now->chance);
  now->bucket = calloc(now->most, sizeof *now->bucket);
  now->count = 1;
  if (!now->chance || !now->bucket)
    return true;
  now->chance[0] = 1.0;
  for (size_t x = 0; x < now->most; ++x)
    now->bucket[x] = gsl_ran_poisson_pdf((unsigned)x, rate);
  return true;
}

fg_status fg_sequential_odds_at(const fg_sequential *test, double rate, size_t buckets,
                                fg_sequential_odds *odds) {
  fg_sequential_odds found = {0.0, 0.0, 1.0, 0.0};
  open_sums now = {0};
  if (!(rate > 0.0 && rate < 1e7) || buckets < 1 || buckets > 1000 ||
      !make_room(test, rate, buckets, &now))
    return FG_EDOMAIN;
  fg_status status = now.chance && now.bucket ? FG_OK : FG_EMEMORY;
  for (size_t n = 1; n <= buckets && status == FG_OK; ++n) {
    found.buckets += found.open; /* one more bucket for all that is open */
    status = next_bucket(test, (double)n, &now, &found);
    found.open = 0.0;
    for (size_t i = 0; status == FG_OK && i < now.count; ++i)
      found.open += now.chance[i];
  }
  free(now.chance);
  free(now.bucket);
  if (status == FG_OK)
    *odds = found;
  return status;
}
