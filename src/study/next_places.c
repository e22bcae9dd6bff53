/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the next readings tell most. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "study/streaks_internal.h"

enum { CANDIDATES_MOST = 1500 };

/* A place that may be chosen. */
typedef struct choice {
  double x, y;
  double value; /* estimate in the streaks' scale */
  fg_foretold there;
  double gain; /* negative: taken away */
} choice;

static void set_choice(const fg_streaks *streaks, const fg_kriged *got, choice *c) {
  c->value = got->estimate;
  c->there = fg_foretell(streaks, got);
  c->gain = c->there.gain;
}

/* Every so-manieth cell of the map, off the old workings. */
static size_t list_choices(const fg_readings *readings, const fg_streaks *streaks, choice *list) {
  const fg_streaks_map *map = &streaks->map;
  size_t step = 1;
  while (map->rows * map->columns / (step * step) > CANDIDATES_MOST)
    ++step;
  size_t count = 0;
  for (size_t row = step / 2; row < map->rows; row += step)
    for (size_t column = step / 2; column < map->columns; column += step) {
      const double x = map->x0_m + ((double)column + 0.5) * map->cell_m;
      const double y = map->y0_m + ((double)row + 0.5) * map->cell_m;
      if (!isnan(map->estimate[row * map->columns + column]) &&
          fg_workings_distance(readings, x, y) >= FG_WORKINGS_CLEARANCE_M)
        list[count++] = (choice){.x = x, .y = y};
    }
  return count;
}

/* What remains to be learnt once the readings in `data` are there, within `reach` of the last;
 * deviations only shrink, and the estimates stay (a reading is taken to come out as foretold). */
static fg_status renew(const fg_streaks *streaks, const fg_datum *data, size_t count, double reach,
                       choice *list, size_t choices) {
  fg_kriging *kriging = NULL;
  const fg_datum *last = &data[count - 1];
  fg_status status =
      fg_kriging_new(data, count, &streaks->variogram, streaks->neighbours, &kriging);
  for (size_t i = 0; status == FG_OK && i < choices; ++i) {
    const double off =
        fg_variogram_distance(&streaks->variogram, list[i].x - last->x_m, list[i].y - last->y_m);
    if (off > reach)
      continue;
    fg_kriged got;
    status = fg_kriging_at(kriging, list[i].x, list[i].y, &got);
    if (status == FG_OK)
      set_choice(streaks, &got, &list[i]);
  }
  fg_kriging_free(kriging);
  return status;
}

/* Where a model has a large nugget the same spot would be chosen again and again. */
static void clear_around(choice *list, size_t choices, double x, double y, double radius) {
  for (size_t i = 0; i < choices; ++i)
    if (hypot(list[i].x - x, list[i].y - y) < radius)
      list[i].gain = -1.0;
}

static fg_status pick_all(const fg_readings *readings, const fg_survey *survey, choice *list,
                          size_t choices, fg_datum *data, fg_streaks *streaks) {
  const double apart = 0.75 * survey->spacing_m;
  fg_status status = renew(streaks, data, survey->count, (double)INFINITY, list, choices);
  for (size_t i = 0; i < survey->count; ++i)
    clear_around(list, choices, survey->data[i].x_m, survey->data[i].y_m, 0.3 * survey->spacing_m);
  for (size_t n = 0; status == FG_OK && n < FG_STREAKS_NEXT; ++n) {
    const choice *best = NULL;
    for (size_t i = 0; i < choices; ++i)
      if (list[i].gain > 0.0 && (!best || list[i].gain > best->gain))
        best = &list[i];
    if (!best)
      break;
    fg_next_place *next = &streaks->next[streaks->next_count++];
    *next = (fg_next_place){.x_m = best->x, .y_m = best->y, .there = best->there};
    fg_readings_locate(readings, next->x_m, next->y_m, &next->latitude_deg, &next->longitude_deg);
    const size_t count = survey->count + streaks->next_count;
    data[count - 1] = (fg_datum){.x_m = next->x_m, .y_m = next->y_m, .value = best->value};
    status = renew(streaks, data, count, streaks->variogram.range_m, list, choices);
    for (size_t i = 0; i < streaks->next_count; ++i)
      clear_around(list, choices, streaks->next[i].x_m, streaks->next[i].y_m, apart);
    for (size_t i = 0; i < survey->count; ++i)
      clear_around(list, choices, survey->data[i].x_m, survey->data[i].y_m,
                   0.3 * survey->spacing_m);
  }
  return status;
}

fg_status fg_streaks_look_ahead(const fg_readings *readings, const fg_survey *survey,
                                fg_streaks *streaks) {
  const size_t cells = streaks->map.rows * streaks->map.columns;
  streaks->next_count = 0;
  if (streaks->variogram.kind == FG_VARIOGRAM_NUGGET)
    return FG_OK;
  choice *list = malloc(cells * sizeof *list);
  fg_datum *data = malloc((survey->count + FG_STREAKS_NEXT) * sizeof *data);
  fg_status status = list && data ? FG_OK : FG_EMEMORY;
  if (status == FG_OK) {
    memcpy(data, survey->data, survey->count * sizeof *data);
    const size_t choices = list_choices(readings, streaks, list);
    status = pick_all(readings, survey, list, choices, data, streaks);
  }
  free(list);
  free(data);
  return status;
}
