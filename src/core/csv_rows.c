/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/csv_rows.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "core/complain.h"
#include "core/slurp.h"

/* ---- The file ----------------------------------------------------------------------------- */

/* Why these bytes are not text, or NULL; *line is where. */
static const char *not_text(const char *bytes, size_t length, int *line) {
  *line = 1;
  if (length >= 2 && (memcmp(bytes, "\xff\xfe", 2) == 0 || memcmp(bytes, "\xfe\xff", 2) == 0))
    return "is UTF-16; save it as CSV UTF-8";
  if (length >= 4 && memcmp(bytes, "PK\003\004", 4) == 0)
    return "is a spreadsheet or an archive; unpack it, or save the table as CSV UTF-8";
  for (size_t i = 0; i < length; ++i) {
    const unsigned char c = (unsigned char)bytes[i];
    *line += c == '\n';
    if (c == '\0')
      return "holds zero bytes (NUL) and is not text; save it as CSV UTF-8";
    if (c < 0x20 && !strchr("\n\r\t\f", c))
      return "holds control bytes and is not text; save it as CSV UTF-8";
  }
  return NULL;
}

fg_status fg_csv_load(const char *path, size_t most, char **bytes, size_t *length,
                      fg_complaints *complaints) {
  char message[256] = "";
  int line = 0;
  fg_file_identity identity;
  struct stat about;
  if (stat(path, &about) == 0 && S_ISREG(about.st_mode) && (size_t)about.st_size > most) {
    fg_complain(complaints, "%s: the file has more than %zu MiB, the most that is read of its kind",
                path, most >> 20);
    return FG_EIO;
  }
  char *read = NULL;
  const fg_status status = fg_slurp(path, most, &read, length, &identity, message, sizeof message);
  if (status != FG_OK) {
    fg_complain(complaints, "%s: %s", path, status == FG_EIO ? message : fg_status_text(status));
    return status;
  }
  const char *why = not_text(read, *length, &line);
  if (why) {
    fg_complain(complaints, "%s:%d: the file %s", path, line, why);
    free(read);
    return FG_ESCENARIO;
  }
  *bytes = read;
  return FG_OK;
}

void fg_csv_begin(fg_csv *csv, const char *path, char *text) {
  const size_t mark = strncmp(text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
  *csv = (fg_csv){.path = path, .next = text + mark, .next_line = 1};
}

fg_status fg_csv_open(fg_csv *csv, const char *path, size_t most, fg_complaints *complaints) {
  char *bytes = NULL;
  size_t length = 0;
  const fg_status status = fg_csv_load(path, most, &bytes, &length, complaints);
  if (status != FG_OK)
    return status;
  fg_csv_begin(csv, path, bytes);
  csv->bytes = bytes;
  return FG_OK;
}

void fg_csv_close(fg_csv *csv) {
  free(csv->bytes);
  *csv = (fg_csv){0};
}

/* ---- Rows --------------------------------------------------------------------------------- */

static bool is_end(char c) { return c == '\0' || c == '\n' || c == '\r'; }

/* Steps over a line's end and counts it; "\r\n" is one. */
static char *over_end(fg_csv *csv, char *p) {
  if (*p == '\0')
    return p;
  ++csv->next_line;
  return p + (p[0] == '\r' && p[1] == '\n' ? 2 : 1);
}

/* The separator that the line has most of; a comma when it has none. */
static char separator_of(const char *line) {
  static const char candidates[] = {',', ';', '\t'};
  size_t most = 0;
  char best = ',';
  for (size_t i = 0; i < sizeof candidates; ++i) {
    size_t count = 0;
    for (const char *p = line; !is_end(*p); ++p)
      count += *p == candidates[i];
    if (count > most) {
      most = count;
      best = candidates[i];
    }
  }
  return best;
}

static size_t blanks(const fg_csv *csv, const char *p) {
  return strspn(p, csv->separator == '\t' ? " " : " \t");
}

static void trim_end(char *cell) {
  size_t length = strlen(cell);
  while (length > 0 && (cell[length - 1] == ' ' || cell[length - 1] == '\t'))
    cell[--length] = '\0';
}

/* Unwraps the quoted cell at p in place; what is behind its closing quote, NULL without one. */
static char *unquote(fg_csv *csv, char *p) {
  char *to = p;
  for (++p;; ++p) {
    if (*p == '\0')
      return NULL;
    if (*p == '"' && p[1] != '"')
      break;
    if (*p == '"')
      ++p;
    csv->next_line += *p == '\n' || (*p == '\r' && p[1] != '\n');
    *to++ = *p;
  }
  *to = '\0';
  return p + 1 + blanks(csv, p + 1);
}

/* Splits the row at csv->next; NULL, or what is wrong with it. */
static const char *split(fg_csv *csv) {
  char *start = csv->next;
  csv->line = csv->next_line;
  csv->cell_count = 0;
  for (char *p = start;;) {
    char *cell = p + blanks(csv, p);
    p = *cell == '"' ? unquote(csv, cell)
                     : cell + strcspn(cell, (char[]){csv->separator, '\n', '\r', '\0'});
    if (!p)
      return "a quotation mark is opened and never closed";
    if (*p != csv->separator && !is_end(*p))
      return "there is text behind a closing quotation mark; double the marks inside a quoted text";
    if (csv->cell_count == FG_CSV_CELLS_MAX)
      return "more than 64 columns";
    if (p - start > FG_CSV_ROW_MAX)
      return "the line is longer than 8 kB";
    const bool last = is_end(*p);
    csv->next = last ? over_end(csv, p) : p + 1;
    *p = '\0';
    trim_end(cell);
    csv->cells[csv->cell_count++] = cell;
    if (last)
      return NULL;
    p = csv->next;
  }
}

/* Comments and empty lines before the row. */
static void skip_idle(fg_csv *csv) {
  for (;;) {
    char *p = csv->next + strspn(csv->next, " \t");
    if (*p == '#')
      p += strcspn(p, "\r\n");
    else if (*p == '\0' || !is_end(*p))
      return;
    csv->next = over_end(csv, p);
  }
}

static bool all_empty(const fg_csv *csv) {
  for (size_t i = 0; i < csv->cell_count; ++i)
    if (csv->cells[i][0] != '\0')
      return false;
  return true;
}

bool fg_csv_next(fg_csv *csv, fg_complaints *complaints, fg_status *status) {
  do {
    skip_idle(csv);
    if (csv->next[strspn(csv->next, " \t")] == '\0')
      return false;
    if (csv->separator == '\0')
      csv->separator = separator_of(csv->next);
    const char *why = split(csv);
    if (why) {
      fg_complain(complaints, "%s:%d: %s", csv->path, csv->line, why);
      *status = FG_ESCENARIO;
      return false;
    }
  } while (all_empty(csv));
  return true;
}

bool fg_csv_heading(const char *cell, char name[static FG_CSV_NAME_MAX],
                    char unit[static FG_CSV_NAME_MAX]) {
  size_t length = strcspn(cell, "[(");
  const char *inside = cell + length;
  while (length > 0 && isspace((unsigned char)cell[length - 1]))
    --length;
  if (length >= FG_CSV_NAME_MAX || strlen(inside) >= FG_CSV_NAME_MAX)
    return false;
  for (size_t i = 0; i < length; ++i)
    name[i] = (char)tolower((unsigned char)cell[i]);
  name[length] = '\0';
  unit[0] = '\0';
  if (*inside == '\0')
    return true;
  (void)snprintf(unit, FG_CSV_NAME_MAX, "%s", inside + 1);
  char *end = strrchr(unit, *inside == '[' ? ']' : ')');
  if (!end || end[1] != '\0')
    return false;
  *end = '\0';
  return true;
}
