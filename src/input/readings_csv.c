/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings from a table. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/complain.h"
#include "core/csv_rows.h"
#include "core/faults.h"
#include "core/number.h"
#include "core/unit_table.h"
#include "input/readings_internal.h"

/* What a column is. */
typedef enum column_role {
  ROLE_ASIDE = 0,
  ROLE_X,
  ROLE_Y,
  ROLE_LATITUDE,
  ROLE_LONGITUDE,
  ROLE_NAME,
  ROLE_READING,
  ROLE_PAN,
  ROLE_WORKING,
  ROLES
} column_role;

typedef struct csv_table {
  fg_spots *spots;
  fg_csv csv;
  size_t columns;
  int place[ROLES]; /* column of a role, -1: none */
} csv_table;

/* The columns there are by their plain names, what a place's part is called and how far it may go.
 * The reading and the pan count are named by the call (fg_spot_is_field()); x and y carry a unit.
 */
static const struct {
  const char *names[10];
  const char *word;
  double most;
} known[ROLES] = {
    [ROLE_X] = {{"x", "east", "easting"}, "x", 1e8},
    [ROLE_Y] = {{"y", "north", "northing"}, "y", 1e8},
    [ROLE_LATITUDE] = {{"latitude", "lat", "latitude_deg", "lat_deg", "latitude_degrees"},
                       "latitude",
                       90.0},
    [ROLE_LONGITUDE] = {{"longitude", "lon", "long", "lng", "longitude_deg", "lon_deg",
                         "longitude_degrees"},
                        "longitude",
                        180.0},
    [ROLE_NAME] = {{"name", "flag", "station", "point", "label", "id"}, NULL, 0.0},
    [ROLE_WORKING] = {{"old_workings", "old_working", "workings", "mine"}, NULL, 0.0},
};

/* ---- Header ------------------------------------------------------------------------------- */

static bool is_one_of(const char *plain, const char *const *names) {
  for (; *names; ++names)
    if (strcmp(plain, *names) == 0)
      return true;
  return false;
}

/* Length units that a position's column may end in. */
static const char *const length_units[] = {"m", "ft", "yd", "km"};

/* "x_ft" and its like; the unit must be the same for both. */
static column_role plane_role(csv_table *t, const char *plain, const char *column) {
  char base[FG_SPOT_NAME];
  snprintf(base, sizeof base, "%s", plain);
  char *unit = strchr(base, '_');
  if (unit)
    *unit++ = '\0';
  const column_role role = is_one_of(base, known[ROLE_X].names)   ? ROLE_X
                           : is_one_of(base, known[ROLE_Y].names) ? ROLE_Y
                                                                  : ROLE_ASIDE;
  if (role == ROLE_ASIDE)
    return role;
  fg_readings *made = &t->spots->made;
  for (size_t i = 0; unit && i < sizeof length_units / sizeof length_units[0]; ++i) {
    if (strcmp(unit, length_units[i]) != 0)
      continue;
    const double metres = fg_unit_find(unit, false)->factor;
    if (t->place[ROLE_X] + t->place[ROLE_Y] > -2 && made->unit_m != metres)
      fg_complain(t->spots->complaints, "%s:%d: x and y must have one unit", t->spots->path,
                  t->csv.line);
    made->unit_m = metres;
    snprintf(made->unit, sizeof made->unit, "%s", unit);
    return role;
  }
  char quoted[FG_QUOTED_MAX];
  fg_complain(t->spots->complaints,
              "%s:%d: column %s does not say its unit; name it %s_m or %s_ft (or _yd, _km)",
              t->spots->path, t->csv.line, fg_quoted(column, quoted), base, base);
  return ROLE_ASIDE;
}

static column_role role_of(csv_table *t, const char *column) {
  char plain[FG_SPOT_NAME];
  fg_spot_plain_name(column, plain);
  if (fg_spot_is_field(t->spots, FG_SPOT_READING, plain))
    return ROLE_READING;
  if (fg_spot_is_field(t->spots, FG_SPOT_PAN, plain))
    return ROLE_PAN;
  for (int role = ROLE_LATITUDE; role < ROLES; ++role)
    if (is_one_of(plain, known[role].names))
      return (column_role)role;
  return plane_role(t, plain, column);
}

static void list_columns(const csv_table *t, char *list, size_t size) {
  size_t used = 0;
  list[0] = '\0';
  for (size_t i = 0; i < t->columns && used + 48 < size; ++i) {
    const int wrote =
        snprintf(list + used, size - used, "%s%.40s", i > 0 ? ", " : "", t->csv.cells[i]);
    used += wrote > 0 ? (size_t)wrote : 0;
  }
}

static bool check_header(csv_table *t) {
  char list[512];
  list_columns(t, list, sizeof list);
  fg_spots *s = t->spots;
  const bool plane = t->place[ROLE_X] >= 0 && t->place[ROLE_Y] >= 0;
  const bool degrees = t->place[ROLE_LATITUDE] >= 0 && t->place[ROLE_LONGITUDE] >= 0;
  if (s->complaints->count > 0)
    return false;
  if (plane && degrees)
    fg_complain(s->complaints, "%s:%d: both x, y and latitude, longitude; leave one pair out",
                s->path, t->csv.line);
  else if (!plane && !degrees)
    fg_complain(s->complaints,
                "%s:%d: the first line must name the columns, two of them x_m and y_m (or x_ft, "
                "y_ft) or latitude and longitude; it has: %s",
                s->path, t->csv.line, list);
  else if (t->place[ROLE_READING] < 0)
    fg_complain(s->complaints,
                "%s:%d: no column of readings%s%s; name it %s, or name yours with --field; there "
                "are: %s",
                s->path, t->csv.line, s->options->field ? " named " : "",
                s->options->field ? s->options->field : "", fg_spot_usual(FG_SPOT_READING), list);
  else if (s->options->pan && t->place[ROLE_PAN] < 0)
    fg_complain(s->complaints, "%s:%d: no column '%s' for --pan; there are: %s", s->path,
                t->csv.line, s->options->pan, list);
  s->made.degrees = degrees;
  return s->complaints->count == 0;
}

static bool read_header(csv_table *t) {
  for (int i = 0; i < ROLES; ++i)
    t->place[i] = -1;
  t->columns = t->csv.cell_count;
  for (size_t i = 0; i < t->csv.cell_count; ++i) {
    const column_role role = role_of(t, t->csv.cells[i]);
    if (role == ROLE_ASIDE)
      continue;
    if (t->place[role] >= 0) {
      fg_complain(t->spots->complaints,
                  "%s:%d: columns '%s' and '%s' hold the same thing; rename "
                  "one%s",
                  t->spots->path, t->csv.line, t->csv.cells[t->place[role]], t->csv.cells[i],
                  role == ROLE_READING ? ", or choose with --field" : "");
      continue;
    }
    t->place[role] = (int)i;
  }
  if (!check_header(t))
    return false;
  fg_spot_plain_name(t->csv.cells[t->place[ROLE_READING]], t->spots->made.field);
  if (t->place[ROLE_PAN] >= 0)
    fg_spot_plain_name(t->csv.cells[t->place[ROLE_PAN]], t->spots->made.pan);
  return true;
}

/* ---- Places ------------------------------------------------------------------------------- */

static const char *cell_of(const csv_table *t, column_role role) {
  const int place = t->place[role];
  return place >= 0 && (size_t)place < t->csv.cell_count ? t->csv.cells[place] : "";
}

static bool read_coordinate(csv_table *t, column_role role, double *value) {
  const char *word = known[role].word;
  const double most = known[role].most;
  const char *cell = cell_of(t, role);
  char message[256];
  const char *rest;
  if (!fg_number_scan(cell, value, &rest, message, sizeof message)) {
    fg_complain(t->spots->complaints, "%s:%d: %s: %s", t->spots->path, t->csv.line, word, message);
    return false;
  }
  rest = fg_skip_blanks(rest);
  if (*rest != '\0') {
    char quoted[FG_QUOTED_MAX];
    fg_complain(t->spots->complaints, "%s:%d: %s: %s is not a number alone; %s", t->spots->path,
                t->csv.line, word, fg_quoted(cell, quoted),
                t->spots->made.degrees ? "write decimal degrees, south and west negative"
                                       : "the unit stands in the column's name");
    return false;
  }
  if (fabs(*value) <= most)
    return true;
  fg_complain(t->spots->complaints, "%s:%d: %s %g is beyond %g%s", t->spots->path, t->csv.line,
              word, *value, most,
              role == ROLE_LATITUDE && fabs(*value) <= 180.0
                  ? "; are latitude and longitude swapped?"
                  : "");
  return false;
}

static bool read_yes(csv_table *t) {
  static const char *const yes[] = {"yes", "y", "1", "true", "x", NULL};
  static const char *const no[] = {"", "no", "n", "0", "false", "-", NULL};
  char plain[FG_SPOT_NAME];
  const char *cell = cell_of(t, ROLE_WORKING);
  fg_spot_plain_name(cell, plain);
  if (is_one_of(plain, yes))
    return true;
  if (!is_one_of(plain, no))
    fg_complain(t->spots->complaints, "%s:%d: old workings are '%s'; write yes or no",
                t->spots->path, t->csv.line, cell);
  return false;
}

static void read_place(csv_table *t) {
  const bool degrees = t->spots->made.degrees;
  fg_spot spot = {.line = t->csv.line};
  const bool x = read_coordinate(t, degrees ? ROLE_LONGITUDE : ROLE_X, &spot.x);
  const bool y = read_coordinate(t, degrees ? ROLE_LATITUDE : ROLE_Y, &spot.y);
  fg_spot_set_name(spot.name, cell_of(t, ROLE_NAME));
  spot.value = fg_spot_value(t->spots, FG_SPOT_READING, cell_of(t, ROLE_READING), t->csv.line);
  spot.pan = fg_spot_value(t->spots, FG_SPOT_PAN, cell_of(t, ROLE_PAN), t->csv.line);
  spot.working = read_yes(t);
  if (x && y)
    fg_spots_add(t->spots, &spot);
}

void fg_spots_read_csv(fg_spots *spots, char *bytes, size_t length) {
  (void)length;
  csv_table t = {.spots = spots};
  fg_status status = FG_OK;
  fg_csv_begin(&t.csv, spots->path, bytes);
  if (!fg_csv_next(&t.csv, spots->complaints, &status)) {
    if (status == FG_OK)
      fg_complain(spots->complaints, "%s: there is no row in it", spots->path);
    return;
  }
  if (!read_header(&t))
    return;
  while (!spots->full && !spots->failed && fg_csv_next(&t.csv, spots->complaints, &status)) {
    if (t.csv.cell_count > t.columns)
      fg_complain(spots->complaints,
                  "%s:%d: %zu cells, but the first line names %zu columns; quote a text that holds "
                  "a comma",
                  spots->path, t.csv.line, t.csv.cell_count, t.columns);
    else
      read_place(&t);
  }
}
