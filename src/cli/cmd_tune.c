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
#include "study/best.h"
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

/* A search and the nominal runs behind its recommendation. */
typedef struct found {
  fg_best best;
  fg_loss loss, present;
  bool present_runs;
} found;

/* Told between cleanings as far apart as in the file, so that the settings alone make the gain. */
static fg_status run_nominal(const fg_scenario *scenario, found *f) {
  f->best.set.run.cleaning_interval = scenario->run.cleaning_interval;
  const fg_status status = fg_loss_run(&f->best.set, NULL, &f->loss);
  if (status != FG_OK)
    return status;
  const fg_status now = fg_loss_run(scenario, NULL, &f->present);
  f->present_runs = now == FG_OK;
  return now == FG_ESTALL ? FG_OK : now;
}

static int tell_best(const fg_call *call, const fg_scenario *scenario,
                     const fg_tune_options *options, found *f) {
  fg_bands bands;
  int code;
  fg_status status = run_nominal(scenario, f);
  const bool stalls = status == FG_ESTALL;
  if (status == FG_OK && !options->exact)
    status = fg_ensemble_run(&f->best.set, &f->loss, NULL, options->samples, options->seed, &bands);
  if (status == FG_OK) {
    const fg_tune_story story = {.scenario = scenario,
                                 .options = options,
                                 .best = &f->best,
                                 .loss = &f->loss,
                                 .bands = options->exact ? NULL : &bands,
                                 .present_loss = f->present_runs ? &f->present : NULL,
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
  fg_loss_free(&f->loss);
  fg_loss_free(&f->present);
  return code;
}

static int unsolved(const fg_scenario *scenario, fg_status status) {
  if (status == FG_ESTALL)
    return fg_call_no_answer("%s: the deck stalls at every setting within the limits: use drier or "
                             "finer ground, more shake or a stronger blower, or widen limits.*",
                             scenario->file);
  return fg_call_unsolved(scenario, status);
}

static int search(const fg_call *call, const fg_scenario *scenario,
                  const fg_tune_options *options) {
  found *f = calloc(1, sizeof *f);
  if (!f)
    return fg_call_unsolved(scenario, FG_EMEMORY);
  const fg_status status = fg_best_run(scenario, options, &f->best);
  const int code =
      status == FG_OK ? tell_best(call, scenario, options, f) : unsolved(scenario, status);
  free(f);
  return code;
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

static int draw_card(const fg_call *call, const fg_scenario *scenario, const fg_tune_cell *own,
                     const fg_tune_cell *cells, size_t count) {
  const char *path = fg_call_option(call, "--picture");
  char message[2048];
  fg_plot plot;
  fg_status status = fg_plot_make_settings(scenario, call->units, own, cells, count, &plot);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  status = fg_plot_draw("settings", &plot, path, message, sizeof message);
  fg_plot_free(&plot);
  return status == FG_OK ? 0 : fg_call_fail("%s", message);
}

/* What was asked of the cells. */
static void cell_options(const fg_call *call, const fg_tune_options *given,
                         fg_tune_options *options) {
  options->aim = given->aim;
  options->seed = given->seed;
  options->exact = given->exact;
  if (fg_call_option(call, "--samples") || options->exact)
    options->samples = given->samples;
  if (fg_call_option(call, "--free"))
    memcpy(options->knob, given->knob, sizeof options->knob);
  else
    options->knob[FG_KNOB_FEED].free = given->knob[FG_KNOB_FEED].free;
}

static int tell_cells(const fg_call *call, const fg_scenario *scenario,
                      const fg_tune_options *given, const fg_tune_grid *asked,
                      const fg_best *best) {
  fg_tune_cell own, cells[FG_MOISTURES_MAX * FG_GRAIN_KINDS];
  fg_tune_options options;
  fg_tune_grid grid;
  size_t count = 0;
  fg_tune_table_defaults(&best->set, &options, &grid);
  cell_options(call, given, &options);
  const fg_status status = fg_tune_table_run(best, &options, asked, &own, cells, &count);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  const int drawn =
      fg_call_option(call, "--picture") ? draw_card(call, scenario, &own, cells, count) : 0;
  if (drawn != 0)
    return drawn;
  return fg_call_emit(call, fg_tune_table_report(scenario, &own, cells, count, call->units),
                      FG_EXIT_DONE);
}

static int tell_table(const fg_call *call, const fg_scenario *scenario,
                      const fg_tune_options *given) {
  fg_tune_options options;
  fg_tune_grid grid;
  fg_tune_table_defaults(scenario, &options, &grid);
  const int wrong = read_grid(call, &grid);
  if (wrong != 0)
    return wrong;
  fg_best *best = malloc(sizeof *best);
  if (!best)
    return fg_call_unsolved(scenario, FG_EMEMORY);
  const fg_status status = fg_best_run(scenario, given, best);
  const int code =
      status == FG_OK ? tell_cells(call, scenario, given, &grid, best) : unsolved(scenario, status);
  free(best);
  return code;
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
