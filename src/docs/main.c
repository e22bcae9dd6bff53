/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Usage: makedocs man FOLDER    writes every manual page into a folder that is there
 *        makedocs bash          prints the tables of the completion in bash
 *        makedocs zsh           prints the functions of the completion in zsh */
#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "core/write.h"
#include "docs/man.h"
#include "flourgold/version.h"
#include "input/unit_names.h"

enum { DATE = 16 };

/* The date that manual pages bear: SOURCE_DATE_EPOCH (seconds since 1970) where the environment has
 * it, or else that of the version; never the clock's.  Returns buffer, or NULL when
 * SOURCE_DATE_EPOCH is no such number. */
static const char *date_of_pages(char buffer[DATE]) {
  const char *epoch = getenv("SOURCE_DATE_EPOCH");
  if (!epoch || *epoch == '\0') {
    snprintf(buffer, DATE, "%s", FG_VERSION_DATE);
    return buffer;
  }
  char *end = NULL;
  errno = 0;
  const time_t seconds = (time_t)strtoll(epoch, &end, 10);
  struct tm parts;
  if (errno != 0 || *end != '\0' || !gmtime_r(&seconds, &parts))
    return NULL;
  return strftime(buffer, DATE, "%Y-%m-%d", &parts) > 0 ? buffer : NULL;
}

/* Writes what was added, and empties it. */
static int put(fg_text *text, const char *path) {
  char message[PATH_MAX];
  size_t length = 0;
  char *bytes = fg_text_take(text, &length);
  int code = FG_EXIT_DONE;
  if (!bytes)
    code = fg_call_fail("memory ran out while %s was made", path);
  else if (fg_write_file(path, bytes, length, message, sizeof message) != FG_OK)
    code = fg_call_fail("%s", message);
  free(bytes);
  return code;
}

static int put_page(fg_text *page, const char *folder, const char *name, int section) {
  char path[PATH_MAX];
  snprintf(path, sizeof path, "%s/%s.%d", folder, name, section);
  return put(page, path);
}

static int make_pages(const char *folder) {
  char date[DATE], name[FG_MAN_NAME];
  if (!date_of_pages(date))
    return fg_call_fail("SOURCE_DATE_EPOCH is '%s'; it must be a number of seconds since 1970",
                        getenv("SOURCE_DATE_EPOCH"));
  fg_text page = {0};
  fg_docs_program_page(&page, date);
  int code = put_page(&page, folder, "flourgold", 1);
  for (size_t i = 0; i < fg_commands_count && code == FG_EXIT_DONE; ++i) {
    fg_docs_command_page(&page, &fg_commands[i], date);
    code = put_page(&page, folder, fg_man_name(&fg_commands[i], name), 1);
  }
  if (code != FG_EXIT_DONE)
    return code;
  fg_docs_scenario_page(&page, date);
  code = put_page(&page, folder, "flourgold-scenario", 5);
  if (code != FG_EXIT_DONE)
    return code;
  fg_docs_topics_page(&page, date);
  return put_page(&page, folder, "flourgold-topics", 7);
}

int main(int argc, char **argv) {
  fg_text script = {0};
  if (argc == 3 && strcmp(argv[1], "man") == 0) {
    const int code = make_pages(argv[2]);
    fg_units_free(); /* an example of a quantity was read */
    return code;
  }
  if (argc == 2 && strcmp(argv[1], "bash") == 0)
    fg_docs_bash_tables(&script);
  else if (argc == 2 && strcmp(argv[1], "zsh") == 0)
    fg_docs_zsh_functions(&script);
  else
    return fg_call_fail("usage: %s man FOLDER, %s bash or %s zsh", argv[0], argv[0], argv[0]);
  return put(&script, "/dev/stdout");
}
