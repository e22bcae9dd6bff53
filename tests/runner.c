/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Runs the program on the blocks of check files (see tests/support/checkfile.h).  Every
 * check line is one test.
 *
 * Usage: runner [--program PATH] FILE...
 *   FLOURGOLD        the program, when --program is not given (build/flourgold)
 *   FG_TEST_LIMIT    seconds allowed for one run (20)
 *   FG_TEST_SLOWER   a factor on that time, for slow builds (1) */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "blockrun.h"
#include "checkfile.h"
#include "evaluate.h"
#include "fg_test.h"
#include "text.h"

static fgt_setup setup;

static void print_failure(const fgt_check *check, const char *fault) {
  const fgt_block *block = check->block;
  print_error("%s\n", fault);
  if (block->source) {
    print_error("  source: %s\n", block->source);
  }
  if (block->command) {
    print_error("  ran:    %.500s\n", block->command);
  }
  if (block->outcome.err.length > 0) {
    print_error("  stderr: %.400s\n", block->outcome.err.bytes);
  }
}

static void test_check(void **state) {
  const fgt_check *check = *state;
  fgt_block_run(check->block, &setup);
  const char *fault = fgt_check_evaluate(check);
  if (fault) {
    print_failure(check, fault);
    _fail(check->block->file->path, check->line.number);
  }
}

/* The positive number in an environment variable, or `standard`. */
static double number_from_environment(const char *name, double standard) {
  const char *text = getenv(name);
  double value = 0;
  return text && fgt_scan_number(&text, &value) && value > 0 ? value : standard;
}

static size_t add_tests(struct CMUnitTest **tests, size_t count, const fgt_file *file) {
  for (size_t b = 0; b < file->block_count; ++b) {
    const fgt_block *block = file->blocks[b];
    for (size_t c = 0; c < block->check_count; ++c) {
      fgt_check *check = &block->checks[c];
      const struct CMUnitTest test = {
          .name = fgt_format("%s:%d: %s", file->path, check->line.number, check->line.text),
          .test_func = test_check,
          .initial_state = check,
      };
      *tests = fgt_append(*tests, count++, sizeof test, &test);
    }
  }
  return count;
}

static int run_files(char *const paths[], int path_count) {
  struct CMUnitTest *tests = NULL;
  size_t count = 0;
  fgt_file **files = fgt_alloc((size_t)path_count * sizeof *files);
  for (int i = 0; i < path_count; ++i) {
    files[i] = fgt_file_read(paths[i]);
    count = add_tests(&tests, count, files[i]);
  }
  const int result = fgt_run_group("checks", tests, count);
  for (int i = 0; i < path_count; ++i) {
    for (size_t b = 0; b < files[i]->block_count; ++b) {
      fgt_block_clear(files[i]->blocks[b]);
    }
  }
  return result;
}

int main(int argc, char *argv[]) {
  const char *program = getenv("FLOURGOLD");
  int first = 1;
  if (argc > 2 && strcmp(argv[1], "--program") == 0) {
    program = argv[2];
    first = 3;
  }
  if (!program) {
    program = "build/flourgold";
  }
  char *path = realpath(program, NULL);
  if (!path) {
    (void)fprintf(stderr, "%s: there is no such program\n", program);
    return EXIT_FAILURE;
  }
  setup.program = path;
  setup.limit_s =
      number_from_environment("FG_TEST_LIMIT", 20) * number_from_environment("FG_TEST_SLOWER", 1);
  const int result = run_files(argv + first, argc - first);
  fgt_free_all();
  free(path);
  return result;
}
