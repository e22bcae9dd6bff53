/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The estimate over the ground, and its contour lines. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "stats/neighbours.h"
#include "study/streaks_internal.h"

enum { CELLS_ALONG = 140 };

/* ---- Where the map reaches ---------------------------------------------------------------- */

typedef struct outline {
  double (*corner)[2]; /* of the convex hull, anticlockwise */
  size_t count;
} outline;

static int compare_points(const void *left, const void *right) {
  const double *a = left;
  const double *b = right;
  if (a[0] != b[0])
    return a[0] < b[0] ? -1 : 1;
  return a[1] < b[1] ? -1 : a[1] > b[1];
}

/* Above 0: c lies to the left of the way from a to b. */
static double side(const double a[2], const double b[2], const double c[2]) {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/* Adds one half of the hull (Andrew's monotone chain). */
static void add_chain(outline *hull, const double (*points)[2], size_t count, bool back) {
  const size_t start = hull->count;
  for (size_t i = 0; i < count; ++i) {
    const double *p = points[back ? count - 1 - i : i];
    while (hull->count >= start + 2 &&
           side(hull->corner[hull->count - 2], hull->corner[hull->count - 1], p) <= 0.0)
      --hull->count;
    hull->corner[hull->count][0] = p[0];
    hull->corner[hull->count][1] = p[1];
    ++hull->count;
  }
  --hull->count; /* the last one begins the other half */
}

static fg_status make_outline(const fg_survey *survey, outline *hull) {
  double(*points)[2] = malloc(survey->count * sizeof *points);
  hull->corner = malloc((2 * survey->count + 2) * sizeof *hull->corner);
  hull->count = 0;
  if (!points || !hull->corner) {
    free(points);
    free(hull->corner);
    return FG_EMEMORY;
  }
  for (size_t i = 0; i < survey->count; ++i) {
    points[i][0] = survey->data[i].x_m;
    points[i][1] = survey->data[i].y_m;
  }
  qsort(points, survey->count, sizeof *points, compare_points);
  add_chain(hull, (const double(*)[2])points, survey->count, false);
  add_chain(hull, (const double(*)[2])points, survey->count, true);
  free(points);
  return FG_OK;
}

/* Within the hull, or no farther than `margin` from it. */
static bool is_inside(const outline *hull, const double p[2], double margin) {
  bool inside = hull->count >= 3;
  double least = (double)INFINITY;
  for (size_t i = 0; i < hull->count; ++i) {
    const double *a = hull->corner[i];
    const double *b = hull->corner[(i + 1) % hull->count];
    const double dx = b[0] - a[0];
    const double dy = b[1] - a[1];
    const double square = dx * dx + dy * dy;
    double along = square > 0.0 ? ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square : 0.0;
    along = fmin(fmax(along, 0.0), 1.0);
    least = fmin(least, hypot(p[0] - a[0] - along * dx, p[1] - a[1] - along * dy));
    if (side(a, b, p) < 0.0)
      inside = false;
  }
  return inside || least <= margin;
}

/* ---- The map ------------------------------------------------------------------------------ */

/* What lies farther than this from every reading, by the model's distance, is left blank. */
static double reach_of(const fg_survey *survey, const fg_variogram *v) {
  const double correlated = v->kind == FG_VARIOGRAM_NUGGET ? 0.0 : 0.6 * v->range_m;
  return fmax(correlated, 2.5 * survey->spacing_m);
}

/* Whether the nearest reading is near enough, or in the cell itself. */
static bool is_reached(const fg_survey *survey, const fg_kriging *kriging,
                       const fg_streaks *streaks, const double at[2]) {
  size_t count;
  const size_t *index;
  const double *weight;
  fg_kriging_last(kriging, &count, &index, &weight);
  const double dx = survey->data[index[0]].x_m - at[0];
  const double dy = survey->data[index[0]].y_m - at[1];
  return hypot(dx, dy) <= 0.75 * streaks->map.cell_m ||
         fg_variogram_distance(&streaks->variogram, dx, dy) <=
             reach_of(survey, &streaks->variogram);
}

static void set_frame(const fg_survey *survey, double margin, fg_streaks_map *map) {
  const double width = survey->high[0] - survey->low[0] + 2.0 * margin;
  const double height = survey->high[1] - survey->low[1] + 2.0 * margin;
  map->cell_m = fmax(width, height) / CELLS_ALONG;
  map->columns = (size_t)ceil(width / map->cell_m - 1e-9);
  map->rows = (size_t)ceil(height / map->cell_m - 1e-9);
  map->columns += map->columns == 0;
  map->rows += map->rows == 0;
  map->x0_m = 0.5 * (survey->low[0] + survey->high[0] - (double)map->columns * map->cell_m);
  map->y0_m = 0.5 * (survey->low[1] + survey->high[1] - (double)map->rows * map->cell_m);
}

static fg_status fill_cell(const fg_survey *survey, const outline *hull, double margin,
                           fg_kriging *kriging, fg_streaks *streaks, size_t row, size_t column) {
  fg_streaks_map *map = &streaks->map;
  const size_t cell = row * map->columns + column;
  const double at[2] = {map->x0_m + ((double)column + 0.5) * map->cell_m,
                        map->y0_m + ((double)row + 0.5) * map->cell_m};
  map->estimate[cell] = (double)NAN;
  if (!is_inside(hull, at, margin))
    return FG_OK;
  fg_kriged got;
  const fg_status status = fg_kriging_at(kriging, at[0], at[1], &got);
  if (status != FG_OK)
    return status;
  if (!is_reached(survey, kriging, streaks, at))
    return FG_OK;
  map->estimate[cell] = fg_scale_mean(&streaks->scale, got.estimate, got.variance, got.lagrange);
  return FG_OK;
}

fg_status fg_streaks_draw(const fg_survey *survey, fg_kriging *kriging, fg_streaks *streaks) {
  const double margin = fmax(0.8 * survey->spacing_m, 0.02 * survey->diagonal_m);
  fg_streaks_map *map = &streaks->map;
  set_frame(survey, margin, map);
  const size_t cells = map->columns * map->rows;
  map->estimate = malloc(cells * sizeof *map->estimate);
  if (!map->estimate)
    return FG_EMEMORY;
  outline hull;
  fg_status status = make_outline(survey, &hull);
  if (status != FG_OK)
    return status;
  for (size_t row = 0; status == FG_OK && row < map->rows; ++row)
    for (size_t column = 0; status == FG_OK && column < map->columns; ++column)
      status = fill_cell(survey, &hull, margin, kriging, streaks, row, column);
  free(hull.corner);
  return status;
}

/* ---- Contours ----------------------------------------------------------------------------- */

typedef struct corner {
  double x, y, z;
} corner;

/* Where the level crosses the way from a to b. */
static void cross_at(const corner *a, const corner *b, double level, double *x, double *y) {
  const double share = (level - a->z) / (b->z - a->z);
  *x = a->x + share * (b->x - a->x);
  *y = a->y + share * (b->y - a->y);
}

/* The piece of line in a triangle; false without one. */
static bool cut_triangle(const corner t[3], double level, fg_segment *s) {
  double ends[2][2];
  size_t found = 0;
  for (size_t i = 0; i < 3; ++i) {
    const corner *a = &t[i];
    const corner *b = &t[(i + 1) % 3];
    if ((a->z > level) != (b->z > level) && found < 2) {
      cross_at(a, b, level, &ends[found][0], &ends[found][1]);
      ++found;
    }
  }
  if (found < 2)
    return false;
  *s = (fg_segment){ends[0][0], ends[0][1], ends[1][0], ends[1][1]};
  return true;
}

static corner corner_of(const fg_streaks_map *map, size_t row, size_t column) {
  return (corner){map->x0_m + ((double)column + 0.5) * map->cell_m,
                  map->y0_m + ((double)row + 0.5) * map->cell_m,
                  map->estimate[row * map->columns + column]};
}

fg_status fg_map_contour(const fg_streaks_map *map, double level, fg_segment **segments,
                         size_t *count) {
  const size_t most = 4 * map->rows * map->columns + 1;
  fg_segment *list = malloc(most * sizeof *list);
  if (!list)
    return FG_EMEMORY;
  size_t used = 0;
  for (size_t row = 0; row + 1 < map->rows; ++row)
    for (size_t column = 0; column + 1 < map->columns; ++column) {
      const corner c[4] = {corner_of(map, row, column), corner_of(map, row, column + 1),
                           corner_of(map, row + 1, column + 1), corner_of(map, row + 1, column)};
      corner middle = {0.0, 0.0, 0.0};
      for (size_t i = 0; i < 4; ++i) {
        middle.x += 0.25 * c[i].x;
        middle.y += 0.25 * c[i].y;
        middle.z += 0.25 * c[i].z;
      }
      if (isnan(middle.z))
        continue;
      for (size_t i = 0; i < 4; ++i) {
        const corner triangle[3] = {c[i], c[(i + 1) % 4], middle};
        used += cut_triangle(triangle, level, &list[used]);
      }
    }
  *segments = list;
  *count = used;
  return FG_OK;
}
