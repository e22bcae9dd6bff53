/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_H
#define FG_TEST_H

/* What every C test includes: cmocka with the headers it wants before it, comparisons of
 * doubles that no NaN passes, and a way to run tests that reports honest counts. */

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* cmocka's own compare as float and let NaN pass; a skipped test would count as passed. */
#undef assert_float_equal
#undef assert_float_not_equal
#undef assert_in_range
#undef skip

/* |actual - expected| <= relative |expected|.  False when any of them is not finite or
 * relative is negative; an expected 0 is met by 0 alone. */
bool fgt_is_close(double actual, double expected, double relative);

/* |actual - expected| <= absolute, all finite, absolute not negative. */
bool fgt_is_within(double actual, double expected, double absolute);

/* lowest <= actual <= highest, all finite. */
bool fgt_is_between(double actual, double lowest, double highest);

/* Each fails the running test, printing the expression and all values. */
#define assert_close(actual, expected, relative)                                                   \
  fgt_assert_close((actual), (expected), (relative), #actual, __FILE__, __LINE__)
#define assert_within(actual, expected, absolute)                                                  \
  fgt_assert_within((actual), (expected), (absolute), #actual, __FILE__, __LINE__)
#define assert_between(actual, lowest, highest)                                                    \
  fgt_assert_between((actual), (lowest), (highest), #actual, __FILE__, __LINE__)

void fgt_assert_close(double actual, double expected, double relative, const char *expression,
                      const char *file, int line);
void fgt_assert_within(double actual, double expected, double absolute, const char *expression,
                       const char *file, int line);
void fgt_assert_between(double actual, double lowest, double highest, const char *expression,
                        const char *file, int line);

/* Runs the tests of an array (not a pointer: its length is taken here) and prints the
 * line "N passed, M failed" that the counts of `make test` are added up from.  Returns the
 * exit status for main: nonzero when a test failed or there was none.
 *
 *   static const struct CMUnitTest tests[] = {cmocka_unit_test(test_this)};
 *   return FG_RUN_GROUP(tests);
 */
#define FG_RUN_GROUP(tests)                                                                        \
  fgt_run_group(                                                                                   \
      #tests, (tests),                                                                             \
      sizeof(tests) / sizeof((tests)[0]) +                                                         \
          0 * sizeof(char[__builtin_types_compatible_p(__typeof__(tests), __typeof__(&(tests)[0])) \
                              ? -1                                                                 \
                              : 1]))

int fgt_run_group(const char *name, const struct CMUnitTest *tests, size_t count);

#endif
