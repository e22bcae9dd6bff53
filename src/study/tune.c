/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/band.h"
#include "study/plan.h"
#include "study/tune_internal.h"

static const fg_tune_budget thorough = {.candidates = 64,
                                        .first_members = 8,
                                        .promising = 16,
                                        .members = 24,
                                        .starts = 2,
                                        .points = 12,
                                        .many_members = 64,
                                        .range_steps = 6};
static const fg_tune_budget brisk = {.candidates = 16,
                                     .first_members = 8,
                                     .promising = 4,
                                     .members = 24,
                                     .starts = 1,
                                     .points = 8,
                                     .many_members = 24,
                                     .range_steps = 0};
/* Half widths of the boxes climbed through, in shares of the ranges: from each start, and from
 * the best place with more members. */
static const double wide_boxes[] = {0.25, 0.15}, close_boxes[] = {0.15, 0.07};

/* A coarser deck is good enough to look for a place; what is found gets the whole one. */
static const fg_loss_options first_deck = {.kept_only = true, .cells = 6, .steps = 4, .times = 4};
static const fg_loss_options search_deck = {.kept_only = true, .cells = 8, .steps = 6, .times = 8};
/* A good setting keeps this share of the best. */
static const double good_share = 0.97;

/* The present setting stays when it is as good but for this; marks for a hand may cost as much. */
static const double as_good = 0.01;
/* So many members must gain by a change before it is worth anybody's trouble. */
static const double surely = 0.9;

enum { VALUE = 0, KEPT, GOLD, FINE, FIGURES };

/* What all members say of one setting. */
typedef struct hearing {
  double *figure[FIGURES]; /* [members] each */
  fg_judged judged;
} hearing;

static fg_status hearing_new(size_t count, hearing *h) {
  *h = (hearing){.judged = {.aim = -1.0}};
  h->figure[VALUE] = calloc(FIGURES * count, sizeof *h->figure[VALUE]);
  if (!h->figure[VALUE])
    return FG_EMEMORY;
  for (size_t k = 1; k < FIGURES; ++k)
    h->figure[k] = h->figure[VALUE] + k * count;
  return FG_OK;
}

static fg_status hear_setting(fg_search *s, const double at[FG_KNOBS], hearing *h) {
  const fg_status status = fg_search_judge(s, &s->last, at, &h->judged);
  const double *const figures[FIGURES] = {s->last.value, s->last.kept, s->last.gold, s->last.fine};
  for (size_t k = 0; k < FIGURES && status == FG_OK; ++k)
    memcpy(h->figure[k], figures[k], s->last.count * sizeof *figures[k]);
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

static void tell_settings(const hearing *best, const hearing *present, size_t n, double *scratch,
                          fg_tuned *tuned) {
  tuned->best = best->judged;
  tuned->present = present->judged;
  tuned->best_kept = fg_weighted_band(best->figure[KEPT], NULL, n, scratch);
  tuned->best_kg_s = fg_weighted_band(best->figure[GOLD], NULL, n, scratch);
  tuned->best_fine = fg_weighted_band(best->figure[FINE], NULL, n, scratch);
  tuned->present_kept = fg_weighted_band(present->figure[KEPT], NULL, n, scratch);
  tuned->present_kg_s = fg_weighted_band(present->figure[GOLD], NULL, n, scratch);
  tuned->present_fine = fg_weighted_band(present->figure[FINE], NULL, n, scratch);
}

/* Gain of each member over the present setting, where the present one keeps anything. */
static fg_status compare(const hearing *best, const hearing *present, size_t n, fg_tuned *tuned) {
  double *gain = calloc(3 * n, sizeof *gain), *scratch = gain ? gain + n : NULL;
  if (!gain)
    return FG_EMEMORY;
  double told = 0.0, better = 0.0;
  for (size_t i = 0; i < n; ++i) {
    const double now = present->figure[VALUE][i], then = best->figure[VALUE][i];
    gain[i] = NAN;
    if (!(now > 0.0) || isnan(then))
      continue;
    gain[i] = then / now - 1.0;
    told += 1.0;
    better += gain[i] > 0.0 ? 1.0 : 0.0;
  }
  tuned->better_share = told > 0.0 ? better / told : (double)NAN;
  tuned->gain = fg_weighted_band(gain, NULL, n, scratch);
  tell_settings(best, present, n, scratch, tuned);
  free(gain);
  return FG_OK;
}

/* Share of the members told apart by two settings that gain; 1: none loses. */
static double gaining_share(const hearing *best, const hearing *present, size_t n) {
  double gains = 0.0, apart = 0.0;
  for (size_t i = 0; i < n; ++i) {
    const double change = best->figure[VALUE][i] - present->figure[VALUE][i];
    gains += change > 0.0 ? 1.0 : 0.0;
    apart += fabs(change) > 0.0 ? 1.0 : 0.0; /* passes over NaN */
  }
  return apart > 0.0 ? gains / apart : 0.0;
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

/* Wider where all knobs moved together bring as much: to any setting that the climb saw do so, by
 * the same members as the best. */
static void widen_ranges(const fg_search *s, double best_aim, fg_tuned *tuned) {
  for (size_t k = 0; k < s->seen_count; ++k) {
    if (s->seen[k].aim < good_share * best_aim)
      continue;
    for (size_t i = 0; i < s->dimensions; ++i) {
      const fg_knob knob = s->free[i];
      tuned->good_low[knob] = fmin(tuned->good_low[knob], s->seen[k].at[knob]);
      tuned->good_high[knob] = fmax(tuned->good_high[knob], s->seen[k].at[knob]);
    }
  }
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
  if (status == FG_OK)
    status = fg_search_judge(s, &s->many, tuned->best.at, &best);
  if (status == FG_OK)
    widen_ranges(s, best.aim, tuned);
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

/* The place found on marks for a hand, unless these are too coarse for it. */
static fg_status set_by_hand(fg_search *s, const fg_search_candidate *found, double at[FG_KNOBS]) {
  double marks[FG_KNOBS];
  fg_judged judged;
  fg_search_setting(s, found->screen, found->u, at);
  memcpy(marks, at, sizeof marks);
  fg_search_by_hand(s, marks);
  const fg_status status = fg_search_judge(s, &s->many, marks, &judged);
  if (status == FG_OK && fg_search_worth(s, &judged) >= (1.0 - as_good) * found->worth)
    memcpy(at, marks, sizeof marks);
  return status;
}

static fg_status decide(fg_search *s, const fg_search_candidate *found, hearing *best,
                        hearing *present, fg_tuned *tuned) {
  double at[FG_KNOBS], now[FG_KNOBS];
  const size_t n = s->last.count;
  fg_tune_present(s->scenario, now);
  fg_status status = set_by_hand(s, found, at);
  if (status == FG_OK)
    status = hear_setting(s, at, best);
  if (status == FG_OK)
    status = hear_setting(s, now, present);
  if (status != FG_OK)
    return status;
  tuned->found = best->judged;
  tuned->stay =
      present_allowed(s, now) && (present->judged.aim >= (1.0 - as_good) * best->judged.aim ||
                                  gaining_share(best, present, n) < surely);
  return compare(tuned->stay ? present : best, present, n, tuned);
}

/* Climbs from every start, then further from the best with more members. */
static fg_status climb_all(fg_search *s, fg_search_candidate *best) {
  fg_search_candidate starts[FG_STARTS_MAX];
  size_t count = 0;
  fg_status status = fg_search_look(s, starts, &count);
  if (status == FG_OK && count == 0)
    return FG_ESTALL;
  for (size_t i = 0; i < count && status == FG_OK; ++i) {
    status = fg_search_climb(s, &s->middle, wide_boxes, sizeof wide_boxes / sizeof wide_boxes[0],
                             &starts[i]);
    if (i == 0 || starts[i].worth > best->worth)
      *best = starts[i];
  }
  if (status == FG_OK && s->spend.many_members > s->spend.members)
    status =
        fg_search_climb(s, &s->many, close_boxes, sizeof close_boxes / sizeof close_boxes[0], best);
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
  free(best.figure[VALUE]);
  free(present.figure[VALUE]);
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
                             const fg_plan *plan, const fg_plan *judges, fg_tuned *tuned) {
  fg_search s = {.scenario = scenario,
                 .options = options,
                 .plan = plan,
                 .judges = judges,
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
    status = fg_verdicts_new(options->samples, options->aim, &fg_verdict_deck, &s.last);
  if (status == FG_OK)
    status = search_all(&s, tuned);
  fg_verdicts_free(&s.first);
  fg_verdicts_free(&s.middle);
  fg_verdicts_free(&s.many);
  fg_verdicts_free(&s.last);
  return status;
}

/* With `exact` every member is the scenario itself. */
static fg_status draw_plan(const fg_scenario *scenario, size_t samples, unsigned long seed,
                           bool exact, fg_plan *plan) {
  const fg_status status = fg_plan_new(scenario, samples, seed, plan);
  if (status != FG_OK || !exact)
    return status == FG_OK ? fg_plan_fit(plan, scenario) : status;
  plan->count = 0;
  return FG_OK;
}

fg_status fg_tune_run(const fg_scenario *scenario, const fg_tune_options *options,
                      fg_tuned *tuned) {
  fg_plan judges = {0}, plan = {0};
  fg_tuned found = {0};
  fg_status status = draw_plan(scenario, options->samples, options->seed, options->exact, &judges);
  if (status == FG_OK)
    status = draw_plan(scenario, FG_SAMPLES_DEFAULT, FG_SEARCH_SEED, options->exact, &plan);
  found.effective = judges.effective;
  found.weighed = judges.weighed;
  if (status == FG_OK)
    status = search_plan(scenario, options, &plan, &judges, &found);
  fg_plan_free(&judges);
  fg_plan_free(&plan);
  if (status == FG_OK)
    *tuned = found;
  return status;
}
