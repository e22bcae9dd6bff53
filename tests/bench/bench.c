/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long one march and one whole scenario take on one thread, and how that grows with the
 * number of gold classes.  Prints; judges nothing. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include <gsl/gsl_errno.h>

#include "flourgold/config.h"
#include "flourgold/loss.h"
#include "flourgold/march.h"

static double seconds(void) {
  struct timespec t;
  (void)clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Least time of several rounds: the others were disturbed. */
static double least_time(void (*work)(void *), void *context, int rounds, int calls) {
  double least = INFINITY;
  for (int r = 0; r < rounds; ++r) {
    const double start = seconds();
    for (int i = 0; i < calls; ++i) work(context);
    least = fmin(least, (seconds() - start) / calls);
  }
  return least;
}

enum { CLASSES_MAX = 200, CELLS = 12, PITCHES = 7 };

typedef struct march_case {
  fg_march *march;
  double trap[CLASSES_MAX], trapped[CLASSES_MAX];
} march_case;

static void one_march(void *context) {
  march_case *c = context;
  fg_march_begin(c->march, NULL);
  for (int i = 0; i < PITCHES; ++i) fg_march_pitch(c->march, c->trap, c->trapped, NULL);
}

static void time_march(size_t classes) {
  static double speed[CELLS], sinking[CLASSES_MAX];
  static const double mixing[2] = {5e-6, 4e-6};
  static march_case c;
  for (size_t j = 0; j < CELLS; ++j) speed[j] = 0.01 * (1.0 + (double)j);
  for (size_t k = 0; k < classes; ++k) {
    sinking[k] = 2e-5 * (double)k;
    c.trap[k] = 0.9;
  }
  const fg_march_setup setup = {.classes = classes,
                                .cells = CELLS,
                                .steps = {6, 2},
                                .length_m = {0.085, 0.03},
                                .depth_m = 0.006,
                                .speed_m_s = speed,
                                .sinking_m_s = {sinking, sinking},
                                .mixing_m2_s = mixing};
  if (fg_march_new(&setup, &c.march) != FG_OK) return;
  const double time = least_time(one_march, &c, 40, 10);
  printf("one march, %3zu classes, %d riffles: %8.1f us  (%.2f us a class)\n", classes, PITCHES,
         1e6 * time, 1e6 * time / (double)classes);
  fg_march_free(c.march);
}

typedef struct loss_case {
  fg_scenario scenario;
  fg_loss_options options;
} loss_case;

static void one_loss(void *context) {
  const loss_case *c = context;
  fg_loss loss;
  const fg_status status = fg_loss_run(&c->scenario, &c->options, &loss);
  if (status == FG_OK || status == FG_ESTALL) fg_loss_free(&loss);
}

static void use_classes(fg_scenario *s, size_t count) {
  s->gold.class_count = count;
  for (size_t k = 0; k < count; ++k) {
    const double upper = 4e-3 * pow(0.005, (double)k / (double)count);
    s->gold.classes[k] =
        (fg_size_class){upper * pow(0.005, 1.0 / (double)count), upper, 1.0 / (double)count};
  }
}

int main(void) {
  gsl_set_error_handler_off();
  for (size_t classes = 1; classes <= CLASSES_MAX; classes = classes < 13 ? 13 : 2 * classes)
    time_march(classes);
  static loss_case c;
  fg_complaints complaints = {0};
  if (fg_scenario_read("configs/demo.cfg", NULL, 0, &c.scenario, &complaints) != FG_OK) {
    fprintf(stderr, "bench: configs/demo.cfg cannot be read\n");
    fg_complaints_free(&complaints);
    return 1;
  }
  fg_complaints_free(&complaints);
  fg_units_free();
  fg_machine machine;
  const double start = seconds();
  for (int i = 0; i < 100; ++i)
    if (fg_machine_solve(&c.scenario, &machine) != FG_OK) return 1;
  printf("machine state alone:                 %8.1f us\n", 1e4 * (seconds() - start));
  c.options.fresh = true;
  printf("whole scenario, just cleaned:        %8.1f us\n", 1e6 * least_time(one_loss, &c, 20, 5));
  c.options.fresh = false;
  printf("whole scenario, riffles filling:     %8.1f us\n", 1e6 * least_time(one_loss, &c, 20, 5));
  for (size_t classes = 25; classes <= CLASSES_MAX; classes *= 2) {
    use_classes(&c.scenario, classes);
    printf("the same with %3zu gold classes:      %8.1f us\n", classes,
           1e6 * least_time(one_loss, &c, 10, 3));
  }
  return 0;
}
