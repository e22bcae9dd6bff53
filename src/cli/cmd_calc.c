/* SPDX-License-Identifier: GPL-3.0-or-later */
/* calc NAME key=value ...: one published formula at a time. */
#include <math.h>
#include <string.h>

#include "cli/calc.h"
#include "core/nearest.h"

enum { FORMULAS_MAX = 100 };

static const fg_calc *find_formula(const char *name) {
  for (size_t i = 0; i < fg_calcs_count; ++i)
    if (strcmp(fg_calcs[i]->name, name) == 0)
      return fg_calcs[i];
  return NULL;
}

static int unknown_formula(const char *name) {
  const char *names[FORMULAS_MAX + 1] = {NULL};
  for (size_t i = 0; i < fg_calcs_count && i < FORMULAS_MAX; ++i)
    names[i] = fg_calcs[i]->name;
  const char *near = fg_nearest(name, names);
  if (near)
    return fg_call_fail("calc: there is no formula '%s'; did you mean '%s'?", name, near);
  return fg_call_fail("calc: there is no formula '%s'; 'flourgold calc' lists them", name);
}

static bool anything_needed(const fg_calc *formula) {
  if (formula->pairs)
    return true;
  for (size_t i = 0; i < fg_calc_input_count(formula); ++i)
    if (formula->inputs[i].need == FG_CALC_NEEDED)
      return true;
  return false;
}

static bool complete(const fg_calc_work *work) {
  for (size_t i = 0; i < FG_CALC_OUTPUTS && work->formula->outputs[i].name; ++i)
    if (!isfinite(work->results[i]))
      return false;
  return true;
}

static int report_faults(const fg_calc_work *work) {
  for (size_t i = 0; i < work->faults.count; ++i)
    (void)fg_call_fail("%s", work->faults.lines[i]);
  if (work->faults.count == 0)
    (void)fg_call_fail("calc %s: %s", work->formula->name, fg_status_text(FG_EMEMORY));
  return FG_EXIT_WRONG;
}

static int work_formula(const fg_call *call, fg_calc_work *work) {
  fg_calc_read(work, call->words + 1, call->word_count - 1);
  fg_status status = work->refused ? FG_ESCENARIO : work->formula->work(work);
  if (work->refused)
    return report_faults(work);
  if (status == FG_OK && complete(work))
    return fg_call_emit(call, fg_calc_report_result(work, call->word_count == 1), FG_EXIT_DONE);
  (void)fg_call_fail("calc %s: %s", work->formula->name,
                     fg_status_text(status != FG_OK ? status : FG_EDOMAIN));
  return status == FG_EMEMORY ? FG_EXIT_WRONG : FG_EXIT_NO_ANSWER;
}

int fg_cmd_calc(fg_call *call) {
  if (call->word_count == 0)
    return fg_call_emit(call, fg_calc_report_list(), FG_EXIT_DONE);
  const fg_calc *formula = find_formula(call->words[0]);
  if (!formula)
    return unknown_formula(call->words[0]);
  if (call->word_count == 1 && anything_needed(formula)) {
    (void)fg_call_fail("calc %s: no arguments are given, so this is what it takes", formula->name);
    return fg_call_emit(call, fg_calc_report_help(formula), FG_EXIT_WRONG);
  }
  fg_calc_work work = {.formula = formula, .source = formula->source};
  for (size_t i = 0; i < FG_CALC_OUTPUTS; ++i)
    work.results[i] = (double)NAN;
  int code = work_formula(call, &work);
  fg_complaints_free(&work.faults);
  return code;
}
