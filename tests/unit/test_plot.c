/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures: their data, the scripts run by hand, and running a program without a shell. */
#include "core/slurp.h"
#include "core/write.h"
#include "fg_test.h"
#include "report/run_program.h"

#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "flourgold/complaints.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "model/deck.h"
#include "pages/plot.h"
#include "pages/plot_internal.h"

enum { PATH = 512, COLUMNS = 10 };
static char folder[PATH];
static char root[PATH];

static const char *in_folder(const char *name) {
  static char paths[4][2 * PATH];
  static int next;
  char *path = paths[next++ % 4];
  snprintf(path, sizeof paths[0], "%s/%s", folder, name);
  return path;
}

static int make_folder(void **state) {
  (void)state;
  snprintf(folder, sizeof folder, "/tmp/fg-plot-XXXXXX");
  return !getcwd(root, sizeof root) || !mkdtemp(folder);
}

static int remove_entry(const char *path, const struct stat *status, int kind, struct FTW *place) {
  (void)status;
  (void)kind;
  (void)place;
  return remove(path);
}

static int remove_folder(void **state) {
  (void)state;
  return chdir(root) != 0 || nftw(folder, remove_entry, 16, FTW_DEPTH | FTW_PHYS) != 0;
}

static fg_scenario read_scenario(void) {
  static const char text[] =
      "deck = { length = \"32 in\"; width = \"12 in\"; riffles = 7; };\n"
      "blower = { free_volume = \"445 cfm\"; nozzle_speed = \"190 mph\"; };\n"
      "run = { feed = \"33 lb/min\"; throttle = 0.65; gate_opening = 0.8; };\n";
  char message[256];
  fg_scenario scenario;
  fg_complaints complaints = {0};
  fg_write_forget(); /* an earlier test has read it */
  assert_int_equal(
      fg_write_file(in_folder("s.cfg"), text, sizeof text - 1, message, sizeof message), FG_OK);
  assert_int_equal(fg_scenario_read(in_folder("s.cfg"), NULL, 0, &scenario, &complaints), FG_OK);
  fg_complaints_free(&complaints);
  return scenario;
}

static fg_plot make_plot(const char *name) {
  fg_scenario scenario = read_scenario();
  fg_plot plot = {0};
  assert_int_equal(fg_plot_make(fg_picture_find(name), &scenario, FG_UNITS_US, (double)NAN, &plot),
                   FG_OK);
  return plot;
}

/* ---- data ---- */

/* Reads the numbers of a line; returns the start of the next, NULL at the end. */
static const char *read_line(const char *line, double *values, size_t count) {
  for (size_t i = 0; i < count; ++i) {
    char *end = NULL;
    values[i] = strtod(line, &end);
    assert_ptr_not_equal(end, line);
    assert_true(*end == (i + 1 < count ? ',' : '\n'));
    line = end + 1;
  }
  return *line != '\0' ? line : NULL;
}

static const char *below_header(const fg_plot *plot) { return strchr(plot->csv, '\n') + 1; }

static void test_fates_add_to_hundred_percent(void **state) {
  (void)state;
  fg_plot plot = make_plot("loss");
  size_t lines = 0;
  for (const char *line = below_header(&plot); line; ++lines) {
    double v[COLUMNS];
    line = read_line(line, v, COLUMNS);
    assert_within(v[3] + v[4] + v[5] + v[6] + v[7] + v[8] + v[9], 100.0, 1e-7);
    assert_true(v[0] < v[2] && v[2] < v[1]);
  }
  assert_true(lines > 5);
  fg_plot_free(&plot);
}

static void test_riffles_hold_what_is_kept(void **state) {
  (void)state;
  fg_plot loss = make_plot("loss");
  fg_plot riffles = make_plot("riffles");
  const char *row = below_header(&riffles);
  for (const char *line = below_header(&loss); line;) {
    double v[COLUMNS];
    double held = 0.0;
    line = read_line(line, v, COLUMNS);
    for (int riffle = 1; riffle <= 7; ++riffle) {
      double w[5];
      assert_non_null(row);
      row = read_line(row, w, 5);
      assert_close(w[2], v[2], 1e-12);
      assert_close(w[3], riffle, 1e-12);
      held += w[4];
    }
    assert_within(held, v[3], 1e-7);
  }
  assert_null(row);
  fg_plot_free(&loss);
  fg_plot_free(&riffles);
}

typedef struct deck_seen {
  double last_x, last_z, highest_z;
  size_t points;
  bool ordered, sound;
} deck_seen;

static void see_point(double x, double z, double concentration, void *context) {
  deck_seen *seen = context;
  seen->ordered = seen->ordered && x >= seen->last_x && (x > seen->last_x || z > seen->last_z);
  seen->sound = seen->sound && isfinite(concentration) && concentration >= 0.0 &&
                (x > 0.0 || fgt_is_close(concentration, 1.0, 1e-12));
  seen->last_x = x;
  seen->last_z = z;
  seen->highest_z = fmax(seen->highest_z, z);
  ++seen->points;
}

static void test_deck_is_told_from_head_to_tail(void **state) {
  (void)state;
  fg_scenario scenario = read_scenario();
  fg_machine machine;
  deck_seen seen = {.last_x = -1.0, .ordered = true, .sound = true};
  assert_int_equal(fg_machine_solve(&scenario, &machine), FG_OK);
  assert_int_equal(fg_loss_deck(&scenario, 2e-4, see_point, &seen), FG_OK);
  assert_true(seen.ordered);
  assert_true(seen.sound);
  assert_true(seen.points > 1000);
  assert_close(seen.last_x, 32.0 * 0.0254, 1e-9);
  assert_between(seen.highest_z, 0.9 * machine.at.depth_m, machine.at.depth_m);
  assert_int_equal(fg_loss_deck(&scenario, 0.0, see_point, &seen), FG_EDOMAIN);
  assert_int_equal(fg_loss_deck(&scenario, 1.0, see_point, &seen), FG_EDOMAIN);
}

/* ---- drawing ---- */

static char *read_file(const char *path) {
  fg_file_identity identity;
  char *bytes = NULL, message[256];
  size_t length = 0;
  if (fg_slurp(path, 1 << 20, &bytes, &length, &identity, message, sizeof message) != FG_OK)
    return strdup("");
  fg_write_forget(); /* it may be drawn anew */
  return bytes;
}

static void test_scripts_run_by_hand(void **state) {
  (void)state;
  for (size_t i = 0; i < fg_pictures_count; ++i) {
    if (!fg_pictures[i].fill)
      continue; /* needs more than a scenario: tests/commands draws it */
    fg_plot plot = make_plot(fg_pictures[i].name);
    char script[64];
    char message[256];
    fg_run run;
    snprintf(script, sizeof script, "plots/%s.gp", fg_pictures[i].name);
    assert_int_equal(
        fg_write_file(in_folder("data.csv"), plot.csv, plot.length, message, sizeof message),
        FG_OK);
    fg_plot_free(&plot);
    const char *const arguments[] = {
        "gnuplot",       "-c", script, in_folder("data.csv"), in_folder("out.svg"),
        "Drawn by hand", NULL};
    assert_int_equal(fg_run_program(arguments, 30.0, &run), FG_OK);
    assert_string_equal(run.err, "");
    assert_true(WIFEXITED(run.status) && WEXITSTATUS(run.status) == 0);
    fg_run_free(&run);
    char *drawn = read_file(in_folder("out.svg"));
    assert_non_null(strstr(drawn, "Drawn by hand"));
    assert_non_null(strstr(drawn, "</svg>"));
    free(drawn);
    assert_int_equal(remove(in_folder("out.svg")), 0);
    const char *const too_few[] = {"gnuplot", "-c", script, NULL};
    assert_int_equal(fg_run_program(too_few, 30.0, &run), FG_OK);
    assert_non_null(strstr(run.err, "usage: gnuplot -c"));
    assert_true(WIFEXITED(run.status) && WEXITSTATUS(run.status) != 0);
    fg_run_free(&run);
  }
}

/* Names that gnuplot would run, read from the terminal, or expand. */
static void test_file_names_are_only_names(void **state) {
  (void)state;
  static const char *const names[] = {"|touch ran.svg",  "<touch ran;.svg", "-.svg",
                                      "`touch ran`.svg", "'$x\".svg",       "~.svg",
                                      "+.svg",           "@ARG1.svg"};
  fg_plot plot = make_plot("settling");
  assert_int_equal(setenv("FLOURGOLD_DATA", root, 1), 0);
  assert_int_equal(chdir(folder), 0);
  for (size_t i = 0; i < sizeof names / sizeof names[0]; ++i) {
    char message[2048] = "";
    char data[64];
    snprintf(data, sizeof data, "%s.csv", names[i]);
    fg_status status = fg_plot_draw("settling", &plot, names[i], message, sizeof message);
    assert_string_equal(message, "");
    assert_int_equal(status, FG_OK);
    assert_int_equal(access(names[i], R_OK), 0);
    assert_int_equal(access(data, R_OK), 0);
  }
  assert_int_not_equal(access("ran", F_OK), 0);
  assert_int_not_equal(access("ran.svg", F_OK), 0);
  assert_int_not_equal(access("ran.svg.csv", F_OK), 0);
  assert_int_equal(unsetenv("FLOURGOLD_DATA"), 0);
  fg_plot_free(&plot);
}

/* ---- running a program ---- */

static void test_program_is_run(void **state) {
  (void)state;
  fg_run run;
  const char *const talk[] = {"sh", "-c", "cat; echo out; echo err >&2; echo \"$LC_ALL\"; exit 3",
                              NULL};
  assert_int_equal(fg_run_program(talk, 10.0, &run), FG_OK);
  assert_int_equal(run.out_length, strlen("out\nC.UTF-8\n"));
  assert_memory_equal(run.out, "out\nC.UTF-8\n", run.out_length);
  assert_string_equal(run.err, "err\n");
  assert_true(WIFEXITED(run.status) && WEXITSTATUS(run.status) == 3);
  assert_false(run.timed_out);
  fg_run_free(&run);
  const char *const missing[] = {"no-such-program-here", NULL};
  assert_int_equal(fg_run_program(missing, 10.0, &run), FG_EIO);
  assert_int_equal(run.error, ENOENT);
  fg_run_free(&run);
}

static void test_program_is_stopped(void **state) {
  (void)state;
  fg_run run;
  const char *const sleeper[] = {"sleep", "60", NULL};
  assert_int_equal(fg_run_program(sleeper, 0.1, &run), FG_OK);
  assert_true(run.timed_out);
  fg_run_free(&run);
}

/* A program that prints without end is ended by the limit, and what it started with it. */
static void test_program_is_limited(void **state) {
  (void)state;
  fg_run run;
  const char *const endless[] = {"sh", "-c", "exec yes", NULL};
  assert_int_equal(fg_run_program(endless, 60.0, &run), FG_OK);
  assert_false(run.timed_out);
  assert_true(WIFSIGNALED(run.status) && WTERMSIG(run.status) == SIGXFSZ);
  assert_true(run.out_length <= (size_t)64 << 20);
  fg_run_free(&run);
  struct rlimit limit;
  assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
  assert_true(limit.rlim_cur > (rlim_t)64 << 20); /* ours is as it was */
}

/* Whether a process is there and no zombie. */
static bool is_alive(const char *pid_text) {
  char path[64], line[256] = "";
  (void)snprintf(path, sizeof path, "/proc/%ld/stat", strtol(pid_text, NULL, 10));
  FILE *file = fopen(path, "r");
  if (!file)
    return false;
  const bool told = fgets(line, sizeof line, file);
  (void)fclose(file);
  const char *end = told ? strrchr(line, ')') : NULL;
  return end && end[1] == ' ' && end[2] != 'Z' && end[2] != 'X';
}

static void test_program_leaves_nothing_running(void **state) {
  (void)state;
  fg_run run;
  const char *const ends[] = {"sh", "-c", "sleep 60 & echo $!", NULL};
  const char *const hangs[] = {"sh", "-c", "sleep 60 & echo $!; wait", NULL};
  const char *const *const both[] = {ends, hangs};
  for (size_t i = 0; i < 2; ++i) {
    assert_int_equal(fg_run_program(both[i], 0.5, &run), FG_OK);
    assert_true(run.timed_out == (i == 1));
    assert_true(run.out_length > 1);
    bool alive = true;
    for (int wait = 0; wait < 200 && alive; ++wait) {
      alive = is_alive(run.out);
      if (alive)
        (void)usleep(10000);
    }
    assert_false(alive);
    fg_run_free(&run);
  }
}

/* What is ignored or blocked here is not there, and no descriptor of ours is open there. */
static void test_program_inherits_nothing(void **state) {
  (void)state;
  fg_run run;
  sigset_t pipe_only;
  sigset_t before;
  sigemptyset(&pipe_only);
  sigaddset(&pipe_only, SIGPIPE);
  sigprocmask(SIG_BLOCK, &pipe_only, &before);
  void (*old)(int) = signal(SIGPIPE, SIG_IGN);
  const char *const dies[] = {"sh", "-c", "kill -PIPE $$; echo alive", NULL};
  assert_int_equal(fg_run_program(dies, 10.0, &run), FG_OK);
  assert_true(WIFSIGNALED(run.status) && WTERMSIG(run.status) == SIGPIPE);
  fg_run_free(&run);
  signal(SIGPIPE, old);
  sigprocmask(SIG_SETMASK, &before, NULL);
  int stray = fcntl(open("/dev/null", O_RDONLY), F_DUPFD, 17);
  assert_true(stray >= 17);
  const char *const list[] = {"sh", "-c",
                              "for f in 3 4 5 6 7 8 9 17; do [ -e /proc/$$/fd/$f ] && "
                              "echo $f; done; true",
                              NULL};
  assert_int_equal(fg_run_program(list, 10.0, &run), FG_OK);
  assert_int_equal(run.out_length, 0);
  fg_run_free(&run);
  (void)close(stray);
}

int main(void) {
  gsl_set_error_handler_off();
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_fates_add_to_hundred_percent, make_folder,
                                      remove_folder),
      cmocka_unit_test_setup_teardown(test_riffles_hold_what_is_kept, make_folder, remove_folder),
      cmocka_unit_test_setup_teardown(test_deck_is_told_from_head_to_tail, make_folder,
                                      remove_folder),
      cmocka_unit_test_setup_teardown(test_scripts_run_by_hand, make_folder, remove_folder),
      cmocka_unit_test_setup_teardown(test_file_names_are_only_names, make_folder, remove_folder),
      cmocka_unit_test(test_program_is_run),
      cmocka_unit_test(test_program_is_stopped),
      cmocka_unit_test(test_program_is_limited),
      cmocka_unit_test(test_program_leaves_nothing_running),
      cmocka_unit_test(test_program_inherits_nothing),
  };
  return FG_RUN_GROUP(tests);
}
