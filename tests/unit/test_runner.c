/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Tries the test tools themselves: what is wrong must be counted as failed. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fg_test.h"
#include "process.h"
#include "text.h"

static fgt_outcome run_runner(const char *program, const char *file) {
  const char *runner = getenv("FG_RUNNER");
  char *const arguments[] = {
      fgt_format("%s", runner ? runner : "build/tests/runner"),
      fgt_format("--program"),
      fgt_format("%s", program),
      file ? fgt_format("tests/selftest/%s", file) : NULL,
      NULL,
  };
  char *const settings[] = {fgt_format("FG_TEST_LIMIT=1")};
  return fgt_process_run(arguments, settings, 1, (fgt_text){NULL, 0}, 60);
}

/* The runner's closing line for a file. */
static void assert_counts(const char *file, int passed, int failed) {
  const fgt_outcome outcome = run_runner("/bin/sh", file);
  if (outcome.trouble) {
    fail_msg("the runner: %s", outcome.trouble);
  }
  const char *expected = fgt_format("\n%d passed, %d failed\n", passed, failed);
  const char *out = fgt_format("\n%s", outcome.out.bytes);
  const size_t length = strlen(out);
  const size_t tail = strlen(expected);
  if (length < tail || strcmp(out + length - tail, expected) != 0) {
    fail_msg("expected %s for %s; the runner wrote:\n%s%s", expected, file, out, outcome.err.bytes);
  }
  assert_int_equal(outcome.exit_status != 0, failed != 0);
}

/* Lines that are checks, by their first word. */
static int count_checks(const char *path) {
  static const char *const words[] = {"exit",   "json",    "stdout",    "stderr",     "same",
                                      "folder", "compare", "file @tmp", "frobnicate", "not"};
  const fgt_text text = fgt_read_file(path);
  assert_non_null(text.bytes);
  int count = 0;
  for (const char *line = text.bytes; line; line = strchr(line, '\n')) {
    line += *line == '\n';
    for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i) {
      count += strncmp(line, words[i], strlen(words[i])) == 0;
    }
  }
  return count;
}

static void test_right_checks_pass(void **state) {
  (void)state;
  assert_counts("right.check", count_checks("tests/selftest/right.check"), 0);
}

static void test_wrong_checks_fail(void **state) {
  (void)state;
  const int count = count_checks("tests/selftest/wrong.check");
  assert_true(count > 90);
  assert_counts("wrong.check", 0, count);
}

static void test_faulty_files_fail(void **state) {
  (void)state;
  assert_counts("faults.check", 3, 6);
  assert_counts("empty.check", 0, 1);
  assert_counts("published/nosource.check", 1, 1);
  assert_counts("there-is-no-such.check", 0, 1);
}

static void test_no_file_fails(void **state) {
  (void)state;
  const fgt_outcome outcome = run_runner("/bin/sh", NULL);
  assert_null(outcome.trouble);
  assert_int_not_equal(outcome.exit_status, 0);
  assert_non_null(strstr(outcome.out.bytes, "0 passed, 1 failed\n"));
}

static void test_missing_program_fails(void **state) {
  (void)state;
  const fgt_outcome outcome = run_runner("/nonexistent/program", "right.check");
  assert_null(outcome.trouble);
  assert_int_not_equal(outcome.exit_status, 0);
  /* A folder can be found but not run. */
  assert_counts("empty.check", 0, 1);
  const fgt_outcome folder = run_runner("/", "right.check");
  assert_null(folder.trouble);
  assert_non_null(strstr(folder.out.bytes, "\n0 passed, "));
}

static void test_comparisons_refuse_nan(void **state) {
  (void)state;
  const double nan = NAN;
  const double inf = INFINITY;
  assert_true(fgt_is_close(1.01, 1, 0.011));
  assert_false(fgt_is_close(1.01, 1, 0.009));
  assert_true(fgt_is_close(-1.01, -1, 0.011));
  assert_false(fgt_is_close(1e-300, 0, 0.5));
  assert_false(fgt_is_close(nan, 1, 0.1));
  assert_false(fgt_is_close(1, nan, 0.1));
  assert_false(fgt_is_close(1, 1, nan));
  assert_false(fgt_is_close(1, 1, inf));
  assert_false(fgt_is_close(inf, inf, 0.1));
  assert_false(fgt_is_close(1, 1, -0.1));
  assert_true(fgt_is_within(1, 1.5, 0.5));
  assert_false(fgt_is_within(1, 1.5, 0.4));
  assert_false(fgt_is_within(nan, nan, 1));
  assert_false(fgt_is_within(1, 1, nan));
  assert_true(fgt_is_between(1, 1, 1));
  assert_false(fgt_is_between(2, 0, 1));
  assert_false(fgt_is_between(nan, 0, 1));
  assert_false(fgt_is_between(0, 0, nan));
  assert_false(fgt_is_between(0, nan, 1));
}

static void compare_nan(void **state) {
  (void)state;
  assert_close(NAN, 1, 0.1);
}

static void compare_far(void **state) {
  (void)state;
  assert_within(3, 1, 0.1);
}

static void compare_outside(void **state) {
  (void)state;
  assert_between(3, 1, 2);
}

static void compare_well(void **state) {
  (void)state;
  assert_close(1, 1, 0.1);
  assert_within(1, 1, 0.1);
  assert_between(1, 1, 2);
}

/* This program run again as one that has failing tests, or none. */
static int misbehave(const char *how) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(compare_nan), cmocka_unit_test(compare_far),
      cmocka_unit_test(compare_outside), cmocka_unit_test(compare_well)};
  return strcmp(how, "--failing") == 0 ? FG_RUN_GROUP(tests) : fgt_run_group("none", tests, 0);
}

static void assert_misbehaviour(const char *how, const char *expected) {
  char *const arguments[] = {fgt_format("/proc/self/exe"), fgt_format("%s", how), NULL};
  const fgt_outcome outcome = fgt_process_run(arguments, NULL, 0, (fgt_text){NULL, 0}, 60);
  assert_null(outcome.trouble);
  assert_int_not_equal(outcome.exit_status, 0);
  assert_non_null(strstr(outcome.out.bytes, expected));
}

static void test_groups_count_failures(void **state) {
  (void)state;
  assert_misbehaviour("--failing", "1 passed, 3 failed\n");
  assert_misbehaviour("--none", "0 passed, 1 failed\n");
}

int main(int argc, char *argv[]) {
  if (argc == 2) {
    return misbehave(argv[1]);
  }
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_right_checks_pass),     cmocka_unit_test(test_wrong_checks_fail),
      cmocka_unit_test(test_faulty_files_fail),     cmocka_unit_test(test_no_file_fails),
      cmocka_unit_test(test_missing_program_fails), cmocka_unit_test(test_comparisons_refuse_nan),
      cmocka_unit_test(test_groups_count_failures)};
  const int result = FG_RUN_GROUP(tests);
  fgt_free_all();
  return result;
}
