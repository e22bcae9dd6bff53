/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/doubts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"
#include "stats/band.h"
#include "stats/discovery.h"
#include "stats/samples.h"
#include "study/fine.h"
#include "study/plan.h"
#include "study/totals.h"

const double fg_measured_share = 0.25;

enum { SHUFFLES = 4000, BINS_MOST = 16, MEMBERS_A_BIN = 64, NARROW_SAMPLES = 384 };
static const fg_loss_options kept_only = {.kept_only = true};
static const double discovery_rate = 0.05; /* of the inputs told, so many may be chance */

/* Nobody reads a constant of the model off ground or machine. */
static bool is_measurable(int row) { return strncmp(fg_settings[row].key, "closure.", 8) != 0; }

typedef struct shares {
  double all[FG_SETTINGS_MAX], fine[FG_SETTINGS_MAX]; /* by column of the plan */
  double chance[2 * FG_SETTINGS_MAX]; /* of so much by chance: all gold, then fine; NaN: unknown */
  double by_chance[2 * SHUFFLES];     /* estimates of nothing, rising, likewise */
  double limit;                       /* chances up to it are told */
  bool any_fine;
} shares;

static size_t count_running(const double *output, size_t n) {
  size_t running = 0;
  for (size_t i = 0; i < n; ++i)
    running += isfinite(output[i]);
  return running;
}

/* Whether the members with an answer, as they weigh, are enough for the bins. */
static bool fills_bins(const fg_bands *b, const double *output, size_t bins) {
  double sum = 0.0, squares = 0.0;
  for (size_t i = 0; i < b->samples; ++i)
    if (isfinite(output[i])) {
      sum += b->plan.weight[i];
      squares += b->plan.weight[i] * b->plan.weight[i];
    }
  return sum * sum >= 4.0 * (double)bins * squares && sum > 0.0;
}

/* Shares of one output, and for each the chance of so much by chance. */
static fg_status estimate_one(const fg_bands *b, const double *output, size_t bins, double *share,
                              double *by_chance, double *chance) {
  fg_status status = fg_first_order_weighted(b->plan.table, output, b->plan.weight, b->samples,
                                             b->plan.count, bins, share);
  if (status == FG_OK)
    status = fg_first_order_by_chance(output, b->plan.weight, b->samples, bins, b->seed, SHUFFLES,
                                      by_chance);
  for (size_t j = 0; status == FG_OK && j < b->plan.count; ++j)
    chance[j] = fg_chance_of(by_chance, SHUFFLES, share[j]);
  return status;
}

/* The share that an estimate must reach to be told. */
static double floor_of(const double *by_chance, const shares *s, size_t estimates) {
  const double chance = s->limit > 0.0 ? s->limit : discovery_rate / (double)estimates;
  const size_t above = (size_t)(chance * (SHUFFLES + 1)); /* of the estimates by chance, and it */
  return by_chance[SHUFFLES - (above > 1 ? above : 1)];
}

static fg_status estimate(const fg_bands *b, fg_doubts *d, shares *s) {
  const size_t count = b->plan.count;
  for (size_t j = 0; j < 2 * count; ++j)
    s->chance[j] = NAN;
  fg_status status = estimate_one(b, b->output, d->bins, s->all, s->by_chance, s->chance);
  s->any_fine = fills_bins(b, b->fine, d->bins);
  if (status == FG_OK && s->any_fine)
    status = estimate_one(b, b->fine, d->bins, s->fine, s->by_chance + SHUFFLES, s->chance + count);
  const size_t estimates = s->any_fine ? 2 * count : count;
  if (status == FG_OK)
    status = fg_discoveries(s->chance, estimates, discovery_rate, &s->limit);
  if (status == FG_OK)
    d->noise_floor = floor_of(s->by_chance, s, estimates);
  if (status == FG_OK && s->any_fine)
    d->fine_noise_floor = floor_of(s->by_chance + SHUFFLES, s, estimates);
  return status;
}

static int by_share(const void *a, const void *b) {
  const fg_doubted_input *x = a, *y = b;
  if (x->share != y->share)
    return x->share < y->share ? 1 : -1;
  return x->row - y->row;
}

static void list_told(const fg_bands *b, const shares *s, fg_doubts *d) {
  for (size_t j = 0; j < b->plan.count; ++j) {
    const fg_doubt *doubt = &b->plan.doubts[j];
    fg_doubted_input *p = &d->input[d->count];
    *p = (fg_doubted_input){.row = doubt->row,
                            .share = s->all[j],
                            .fine_share = s->any_fine ? s->fine[j] : (double)NAN,
                            .told = s->chance[j] <= s->limit,
                            .fine_told = s->any_fine && s->chance[b->plan.count + j] <= s->limit,
                            .total = {fg_total_unknown, fg_total_unknown},
                            .measurable = is_measurable(doubt->row),
                            .low = NAN,
                            .high = NAN};
    if (doubt->kind != FG_D_CHOICE) {
      p->low = fg_doubt_value(doubt, 0.1);
      p->high = fg_doubt_value(doubt, 0.9);
    }
    if (p->told || p->fine_told)
      ++d->count;
  }
  qsort(d->input, d->count, sizeof *d->input, by_share);
}

static fg_status rank(const fg_scenario *scenario, fg_doubts *d) {
  fg_told *told = calloc(d->count + 1, sizeof *told);
  if (!told)
    return FG_EMEMORY;
  for (size_t i = 0; i < d->count; ++i) {
    const fg_doubted_input *p = &d->input[i];
    told[i] = (fg_told){p->row, p->told ? p->share : 0.0, p->fine_told ? p->fine_share : 0.0};
  }
  const fg_status status = fg_worth_list(scenario, told, d->count, d->worth, &d->worths);
  free(told);
  return status;
}

/* Its place among the named inputs; their count: it is none of them. */
static size_t place_of(const fg_doubts *d, const fg_worth *worth) {
  size_t i = 0;
  while (i < d->count && d->input[i].row != worth->row)
    ++i;
  return i;
}

const fg_doubted_input *fg_doubts_input(const fg_doubts *d, const fg_worth *worth) {
  const size_t i = place_of(d, worth);
  return i < d->count ? &d->input[i] : NULL;
}

/* Total effects of the inputs at the head of the list, and of all others at once. */
static fg_status add_totals(const fg_scenario *scenario, const fg_bands *b, fg_doubts *d) {
  const size_t told = d->count < FG_DOUBTS_TOTALS ? d->count : FG_DOUBTS_TOTALS;
  size_t *group_of = calloc(b->plan.count, sizeof *group_of);
  fg_totals totals[FG_DOUBTS_TOTALS + 1];
  if (!group_of)
    return FG_EMEMORY;
  for (size_t j = 0; j < b->plan.count; ++j)
    while (group_of[j] < told && d->input[group_of[j]].row != b->plan.doubts[j].row)
      ++group_of[j];
  d->total_rows = d->samples / 4 < FG_DOUBTS_ROWS ? d->samples / 4 : FG_DOUBTS_ROWS;
  const fg_status status =
      fg_totals_run(scenario, &b->plan, group_of, told + 1, d->total_rows, d->seed, totals);
  for (size_t i = 0; status == FG_OK && i < told; ++i)
    d->input[i].total = totals[i];
  if (status == FG_OK)
    d->others = totals[told];
  free(group_of);
  return status;
}

/* Bands of a scenario, of which the nominal run's shape does not matter. */
static fg_status narrow_bands(const fg_scenario *s, const fg_loss *nominal, size_t samples,
                              unsigned long seed, fg_band *kept, fg_band *fine) {
  fg_bands b;
  const fg_status status = fg_ensemble_run(s, nominal, &kept_only, samples, seed, &b);
  if (status != FG_OK)
    return status;
  *kept = fg_bands_of(&b, offsetof(fg_loss, kept));
  *fine = b.fine_at;
  fg_ensemble_free(&b);
  return FG_OK;
}

/* Given, with the error that measuring leaves. */
static void put_measured(const fg_doubted_input *p, fg_scenario *s) {
  s->origin[p->row] = FG_FROM_FILE;
  s->error_of[p->row] = fg_measured_share * fg_doubt_deviation(p->low, p->high);
}

/* The runs again with one input measured; it is measured in *all from then on. */
static fg_status measure(const fg_scenario *scenario, const fg_loss *nominal, fg_doubts *d,
                         fg_doubted_input *p, fg_scenario *all) {
  fg_scenario *s = malloc(sizeof *s);
  if (!s)
    return FG_EMEMORY;
  *s = *scenario;
  put_measured(p, s);
  put_measured(p, all);
  fg_status status = fg_scenario_resolve(s);
  if (status == FG_OK)
    status = narrow_bands(s, nominal, d->narrow_samples, d->seed, &p->kept, &p->fine);
  p->narrowed = status == FG_OK;
  free(s);
  return status;
}

static fg_status narrow(const fg_scenario *scenario, const fg_loss *nominal, fg_doubts *d) {
  fg_scenario *all = malloc(sizeof *all);
  if (!all)
    return FG_EMEMORY;
  *all = *scenario;
  d->narrow_samples = d->samples < NARROW_SAMPLES ? d->samples : NARROW_SAMPLES;
  fg_status status =
      narrow_bands(scenario, nominal, d->narrow_samples, d->seed, &d->before, &d->fine_before);
  for (size_t i = 0; i < d->worths && d->together < FG_DOUBTS_NARROWED && status == FG_OK; ++i) {
    const size_t k = place_of(d, &d->worth[i]);
    if (k == d->count || isnan(d->input[k].low))
      continue;
    status = measure(scenario, nominal, d, &d->input[k], all);
    ++d->together;
  }
  if (status == FG_OK)
    status = fg_scenario_resolve(all);
  if (status == FG_OK)
    status = narrow_bands(all, nominal, d->narrow_samples, d->seed, &d->together_kept,
                          &d->together_fine);
  free(all);
  return status;
}

/* What the ensemble tells, and what is to be measured first. */
static fg_status tell(const fg_scenario *scenario, const fg_bands *b, fg_doubts *d) {
  shares *s = calloc(1, sizeof *s);
  if (!s)
    return FG_EMEMORY;
  d->kept_band = fg_bands_of(b, offsetof(fg_loss, kept));
  d->fine_band = b->fine_at;
  d->stall_share = b->stall_share;
  d->effective = b->plan.effective;
  d->weighed = b->plan.weighed;
  d->inputs = b->plan.count;
  d->running = count_running(b->output, b->samples);
  d->enough = d->inputs > 0 && fills_bins(b, b->output, d->bins);
  fg_status status = FG_OK;
  if (d->enough) {
    status = estimate(b, d, s);
    if (status == FG_OK)
      list_told(b, s, d);
  }
  free(s);
  return status == FG_OK ? rank(scenario, d) : status;
}

static fg_status run(const fg_scenario *scenario, size_t samples, unsigned long seed, bool whole,
                     fg_doubts *doubts) {
  if (samples < FG_DOUBTS_SAMPLES_LEAST)
    return FG_EDOMAIN;
  fg_doubts d = {.samples = samples,
                 .seed = seed,
                 .bins = samples / MEMBERS_A_BIN < BINS_MOST ? samples / MEMBERS_A_BIN : BINS_MOST,
                 .kept = NAN,
                 .fine_kept = NAN,
                 .noise_floor = NAN,
                 .fine_noise_floor = NAN,
                 .others = {fg_total_unknown, fg_total_unknown}};
  fg_loss nominal;
  fg_bands bands;
  fg_status status = fg_loss_run(scenario, NULL, &nominal);
  if (status != FG_OK && status != FG_ESTALL)
    return status;
  d.stalled = status == FG_ESTALL;
  d.capacity_margin = nominal.machine.capacity_margin;
  if (!d.stalled) {
    d.kept = nominal.kept;
    d.fine_kept = fg_fine_kept(&nominal);
  }
  status = fg_ensemble_run(scenario, &nominal, &kept_only, samples, seed, &bands);
  if (status == FG_OK) {
    status = tell(scenario, &bands, &d);
    if (status == FG_OK && whole && d.enough)
      status = add_totals(scenario, &bands, &d);
    if (status == FG_OK && whole && d.enough)
      status = narrow(scenario, &nominal, &d);
    fg_ensemble_free(&bands);
  }
  fg_loss_free(&nominal);
  if (status == FG_OK)
    *doubts = d;
  return status;
}

fg_status fg_doubts_run(const fg_scenario *scenario, size_t samples, unsigned long seed,
                        fg_doubts *doubts) {
  return run(scenario, samples, seed, true, doubts);
}

fg_status fg_doubts_rank(const fg_scenario *scenario, size_t samples, unsigned long seed,
                         fg_doubts *doubts) {
  return run(scenario, samples, seed, false, doubts);
}
