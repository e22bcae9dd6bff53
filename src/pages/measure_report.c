/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/measure_report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/text.h"
#include "flourgold/settings.h"
#include "pages/page.h"
#include "report/report_internal.h"
#include "scenario/settings_table.h"

enum {
  COLUMNS = 64,
  INDENT = 4,
  PAGE_LINES = 60,  /* of a letter page, with a margin */
  FRAME_LINES = 19, /* answer, head and foot */
  LINE = 512
};

static void worth_text(const fg_worth *w, char *text, size_t size) {
  const double points = round(100.0 * w->swing);
  if (w->share > 0.0)
    (void)snprintf(text, size, "%.0f %% of the doubt", 100.0 * w->share);
  else if (w->fine_share > 0.0)
    (void)snprintf(text, size, "%.0f %% of the doubt about the fine gold", 100.0 * w->fine_share);
  else if (isnan(w->kept_low) != isnan(w->kept_high))
    (void)snprintf(text, size, "at one end of its doubt the deck stalls");
  else if (isnan(w->kept_low))
    (void)snprintf(text, size, "the deck stalls at both ends of its doubt");
  else
    (void)snprintf(text, size, "worth %.0f point%s of the fine gold", points,
                   points == 1.0 ? "" : "s");
}

/* Adds a paragraph at the card's width. */
static void add_wrapped(fg_text *card, const char *text, size_t used, size_t indent) {
  fg_wrap(card, text, COLUMNS, used, indent);
  fg_text_add(card, "\n");
}

/* Title, method and the line to fill in. */
static void add_item(fg_text *card, size_t number, const fg_worth *w) {
  char line[LINE], worth[80];
  worth_text(w, worth, sizeof worth);
  (void)snprintf(line, sizeof line, "%2zu. %s: %s%s", number, fg_settings[w->row].key, worth,
                 w->given ? " (given, but in doubt)" : "");
  add_wrapped(card, line, 0, INDENT);
  fg_text_add_repeated(card, ' ', INDENT);
  (void)snprintf(line, sizeof line, "%s (%s)", w->how->how, w->how->exactness);
  add_wrapped(card, line, INDENT, INDENT);
  fg_text_add(card, "    > ");
  add_wrapped(card, w->how->form, INDENT + 2, INDENT + 2);
}

static int lines_in(const fg_text *text) {
  int lines = 0;
  for (size_t i = 0; i < text->length; ++i)
    lines += text->bytes[i] == '\n';
  return lines;
}

/* As many items as a page holds beside `taken` lines; returns how many. */
static size_t add_items(fg_text *card, const fg_worth *worths, size_t count, int taken) {
  size_t shown = 0;
  int lines = FRAME_LINES + taken;
  while (shown < count && !card->failed) {
    fg_text item = {0};
    add_item(&item, shown + 1, &worths[shown]);
    lines += lines_in(&item);
    if (item.failed || lines > PAGE_LINES) {
      card->failed = card->failed || item.failed;
      fg_text_free(&item);
      break;
    }
    fg_text_add(card, item.bytes);
    fg_text_free(&item);
    ++shown;
  }
  return shown;
}

/* Readings that need no word on how: what to read is plain from the line to fill in. */
static bool is_plain(int row) {
  return row == FG_SET_OBSERVED_BOX_PRESSURE || row == FG_SET_OBSERVED_ROTOR_SPEED;
}

static void add_running(fg_text *card, const fg_scenario *scenario) {
  const size_t deeper = (size_t)2 * INDENT;
  bool first = true;
  for (size_t i = 0; i < fg_measurings_count; ++i) {
    const int row = fg_measurings[i].row;
    if (!fg_setting_same_group(row, FG_SET_OBSERVED_BOX_PRESSURE) ||
        !fg_reading_absent(scenario, (size_t)row))
      continue;
    if (first)
      add_wrapped(card, "And while it runs (more: flourgold keys observed):", 0, 0);
    first = false;
    fg_text_printf(card, "    > %s\n", fg_measurings[i].form);
    if (is_plain(row))
      continue;
    fg_text_add_repeated(card, ' ', deeper);
    add_wrapped(card, fg_measurings[i].how, deeper, deeper);
  }
}

static void add_page(fg_node *root, const fg_scenario *scenario, const fg_worth *worths,
                     size_t count) {
  fg_node *page = fg_group(root, NULL, NULL, FG_TEXT_ONLY | FG_PROOF);
  fg_text card = {0}, running = {0};
  char line[LINE];
  size_t telling = 0;
  while (telling < count && (worths[telling].share > 0.0 || worths[telling].fine_share > 0.0 ||
                             worths[telling].swing >= fg_telling_swing))
    ++telling;
  add_running(&running, scenario);
  const size_t shown = add_items(&card, worths, telling, lines_in(&running));
  if (telling == 0)
    add_wrapped(&card, "Nothing that is left open moves the fine gold by half a point.", 0, 0);
  fg_text_add(&card, "\n");
  fg_text_add(&card, running.bytes ? running.bytes : "");
  card.failed = card.failed || running.failed;
  fg_text_free(&running);
  (void)snprintf(
      line, sizeof line,
      "%zu more that tell%s less %s left out. Write the figures into the scenario file, in "
      "the group before the point, with your own error if you like (\"8 in +- 1/8 in\"); "
      "then: flourgold check. A value without its error counts as half as doubtful as one "
      "that is assumed.",
      count - shown, count - shown == 1 ? "s" : "", count - shown == 1 ? "is" : "are");
  fg_text_add(&card, "\n");
  add_wrapped(&card, line, 0, 0);
  char *text = fg_text_take(&card, NULL);
  fg_verbatim(page, text ? text : "");
  free(text);
}

typedef struct worth_row {
  const char *key, *removes_doubt_of;
  fg_worth worth;
  fg_measuring how;
} worth_row;

#define OF(field) offsetof(worth_row, field)
static const fg_column_of worth_columns[] = {
    {"key", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(key)},
    {"removes_doubt_of", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(removes_doubt_of)},
    {"likely_least", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(worth.low)},
    {"likely_most", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(worth.high)},
    {"fine_kept_at_least", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(worth.kept_low)},
    {"fine_kept_at_most", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(worth.kept_high)},
    {"share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(worth.share)},
    {"fine_share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(worth.fine_share)},
    {"swing", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(worth.swing)},
    {"form", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(how.form)},
    {"how", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(how.how)},
    {"exactness", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(how.exactness)},
};
#undef OF

static void add_data(fg_node *root, const fg_worth *worths, size_t count) {
  fg_node *table = fg_table(root, "measurements", NULL, FG_PRIMARY | FG_DATA_ONLY);
  FG_COLUMNS_OF(table, worth_columns);
  for (size_t i = 0; i < count; ++i) {
    const fg_worth *w = &worths[i];
    const worth_row row = {fg_settings[w->how->row].key, fg_settings[w->row].key, *w, *w->how};
    FG_ROW_OF(table, worth_columns, &row);
  }
}

static void answer(fg_node *root, const fg_doubts *doubts) {
  fg_node *lines = fg_page_answer(root);
  const fg_worth *first = doubts->worth;
  char worth[80];
  if (doubts->worths == 0) {
    fg_note(lines, "Nothing is left to measure.");
    return;
  }
  worth_text(first, worth, sizeof worth);
  fg_note(lines, "Measure %s first: %s%s.", fg_settings[first->how->row].key, worth,
          first->share > 0.0 ? " about the gold kept" : "");
}

fg_report *fg_measure_report(const fg_scenario *scenario, const fg_doubts *doubts) {
  fg_report *report = fg_report_new();
  fg_report_columns(report, COLUMNS);
  fg_node *root = fg_report_root(report);
  answer(root, doubts);
  (void)fg_page_head(root, NULL, NULL, scenario);
  fg_number(root, "fine_kept", NULL, FG_Q_SHARE, doubts->fine_kept, FG_DATA_ONLY);
  fg_node *head =
      fg_group(root, NULL, "What to measure, most valuable first", FG_TEXT_ONLY | FG_PROOF);
  fg_note(
      head,
      "%s. First what causes most of the doubt about the gold kept (flourgold doubts). Then, "
      "each run at both ends of its doubt, worth 10 points: by that alone 10 %% more or less of "
      "the fine gold (finer than 60 mesh) may be kept.",
      fg_page_name(scenario));
  add_page(root, scenario, doubts->worth, doubts->worths);
  add_data(root, doubts->worth, doubts->worths);
  return report;
}
