/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The terminal, where there is one. */
#include "cli/screen.h"

#include <stdlib.h>
#include <sys/ioctl.h>
#include <unistd.h>

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
