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
  const int likely = d->likely[1] > d->likely[0] ? d->likely[1] : d->likely[0];
  const int goal = likely > d->ready ? likely : d->ready;
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

typedef struct drawn_day {
  char date[FG_DATE_TEXT_MAX];
  fg_drying_day day;
  double et0_m, limit, given, ready, even_odds, likely;
} drawn_day;

static void add_days(fg_node *table, const fg_dry_story *story) {
  const bool si = story->units == FG_UNITS_SI;
  const fg_drying *d = story->drying;
  size_t first, end;
#define OF(field) offsetof(drawn_day, field)
  const fg_column_of columns[] = {
      {"date", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(date)},
      {si ? "rain_mm" : "rain_in", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.rain_m)},
      {si ? "et0_mm" : "et0_in", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(et0_m)},
      {"surface_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.surface)},
      {"moisture_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.dug)},
      {"limit_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(limit)},
      {"chance_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.chance)},
      {"given", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(given)},
      {"ready", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(ready)},
      {"even_odds", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(even_odds)},
      {"likely", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(likely)},
  };
#undef OF
  FG_COLUMNS_OF(table, columns);
  drawn(d, &first, &end);
  for (size_t i = first; i < end; ++i) {
    drawn_day row = {.day = d->days[i],
                     .et0_m = d->days[i].et0.et0_m_s * FG_DAY_SECONDS,
                     .limit = isinf(d->damp.limit) ? (double)NAN : d->damp.limit,
                     .given = i < d->given ? 1.0 : 0.0,
                     .ready = (int)i == d->ready ? 1.0 : 0.0,
                     .even_odds = (int)i == d->likely[0] ? 1.0 : 0.0,
                     .likely = (int)i == d->likely[1] ? 1.0 : 0.0};
    (void)fg_date_text(row.day.day, row.date, sizeof row.date);
    FG_ROW_OF(table, columns, &row);
  }
}

/* From which day on; the chance counts where it is known. */
static void say_when(fg_text *text, const fg_drying *d) {
  const bool chances = isfinite(d->days[0].chance);
  const int even = d->likely[0], likely = d->likely[1];
  char date[FG_DATE_TEXT_MAX];
  if (!chances && d->ready < 0)
    fg_text_add(text, "not dry enough in the days looked at");
  else if (!chances)
    fg_text_printf(text, "dry enough from %s on",
                   fg_date_text(d->days[d->ready].day, date, sizeof date));
  else if (likely >= 0)
    fg_text_printf(text, "dry enough with %.0f %% from %s on", 100.0 * fg_sure_enough,
                   fg_date_text(d->days[likely].day, date, sizeof date));
  else if (even >= 0)
    fg_text_printf(text, "even odds from %s on, %.0f %% not in sight",
                   fg_date_text(d->days[even].day, date, sizeof date), 100.0 * fg_sure_enough);
  else
    fg_text_add(text, "not even odds in the days looked at");
}

static char *make_subtitle(const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  char depth[48];
  fg_text text = {0};
  (void)fg_quantity_text(FG_Q_LENGTH, story->units, story->scenario->soil.depth, depth,
                         sizeof depth);
  char *space = strchr(depth, '('); /* without the fraction */
  if (space)
    *space = '\0';
  fg_text_printf(&text, "%.40s, dug to %s: ", fg_page_name(story->scenario), depth);
  if (isinf(d->damp.limit))
    fg_text_add(&text, "no damp looked at costs more than allowed");
  else
    say_when(&text, d);
  fg_text_printf(&text, "\nDamp may take %.0f %% of the fine gold. Model result, unproven.",
                 100.0 * d->damp.allow);
  return fg_text_take(&text, NULL);
}

fg_status fg_dry_plot(const fg_picture *picture, const fg_dry_story *story, fg_plot *plot) {
  fg_report *report = fg_report_new();
  add_days(fg_table(fg_report_root(report), picture->name, NULL, FG_PRIMARY), story);
  return fg_plot_of(report, story->units, picture->title, make_subtitle(story), plot);
}
