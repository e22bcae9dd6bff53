/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/csv_rows.h"

#include <stdlib.h>
#include <string.h>

#include "core/slurp.h"

/* Why these bytes are not text, or NULL; *line is where. */
static const char *not_text(const char *bytes, size_t length, int *line) {
  *line = 1;
  if (length >= 2 && (memcmp(bytes, "\xff\xfe", 2) == 0 || memcmp(bytes, "\xfe\xff", 2) == 0))
    return "is UTF-16; save it as UTF-8 or plain CSV";
  for (size_t i = 0; i < length; ++i) {
    const unsigned char c = (unsigned char)bytes[i];
    if (c == '\n')
      ++*line;
    if (c < 0x20 && c != '\n' && c != '\r' && c != '\t' && c != '\f')
      return "is not text: it holds control bytes; a CSV file is needed";
  }
  return NULL;
}

/* The separator that the first row with any has. */
static char separator_of(const char *bytes) {
  const size_t length = strcspn(bytes, ",;\t");
  if (bytes[length] == '\0')
    return ',';
  return bytes[length];
}

fg_status fg_csv_open(fg_csv *csv, const char *path, size_t most, fg_complaints *complaints) {
  char message[256] = "";
  size_t length = 0;
  int line = 0;
  fg_file_identity identity;
  *csv = (fg_csv){.path = path, .next_line = 1};
  const fg_status status =
      fg_slurp(path, most, &csv->bytes, &length, &identity, message, sizeof message);
  if (status != FG_OK) {
    fg_complain(complaints, "%s: %s", path, status == FG_EIO ? message : fg_status_text(status));
    return status;
  }
  const char *why = not_text(csv->bytes, length, &line);
  if (why) {
    fg_complain(complaints, "%s:%d: the file %s", path, line, why);
    fg_csv_close(csv);
    return FG_ESCENARIO;
  }
  csv->next = csv->bytes + (strncmp(csv->bytes, "\xef\xbb\xbf", 3) == 0 ? 3 : 0);
  csv->separator = separator_of(csv->next + strspn(csv->next, "\r\n"));
  return FG_OK;
}

void fg_csv_close(fg_csv *csv) {
  free(csv->bytes);
  *csv = (fg_csv){0};
}

/* Takes the line ends behind a row away and counts them once each. */
static char *next_line(fg_csv *csv, char *end) {
  if (*end == '\0')
    return end;
  const bool pair = end[0] == '\r' && end[1] == '\n';
  *end = '\0';
  ++csv->next_line;
  return end + (pair ? 2 : 1);
}

static char *trimmed(char *cell) {
  cell += strspn(cell, " \t");
  size_t length = strlen(cell);
  while (length > 0 && (cell[length - 1] == ' ' || cell[length - 1] == '\t'))
    cell[--length] = '\0';
  return cell;
}

/* Unwraps a quoted cell in place; returns what follows the closing quote, or NULL when there
 * is none on this line. */
static char *unquote(char *cell) {
  char *to = cell, *from = cell + 1;
  for (; *from != '\0'; ++from) {
    if (*from == '"' && from[1] == '"')
      ++from;
    else if (*from == '"')
      break;
    *to++ = *from;
  }
  if (*from == '\0')
    return NULL;
  *to = '\0';
  return from + 1;
}

/* Splits one line; NULL, or what is wrong with it. */
static const char *split(fg_csv *csv, char *line) {
  csv->cell_count = 0;
  for (;;) {
    if (csv->cell_count == FG_CSV_CELLS_MAX)
      return "more than 64 columns";
    char *cell = line + strspn(line, csv->separator == '\t' ? " " : " \t");
    char *rest = cell;
    if (*cell == '"') {
      rest = unquote(cell);
      if (!rest)
        return "a quotation mark is not closed";
      rest += strspn(rest, csv->separator == '\t' ? " " : " \t");
      if (*rest != '\0' && *rest != csv->separator)
        return "there is text behind a closing quotation mark";
    } else {
      while (*rest != '\0' && *rest != csv->separator)
        ++rest;
    }
    const bool last = *rest == '\0';
    *rest = '\0';
    csv->cells[csv->cell_count++] = trimmed(cell);
    if (last)
      return NULL;
    line = rest + 1;
  }
}

static bool all_empty(const fg_csv *csv) {
  for (size_t i = 0; i < csv->cell_count; ++i)
    if (csv->cells[i][0] != '\0')
      return false;
  return true;
}

bool fg_csv_next(fg_csv *csv, fg_complaints *complaints, fg_status *status) {
  while (*csv->next != '\0') {
    char *line = csv->next;
    csv->line = csv->next_line;
    csv->next = next_line(csv, line + strcspn(line, "\r\n"));
    if (line[strspn(line, " \t")] == '#')
      continue;
    const char *why = split(csv, line);
    if (why) {
      fg_complain(complaints, "%s:%d: %s", csv->path, csv->line, why);
      *status = FG_ESCENARIO;
      return false;
    }
    if (!all_empty(csv))
      return true;
  }
  return false;
}
