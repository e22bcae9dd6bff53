/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/band.h"
#include "study/plan.h"
#include "study/tune_internal.h"

static const fg_tune_budget thorough = {.candidates = 96,
                                        .first_members = 8,
                                        .promising = 24,
                                        .members = 24,
                                        .starts = 2,
                                        .points = 16,
                                        .many_members = 64,
                                        .range_steps = 6};
static const fg_tune_budget brisk = {.candidates = 32,
                                     .first_members = 8,
                                     .promising = 8,
                                     .members = 24,
                                     .starts = 1,
                                     .points = 10,
                                     .many_members = 48,
                                     .range_steps = 0};
/* Half widths of the boxes climbed through, in shares of the ranges: from each start, and from
 * the best place with more members. */
static const double wide_boxes[] = {0.25, 0.15}, close_box = 0.12, last_box = 0.07;

/* A coarser deck is good enough to look for a place; what is found gets the whole one. */
static const fg_loss_options first_deck = {.kept_only = true, .cells = 6, .steps = 4, .times = 4};
static const fg_loss_options search_deck = {.kept_only = true, .cells = 8, .steps = 6, .times = 8};
/* A good setting keeps this share of the best. */
static const double good_share = 0.97;

/* What all members say of one setting. */
typedef struct hearing {
  double *value, *kept, *gold; /* [members] */
  fg_judged judged;
} hearing;

static fg_status hearing_new(size_t count, hearing *h) {
  *h = (hearing){.value = calloc(3 * count, sizeof *h->value), .judged = {.aim = -1.0}};
  if (!h->value)
    return FG_EMEMORY;
  h->kept = h->value + count;
  h->gold = h->value + 2 * count;
  return FG_OK;
}

static void hear(const fg_search *s, const fg_judged *judged, hearing *h) {
  const size_t bytes = s->last.count * sizeof *h->value;
  memcpy(h->value, s->last.value, bytes);
  memcpy(h->kept, s->last.kept, bytes);
  memcpy(h->gold, s->last.gold, bytes);
  h->judged = *judged;
}

static fg_status hear_setting(fg_search *s, const double at[FG_KNOBS], hearing *h) {
  fg_judged judged;
  const fg_status status = fg_search_judge(s, &s->last, at, &judged);
  if (status == FG_OK)
    hear(s, &judged, h);
  return status;
}

/* Whether the present setting is one that the search may recommend. */
static bool present_allowed(const fg_search *s, const double at[FG_KNOBS]) {
  for (size_t i = 0; i < s->dimensions; ++i) {
    const fg_knob_range *range = &s->options->knob[s->free[i]];
    if (at[s->free[i]] < range->low * (1.0 - 1e-9) || at[s->free[i]] > range->high * (1.0 + 1e-9))
      return false;
  }
  return true;
}

/* Gain of each member over the present setting, where the present one keeps anything. */
static fg_status compare(const hearing *best, const hearing *present, size_t n, fg_tuned *tuned) {
  double *gain = calloc(3 * n, sizeof *gain), *scratch = gain ? gain + n : NULL;
  if (!gain)
    return FG_EMEMORY;
  double told = 0.0, better = 0.0;
  for (size_t i = 0; i < n; ++i) {
    gain[i] = NAN;
    if (!(present->value[i] > 0.0) || isnan(best->value[i]))
      continue;
    gain[i] = best->value[i] / present->value[i] - 1.0;
    told += 1.0;
    better += gain[i] > 0.0 ? 1.0 : 0.0;
  }
  tuned->better_share = told > 0.0 ? better / told : (double)NAN;
  tuned->gain = fg_weighted_band(gain, NULL, n, scratch);
  tuned->best = best->judged;
  tuned->present = present->judged;
  tuned->best_kept = fg_weighted_band(best->kept, NULL, n, scratch);
  tuned->best_kg_s = fg_weighted_band(best->gold, NULL, n, scratch);
  tuned->present_kept = fg_weighted_band(present->kept, NULL, n, scratch);
  tuned->present_kg_s = fg_weighted_band(present->gold, NULL, n, scratch);
  free(gain);
  return FG_OK;
}

/* Walks one knob away from the best until the aim falls below its good share; the place is
 * read off between the last two points. */
static fg_status walk(fg_search *s, const fg_tuned *tuned, double best_aim, size_t i, double step,
                      double *good) {
  const fg_knob knob = s->free[i];
  const fg_knob_range *range = &s->options->knob[knob];
  const double floor = good_share * best_aim;
  const double from = fg_knob_place(range, knob, tuned->best.at[knob]);
  double at[FG_KNOBS], u = from, aim = best_aim;
  memcpy(at, tuned->best.at, sizeof at);
  *good = tuned->best.at[knob];
  for (size_t k = 1; k <= s->spend.range_steps; ++k) {
    const double next = fmin(1.0, fmax(0.0, from + step * (double)k));
    if (next == u)
      break;
    fg_judged judged;
    at[knob] = fg_knob_value(range, knob, next);
    const fg_status status = fg_search_judge(s, &s->middle, at, &judged);
    if (status != FG_OK)
      return status;
    if (judged.aim < floor) {
      const double along = (aim - floor) / (aim - judged.aim);
      *good = fg_knob_value(range, knob, u + along * (next - u));
      return FG_OK;
    }
    u = next;
    aim = judged.aim;
    *good = at[knob];
  }
  return FG_OK;
}

static fg_status find_good_ranges(fg_search *s, fg_tuned *tuned) {
  fg_judged best;
  memcpy(tuned->good_low, tuned->best.at, sizeof tuned->good_low);
  memcpy(tuned->good_high, tuned->best.at, sizeof tuned->good_high);
  if (s->spend.range_steps == 0)
    return FG_OK;
  fg_status status = fg_search_judge(s, &s->middle, tuned->best.at, &best);
  const double step = 1.0 / (double)s->spend.range_steps;
  for (size_t i = 0; i < s->dimensions && status == FG_OK; ++i) {
    const fg_knob knob = s->free[i];
    status = walk(s, tuned, best.aim, i, -step, &tuned->good_low[knob]);
    if (status == FG_OK)
      status = walk(s, tuned, best.aim, i, step, &tuned->good_high[knob]);
  }
  return status;
}

static void mark_edges(const fg_search *s, fg_tuned *tuned) {
  for (size_t i = 0; i < s->dimensions; ++i) {
    const fg_knob knob = s->free[i];
    const double u = fg_knob_place(&s->options->knob[knob], knob, tuned->best.at[knob]);
    tuned->edge_low[knob] = u < 0.02;
    tuned->edge_high[knob] = u > 0.98;
  }
}

static fg_status decide(fg_search *s, const fg_search_candidate *found, hearing *best,
                        hearing *present, fg_tuned *tuned) {
  double at[FG_KNOBS], now[FG_KNOBS];
  fg_search_setting(s, found->screen, found->u, at);
  fg_tune_present(s->scenario, now);
  fg_status status = hear_setting(s, at, best);
  if (status == FG_OK)
    status = hear_setting(s, now, present);
  if (status != FG_OK)
    return status;
  /* Never worse than what is there already. */
  const bool stay = present->judged.aim >= best->judged.aim && present_allowed(s, now);
  return compare(stay ? present : best, present, s->last.count, tuned);
}

/* Climbs from every start, then further from the best with ever more members. */
static fg_status climb_all(fg_search *s, fg_search_candidate *best) {
  fg_search_candidate starts[FG_STARTS_MAX];
  size_t count = 0;
  fg_status status = fg_search_look(s, starts, &count);
  if (status == FG_OK && count == 0)
    return FG_ESTALL;
  for (size_t i = 0; i < count && status == FG_OK; ++i) {
    status = fg_search_climb(s, &s->middle, wide_boxes, sizeof wide_boxes / sizeof wide_boxes[0],
                             &starts[i]);
    if (i == 0 || fg_search_worth(&starts[i].judged) > fg_search_worth(&best->judged))
      *best = starts[i];
  }
  if (status == FG_OK)
    status = fg_search_climb(s, &s->many, &close_box, 1, best);
  if (status == FG_OK)
    status = fg_search_climb(s, &s->all, &last_box, 1, best);
  return status;
}

static fg_status search_all(fg_search *s, fg_tuned *tuned) {
  fg_search_candidate found;
  hearing best = {0}, present = {0};
  fg_status status = climb_all(s, &found);
  if (status == FG_OK)
    status = hearing_new(s->last.count, &best);
  if (status == FG_OK)
    status = hearing_new(s->last.count, &present);
  if (status == FG_OK)
    status = decide(s, &found, &best, &present, tuned);
  free(best.value);
  free(present.value);
  if (status == FG_OK)
    status = find_good_ranges(s, tuned);
  if (status != FG_OK)
    return status;
  mark_edges(s, tuned);
  tuned->runs = s->runs;
  return FG_OK;
}

static size_t at_most(size_t wanted, size_t most) { return wanted < most ? wanted : most; }

static fg_status search_plan(const fg_scenario *scenario, const fg_tune_options *options,
                             const fg_plan *plan, fg_tuned *tuned) {
  fg_search s = {.scenario = scenario,
                 .options = options,
                 .plan = plan,
                 .spend = options->quick ? brisk : thorough};
  if (options->search_samples > 0)
    s.spend.members = options->search_samples;
  fg_tune_present(scenario, s.fixed);
  for (int k = 0; k < FG_KNOBS; ++k)
    if (options->knob[k].free && k != FG_KNOB_SCREEN)
      s.free[s.dimensions++] = (fg_knob)k;
  fg_status status = fg_verdicts_new(at_most(s.spend.first_members, options->samples), options->aim,
                                     &first_deck, &s.first);
  if (status == FG_OK)
    status = fg_verdicts_new(at_most(s.spend.members, options->samples), options->aim, &search_deck,
                             &s.middle);
  if (status == FG_OK)
    status = fg_verdicts_new(at_most(s.spend.many_members, options->samples), options->aim,
                             &search_deck, &s.many);
  if (status == FG_OK)
    status = fg_verdicts_new(options->samples, options->aim, &search_deck, &s.all);
  if (status == FG_OK)
    status = fg_verdicts_new(options->samples, options->aim, &fg_verdict_deck, &s.last);
  if (status == FG_OK)
    status = search_all(&s, tuned);
  fg_verdicts_free(&s.first);
  fg_verdicts_free(&s.middle);
  fg_verdicts_free(&s.many);
  fg_verdicts_free(&s.all);
  fg_verdicts_free(&s.last);
  return status;
}

fg_status fg_tune_run(const fg_scenario *scenario, const fg_tune_options *options,
                      fg_tuned *tuned) {
  fg_plan plan;
  fg_tuned found = {0};
  fg_status status = fg_plan_new(scenario, options->samples, options->seed, &plan);
  if (status != FG_OK)
    return status;
  if (options->exact)
    plan.count = 0; /* every member is the scenario itself */
  else
    status = fg_plan_fit(&plan, scenario);
  found.effective = plan.effective;
  found.weighed = plan.weighed;
  if (status == FG_OK)
    status = search_plan(scenario, options, &plan, &found);
  fg_plan_free(&plan);
  if (status == FG_OK)
    *tuned = found;
  return status;
}
