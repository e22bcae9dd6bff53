/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "checkfile.h"

#include <string.h>

typedef struct reader {
  fgt_file *file;
  fgt_block *block;    /* being read, or NULL between blocks */
  fgt_block *last_run; /* the last finished block that runs something */
  const char *source;  /* of the last block that was only a source */
  fgt_text *body;      /* where | lines go, or NULL */
  int number;
} reader;

static void add_check(fgt_block *block, fgt_line line, const char *fault) {
  const fgt_check check = {block, line, fault};
  block->checks = fgt_append(block->checks, block->check_count, sizeof check, &check);
  ++block->check_count;
}

static fgt_line *add_step(fgt_block *block, fgt_line line) {
  block->steps = fgt_append(block->steps, block->step_count, sizeof line, &line);
  return &block->steps[block->step_count++];
}

static fgt_block *open_block(reader *r) {
  if (!r->block) {
    r->block = fgt_alloc(sizeof *r->block);
    r->block->file = r->file;
    r->block->previous = r->last_run;
    r->block->json_trouble = "stdout was not read as JSON";
  }
  return r->block;
}

static bool starts_with(const char *text, const char *word) {
  return fgt_scan_keyword(&text, word);
}

static bool needs_run(const fgt_block *block) {
  for (size_t i = 0; i < block->check_count; ++i) {
    if (!starts_with(block->checks[i].line.text, "compare")) {
      return true;
    }
  }
  return false;
}

static void close_block(reader *r) {
  fgt_block *block = r->block;
  r->block = NULL;
  r->body = NULL;
  if (!block) {
    return;
  }
  if (block->step_count == 0 && block->check_count == 0) {
    r->source = block->source;
    return;
  }
  if (!block->source) {
    block->source = r->source;
  }
  const fgt_line here = {r->number, "(end of block)", {NULL, 0}};
  if (block->check_count == 0) {
    add_check(block, here, "the block checks nothing");
  }
  if (!block->has_run && !block->checks[0].fault && (needs_run(block) || block->step_count > 0)) {
    add_check(block, here, "the block runs nothing");
  }
  if (!block->source && strstr(r->file->path, "published/")) {
    add_check(block, here, "a published value needs its source");
  }
  r->file->blocks = fgt_append(r->file->blocks, r->file->block_count, sizeof(fgt_block *), &block);
  ++r->file->block_count;
  if (block->has_run) {
    r->last_run = block;
  }
}

static void read_body_line(reader *r, fgt_line line) {
  if (!r->body) {
    add_check(open_block(r), line, "this line belongs to no file or stdin");
    return;
  }
  const char *content = line.text + 1;
  content += *content == ' ';
  const char *both = fgt_format("%s%s\n", r->body->bytes, content);
  *r->body = fgt_text_copy(both, strlen(both));
}

static void read_source(reader *r, fgt_line line) {
  const char *rest = line.text + strlen("source");
  fgt_block *block = open_block(r);
  if (fgt_at_end(rest)) {
    add_check(block, line, "the source is empty");
  }
  block->source = rest + strspn(rest, " \t");
}

static void read_run(reader *r, fgt_line line) {
  fgt_block *block = open_block(r);
  if (block->has_run) {
    add_check(block, line, "the block runs something already");
    return;
  }
  block->has_run = true;
  (void)add_step(block, line);
}

static void read_step(reader *r, fgt_line line) {
  const bool takes_body = starts_with(line.text, "file") || starts_with(line.text, "stdin");
  if (takes_body) {
    line.body = fgt_text_copy("", 0);
  }
  fgt_line *step = add_step(open_block(r), line);
  r->body = takes_body ? &step->body : NULL;
}

static bool is_step(const char *text) {
  static const char *const words[] = {"env", "stdin", "bytes",   "repeat",
                                      "dir", "fifo",  "symlink", "let"};
  for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i) {
    if (starts_with(text, words[i])) {
      return true;
    }
  }
  return fgt_scan_keyword(&text, "file") && strncmp(text + strspn(text, " \t"), "@tmp", 4) != 0;
}

static void read_line(reader *r, fgt_line line) {
  const char *text = line.text;
  if (*text == '|') {
    read_body_line(r, line);
    return;
  }
  if (*text == '#') {
    return;
  }
  r->body = NULL;
  if (fgt_at_end(text)) {
    close_block(r);
  } else if (starts_with(text, "source")) {
    read_source(r, line);
  } else if (starts_with(text, "run")) {
    read_run(r, line);
  } else if (is_step(text)) {
    read_step(r, line);
  } else {
    open_block(r)->has_exit |= starts_with(text, "exit");
    add_check(r->block, line, NULL);
  }
}

/* Does a comparison at or below this line use the name? */
static bool is_compared(const fgt_file *file, const char *name, int number) {
  for (size_t b = 0; b < file->block_count; ++b) {
    const fgt_block *block = file->blocks[b];
    for (size_t c = 0; c < block->check_count; ++c) {
      const char *cursor = block->checks[c].line.text;
      if (block->checks[c].line.number < number || !fgt_scan_keyword(&cursor, "compare")) {
        continue;
      }
      for (const char *word; (word = fgt_scan_word(&cursor)) != NULL;) {
        if (strcmp(word, name) == 0) {
          return true;
        }
      }
    }
  }
  return false;
}

/* A kept value that nothing looks at is a check that was forgotten. */
static void find_unused_values(fgt_file *file) {
  for (size_t b = 0; b < file->block_count; ++b) {
    fgt_block *block = file->blocks[b];
    for (size_t s = 0; s < block->step_count; ++s) {
      const char *cursor = block->steps[s].text;
      if (!fgt_scan_keyword(&cursor, "let")) {
        continue;
      }
      const char *name = fgt_scan_word(&cursor);
      if (!name || !is_compared(file, name, block->steps[s].number)) {
        add_check(block, block->steps[s], "the value is never compared");
      }
    }
  }
}

static void fail_whole_file(reader *r, const char *fault) {
  const fgt_line line = {1, "(the file)", {NULL, 0}};
  add_check(open_block(r), line, fault);
  close_block(r);
}

fgt_file *fgt_file_read(const char *path) {
  fgt_file *file = fgt_alloc(sizeof *file);
  file->path = path;
  reader r = {.file = file};
  const fgt_text content = fgt_read_file(path);
  if (!content.bytes) {
    fail_whole_file(&r, "the file cannot be read");
    return file;
  }
  if (strlen(content.bytes) != content.length) {
    fail_whole_file(&r, "the file holds a NUL byte");
    return file;
  }
  for (const char *start = content.bytes; *start != '\0';) {
    const size_t length = strcspn(start, "\n");
    ++r.number;
    const char *text = fgt_text_copy(start, length).bytes;
    read_line(&r, (fgt_line){r.number, text, {NULL, 0}});
    start += length + (start[length] == '\n');
  }
  close_block(&r);
  find_unused_values(file);
  if (file->block_count == 0) {
    fail_whole_file(&r, "the file checks nothing");
  }
  return file;
}
