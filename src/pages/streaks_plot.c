/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The map of `flourgold streaks` as data for plots/streaks.gp. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/text.h"
#include "pages/streaks_report.h"
#include "report/draw.h"

enum { LEVELS_MOST = 12, LEVELS_WANTED = 8, FLAGS_SHOWN = 10 };

typedef struct map_case {
  const fg_streaks_story *story;
  fg_node *table;
  double level[LEVELS_MOST]; /* lower ends of the bands but the first */
  size_t levels;
} map_case;

/* Every row: what it is, a place, a second one, a number, a text. */
static void put(const map_case *c, const char *kind, double x, double y, double x2, double y2,
                double value, const char *text) {
  fg_row(c->table);
  fg_cell_text(c->table, kind);
  fg_cell(c->table, x);
  fg_cell(c->table, y);
  fg_cell(c->table, x2);
  fg_cell(c->table, y2);
  fg_cell(c->table, value);
  fg_cell_text(c->table, text);
}

/* 1, 2 or 5 times a power of ten, at least `least`. */
static double round_step(double least) {
  const double power = pow(10.0, floor(log10(least)));
  const double part = least / power;
  return power * (part <= 1.0001 ? 1.0 : part <= 2.0001 ? 2.0 : part <= 5.0001 ? 5.0 : 10.0);
}

static void choose_levels(map_case *c) {
  const fg_streaks_map *map = &c->story->streaks->map;
  double low = (double)INFINITY;
  double high = -(double)INFINITY;
  for (size_t i = 0; i < map->rows * map->columns; ++i)
    if (!isnan(map->estimate[i])) {
      low = fmin(low, map->estimate[i]);
      high = fmax(high, map->estimate[i]);
    }
  if (!(high - low > 1e-6 * (fabs(high) + fabs(low))))
    return;
  const double step = round_step((high - low) / LEVELS_WANTED);
  const double first = step * ceil(low / step + 1e-9);
  while (c->levels < LEVELS_MOST && first + step * (double)c->levels < high) {
    c->level[c->levels] = first + step * (double)c->levels;
    ++c->levels;
  }
}

static int band_of(const map_case *c, double value) {
  int band = 0;
  while ((size_t)band < c->levels && value >= c->level[band])
    ++band;
  return band;
}

/* Cells of one band side by side in a row become one rectangle. */
static void put_bands(const map_case *c) {
  const fg_streaks_map *m = &c->story->streaks->map;
  for (size_t row = 0; row < m->rows; ++row)
    for (size_t from = 0; from < m->columns;) {
      const double *line = m->estimate + row * m->columns;
      size_t end = from + 1;
      if (isnan(line[from])) {
        from = end;
        continue;
      }
      const int band = band_of(c, line[from]);
      while (end < m->columns && !isnan(line[end]) && band_of(c, line[end]) == band)
        ++end;
      const double y = m->y0_m + (double)row * m->cell_m;
      put(c, "band", m->x0_m + (double)from * m->cell_m, y, m->x0_m + (double)end * m->cell_m,
          y + m->cell_m, band, "");
      from = end;
    }
}

static fg_status put_contour(const map_case *c, const char *kind, double level) {
  fg_segment *segments = NULL;
  size_t count = 0;
  const fg_status status = fg_map_contour(&c->story->streaks->map, level, &segments, &count);
  for (size_t i = 0; status == FG_OK && i < count; ++i)
    put(c, kind, segments[i].x1_m, segments[i].y1_m, segments[i].x2_m, segments[i].y2_m, level, "");
  free(segments);
  return status;
}

/* One row a band for the legend; value is the number of the band. */
static void put_legend(const map_case *c) {
  char text[96];
  char low[32];
  const double none = (double)NAN;
  for (size_t i = 0; i <= c->levels; ++i) {
    if (i == 0)
      (void)snprintf(text, sizeof text, "less");
    else
      (void)snprintf(text, sizeof text, "%s", fg_number_text(c->level[i - 1], 4, low, sizeof low));
    put(c, "legend", none, none, none, none, (double)i, text);
  }
}

static void put_places(const map_case *c) {
  const fg_streaks *s = c->story->streaks;
  const fg_readings *r = c->story->readings;
  const double none = (double)NAN;
  char text[32];
  for (size_t i = s->flag_count; i-- > 0;) {
    const fg_flag *f = &s->flags[i];
    const fg_reading *at = &r->list[f->reading];
    const bool first = f->rank > 0 && f->rank <= FLAGS_SHOWN;
    (void)snprintf(text, sizeof text, "%zu", f->rank);
    put(c, first ? "flag" : "reading", at->x_m, at->y_m, none, none, f->there.estimate, text);
  }
  for (size_t i = 0; i < s->next_count; ++i) {
    (void)snprintf(text, sizeof text, "%c", (char)('A' + (int)i));
    put(c, "next", s->next[i].x_m, s->next[i].y_m, none, none, s->next[i].there.gain, text);
  }
  for (size_t i = 0; i < r->working_count; ++i)
    put(c, "workings", r->workings[i].x_m, r->workings[i].y_m, none, none, none,
        r->workings[i].name);
}

static void put_wash(const map_case *c) {
  const fg_streaks *s = c->story->streaks;
  if (!isnan(s->wash_rad))
    put(c, "wash", (double)NAN, (double)NAN, (double)NAN, (double)NAN,
        s->wash_rad * 180.0 / 3.14159265358979323846, "");
}

/* Corners of the picture, and whether x and y are those of the file (1) or count from the middle
 * of the places (0). */
static void put_frame(const map_case *c) {
  const fg_streaks_map *m = &c->story->streaks->map;
  put(c, "frame", m->x0_m, m->y0_m, m->x0_m + (double)m->columns * m->cell_m,
      m->y0_m + (double)m->rows * m->cell_m, c->story->readings->degrees ? 0.0 : 1.0, "");
}

static void add_columns(fg_node *table, bool feet) {
  fg_column_text(table, "kind", NULL, 0);
  fg_column(table, feet ? "x_ft" : "x_m", NULL, FG_Q_NUMBER, 0);
  fg_column(table, feet ? "y_ft" : "y_m", NULL, FG_Q_NUMBER, 0);
  fg_column(table, feet ? "x2_ft" : "x2_m", NULL, FG_Q_NUMBER, 0);
  fg_column(table, feet ? "y2_ft" : "y2_m", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "value", NULL, FG_Q_NUMBER, 0);
  fg_column_text(table, "text", NULL, 0);
}

static fg_status fill(map_case *c) {
  choose_levels(c);
  put_frame(c);
  put_legend(c);
  put_bands(c);
  fg_status status = FG_OK;
  for (size_t i = 0; status == FG_OK && i < c->levels; ++i)
    status = put_contour(c, "contour", c->level[i]);
  if (status == FG_OK)
    status = put_contour(c, "cut", c->story->streaks->cut);
  put_wash(c);
  put_places(c);
  return status;
}

static char *subtitle_of(const fg_streaks_story *story) {
  const fg_streaks *s = story->streaks;
  const fg_readings *r = story->readings;
  fg_text text = {0};
  char cut[32];
  const char *slash = strrchr(story->path, '/');
  fg_text_printf(&text, "%.36s: %zu readings, model %s", slash ? slash + 1 : story->path, r->count,
                 fg_variogram_names[s->variogram.kind]);
  fg_text_printf(&text, "; cut %s%s.\nOnly a pan proves gold%s",
                 fg_number_text(s->cut, 3, cut, sizeof cut), r->percent ? " %" : "",
                 s->pan_predicts                         ? "."
                 : s->pan_count >= FG_STREAKS_PANS_LEAST ? ": here black sand does NOT predict it."
                                                         : "; none is shown here.");
  return fg_text_take(&text, NULL);
}

fg_status fg_streaks_picture(const fg_streaks_story *story, const char *path, char *message,
                             size_t size) {
  /* The axes carry the file's own unit; from degrees, the one people chose. */
  const bool feet = story->readings->degrees ? story->units == FG_UNITS_US
                                             : strcmp(story->readings->unit, "ft") == 0;
  fg_report *report = fg_report_new();
  map_case c = {.story = story};
  c.table = fg_table(fg_report_root(report), "map", NULL, FG_PRIMARY);
  add_columns(c.table, feet);
  fg_plot plot = {0};
  fg_status status = fill(&c);
  if (status == FG_OK)
    status = fg_plot_of(report, story->units,
                        story->readings->percent ? "Black sand, first six inches (%)"
                                                 : "Black sand, first six inches (own scale)",
                        subtitle_of(story), &plot);
  else
    fg_report_free(report);
  if (status != FG_OK)
    (void)snprintf(message, size, "the map cannot be drawn: %s", fg_status_text(status));
  else
    status = fg_plot_draw("streaks", &plot, path, message, size);
  fg_plot_free(&plot);
  return status;
}
