/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one change at a time would do, for the report on a run. */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "flourgold/settings.h"
#include "pages/loss_report.h"
#include "scenario/settings_table.h"

/* One change, its new value and what it brings, for people. */
static void trial_line(fg_node *heading, const fg_loss_story *story, const fg_trial *t) {
  char value[96], fine[48] = "", gold[48] = "";
  const fg_setting *setting = &fg_settings[t->row];
  (void)fg_quantity_text(setting->quantity, story->units, t->value, value, sizeof value);
  const fg_loss *now = story->loss;
  if (now->machine.stalled) {
    /* Air-borne gravel has hardly any friction: how much more it could carry means nothing. */
    char spare[24] = "plenty";
    if (t->capacity_margin < 5.0)
      (void)snprintf(spare, sizeof spare, "%.0f %%", 100.0 * t->capacity_margin);
    fg_bullet(heading, "%s %s: the deck would run, with %s to spare.", t->words, value, spare);
    return;
  }
  const double fine_gain = 100.0 * (t->fine_kept - fg_fine_kept(now));
  const double more = 100.0 * (t->kept_kg_s / now->kept_kg_s - 1.0);
  if (isfinite(fine_gain)) /* there may be no fine gold, */
    (void)snprintf(fine, sizeof fine, ", %+.1f of the fine", fine_gain);
  if (isfinite(more)) /* or none at all */
    (void)snprintf(gold, sizeof gold, "; %+.0f %% gold per hour", more);
  fg_bullet(heading, "%s %s: %+.1f points of all gold%s%s.", t->words, value,
            100.0 * (t->kept - now->kept), fine, gold);
}

static bool worth_telling(const fg_loss_story *story, const fg_trial *t) {
  if (t->stalled)
    return false;
  if (story->loss->machine.stalled)
    return true;
  return t->kept - story->loss->kept > 0.003 || t->fine_kept - fg_fine_kept(story->loss) > 0.005;
}

typedef struct trial_row {
  const char *key;
  fg_trial t;
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
#undef OF

static void trial_table(fg_node *root, const fg_loss_story *story) {
  const bool stalled = story->loss->machine.stalled;
  fg_node *table = fg_table(root, "trials", NULL, FG_DATA_ONLY);
  FG_COLUMNS_OF(table, trial_columns);
  if (!stalled)
    FG_COLUMNS_OF(table, kept_columns);
  for (size_t i = 0; i < story->trial_count; ++i) {
    const trial_row row = {fg_settings[story->trials[i].row].key, story->trials[i]};
    FG_ROW_OF(table, trial_columns, &row);
    if (!stalled)
      FG_CELLS_OF(table, kept_columns, &row);
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
    if (worth_telling(story, &story->trials[i])) {
      trial_line(heading, story, &story->trials[i]);
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
