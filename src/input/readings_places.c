/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From positions in a file to metres, and back. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/complain.h"
#include "core/faults.h"
#include "core/number.h"
#include "input/readings_internal.h"

static const double farthest_m = 20e3;

static int compare_doubles(const void *left, const void *right) {
  const double a = *(const double *)left;
  const double b = *(const double *)right;
  return a < b ? -1 : a > b;
}

/* The middle of the positions, by medians, so that one slip does not move it; longitudes are
 * counted from the first, across the date line. */
static fg_status middle_of(const fg_spots *spots, double *latitude, double *longitude) {
  const double first = spots->list[0].x;
  const size_t n = spots->count;
  double *sorted = malloc((2 * n + 1) * sizeof *sorted);
  if (!sorted)
    return FG_EMEMORY;
  for (size_t i = 0; i < n; ++i) {
    sorted[i] = remainder(spots->list[i].x - first, 360.0);
    sorted[n + i] = spots->list[i].y;
  }
  qsort(sorted, n, sizeof *sorted, compare_doubles);
  qsort(sorted + n, n, sizeof *sorted, compare_doubles);
  *longitude = remainder(first + sorted[n / 2], 360.0);
  *latitude = sorted[n + n / 2];
  free(sorted);
  return FG_OK;
}

/* One place far from all others is most often a slip in its line. */
static void complain_far(const fg_spots *spots, const fg_spot *spot, double km) {
  fg_complain(spots->complaints,
              "%s:%d: latitude %.5f, longitude %.5f lies %.0f km from the middle of the places; a "
              "map may reach 20 km. Look for latitude and longitude swapped, a lost minus sign, or "
              "a place of another trip",
              spots->path, spot->line, spot->y, spot->x, km);
}

void fg_spots_project_degrees(fg_spots *spots) {
  fg_tmerc *p = &spots->made.projection;
  double latitude;
  double longitude;
  if (middle_of(spots, &latitude, &longitude) != FG_OK ||
      fg_tmerc_set(&fg_wgs84, latitude, longitude, 1.0, p) != FG_OK) {
    spots->failed = true;
    return;
  }
  for (size_t i = 0; i < spots->count; ++i) {
    fg_spot *s = &spots->list[i];
    double x = 0.0;
    double y = 0.0;
    const fg_status status = fg_tmerc_forward(p, s->y, s->x, &x, &y);
    const double off = status == FG_OK ? hypot(x, y) : 1e7;
    if (off > farthest_m)
      complain_far(spots, s, off / 1000.0);
    s->x = x;
    s->y = y;
  }
  spots->made.placed = true;
}

void fg_spots_project_plane(fg_spots *spots) {
  const fg_readings_options *options = spots->options;
  for (size_t i = 0; i < spots->count; ++i) {
    spots->list[i].x *= spots->made.unit_m;
    spots->list[i].y *= spots->made.unit_m;
  }
  if (options->origin)
    spots->made.placed =
        fg_tmerc_set(&fg_wgs84, options->origin_latitude_deg, options->origin_longitude_deg, 1.0,
                     &spots->made.projection) == FG_OK;
}

void fg_readings_locate(const fg_readings *readings, double x_m, double y_m, double *latitude_deg,
                        double *longitude_deg) {
  if (readings->placed &&
      fg_tmerc_inverse(&readings->projection, x_m, y_m, latitude_deg, longitude_deg) == FG_OK)
    return;
  *latitude_deg = (double)NAN;
  *longitude_deg = (double)NAN;
}

bool fg_readings_place(const fg_readings *readings, double a, double b, double *x_m, double *y_m,
                       char *message, size_t size) {
  if (!readings->degrees) {
    *x_m = a * readings->unit_m;
    *y_m = b * readings->unit_m;
    return true;
  }
  double x;
  double y;
  if (fg_tmerc_forward(&readings->projection, a, b, &x, &y) != FG_OK || hypot(x, y) > farthest_m) {
    snprintf(message, size,
             "latitude %g, longitude %g is not within 20 km of the readings, whose middle is "
             "%.5f,%.5f; the file has degrees, so write latitude,longitude",
             a, b, readings->projection.latitude_deg, readings->projection.longitude_deg);
    return false;
  }
  *x_m = x;
  *y_m = y;
  return true;
}
