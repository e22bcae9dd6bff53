/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a table and the waypoints of a GPX file share: names of columns and elements, the values
 * below them, the list of places. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/complain.h"
#include "core/faults.h"
#include "core/number.h"
#include "core/text.h"
#include "input/readings_internal.h"

static const double largest = 1e9;

void fg_spot_plain_name(const char *text, char plain[static FG_SPOT_NAME]) {
  size_t used = 0;
  bool gap = false;
  for (; *text != '\0' && used + 9 < FG_SPOT_NAME; ++text) {
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
  if (asked) {
    char wanted[FG_SPOT_NAME];
    fg_spot_plain_name(asked, wanted);
    return wanted[0] != '\0' && is_name(plain, wanted);
  }
  for (size_t i = 0; usual_names[field][i]; ++i)
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
  for (const char *p = bytes; p && *p != '\0';) {
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
    --used;
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
    spots->failed = spots->failed || !list;
    if (!list)
      return;
    spots->list = list;
    spots->room = room;
  }
  spots->list[spots->count++] = *spot;
}
