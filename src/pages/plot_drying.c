/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "drying": rain, what the sun takes, moisture against what the deck bears, chance. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/date.h"
#include "core/text.h"
#include "pages/dry_report.h"
#include "pages/page.h"
#include "pages/plot_internal.h"

enum { BEFORE = 45, AFTER = 10, WIDEST = 150 };

/* The days drawn: the last weeks given, and on to where the ground is surely dry. */
static void drawn(const fg_drying *d, size_t *first, size_t *end) {
  const int goal = d->likely[1] > d->ready ? d->likely[1] : d->ready;
  size_t start = d->given > BEFORE ? d->given - BEFORE : 0;
  if (d->ready >= 0 && (size_t)d->ready < start + AFTER)
    start = d->ready > AFTER ? (size_t)d->ready - AFTER : 0;
  size_t stop = goal >= 0 ? (size_t)goal + AFTER : d->count;
  if (stop < d->given + AFTER)
    stop = d->given + AFTER;
  if (stop > d->count)
    stop = d->count;
  if (stop > start + WIDEST)
    stop = start + WIDEST;
  *first = start;
  *end = stop;
}

static void add_columns(fg_node *table, fg_unit_system units) {
  fg_column_text(table, "date", NULL, 0);
  fg_plot_column_in(table, units, "rain_in", "rain_mm");
  fg_plot_column_in(table, units, "et0_in", "et0_mm");
  fg_plot_column(table, "surface_percent");
  fg_plot_column(table, "moisture_percent");
  fg_plot_column(table, "limit_percent");
  fg_plot_column(table, "chance_percent");
  fg_plot_column(table, "given");
  fg_plot_column(table, "ready");
}

static void add_days(fg_node *table, const fg_drying *d) {
  size_t first, end;
  drawn(d, &first, &end);
  for (size_t i = first; i < end; ++i) {
    const fg_drying_day *day = &d->days[i];
    char date[FG_DATE_TEXT_MAX];
    const double cells[] = {day->rain_m,
                            day->et0.et0_m_s * FG_DAY_SECONDS,
                            day->surface,
                            day->dug,
                            isinf(d->damp.limit) ? (double)NAN : d->damp.limit,
                            day->chance,
                            i < d->given ? 1.0 : 0.0,
                            (int)i == d->ready ? 1.0 : 0.0};
    fg_row(table);
    fg_cell_text(table, fg_date_text(day->day, date, sizeof date));
    fg_cells(table, cells, sizeof cells / sizeof cells[0]);
  }
}

static char *make_subtitle(const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  char depth[48], date[FG_DATE_TEXT_MAX];
  fg_text text = {0};
  fg_quantity_text(FG_Q_LENGTH, story->units, story->scenario->soil.depth, depth, sizeof depth);
  char *space = strchr(depth, '('); /* without the fraction */
  if (space)
    *space = '\0';
  fg_text_printf(&text, "%.40s, dug to %s: ", fg_page_name(story->scenario), depth);
  if (isinf(d->damp.limit))
    fg_text_add(&text, "no damp looked at costs more than allowed");
  else if (d->ready < 0)
    fg_text_add(&text, "not dry enough in the days looked at");
  else
    fg_text_printf(&text, "dry enough from %s on",
                   fg_date_text(d->days[d->ready].day, date, sizeof date));
  fg_text_printf(&text, "\nDamp may take %.0f %% of the fine gold. Model result, unproven.",
                 100.0 * d->damp.allow);
  return fg_text_take(&text, NULL);
}

fg_status fg_dry_plot(const fg_picture *picture, const fg_dry_story *story, fg_plot *plot) {
  fg_plot made = {0};
  fg_report *report = fg_report_new();
  fg_node *table = fg_table(fg_report_root(report), picture->name, NULL, FG_PRIMARY);
  add_columns(table, story->units);
  add_days(table, story->drying);
  const fg_status status =
      !report ? FG_EMEMORY
              : fg_report_render(report, FG_FORMAT_CSV, story->units, &made.csv, &made.length);
  fg_report_free(report);
  if (status != FG_OK)
    return status;
  made.title = strdup(picture->title);
  made.subtitle = make_subtitle(story);
  if (!made.title || !made.subtitle) {
    fg_plot_free(&made);
    return FG_EMEMORY;
  }
  *plot = made;
  return FG_OK;
}
