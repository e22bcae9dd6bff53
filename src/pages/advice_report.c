/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one change at a time would do, for the report on a run. */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "flourgold/settings.h"
#include "pages/loss_report.h"
#include "report/said.h"
#include "scenario/settings_table.h"
#include "study/fine.h"

/* Of a deck that stalls: how it would run. */
static void runs_line(fg_node *heading, const fg_trial *t, const fg_gain *gain,
                      const char *phrase) {
  /* Air-borne gravel has hardly any friction: how much more it could carry means nothing. */
  char spare[24] = "plenty", often[48] = "";
  if (t->capacity_margin < 5.0)
    (void)snprintf(spare, sizeof spare, "%.2g %%", 100.0 * t->capacity_margin);
  if (isfinite(gain->runs))
    (void)snprintf(often, sizeof often, "; in %.0f %% of the runs", 100.0 * gain->runs);
  fg_bullet(heading, "%s: the deck would run, with %s to spare%s.", phrase, spare, often);
}

/* One change, its new value and what it brings, for people. */
static void trial_line(fg_node *heading, const fg_loss_story *story, size_t i) {
  const fg_trial *t = &story->trials[i];
  const fg_gain *gain = &story->gains[i];
  char phrase[160], kept[64], fine[96] = "", rate[64], gold[96] = "";
  (void)fg_trial_phrase(story->scenario, t, story->units, phrase, sizeof phrase);
  if (story->loss->machine.stalled) {
    runs_line(heading, t, gain, phrase);
    return;
  }
  (void)fg_said_change("points of all gold", 100.0, &gain->kept, kept, sizeof kept);
  if (isfinite(gain->fine.nominal)) /* there may be no fine gold, */
    (void)snprintf(fine, sizeof fine, ", %s",
                   fg_said_change("of the fine", 100.0, &gain->fine, rate, sizeof rate));
  if (isfinite(gain->rate.nominal)) /* or none at all */
    (void)snprintf(gold, sizeof gold, "; %s",
                   fg_said_change("% gold an hour", 100.0, &gain->rate, rate, sizeof rate));
  fg_bullet(heading, "%s: %s%s%s.", phrase, kept, fine, gold);
}

static bool worth_telling(const fg_loss_story *story, size_t i) {
  if (story->trials[i].stalled || story->loss->machine.stalled)
    return !story->trials[i].stalled;
  return fg_gain_middle(&story->gains[i].kept) > 0.003 ||
         fg_gain_middle(&story->gains[i].fine) > 0.005;
}

typedef struct trial_row {
  const char *key;
  fg_trial t;
  fg_gain gain;
} trial_row;

#define OF(field) offsetof(trial_row, field)
static const fg_column_of trial_columns[] = {
    {"key", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(key)},
    {"value", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(t.value)},
    {"capacity_margin", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(t.capacity_margin)},
};

/* Of a deck that stalls no recovery is told, not even another setting's. */
static const fg_column_of kept_columns[] = {
    {"kept", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.kept)},
    {"fine_kept", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.fine_kept)},
    {"kept_g_h", NULL, FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(t.kept_kg_s)},
};

/* Only with the doubt of every input. */
static const fg_column_of runs_column[] = {
    {"runs", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(gain.runs)},
};
static const fg_column_of gain_columns[] = {
    {"kept_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(gain.kept)},
    {"fine_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(gain.fine)},
    {"rate_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(gain.rate)},
};
#undef OF

static void trial_table(fg_node *root, const fg_loss_story *story) {
  const bool stalled = story->loss->machine.stalled;
  fg_node *table = fg_table(root, "trials", NULL, FG_DATA_ONLY);
  FG_COLUMNS_OF(table, trial_columns);
  if (!stalled)
    FG_COLUMNS_OF(table, kept_columns);
  if (story->bands)
    FG_COLUMNS_OF(table, runs_column);
  if (story->bands && !stalled)
    FG_COLUMNS_OF(table, gain_columns);
  for (size_t i = 0; i < story->trial_count; ++i) {
    const trial_row row = {fg_settings[story->trials[i].row].key, story->trials[i],
                           story->gains[i]};
    FG_ROW_OF(table, trial_columns, &row);
    if (!stalled)
      FG_CELLS_OF(table, kept_columns, &row);
    if (story->bands)
      FG_CELLS_OF(table, runs_column, &row);
    if (story->bands && !stalled)
      FG_CELLS_OF(table, gain_columns, &row);
  }
}

void fg_report_advice(fg_node *root, const fg_loss_story *story) {
  fg_node *heading =
      fg_group(root, NULL,
               story->loss->machine.stalled ? "What would make it run"
                                            : "What would help, one change at a time",
               FG_TEXT_ONLY);
  size_t told = 0;
  for (size_t i = 0; i < story->trial_count; ++i)
    if (worth_telling(story, i)) {
      trial_line(heading, story, i);
      ++told;
    }
  if (!story->loss->machine.stalled && isnan(story->loss->kept))
    fg_note(heading, "None of the gold is known to reach the riffles, so nothing can be compared.");
  else if (told == 0)
    fg_note(heading, story->loss->machine.stalled
                         ? "No single change of those tried. Give more air and more shake at once, "
                           "feed less, and use drier or finer ground."
                         : "By the model, no single change of those tried helps.");
  trial_table(root, story);
}
