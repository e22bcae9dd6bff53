/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a file of places to readings in metres. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

#include "config/faults.h"
#include "config/number.h"
#include "config/slurp.h"
#include "flourgold/text.h"
#include "site/readings_internal.h"

static const double farthest_m = 20e3;
static const double same_place_m = 0.01;
static const double largest = 1e9;

void fg_readings_free(fg_readings *readings) {
  free(readings->list);
  free(readings->workings);
  *readings = (fg_readings){0};
}

/* ---- Projection --------------------------------------------------------------------------- */

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
  double *sorted = malloc(2 * n * sizeof *sorted);
  if (sorted == NULL)
    return FG_EMEMORY;
  for (size_t i = 0; i < n; i++) {
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

static void project_degrees(fg_spots *spots) {
  fg_tmerc *p = &spots->made.projection;
  double latitude;
  double longitude;
  if (middle_of(spots, &latitude, &longitude) != FG_OK ||
      fg_tmerc_set(&fg_wgs84, latitude, longitude, 1.0, p) != FG_OK) {
    spots->failed = true;
    return;
  }
  for (size_t i = 0; i < spots->count; i++) {
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

static void project_plane(fg_spots *spots) {
  const fg_readings_options *options = spots->options;
  for (size_t i = 0; i < spots->count; i++) {
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

bool fg_pair_parse(const char *text, double *a, double *b, char *message, size_t size) {
  char quoted[FG_QUOTED_MAX];
  char first[64];
  double values[2];
  const char *rest = "";
  const char *comma = strchr(text, ',');
  if (comma != NULL && (size_t)(comma - text) < sizeof first) {
    snprintf(first, sizeof first, "%.*s", (int)(comma - text), text);
    if (fg_number_scan(first, &values[0], &rest, message, size) && *fg_skip_blanks(rest) == '\0' &&
        fg_number_scan(comma + 1, &values[1], &rest, message, size) &&
        *fg_skip_blanks(rest) == '\0') {
      *a = values[0];
      *b = values[1];
      return true;
    }
  }
  snprintf(message, size, "%s is not two numbers with a comma between, as in 12.5,40",
           fg_quoted(text, quoted));
  return false;
}

bool fg_readings_place(const fg_readings *readings, const char *text, double *x_m, double *y_m,
                       char *message, size_t size) {
  double a;
  double b;
  if (!fg_pair_parse(text, &a, &b, message, size))
    return false;
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

/* ---- Names and values --------------------------------------------------------------------- */

void fg_spot_plain_name(const char *text, char plain[static FG_SPOT_NAME]) {
  size_t used = 0;
  bool gap = false;
  for (; *text != '\0' && used + 9 < FG_SPOT_NAME; text++) {
    const unsigned char c = (unsigned char)*text;
    if (c != '%' && !isalnum(c)) {
      gap = true;
      continue;
    }
    if (used > 0 && (gap || c == '%'))
      plain[used++] = '_';
    gap = c == '%';
    if (c == '%')
      used += (size_t)snprintf(plain + used, FG_SPOT_NAME - used, "percent");
    else
      plain[used++] = (char)tolower(c);
  }
  plain[used] = '\0';
}

static const char *const usual_names[2][10] = {
    [FG_SPOT_READING] = {"reading", "black_sand", "blacksand", "magnetite", "heavy_sand", NULL},
    [FG_SPOT_PAN] = {"pan", "pan_count", "colours", "colors", "pan_colours", "pan_colors", "gold",
                     "gold_mg", "pan_mg", NULL},
};

const char *fg_spot_usual(fg_spot_field field) {
  return field == FG_SPOT_READING ? "reading, black_sand, magnetite or heavy_sand"
                                  : "pan, colours or gold_mg";
}

static bool is_name(const char *plain, const char *wanted) {
  const size_t length = strlen(wanted);
  return strncmp(plain, wanted, length) == 0 &&
         (plain[length] == '\0' || strcmp(plain + length, "_percent") == 0 ||
          strcmp(plain + length, "_scale") == 0 || strcmp(plain + length, "_mg") == 0);
}

bool fg_spot_is_field(const fg_spots *spots, fg_spot_field field, const char *plain) {
  const char *asked = field == FG_SPOT_READING ? spots->options->field : spots->options->pan;
  if (asked != NULL) {
    char wanted[FG_SPOT_NAME];
    fg_spot_plain_name(asked, wanted);
    return wanted[0] != '\0' && is_name(plain, wanted);
  }
  for (size_t i = 0; usual_names[field][i] != NULL; i++)
    if (is_name(plain, usual_names[field][i]))
      return true;
  return false;
}

void fg_spot_set_name(char name[static FG_SPOT_NAME], const char *text) {
  fg_text valid = {0};
  text += strspn(text, " \t\r\n");
  fg_text_add_valid(&valid, text);
  char *bytes = fg_text_take(&valid, NULL);
  size_t used = 0;
  for (const char *p = bytes; p != NULL && *p != '\0';) {
    const size_t step = fg_utf8_length(p);
    if (step == 0 || used + step >= FG_SPOT_NAME)
      break;
    const bool control = (unsigned char)*p < 0x20 || *p == 0x7F ||
                         (step == 2 && (unsigned char)*p == 0xC2 && (unsigned char)p[1] < 0xA0);
    if (control) {
      name[used++] = ' ';
    } else {
      memcpy(name + used, p, step);
      used += step;
    }
    p += step;
  }
  while (used > 0 && name[used - 1] == ' ')
    used--;
  name[used] = '\0';
  free(bytes);
}

static bool is_blank(const char *text) {
  return *text == '\0' || strcmp(text, "-") == 0 || strcasecmp(text, "na") == 0 ||
         strcasecmp(text, "n/a") == 0;
}

double fg_spot_value(fg_spots *spots, fg_spot_field field, const char *text, int line) {
  const char *what = field == FG_SPOT_READING ? "the reading" : "the pan count";
  char message[256];
  double value;
  const char *rest;
  text = fg_skip_blanks(text);
  if (is_blank(text))
    return (double)NAN;
  if (!fg_number_scan(text, &value, &rest, message, sizeof message)) {
    fg_complain(spots->complaints, "%s:%d: %s: %s", spots->path, line, what, message);
    return (double)NAN;
  }
  rest = fg_skip_blanks(rest);
  const bool sign = *rest == '%' && field == FG_SPOT_READING;
  if (*fg_skip_blanks(rest + (sign ? 1 : 0)) != '\0') {
    char quoted[FG_QUOTED_MAX];
    fg_complain(spots->complaints, "%s:%d: %s: %s is not a number alone", spots->path, line, what,
                fg_quoted(text, quoted));
    return (double)NAN;
  }
  const double lowest = field == FG_SPOT_PAN ? 0.0 : -largest;
  if (!(value >= lowest && value <= largest)) {
    fg_complain(spots->complaints, "%s:%d: %s is %g; it must be from %g to %g", spots->path, line,
                what, value, lowest, largest);
    return (double)NAN;
  }
  if (field == FG_SPOT_READING)
    ++*(sign ? &spots->with_sign : &spots->without_sign);
  return value;
}

void fg_spots_add(fg_spots *spots, const fg_spot *spot) {
  if (spots->count >= FG_READINGS_MOST) {
    if (!spots->full)
      fg_complain(spots->complaints,
                  "%s:%d: more than %d places; leave some out, or make a map of each part",
                  spots->path, spot->line, FG_READINGS_MOST);
    spots->full = true;
    return;
  }
  if (spots->count == spots->room) {
    const size_t room = spots->room < 64 ? 64 : 2 * spots->room;
    fg_spot *list = realloc(spots->list, room * sizeof *list);
    spots->failed = spots->failed || list == NULL;
    if (list == NULL)
      return;
    spots->list = list;
    spots->room = room;
  }
  spots->list[spots->count++] = *spot;
}

/* ---- Putting together --------------------------------------------------------------------- */

static void check_percent(fg_spots *spots) {
  const size_t length = strlen(spots->made.field);
  const bool named =
      length >= 7 && strcmp(spots->made.field + length - 7, "percent") == 0;
  if (spots->with_sign > 0 && spots->without_sign > 0 && !named)
    fg_complain(spots->complaints, "%s: %zu readings have a %% sign and %zu have none; write all "
                                   "one way",
                spots->path, spots->with_sign, spots->without_sign);
  spots->made.percent = named || (spots->with_sign > 0 && spots->without_sign == 0);
  for (size_t i = 0; spots->made.percent && i < spots->count; i++) {
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

/* The mean of what is not NaN, one by one. */
static void add_to_mean(double *mean, int *count, double value) {
  if (isnan(value))
    return;
  *mean = *count == 0 ? value : *mean + (value - *mean) / (*count + 1);
  ++*count;
}

/* Averages a stretch of keys of one place into its first spot; the others get no value and
 * merged 0. */
static void merge(fg_spots *spots, const spot_key *keys, size_t count, int *merged) {
  double value = (double)NAN;
  double pan = (double)NAN;
  int values = 0;
  int pans = 0;
  for (size_t i = 0; i < count; i++) {
    add_to_mean(&value, &values, spots->list[keys[i].index].value);
    add_to_mean(&pan, &pans, spots->list[keys[i].index].pan);
    merged[keys[i].index] = 0;
  }
  spots->list[keys[0].index].value = value;
  spots->list[keys[0].index].pan = pan;
  merged[keys[0].index] = (int)count;
  spots->made.merged += count - 1;
}

static bool is_counted(const fg_spot *spot) { return !spot->working && !isnan(spot->value); }

static fg_status merge_places(fg_spots *spots, int *merged) {
  spot_key *keys = malloc((spots->count + 1) * sizeof *keys);
  if (keys == NULL)
    return FG_EMEMORY;
  size_t count = 0;
  for (size_t i = 0; i < spots->count; i++) {
    const fg_spot *s = &spots->list[i];
    merged[i] = 0;
    if (is_counted(s))
      keys[count++] = (spot_key){round(s->x / same_place_m), round(s->y / same_place_m), i};
  }
  qsort(keys, count, sizeof *keys, compare_keys);
  for (size_t from = 0; from < count;) {
    size_t end = from + 1;
    while (end < count && keys[end].x == keys[from].x && keys[end].y == keys[from].y)
      end++;
    merge(spots, keys + from, end - from, merged);
    from = end;
  }
  free(keys);
  return FG_OK;
}

static void default_name(char name[static FG_SPOT_NAME], const char *letter, size_t number) {
  if (name[0] == '\0')
    snprintf(name, FG_SPOT_NAME, "%s%zu", letter, number);
}

static void put_reading(fg_spots *spots, const fg_spot *s, size_t row, int merged) {
  fg_readings *made = &spots->made;
  fg_reading *r = &made->list[made->count++];
  *r = (fg_reading){.x_m = s->x, .y_m = s->y, .value = s->value, .pan = s->pan, .merged = merged};
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
  int *merged = malloc((spots->count + 1) * sizeof *merged);
  fg_status status = FG_EMEMORY;
  if (made->list != NULL && made->workings != NULL && merged != NULL)
    status = merge_places(spots, merged);
  for (size_t i = 0; status == FG_OK && i < spots->count; i++) {
    const fg_spot *s = &spots->list[i];
    if (s->working)
      put_working(spots, s);
    else if (merged[i] > 0)
      put_reading(spots, s, i, merged[i]);
    else
      made->without += isnan(s->value) ? 1 : 0;
  }
  free(merged);
  return status;
}

/* ---- The file ----------------------------------------------------------------------------- */

/* What is no text at all, in words; NULL for text. */
static const char *odd_bytes(const char *bytes, size_t length) {
  if (length >= 2 && (memcmp(bytes, "\xFF\xFE", 2) == 0 || memcmp(bytes, "\xFE\xFF", 2) == 0))
    return "is UTF-16 text; save it as UTF-8";
  if (length >= 4 && memcmp(bytes, "PK\x03\x04", 4) == 0)
    return "is a zip archive or a spreadsheet; unpack it, or save the table as CSV";
  if (memchr(bytes, '\0', length) != NULL)
    return "holds a NUL byte, so it is not a text file; give CSV or GPX";
  size_t odd = 0;
  const size_t looked = length < 4096 ? length : 4096;
  for (size_t i = 0; i < looked; i++)
    odd += (unsigned char)bytes[i] < 0x20 && strchr("\t\n\r\f", bytes[i]) == NULL;
  return odd > 0 ? "holds control characters, so it is not a text file; give CSV or GPX" : NULL;
}

static bool looks_like_xml(const char *path, const char *bytes) {
  const size_t length = strlen(path);
  bytes += strspn(bytes, " \t\r\n");
  return *bytes == '<' || (length > 4 && strcasecmp(path + length - 4, ".gpx") == 0);
}

static void read_bytes(fg_spots *spots, char *bytes, size_t length) {
  const char *odd = odd_bytes(bytes, length);
  const size_t mark = length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
  if (odd != NULL)
    fg_complain(spots->complaints, "%s: it %s", spots->path, odd);
  else if (bytes[mark + strspn(bytes + mark, " \t\r\n")] == '\0')
    fg_complain(spots->complaints, "%s: the file is empty; give readings as CSV or GPX",
                spots->path);
  else if (looks_like_xml(spots->path, bytes + mark))
    fg_spots_read_gpx(spots, bytes + mark, length - mark);
  else
    fg_spots_read_csv(spots, bytes + mark, length - mark);
}

static void check_any(fg_spots *spots) {
  size_t counted = 0;
  for (size_t i = 0; i < spots->count; i++)
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
      project_degrees(spots);
    else
      project_plane(spots);
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
  char message[256] = "";
  char *bytes = NULL;
  size_t length = 0;
  fg_file_identity identity;
  struct stat about;
  if (stat(path, &about) == 0 && about.st_size > FG_READINGS_FILE_MOST) {
    fg_complain(complaints, "%s: it has %.0f MB; a file of readings has at most %d MB", path,
                (double)about.st_size / 1048576.0, FG_READINGS_FILE_MOST >> 20);
    return FG_EIO;
  }
  fg_status status = fg_slurp(path, FG_READINGS_FILE_MOST, &bytes, &length, &identity, message,
                              sizeof message);
  if (status != FG_OK) {
    fg_complain(complaints, "%s: %s", path,
                status == FG_EIO ? message : fg_status_text(status));
    return status;
  }
  fg_spots spots = {.path = path, .options = options, .complaints = complaints};
  spots.made.unit_m = 1.0;
  snprintf(spots.made.unit, sizeof spots.made.unit, "m");
  read_bytes(&spots, bytes, length);
  free(bytes);
  status = finish(&spots, out);
  free(spots.list);
  return status;
}
