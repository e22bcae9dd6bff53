/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scenarios side by side. */
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "pages/vary_report.h"
#include "report/said.h"
#include "scenario/differs.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

enum { NAMED = 3, SHOWN = 12, NAME = 32, LINE = 256, VALUE = FG_TEXT_MAX + 16 };

typedef struct beside_row {
  const char *file, *words;
  fg_trial t;
  fg_gain g;
} beside_row;

#define OF(field) offsetof(beside_row, field)
static const fg_column_of columns[] = {
    {"file", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(file)},
    {NULL, "scenario", FG_Q_NUMBER, FG_FIELD_TEXT, OF(words)},
};
static const fg_column_of nominal_columns[] = {
    {"kept", "kept", FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.kept)},
    {"fine_kept", "of the fine", FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.fine_kept)},
    {"kept_g_h", "gold", FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(t.kept_kg_s)},
};
static const fg_column_of banded_columns[] = {
    {"kept", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.kept)},
    {"fine_kept", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(t.fine_kept)},
    {"kept_g_h", NULL, FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(t.kept_kg_s)},
    {"kept_low", "kept: low", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.share.low)},
    {"kept_mid", "half", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.share.mid)},
    {"kept_high", "high", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.share.high)},
    {"runs", "runs", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.runs)},
    {"kept_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(g.kept)},
    {"fine_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(g.fine)},
    {"rate_gain", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(g.rate)},
    {NULL, "differs: low", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.kept.band.low)},
    {NULL, "by", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.kept.band.mid)},
    {NULL, "high", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.kept.band.high)},
    {NULL, "gold an hour: low", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.rate.band.low)},
    {NULL, "more", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.rate.band.mid)},
    {NULL, "high", FG_Q_SHARE, FG_FIELD_NUMBER, OF(g.rate.band.high)},
};
#undef OF

static void table(fg_node *root, const fg_vary_story *story) {
  fg_node *node = fg_table(root, "scenarios", "The scenarios, the others against the first",
                           FG_PRIMARY | FG_PROOF);
  FG_COLUMNS_OF(node, columns);
  if (story->banded)
    FG_COLUMNS_OF(node, banded_columns);
  else
    FG_COLUMNS_OF(node, nominal_columns);
  for (size_t i = 0; i < story->count; ++i) {
    const beside_row row = {story->scenario[i].file, story->words[i], story->variants[i],
                            story->gains[i]};
    FG_ROW_OF(node, columns, &row);
    if (story->banded)
      FG_CELLS_OF(node, banded_columns, &row);
    else
      FG_CELLS_OF(node, nominal_columns, &row);
  }
  if (story->banded)
    fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY | FG_PROOF),
            "kept: of all gold, over the draws in which the deck runs. differs: from the first, "
            "the same draws on both sides, a stalled deck keeping nothing; one in ten lies below "
            "low, one in ten above high. gold an hour counts the stops for cleaning.");
}

/* The name of a site tells scenarios apart, and moves nothing. */
static bool differs(const fg_vary_story *story, int row) {
  bool other = false;
  for (size_t i = 1; i < story->count && row != FG_SET_SITE_NAME; ++i)
    other = other || fg_setting_differs(&story->scenario[0], &story->scenario[i], row);
  return other;
}

static void value_cell(fg_node *node, const fg_scenario *scenario, int row, fg_unit_system units) {
  char value[VALUE];
  (void)fg_setting_text(&fg_settings[row], scenario, units, value, sizeof value);
  const size_t used = strlen(value);
  const bool assumed =
      scenario->origin[row] == FG_FROM_DEFAULT && !fg_reading_absent(scenario, (size_t)row);
  (void)snprintf(value + used, sizeof value - used, "%s", assumed ? " (assumed)" : "");
  fg_cell_text(node, value);
}

static size_t count_differences(const fg_vary_story *story) {
  size_t count = 0;
  for (int row = 0; row < FG_SETTINGS; ++row)
    count += differs(story, row);
  return count;
}

/* People read their own units, data SI. */
static void differences(fg_node *root, const fg_vary_story *story) {
  fg_node *node = fg_table(root, "differences", "What differs between the files",
                           count_differences(story) <= SHOWN ? FG_PROOF : 0);
  fg_column_text(node, "key", "setting", 0);
  for (size_t i = 0; i < story->count; ++i) {
    char name[NAME];
    (void)snprintf(name, sizeof name, "file_%zu", i + 1);
    fg_column_text(node, NULL, story->words[i], 0);
    fg_column_text(node, name, NULL, 0);
  }
  for (int row = 0; row < FG_SETTINGS; ++row) {
    if (!differs(story, row))
      continue;
    fg_row(node);
    fg_cell_text(node, fg_settings[row].key);
    for (size_t i = 0; i < story->count; ++i) {
      value_cell(node, &story->scenario[i], row, story->units);
      value_cell(node, &story->scenario[i], row, FG_UNITS_SI);
    }
  }
}

/* "They differ in run.feed, deck.slope and 2 more." */
static void say_differences(fg_node *lines, const fg_vary_story *story) {
  char names[LINE] = "";
  const size_t count = count_differences(story);
  size_t named = 0;
  for (int row = 0; row < FG_SETTINGS && named < NAMED; ++row) {
    const size_t used = strlen(names);
    if (differs(story, row) && ++named > 0)
      (void)snprintf(names + used, sizeof names - used, "%s%s", used > 0 ? ", " : "",
                     fg_settings[row].key);
  }
  if (count == 0)
    fg_note(lines, "The files say the same.");
  else if (count > NAMED)
    fg_note(lines, "They differ in %s and %zu more.", names, count - NAMED);
  else
    fg_note(lines, "They differ in %s.", names);
}

static void answer(fg_node *root, const fg_vary_story *story) {
  fg_node *lines = fg_page_answer(root);
  if (story->loss->machine.stalled)
    fg_note(lines, "%s: the deck stalls, so there is nothing to compare with.", story->words[0]);
  else
    fg_vary_answer(lines, story, "", story->words[0]);
  say_differences(lines, story);
}

fg_report *fg_beside_report(const fg_vary_story *story) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  answer(root, story);
  (void)fg_page_head(root, "Scenarios side by side", "The first", story->scenario);
  table(root, story);
  differences(root, story);
  if (story->banded)
    fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY),
            "What was read on the running machine counts from the first file.");
  fg_page_end(root, story->scenario, FG_DECK_GROUPS, story->units);
  return report;
}
