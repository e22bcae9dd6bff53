/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/sequential.h"

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

/* Chances of each sum that is still undecided: `chance[i]` of the sum `from` + i. */
typedef struct open_sums {
  double *chance;
  size_t from, count;
} open_sums;

/* Mixes one more bucket in; what crosses a line goes to the odds. */
static fg_status next_bucket(const fg_sequential *test, double rate, double n, open_sums *now,
                             fg_sequential_odds *odds) {
  const double leave = fg_sequential_leave_at(test, n), stay = fg_sequential_stay_at(test, n);
  const size_t from = (size_t)(leave + 1.0), to = (size_t)fmax(stay, leave + 1.0);
  double *next = calloc(to - from + 1, sizeof *next);
  if (!next)
    return FG_EMEMORY;
  for (size_t i = 0; i < now->count; ++i) {
    double rest = now->chance[i];
    for (size_t x = now->from + i; x < to; ++x) {
      const double part = now->chance[i] * gsl_ran_poisson_pdf((unsigned)(x - now->from - i), rate);
      rest -= part;
      if (x < from)
        odds->leave += part;
      else
        next[x - from] += part;
    }
    odds->stay += fmax(0.0, rest);
  }
  free(now->chance);
  *now = (open_sums){next, from, to - from};
  return FG_OK;
}

fg_status fg_sequential_odds_at(const fg_sequential *test, double rate, size_t buckets,
                                fg_sequential_odds *odds) {
  if (!(rate > 0.0 && rate <= 1e4) || buckets < 1 || buckets > 1000 ||
      test->stay_intercept + test->slope * (double)buckets > 1e5)
    return FG_EDOMAIN;
  fg_sequential_odds found = {0.0, 0.0, 1.0, 0.0};
  open_sums now = {calloc(1, sizeof(double)), 0, 1};
  if (!now.chance)
    return FG_EMEMORY;
  now.chance[0] = 1.0;
  fg_status status = FG_OK;
  for (size_t n = 1; n <= buckets && status == FG_OK; ++n) {
    found.buckets += found.open; /* one more bucket for all that is open */
    status = next_bucket(test, rate, (double)n, &now, &found);
    found.open = 0.0;
    for (size_t i = 0; status == FG_OK && i < now.count; ++i)
      found.open += now.chance[i];
  }
  free(now.chance);
  if (status == FG_OK)
    *odds = found;
  return status;
}
