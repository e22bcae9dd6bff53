/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the field form. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

#include "core/nearest.h"
#include "core/slurp.h"
#include "core/text.h"
#include "input/counts_csv_internal.h"

enum { FILE_MOST = 1 << 20, LINE_MOST = 2000 };

void fg_csv_fault(fg_count_reader *r, const char *column, const char *format, ...) {
  char message[400];
  va_list list;
  va_start(list, format);
  (void)vsnprintf(message, sizeof message, format, list);
  va_end(list);
  fg_complain(r->complaints, "%s:%d: %s%s%s", r->path, r->line, column ? column : "",
              column ? ": " : "", message);
  ++r->faults;
}

/* ---- the file as text ---- */

/* What makes the bytes no text to be read; NULL when they are. */
static const char *odd_bytes(const char *bytes, size_t length) {
  const unsigned char *b = (const unsigned char *)bytes;
  if (length >= 2 && ((b[0] == 0xff && b[1] == 0xfe) || (b[0] == 0xfe && b[1] == 0xff)))
    return "the file is UTF-16; save it as CSV UTF-8";
  if (length >= 4 && memcmp(bytes, "PK\003\004", 4) == 0)
    return "this is a spreadsheet or archive, not text; save it as CSV UTF-8";
  if (memchr(bytes, '\0', length))
    return "the file holds zero bytes and is not text; save it as CSV UTF-8";
  return NULL;
}

static fg_status load(fg_count_reader *r, char **bytes) {
  struct stat about;
  char why[256] = "cannot be read";
  size_t length = 0;
  fg_file_identity identity;
  r->line = 1;
  if (stat(r->path, &about) == 0 && S_ISREG(about.st_mode) && about.st_size > FILE_MOST) {
    fg_complain(r->complaints, "%s: the file is larger than 1 MiB; a form is a few kilobytes",
                r->path);
    return FG_EIO;
  }
  const fg_status status = fg_slurp(r->path, FILE_MOST, bytes, &length, &identity, why, sizeof why);
  if (status != FG_OK) {
    if (status == FG_EIO)
      fg_complain(r->complaints, "%s: %s", r->path, why);
    return status;
  }
  const char *odd = odd_bytes(*bytes, length);
  if (!odd)
    return FG_OK;
  fg_csv_fault(r, NULL, "%s", odd);
  free(*bytes);
  return FG_ESCENARIO;
}

/* Cuts the next line off; CR, LF and CRLF end one.  NULL at the end. */
static char *next_line(char **rest) {
  char *line = *rest;
  if (*line == '\0')
    return NULL;
  char *end = line + strcspn(line, "\r\n");
  *rest = end;
  if (*end != '\0')
    *rest = end + (end[0] == '\r' && end[1] == '\n' ? 2 : 1);
  *end = '\0';
  return line;
}

static bool check_line(fg_count_reader *r, const char *line) {
  if (strlen(line) > LINE_MOST) {
    fg_csv_fault(r, NULL, "the line is longer than %d characters", LINE_MOST);
    return false;
  }
  for (size_t n; *line != '\0'; line += n)
    if ((n = fg_utf8_length(line)) == 0) {
      fg_csv_fault(r, NULL, "a letter is not in UTF-8; save the file as CSV UTF-8");
      return false;
    }
  return true;
}

static char *trim(char *text) {
  while (isspace((unsigned char)*text))
    ++text;
  size_t length = strlen(text);
  while (length > 0 && isspace((unsigned char)text[length - 1]))
    text[--length] = '\0';
  return text;
}

/* Takes a quoted cell out of its quotes in place; returns what follows it, NULL without an
 * ending quote. */
static char *unquote(char *cell) {
  char *out = cell;
  for (char *p = cell + 1; *p != '\0'; ++p) {
    if (*p != '"') {
      *out++ = *p;
    } else if (p[1] == '"') {
      *out++ = *p++;
    } else {
      *out = '\0';
      return p + 1;
    }
  }
  return NULL;
}

/* Splits a line in place.  Returns the number of cells, 0 after a fault. */
static size_t split(fg_count_reader *r, char *line, char *cells[FG_CELLS_MAX]) {
  size_t count = 0;
  for (char *p = line; p;) {
    if (count == FG_CELLS_MAX) {
      fg_csv_fault(r, NULL, "more than %d columns", FG_CELLS_MAX);
      return 0;
    }
    while (*p == ' ')
      ++p;
    char *cell = p;
    if (*p == '"' && (p = unquote(cell)) == NULL) {
      fg_csv_fault(r, NULL, "a quote is opened and not closed on the same line");
      return 0;
    }
    if (p != cell && p[strspn(p, " ")] != '\0' && p[strspn(p, " ")] != r->separator) {
      fg_csv_fault(r, NULL, "there is text behind a closing quotation mark");
      return 0;
    }
    p = strchr(p, r->separator);
    if (p)
      *p++ = '\0';
    cells[count++] = trim(cell);
  }
  return count;
}

/* The separator that the heading holds most of. */
static char separator_of(const char *line) {
  static const char marks[] = {',', ';', '\t'};
  size_t most = 0;
  char best = ',';
  for (size_t i = 0; i < sizeof marks; ++i) {
    size_t count = 0;
    for (const char *p = line; *p != '\0'; ++p)
      count += *p == marks[i];
    if (count > most) {
      most = count;
      best = marks[i];
    }
  }
  return best;
}

/* ---- the rows ---- */

static bool is_blank(const fg_count_reader *r, char *const *cells, size_t count) {
  for (size_t i = 0; i < count; ++i)
    if (cells[i][0] != '\0' && (i >= r->column_count || (r->columns[i].kind != FG_COL_BUCKET &&
                                                         r->columns[i].kind != FG_COL_NOTES)))
      return false;
  return true;
}

static bool station_of(fg_count_reader *r, const char *name, size_t *station) {
  fg_counts *counts = r->counts;
  if (name[0] == '\0') {
    fg_csv_fault(r, "station", "the name is missing");
    return false;
  }
  if (strlen(name) >= FG_STATION_NAME_MAX) {
    fg_csv_fault(r, "station", "the name is longer than %d bytes", FG_STATION_NAME_MAX - 1);
    return false;
  }
  for (size_t i = 0; i < counts->station_count; ++i)
    if (strcasecmp(counts->names[i], name) == 0) {
      *station = i;
      return true;
    }
  if (counts->station_count == FG_STATIONS_MAX) {
    fg_csv_fault(r, "station", "more than %d stations", FG_STATIONS_MAX);
    return false;
  }
  *station = counts->station_count++;
  (void)snprintf(counts->names[*station], FG_STATION_NAME_MAX, "%s", name);
  return true;
}

static void add_up(fg_count_reader *r, fg_bucket *bucket, bool total_given) {
  double sum = 0.0;
  for (size_t i = 0; i < r->counts->column_count; ++i)
    sum += bucket->by_column[i];
  if (r->counts->column_count == 0)
    return;
  if (total_given && bucket->colours != sum)
    fg_csv_fault(r, "colours", "says %.0f, but the columns by mesh add up to %.0f", bucket->colours,
                 sum);
  bucket->colours = sum;
}

static void read_row(fg_count_reader *r, char *const *cells, size_t count) {
  fg_bucket bucket = {.line = r->line, .loose_m3 = r->size->loose_m3, .gold_kg = NAN};
  const int before = r->faults;
  bool total = false;
  if (count != r->column_count) {
    fg_csv_fault(
        r, NULL, "%zu cells, but the heading has %zu%s", count, r->column_count,
        r->separator == ',' && count > r->column_count ? "; is a comma used as decimal sign?" : "");
    return;
  }
  for (size_t i = 0; i < count; ++i) {
    if (r->columns[i].kind == FG_COL_STATION)
      (void)station_of(r, cells[i], &bucket.station);
    else
      fg_count_cell(r, &r->columns[i], cells[i], &bucket);
    total = total || (r->columns[i].kind == FG_COL_COLOURS && cells[i][0] != '\0');
  }
  if (r->faults == before)
    add_up(r, &bucket, total);
  if (r->counts->bucket_count == FG_BUCKETS_MAX)
    fg_csv_fault(r, NULL, "more than %d buckets", FG_BUCKETS_MAX);
  else
    r->counts->buckets[r->counts->bucket_count++] = bucket;
}

static void read_lines(fg_count_reader *r, char *text) {
  char *cells[FG_CELLS_MAX];
  if (strncmp(text, "\xef\xbb\xbf", 3) == 0)
    text += 3;
  r->line = 0;
  for (char *line; (line = next_line(&text)) != NULL && r->faults < FG_FAULTS_MOST;) {
    ++r->line;
    if (!check_line(r, line) || line[0] == '#' || *trim(line) == '\0')
      continue;
    if (r->column_count == 0)
      r->separator = separator_of(line);
    const size_t count = split(r, line, cells);
    if (count == 0)
      return; /* what follows cannot be read either */
    if (r->column_count == 0) {
      if (!fg_count_heading(r, cells, count))
        return;
    } else if (!is_blank(r, cells, count)) {
      read_row(r, cells, count);
      if (r->counts->bucket_count == FG_BUCKETS_MAX && r->faults > 0)
        return;
    }
  }
  if (r->faults == 0 && r->counts->bucket_count == 0)
    fg_complain(r->complaints, "%s: %s", r->path,
                r->column_count == 0 ? "the file is empty; `flourgold sample FILE --form` makes one"
                                     : "no bucket has been filled in");
}

fg_status fg_counts_read(const char *path, const fg_bucket_size *size, fg_counts *counts,
                         fg_complaints *complaints) {
  char *text = NULL;
  fg_count_reader r = {.path = path, .size = size, .complaints = complaints, .separator = ','};
  fg_status status = load(&r, &text);
  if (status != FG_OK)
    return status;
  fg_counts *read = calloc(1, sizeof *read);
  if (read)
    read->buckets = calloc(FG_BUCKETS_MAX, sizeof *read->buckets);
  if (!read || !read->buckets) {
    free(read);
    free(text);
    return FG_EMEMORY;
  }
  r.counts = read;
  read_lines(&r, text);
  free(text);
  if (complaints->count > 0 || r.faults > 0) {
    fg_counts_free(read);
    free(read);
    return FG_ESCENARIO;
  }
  *counts = *read;
  free(read);
  return FG_OK;
}

void fg_counts_free(fg_counts *counts) {
  free(counts->buckets);
  counts->buckets = NULL;
  counts->bucket_count = 0;
}
