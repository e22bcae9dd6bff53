/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "input/datadir.h"
#include "input/prescan_internal.h"

static const char byte_order_mark[] = "\xef\xbb\xbf";

static void push_line(fg_flat *flat, int file, int line) {
  if (flat->line_count == flat->line_room) {
    const size_t room = flat->line_room == 0 ? 256 : 2 * flat->line_room;
    fg_flat_line *lines = realloc(flat->lines, room * sizeof *lines);
    if (!lines) {
      flat->text.failed = true;
      return;
    }
    flat->lines = lines;
    flat->line_room = room;
  }
  flat->lines[flat->line_count++] = (fg_flat_line){file, line};
}

void fg_scan_emit(fg_scanner *scanner, const char *bytes, size_t length) {
  fg_text_add_bytes(&scanner->flat->text, bytes, length);
}

void fg_scan_newline(fg_scanner *scanner) {
  fg_scan_emit(scanner, "\n", 1);
  push_line(scanner->flat, scanner->file, scanner->line);
  scanner->line_start = true;
}

fg_place fg_scan_place(const fg_scanner *scanner) {
  return (fg_place){scanner->flat->files[scanner->file], scanner->in_memory ? 0 : scanner->line,
                    (long)scanner->flat->line_count};
}

void fg_scan_stop(fg_scanner *scanner, const char *format, ...) {
  char *what = NULL;
  va_list arguments;
  va_start(arguments, format);
  const int length = vasprintf(&what, format, arguments);
  va_end(arguments);
  scanner->stopped = true;
  const fg_place place = fg_scan_place(scanner);
  if (length < 0) {
    scanner->faults->failed = true;
    return;
  }
  fg_fault_add(scanner->faults, &place, NULL, "%s", what);
  free(what);
}

fg_place fg_flat_place(const fg_flat *flat, int line) {
  size_t i = line < 1 ? 0 : (size_t)line - 1;
  if (flat->line_count == 0)
    return (fg_place){flat->file_count > 0 ? flat->files[0] : "", 0, 0};
  if (i >= flat->line_count)
    i = flat->line_count - 1;
  return (fg_place){flat->files[flat->lines[i].file], flat->lines[i].line, (long)i + 1};
}

/* Remembers a path; its index, or -1. */
static int add_file(fg_flat *flat, const char *path) {
  if (flat->file_count == FG_FLAT_FILES_MAX)
    return -1;
  char *copy = strdup(path);
  if (!copy) {
    flat->text.failed = true;
    return -1;
  }
  flat->files[flat->file_count] = copy;
  return flat->file_count++;
}

/* Every byte must be text.  The scanner's line is put where the fault is. */
static bool check_encoding(fg_scanner *scanner, const char *text, size_t length) {
  if (length >= 2 && (memcmp(text, "\xff\xfe", 2) == 0 || memcmp(text, "\xfe\xff", 2) == 0)) {
    fg_scan_stop(scanner, "the file is in UTF-16; save it as UTF-8 (plain text)");
    return false;
  }
  for (size_t i = 0; i < length;) {
    const size_t step = text[i] == '\0' ? 0 : fg_utf8_length(text + i);
    if (step == 0) {
      if (text[i] == '\0')
        fg_scan_stop(scanner, "a zero byte: this is not a text file");
      else
        fg_scan_stop(scanner, "byte 0x%02X is not UTF-8; save the file as UTF-8 (plain text)",
                     (unsigned)(unsigned char)text[i]);
      return false;
    }
    if (text[i] == '\n')
      ++scanner->line;
    i += step;
  }
  scanner->line = 1;
  return true;
}

/* Whether the first line that is no remark is one of a table: names with commas between. */
static bool looks_like_table(const char *text) {
  const char *p = strncmp(text, byte_order_mark, 3) == 0 ? text + 3 : text;
  p += strspn(p, " \t\r\n");
  while (*p == '#') {
    p += strcspn(p, "\n");
    p += strspn(p, " \t\r\n");
  }
  const size_t line = strcspn(p, "\n");
  return strcspn(p, ",") < line && strcspn(p, "={:@\"") >= line && strncmp(p, "//", 2) != 0 &&
         strncmp(p, "/*", 2) != 0;
}

static void scan_bytes(fg_scanner *scanner, const char *text, size_t length) {
  scanner->line = 1;
  scanner->line_start = true;
  push_line(scanner->flat, scanner->file, 1);
  if (!check_encoding(scanner, text, length))
    return;
  if (looks_like_table(text)) {
    fg_scan_stop(scanner, "this is a table (CSV), not a scenario; readings go to the command "
                          "streaks, weather to dry --weather, counts to sample --counts");
    return;
  }
  scanner->p = strncmp(text, byte_order_mark, 3) == 0 ? text + 3 : text;
  fg_scan_text(scanner);
}

static bool already_open(const fg_scanner *scanner, const fg_file_identity *identity) {
  for (int i = 0; i < scanner->depth; ++i)
    if (scanner->open_files[i].device == identity->device &&
        scanner->open_files[i].inode == identity->inode)
      return true;
  return false;
}

/* Reads one file and scans it.  On failure message[size] says why. */
static fg_status scan_file(fg_scanner *scanner, const char *path, char *message, size_t size) {
  char *bytes = NULL;
  size_t length = 0;
  fg_file_identity identity;
  fg_status status = fg_slurp(path, FG_FLAT_BYTES_MAX - scanner->flat->bytes, &bytes, &length,
                              &identity, message, size);
  if (status != FG_OK)
    return status;
  const int file = add_file(scanner->flat, path);
  if (already_open(scanner, &identity)) {
    snprintf(message, size, "it includes itself, directly or through another file");
    status = FG_EIO;
  } else if (file < 0) {
    snprintf(message, size, "more than %d files in one scenario", FG_FLAT_FILES_MAX);
    status = scanner->flat->text.failed ? FG_EMEMORY : FG_EIO;
  } else {
    scanner->flat->bytes += length;
    scanner->open_files[scanner->depth++] = identity;
    scanner->file = file;
    scan_bytes(scanner, bytes, length);
    --scanner->depth;
  }
  free(bytes);
  return status;
}

/* The path of an included file: relative to the folder of the including one. */
static bool join_path(const char *from, const char *name, size_t length, char path[PATH_MAX]) {
  const char *slash = strrchr(from, '/');
  const int folder = !slash || name[0] == '/' ? 0 : (int)(slash - from) + 1;
  const int written = snprintf(path, PATH_MAX, "%.*s%.*s", folder, from, (int)length, name);
  return written > 0 && written < PATH_MAX;
}

static void include_file(fg_scanner *scanner, const char *name, size_t length) {
  char path[PATH_MAX], message[160] = "";
  if (scanner->depth > FG_FLAT_DEPTH_MAX) {
    fg_scan_stop(scanner, "@include more than %d deep", FG_FLAT_DEPTH_MAX);
    return;
  }
  if (length == 0 || length >= PATH_MAX ||
      !join_path(scanner->flat->files[scanner->file], name, length, path)) {
    fg_scan_stop(scanner, "the path of the @include is empty or too long");
    return;
  }
  const char *after = name + length + 1;
  const int file = scanner->file, line = scanner->line;
  const fg_place place = fg_scan_place(scanner);
  fg_scan_emit(scanner, "\n", 1);
  const fg_status status = scan_file(scanner, path, message, sizeof message);
  scanner->file = file;
  scanner->line = line;
  scanner->p = after;
  fg_scan_newline(scanner);
  if (status == FG_EMEMORY)
    scanner->faults->failed = true;
  if (status != FG_OK) {
    fg_fault_add(scanner->faults, &place, NULL, "cannot include \"%s\": %s", path, message);
    scanner->stopped = true;
  }
}

void fg_scan_include(fg_scanner *scanner) {
  static const char word[] = "@include";
  const char *p = scanner->p + strlen(word);
  if (strncmp(scanner->p, word, strlen(word)) != 0 || scanner->in_memory) {
    fg_scan_stop(scanner, "an @ can stand here only in @include \"file\" within a file");
    return;
  }
  p += strspn(p, " \t");
  const size_t length = *p == '"' ? strcspn(p + 1, "\"\r\n") : 0;
  if (!scanner->line_start || *p != '"' || p[1 + length] != '"') {
    fg_scan_stop(scanner, "write @include \"file\" on a line of its own");
    return;
  }
  include_file(scanner, p + 1, length);
}

/* The text must not end within a setting. */
static void check_end(fg_scanner *scanner) {
  if (scanner->stopped)
    return;
  if (scanner->nesting > 0) {
    const fg_bracket *last = &scanner->brackets[scanner->nesting - 1];
    fg_fault_add(scanner->faults, &last->place, NULL, "the %c that opens here is never closed",
                 last->open);
  } else if (!fg_grammar_complete(scanner)) {
    fg_scan_stop(scanner, "the text ends in the middle of a setting");
  }
}

static fg_status outcome(const fg_scanner *scanner, size_t faults_before) {
  if (scanner->flat->text.failed || scanner->faults->failed)
    return FG_EMEMORY;
  return scanner->faults->count > faults_before ? FG_ESCENARIO : FG_OK;
}

/* Where the program has a file of the same name: "; one lies at ...", or "". */
static const char *own_file(const char *path, char hint[static PATH_MAX + 80]) {
  char relative[NAME_MAX + 16], found[PATH_MAX];
  const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
  hint[0] = '\0';
  if (*name == '\0' || strlen(name) > NAME_MAX || access(path, F_OK) == 0)
    return hint;
  (void)snprintf(relative, sizeof relative, "configs/%s", name);
  if (fg_data_file(relative, found, sizeof found) == FG_OK)
    (void)snprintf(hint, PATH_MAX + 80, "; the program's own is %s", found);
  return hint;
}

fg_status fg_flat_read(const char *path, fg_flat *flat, fg_faults *faults) {
  fg_scanner scanner = {.flat = flat, .faults = faults};
  const size_t before = faults->count;
  char message[160] = "";
  const fg_status status = scan_file(&scanner, path, message, sizeof message);
  if (status == FG_EIO) {
    const fg_place place = {path, 0, 0};
    char hint[PATH_MAX + 80];
    fg_fault_add(faults, &place, NULL, "cannot be read: %s%s", message, own_file(path, hint));
  }
  if (status != FG_OK)
    return status;
  check_end(&scanner);
  return outcome(&scanner, before);
}

fg_status fg_flat_text(const char *name, const char *text, fg_flat *flat, fg_faults *faults) {
  fg_scanner scanner = {.flat = flat, .faults = faults, .in_memory = true};
  const size_t before = faults->count;
  scanner.file = add_file(flat, name);
  if (scanner.file < 0)
    return FG_EMEMORY;
  scan_bytes(&scanner, text, strlen(text));
  check_end(&scanner);
  return outcome(&scanner, before);
}

void fg_flat_free(fg_flat *flat) {
  fg_text_free(&flat->text);
  free(flat->lines);
  for (int i = 0; i < flat->file_count; ++i)
    free(flat->files[i]);
  *flat = (fg_flat){.file_count = 0};
}
