/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `loss` of several scenarios. */
#include "cli/beside.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/settings.h"
#include "pages/vary_report.h"
#include "scenario/differs.h"
#include "scenario/settings_table.h"
#include "study/same_ground.h"

/* All that stands side by side. */
typedef struct beside {
  fg_scenario scenario[FG_VARIANTS_MAX]; /* as read */
  fg_scenario fed[FG_VARIANTS_MAX];      /* on the ground that they share */
  fg_loss loss[FG_VARIANTS_MAX];
  fg_trial runs[FG_VARIANTS_MAX];
  fg_gain gains[FG_VARIANTS_MAX];
  fg_plan plans[FG_VARIANTS_MAX];
  char names[FG_VARIANTS_MAX][FG_VARIANT_WORDS];
  size_t count;
} beside;

static const char *base_of(const char *path) {
  const char *slash = strrchr(path, '/');
  return slash ? slash + 1 : path;
}

/* Names of files without folder and ending, unless two would read the same. */
static void name_all(const fg_call *call, beside *b) {
  bool alike = false;
  for (size_t i = 0; i < b->count; ++i) {
    const char *base = base_of(call->files[i]), *ending = strrchr(base, '.');
    const size_t length = ending && ending > base ? (size_t)(ending - base) : strlen(base);
    (void)snprintf(b->names[i], FG_VARIANT_WORDS, "%.*s",
                   (int)(length < FG_VARIANT_WORDS ? length : FG_VARIANT_WORDS - 1), base);
    for (size_t k = 0; k < i; ++k)
      alike = alike || strcmp(b->names[i], b->names[k]) == 0;
  }
  for (size_t i = 0; alike && i < b->count; ++i)
    (void)snprintf(b->names[i], FG_VARIANT_WORDS, "%.63s", call->files[i]);
}

/* Every file is read, so that all that is wrong is told at once. */
static int read_all(const fg_call *call, beside *b) {
  int wrong = 0;
  for (size_t i = 0; i < b->count; ++i) {
    const int code = fg_call_scenario_at(call, i, &b->scenario[i]);
    wrong = wrong != 0 ? wrong : code;
    b->fed[i] = b->scenario[i];
  }
  return wrong;
}

static bool same_gold(const fg_scenario *a, const fg_scenario *b) {
  bool same = true;
  for (int row = 0; row < FG_SETTINGS; ++row)
    same =
        same && !(fg_setting_same_group(row, FG_SET_GOLD_GRADE) && fg_setting_differs(a, b, row));
  return same;
}

/* The nominal run of one, on the first's ground where both tell of the same gold in the tray. */
static fg_status run_one(beside *b, size_t i, const fg_loss_options *options) {
  fg_scenario *fed = &b->fed[i];
  fg_status status = FG_OK;
  if (i > 0 && same_gold(&b->scenario[0], &b->scenario[i]))
    fg_feed_same_ground(fed, &b->loss[0]);
  else if (i > 0)
    status = fg_feed_own_ground(fed);
  if (status != FG_OK)
    return status;
  status = fg_loss_run(fed, options, &b->loss[i]);
  if (status != FG_OK && status != FG_ESTALL)
    return status;
  b->runs[i] = (fg_trial){.words = "", .row = FG_SET_NONE, .value = NAN};
  fg_trial_tell(&b->loss[i], status == FG_ESTALL, &b->runs[i]);
  if (i == 0)
    fg_feed_same_ground(fed, &b->loss[0]);
  return FG_OK;
}

static fg_status compare(beside *b, const fg_loss_options *options,
                         const fg_ensemble_choice *choice) {
  if (choice->exact)
    return fg_gains_between(b->fed, b->count, options, NULL, b->loss, b->runs, b->gains);
  fg_status status = fg_plans_new(b->fed, b->count, choice->samples, choice->seed, b->plans);
  if (status == FG_OK)
    status = fg_plan_weigh(&b->plans[0], &b->scenario[0]);
  if (status == FG_OK)
    status = fg_gains_between(b->fed, b->count, options, b->plans, b->loss, b->runs, b->gains);
  for (size_t i = 0; i < b->count; ++i)
    fg_plan_free(&b->plans[i]);
  return status;
}

static int tell(const fg_call *call, beside *b, const fg_loss_options *options,
                const fg_ensemble_choice *choice) {
  bool any = false;
  for (size_t i = 0; i < b->count; ++i) {
    const fg_status status = run_one(b, i, options);
    if (status != FG_OK)
      return fg_call_unsolved(&b->scenario[i], status);
    any = any || !b->runs[i].stalled;
  }
  const fg_status status = compare(b, options, choice);
  if (status != FG_OK)
    return fg_call_unsolved(b->scenario, status);
  const fg_vary_story story = {.scenario = b->scenario,
                               .loss = b->loss,
                               .row = FG_SET_NONE,
                               .count = b->count,
                               .words = (const char(*)[FG_VARIANT_WORDS])b->names,
                               .variants = b->runs,
                               .gains = b->gains,
                               .banded = !choice->exact,
                               .units = call->units};
  return fg_call_emit(call, fg_beside_report(&story), any ? FG_EXIT_DONE : FG_EXIT_NO_ANSWER);
}

int fg_call_beside(const fg_call *call, const fg_loss_options *options) {
  fg_ensemble_choice choice;
  const int wrong = fg_call_ensemble(call, &choice);
  if (wrong != 0)
    return wrong;
  if (fg_call_flag(call, "--vary"))
    return fg_call_fail("--vary varies a setting of one scenario, and there are %zu: leave out "
                        "--vary, or all scenarios but one",
                        call->file_count);
  if (call->file_count > FG_VARIANTS_MAX)
    return fg_call_fail("%zu scenarios are too many to stand side by side: at most %d",
                        call->file_count, FG_VARIANTS_MAX);
  beside *b = calloc(1, sizeof *b);
  if (!b)
    return fg_call_fail("%s", fg_status_text(FG_EMEMORY));
  b->count = call->file_count;
  name_all(call, b);
  int code = read_all(call, b);
  if (code == 0)
    code = tell(call, b, options, &choice);
  for (size_t i = 0; i < b->count; ++i)
    fg_loss_free(&b->loss[i]);
  free(b);
  return code;
}
