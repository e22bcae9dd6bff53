/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `loss --vary`. */
#include "cli/vary.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/settings.h"
#include "pages/vary_report.h"
#include "scenario/settings_table.h"
#include "study/same_ground.h"

enum { KEY = 64, VALUE = 64 };

/* What was asked for. */
typedef struct wish {
  char key[KEY];
  char words[FG_VARIANTS_MAX][VALUE];
  size_t count;
} wish;

/* Bytes of the number that a value begins with: "1 1/2 in" has 5. */
static size_t number_length(const char *value) {
  size_t bytes = strspn(value, " +-.0123456789/");
  while (bytes > 0 && (value[bytes - 1] == ' ' || value[bytes - 1] == '/'))
    --bytes;
  return bytes;
}

static int read_wish(const char *text, wish *w) {
  char values[512], *rest = NULL;
  const size_t key = strcspn(text, "=");
  if (text[key] != '=' || key == 0 || key >= sizeof w->key || strlen(text + key) >= sizeof values)
    return fg_call_fail("--vary: '%.60s' is not group.key=VALUE,VALUE...", text);
  (void)snprintf(w->key, sizeof w->key, "%.*s", (int)key, text);
  (void)snprintf(values, sizeof values, "%s", text + key + 1);
  const char *last = strrchr(values, ',') ? strrchr(values, ',') + 1 : values;
  char unit[VALUE];
  (void)snprintf(unit, sizeof unit, "%.*s", VALUE - 1, last + number_length(last));
  w->count = 0;
  for (char *value = strtok_r(values, ",", &rest); value; value = strtok_r(NULL, ",", &rest)) {
    if (w->count == FG_VARIANTS_MAX)
      return fg_call_fail("--vary: more than %d values", FG_VARIANTS_MAX);
    const bool bare = value[number_length(value)] == '\0';
    (void)snprintf(w->words[w->count++], VALUE, "%.30s%.32s", value, bare ? unit : "");
  }
  return w->count > 0 ? 0 : fg_call_fail("--vary: %s has no values", w->key);
}

/* Row of a setting that holds a number, -1 after a message. */
static int row_of(const char *key) {
  for (size_t i = 0; i < fg_settings_count; ++i)
    if (strcmp(fg_settings[i].key, key) == 0) {
      if (fg_settings[i].type == FG_T_NUMBER)
        return (int)i;
      (void)fg_call_fail("--vary: %s is no number; give it with --set, one call each", key);
      return -1;
    }
  const char *near = fg_setting_nearest(key);
  (void)fg_call_fail("--vary: there is no setting %s%s%s; `flourgold keys` lists them", key,
                     near ? ", perhaps " : "", near ? near : "");
  return -1;
}

/* One value: the scenario read anew with it, and run.  0, or the exit code after messages. */
static int run_variant(const fg_call *call, const fg_loss *now, const wish *w, size_t i, int row,
                       const fg_loss_options *options, fg_trial *trial) {
  char set[KEY + VALUE + 2];
  fg_complaints complaints = {0};
  fg_scenario *s = malloc(sizeof *s);
  const char **sets = calloc(call->set_count + 1, sizeof *sets);
  (void)snprintf(set, sizeof set, "%s=%s", w->key, w->words[i]);
  for (size_t k = 0; sets && k < call->set_count; ++k)
    sets[k] = call->sets[k];
  fg_status status = s && sets ? FG_OK : FG_EMEMORY;
  if (status == FG_OK) {
    sets[call->set_count] = set;
    status = fg_scenario_read(call->files[0], sets, call->set_count + 1, s, &complaints);
  }
  const int wrong = fg_call_complain(call->files[0], status, &complaints);
  int code = wrong;
  if (wrong == 0) {
    fg_loss loss;
    fg_feed_same_ground(s, now);
    status = fg_loss_run(s, options, &loss);
    if (status == FG_OK || status == FG_ESTALL) {
      *trial = (fg_trial){.words = "", .row = row, .value = fg_setting_value(&fg_settings[row], s)};
      fg_trial_tell(&loss, status == FG_ESTALL, trial);
      fg_loss_free(&loss);
    } else
      code = fg_call_unsolved(s, status);
  }
  free(s);
  free((void *)sets);
  return code;
}

int fg_call_vary(const fg_call *call, const fg_scenario *scenario, const fg_loss_options *options,
                 const fg_loss *loss, const fg_bands *bands) {
  wish w = {.count = 0};
  fg_trial variants[FG_VARIANTS_MAX];
  fg_gain gains[FG_VARIANTS_MAX];
  int code = read_wish(fg_call_option(call, "--vary"), &w);
  const int row = code == 0 ? row_of(w.key) : -1;
  if (row < 0)
    return FG_EXIT_WRONG;
  for (size_t i = 0; i < w.count; ++i) {
    code = run_variant(call, loss, &w, i, row, options, &variants[i]);
    if (code != 0)
      return code;
  }
  fg_scenario fed = *scenario;
  fg_feed_same_ground(&fed, loss);
  const fg_status status =
      fg_gains_run(&fed, options, bands ? &bands->plan : NULL, loss, variants, w.count, gains);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  const fg_vary_story story = {.scenario = scenario,
                               .loss = loss,
                               .row = row,
                               .count = w.count,
                               .words = (const char(*)[64])w.words,
                               .variants = variants,
                               .gains = gains,
                               .banded = bands,
                               .units = call->units};
  return fg_call_emit(call, fg_vary_report(&story),
                      loss->machine.stalled ? FG_EXIT_NO_ANSWER : FG_EXIT_DONE);
}
