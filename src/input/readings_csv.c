/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings from a table: RFC 4180, with comma, semicolon or tab. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/faults.h"
#include "core/number.h"
#include "input/readings_internal.h"

enum { COLUMNS = 64, LINE_MOST = 8192 };

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
  char *rest; /* what is still unread */
  char separator;
  int line; /* of the row being read */
  int next; /* of the row after it */
  char *cells[COLUMNS];
  size_t count;
  column_role role[COLUMNS];
  size_t columns;
  int place[ROLES]; /* column of a role, -1: none */
} csv_table;

/* ---- Rows --------------------------------------------------------------------------------- */

static bool is_end(char c) { return c == '\0' || c == '\n' || c == '\r'; }

/* Steps over a line's end; "\r\n" is one. */
static char *over_end(csv_table *t, char *p) {
  if (*p == '\0')
    return p;
  ++t->next;
  return p + (p[0] == '\r' && p[1] == '\n' ? 2 : 1);
}

/* A quoted cell, undone in place; returns what is behind it, NULL when it is never closed. */
static char *quoted_cell(csv_table *t, char *p, char **cell) {
  char *out = p;
  *cell = p;
  for (p++;; ++p) {
    if (*p == '\0')
      return NULL;
    if (*p == '"' && p[1] != '"')
      break;
    if (*p == '"')
      ++p;
    t->next += *p == '\n';
    *out++ = *p;
  }
  *out = '\0';
  ++p;
  return p + strspn(p, t->separator == '\t' ? " " : " \t");
}

static void trim(char *cell) {
  size_t length = strlen(cell);
  while (length > 0 && (cell[length - 1] == ' ' || cell[length - 1] == '\t'))
    cell[--length] = '\0';
}

/* Splits one row into cells; false after a complaint that ends the reading. */
static bool split_row(csv_table *t) {
  char *start = t->rest;
  char *p = start;
  t->line = t->next;
  t->count = 0;
  for (;;) {
    char *cell = p + strspn(p, t->separator == '\t' ? " " : " \t");
    if (*cell == '"')
      p = quoted_cell(t, cell, &cell);
    else
      p = cell + strcspn(cell, (char[]){t->separator, '\n', '\r', '\0'});
    if (!p || (*p != t->separator && !is_end(*p)) || t->count == COLUMNS || p - start > LINE_MOST) {
      const char *why = !p ? "a quote is opened and never closed"
                        : *p != t->separator && !is_end(*p)
                            ? "text behind a closing quote; double the quotes inside a quoted text"
                        : t->count == COLUMNS ? "more than 64 columns"
                                              : "a line is longer than 8 kB";
      fg_complain(t->spots->complaints, "%s:%d: %s", t->spots->path, t->line, why);
      return false;
    }
    const char end = *p;
    char *behind = is_end(end) ? over_end(t, p) : p + 1;
    *p = '\0';
    trim(cell);
    t->cells[t->count++] = cell;
    p = behind;
    if (is_end(end))
      break;
  }
  t->rest = p;
  return true;
}

/* Comments and empty lines before the row. */
static void skip_idle(csv_table *t) {
  for (;;) {
    char *p = t->rest + strspn(t->rest, " \t");
    if (*p == '#')
      p += strcspn(p, "\r\n");
    else if (*p == '\0' || !is_end(*p))
      return;
    t->rest = over_end(t, p);
    if (*p == '\0')
      return;
  }
}

/* ---- Header ------------------------------------------------------------------------------- */

static bool is_one_of(const char *plain, const char *const *names) {
  for (; *names; ++names)
    if (strcmp(plain, *names) == 0)
      return true;
  return false;
}

/* Length units that a position's column may end in. */
static const struct {
  const char *ending;
  double metres;
} length_units[] = {{"m", 1.0}, {"ft", 0.3048}, {"yd", 0.9144}, {"km", 1000.0}};

/* "x_ft" and its like; the unit must be the same for both. */
static column_role plane_role(csv_table *t, const char *plain, const char *column) {
  static const char *const east[] = {"x", "east", "easting", NULL};
  static const char *const north[] = {"y", "north", "northing", NULL};
  char base[FG_SPOT_NAME];
  snprintf(base, sizeof base, "%s", plain);
  char *unit = strchr(base, '_');
  if (unit)
    *unit++ = '\0';
  const column_role role = is_one_of(base, east)    ? ROLE_X
                           : is_one_of(base, north) ? ROLE_Y
                                                    : ROLE_ASIDE;
  if (role == ROLE_ASIDE)
    return role;
  fg_readings *made = &t->spots->made;
  for (size_t i = 0; unit && i < sizeof length_units / sizeof length_units[0]; ++i) {
    if (strcmp(unit, length_units[i].ending) != 0)
      continue;
    if (t->place[ROLE_X] + t->place[ROLE_Y] > -2 && made->unit_m != length_units[i].metres)
      fg_complain(t->spots->complaints, "%s:%d: x and y must have one unit", t->spots->path,
                  t->line);
    made->unit_m = length_units[i].metres;
    snprintf(made->unit, sizeof made->unit, "%s", length_units[i].ending);
    return role;
  }
  char quoted[FG_QUOTED_MAX];
  fg_complain(t->spots->complaints,
              "%s:%d: column %s does not say its unit; name it %s_m or %s_ft (or _yd, _km)",
              t->spots->path, t->line, fg_quoted(column, quoted), base, base);
  return ROLE_ASIDE;
}

static column_role role_of(csv_table *t, const char *column) {
  static const char *const latitude[] = {"latitude",         "lat", "latitude_deg", "lat_deg",
                                         "latitude_degrees", NULL};
  static const char *const longitude[] = {
      "longitude", "lon", "long", "lng", "longitude_deg", "lon_deg", "longitude_degrees", NULL};
  static const char *const name[] = {"name", "flag", "station", "point", "label", "id", NULL};
  static const char *const working[] = {"old_workings", "old_working", "workings", "mine", NULL};
  char plain[FG_SPOT_NAME];
  fg_spot_plain_name(column, plain);
  if (fg_spot_is_field(t->spots, FG_SPOT_READING, plain))
    return ROLE_READING;
  if (fg_spot_is_field(t->spots, FG_SPOT_PAN, plain))
    return ROLE_PAN;
  if (is_one_of(plain, latitude))
    return ROLE_LATITUDE;
  if (is_one_of(plain, longitude))
    return ROLE_LONGITUDE;
  if (is_one_of(plain, name))
    return ROLE_NAME;
  if (is_one_of(plain, working))
    return ROLE_WORKING;
  return plane_role(t, plain, column);
}

static void list_columns(const csv_table *t, char *list, size_t size) {
  size_t used = 0;
  list[0] = '\0';
  for (size_t i = 0; i < t->columns && used + 48 < size; ++i) {
    const int wrote = snprintf(list + used, size - used, "%s%.40s", i > 0 ? ", " : "", t->cells[i]);
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
                s->path, t->line);
  else if (!plane && !degrees)
    fg_complain(s->complaints,
                "%s:%d: the first line must name the columns, two of them x_m and y_m (or x_ft, "
                "y_ft) or latitude and longitude; it has: %s",
                s->path, t->line, list);
  else if (t->place[ROLE_READING] < 0)
    fg_complain(s->complaints,
                "%s:%d: no column of readings%s%s; name it %s, or name yours with --field; there "
                "are: %s",
                s->path, t->line, s->options->field ? " named " : "",
                s->options->field ? s->options->field : "", fg_spot_usual(FG_SPOT_READING), list);
  else if (s->options->pan && t->place[ROLE_PAN] < 0)
    fg_complain(s->complaints, "%s:%d: no column '%s' for --pan; there are: %s", s->path, t->line,
                s->options->pan, list);
  s->made.degrees = degrees;
  return s->complaints->count == 0;
}

static bool read_header(csv_table *t) {
  for (int i = 0; i < ROLES; ++i)
    t->place[i] = -1;
  t->columns = t->count;
  for (size_t i = 0; i < t->count; ++i) {
    const column_role role = role_of(t, t->cells[i]);
    if (role == ROLE_ASIDE)
      continue;
    if (t->place[role] >= 0) {
      fg_complain(t->spots->complaints,
                  "%s:%d: columns '%s' and '%s' hold the same thing; rename "
                  "one%s",
                  t->spots->path, t->line, t->cells[t->place[role]], t->cells[i],
                  role == ROLE_READING ? ", or choose with --field" : "");
      continue;
    }
    t->place[role] = (int)i;
  }
  if (!check_header(t))
    return false;
  fg_spot_plain_name(t->cells[t->place[ROLE_READING]], t->spots->made.field);
  if (t->place[ROLE_PAN] >= 0)
    fg_spot_plain_name(t->cells[t->place[ROLE_PAN]], t->spots->made.pan);
  return true;
}

/* ---- Places ------------------------------------------------------------------------------- */

static const char *cell_of(const csv_table *t, column_role role) {
  const int place = t->place[role];
  return place >= 0 && (size_t)place < t->count ? t->cells[place] : "";
}

static bool read_coordinate(csv_table *t, column_role role, double most, double *value) {
  static const char *const words[ROLES] = {
      [ROLE_X] = "x", [ROLE_Y] = "y", [ROLE_LATITUDE] = "latitude", [ROLE_LONGITUDE] = "longitude"};
  const char *cell = cell_of(t, role);
  char message[256];
  const char *rest;
  if (!fg_number_scan(cell, value, &rest, message, sizeof message)) {
    fg_complain(t->spots->complaints, "%s:%d: %s: %s", t->spots->path, t->line, words[role],
                message);
    return false;
  }
  rest = fg_skip_blanks(rest);
  if (*rest != '\0') {
    char quoted[FG_QUOTED_MAX];
    fg_complain(t->spots->complaints, "%s:%d: %s: %s is not a number alone; %s", t->spots->path,
                t->line, words[role], fg_quoted(cell, quoted),
                t->spots->made.degrees ? "write decimal degrees, south and west negative"
                                       : "the unit stands in the column's name");
    return false;
  }
  if (fabs(*value) <= most)
    return true;
  fg_complain(t->spots->complaints, "%s:%d: %s %g is beyond %g%s", t->spots->path, t->line,
              words[role], *value, most,
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
                t->spots->path, t->line, cell);
  return false;
}

static void read_place(csv_table *t) {
  const bool degrees = t->spots->made.degrees;
  fg_spot spot = {.line = t->line};
  const bool x =
      read_coordinate(t, degrees ? ROLE_LONGITUDE : ROLE_X, degrees ? 180.0 : 1e8, &spot.x);
  const bool y =
      read_coordinate(t, degrees ? ROLE_LATITUDE : ROLE_Y, degrees ? 90.0 : 1e8, &spot.y);
  fg_spot_set_name(spot.name, cell_of(t, ROLE_NAME));
  spot.value = fg_spot_value(t->spots, FG_SPOT_READING, cell_of(t, ROLE_READING), t->line);
  spot.pan = fg_spot_value(t->spots, FG_SPOT_PAN, cell_of(t, ROLE_PAN), t->line);
  spot.working = read_yes(t);
  if (x && y)
    fg_spots_add(t->spots, &spot);
}

/* The separator of which the header has most; a comma when it has none. */
static char find_separator(const char *header) {
  static const char candidates[] = {',', ';', '\t'};
  size_t most = 0;
  char best = ',';
  for (size_t i = 0; i < sizeof candidates; ++i) {
    size_t count = 0;
    for (const char *p = header; !is_end(*p); ++p)
      count += *p == candidates[i];
    if (count > most) {
      most = count;
      best = candidates[i];
    }
  }
  return best;
}

void fg_spots_read_csv(fg_spots *spots, char *bytes, size_t length) {
  (void)length;
  csv_table t = {.spots = spots, .rest = bytes, .next = 1};
  skip_idle(&t);
  t.separator = find_separator(t.rest);
  if (!split_row(&t) || !read_header(&t))
    return;
  for (skip_idle(&t); *t.rest != '\0' && !spots->full && !spots->failed; skip_idle(&t)) {
    if (!split_row(&t))
      return;
    if (t.count > t.columns)
      fg_complain(spots->complaints,
                  "%s:%d: %zu cells, but the first line names %zu columns; quote a text that holds "
                  "a comma",
                  spots->path, t.line, t.count, t.columns);
    else
      read_place(&t);
  }
}
