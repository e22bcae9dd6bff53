/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One page to carry.  People get lines set by hand, so that it stays one page; the data hold the
 * same numbers under the names of the other commands. */
#include "pages/card_report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/date.h"
#include "core/text.h"
#include "pages/cautions.h"
#include "pages/day_report.h"
#include "pages/page.h"
#include "pages/sample_report.h"
#include "pages/tune_report.h"
#include "report/report_internal.h"
#include "study/plan.h"

enum { COLUMNS = 64, WORDS = 96, LINE = 400, DECIDE_ROWS = 6, SIZES_SHOWN = 20 };

static void add_wrapped(fg_text *page, const char *line) {
  fg_wrap(page, line, COLUMNS, 0, 2);
  fg_text_add(page, "\n");
}

/* ---- ready? ---- */

static void ready_data(fg_node *root, const fg_card_story *story) {
  const fg_drying *d = story->drying;
  char date[FG_DATE_TEXT_MAX];
  const bool ready = d && d->ready >= 0, likely = d && d->likely[1] >= 0;
  fg_string(root, "ready_date", NULL,
            ready ? fg_date_text(d->days[d->ready].day, date, sizeof date) : NULL, FG_DATA_ONLY);
  fg_number(root, "chance", NULL, FG_Q_SHARE, ready ? d->days[d->ready].chance : (double)NAN,
            FG_DATA_ONLY);
  fg_string(root, "likely_date", NULL,
            likely ? fg_date_text(d->days[d->likely[1]].day, date, sizeof date) : NULL,
            FG_DATA_ONLY);
  fg_number(root, "limit_percent", NULL, FG_Q_PERCENT, story->moisture_limit, FG_DATA_ONLY);
}

static void ready_by_weather(fg_text *text, const fg_drying *d) {
  char date[FG_DATE_TEXT_MAX], line[LINE];
  if (isinf(d->damp.limit)) {
    add_wrapped(text, "This deck bears any moisture looked at.");
    return;
  }
  if (d->ready < 0) {
    (void)snprintf(line, sizeof line,
                   fg_drying_open(&d->days[d->count - 1])
                       ? "Not dry enough by %s where it lies: spread it on a tarp."
                       : "Under snow or frozen on %s: neither dries nor can be dug.",
                   fg_date_text(d->days[d->count - 1].day, date, sizeof date));
    add_wrapped(text, line);
    return;
  }
  const fg_drying_day *day = &d->days[d->ready];
  if (isfinite(day->chance) && d->likely[1] >= 0)
    (void)snprintf(line, sizeof line, "Go from %s on (a model's chance of %.0f %%).",
                   fg_date_text(d->days[d->likely[1]].day, date, sizeof date),
                   100.0 * fg_sure_enough);
  else if (isfinite(day->chance))
    (void)snprintf(line, sizeof line, "%s: a model's chance of %.0f %%. Weigh first.",
                   fg_date_text(day->day, date, sizeof date), 100.0 * day->chance);
  else
    (void)snprintf(line, sizeof line, "From %s on (a model's).",
                   fg_date_text(day->day, date, sizeof date));
  add_wrapped(text, line);
}

static void add_ready(fg_text *page, fg_node *root, const fg_card_story *story) {
  const double limit = story->moisture_limit;
  char line[LINE];
  ready_data(root, story);
  fg_text_add(page, "READY?\n");
  if (story->drying)
    ready_by_weather(page, story->drying);
  add_wrapped(page, "Squeeze a handful from the foot of the cut: it must run through the fingers "
                    "and dust; cool to the skin is too damp.");
  if (!isfinite(limit))
    return;
  (void)snprintf(line, sizeof line, "Weigh, dry, weigh: at most %.1f g lost of each dry kilogram.",
                 1e3 * limit);
  add_wrapped(page, line);
}

/* ---- settings and targets ---- */

static void settings_data(fg_node *root, const fg_card_story *story) {
  const fg_scenario *s = story->scenario;
  fg_node *group = fg_group(root, "settings", NULL, FG_DATA_ONLY);
  fg_string(root, "settings_from", NULL, story->present ? "file" : "best", FG_DATA_ONLY);
  fg_number(group, "throttle", NULL, FG_Q_SHARE, s->run.throttle, 0);
  fg_number(group, "gate_opening", NULL, FG_Q_SHARE, s->run.gate_opening, 0);
  fg_number(group, "slope_deg", NULL, FG_Q_SLOPE, s->deck.slope, 0);
  fg_number(group, "feed_kg_s", NULL, FG_Q_FEED, s->run.feed, 0);
  fg_number(group, "screen_mm", NULL, FG_Q_GRAIN_SIZE, s->screen.opening, 0);
}

static void settings_lines(fg_text *page, const fg_card_story *story) {
  const fg_scenario *s = story->scenario;
  char gate[48], slope[WORDS], bucket[48], screen[WORDS];
  (void)fg_gate_words(s->run.gate_opening, gate, sizeof gate);
  (void)fg_bucket_words(s->run.feed, s->ground.bulk_density, bucket, sizeof bucket);
  (void)fg_quantity_text(FG_Q_SLOPE, story->units, s->deck.slope, slope, sizeof slope);
  (void)fg_quantity_text(FG_Q_GRAIN_SIZE, story->units, s->screen.opening, screen, sizeof screen);
  fg_text_printf(page, "throttle %.0f %%, gate %s, screen %s\n", 100.0 * s->run.throttle, gate,
                 screen);
  fg_text_printf(page, "slope %s, a bucket every %s\n", slope, bucket);
}

/* One reading to check, with its band. */
typedef struct target {
  const char *name, *label;
  fg_quantity quantity;
  size_t offset; /* in fg_loss */
} target;

static const target targets[] = {
    {"box_pressure_pa", "box", FG_Q_PRESSURE, offsetof(fg_loss, machine.at.box_pressure_pa)},
    {"rotor_rpm", "rotor", FG_Q_FREQUENCY, offsetof(fg_loss, machine.at.shake.speed_hz)},
    {"bed_depth_m", "bed", FG_Q_LENGTH, offsetof(fg_loss, machine.at.depth_m)},
    {"residence_s", "pebble crosses in", FG_Q_TIME, offsetof(fg_loss, machine.residence_s)},
};

static double field_of(const fg_loss *loss, size_t offset) {
  return *(const double *)(const void *)((const char *)loss + offset);
}

static void add_target(fg_text *line, fg_node *data, const fg_card_story *story, const target *t) {
  const double value = field_of(story->loss, t->offset);
  char mid[WORDS], low[WORDS], high[WORDS];
  const fg_display *show = &fg_quantity_of(t->quantity)->show[story->units == FG_UNITS_SI];
  (void)fg_number_text(fg_quantity_shown(t->quantity, story->units, value), 3, mid, sizeof mid);
  fg_text_printf(line, "%s %s %s", t->label, mid, show->unit);
  if (!story->bands) {
    fg_number(data, t->name, NULL, t->quantity, value, 0);
    return;
  }
  const fg_band band = fg_bands_of(story->bands, t->offset);
  fg_number_band(data, t->name, NULL, t->quantity, value, &band, 0);
  (void)fg_number_text(fg_quantity_shown(t->quantity, story->units, band.low), 2, low, sizeof low);
  (void)fg_number_text(fg_quantity_shown(t->quantity, story->units, band.high), 2, high,
                       sizeof high);
  fg_text_printf(line, " (%s to %s)", low, high);
}

static void add_settings(fg_text *page, fg_node *root, const fg_card_story *story) {
  fg_node *data = fg_group(root, "targets", NULL, FG_DATA_ONLY);
  settings_data(root, story);
  fg_text_printf(page, "\nSET (%s)\n", story->present ? "as in the file" : "best for this ground");
  settings_lines(page, story);
  fg_text line = {0};
  for (size_t i = 0; i < sizeof targets / sizeof targets[0]; ++i) {
    fg_text_add(&line, i > 0 ? ", " : "");
    add_target(&line, data, story, &targets[i]);
  }
  char *words = fg_text_take(&line, NULL);
  add_wrapped(page, words ? words : "");
  free(words);
  fg_text_add(page, "Bed creeps: shut the gate a little, or feed slower.\n"
                    "Bed boils, or dust plumes: open the gate a little.\n");
}

/* ---- loss by size ---- */

static void size_words(const fg_card_story *story, size_t k, char *buffer, size_t size) {
  const fg_class_loss *g = &story->loss->gold[k];
  char mesh[48], band[48] = "";
  (void)fg_page_mesh(g->lower_m, g->upper_m, mesh, sizeof mesh);
  if (story->bands)
    (void)snprintf(band, sizeof band, " (%.0f to %.0f)",
                   100.0 * story->bands->at[FG_LOW].gold[k].kept,
                   100.0 * story->bands->at[FG_HIGH].gold[k].kept);
  (void)snprintf(buffer, size, "%-11s %3.0f%s", mesh, 100.0 * g->kept, band);
}

typedef struct size_row {
  char mesh[48];
  fg_class_loss gold;
  double ends[3]; /* of the kept share */
} size_row;

#define OF(field) offsetof(size_row, field)
static const fg_column_of size_columns[] = {
    {"mesh", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(mesh)},
    {"lower_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(gold.lower_m)},
    {"upper_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(gold.upper_m)},
    {"share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(gold.share)},
    {"kept", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(gold.kept)},
    {"kept_low", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(ends[FG_LOW])},
    {"kept_mid", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(ends[FG_MID])},
    {"kept_high", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(ends[FG_HIGH])},
};
#undef OF

/* The data's table; people get two classes to a line. */
static void size_data(fg_node *root, const fg_card_story *story) {
  const fg_loss *loss = story->loss;
  fg_node *table = fg_table(root, "gold", NULL, FG_DATA_ONLY | FG_PRIMARY);
  FG_COLUMNS_OF(table, size_columns);
  for (size_t k = 0; k < loss->gold_count; ++k) {
    size_row row = {.gold = loss->gold[k]};
    (void)fg_page_mesh(row.gold.lower_m, row.gold.upper_m, row.mesh, sizeof row.mesh);
    for (int q = 0; q < 3; ++q)
      row.ends[q] = story->bands ? story->bands->at[q].gold[k].kept : (double)NAN;
    FG_ROW_OF(table, size_columns, &row);
  }
}

static void add_sizes(fg_text *page, fg_node *root, const fg_card_story *story) {
  const size_t all = story->loss->gold_count;
  const size_t every = (all + SIZES_SHOWN - 1) / SIZES_SHOWN; /* 1 unless there are very many */
  const size_t count = every > 0 ? (all + every - 1) / every : 0, rows = (count + 1) / 2;
  char left[WORDS], right[WORDS];
  fg_text_printf(page, "\nKEPT of each size, mesh and %% (a model's)\n");
  for (size_t k = 0; k < rows; ++k) {
    size_words(story, k * every, left, sizeof left);
    right[0] = '\0';
    if (k + rows < count)
      size_words(story, (k + rows) * every, right, sizeof right);
    fg_text_printf(page, right[0] ? "%-32s%s\n" : "%s\n", left, right);
  }
  size_data(root, story);
}

/* ---- cleaning ---- */

static void add_cleaning(fg_text *page, fg_node *root, const fg_card_story *story) {
  const fg_loss *loss = story->loss;
  const double interval = story->scenario->run.cleaning_interval;
  const double buckets = loss->feed_m3_s * interval / story->scenario->sample.bucket;
  char line[LINE], best[48] = "";
  fg_number(root, "cleaning_interval_min", NULL, FG_Q_MINUTES, interval, FG_DATA_ONLY);
  fg_number(root, "cleaning_buckets", NULL, FG_Q_NUMBER, buckets, FG_DATA_ONLY);
  fg_number(root, "cleaning_best_min", NULL, FG_Q_MINUTES, story->best_interval_s, FG_DATA_ONLY);
  if (story->present && isfinite(story->best_interval_s))
    (void)snprintf(best, sizeof best, " (most gold: every %.0f)", story->best_interval_s / 60.0);
  (void)snprintf(line, sizeof line,
                 "CLEAN every %.0f min of running%s, %.0f buckets; sooner when the upper riffles "
                 "are level with black sand.",
                 interval / 60.0, best, buckets);
  fg_text_add(page, "\n");
  add_wrapped(page, line);
}

/* ---- leave or stay ---- */

static void add_decision(fg_text *page, fg_node *root, const fg_card_story *story) {
  const fg_scenario *s = story->scenario;
  const fg_leave_or_stay *table = story->table;
  fg_node *data = fg_group(root, NULL, NULL, FG_DATA_ONLY);
  char size[WORDS];
  (void)fg_quantity_text(FG_Q_GRAIN_SIZE, story->units,
                         table ? table->size_m : s->sample.visible_size, size, sizeof size);
  fg_text_printf(page, "\nLEAVE OR STAY, by all colours over %s in the %s\n", size,
                 s->sample.method == FG_SAMPLE_PAN ? "pan" : "catch");
  fg_report_decision(data, table);
  if (!table) {
    add_wrapped(page, "Ground of the threshold grade shows no number of colours that tells.");
    return;
  }
  for (size_t i = 0; i < table->count && i < DECIDE_ROWS; ++i)
    fg_decision_line(page, table, i);
  fg_text_add(page, "Between the two: one more bucket.\n");
}

/* ---- load ---- */

static void add_load(fg_text *page, fg_node *root, const fg_card_story *story) {
  const fg_day *d = story->day;
  fg_node *data = fg_group(root, NULL, NULL, FG_DATA_ONLY);
  char weight[WORDS];
  fg_report_load(data, d, story->units);
  fg_number(data, "carry_kg", NULL, FG_Q_MASS, d->carry_kg, 0);
  fg_integer(data, "loads", NULL, (long)d->loads, 0);
  fg_number(data, "fuel_l", NULL, FG_Q_VOLUME, d->fuel_m3, 0);
  fg_number(data, "water_l", NULL, FG_Q_VOLUME, d->water_m3, 0);
  (void)fg_quantity_text(FG_Q_MASS, story->units, d->carry_kg, weight, sizeof weight);
  fg_text_printf(page, "\nPACK, %s in %zu load%s each\n", weight, d->loads,
                 d->loads == 1 ? "" : "s");
  for (int i = 0; i < FG_LOAD_ITEMS; ++i) {
    if (!(d->load[i].kg > 0.0))
      continue;
    (void)fg_quantity_text(FG_Q_MASS, story->units, d->load[i].kg, weight, sizeof weight);
    fg_text_printf(page, "[ ] %-40s %10s\n", d->load[i].name, weight);
  }
}

fg_report *fg_card_report(const fg_card_story *story) {
  fg_report *report = fg_report_new();
  fg_text page = {0};
  fg_report_columns(report, COLUMNS);
  fg_node *root = fg_report_root(report);
  (void)fg_page_head(root, NULL, NULL, story->scenario);
  add_wrapped(&page, fg_page_name(story->scenario));
  fg_text_add(&page, "A model's card, unproven on any machine: re-pan your tailings.\n\n");
  add_ready(&page, root, story);
  add_settings(&page, root, story);
  add_sizes(&page, root, story);
  add_cleaning(&page, root, story);
  add_decision(&page, root, story);
  add_load(&page, root, story);
  fg_text_add(&page, "\nTAKE CARE");
  char *lines = fg_text_take(&page, NULL);
  if (lines)
    fg_verbatim(fg_group(root, NULL, NULL, FG_TEXT_ONLY), lines);
  free(lines);
  fg_report_hazards(root, story->scenario, story->units, true);
  return report;
}
