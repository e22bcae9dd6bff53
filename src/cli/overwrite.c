/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file that a call reads is never one that it writes, and none is written twice. */
#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "core/write.h"

enum { TARGETS_MAX = 16 };

/* A file to be written, and the option that names it. */
typedef struct target {
  const char *option;
  char path[PATH_MAX];
} target;

typedef struct targets {
  target each[TARGETS_MAX];
  size_t count;
} targets;

/* The input of the call that `path` leads to, or NULL. */
static const char *input_at(const fg_call *call, const char *path) {
  for (size_t i = 0; i < call->file_count; ++i)
    if (fg_write_same(call->files[i], path))
      return call->files[i];
  for (size_t i = 0; call->command->word_kind == FG_WORD_FILE && i < call->word_count; ++i)
    if (fg_write_same(call->words[i], path))
      return call->words[i];
  for (size_t i = 0; i < call->given_count; ++i)
    if (call->given[i].option->kind == FG_TAKES_FILE && fg_write_same(call->given[i].value, path))
      return call->given[i].value;
  return NULL;
}

/* A picture's data are written beside it. */
static void add_target(targets *all, const char *option, const char *path, bool picture) {
  for (int data = 0; data <= picture && all->count < TARGETS_MAX; ++data) {
    target *t = &all->each[all->count];
    t->option = option;
    if (snprintf(t->path, sizeof t->path, "%s%s", path, data ? ".csv" : "") < PATH_MAX)
      ++all->count;
  }
}

static void list_targets(const fg_call *call, targets *all) {
  if (call->output && strcmp(call->output, "-") != 0)
    add_target(all, "--output", call->output, call->command->picture);
  for (size_t i = 0; i < call->given_count; ++i) {
    const fg_given *given = &call->given[i];
    const bool picture = given->option->kind == FG_TAKES_PICTURE;
    if (picture || given->option->kind == FG_TAKES_TARGET)
      add_target(all, given->option->name, given->value, picture);
  }
}

bool fg_call_spares_inputs(const fg_call *call, char *message, size_t size) {
  targets all = {.count = 0};
  list_targets(call, &all);
  for (size_t i = 0; i < all.count; ++i) {
    const target *t = &all.each[i];
    const char *input = input_at(call, t->path);
    if (!input)
      input = fg_write_protected(t->path);
    if (input) {
      (void)snprintf(message, size, "%s %s would overwrite %s, which is read; give another name",
                     t->option, t->path, input);
      return false;
    }
    for (size_t k = 0; k < i; ++k)
      if (fg_write_same(all.each[k].path, t->path)) {
        (void)snprintf(message, size, "%s and %s would both write %s; give two names",
                       all.each[k].option, t->option, t->path);
        return false;
      }
  }
  return true;
}
