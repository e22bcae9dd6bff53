/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scenario files while memory runs out: either all of a file is read, or none of it. */
#include "fg_test.h"

#include <fcntl.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"

/* This program's allocations stand in front of those of the C library, for libraries too.
 * The sanitizers bring their own, which are left alone. */
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) && defined(__GLIBC__)
#define HOOKED 1
void *real_malloc(size_t size) __asm__("__libc_malloc");
void *real_calloc(size_t count, size_t size) __asm__("__libc_calloc");
void *real_realloc(void *block, size_t size) __asm__("__libc_realloc");

static long until_refusal; /* allocations until one is refused; 0: none is */

static bool refused(void) { return until_refusal > 0 && --until_refusal == 0; }

void *malloc(size_t size) { return refused() ? NULL : real_malloc(size); }
void *calloc(size_t count, size_t size) { return refused() ? NULL : real_calloc(count, size); }
void *realloc(void *block, size_t size) { return refused() ? NULL : real_realloc(block, size); }
#else
#define HOOKED 0
static long until_refusal;
#endif

static const char text[] = "deck = { length = \"1 m\"; width = \"30 cm\"; riffles = 7; };\n"
                           "blower = { free_volume = \"400 cfm\"; nozzle_speed = \"180 mph\"; };\n"
                           "run = { feed = \"30 lb/min\"; };\n"
                           "ground = { moisture = \"2 %\"; };\n";

enum { IN_PART = 41, NOT_REACHED = 42 };

static fg_status read_text(fg_scenario *scenario) {
  fg_complaints complaints = {0};
  const fg_status status = fg_scenario_read_text("memory.cfg", text, scenario, &complaints);
  fg_complaints_free(&complaints);
  return status;
}

static bool is_same(const fg_scenario *a, const fg_scenario *b) {
  if (strcmp(a->file, b->file) != 0)
    return false;
  for (size_t i = 0; i < fg_settings_count; ++i) {
    if (a->origin[i] != b->origin[i])
      return false;
    if (fg_settings[i].type != FG_T_NUMBER)
      continue;
    const double x = fg_setting_value(&fg_settings[i], a);
    const double y = fg_setting_value(&fg_settings[i], b);
    if (x < y || x > y || isnan(x) != isnan(y))
      return false;
  }
  return true;
}

/* Reads with the allocation of that number refused, in a process of its own: libconfig may end
 * it, which misleads nobody.  IN_PART when something else than the whole file was taken for it,
 * NOT_REACHED when there are fewer allocations. */
static int read_short_of_one(const fg_scenario *whole, long number) {
  (void)fflush(NULL);
  const pid_t child = fork();
  assert_true(child >= 0);
  if (child == 0) {
    const struct rlimit none = {0, 0};
    (void)setrlimit(RLIMIT_CORE, &none);
    (void)dup2(open("/dev/null", O_WRONLY), STDOUT_FILENO);
    (void)dup2(STDOUT_FILENO, STDERR_FILENO);
    static fg_scenario scenario;
    until_refusal = number;
    const fg_status status = read_text(&scenario);
    if (until_refusal > 0)
      _exit(NOT_REACHED);
    _exit(status == FG_OK && !is_same(&scenario, whole) ? IN_PART : 0);
  }
  int how = 0;
  assert_int_equal(waitpid(child, &how, 0), child);
  return WIFEXITED(how) ? WEXITSTATUS(how) : 0;
}

static void a_file_is_read_whole_or_not_at_all(void **state) {
  (void)state;
  static fg_scenario whole;
  if (!HOOKED)
    return;
  assert_int_equal(read_text(&whole), FG_OK);
  long number = 1, wrong = 0;
  for (int how; (how = read_short_of_one(&whole, number)) != NOT_REACHED; ++number) {
    assert_true(number < 5000);
    wrong += how == IN_PART;
  }
  assert_true(number > 50);
  assert_int_equal(wrong, 0);
}

int main(void) {
  gsl_set_error_handler_off();
  static const struct CMUnitTest tests[] = {cmocka_unit_test(a_file_is_read_whole_or_not_at_all)};
  return FG_RUN_GROUP(tests);
}
