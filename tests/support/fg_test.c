/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fg_test.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

bool fgt_is_within(double actual, double expected, double absolute) {
  return isfinite(actual) && isfinite(expected) && isfinite(absolute) && absolute >= 0 &&
         fabs(actual - expected) <= absolute;
}

bool fgt_is_close(double actual, double expected, double relative) {
  return isfinite(relative) && relative >= 0 &&
         fgt_is_within(actual, expected, relative * fabs(expected));
}

bool fgt_is_between(double actual, double lowest, double highest) {
  return isfinite(actual) && isfinite(lowest) && isfinite(highest) && lowest <= actual &&
         actual <= highest;
}

void fgt_assert_close(double actual, double expected, double relative, const char *expression,
                      const char *file, int line) {
  if (fgt_is_close(actual, expected, relative)) {
    return;
  }
  print_error("%s is %.12g, expected %.12g within a share of %.3g (it is off by %.3g)\n",
              expression, actual, expected, relative, fabs(actual / expected - 1));
  _fail(file, line);
}

void fgt_assert_within(double actual, double expected, double absolute, const char *expression,
                       const char *file, int line) {
  if (fgt_is_within(actual, expected, absolute)) {
    return;
  }
  print_error("%s is %.12g, expected %.12g within %.3g (it is off by %.3g)\n", expression, actual,
              expected, absolute, actual - expected);
  _fail(file, line);
}

void fgt_assert_between(double actual, double lowest, double highest, const char *expression,
                        const char *file, int line) {
  if (fgt_is_between(actual, lowest, highest)) {
    return;
  }
  print_error("%s is %.12g, expected %.12g to %.12g\n", expression, actual, lowest, highest);
  _fail(file, line);
}

int fgt_run_group(const char *name, const struct CMUnitTest *tests, size_t count) {
  if (count == 0) {
    printf("%s: there is no test to run\n0 passed, 1 failed\n", name);
    return EXIT_FAILURE;
  }
  const int result = _cmocka_run_group_tests(name, tests, count, NULL, NULL);
  /* A negative result, or one beyond the count, means the group itself broke. */
  const size_t failed = result < 0 || (size_t)result > count ? count : (size_t)result;
  if (printf("%zu passed, %zu failed\n", count - failed, failed) < 0 || fflush(stdout) != 0) {
    return EXIT_FAILURE;
  }
  return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
