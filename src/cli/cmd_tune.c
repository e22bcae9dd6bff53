/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "core/nearest.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/plot.h"
#include "pages/tune_report.h"
#include "study/knobs.h"
#include "study/tune_table.h"

/* ---- options ---- */

static int read_free(const fg_call *call, fg_tune_options *options) {
  int named[FG_KNOBS];
  const size_t count = fg_call_names(call, "--free", named);
  for (int k = 0; count > 0 && k < FG_KNOBS; ++k)
    options->knob[k].free = false;
  for (size_t i = 0; i < count; ++i) {
    if (named[i] == FG_KNOB_SCREEN && options->screens < 2)
      return fg_call_fail("--free: screen: name at least two screens you own, for instance "
                          "--set limits.screens=\"1/4 in, 1/8 in\"");
    if (named[i] == FG_KNOB_FEED && options->aim == FG_AIM_LEAST_LOSS)
      return fg_call_fail("--free: feed: with --aim least-loss the feed is given; the least "
                          "loss would be no feed at all");
    options->knob[named[i]].free = true;
  }
  return 0;
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
  fg_ensemble_choice choice;
  const fg_aim aim = (fg_aim)fg_call_number(call, "--aim", FG_AIM_GOLD_PER_HOUR);
  int wrong = fg_call_ensemble(call, &choice);
  if (wrong != 0)
    return wrong;
  fg_tune_defaults(scenario, aim, options);
  options->samples = choice.exact ? 1 : choice.samples;
  options->seed = choice.seed;
  if (choice.exact)
    options->exact = true;
  wrong = read_free(call, options);
  return wrong == 0 ? check_ranges(options) : wrong;
}

/* ---- one search ---- */

/* The nominal runs behind a recommendation. */
typedef struct nominal_runs {
  fg_scenario best_scenario;
  fg_loss best, present;
  bool present_runs;
} nominal_runs;

static fg_status run_nominal(const fg_scenario *scenario, const fg_tuned *tuned, nominal_runs *n) {
  fg_status status = fg_tune_apply(scenario, tuned->best.at, &n->best_scenario);
  if (status == FG_OK)
    status = fg_loss_run(&n->best_scenario, NULL, &n->best);
  if (status != FG_OK)
    return status;
  const fg_status now = fg_loss_run(scenario, NULL, &n->present);
  n->present_runs = now == FG_OK;
  return now == FG_ESTALL ? FG_OK : now;
}

static int tell_best(const fg_call *call, const fg_scenario *scenario,
                     const fg_tune_options *options, const fg_tuned *tuned) {
  nominal_runs *n = calloc(1, sizeof *n);
  fg_bands bands;
  if (!n)
    return fg_call_unsolved(scenario, FG_EMEMORY);
  int code;
  fg_status status = run_nominal(scenario, tuned, n);
  const bool stalls = status == FG_ESTALL;
  if (status == FG_OK && !options->exact)
    status =
        fg_ensemble_run(&n->best_scenario, &n->best, NULL, options->samples, options->seed, &bands);
  if (status == FG_OK) {
    const fg_tune_story story = {.scenario = scenario,
                                 .best_scenario = &n->best_scenario,
                                 .options = options,
                                 .tuned = tuned,
                                 .loss = &n->best,
                                 .bands = options->exact ? NULL : &bands,
                                 .present_loss = n->present_runs ? &n->present : NULL,
                                 .units = call->units};
    code = fg_call_emit(call, fg_tune_report(&story), FG_EXIT_DONE);
    if (!options->exact)
      fg_ensemble_free(&bands);
  } else if (stalls) {
    code = fg_call_no_answer(
        "%s: the deck stalls even at the best settings within the limits, but for "
        "a lucky few of the runs: use drier or finer ground, or a stronger blower",
        scenario->file);
  } else {
    code = fg_call_unsolved(scenario, status);
  }
  fg_loss_free(&n->best);
  fg_loss_free(&n->present);
  free(n);
  return code;
}

static int search(const fg_call *call, const fg_scenario *scenario,
                  const fg_tune_options *options) {
  fg_tuned tuned;
  const fg_status status = fg_tune_run(scenario, options, &tuned);
  if (status == FG_ESTALL) {
    return fg_call_no_answer("%s: the deck stalls at every setting within the limits: use drier or "
                             "finer ground, more shake or a stronger blower, or widen limits.*",
                             scenario->file);
  }
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  return tell_best(call, scenario, options, &tuned);
}

/* ---- the table over the ground ---- */

/* The lists that were given instead of the usual ones. */
static int read_grid(const fg_call *call, fg_tune_grid *grid) {
  double moistures[FG_MOISTURES_MAX + 1];
  const size_t given = fg_call_percents(call, "--for-moisture", moistures, FG_MOISTURES_MAX + 1);
  int named[FG_GRAIN_KINDS];
  const size_t count = fg_call_names(call, "--for-grain", named);
  if (count > 0)
    memset(grid->grain, 0, sizeof grid->grain);
  for (size_t i = 0; i < count; ++i)
    grid->grain[named[i]] = true;
  if (given > FG_MOISTURES_MAX)
    return fg_call_fail("--for-moisture: at most %d moistures", FG_MOISTURES_MAX);
  if (given > 0) {
    memcpy(grid->moisture, moistures, given * sizeof moistures[0]);
    grid->moistures = given;
  }
  return 0;
}

static int draw_card(const fg_call *call, const fg_scenario *scenario, const fg_tune_cell *cells,
                     size_t count) {
  const char *path = fg_call_option(call, "--picture");
  char message[2048];
  fg_plot plot;
  fg_status status = fg_plot_make_settings(scenario, call->units, cells, count, &plot);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  status = fg_plot_draw("settings", &plot, path, message, sizeof message);
  fg_plot_free(&plot);
  return status == FG_OK ? 0 : fg_call_fail("%s", message);
}

static int tell_table(const fg_call *call, const fg_scenario *scenario,
                      const fg_tune_options *given) {
  fg_tune_cell cells[FG_MOISTURES_MAX * FG_GRAIN_KINDS];
  fg_tune_options options;
  fg_tune_grid grid;
  size_t count = 0;
  fg_tune_table_defaults(scenario, &options, &grid);
  const int wrong = read_grid(call, &grid);
  if (wrong != 0)
    return wrong;
  options.aim = given->aim;
  options.seed = given->seed;
  options.exact = given->exact;
  if (fg_call_option(call, "--samples") || options.exact)
    options.samples = given->samples;
  if (fg_call_option(call, "--free"))
    memcpy(options.knob, given->knob, sizeof options.knob);
  else
    options.knob[FG_KNOB_FEED].free = given->knob[FG_KNOB_FEED].free;
  const fg_status status = fg_tune_table_run(scenario, &options, &grid, cells, &count);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  const int drawn = fg_call_option(call, "--picture") ? draw_card(call, scenario, cells, count) : 0;
  if (drawn != 0)
    return drawn;
  return fg_call_emit(call, fg_tune_table_report(scenario, cells, count, call->units),
                      FG_EXIT_DONE);
}

/* A picture that cannot be written is told before the work, not after it. */
static int check_picture(const fg_call *call, bool table) {
  const char *path = fg_call_option(call, "--picture");
  char message[2048];
  if (!path)
    return 0;
  if (!table)
    return fg_call_fail("--picture: it shows the table: give --for-moisture or --for-grain too");
  if (fg_plot_target(path, message, sizeof message) != FG_OK)
    return fg_call_fail("--picture: %s", message);
  return 0;
}

int fg_cmd_tune(fg_call *call) {
  fg_scenario scenario;
  fg_tune_options options;
  const bool table = fg_call_option(call, "--for-moisture") || fg_call_option(call, "--for-grain");
  int wrong = check_picture(call, table);
  if (wrong == 0)
    wrong = fg_call_scenario(call, &scenario);
  if (wrong == 0)
    wrong = read_options(call, &scenario, &options);
  if (wrong != 0)
    return wrong;
  return table ? tell_table(call, &scenario, &options) : search(call, &scenario, &options);
}
