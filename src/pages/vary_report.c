/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One setting at several values, side by side. */
#include "pages/vary_report.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>

#include "flourgold/settings.h"
#include "pages/loss_report.h"
#include "report/said.h"
#include "scenario/settings_table.h"

enum { WORDS = 96 };

typedef struct variant_row {
  char words[FG_VARIANT_WORDS];
  fg_trial t;
  fg_gain g;
} variant_row;

#define OF(field) offsetof(variant_row, field)
static const fg_column_of columns[] = {
    {"as_typed", "value", FG_Q_NUMBER, FG_FIELD_CHARS, OF(words)},
    {"value", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(t.value)},
    {"kept", "kept", FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.kept)},
    {"fine_kept", "of the fine", FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.fine_kept)},
    {"kept_g_h", "gold", FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(t.kept_kg_s)},
};
/* Against the scenario as it is. */
static const fg_column_of gain_columns[] = {
    {"runs", "runs", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.runs)},
    {"kept_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(g.kept)},
    {"fine_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(g.fine)},
    {"rate_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(g.rate)},
    {NULL, "kept: low", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.kept.band.low)},
    {NULL, "more", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.kept.band.mid)},
    {NULL, "high", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.kept.band.high)},
    {NULL, "gold an hour: low", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.rate.band.low)},
    {NULL, "more", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.rate.band.mid)},
    {NULL, "high", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.rate.band.high)},
};
#undef OF

static void table(fg_node *root, const fg_vary_story *story) {
  char title[WORDS];
  (void)snprintf(title, sizeof title, "%s, all else as in the file", fg_settings[story->row].key);
  fg_node *node = fg_table(root, "variants", title, FG_PRIMARY | FG_PROOF);
  FG_COLUMNS_OF(node, columns);
  if (story->banded)
    FG_COLUMNS_OF(node, gain_columns);
  for (size_t i = 0; i < story->count; ++i) {
    variant_row row = {.t = story->variants[i], .g = story->gains[i]};
    (void)snprintf(row.words, sizeof row.words, "%s", story->words[i]);
    FG_ROW_OF(node, columns, &row);
    if (story->banded)
      FG_CELLS_OF(node, gain_columns, &row);
  }
  if (story->banded)
    fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY | FG_PROOF),
            "runs: share of the draws in which the deck does not stall. more: against the file as "
            "it is, the same draws on both sides; one in ten lies below low, one in ten above "
            "high. gold an hour counts the stops for cleaning.");
}

/* The variant whose gain is greatest, the file as it is being 0; count: none beats it. */
static size_t best_by(const fg_vary_story *story, size_t offset) {
  size_t best = story->count;
  double most = 0.0;
  for (size_t i = 0; i < story->count; ++i) {
    const fg_banded *gain =
        (const fg_banded *)(const void *)((const char *)&story->gains[i] + offset);
    if (!story->variants[i].stalled && fg_gain_middle(gain) > most) {
      most = fg_gain_middle(gain);
      best = i;
    }
  }
  return best;
}

/* Says of a gain that is not sure that it is not; what reads as nothing is no loss. */
static void doubt_it(fg_node *lines, const fg_banded *gain, const char *less) {
  if (gain->band.low < -0.005)
    fg_note(lines, "Not sure: in more than one draw in ten it %s.", less);
}

void fg_vary_answer(fg_node *lines, const fg_vary_story *story, const char *name, const char *now) {
  char gain[WORDS];
  const size_t hourly = best_by(story, offsetof(fg_gain, rate));
  const size_t kept = best_by(story, offsetof(fg_gain, kept));
  if (hourly == story->count)
    fg_note(lines, "%s%s brings the most gold an hour.", name, now);
  else {
    fg_note(lines, "%s%s brings the most gold an hour, %s against %s.", name, story->words[hourly],
            fg_said_change("%", 100.0, &story->gains[hourly].rate, gain, sizeof gain), now);
    doubt_it(lines, &story->gains[hourly].rate, "brings less");
  }
  if (kept == story->count)
    fg_note(lines, "None keeps more of it than %s.", now);
  else {
    fg_note(lines, "%s keeps the most of it, %s.", kept == hourly ? "It" : story->words[kept],
            fg_said_change("points", 100.0, &story->gains[kept].kept, gain, sizeof gain));
    doubt_it(lines, &story->gains[kept].kept, "keeps less");
  }
}

static void answer(fg_node *root, const fg_vary_story *story) {
  fg_node *lines = fg_page_answer(root);
  char name[FG_TEXT_MAX + 4], value[WORDS], now[WORDS + 8];
  (void)fg_quantity_text(fg_settings[story->row].quantity, story->units,
                         fg_setting_value(&fg_settings[story->row], story->scenario), value,
                         sizeof value);
  (void)snprintf(now, sizeof now, "%s as now", value);
  (void)snprintf(name, sizeof name, "%s: ", fg_page_name(story->scenario));
  if (story->loss->machine.stalled)
    fg_note(lines, "%sas the file is, %s, the deck stalls.", name, value);
  else
    fg_vary_answer(lines, story, name, now);
}

fg_report *fg_vary_report(const fg_vary_story *story) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  answer(root, story);
  fg_node *head =
      fg_page_head(root, "The same deck, one setting varied", "Scenario", story->scenario);
  fg_string(head, "key", NULL, fg_settings[story->row].key, 0);
  fg_number(head, "kept", "Kept, as the file is", FG_Q_SHARE, story->loss->kept, 0);
  fg_number(head, "kept_g_h", "Gold kept", FG_Q_GOLD_RATE, story->loss->kept_kg_s, 0);
  table(root, story);
  fg_page_end(root, story->scenario, FG_DECK_GROUPS, story->units);
  return report;
}
