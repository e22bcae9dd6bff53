/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "flourgold/config.h"
#include "flourgold/nearest.h"
#include "flourgold/settings.h"
#include "flourgold/tune_report.h"

/* ---- options ---- */

static int read_aim(const fg_call *call, fg_aim *aim) {
  static const char *const aims[] = {"gold-per-hour", "least-loss", NULL};
  const char *word = fg_call_option(call, "--aim");
  *aim = FG_AIM_GOLD_PER_HOUR;
  if (!word) return 0;
  for (int i = 0; aims[i]; ++i)
    if (strcmp(word, aims[i]) == 0) {
      *aim = (fg_aim)i;
      return 0;
    }
  const char *near = fg_nearest(word, aims);
  return fg_call_fail("--aim: no aim \"%.40s\"%s%s%s; there are gold-per-hour and least-loss", word,
                      near ? ", did you mean " : "", near ? near : "", near ? "" : "");
}

static int free_knob(const char *name, fg_tune_options *options) {
  for (int k = 0; fg_knob_names[k]; ++k)
    if (strcmp(name, fg_knob_names[k]) == 0) {
      if (k == FG_KNOB_SCREEN && options->screens < 2)
        return fg_call_fail("--free: screen: name at least two screens you own, for instance "
                            "--set limits.screens=\"1/4 in, 1/8 in\"");
      if (k == FG_KNOB_FEED && options->aim == FG_AIM_LEAST_LOSS)
        return fg_call_fail("--free: feed: with --aim least-loss the feed is given; the least "
                            "loss would be no feed at all");
      options->knob[k].free = true;
      return 0;
    }
  const char *near = fg_nearest(name, fg_knob_names);
  return fg_call_fail("--free: no knob \"%.40s\"%s%s; there are throttle, gate, slope, feed and "
                      "screen",
                      name, near ? ", did you mean " : "", near ? near : "");
}

static int read_free(const fg_call *call, fg_tune_options *options) {
  const char *list = fg_call_option(call, "--free");
  char words[256], *rest = NULL;
  if (!list) return 0;
  if (strlen(list) >= sizeof words) return fg_call_fail("--free: the list is too long");
  for (int k = 0; k < FG_KNOBS; ++k) options->knob[k].free = false;
  memcpy(words, list, strlen(list) + 1);
  size_t count = 0;
  for (char *word = strtok_r(words, ", ", &rest); word; word = strtok_r(NULL, ", ", &rest)) {
    const int wrong = free_knob(word, options);
    if (wrong != 0) return wrong;
    ++count;
  }
  return count > 0 ? 0 : fg_call_fail("--free: name at least one knob: throttle, gate, slope, "
                                      "feed, screen");
}

static int check_ranges(const fg_tune_options *options) {
  for (int k = 0; k < FG_KNOB_SCREEN; ++k)
    if (options->knob[k].free && !(options->knob[k].low < options->knob[k].high))
      return fg_call_fail("limits: the range of the %s is empty: its least must be below its most",
                          fg_knob_names[k]);
  return 0;
}

static int read_options(const fg_call *call, const fg_scenario *scenario,
                        fg_tune_options *options) {
  fg_aim aim;
  fg_ensemble_choice choice;
  int wrong = read_aim(call, &aim);
  if (wrong == 0) wrong = fg_call_ensemble(call, &choice);
  if (wrong != 0) return wrong;
  fg_tune_defaults(scenario, aim, options);
  options->samples = choice.exact ? 1 : choice.samples;
  options->seed = choice.seed;
  if (choice.exact) options->exact = true;
  wrong = read_free(call, options);
  return wrong == 0 ? check_ranges(options) : wrong;
}

/* ---- one search ---- */

static int tell_best(const fg_call *call, const fg_scenario *scenario,
                     const fg_tune_options *options, const fg_tuned *tuned) {
  fg_scenario *best = malloc(sizeof *best);
  fg_loss loss = {0};
  fg_bands bands;
  if (!best) return fg_call_unsolved(scenario, FG_EMEMORY);
  fg_status status = fg_tune_apply(scenario, tuned->best.at, best);
  if (status == FG_OK) status = fg_loss_run(best, NULL, &loss);
  int code;
  if (status == FG_OK &&
      (status = fg_bands_run(best, &loss, NULL, options->samples, options->seed, &bands)) ==
          FG_OK) {
    const fg_tune_story story = {.scenario = scenario,
                                 .best_scenario = best,
                                 .options = options,
                                 .tuned = tuned,
                                 .loss = &loss,
                                 .bands = &bands,
                                 .units = call->units};
    code = fg_call_emit(call, fg_tune_report(&story), FG_EXIT_DONE);
    fg_bands_free(&bands);
  } else if (status == FG_ESTALL) {
    (void)fg_call_fail("%s: the deck stalls even at the best settings within the limits: use "
                       "drier or finer ground, or a stronger blower",
                       scenario->file);
    code = FG_EXIT_NO_ANSWER;
  } else {
    code = fg_call_unsolved(scenario, status);
  }
  fg_loss_free(&loss);
  free(best);
  return code;
}

static int search(const fg_call *call, const fg_scenario *scenario,
                  const fg_tune_options *options) {
  fg_tuned tuned;
  const fg_status status = fg_tune_run(scenario, options, &tuned);
  if (status == FG_ESTALL) {
    (void)fg_call_fail("%s: the deck stalls at every setting within the limits: use drier or "
                       "finer ground, more shake or a stronger blower, or widen limits.*",
                       scenario->file);
    return FG_EXIT_NO_ANSWER;
  }
  if (status != FG_OK) return fg_call_unsolved(scenario, status);
  return tell_best(call, scenario, options, &tuned);
}

/* ---- the table over the ground ---- */

enum { MOISTURES_MAX = 8, GRAINS = 3, CELL_SAMPLES = 24 };

/* Median grain of the ground as shovelled. */
static const struct {
  const char *name;
  double median_m;
} grains[GRAINS] = {{"fine", 0.8e-3}, {"medium", 1.9e-3}, {"coarse", 3.8e-3}};

static int read_moistures(const char *list, double moistures[MOISTURES_MAX], size_t *count) {
  char words[128], *rest = NULL;
  if (strlen(list) >= sizeof words) return fg_call_fail("--for-moisture: the list is too long");
  memcpy(words, list, strlen(list) + 1);
  *count = 0;
  for (char *word = strtok_r(words, ", %", &rest); word; word = strtok_r(NULL, ", %", &rest)) {
    char *end = NULL;
    const double percent = strtod(word, &end);
    if (*end != '\0' || !(percent >= 0.0 && percent <= 40.0))
      return fg_call_fail("--for-moisture: \"%.40s\" is not a moisture: percent from 0 to 40, with "
                          "commas between",
                          word);
    if (*count == MOISTURES_MAX)
      return fg_call_fail("--for-moisture: at most %d moistures", MOISTURES_MAX);
    moistures[(*count)++] = percent / 100.0;
  }
  return *count > 0 ? 0 : fg_call_fail("--for-moisture: name at least one, for instance 0.5,1,2,3");
}

static int read_grains(const char *list, bool wanted[GRAINS]) {
  char words[128], *rest = NULL;
  if (strlen(list) >= sizeof words) return fg_call_fail("--for-grain: the list is too long");
  memcpy(words, list, strlen(list) + 1);
  size_t count = 0;
  for (char *word = strtok_r(words, ", ", &rest); word; word = strtok_r(NULL, ", ", &rest)) {
    bool known = false;
    for (size_t i = 0; i < GRAINS; ++i)
      if (strcmp(word, grains[i].name) == 0) known = wanted[i] = true;
    if (!known)
      return fg_call_fail("--for-grain: no grain \"%.40s\"; there are fine, medium and coarse",
                          word);
    ++count;
  }
  return count > 0 ? 0 : fg_call_fail("--for-grain: name at least one of fine, medium, coarse");
}

static fg_status tune_cell(const fg_scenario *scenario, const fg_tune_options *options,
                           fg_tune_cell *cell) {
  static const char *const keys[] = {"ground.moisture", "ground.median_grain"};
  const double values[] = {cell->moisture, cell->median_m};
  fg_scenario ground = *scenario;
  for (size_t i = 0; i < 2; ++i) {
    const int row = fg_setting_find(keys[i]);
    *fg_setting_number(&fg_settings[row], &ground) = values[i];
    ground.origin[row] = FG_FROM_SET;
    ground.error_of[row] = 0.0;
  }
  ground.ground.sieve_count = 0;
  fg_tuned tuned;
  fg_status status = fg_scenario_resolve(&ground);
  if (status == FG_OK) status = fg_tune_run(&ground, options, &tuned);
  if (status == FG_ESTALL) {
    cell->stalls = true;
    return FG_OK;
  }
  if (status != FG_OK) return status;
  memcpy(cell->at, tuned.best.at, sizeof cell->at);
  cell->kept = tuned.best_kept;
  cell->kg_s = tuned.best_kg_s;
  cell->stall_share = tuned.best.stall_share;
  fg_scenario best;
  fg_machine machine;
  status = fg_tune_apply(&ground, tuned.best.at, &best);
  if (status == FG_OK) status = fg_machine_solve(&best, &machine);
  if (status == FG_OK) cell->box_pressure_pa = machine.at.box_pressure_pa;
  return status;
}

static int tell_table(const fg_call *call, const fg_scenario *scenario, fg_tune_options *options) {
  const char *moist = fg_call_option(call, "--for-moisture");
  const char *grain = fg_call_option(call, "--for-grain");
  double moistures[MOISTURES_MAX];
  bool wanted[GRAINS] = {false};
  fg_tune_cell cells[MOISTURES_MAX * GRAINS] = {{0}};
  size_t moisture_count = 0, count = 0;
  int wrong = read_moistures(moist ? moist : "0.5,1,2,3", moistures, &moisture_count);
  if (wrong == 0) wrong = read_grains(grain ? grain : "fine,medium,coarse", wanted);
  if (wrong != 0) return wrong;
  options->quick = true;
  if (!fg_call_option(call, "--samples") && !options->exact) options->samples = CELL_SAMPLES;
  if (!fg_call_option(call, "--free")) options->knob[FG_KNOB_SLOPE].free = false;
  for (size_t g = 0; g < GRAINS; ++g)
    for (size_t i = 0; i < moisture_count && wanted[g]; ++i) {
      fg_tune_cell *cell = &cells[count++];
      *cell = (fg_tune_cell){
          .moisture = moistures[i], .grain = grains[g].name, .median_m = grains[g].median_m};
      const fg_status status = tune_cell(scenario, options, cell);
      if (status != FG_OK) return fg_call_unsolved(scenario, status);
    }
  return fg_call_emit(call, fg_tune_table_report(scenario, cells, count, call->units),
                      FG_EXIT_DONE);
}

int fg_cmd_tune(fg_call *call) {
  fg_scenario scenario;
  fg_tune_options options;
  int wrong = fg_call_scenario(call, &scenario);
  if (wrong == 0) wrong = read_options(call, &scenario, &options);
  if (wrong != 0) return wrong;
  if (fg_call_option(call, "--for-moisture") || fg_call_option(call, "--for-grain"))
    return tell_table(call, &scenario, &options);
  return search(call, &scenario, &options);
}
