/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/sample_report.h"

enum { SEED = 1 };

/* Everything one call works out, for one place to free it. */
typedef struct sampling {
  fg_scenario scenario;
  fg_sample_basis basis;
  fg_sample_plan plan;
  fg_leave_or_stay table;
  fg_sample_doubt doubt;
  fg_counts counts;
  fg_sample_result result;
} sampling;

static void sampling_free(sampling *work) {
  fg_sample_basis_free(&work->basis);
  fg_sample_doubt_free(&work->doubt);
  fg_counts_free(&work->counts);
  fg_sample_result_free(&work->result);
  free(work);
}

static int write_form(const fg_call *call, const fg_scenario *scenario) {
  char *form = fg_sample_form_csv(scenario, call->units);
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_report_columns(report, 400);
  if (form) {
    fg_string(root, "form", NULL, form, FG_DATA_ONLY);
    fg_verbatim(root, form);
  }
  free(form);
  return fg_call_emit(call, report, form ? FG_EXIT_DONE : FG_EXIT_WRONG);
}

static int stalled(const fg_scenario *scenario) {
  return fg_call_no_answer(
      "%s: the deck stalls with these settings, so it catches nothing to count; "
      "`flourgold loss` shows what would help, and sample.method = \"pan\" plans "
      "for buckets panned whole",
      scenario->file);
}

/* The model's doubt, and what the counts say. */
static int judge(const char *path, sampling *work, fg_sample_story *story) {
  const int wrong = fg_call_counts(path, &work->scenario, &work->counts);
  if (wrong != FG_EXIT_DONE)
    return wrong;
  fg_status status =
      fg_sample_doubt_new(&work->scenario, &work->basis, &work->counts, SEED, &work->doubt);
  if (status == FG_OK)
    status =
        fg_sample_judge(&work->scenario, &work->basis, &work->doubt, &work->counts, &work->result);
  if (status == FG_EDOMAIN) {
    return fg_call_no_answer(
        "%s: no colours of the sizes counted in %s can be expected at any grade, "
        "so they cannot be turned into one: gold.classes holds no such sizes, or "
        "the deck keeps none of them",
        work->scenario.file, path);
  }
  if (status != FG_OK)
    return fg_call_fail("%s: %s", path, fg_status_text(status));
  story->doubt = &work->doubt;
  story->counts = &work->counts;
  story->result = &work->result;
  return FG_EXIT_DONE;
}

static fg_status prepare(sampling *work, fg_sample_story *story) {
  const size_t rows = (size_t)work->scenario.sample.most_buckets;
  fg_status status = fg_sample_plan_make(&work->scenario, &work->basis, &work->plan);
  const fg_sequential_odds unknown = {NAN, NAN, NAN, NAN};
  story->at_leave = story->at_stay = unknown;
  story->scenario = &work->scenario;
  story->basis = &work->basis;
  story->plan = &work->plan;
  if (status == FG_OK)
    status = fg_leave_or_stay_new(&work->scenario, SEED, &work->table);
  if (status != FG_OK)
    return status == FG_EDOMAIN ? FG_OK : status;
  story->table = work->table.count > 0 ? &work->table : NULL;
  if (!work->table.own)
    return FG_OK;
  const fg_sequential *test = &work->table.test;
  status = fg_sequential_odds_at(test, test->leave, rows, &story->at_leave);
  if (status == FG_OK)
    status = fg_sequential_odds_at(test, test->stay, rows, &story->at_stay);
  return status == FG_EMEMORY ? status : FG_OK;
}

static int sample(const fg_call *call, sampling *work) {
  fg_sample_story story = {.units = call->units};
  const char *counts = fg_call_option(call, "--counts");
  if (fg_call_flag(call, "--form"))
    return fg_call_keeps_old(call) != 0 ? FG_EXIT_WRONG : write_form(call, &work->scenario);
  fg_status status = fg_sample_basis_new(&work->scenario, &work->basis);
  if (status == FG_ESTALL)
    return stalled(&work->scenario);
  if (status != FG_OK)
    return fg_call_unsolved(&work->scenario, status);
  status = prepare(work, &story);
  if (status != FG_OK)
    return fg_call_fail("%s: %s", work->scenario.file, fg_status_text(status));
  const int wrong = counts ? judge(counts, work, &story) : FG_EXIT_DONE;
  return wrong != FG_EXIT_DONE ? wrong : fg_call_emit(call, fg_sample_report(&story), FG_EXIT_DONE);
}

int fg_cmd_sample(fg_call *call) {
  sampling *work = calloc(1, sizeof *work);
  if (!work)
    return fg_call_fail("%s", fg_status_text(FG_EMEMORY));
  int code = fg_call_scenario(call, &work->scenario);
  if (code == FG_EXIT_DONE)
    code = sample(call, work);
  sampling_free(work);
  return code;
}
