/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a file of places to readings in metres. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/complain.h"
#include "core/csv_rows.h"
#include "input/readings_internal.h"

static const double same_place_m = 0.01;

void fg_readings_free(fg_readings *readings) {
  free(readings->list);
  free(readings->workings);
  *readings = (fg_readings){0};
}

/* ---- Putting together --------------------------------------------------------------------- */

static void check_percent(fg_spots *spots) {
  const size_t length = strlen(spots->made.field);
  const bool named = length >= 7 && strcmp(spots->made.field + length - 7, "percent") == 0;
  if (spots->with_sign > 0 && spots->without_sign > 0 && !named)
    fg_complain(spots->complaints,
                "%s: %zu readings have a %% sign and %zu have none; write all "
                "one way",
                spots->path, spots->with_sign, spots->without_sign);
  spots->made.percent = named || (spots->with_sign > 0 && spots->without_sign == 0);
  for (size_t i = 0; spots->made.percent && i < spots->count; ++i) {
    const fg_spot *s = &spots->list[i];
    if (s->value < 0.0 || s->value > 100.0)
      fg_complain(spots->complaints, "%s:%d: the reading is %g %%; percent go from 0 to 100",
                  spots->path, s->line, s->value);
  }
}

/* A place on the grid on which readings count as being at one place. */
typedef struct spot_key {
  double x, y;
  size_t index;
} spot_key;

static int compare_keys(const void *left, const void *right) {
  const spot_key *a = left;
  const spot_key *b = right;
  if (a->x != b->x)
    return a->x < b->x ? -1 : 1;
  if (a->y != b->y)
    return a->y < b->y ? -1 : 1;
  return a->index < b->index ? -1 : a->index > b->index;
}

/* What the readings at one place come to. */
typedef struct place_sum {
  int count;
  double mean, scatter;
} place_sum;

/* What is not NaN, one by one (Welford 1962, Technometrics 4:419). */
static void add_to_place(place_sum *sum, double value) {
  if (isnan(value))
    return;
  const double step = value - sum->mean;
  ++sum->count;
  sum->mean += step / sum->count;
  sum->scatter += step * (value - sum->mean);
}

/* Puts a stretch of keys of one place together into its first spot; the others get a count of 0. */
static void merge(fg_spots *spots, const spot_key *keys, size_t count, place_sum *places) {
  place_sum value = {0};
  place_sum pan = {0};
  for (size_t i = 0; i < count; ++i) {
    add_to_place(&value, spots->list[keys[i].index].value);
    add_to_place(&pan, spots->list[keys[i].index].pan);
  }
  spots->list[keys[0].index].pan = pan.count > 0 ? pan.mean : (double)NAN;
  places[keys[0].index] = value;
  spots->made.merged += count - 1;
}

static bool is_counted(const fg_spot *spot) { return !spot->working && !isnan(spot->value); }

static fg_status merge_places(fg_spots *spots, place_sum *places) {
  spot_key *keys = malloc((spots->count + 1) * sizeof *keys);
  if (!keys)
    return FG_EMEMORY;
  size_t count = 0;
  for (size_t i = 0; i < spots->count; ++i) {
    const fg_spot *s = &spots->list[i];
    if (is_counted(s))
      keys[count++] = (spot_key){round(s->x / same_place_m), round(s->y / same_place_m), i};
  }
  qsort(keys, count, sizeof *keys, compare_keys);
  for (size_t from = 0; from < count;) {
    size_t end = from + 1;
    while (end < count && keys[end].x == keys[from].x && keys[end].y == keys[from].y)
      ++end;
    merge(spots, keys + from, end - from, places);
    from = end;
  }
  free(keys);
  return FG_OK;
}

static void default_name(char name[static FG_SPOT_NAME], const char *letter, size_t number) {
  if (name[0] == '\0')
    snprintf(name, FG_SPOT_NAME, "%s%zu", letter, number);
}

static void put_reading(fg_spots *spots, const fg_spot *s, size_t row, const place_sum *place) {
  fg_readings *made = &spots->made;
  fg_reading *r = &made->list[made->count++];
  *r = (fg_reading){.x_m = s->x,
                    .y_m = s->y,
                    .value = place->mean,
                    .pan = s->pan,
                    .merged = place->count,
                    .scatter = place->scatter};
  memcpy(r->name, s->name, sizeof r->name);
  default_name(r->name, "F", row + 1);
  fg_readings_locate(made, s->x, s->y, &r->latitude_deg, &r->longitude_deg);
}

static void put_working(fg_spots *spots, const fg_spot *s) {
  fg_readings *made = &spots->made;
  fg_working *w = &made->workings[made->working_count++];
  *w = (fg_working){.x_m = s->x, .y_m = s->y};
  memcpy(w->name, s->name, sizeof w->name);
  default_name(w->name, "old workings ", made->working_count);
  fg_readings_locate(made, s->x, s->y, &w->latitude_deg, &w->longitude_deg);
  made->at_workings += isnan(s->value) ? 0 : 1;
}

static fg_status build(fg_spots *spots) {
  fg_readings *made = &spots->made;
  made->rows = spots->count;
  made->list = calloc(spots->count + 1, sizeof *made->list);
  made->workings = calloc(spots->count + 1, sizeof *made->workings);
  place_sum *places = calloc(spots->count + 1, sizeof *places);
  fg_status status = FG_EMEMORY;
  if (made->list && made->workings && places)
    status = merge_places(spots, places);
  for (size_t i = 0; status == FG_OK && i < spots->count; ++i) {
    const fg_spot *s = &spots->list[i];
    if (s->working)
      put_working(spots, s);
    else if (places[i].count > 0)
      put_reading(spots, s, i, &places[i]);
    else
      made->without += isnan(s->value) ? 1 : 0;
  }
  free(places);
  return status;
}

/* ---- The file ----------------------------------------------------------------------------- */

static bool looks_like_xml(const char *path, const char *bytes) {
  const size_t length = strlen(path);
  bytes += strspn(bytes, " \t\r\n");
  return *bytes == '<' || (length > 4 && strcasecmp(path + length - 4, ".gpx") == 0);
}

static void read_bytes(fg_spots *spots, char *bytes, size_t length) {
  const size_t mark = length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
  if (bytes[mark + strspn(bytes + mark, " \t\r\n")] == '\0')
    fg_complain(spots->complaints, "%s: the file is empty; give readings as CSV or GPX",
                spots->path);
  else if (looks_like_xml(spots->path, bytes + mark))
    fg_spots_read_gpx(spots, bytes + mark, length - mark);
  else
    fg_spots_read_csv(spots, bytes + mark, length - mark);
}

static void check_any(fg_spots *spots) {
  size_t counted = 0;
  for (size_t i = 0; i < spots->count; ++i)
    counted += is_counted(&spots->list[i]);
  if (counted > 0 || spots->complaints->count > 0)
    return;
  fg_complain(spots->complaints,
              "%s: no reading in it (%zu places). A reading is a number in a column, element or "
              "text named %s; --field NAME names another",
              spots->path, spots->count, fg_spot_usual(FG_SPOT_READING));
}

static fg_status finish(fg_spots *spots, fg_readings *out) {
  if (spots->failed)
    return FG_EMEMORY;
  if (spots->complaints->count == 0)
    check_percent(spots);
  check_any(spots);
  if (spots->complaints->count == 0) {
    if (spots->made.degrees)
      fg_spots_project_degrees(spots);
    else
      fg_spots_project_plane(spots);
  }
  if (spots->failed)
    return FG_EMEMORY;
  if (spots->complaints->count > 0)
    return FG_ESCENARIO;
  const fg_status status = build(spots);
  if (status == FG_OK)
    *out = spots->made;
  else
    fg_readings_free(&spots->made);
  return status;
}

fg_status fg_readings_read(const char *path, const fg_readings_options *options, fg_readings *out,
                           fg_complaints *complaints) {
  char *bytes = NULL;
  size_t length = 0;
  fg_status status = fg_csv_load(path, FG_READINGS_FILE_MOST, &bytes, &length, complaints);
  if (status != FG_OK)
    return status;
  fg_spots spots = {.path = path, .options = options, .complaints = complaints};
  spots.made.unit_m = 1.0;
  snprintf(spots.made.unit, sizeof spots.made.unit, "m");
  read_bytes(&spots, bytes, length);
  free(bytes);
  status = finish(&spots, out);
  free(spots.list);
  return status;
}
