/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_DEMO_H
#define FG_DEMO_H

/* The demo scenario for tests, with settings changed as by --set. */

#include "fg_test.h"
#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

static inline void read_demo(fg_scenario *s, const char *const *sets, size_t count) {
  fg_complaints complaints = {0};
  const fg_status status = fg_scenario_read("configs/demo.cfg", sets, count, s, &complaints);
  for (size_t i = 0; i < complaints.count; ++i)
    print_error("%s\n", complaints.lines[i]);
  fg_complaints_free(&complaints);
  assert_int_equal(status, FG_OK);
}

#define DEMO(scenario, ...)                                                                        \
  do {                                                                                             \
    const char *const sets_[] = {__VA_ARGS__};                                                     \
    read_demo((scenario), sets_, sizeof sets_ / sizeof sets_[0]);                                  \
  } while (0)

#endif
