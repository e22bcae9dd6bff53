/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "evaluate.h"

#include <dirent.h>
#include <regex.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "evaluate_internal.h"
#include "fg_test.h"

const char fgt_unreadable[] = "this check cannot be read; see tests/support/checkfile.h";

static const char *shorten(fgt_text text) {
  return fgt_format("\"%.300s%s\"", text.bytes, text.length > 300 ? "..." : "");
}

static const char *check_columns(fgt_text text, const char *cursor) {
  double most = 0;
  if (!fgt_scan_keyword(&cursor, "<=") || !fgt_scan_number(&cursor, &most) || !fgt_at_end(cursor)) {
    return fgt_unreadable;
  }
  if (text.length == 0) {
    return "there is no text";
  }
  int line = 1;
  int columns = 0;
  for (size_t i = 0; i < text.length; ++i) {
    if (text.bytes[i] == '\n') {
      ++line;
      columns = 0;
    } else if (((unsigned char)text.bytes[i] & 0xC0U) != 0x80U) {
      ++columns; /* one for each UTF-8 character */
    }
    if (columns > most) {
      return fgt_format("line %d is wider", line);
    }
  }
  return NULL;
}

static const char *check_regex(fgt_text text, fgt_text expression) {
  regex_t regex;
  if (regcomp(&regex, expression.bytes, REG_EXTENDED | REG_NOSUB | REG_NEWLINE) != 0) {
    return "the regular expression is wrong";
  }
  const bool match = regexec(&regex, text.bytes, 0, NULL, 0) == 0;
  regfree(&regex);
  return match ? NULL : fgt_format("it is %s", shorten(text));
}

static const char *check_text(const fgt_block *block, fgt_text text, const char *cursor) {
  if (fgt_scan_keyword(&cursor, "columns")) {
    return check_columns(text, cursor);
  }
  const char *verb = fgt_scan_word(&cursor);
  fgt_text wanted;
  if (!verb || !fgt_scan_quoted(&cursor, &wanted) || !fgt_at_end(cursor)) {
    return fgt_unreadable;
  }
  if (strcmp(verb, "matches") == 0) {
    return check_regex(text, wanted);
  }
  wanted = fgt_block_expand(block, wanted);
  bool good = false;
  if (strcmp(verb, "contains") == 0) {
    good = fgt_contains(text, wanted);
  } else if (strcmp(verb, "lacks") == 0) {
    good = wanted.length > 0 && !fgt_contains(text, wanted);
  } else if (strcmp(verb, "is") == 0) {
    good = text.length == wanted.length && memcmp(text.bytes, wanted.bytes, text.length) == 0;
  } else {
    return fgt_unreadable;
  }
  return good ? NULL : fgt_format("it is %s", shorten(text));
}

static const char *check_same(const fgt_block *block, const char *cursor) {
  if (!fgt_scan_keyword(&cursor, "stdout") || !fgt_scan_keyword(&cursor, "as") ||
      !fgt_scan_keyword(&cursor, "previous") || !fgt_at_end(cursor)) {
    return fgt_unreadable;
  }
  const fgt_block *before = block->previous;
  if (!before || before->trouble) {
    return "there is no good run before this one";
  }
  const fgt_text a = before->outcome.out;
  const fgt_text b = block->outcome.out;
  if (a.length == 0 || b.length == 0) {
    return "there is nothing on stdout to compare";
  }
  size_t i = 0;
  while (i < a.length && i < b.length && a.bytes[i] == b.bytes[i]) {
    ++i;
  }
  return i == a.length && i == b.length ? NULL : fgt_format("byte %zu differs", i);
}

static const char *check_file(const fgt_block *block, const char *cursor) {
  const char *name = fgt_scan_argument(&cursor);
  if (!name) {
    return fgt_unreadable;
  }
  const char *path = fgt_block_expand(block, fgt_text_copy(name, strlen(name))).bytes;
  struct stat status;
  const bool there = lstat(path, &status) == 0;
  if (fgt_scan_keyword(&cursor, "absent")) {
    return !fgt_at_end(cursor) ? fgt_unreadable : there ? "it is there" : NULL;
  }
  if (!there) {
    return "there is no such file";
  }
  if (fgt_scan_keyword(&cursor, "exists")) {
    return fgt_at_end(cursor) ? NULL : fgt_unreadable;
  }
  if (!S_ISREG(status.st_mode)) {
    return "it is not a regular file";
  }
  const fgt_text text = fgt_read_file(path);
  return !text.bytes ? "it cannot be read" : check_text(block, text, cursor);
}

/* The names that follow on the line, each taken off as it is found in the folder. */
static const char *check_entries(DIR *folder, const char *names) {
  size_t expected = 0;
  for (const char *cursor = names; fgt_scan_argument(&cursor);) {
    ++expected;
  }
  size_t found = 0;
  for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) {
      continue;
    }
    const char *cursor = names;
    const char *name = fgt_scan_argument(&cursor);
    while (name && strcmp(name, entry->d_name) != 0) {
      name = fgt_scan_argument(&cursor);
    }
    if (!name) {
      return fgt_format("%s is there too", entry->d_name);
    }
    ++found;
  }
  return found == expected ? NULL : fgt_format("%zu of %zu are there", found, expected);
}

static const char *check_folder(const fgt_block *block, const char *cursor) {
  const char *name = fgt_scan_argument(&cursor);
  if (!name || !fgt_scan_keyword(&cursor, "holds")) {
    return fgt_unreadable;
  }
  DIR *folder = opendir(fgt_block_expand(block, fgt_text_copy(name, strlen(name))).bytes);
  if (!folder) {
    return "it is not a folder";
  }
  const char *fault = check_entries(folder, cursor);
  (void)closedir(folder);
  return fault;
}

static const char *check_exit(const fgt_block *block, const char *cursor) {
  double wanted = 0;
  if (!fgt_scan_number(&cursor, &wanted) || !fgt_at_end(cursor)) {
    return fgt_unreadable;
  }
  return fgt_is_within(block->outcome.exit_status, wanted, 0)
             ? NULL
             : fgt_format("it exited with %d", block->outcome.exit_status);
}

const char *fgt_check_evaluate(const fgt_check *check) {
  const fgt_block *block = check->block;
  const char *cursor = check->line.text;
  if (check->fault) {
    return check->fault;
  }
  if (block->trouble) {
    return block->trouble;
  }
  if (fgt_scan_keyword(&cursor, "compare")) {
    return fgt_evaluate_compare(block, cursor);
  }
  if (!block->has_run) {
    return "the block runs nothing";
  }
  static const struct {
    const char *word;
    const char *(*evaluate)(const fgt_block *, const char *);
  } kinds[] = {{"exit", check_exit},
               {"json", fgt_evaluate_json},
               {"same", check_same},
               {"file", check_file},
               {"folder", check_folder}};
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; ++i) {
    if (fgt_scan_keyword(&cursor, kinds[i].word)) {
      return kinds[i].evaluate(block, cursor);
    }
  }
  if (fgt_scan_keyword(&cursor, "stdout")) {
    return check_text(block, block->outcome.out, cursor);
  }
  if (fgt_scan_keyword(&cursor, "stderr")) {
    return check_text(block, block->outcome.err, cursor);
  }
  return fgt_unreadable;
}
