/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the program meets files and people: whole files in, one file or two, and what is said when
 * nothing came of a run. */
#include "fg_test.h"

#include <gsl/gsl_errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/cli.h"
#include "core/slurp.h"
#include "core/write.h"

static char folder[] = "/tmp/fg-edges-XXXXXX";

static const char *in_folder(const char *name) {
  static char path[2][sizeof folder + 64];
  static int turn;
  turn = !turn;
  snprintf(path[turn], sizeof path[turn], "%s/%s", folder, name);
  return path[turn];
}

static void make_file(const char *name, size_t length) {
  FILE *file = fopen(in_folder(name), "wb");
  assert_non_null(file);
  for (size_t i = 0; i < length; ++i)
    assert_true(fputc('a' + (int)(i % 26), file) != EOF);
  assert_int_equal(fclose(file), 0);
}

static fg_status slurp(const char *path, size_t most, char **bytes, size_t *length, char why[256]) {
  fg_file_identity identity;
  why[0] = '\0';
  return fg_slurp(path, most, bytes, length, &identity, why, 256);
}

/* Room is made for the file, not for all that it might be. */
static void test_a_limit_costs_no_memory(void **state) {
  (void)state;
  char why[256], *bytes = NULL;
  size_t length = 0;
  make_file("small", 1000);
  assert_int_equal(slurp(in_folder("small"), SIZE_MAX, &bytes, &length, why), FG_OK);
  assert_int_equal(length, 1000);
  assert_int_equal(strlen(bytes), 1000);
  assert_memory_equal(bytes + 26, "abc", 3);
  free(bytes);
  assert_int_equal(unlink(in_folder("small")), 0);
}

static void test_the_limit_is_exact(void **state) {
  (void)state;
  static const size_t lengths[] = {0, 1, 2, 4095, 4096, 5000};
  char why[256], *bytes = NULL;
  size_t length = 0;
  for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; ++i) {
    make_file("exact", lengths[i]);
    assert_int_equal(slurp(in_folder("exact"), lengths[i], &bytes, &length, why), FG_OK);
    assert_int_equal(length, lengths[i]);
    assert_int_equal(bytes[length], '\0');
    free(bytes);
    make_file("exact", lengths[i] + 1);
    assert_int_equal(slurp(in_folder("exact"), lengths[i], &bytes, &length, why), FG_EIO);
    assert_non_null(strstr(why, "more than"));
  }
  assert_int_equal(unlink(in_folder("exact")), 0);
}

/* The system's own files say that they are empty, and are not. */
static void test_a_length_that_is_not_known(void **state) {
  (void)state;
  char why[256], *bytes = NULL;
  size_t length = 0;
  assert_int_equal(slurp("/proc/self/status", 1 << 20, &bytes, &length, why), FG_OK);
  assert_true(length > 100 && strncmp(bytes, "Name:", 5) == 0);
  free(bytes);
  assert_int_equal(slurp("/proc/self/status", 100, &bytes, &length, why), FG_EIO);
}

static void test_one_file_by_two_names(void **state) {
  (void)state;
  char other[PATH_MAX];
  assert_int_equal(mkdir(in_folder("down"), 0700), 0);
  assert_int_equal(symlink("down", in_folder("link")), 0);
  assert_int_equal(symlink("new", in_folder("dangling")), 0);
  snprintf(other, sizeof other, "%s", in_folder("down/new"));
  assert_true(fg_write_same(other, in_folder("down/../link/./new")));
  assert_false(fg_write_same(other, in_folder("new")));
  assert_false(fg_write_same(other, in_folder("down/newer")));
  assert_true(fg_write_same(in_folder("dangling"), in_folder("new")));
  make_file("down/new", 3);
  assert_true(fg_write_same(other, in_folder("link/new")));
  assert_false(fg_write_same(other, in_folder("new")));
  assert_int_equal(link(other, in_folder("new")), 0);
  assert_true(fg_write_same(other, in_folder("new")));
  assert_false(fg_write_same("/dev/null", "/dev/null"));
  assert_true(fg_write_same("/no/such/folder/a", "/no/such/folder/a"));
  assert_false(fg_write_same("/no/such/folder/a", "/no/such/folder/b"));
  static const char *const made[] = {"new", "down/new", "dangling", "link"};
  for (size_t i = 0; i < sizeof made / sizeof made[0]; ++i)
    assert_int_equal(unlink(in_folder(made[i])), 0);
  assert_int_equal(rmdir(in_folder("down")), 0);
}

/* What is printed to stderr when a status ends a command. */
static void said(fg_status status, int exit_code, char text[512]) {
  static fg_scenario scenario;
  snprintf(scenario.file, sizeof scenario.file, "a.cfg");
  FILE *log = fopen(in_folder("log"), "w+b");
  assert_non_null(log);
  (void)fflush(stderr);
  const int kept = dup(STDERR_FILENO);
  assert_true(kept >= 0 && dup2(fileno(log), STDERR_FILENO) >= 0);
  const int code = fg_call_unsolved(&scenario, status);
  (void)fflush(stderr);
  assert_true(dup2(kept, STDERR_FILENO) >= 0 && close(kept) == 0);
  assert_int_equal(fclose(log), 0);
  log = fopen(in_folder("log"), "rb");
  assert_non_null(log);
  const size_t length = fread(text, 1, 511, log);
  text[length] = '\0';
  assert_int_equal(fclose(log), 0);
  assert_int_equal(unlink(in_folder("log")), 0);
  assert_int_equal(code, exit_code);
  assert_non_null(strstr(text, "flourgold: a.cfg: "));
}

/* Any equation may be the one without a solution: the blower alone is not blamed. */
static void test_what_found_no_solution(void **state) {
  (void)state;
  char text[512];
  said(FG_ENOROOT, FG_EXIT_WRONG, text);
  assert_non_null(strstr(text, "no solution"));
  assert_non_null(strstr(text, "the bed"));
  assert_non_null(strstr(text, "blower"));
  said(FG_EDOMAIN, FG_EXIT_WRONG, text);
  assert_non_null(strstr(text, "outside"));
  said(FG_EMEMORY, FG_EXIT_MACHINE, text);
  assert_non_null(strstr(text, "memory"));
}

int main(void) {
  gsl_set_error_handler_off();
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_limit_costs_no_memory),
      cmocka_unit_test(test_the_limit_is_exact),
      cmocka_unit_test(test_a_length_that_is_not_known),
      cmocka_unit_test(test_one_file_by_two_names),
      cmocka_unit_test(test_what_found_no_solution),
  };
  if (!mkdtemp(folder))
    return 1;
  const int code = FG_RUN_GROUP(tests);
  fg_write_forget();
  return rmdir(folder) == 0 ? code : 1;
}
