/* SPDX-License-Identifier: GPL-3.0-or-later */
/* blowers FILE: which blower to carry. */
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "flourgold/catalogue.h"
#include "flourgold/complaints.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/blowers_report.h"
#include "study/same_ground.h"

/* The blowers to compare, each on the scenario. */
typedef struct choices {
  fg_scenario *each;
  size_t count;
} choices;

static bool make_room(choices *c, size_t more) {
  fg_scenario *grown = realloc(c->each, (c->count + more) * sizeof *grown);
  if (!grown)
    return false;
  c->each = grown;
  return true;
}

static int read_catalogue(const fg_call *call, const fg_scenario *scenario, choices *c) {
  const char *path = fg_call_option(call, "--catalogue");
  fg_complaints complaints = {0};
  const fg_status status = fg_catalogue_read(path, scenario, &c->each, &c->count, &complaints);
  return fg_call_complain(path ? path : "the catalogue of classes", status, &complaints);
}

static int add_labels(const fg_call *call, const fg_scenario *scenario, choices *c) {
  for (size_t i = 0; i < call->given_count; ++i) {
    char message[512];
    const char *label = call->given[i].value;
    if (strcmp(call->given[i].option->name, "--label") != 0)
      continue;
    if (!make_room(c, 1))
      return fg_call_unsolved(scenario, FG_EMEMORY);
    const fg_status status =
        fg_catalogue_label(label, scenario, &c->each[c->count], message, sizeof message);
    if (status == FG_ESCENARIO)
      return fg_call_fail("--label '%.60s': %s", label, message);
    if (status != FG_OK)
      return fg_call_unsolved(scenario, status);
    ++c->count;
  }
  return FG_EXIT_DONE;
}

/* The scenario's own, unless it is one of the catalogue. */
static int add_own(const fg_scenario *scenario, choices *c) {
  for (size_t i = 0; i < c->count; ++i)
    if (*scenario->blower.name != '\0' &&
        strcmp(scenario->blower.name, c->each[i].blower.name) == 0)
      return FG_EXIT_DONE;
  if (!make_room(c, 1))
    return fg_call_unsolved(scenario, FG_EMEMORY);
  fg_scenario *own = &c->each[c->count++];
  *own = *scenario;
  (void)snprintf(own->blower.name, FG_TEXT_MAX, "%s", fg_blower_name(scenario));
  return FG_EXIT_DONE;
}

/* All blowers on one ground; kind NULL: the scenario's own. */
static fg_status judge_on(const choices *c, const fg_ground_kind *kind,
                          const fg_blowers_options *options, fg_blower_verdict *verdicts) {
  fg_scenario *each = malloc(c->count * sizeof *each);
  if (!each)
    return FG_EMEMORY;
  memcpy(each, c->each, c->count * sizeof *each);
  fg_status status = FG_OK;
  for (size_t i = 0; i < c->count && kind && status == FG_OK; ++i)
    status = fg_ground_put(kind, &each[i]);
  if (status == FG_OK)
    status = fg_blowers_judge(each, c->count, options, verdicts);
  free(each);
  return status;
}

static void describe_ground(const fg_scenario *s, fg_unit_system units, char *text, size_t size) {
  char moisture[48], clay[48], grain[48];
  (void)fg_quantity_text(FG_Q_PERCENT, units, s->ground.moisture, moisture, sizeof moisture);
  (void)fg_quantity_text(FG_Q_PERCENT, units, s->ground.clay, clay, sizeof clay);
  (void)fg_quantity_text(FG_Q_GRAIN_SIZE, units, s->ground.median_grain, grain, sizeof grain);
  (void)snprintf(text, size, "yours: %s moisture, %s clay, median grain %s", moisture, clay, grain);
}

static int tell(const fg_call *call, const fg_scenario *scenario, const choices *c,
                const fg_blowers_options *options) {
  const char *catalogue = fg_call_option(call, "--catalogue");
  char words[200];
  const bool known = fg_ground_known(scenario);
  fg_blowers_story story = {.scenario = scenario,
                            .catalogue = catalogue ? catalogue : "the catalogue of classes",
                            .grounds = known ? 1 : FG_GROUND_KINDS,
                            .count = c->count,
                            .options = *options,
                            .units = call->units};
  fg_blower_verdict *verdicts = calloc(story.grounds * c->count, sizeof *verdicts);
  if (!verdicts)
    return fg_call_unsolved(scenario, FG_EMEMORY);
  fg_status status = FG_OK;
  bool any = false;
  for (size_t g = 0; g < story.grounds && status == FG_OK; ++g) {
    const fg_ground_kind *kind = known ? NULL : &fg_ground_kinds[g];
    fg_blower_verdict *here = verdicts + g * c->count;
    if (known)
      describe_ground(scenario, call->units, words, sizeof words);
    story.ground[g] =
        (fg_blowers_ground){known ? "yours" : kind->name, known ? words : kind->words, here};
    status = judge_on(c, kind, options, here);
    for (size_t i = 0; i < c->count && status == FG_OK; ++i)
      any = any || here[i].runs;
  }
  const int code = status == FG_OK ? fg_call_emit(call, fg_blowers_report(&story),
                                                  any ? FG_EXIT_DONE : FG_EXIT_NO_ANSWER)
                                   : fg_call_unsolved(scenario, status);
  free(verdicts);
  return code;
}

/* Beside the settings that every command names for the scenario, judged by as many runs. */
static int tell_on_own(const fg_call *call, const fg_scenario *scenario, const choices *c,
                       const fg_ensemble_choice *choice) {
  fg_best *best = malloc(sizeof *best);
  if (!best)
    return fg_call_unsolved(scenario, FG_EMEMORY);
  const fg_status status =
      fg_best_find(scenario, choice->samples, choice->seed, choice->exact, best);
  const fg_blowers_options options = {choice->samples, choice->seed, choice->exact,
                                      status == FG_OK ? best : NULL};
  const int code = status == FG_OK || status == FG_ESTALL ? tell(call, scenario, c, &options)
                                                          : fg_call_unsolved(scenario, status);
  free(best);
  return code;
}

static int tell_on_kinds(const fg_call *call, const fg_scenario *scenario, const choices *c,
                         const fg_ensemble_choice *choice) {
  const fg_blowers_options options = {(size_t)fg_call_number(call, "--samples", FG_BLOWERS_SAMPLES),
                                      choice->seed, choice->exact, NULL};
  return tell(call, scenario, c, &options);
}

int fg_cmd_blowers(fg_call *call) {
  fg_scenario scenario;
  fg_ensemble_choice choice;
  choices c = {NULL, 0};
  int code = fg_call_ensemble(call, &choice);
  if (code == 0)
    code = fg_call_scenario(call, &scenario);
  if (code != 0)
    return code;
  const fg_status status = fg_feed_own_ground(&scenario);
  if (status != FG_OK)
    return fg_call_unsolved(&scenario, status);
  code = read_catalogue(call, &scenario, &c);
  if (code == 0)
    code = add_own(&scenario, &c);
  if (code == 0)
    code = add_labels(call, &scenario, &c);
  if (code == 0)
    code = fg_ground_known(&scenario) ? tell_on_own(call, &scenario, &c, &choice)
                                      : tell_on_kinds(call, &scenario, &c, &choice);
  free(c.each);
  return code;
}
