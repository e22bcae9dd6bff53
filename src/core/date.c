/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/date.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { FIRST_YEAR = 1600, LAST_YEAR = 2999, WORDS = 3, WORD_MAX = 12 };

typedef struct civil {
  int year, month, day;
} civil;

static bool is_leap(int year) { return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0; }

static int days_before_month(int year, int month) {
  static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};
  return before[month - 1] + (month > 2 && is_leap(year) ? 1 : 0);
}

static int month_length(int year, int month) {
  static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return length[month - 1] + (month == 2 && is_leap(year) ? 1 : 0);
}

static bool exists(const civil *c) {
  return c->year >= FIRST_YEAR && c->year <= LAST_YEAR && c->month >= 1 && c->month <= 12 &&
         c->day >= 1 && c->day <= month_length(c->year, c->month);
}

/* Days from 1 January 1970 to 1 January of a year. */
static int days_before_year(int year) {
  const int past = year - 1;
  return 365 * (year - 1970) + (past / 4 - past / 100 + past / 400) - (1969 / 4 - 1969 / 100 + 4);
}

static civil civil_of(int day) {
  civil c = {1970 + (day < 0 ? day / 365 - 1 : day / 366), 1, 1}; /* this year or before */
  while (days_before_year(c.year + 1) <= day)
    ++c.year;
  int rest = day - days_before_year(c.year);
  while (rest >= month_length(c.year, c.month))
    rest -= month_length(c.year, c.month++);
  c.day = rest + 1;
  return c;
}

/* Digits of exactly this many places; -1 when they are not. */
static int digits(const char *text, int places) {
  int value = 0;
  for (int i = 0; i < places; ++i) {
    if (!isdigit((unsigned char)text[i]))
      return -1;
    value = 10 * value + (text[i] - '0');
  }
  return value;
}

static bool only_blanks(const char *text) { return text[strspn(text, " \t")] == '\0'; }

static bool read_iso(const char *text, civil *c) {
  const char *p = text + strspn(text, " \t");
  if (strlen(p) < 10 || p[4] != '-' || p[7] != '-' || !only_blanks(p + 10))
    return false;
  *c = (civil){digits(p, 4), digits(p + 5, 2), digits(p + 8, 2)};
  return exists(c);
}

static int day_of(const civil *c) {
  return days_before_year(c->year) + days_before_month(c->year, c->month) + c->day - 1;
}

fg_status fg_date_parse(const char *text, int *day) {
  civil c;
  if (!read_iso(text, &c))
    return FG_EDOMAIN;
  *day = day_of(&c);
  return FG_OK;
}

/* Month, day and year, the last of four digits or of two. */
static bool read_slashes(const char *text, civil *c) {
  const char *p = text + strspn(text, " \t");
  int part[3], length[3];
  for (int i = 0; i < 3; ++i) {
    length[i] = (int)strspn(p, "0123456789");
    if (length[i] == 0 || length[i] > 4)
      return false;
    part[i] = digits(p, length[i]);
    p += length[i];
    if (i < 2 && *p++ != '/')
      return false;
  }
  if (!only_blanks(p) || length[0] > 2 || length[1] > 2 || (length[2] != 2 && length[2] != 4))
    return false;
  *c = (civil){part[2] + (length[2] == 2 ? 2000 : 0), part[0], part[1]};
  return exists(c);
}

fg_status fg_date_read(const char *text, int *day, bool *either) {
  civil c;
  const bool iso = read_iso(text, &c);
  if (!iso && !read_slashes(text, &c))
    return FG_EDOMAIN;
  *day = day_of(&c);
  if (either)
    *either = !iso && c.day <= 12 && c.day != c.month;
  return FG_OK;
}

const char *fg_date_text(int day, char *buffer, size_t size) {
  const civil c = civil_of(day);
  snprintf(buffer, size, "%04d-%02d-%02d", c.year, c.month, c.day);
  return buffer;
}

int fg_date_day_of_year(int day) { return day - days_before_year(civil_of(day).year) + 1; }

int fg_date_month(int day) { return civil_of(day).month; }

/* A month's number from its name or the first three letters or more of it; 0: none. */
static int month_named(const char *word) {
  static const char *const names[] = {"january",   "february", "march",    "april",
                                      "may",       "june",     "july",     "august",
                                      "september", "october",  "november", "december"};
  size_t length = strlen(word);
  if (length > 0 && word[length - 1] == '.')
    --length;
  for (int m = 0; m < 12 && length >= 3; ++m)
    if (length <= strlen(names[m]) && strncasecmp(names[m], word, length) == 0)
      return m + 1;
  return 0;
}

/* A whole number of one to four digits alone in the word ("3", "3rd" is not one); -1: none. */
static int number_of(const char *word) {
  const size_t length = strspn(word, "0123456789");
  return length >= 1 && length <= 4 && word[length] == '\0' ? digits(word, (int)length) : -1;
}

/* Up to three words parted by blanks and commas; 0 when there are more or a long one. */
static int split(const char *text, char words[WORDS][WORD_MAX]) {
  int count = 0;
  for (;;) {
    text += strspn(text, " \t,");
    const size_t length = strcspn(text, " \t,");
    if (length == 0)
      return count;
    if (count == WORDS || length >= WORD_MAX)
      return 0;
    memcpy(words[count], text, length);
    words[count++][length] = '\0';
    text += length;
  }
}

/* Day, name of the month and perhaps a year, in either order. */
static bool read_words(char words[WORDS][WORD_MAX], int count, civil *c) {
  const int first = month_named(words[0]);
  c->month = first > 0 ? first : month_named(words[1]);
  c->day = number_of(words[first > 0 ? 1 : 0]);
  if (count == 3)
    c->year = number_of(words[2]);
  else if (c->month == 2 && c->day == 29)
    c->year = 2000;
  return c->month > 0 && exists(c);
}

fg_status fg_date_season(const char *text, int *day_of_year) {
  civil c;
  char words[WORDS][WORD_MAX];
  const int count = split(text, words);
  bool found = read_iso(text, &c) || read_slashes(text, &c);
  if (!found && count == 1) {
    const int number = number_of(words[0]);
    if (number >= 1 && number <= 366) {
      *day_of_year = number;
      return FG_OK;
    }
    c = (civil){2001, digits(words[0], 2), 0};
    if (strlen(words[0]) == 5 && words[0][2] == '-') {
      c.day = digits(words[0] + 3, 2);
      c.year = c.month == 2 && c.day == 29 ? 2000 : 2001;
      found = exists(&c);
    }
  }
  if (!found && count >= 2) {
    c = (civil){2001, 0, 0};
    found = read_words(words, count, &c);
  }
  if (!found)
    return FG_EDOMAIN;
  *day_of_year = days_before_month(c.year, c.month) + c.day;
  return FG_OK;
}
