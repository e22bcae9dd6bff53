/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file that a call reads is never one that it writes. */
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/cli.h"

/* Options whose value is a file that is read, and those whose value is written. */
static const char *const reading[] = {"--answers",  "--catalogue", "--counts", "--means",
                                      "--tailings", "--weather",   NULL};
static const char *const writing[] = {"--gpx", "--map", "--picture", NULL};

/* Whether both names lead to one regular file that is there. */
static bool same_file(const char *a, const char *b) {
  struct stat first, second;
  return stat(a, &first) == 0 && stat(b, &second) == 0 && S_ISREG(first.st_mode) &&
         first.st_dev == second.st_dev && first.st_ino == second.st_ino;
}

/* The input of the call that `path` leads to, or NULL. */
static const char *input_at(const fg_call *call, const char *path) {
  for (size_t i = 0; i < call->file_count; ++i)
    if (same_file(call->files[i], path))
      return call->files[i];
  for (size_t i = 0; call->command->word_is_file && i < call->word_count; ++i)
    if (same_file(call->words[i], path))
      return call->words[i];
  for (size_t i = 0; reading[i]; ++i) {
    const char *file = fg_call_option(call, reading[i]);
    if (file && same_file(file, path))
      return file;
  }
  return NULL;
}

static bool spares_inputs(const fg_call *call, const char *option, const char *path, char *message,
                          size_t size) {
  char data[PATH_MAX];
  if (!path)
    return true;
  const char *input = input_at(call, path);
  /* The data of a picture are written beside it. */
  if (!input && snprintf(data, sizeof data, "%s.csv", path) < PATH_MAX &&
      (call->command->picture || strcmp(option, "--output") != 0))
    input = input_at(call, data);
  if (input)
    snprintf(message, size, "%s %s would overwrite %s, which is read; give another name", option,
             path, input);
  return !input;
}

bool fg_call_spares_inputs(const fg_call *call, char *message, size_t size) {
  bool fine = spares_inputs(call, "--output", call->output, message, size);
  for (size_t i = 0; fine && writing[i]; ++i)
    fine = spares_inputs(call, writing[i], fg_call_option(call, writing[i]), message, size);
  return fine;
}
