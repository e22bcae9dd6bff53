/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The terminal, where there is one. */
#include "cli/screen.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#include "core/progress.h"

/* What COLUMNS says, 0 when it says nothing usable. */
static long wished_columns(void) {
  const char *wish = getenv("COLUMNS");
  char *end = NULL;
  const long columns = wish ? strtol(wish, &end, 10) : 0;
  return wish && *end == '\0' && columns > 0 ? columns : 0;
}

int fg_screen_columns(int descriptor) {
  struct winsize window = {0};
  if (!isatty(descriptor))
    return FG_SCREEN_USUAL;
  long columns = wished_columns();
  if (columns == 0 && ioctl(descriptor, TIOCGWINSZ, &window) == 0)
    columns = window.ws_col;
  if (columns == 0)
    return FG_SCREEN_USUAL;
  if (columns < FG_SCREEN_LEAST)
    return FG_SCREEN_LEAST;
  return columns > FG_SCREEN_MOST ? FG_SCREEN_MOST : (int)columns;
}

enum { LINE = 39 };

/* Where the telling stands; times in seconds of a clock that never goes back. */
static struct {
  double start, told; /* of all; of the last line */
  double begun;       /* of the work that is told of now */
  size_t done, count; /* of it */
  size_t all;         /* pieces of all work so far */
} telling;
static volatile sig_atomic_t line_stands;

static double clock_seconds(void) {
  struct timespec now = {0};
  (void)clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Nothing depends on the terminal's taking it. */
static void show(const char *line) { (void)!write(STDERR_FILENO, line, strlen(line)); }

void fg_screen_clear(void) {
  if (line_stands)
    show("\r                                       \r");
  line_stands = 0;
}

static void time_text(double seconds, char *text, size_t size) {
  if (seconds < 90.0)
    (void)snprintf(text, size, "%.0f s", seconds);
  else
    (void)snprintf(text, size, "%.0f min", seconds / 60.0);
}

/* A search is many short works, whose number nobody knows before: it tells the runs so far. */
static void tell_progress(size_t done, size_t count) {
  const double now = clock_seconds();
  char left[32], words[64], line[80];
  if (done <= telling.done || count != telling.count)
    telling.begun = now;
  telling.done = done;
  telling.count = count;
  ++telling.all;
  if (now - telling.start < 1.0 || now - telling.told < 0.2)
    return;
  const double whole = (now - telling.begun) * (double)count / (double)done;
  time_text(whole * (1.0 - (double)done / (double)count), left, sizeof left);
  if (whole > 1.0)
    (void)snprintf(words, sizeof words, "%.0f %% done, about %s left",
                   100.0 * (double)done / (double)count, left);
  else
    (void)snprintf(words, sizeof words, "%zu runs of the model so far", telling.all);
  (void)snprintf(line, sizeof line, "\r%-*.*s", LINE, LINE, words);
  telling.told = now;
  line_stands = 1;
  show(line);
}

void fg_screen_progress(void) {
  if (!isatty(STDERR_FILENO))
    return;
  telling.start = telling.begun = clock_seconds();
  fg_progress_tell(tell_progress);
}
