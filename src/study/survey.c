/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the places of a survey lie. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include <gsl/gsl_statistics_double.h>

#include "stats/neighbours.h"
#include "study/streaks_internal.h"

static const double pi = 3.14159265358979323846;

static int compare_doubles(const void *left, const void *right) {
  const double a = *(const double *)left;
  const double b = *(const double *)right;
  return a < b ? -1 : a > b;
}

static fg_status find_spacing(fg_survey *s) {
  double(*points)[2] = malloc(s->count * sizeof *points);
  double *nearest = malloc(s->count * sizeof *nearest);
  fg_neighbours *tree = NULL;
  fg_status status = points && nearest ? FG_OK : FG_EMEMORY;
  for (size_t i = 0; status == FG_OK && i < s->count; ++i) {
    points[i][0] = s->data[i].x_m - s->low[0];
    points[i][1] = s->data[i].y_m - s->low[1];
  }
  if (status == FG_OK)
    status = fg_neighbours_new((const double(*)[2])points, s->count, &tree);
  for (size_t i = 0; status == FG_OK && i < s->count; ++i) {
    size_t index;
    double square = 0.0;
    (void)fg_neighbours_find(tree, points[i][0], points[i][1], 1, i, &index, &square);
    nearest[i] = sqrt(square);
  }
  if (status == FG_OK) {
    qsort(nearest, s->count, sizeof *nearest, compare_doubles);
    s->spacing_m = nearest[s->count / 2];
  }
  fg_neighbours_free(tree);
  free(points);
  free(nearest);
  return status;
}

/* Long axis and elongation from the second moments of the places. */
static void find_axis(fg_survey *s) {
  double mean[2] = {0.0, 0.0};
  const double n = (double)s->count;
  for (size_t i = 0; i < s->count; ++i) {
    mean[0] += (s->data[i].x_m - s->low[0]) / n;
    mean[1] += (s->data[i].y_m - s->low[1]) / n;
  }
  double xx = 0.0;
  double yy = 0.0;
  double xy = 0.0;
  for (size_t i = 0; i < s->count; ++i) {
    const double dx = s->data[i].x_m - s->low[0] - mean[0];
    const double dy = s->data[i].y_m - s->low[1] - mean[1];
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  const double middle = 0.5 * (xx + yy);
  const double half = hypot(0.5 * (xx - yy), xy);
  const double east_turn = 0.5 * atan2(2.0 * xy, xx - yy); /* from east, anticlockwise */
  s->axis_rad = fmod(0.5 * pi - east_turn + 2.0 * pi, pi);
  const double least = middle - half > 0.0 ? middle - half : 0.0;
  s->collinear = sqrt(least) <= 1e-3 * sqrt(middle + half);
  s->elongation = least > 0.0 ? sqrt((middle + half) / least) : (double)INFINITY;
}

/* By GSL's recurrences: the mean of readings all alike is that reading, to the last digit. */
static void find_moments(fg_survey *s) {
  const size_t stride = sizeof *s->data / sizeof s->data->value;
  s->mean = gsl_stats_mean(&s->data->value, stride, s->count);
  s->variance = gsl_stats_variance_m(&s->data->value, stride, s->count, s->mean);
}

static void find_corners(fg_survey *s) {
  s->low[0] = s->high[0] = s->data[0].x_m;
  s->low[1] = s->high[1] = s->data[0].y_m;
  for (size_t i = 1; i < s->count; ++i) {
    s->low[0] = fmin(s->low[0], s->data[i].x_m);
    s->high[0] = fmax(s->high[0], s->data[i].x_m);
    s->low[1] = fmin(s->low[1], s->data[i].y_m);
    s->high[1] = fmax(s->high[1], s->data[i].y_m);
  }
  s->diagonal_m = hypot(s->high[0] - s->low[0], s->high[1] - s->low[1]);
}

fg_status fg_survey_make(const fg_readings *readings, fg_survey *survey) {
  if (readings->count < 2)
    return FG_EDOMAIN;
  fg_survey s = {.count = readings->count};
  s.data = malloc(s.count * sizeof *s.data);
  if (!s.data)
    return FG_EMEMORY;
  for (size_t i = 0; i < s.count; ++i) {
    const fg_reading *r = &readings->list[i];
    s.data[i] = (fg_datum){r->x_m, r->y_m, r->value, r->merged, r->scatter};
  }
  find_corners(&s);
  find_axis(&s);
  find_moments(&s);
  const fg_status status = find_spacing(&s);
  if (status == FG_OK)
    *survey = s;
  else
    fg_survey_free(&s);
  return status;
}

/* The scatter of repeats goes with the square of the scale's slope at their mean. */
void fg_survey_rescale(fg_survey *survey, const fg_value_scale *scale) {
  for (size_t i = 0; scale->logarithmic && i < survey->count; ++i) {
    fg_datum *d = &survey->data[i];
    const double above = d->value - scale->shift;
    d->value = fg_scale_to(scale, d->value);
    d->scatter /= above * above;
  }
}

void fg_survey_free(fg_survey *survey) {
  free(survey->data);
  *survey = (fg_survey){0};
}

double fg_workings_distance(const fg_readings *readings, double x_m, double y_m) {
  double least = (double)INFINITY;
  for (size_t i = 0; i < readings->working_count; ++i)
    least = fmin(least, hypot(readings->workings[i].x_m - x_m, readings->workings[i].y_m - y_m));
  return least;
}
