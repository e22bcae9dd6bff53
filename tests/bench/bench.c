/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long the parts take, on one thread and on all, beside two yardsticks: the same march in
 * Python with scipy's banded solver, and a bare loop of its arithmetic.  Prints; judges nothing.
 * `bench march` runs a few marches alone (see guard). */
#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <gsl/gsl_errno.h>

#include "flourgold/complaints.h"
#include "flourgold/ensemble.h"
#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"
#include "input/unit_names.h"
#include "physics/march.h"

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
    for (int i = 0; i < calls; ++i)
      work(context);
    least = fmin(least, (seconds() - start) / calls);
  }
  return least;
}

enum { CLASSES_MAX = 200, BARE_CLASSES = 13, CELLS = 12, PITCHES = 7 };

typedef struct march_case {
  fg_march *march;
  double trap[CLASSES_MAX], trapped[CLASSES_MAX];
} march_case;

static void one_march(void *context) {
  march_case *c = context;
  fg_march_begin(c->march, NULL);
  for (int i = 0; i < PITCHES; ++i)
    fg_march_pitch(c->march, &(fg_march_pocket){.trap = c->trap}, c->trapped, NULL);
}

/* Seconds of one march; 0 when it cannot be set up.  *caught: what it traps, all classes. */
static double time_march(size_t classes, int rounds, double *caught) {
  static double speed[CELLS], sinking[CLASSES_MAX];
  static const double mixing[2] = {5e-6, 4e-6};
  static march_case c;
  for (size_t j = 0; j < CELLS; ++j)
    speed[j] = 0.01 * (1.0 + (double)j);
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
  if (fg_march_new(&setup, &c.march) != FG_OK)
    return 0.0;
  const double time = least_time(one_march, &c, rounds, 20);
  printf("one march, %3zu classes, %d riffles: %8.2f us  (%.2f us a class)\n", classes, PITCHES,
         1e6 * time, 1e6 * time / (double)classes);
  memset(c.trapped, 0, sizeof c.trapped);
  one_march(&c);
  *caught = 0.0;
  for (size_t k = 0; k < classes; ++k)
    *caught += c.trapped[k];
  fg_march_free(c.march);
  return time;
}

/* A few marches and nothing else, for counting instructions. */
static int few_marches(void) {
  double caught = 0.0;
  return time_march(BARE_CLASSES, 1, &caught) > 0.0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

/* The arithmetic of a march of the default classes and nothing else: both sweeps of every step,
 * with coefficients at hand and no trap to set. */
enum { BARE_STEPS = 8 * PITCHES };
typedef struct bare_case {
  double mass[CELLS];
  double up[CELLS][BARE_CLASSES], down[CELLS][BARE_CLASSES], pivot[CELLS][BARE_CLASSES];
  double c[CELLS][BARE_CLASSES], y[CELLS][BARE_CLASSES], caught[BARE_CLASSES];
} bare_case;

static void bare_march(void *context) {
  bare_case *b = context;
  for (size_t j = 0; j < CELLS; ++j)
    for (size_t k = 0; k < BARE_CLASSES; ++k)
      b->c[j][k] = 1.0;
  for (int step = 0; step < BARE_STEPS; ++step) {
    for (size_t k = 0; k < BARE_CLASSES; ++k)
      b->y[CELLS - 1][k] = b->mass[CELLS - 1] * b->c[CELLS - 1][k];
    for (size_t j = CELLS - 1; j-- > 0;)
      for (size_t k = 0; k < BARE_CLASSES; ++k)
        b->y[j][k] = b->mass[j] * b->c[j][k] + b->up[j][k] * b->y[j + 1][k];
    for (size_t k = 0; k < BARE_CLASSES; ++k)
      b->c[0][k] = b->y[0][k] * b->pivot[0][k];
    for (size_t j = 1; j < CELLS; ++j)
      for (size_t k = 0; k < BARE_CLASSES; ++k)
        b->c[j][k] = (b->y[j][k] + b->down[j][k] * b->c[j - 1][k]) * b->pivot[j][k];
    for (size_t k = 0; k < BARE_CLASSES; ++k)
      b->caught[k] += 0.1 * b->c[0][k];
  }
}

static double time_bare(void) {
  static bare_case b;
  for (size_t j = 0; j < CELLS; ++j) {
    b.mass[j] = (double)(j + 1) / 78.0;
    for (size_t k = 0; k < BARE_CLASSES; ++k) {
      b.up[j][k] = b.down[j][k] = 0.3;
      b.pivot[j][k] = 1.0 / (b.mass[j] + 0.5);
    }
  }
  return least_time(bare_march, &b, 40, 20);
}

/* Seconds of the same march in Python; NaN when it cannot be run. */
static double time_yardstick(double *caught) {
  const char *python = getenv("PYTHON");
  char command[512], line[128] = "";
  (void)snprintf(command, sizeof command, "%s tests/bench/yardstick.py %d",
                 python ? python : "/usr/bin/python3", BARE_CLASSES);
  FILE *pipe = popen(command, "r"); /* NOLINT(cert-env33-c): words of our own */
  double time = NAN;
  if (!pipe)
    return NAN;
  if (!fgets(line, sizeof line, pipe) || sscanf(line, "%lf %lf", &time, caught) != 2)
    time = NAN;
  (void)pclose(pipe);
  return time;
}

static void compare_march(double time, double caught) {
  const double bare = time_bare();
  double theirs = 0.0;
  const double yardstick = time_yardstick(&theirs);
  printf("a bare loop of its arithmetic:       %8.2f us; the march takes %.2f times that\n",
         1e6 * bare, time / bare);
  if (isnan(yardstick)) {
    printf("the scipy yardstick cannot be run (python3-scipy is missing)\n");
    return;
  }
  printf("the same march with scipy:           %8.0f us; what both trap agrees to %.1e\n",
         1e6 * yardstick, fabs(theirs / caught - 1.0));
  printf("the march is %.0f times the scipy yardstick\n", yardstick / time);
}

typedef struct loss_case {
  fg_scenario scenario;
  fg_loss_options options;
} loss_case;

static void one_loss(void *context) {
  const loss_case *c = context;
  fg_loss loss;
  const fg_status status = fg_loss_run(&c->scenario, &c->options, &loss);
  if (status == FG_OK || status == FG_ESTALL)
    fg_loss_free(&loss);
}

static void use_classes(fg_scenario *s, size_t count) {
  s->gold.class_count = count;
  for (size_t k = 0; k < count; ++k) {
    const double upper = 4e-3 * pow(0.005, (double)k / (double)count);
    s->gold.classes[k] =
        (fg_size_class){upper * pow(0.005, 1.0 / (double)count), upper, 1.0 / (double)count};
  }
}

/* ---- many runs ---- */

static void one_ensemble(void *context) {
  const loss_case *c = context;
  fg_loss nominal;
  fg_bands bands;
  if (fg_loss_run(&c->scenario, NULL, &nominal) != FG_OK)
    return;
  if (fg_ensemble_run(&c->scenario, &nominal, NULL, FG_SAMPLES_DEFAULT, 1, &bands) == FG_OK)
    fg_ensemble_free(&bands);
  fg_loss_free(&nominal);
}

static void one_tune(void *context) {
  const loss_case *c = context;
  fg_tune_options options;
  fg_tuned tuned;
  fg_tune_defaults(&c->scenario, FG_AIM_GOLD_PER_HOUR, &options);
  options.screens = 2;
  options.screen_m[0] = 0.00635;
  options.screen_m[1] = 0.003175;
  options.knob[FG_KNOB_SCREEN].free = true;
  (void)fg_tune_run(&c->scenario, &options, &tuned);
}

/* On one thread and on two: how much the second brings. */
static void time_threads(const char *what, void (*work)(void *), void *context, int rounds) {
  omp_set_num_threads(1);
  const double one = least_time(work, context, rounds, 1);
  omp_set_num_threads(2);
  const double two = least_time(work, context, rounds, 1);
  printf("%s %6.3f s on one thread, %6.3f s on two: %.2f times\n", what, one, two, one / two);
}

/* Another command of the program, where it was built: BENCH_PROGRAM says where. */
static void run_blowers(void *context) {
  const char *command = context;
  if (system(command) != 0) /* NOLINT(cert-env33-c): words of our own */
    printf("(it failed)\n");
}

static void time_blowers(void) {
  const char *program = getenv("BENCH_PROGRAM");
  char command[1024];
  if (!program)
    return;
  (void)snprintf(command, sizeof command, "%s blowers configs/demo.cfg >/dev/null", program);
  printf("`blowers`, the whole command:        %6.3f s on all threads\n",
         least_time(run_blowers, command, 1, 1));
}

static int time_scenario(void) {
  static loss_case c;
  fg_complaints complaints = {0};
  if (fg_scenario_read("configs/demo.cfg", NULL, 0, &c.scenario, &complaints) != FG_OK) {
    fprintf(stderr, "bench: configs/demo.cfg cannot be read\n");
    fg_complaints_free(&complaints);
    return 1;
  }
  fg_complaints_free(&complaints);
  fg_units_free();
  c.options.fresh = true;
  printf("`loss --exact`, just cleaned:        %8.1f us\n", 1e6 * least_time(one_loss, &c, 20, 5));
  c.options.fresh = false;
  printf("`loss --exact`, riffles filling:     %8.1f us\n", 1e6 * least_time(one_loss, &c, 20, 5));
  c.options.kept_only = true;
  printf("the same for what is kept alone:     %8.1f us\n", 1e6 * least_time(one_loss, &c, 20, 5));
  c.options.kept_only = false;
  time_threads("`loss` with 256 members:            ", one_ensemble, &c, 5);
  time_threads("`tune` of five knobs:               ", one_tune, &c, 1);
  time_blowers();
  use_classes(&c.scenario, CLASSES_MAX);
  printf("`loss --exact` with %3d gold classes:%8.1f us\n", CLASSES_MAX,
         1e6 * least_time(one_loss, &c, 10, 3));
  return 0;
}

int main(int argc, char *argv[]) {
  gsl_set_error_handler_off();
  if (argc > 1 && strcmp(argv[1], "march") == 0)
    return few_marches();
  double caught = 0.0;
  for (size_t classes = CLASSES_MAX; classes >= BARE_CLASSES;
       classes = classes == BARE_CLASSES ? 0 : BARE_CLASSES) {
    const double time = time_march(classes, 40, &caught);
    if (classes == BARE_CLASSES)
      compare_march(time, caught);
  }
  return time_scenario();
}
