/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "study/fine.h"
#include "study/knobs.h"
#include "study/plan.h"
#include "study/tune_internal.h"

const char *const fg_knob_names[FG_KNOBS + 1] = {"throttle", "gate",   "slope",
                                                 "feed",     "screen", NULL};
const fg_setting_row fg_knob_rows[FG_KNOBS] = {FG_SET_RUN_THROTTLE, FG_SET_RUN_GATE_OPENING,
                                               FG_SET_DECK_SLOPE, FG_SET_RUN_FEED,
                                               FG_SET_SCREEN_OPENING};

const fg_loss_options fg_verdict_deck = {.kept_only = true};

void fg_tune_present(const fg_scenario *scenario, double at[FG_KNOBS]) {
  at[FG_KNOB_THROTTLE] = scenario->run.throttle;
  at[FG_KNOB_GATE] = scenario->run.gate_opening;
  at[FG_KNOB_SLOPE] = scenario->deck.slope;
  at[FG_KNOB_FEED] = scenario->run.feed;
  at[FG_KNOB_SCREEN] = scenario->screen.opening;
}

fg_setting_row fg_tune_knob_row(fg_knob knob) {
  return (unsigned)knob < FG_KNOBS ? fg_knob_rows[knob] : FG_SET_NONE;
}

/* A knob is set, not guessed: it counts as given, and the feed as a mass.  Who feeds half as fast
 * strays half as far. */
fg_status fg_tune_apply(const fg_scenario *scenario, const double at[FG_KNOBS], fg_scenario *set) {
  *set = *scenario;
  set->error_of[FG_SET_RUN_FEED] *= at[FG_KNOB_FEED] / scenario->run.feed;
  for (int k = 0; k < FG_KNOBS; ++k)
    (void)fg_scenario_set(set, fg_knob_rows[k], at[k]);
  return fg_scenario_resolve(set);
}

static fg_status judge_member(const fg_scenario *member, size_t index, void *context) {
  fg_verdicts *v = context;
  fg_loss loss;
  const fg_status status = fg_loss_run(member, v->options, &loss);
  if (status != FG_OK && status != FG_ESTALL)
    return status;
  v->kept[index] = status == FG_OK ? loss.kept : 0.0;
  v->gold[index] = status == FG_OK ? loss.kept_kg_s : 0.0;
  v->fine[index] = status == FG_OK ? fg_fine_kept(&loss) : 0.0;
  v->value[index] = v->aim == FG_AIM_GOLD_PER_HOUR ? v->gold[index] : v->kept[index];
  fg_loss_free(&loss);
  return status;
}

fg_status fg_verdicts_new(size_t count, fg_aim aim, const fg_loss_options *options,
                          fg_verdicts *v) {
  *v = (fg_verdicts){.count = count, .aim = aim, .options = options};
  v->value = calloc(count, sizeof *v->value);
  v->kept = calloc(count, sizeof *v->kept);
  v->gold = calloc(count, sizeof *v->gold);
  v->fine = calloc(count, sizeof *v->fine);
  if (v->value && v->kept && v->gold && v->fine)
    return FG_OK;
  fg_verdicts_free(v);
  return FG_EMEMORY;
}

void fg_verdicts_free(fg_verdicts *v) {
  free(v->value);
  free(v->kept);
  free(v->gold);
  free(v->fine);
  v->value = v->kept = v->gold = v->fine = NULL;
}

fg_status fg_verdicts_run(const fg_scenario *scenario, const fg_plan *plan,
                          const double at[FG_KNOBS], fg_verdicts *v, fg_judged *judged) {
  fg_scenario *set = malloc(sizeof *set);
  if (!set)
    return FG_EMEMORY;
  for (size_t i = 0; i < v->count; ++i)
    v->value[i] = v->kept[i] = v->gold[i] = v->fine[i] = NAN;
  fg_status status = fg_tune_apply(scenario, at, set);
  if (status == FG_OK)
    status = fg_plan_run(plan, set, v->count, judge_member, v, &judged->stall_share);
  free(set);
  if (status != FG_OK)
    return status;
  double sum = 0.0, known = 0.0;
  for (size_t i = 0; i < v->count; ++i) {
    if (isnan(v->value[i]))
      continue;
    known += 1.0;
    sum += v->value[i];
  }
  memcpy(judged->at, at, sizeof judged->at);
  judged->aim = known > 0.0 ? sum / known : 0.0;
  if (isnan(judged->stall_share))
    judged->stall_share = 1.0; /* no answer at all is no place to run at */
  return FG_OK;
}

fg_status fg_tune_judge(const fg_scenario *scenario, const fg_plan *plan, size_t count, fg_aim aim,
                        const double at[FG_KNOBS], fg_judged *judged) {
  fg_verdicts v;
  fg_status status = fg_verdicts_new(count, aim, &fg_verdict_deck, &v);
  if (status == FG_OK)
    status = fg_verdicts_run(scenario, plan, at, &v, judged);
  fg_verdicts_free(&v);
  return status;
}

/* "1/4 in, 1/8 in" into openings; words that are none are passed over (they were checked). */
static size_t read_screens(const char *text, double screens[FG_SCREENS_MAX]) {
  char words[FG_TEXT_MAX], message[256];
  size_t count = 0;
  char *rest = NULL;
  memcpy(words, text, sizeof words);
  words[sizeof words - 1] = '\0';
  for (char *word = strtok_r(words, ",;", &rest); word && count < FG_SCREENS_MAX;
       word = strtok_r(NULL, ",;", &rest)) {
    word += strspn(word, " ");
    if (fg_quantity_parse(word, FG_Q_GRAIN_SIZE, &screens[count], NULL, message, sizeof message) ==
        FG_OK)
      ++count;
  }
  return count;
}

void fg_tune_defaults(const fg_scenario *scenario, fg_aim aim, fg_tune_options *options) {
  *options = (fg_tune_options){.aim = aim, .samples = FG_SAMPLES_DEFAULT, .seed = 1};
  options->screens = read_screens(scenario->limits.screens, options->screen_m);
  options->knob[FG_KNOB_THROTTLE] = (fg_knob_range){true, scenario->limits.throttle_least, 1.0};
  options->knob[FG_KNOB_GATE] = (fg_knob_range){true, 0.0, 1.0};
  options->knob[FG_KNOB_SLOPE] =
      (fg_knob_range){true, scenario->limits.slope_least, scenario->limits.slope_most};
  /* Who feeds so fast keeps it up, unless a limit was given. */
  const bool assumed = !fg_setting_given(scenario, FG_SET_LIMITS_FEED_MOST);
  const double most = scenario->limits.feed_most;
  options->knob[FG_KNOB_FEED] =
      (fg_knob_range){aim == FG_AIM_GOLD_PER_HOUR, scenario->limits.feed_least,
                      assumed ? fmax(most, scenario->run.feed) : most};
  options->knob[FG_KNOB_SCREEN].free = options->screens > 1;
}
