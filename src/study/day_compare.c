/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Days with doubt, and which is better. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/ensemble.h"
#include "scenario/settings_table.h"
#include "stats/band.h"
#include "stats/samples.h"
#include "study/day.h"
#include "study/plan.h"

/* Settings of the day that are drawn beside those of the deck. */
static const fg_setting_row drawn[] = {FG_SET_DAY_PACE, FG_SET_DAY_SET_UP};
enum { DRAWN = sizeof drawn / sizeof drawn[0] };

/* Every doubt of all trips, each once, and which column each trip's doubts are drawn from. */
typedef struct common {
  fg_doubt doubts[FG_DAYS_MAX * FG_SETTINGS_MAX];
  size_t count;
  size_t column[FG_DAYS_MAX][FG_SETTINGS_MAX];
  fg_plan plan[FG_DAYS_MAX];
} common;

/* What a place says of itself, as against the machine and the laws of nature. */
static bool of_place(int row) {
  static const fg_setting_row groups[] = {FG_SET_SITE_NAME, FG_SET_GROUND_CLAY, FG_SET_GOLD_GRADE,
                                          FG_SET_SOIL_CLASS};
  for (size_t i = 0; i < sizeof groups / sizeof groups[0]; ++i)
    if (fg_setting_same_group(row, groups[i]))
      return true;
  return false;
}

static bool same_numbers(const fg_doubt *a, const fg_doubt *b) {
  return a->kind == b->kind && a->low == b->low && a->nominal == b->nominal && a->high == b->high;
}

/* The column two doubts share, or a new one. */
static size_t column_for(common *c, const fg_doubt *d) {
  for (size_t j = 0; j < c->count; ++j)
    if (c->doubts[j].row == d->row && (!of_place(d->row) || same_numbers(&c->doubts[j], d)))
      return j;
  c->doubts[c->count] = *d;
  return c->count++;
}

static void list_doubts(common *c, const fg_scenario *s, size_t trip) {
  fg_plan *plan = &c->plan[trip];
  plan->count = fg_doubt_list(s, plan->doubts);
  for (size_t i = 0; i < DRAWN && plan->count < FG_SETTINGS_MAX; ++i)
    if (fg_doubt_of(s, drawn[i], &plan->doubts[plan->count]))
      ++plan->count;
  for (size_t j = 0; j < plan->count; ++j)
    c->column[trip][j] = column_for(c, &plan->doubts[j]);
}

/* Copies each plan's columns out of the common table. */
static fg_status deal_columns(common *c, size_t trips, size_t samples, const double *table) {
  for (size_t t = 0; t < trips; ++t) {
    fg_plan *plan = &c->plan[t];
    plan->samples = samples;
    plan->table = calloc(samples * plan->count + 1, sizeof *plan->table);
    if (!plan->table)
      return FG_EMEMORY;
    for (size_t i = 0; i < samples; ++i)
      for (size_t j = 0; j < plan->count; ++j)
        plan->table[i * plan->count + j] = table[i * c->count + c->column[t][j]];
  }
  return FG_OK;
}

static fg_status draw_common(common *c, const fg_scenario *const *scenarios, size_t trips,
                             size_t samples, unsigned long seed) {
  for (size_t t = 0; t < trips; ++t)
    list_doubts(c, scenarios[t], t);
  double *table = calloc(samples * c->count + 1, sizeof *table);
  if (!table)
    return FG_EMEMORY;
  fg_status status = c->count > 0 ? fg_sample_table(samples, c->count, seed, table) : FG_OK;
  if (status == FG_OK)
    status = deal_columns(c, trips, samples, table);
  free(table);
  return status;
}

/* ---- one trip ---- */

typedef struct gathering {
  fg_trip *trip;
  double *buckets, *in_place;
} gathering;

static fg_status judge(const fg_scenario *member, size_t index, void *context) {
  const gathering *g = context;
  fg_loss loss;
  fg_day day;
  const fg_status status = fg_loss_run(member, NULL, &loss);
  const bool stalled = status == FG_ESTALL;
  if (status != FG_OK && !stalled)
    return status;
  const fg_status lived = fg_day_run(member, stalled ? NULL : &loss, &day);
  if (lived == FG_OK) {
    g->trip->gold_kg[index] = day.gold_kg;
    g->buckets[index] = day.buckets;
    g->in_place[index] = day.in_place_m3;
  }
  fg_loss_free(&loss);
  return lived == FG_OK ? status : lived;
}

static void sum_up(const gathering *g, size_t samples, double *scratch) {
  fg_trip *t = g->trip;
  double all = 0.0, gold = 0.0;
  for (size_t i = 0; i < samples; ++i) {
    if (isnan(t->gold_kg[i]))
      continue;
    all += t->weight[i];
    gold += t->weight[i] * t->gold_kg[i];
  }
  t->mean_kg = all > 0.0 ? gold / all : (double)NAN;
  t->gold = fg_weighted_band(t->gold_kg, t->weight, samples, scratch);
  t->buckets = fg_weighted_band(g->buckets, t->weight, samples, scratch);
  t->in_place = fg_weighted_band(g->in_place, t->weight, samples, scratch);
}

/* The trip takes the weights over. */
static fg_status run_members(fg_trip *trip, fg_plan *plan) {
  const size_t n = plan->samples;
  gathering g = {
      .trip = trip, .buckets = calloc(n, sizeof(double)), .in_place = calloc(n, sizeof(double))};
  double *scratch = calloc(2 * n, sizeof *scratch);
  trip->gold_kg = calloc(n, sizeof *trip->gold_kg);
  fg_status status = g.buckets && g.in_place && scratch && trip->gold_kg
                         ? fg_plan_weigh(plan, trip->scenario)
                         : FG_EMEMORY;
  if (status == FG_OK) {
    for (size_t i = 0; i < n; ++i)
      trip->gold_kg[i] = g.buckets[i] = g.in_place[i] = NAN;
    trip->weight = plan->weight;
    status = fg_plan_run(plan, trip->scenario, n, judge, &g, &trip->stall_share);
    plan->weight = NULL;
  }
  if (status == FG_OK)
    sum_up(&g, n, scratch);
  free(g.buckets);
  free(g.in_place);
  free(scratch);
  return status;
}

static fg_status run_nominal(const fg_scenario *scenario, fg_trip *trip) {
  *trip = (fg_trip){.scenario = scenario, .mean_kg = NAN, .stall_share = NAN, .chance_best = NAN};
  fg_status status = fg_loss_run(scenario, NULL, &trip->loss);
  trip->stalled = status == FG_ESTALL;
  if (status != FG_OK && !trip->stalled)
    return status;
  status = fg_day_run(scenario, trip->stalled ? NULL : &trip->loss, &trip->day);
  trip->mean_kg = trip->day.gold_kg;
  trip->gold = trip->buckets = trip->in_place = fg_band_unknown;
  return status;
}

/* ---- which is better ---- */

/* What two machines have seen counts once where it is the same. */
static bool same_observed(const fg_scenario *a, const fg_scenario *b) {
  for (size_t row = 0; row < fg_settings_count; ++row) {
    if (strncmp(fg_settings[row].key, "observed.", 9) != 0)
      continue;
    const double x = fg_setting_value(&fg_settings[row], a);
    const double y = fg_setting_value(&fg_settings[row], b);
    if (x != y && !(isnan(x) && isnan(y)))
      return false;
  }
  return true;
}

static double chance_beats(const fg_trip *a, const fg_trip *b, size_t samples) {
  const bool once = same_observed(a->scenario, b->scenario);
  double all = 0.0, won = 0.0;
  for (size_t i = 0; i < samples; ++i) {
    if (isnan(a->gold_kg[i]) || isnan(b->gold_kg[i]))
      continue;
    const double weight = once ? a->weight[i] : a->weight[i] * b->weight[i];
    const double gap = a->gold_kg[i] - b->gold_kg[i];
    all += weight;
    won += weight * (gap > 0.0 ? 1.0 : gap < 0.0 ? 0.0 : 0.5);
  }
  return all > 0.0 ? won / all : (double)NAN;
}

static bool all_known(const fg_days *days, size_t member) {
  for (size_t t = 0; t < days->count; ++t)
    if (isnan(days->trip[t].gold_kg[member]))
      return false;
  return true;
}

/* Chance that nothing beats a trip; ties share it. */
static double chance_best(const fg_days *days, size_t t) {
  const fg_trip *trip = &days->trip[t];
  double all = 0.0, best = 0.0;
  for (size_t i = 0; i < days->samples; ++i) {
    double ties = 0.0;
    bool beaten = false;
    for (size_t k = 0; k < days->count && !beaten; ++k) {
      const double other = days->trip[k].gold_kg[i];
      beaten = other > trip->gold_kg[i];
      ties += other == trip->gold_kg[i] ? 1.0 : 0.0;
    }
    const double weight = all_known(days, i) ? trip->weight[i] : 0.0;
    all += weight;
    best += beaten || weight == 0.0 ? 0.0 : weight / ties;
  }
  return all > 0.0 ? best / all : (double)NAN;
}

static void rank(fg_days *days) {
  for (size_t t = 0; t < days->count; ++t) {
    size_t place = t;
    /* An unknown catch comes last. */
    while (place > 0 && !(days->trip[days->order[place - 1]].mean_kg >= days->trip[t].mean_kg) &&
           !isnan(days->trip[t].mean_kg)) {
      days->order[place] = days->order[place - 1];
      --place;
    }
    days->order[place] = t;
  }
  for (size_t a = 0; a < days->count && days->samples > 0; ++a) {
    days->trip[a].chance_best = chance_best(days, a);
    for (size_t b = 0; b < days->count; ++b)
      days->beats[a][b] = chance_beats(&days->trip[a], &days->trip[b], days->samples);
  }
}

static fg_status run_all(const fg_scenario *const *scenarios, size_t count, size_t samples,
                         unsigned long seed, fg_days *days, size_t *wrong) {
  fg_status status = FG_OK;
  for (size_t t = 0; t < count && status == FG_OK; ++t) {
    *wrong = t;
    days->count = t + 1; /* for fg_days_free() */
    status = run_nominal(scenarios[t], &days->trip[t]);
  }
  if (status != FG_OK || samples == 0)
    return status;
  common *c = calloc(1, sizeof *c);
  if (!c)
    return FG_EMEMORY;
  status = draw_common(c, scenarios, count, samples, seed);
  for (size_t t = 0; t < count && status == FG_OK; ++t) {
    *wrong = t;
    status = run_members(&days->trip[t], &c->plan[t]);
  }
  for (size_t t = 0; t < count; ++t)
    fg_plan_free(&c->plan[t]);
  free(c);
  return status;
}

fg_status fg_days_run(const fg_scenario *const *scenarios, size_t count, size_t samples,
                      unsigned long seed, fg_days *days, size_t *wrong) {
  if (count == 0 || count > FG_DAYS_MAX || samples > FG_SAMPLES_MAX)
    return FG_EDOMAIN;
  fg_days *found = calloc(1, sizeof *found);
  size_t at = 0;
  if (!found)
    return FG_EMEMORY;
  found->samples = samples;
  const fg_status status = run_all(scenarios, count, samples, seed, found, &at);
  if (status == FG_OK) {
    rank(found);
    *days = *found;
  } else {
    fg_days_free(found);
    if (wrong)
      *wrong = at;
  }
  free(found);
  return status;
}

void fg_days_free(fg_days *days) {
  for (size_t t = 0; t < days->count; ++t) {
    fg_loss_free(&days->trip[t].loss);
    free(days->trip[t].gold_kg);
    free(days->trip[t].weight);
  }
  days->count = 0;
}
