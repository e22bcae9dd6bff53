/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "blockrun.h"

#include <errno.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "json_select.h"

/* What the set-up lines of a block add up to. */
typedef struct preparation {
  char **arguments;
  size_t argument_count;
  char **settings;
  size_t setting_count;
  fgt_text input;
} preparation;

static fgt_text text_of(const char *string) { return fgt_text_copy(string, strlen(string)); }

fgt_text fgt_block_expand(const fgt_block *block, fgt_text text) {
  return !block->folder ? text : fgt_replace(text, "@tmp", block->folder);
}

/* The path of a name inside the block's folder; NULL when it would lie elsewhere. */
static const char *inside(const fgt_block *block, const char **cursor) {
  const char *name = fgt_scan_argument(cursor);
  if (!name || name[0] == '\0' || name[0] == '/' || strstr(name, "..")) {
    return NULL;
  }
  return fgt_format("%s/%s", block->folder, name);
}

static bool write_repeated(const char *path, fgt_text text, size_t times) {
  FILE *file = fopen(path, "wb");
  if (!file) {
    return false;
  }
  bool good = true;
  for (size_t i = 0; i < times && good; ++i) {
    good = fwrite(text.bytes, 1, text.length, file) == text.length;
  }
  return fclose(file) == 0 && good;
}

static bool make_repeated(const fgt_block *block, const char **cursor, bool counted) {
  const char *path = inside(block, cursor);
  double times = 1;
  fgt_text text;
  return path && (!counted || fgt_scan_number(cursor, &times)) && times >= 1 && times <= 1e8 &&
         fgt_scan_quoted(cursor, &text) &&
         write_repeated(path, fgt_block_expand(block, text), (size_t)times);
}

static bool make_symlink(const fgt_block *block, const char **cursor) {
  const char *path = inside(block, cursor);
  const char *target = fgt_scan_argument(cursor);
  return path && target && symlink(fgt_block_expand(block, text_of(target)).bytes, path) == 0;
}

static void add_text(char ***list, size_t *count, char *text) {
  *list = fgt_append(*list, *count, sizeof text, &text);
  (*count)++;
}

static bool split_arguments(const fgt_block *block, const char **cursor, preparation *p) {
  while (!fgt_at_end(*cursor)) {
    const char *argument = fgt_scan_argument(cursor);
    if (!argument) {
      return false;
    }
    add_text(&p->arguments, &p->argument_count, fgt_block_expand(block, text_of(argument)).bytes);
  }
  return true;
}

static bool set_variable(const fgt_block *block, const char **cursor, preparation *p) {
  const char *setting = fgt_scan_argument(cursor);
  if (!setting || setting[0] == '=' || !strchr(setting, '=')) {
    return false;
  }
  add_text(&p->settings, &p->setting_count, fgt_block_expand(block, text_of(setting)).bytes);
  return true;
}

static bool prepare_step(fgt_block *block, const fgt_line *step, preparation *p) {
  const char *cursor = step->text;
  bool good = false;
  if (fgt_scan_keyword(&cursor, "run")) {
    good = split_arguments(block, &cursor, p);
  } else if (fgt_scan_keyword(&cursor, "env")) {
    good = set_variable(block, &cursor, p);
  } else if (fgt_scan_keyword(&cursor, "stdin")) {
    p->input = fgt_block_expand(block, step->body);
    good = true;
  } else if (fgt_scan_keyword(&cursor, "file")) {
    const char *path = inside(block, &cursor);
    good = path && write_repeated(path, fgt_block_expand(block, step->body), 1);
  } else if (fgt_scan_keyword(&cursor, "bytes")) {
    good = make_repeated(block, &cursor, false);
  } else if (fgt_scan_keyword(&cursor, "repeat")) {
    good = make_repeated(block, &cursor, true);
  } else if (fgt_scan_keyword(&cursor, "dir")) {
    const char *path = inside(block, &cursor);
    good = path && mkdir(path, 0700) == 0;
  } else if (fgt_scan_keyword(&cursor, "fifo")) {
    const char *path = inside(block, &cursor);
    good = path && mkfifo(path, 0600) == 0;
  } else if (fgt_scan_keyword(&cursor, "symlink")) {
    good = make_symlink(block, &cursor);
  } else if (fgt_scan_keyword(&cursor, "let")) {
    return true; /* done after the run */
  }
  return good && fgt_at_end(cursor);
}

static bool looks_into_json(const fgt_block *block) {
  for (size_t i = 0; i < block->check_count; ++i) {
    const char *cursor = block->checks[i].line.text;
    if (fgt_scan_keyword(&cursor, "json")) {
      return true;
    }
  }
  for (size_t i = 0; i < block->step_count; ++i) {
    const char *cursor = block->steps[i].text;
    if (fgt_scan_keyword(&cursor, "let")) {
      return true;
    }
  }
  return false;
}

static void ask_calc_for_json(preparation *p) {
  if (p->argument_count < 2 || strcmp(p->arguments[1], "calc") != 0) {
    return;
  }
  for (size_t i = 2; i < p->argument_count; ++i) {
    if (strncmp(p->arguments[i], "--format", 8) == 0) {
      return;
    }
  }
  add_text(&p->arguments, &p->argument_count, text_of("--format").bytes);
  add_text(&p->arguments, &p->argument_count, text_of("json").bytes);
}

static bool prepare(fgt_block *block, const fgt_setup *setup, preparation *p) {
  const char *place = getenv("TMPDIR");
  char *folder = fgt_format("%s/fg-check-XXXXXX", place && *place != '\0' ? place : "/tmp");
  if (!mkdtemp(folder)) {
    block->trouble = fgt_format("no temporary folder %s: %s", folder, strerror(errno));
    return false;
  }
  block->folder = folder;
  add_text(&p->arguments, &p->argument_count, text_of(setup->program).bytes);
  for (size_t i = 0; i < block->step_count; ++i) {
    if (!prepare_step(block, &block->steps[i], p)) {
      block->trouble =
          fgt_format("line %d cannot be done: %s", block->steps[i].number, block->steps[i].text);
      return false;
    }
  }
  if (looks_into_json(block)) {
    ask_calc_for_json(p);
  }
  block->command = "";
  for (size_t i = 0; i < p->argument_count; ++i) {
    block->command = fgt_format("%s%s%s", block->command, i > 0 ? " " : "", p->arguments[i]);
  }
  add_text(&p->arguments, &p->argument_count, NULL);
  return true;
}

static void read_json(fgt_block *block) {
  if (!looks_into_json(block)) {
    return;
  }
  json_error_t error;
  block->json = json_loadb(block->outcome.out.bytes, block->outcome.out.length,
                           JSON_REJECT_DUPLICATES, &error);
  if (!block->json) {
    block->json_trouble = fgt_format("stdout is not JSON: line %d: %s", error.line, error.text);
  }
}

/* Is it a word that follows VALUES, so neither a path nor fields? */
static bool is_verb(const char *word) {
  static const char *const verbs[] = {"=", "<", "<=", ">", ">=", "between", "rising", "falling"};
  for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; ++i) {
    if (strcmp(word, verbs[i]) == 0) {
      return true;
    }
  }
  return false;
}

/* The word, unless it is missing or a verb. */
static const char *scan_noun(const char **cursor) {
  const char *next = *cursor;
  const char *word = fgt_scan_word(&next);
  if (!word || is_verb(word)) {
    return NULL;
  }
  *cursor = next;
  return word;
}

bool fgt_block_numbers(const fgt_block *block, const char **cursor, fgt_values *out) {
  out->reason = NULL;
  const char *path = fgt_scan_word(cursor);
  const char *summed = path && strcmp(path, "sum") == 0 ? scan_noun(cursor) : NULL;
  if (!path) {
    out->reason = "no path is given";
    return false;
  }
  const bool sum = summed != NULL; /* else `sum` is itself a path */
  path = sum ? summed : path;
  const char *fields = sum ? scan_noun(cursor) : NULL;
  if (!block->json) {
    out->reason = block->json_trouble;
    return false;
  }
  const fgt_selection selection = fgt_json_select(block->json, path);
  if (fields) {
    return fgt_json_field_sums(&selection, fields, &out->numbers, &out->count, &out->reason);
  }
  if (!fgt_json_numbers(&selection, &out->numbers, &out->count, &out->reason)) {
    return false;
  }
  if (sum) {
    for (size_t i = 1; i < out->count; ++i) {
      out->numbers[0] += out->numbers[i];
    }
    out->count = 1;
  }
  return true;
}

static void keep_values(fgt_block *block) {
  fgt_file *file = block->file;
  for (size_t i = 0; i < block->step_count; ++i) {
    const char *cursor = block->steps[i].text;
    if (!fgt_scan_keyword(&cursor, "let")) {
      continue;
    }
    fgt_values values = {fgt_scan_word(&cursor), NULL, 0, NULL};
    if (!values.name || !fgt_scan_keyword(&cursor, "=") || !fgt_scan_keyword(&cursor, "json")) {
      values.reason = "it is not written `let NAME = json VALUES`";
    } else if (block->trouble) {
      values.reason = block->trouble;
    } else if (fgt_block_numbers(block, &cursor, &values) && !fgt_at_end(cursor)) {
      values.reason = "there is more on the line than VALUES";
    }
    file->values = fgt_append(file->values, file->value_count, sizeof values, &values);
    ++file->value_count;
  }
}

/* What a sanitized build wrote about itself, whatever it exited with; or NULL. */
static const char *sanitizer_finding(fgt_text err) {
  static const char *const marks[] = {"ERROR: AddressSanitizer", "ERROR: LeakSanitizer",
                                      "runtime error: "};
  for (size_t i = 0; i < sizeof marks / sizeof marks[0]; ++i) {
    if (memmem(err.bytes, err.length, marks[i], strlen(marks[i]))) {
      return fgt_format("a sanitizer reported \"%s\"", marks[i]);
    }
  }
  return NULL;
}

void fgt_block_run(fgt_block *block, const fgt_setup *setup) {
  if (block->done) {
    return;
  }
  block->done = true;
  if (!block->has_run) {
    return;
  }
  preparation p = {0};
  if (prepare(block, setup, &p)) {
    block->outcome =
        fgt_process_run(p.arguments, p.settings, p.setting_count, p.input, setup->limit_s);
    block->trouble = block->outcome.trouble;
    if (!block->trouble) {
      block->trouble = sanitizer_finding(block->outcome.err);
    }
    if (!block->trouble && !block->has_exit && block->outcome.exit_status != 0) {
      block->trouble = fgt_format("it exited with %d, and the block has no `exit` line",
                                  block->outcome.exit_status);
    }
    read_json(block);
  }
  keep_values(block);
}

static int remove_entry(const char *path, const struct stat *status, int kind, struct FTW *place) {
  (void)status;
  (void)kind;
  (void)place;
  return remove(path);
}

void fgt_block_clear(fgt_block *block) {
  if (block->folder) {
    (void)nftw(block->folder, remove_entry, 16, FTW_DEPTH | FTW_PHYS);
    block->folder = NULL;
  }
  json_decref(block->json);
  block->json = NULL;
}
