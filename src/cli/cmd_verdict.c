/* SPDX-License-Identifier: GPL-3.0-or-later */
/* verdict FILE --buckets N --found MASS: the disappointing day. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/verdict_report.h"

enum { SAMPLES = 1024 };

/* Of a pocket scale, where no error is written. */
static const double scale_kg = 1e-6, scale_share = 0.02;

typedef struct verdict_call {
  fg_scenario scenario;
  fg_counts tail;
  fg_evidence evidence;
  fg_verdict verdict;
  fg_ensemble_choice choice;
  double buckets;
} verdict_call;

static int read_buckets(const fg_call *call, double *buckets) {
  *buckets = fg_call_number(call, "--buckets", 0.0);
  return *buckets > 0.0
             ? 0
             : fg_call_fail("verdict needs --buckets N: how many level buckets were run");
}

static int read_found(const fg_call *call, fg_evidence *evidence) {
  double error = 0.0;
  if (!fg_call_pair(call, "--found", &evidence->found_kg, &error))
    return fg_call_fail("verdict needs --found MASS: the gold in the catch, for example '120 mg'");
  evidence->error_kg = error > 0.0 ? error : fmax(scale_kg, scale_share * evidence->found_kg);
  return 0;
}

static int read_tail(const fg_call *call, verdict_call *work) {
  const char *path = fg_call_option(call, "--tailings");
  if (!path)
    return 0;
  work->evidence.tail = &work->tail;
  return fg_call_counts(path, &work->scenario, &work->tail);
}

static int read_samples(const fg_call *call, fg_ensemble_choice *choice) {
  const int wrong = fg_call_ensemble(call, choice);
  choice->samples = (size_t)fg_call_number(call, "--samples", SAMPLES);
  return wrong;
}

static int unanswered(const fg_scenario *s, fg_status status) {
  if (status == FG_ESTALL)
    return fg_call_no_answer("%s: in nearly all runs the deck stalls with these settings, so "
                             "gravel cannot have run over it as the file says; `flourgold loss` "
                             "shows what is missing",
                             s->file);
  if (status == FG_ENOROOT)
    return fg_call_no_answer("%s: none of the runs can have given such finds, whatever is in "
                             "doubt: check --buckets, --found and gold.grade for their units",
                             s->file);
  return fg_call_unsolved(s, status);
}

static int run(const fg_call *call, verdict_call *work) {
  const fg_scenario *s = &work->scenario;
  work->evidence.loose_m3 = work->buckets * s->sample.bucket;
  const fg_status status =
      fg_verdict_run(s, &work->evidence, work->choice.samples, work->choice.seed, &work->verdict);
  if (status != FG_OK)
    return unanswered(s, status);
  const fg_verdict_story story = {.scenario = s,
                                  .evidence = &work->evidence,
                                  .verdict = &work->verdict,
                                  .buckets = work->buckets,
                                  .seed = work->choice.seed,
                                  .units = call->units};
  return fg_call_emit(call, fg_verdict_report(&story), FG_EXIT_DONE);
}

int fg_cmd_verdict(fg_call *call) {
  verdict_call *work = calloc(1, sizeof *work);
  if (!work)
    return fg_call_fail("%s", fg_status_text(FG_EMEMORY));
  int code = read_buckets(call, &work->buckets);
  if (code == 0)
    code = read_found(call, &work->evidence);
  if (code == 0)
    code = read_samples(call, &work->choice);
  if (code == 0)
    code = fg_call_scenario(call, &work->scenario);
  if (code == 0)
    code = read_tail(call, work);
  if (code == 0)
    code = run(call, work);
  fg_counts_free(&work->tail);
  free(work);
  return code;
}
