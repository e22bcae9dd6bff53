/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Household readings: worked forwards by the model and back again they give the same
 * machine; errors on inputs; what was observed beside what is expected. */
#include "fg_test.h"
#include "physics/weighed.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/start.h"
#include "flourgold/complaints.h"
#include "flourgold/loss.h"
#include "flourgold/machine.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/unit_names.h"
#include "model/household.h"
#include "physics/grains.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"
#include "study/observe.h"
#include "study/worth.h"

static const char site_part[] =
    "site = { elevation = \"2000 ft\"; };\n"
    "blower = { free_volume = \"445 cfm\"; nozzle_speed = \"190 mph\"; };\n"
    "run = { throttle = 0.65; gate_opening = 0.8; feed = \"0.25 kg/s\"; };\n";
static const char deck_part[] = "length = \"0.8 m\"; width = \"0.3 m\"; riffles = 7; ";

static fg_complaints complaints;

static fg_status read_text(const char *text, fg_scenario *s) {
  fg_complaints_free(&complaints);
  return fg_scenario_read_text("test.cfg", text, s, &complaints);
}

static void expect_read(const char *text, fg_scenario *s) {
  if (read_text(text, s) != FG_OK)
    fail_msg("refused: %s", complaints.count > 0 ? complaints.lines[0] : "?");
}

/* The scenario of `site_part` with members of deck, shaker, ground, hose and observed. */
static const char *scenario_text(const char *deck, const char *shaker, const char *rest) {
  static char text[4096];
  snprintf(text, sizeof text, "%sdeck = { %s%s };\nshaker = { %s };\n%s\n", site_part, deck_part,
           deck, shaker, rest);
  return text;
}

static void expect_refused(const char *text, const char *part) {
  fg_scenario s;
  if (read_text(text, &s) == FG_OK)
    fail_msg("taken, though \"%s\" was due:\n%s", part, text);
  for (size_t i = 0; i < complaints.count; ++i)
    if (strstr(complaints.lines[i], part))
      return;
  fail_msg("nothing said \"%s\"; said \"%s\"", part, complaints.lines[0]);
}

static double error_of(const fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  assert_true(row >= 0);
  return s->error_of[row];
}

static double kept_of(const fg_scenario *s) {
  fg_loss loss;
  assert_int_equal(fg_loss_run(s, NULL, &loss), FG_OK);
  const double kept = loss.kept;
  fg_loss_free(&loss);
  return kept;
}

/* What a machine invented in full would show its owner. */
typedef struct shown {
  fg_scenario full;
  double tube_pa, stroke_m, speed_hz;
} shown;

static void invent(double cloth, double unbalance, double rated_hz, shown *out) {
  char deck[80], shaker[120];
  snprintf(deck, sizeof deck, "cloth_permeability = \"%.17g m/s\";", cloth);
  snprintf(shaker, sizeof shaker, "unbalance = \"%.17g kg m\"; rated_speed = \"%.17g Hz\";",
           unbalance, rated_hz);
  expect_read(scenario_text(deck, shaker, ""), &out->full);
  fg_machine m;
  assert_int_equal(fg_machine_solve(&out->full, &m), FG_OK);
  assert_false(m.stalled);
  assert_int_equal(fg_empty_box_pressure(&out->full, &out->tube_pa), FG_OK);
  out->stroke_m = 2.0 * m.at.shake.amplitude_m;
  out->speed_hz = m.at.shake.speed_hz;
}

static void read_back(double tube_pa, double stroke_m, double speed_hz, fg_scenario *s) {
  char deck[80], shaker[120];
  snprintf(deck, sizeof deck, "empty_box_pressure = \"%.17g Pa\";", tube_pa);
  snprintf(shaker, sizeof shaker, "stroke = \"%.17g m\"; speed = \"%.17g Hz\";", stroke_m,
           speed_hz);
  expect_read(scenario_text(deck, shaker, ""), s);
}

static const struct {
  double cloth, unbalance, rated_hz;
} machines[] = {{1.1, 0.0048, 26.0}, {0.4, 0.010, 20.0}, {2.5, 0.007, 32.0}, {0.15, 0.02, 15.0}};
enum { MACHINES = sizeof machines / sizeof machines[0] };

/* Exact readings give the same machine back, to rounding. */
static void test_round_trip_exact(void **state) {
  (void)state;
  for (size_t i = 0; i < MACHINES; ++i) {
    shown seen;
    fg_scenario back;
    invent(machines[i].cloth, machines[i].unbalance, machines[i].rated_hz, &seen);
    read_back(seen.tube_pa, seen.stroke_m, seen.speed_hz, &back);
    assert_close(back.deck.cloth_permeability, machines[i].cloth, 1e-7);
    assert_close(back.shaker.unbalance, machines[i].unbalance, 1e-6);
    assert_close(back.shaker.rated_speed, machines[i].rated_hz, 1e-6);
    assert_within(kept_of(&back), kept_of(&seen.full), 1e-6);
  }
}

/* Readings rounded as an owner rounds them stay within three of the errors they are given,
 * and so does the state of the machine. */
static void test_round_trip_rounded(void **state) {
  (void)state;
  const double eighth = 31.13611, tenth_mm = 1e-4, ten_rpm = 10.0 / 60.0;
  for (size_t i = 0; i < MACHINES; ++i) {
    shown seen;
    fg_scenario back;
    fg_machine full, again;
    invent(machines[i].cloth, machines[i].unbalance, machines[i].rated_hz, &seen);
    read_back(eighth * round(seen.tube_pa / eighth), tenth_mm * round(seen.stroke_m / tenth_mm),
              ten_rpm * round(seen.speed_hz / ten_rpm), &back);
    assert_true(error_of(&back, "deck.cloth_permeability") > 0.0);
    assert_within(back.deck.cloth_permeability, machines[i].cloth,
                  3.0 * error_of(&back, "deck.cloth_permeability"));
    assert_within(back.shaker.unbalance, machines[i].unbalance,
                  3.0 * error_of(&back, "shaker.unbalance"));
    assert_within(back.shaker.rated_speed, machines[i].rated_hz,
                  3.0 * error_of(&back, "shaker.rated_speed"));
    assert_int_equal(fg_machine_solve(&seen.full, &full), FG_OK);
    assert_int_equal(fg_machine_solve(&back, &again), FG_OK);
    assert_within(again.at.box_pressure_pa, full.at.box_pressure_pa, eighth);
    assert_within(again.at.shake.amplitude_m, full.at.shake.amplitude_m, tenth_mm);
    assert_close(again.at.shake.speed_hz, full.at.shake.speed_hz, 0.03);
  }
}

/* The reading belongs to the file's throttle: at another the shake follows the air. */
static void test_shake_follows_air(void **state) {
  (void)state;
  char path[] = "/tmp/flourgold-household-XXXXXX";
  const int fd = mkstemp(path);
  assert_true(fd >= 0);
  FILE *file = fdopen(fd, "w");
  assert_non_null(file);
  assert_true(fputs(scenario_text("", "speed = \"1500 rpm\"; stroke = \"0.6 mm\";", ""), file) >=
              0);
  assert_int_equal(fclose(file), 0);
  fg_scenario at_file, at_full;
  const char *full[] = {"run.throttle=1"};
  fg_complaints_free(&complaints);
  assert_int_equal(fg_scenario_read(path, NULL, 0, &at_file, &complaints), FG_OK);
  assert_int_equal(fg_scenario_read(path, full, 1, &at_full, &complaints), FG_OK);
  assert_int_equal(remove(path), 0);
  assert_close(at_full.shaker.rated_speed, at_file.shaker.rated_speed, 1e-12);
  assert_close(at_full.shaker.unbalance, at_file.shaker.unbalance, 1e-12);
  fg_machine low, high;
  assert_int_equal(fg_machine_solve(&at_file, &low), FG_OK);
  assert_int_equal(fg_machine_solve(&at_full, &high), FG_OK);
  assert_close(low.at.shake.speed_hz, 25.0, 1e-9);
  assert_close(2.0 * low.at.shake.amplitude_m, 0.6e-3, 1e-8);
  assert_true(high.at.shake.speed_hz > 1.2 * low.at.shake.speed_hz);
  assert_close(high.at.shake.speed_hz / low.at.shake.speed_hz,
               high.at.blower_flow_m3_s / low.at.blower_flow_m3_s, 1e-9);
}

/* A study may move what a reading gave, and may doubt the reading itself. */
static void test_correcting(void **state) {
  (void)state;
  fg_scenario s;
  read_back(700.0, 0.6e-3, 25.0, &s);
  fg_scenario moved = s;
  assert_int_equal(fg_scenario_correct(&moved, fg_setting_find("shaker.unbalance"), 0.02), FG_OK);
  assert_close(moved.shaker.unbalance, 0.02, 0.0);
  moved = s;
  const int tube = fg_setting_find("deck.empty_box_pressure");
  assert_int_equal(fg_scenario_correct(&moved, tube, 900.0), FG_OK);
  assert_true(moved.deck.cloth_permeability < s.deck.cloth_permeability);
  assert_int_equal(fg_setting_from(&s, FG_SET_DECK_CLOTH_PERMEABILITY),
                   FG_SET_DECK_EMPTY_BOX_PRESSURE);
}

static void test_ground_readings(void **state) {
  (void)state;
  fg_scenario s;
  expect_read(scenario_text("", "",
                            "ground = { bucket_weight = \"30 kg +- 0.5 kg\"; "
                            "jar_sand = \"8 cm\"; jar_silt = \"1.5 cm\"; "
                            "jar_clay = \"5 mm +- 1 mm\"; };\n"
                            "hose = { kind = \"smooth\"; };"),
              &s);
  assert_close(s.ground.bulk_density, 30.0 / 0.01892705892, 1e-12);
  assert_close(error_of(&s, "ground.bulk_density"), 0.5 / 0.01892705892, 1e-12);
  assert_close(s.ground.clay, 0.05, 1e-12);
  /* 1 mm of the clay's own, 1/16 in of the others, over 10 cm */
  assert_close(error_of(&s, "ground.clay"), hypot(0.95 * 0.01, 0.05 * 0.015875 * sqrt(2.0)), 1e-9);
  assert_true(s.hose.roughness < 0.001);
}

/* A log-normal gravel through a fine stack of sieves keeps its Sauter mean, share below the
 * screen and classes; its fit is the log-normal. */
static void test_sieves_of_a_lognormal(void **state) {
  (void)state;
  char list[2000] = "";
  double above = 0.0;
  for (int i = 0; i < 20; ++i) {
    const double opening = 16e-3 * pow(2.0, -0.5 * i);
    const double share = 1.0 - fg_lognormal_cdf(opening, 1.9e-3, 3.0) - above;
    above += share;
    const size_t used = strlen(list);
    snprintf(list + used, sizeof list - used, "(\"%.12g mm\", %.12f), ", 1e3 * opening, share);
  }
  char rest[2200];
  snprintf(rest, sizeof rest, "ground = { sieves = ( %s(\"pan\", %.12f) ); };", list, 1.0 - above);
  fg_scenario sieved, plain;
  fg_machine a, b;
  expect_read(scenario_text("", "", rest), &sieved);
  expect_read(scenario_text("", "", "ground = { median_grain = \"1.9 mm\"; grain_spread = 3.0; };"),
              &plain);
  assert_close(sieved.ground.median_grain, 1.9e-3, 1e-6);
  assert_close(sieved.ground.grain_spread, 3.0, 1e-6);
  assert_int_equal(fg_machine_solve(&sieved, &a), FG_OK);
  assert_int_equal(fg_machine_solve(&plain, &b), FG_OK);
  /* straight pieces of half an octave spread the sizes a little: 1 % */
  assert_close(a.sauter_m, b.sauter_m, 0.015);
  assert_close(a.screen_share, b.screen_share, 0.005);
  assert_within(kept_of(&sieved), kept_of(&plain), 0.005);
}

/* Where the measured curve is no log-normal it counts, not the fit. */
static void test_measured_curve_counts(void **state) {
  (void)state;
  fg_scenario s;
  fg_machine m;
  expect_read(scenario_text("", "",
                            "ground = { sieves = ( (\"8 mm\", \"0 g\"), (\"4 mm\", \"500 g\"), "
                            "(\"1 mm\", \"0 g\"), (\"0.5 mm\", \"500 g\"), (\"pan\", \"0 g\") ); };"
                            "screen = { opening = \"2 mm\"; };"),
              &s);
  assert_int_equal(fg_machine_solve(&s, &m), FG_OK);
  assert_close(m.screen_share, 0.5, 1e-12);
  assert_close(m.sauter_m, 1e-3 * log(2.0), 1e-12); /* (1/0.5 - 1/1)/ln 2 inverted */
}

static void test_refusals(void **state) {
  (void)state;
  expect_refused(scenario_text("empty_box_pressure = \"25 inH2O\";", "", ""),
                 "more than this blower can hold");
  expect_refused(scenario_text("empty_box_pressure = \"5 Pa\";", "", ""),
                 "less than the holes of the board");
  expect_refused(scenario_text("empty_box_pressure = \"2 inH2O\"; board_open_share = 0.3;", "", ""),
                 "deck.empty_box_pressure is given too");
  expect_refused(scenario_text("", "stroke = \"1 mm\"; mass = \"20 kg\";", ""),
                 "shaker.stroke is given too");
  expect_refused(scenario_text("", "speed = \"1500 rpm\"; rated_speed = \"1500 rpm\";", ""),
                 "shaker.speed is given too");
  expect_refused(scenario_text("", "", "hose = { kind = \"smooth\"; roughness = 0.01; };"),
                 "hose.kind is given too");
  static const struct {
    const char *ground, *said;
  } cases[] = {
      {"sieves = ((\"2 mm\",\"100 g\"),(\"4 mm\",\"50 g\"),(\"pan\",\"20 g\"))", "out of order"},
      {"sieves = ((\"2 mm\",\"100 g\"),(\"pan\",\"20 g\"),(\"all\",\"123 g\"))", "off by more"},
      {"sieves = ((\"2 mm\",\"50 %\"),(\"pan\",\"47 %\"))", "off by more than 2 %"},
      {"sieves = ((\"2 mm\",\"100 g\"),(\"1 mm\",\"50 g\"))", "pan"},
      {"sieves = ((\"2 mm\",\"100 g\"),(\"pan\",\"0 g\"))", "one side"},
      {"sieves = ((\"2 mm\",\"100 g\"),(\"pan\",0.5))", "mixed"},
      {"sieves = ((\"2 mm\",\"-1 g\"),(\"pan\",\"1 g\"))", "negative"},
      {"sieves = \"2 mm\"", "a list is needed"},
      {"sieves = ()", "pan"},
      {"sieves = ((\"2 mm\",1e308),(\"pan\",1e308))", "too large"},
      {"sieves = ((\"2 mm\",0.5),(\"pan\",0.5),(\"all\",1),(\"all\",1))", "twice"},
      {"sieves = ((\"2 mm\",0.5),(\"pan\",0.5),(\"all\",0))", "cannot be zero"},
      {"sieves = ((1,2,3))", "pair"},
      {"median_grain = \"1 mm\"; sieves = ((\"2 mm\",\"1 g\"),(\"pan\",\"1 g\"))", "is given too"},
      {"clay = \"stiff\"", "none, trace, some, sticky"},
      {"clay = \"some\"; jar_clay = \"1 mm\"", "is given too"},
      {"jar_clay = \"1 mm\"; jar_sand = \"5 mm\"", "jar_silt: is missing"},
      {"jar_clay = \"0 mm\"; jar_sand = \"0 mm\"; jar_silt = \"0 mm\"", "all three"},
      {"bucket_weight = \"30 kg\"; bulk_density = \"1600 kg/m3\"", "bucket_weight is given too"},
      {"bucket_weight = \"45 kg\"", "voids"},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    char rest[300];
    snprintf(rest, sizeof rest, "ground = { %s; };", cases[i].ground);
    expect_refused(scenario_text("", "", rest), cases[i].said);
  }
}

/* ---- errors ---- */

static void test_errors_are_read(void **state) {
  (void)state;
  static const struct {
    const char *text;
    fg_quantity quantity;
    double si, error;
  } cases[] = {
      {"0.8 +- 0.3 %", FG_Q_PERCENT, 0.008, 0.003},
      {"0.8 % +- 0.3 %", FG_Q_PERCENT, 0.008, 0.003},
      {"0.8 \xc2\xb1 0.3 %", FG_Q_PERCENT, 0.008, 0.003},
      {"0.8%+/-0.3%", FG_Q_PERCENT, 0.008, 0.003},
      {"1.3 +- 0.2", FG_Q_NUMBER, 1.3, 0.2},
      {"8 1/2 in +- 1/8 in", FG_Q_LENGTH, 0.2159, 0.003175},
      {"1 ft +- 1/2 in", FG_Q_LENGTH, 0.3048, 0.0127},
      {"250 Pa +- 10 %", FG_Q_PRESSURE, 250.0, 25.0},
      {"75 F +- 9 F", FG_Q_TEMPERATURE, 297.0388888888889, 5.0},
      {"75 F +- 5 C", FG_Q_TEMPERATURE, 297.0388888888889, 5.0},
      {"20 +- 2 C", FG_Q_TEMPERATURE, 293.15, 2.0},
      {"20 deg +- 1 deg", FG_Q_SLOPE, 0.3490658503988659, 0.0174532925199433},
      {"60 mesh +- 0.02 mm", FG_Q_GRAIN_SIZE, 0.25e-3, 0.02e-3},
      {"2 +- 0.2 min/bucket", FG_Q_FEED, 0.01892705892 / 120.0, 0.1 * 0.01892705892 / 120.0},
      {"-1 +- 0.5", FG_Q_NUMBER, -1.0, 0.5},
      {"0 in +- 1/8 in", FG_Q_LENGTH, 0.0, 0.003175},
      {"8 in", FG_Q_LENGTH, 0.2032, 0.0},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    double si = NAN, error = NAN;
    char message[400] = "";
    if (fg_quantity_parse_measured(cases[i].text, cases[i].quantity, &si, &error, NULL, message,
                                   400) != FG_OK)
      fail_msg("%s refused: %s", cases[i].text, message);
    assert_within(si, cases[i].si, 1e-12 + 1e-9 * fabs(cases[i].si));
    assert_within(error, cases[i].error, 1e-12 + 1e-9 * cases[i].error);
  }
}

static void test_errors_are_refused(void **state) {
  (void)state;
  static const struct {
    const char *text;
    fg_quantity quantity;
    const char *said;
  } cases[] = {
      {"5 +- 1", FG_Q_INTEGER, "whole number takes no error"},
      {"8 in +- 1", FG_Q_LENGTH, "unit behind the error"},
      {"8 in +-", FG_Q_LENGTH, "number is missing"},
      {"+- 1 in", FG_Q_LENGTH, "number is missing"},
      {"8 in +- 1 in +- 2 in", FG_Q_LENGTH, "one error only"},
      {"8 in +- -1 in", FG_Q_LENGTH, "not negative"},
      {"8 in +- 1 Pa", FG_Q_LENGTH, "pressure"},
      {"60 +- 10 mesh", FG_Q_GRAIN_SIZE, "mesh"},
      {"75 F +- 5 %", FG_Q_TEMPERATURE, "makes no sense"},
      {"0.8 +- 0.3", FG_Q_PERCENT, "% sign"},
      {"2 min/bucket +- 5 lb/min", FG_Q_FEED, "in the unit of the value"},
      {"8 in +- 1e999 in", FG_Q_LENGTH, "too"},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    double si = 7.0, error = 7.0;
    char message[400] = "";
    assert_int_not_equal(fg_quantity_parse_measured(cases[i].text, cases[i].quantity, &si, &error,
                                                    NULL, message, 400),
                         FG_OK);
    if (!strstr(message, cases[i].said))
      fail_msg("%s: \"%s\" does not say \"%s\"", cases[i].text, message, cases[i].said);
    assert_close(si, 7.0, 0.0);
    assert_close(error, 7.0, 0.0);
  }
  double si;
  char message[400];
  assert_int_not_equal(fg_quantity_parse("8 +- 1 in", FG_Q_LENGTH, &si, NULL, message, 400), FG_OK);
}

static void test_errors_in_scenarios(void **state) {
  (void)state;
  fg_scenario s;
  expect_read(scenario_text("slope = \"20 +- 1 deg\"; static_charge = \"2 +- 1 uC/m2\";",
                            "mass = \"14 kg +- 10 %\";",
                            "ground = { moisture = \"0.8 +- 0.3 %\"; clay = \"sticky\"; };\n"
                            "gold = { grade = \"0.5 +- 0.1 g/t\"; };"),
              &s);
  assert_close(error_of(&s, "ground.moisture"), 0.003, 1e-12);
  assert_close(error_of(&s, "shaker.mass"), 1.4, 1e-12);
  assert_close(error_of(&s, "deck.slope"), 0.0174532925199433, 1e-9);
  assert_close(error_of(&s, "gold.grade") / s.gold.grade, 0.2, 1e-12);
  assert_close(s.ground.clay, 0.27, 1e-12);
  assert_true(error_of(&s, "ground.clay") > 0.0);
  assert_close(error_of(&s, "deck.width"), 0.0, 0.0);
  expect_refused(scenario_text("riffle_height = \"1/2 in +- 9 in\";", "", ""),
                 "wider than all that is allowed");
  expect_refused(scenario_text("", "", "closure = { drag_law = \"ganser +- 1\"; };"),
                 "take no error");
  /* a volume basis: the error follows the bulk density */
  fg_scenario by_bucket;
  char text[600];
  snprintf(text, sizeof text,
           "deck = { %s };\nblower = { free_volume = \"445 cfm\"; "
           "nozzle_speed = \"190 mph\"; };\n"
           "run = { feed = \"2 +- 0.2 min/bucket\"; };",
           deck_part);
  expect_read(text, &by_bucket);
  assert_close(error_of(&by_bucket, "run.feed") / by_bucket.run.feed, 0.1, 1e-12);
  assert_int_equal(fg_scenario_resolve(&by_bucket), FG_OK);
  assert_close(error_of(&by_bucket, "run.feed") / by_bucket.run.feed, 0.1, 1e-12);
}

/* ---- observations ---- */

/* The model's own expectations, taken for observations, leave no misfit. */
static void observe_itself(const char *shaker, fg_scenario *s) {
  fg_machine m;
  char observed[400];
  expect_read(scenario_text("", shaker, ""), s);
  assert_int_equal(fg_machine_solve(s, &m), FG_OK);
  snprintf(observed, sizeof observed,
           "observed = { box_pressure = \"%.12g Pa\"; rotor_speed = \"%.12g Hz\"; "
           "bed_depth = \"%.12g m\"; crossing_time = \"%.12g s\"; };",
           m.at.box_pressure_pa, m.at.shake.speed_hz, m.at.depth_m, m.residence_s);
  expect_read(scenario_text("", "", observed), s);
}

static void test_own_expectations_agree(void **state) {
  (void)state;
  fg_scenario s;
  fg_observed o;
  observe_itself("", &s);
  assert_int_equal(fg_observe_predict(&s, &o), FG_OK);
  assert_int_equal(o.count, 4);
  assert_within(o.misfit, 0.0, 1e-12);
  assert_within(o.log_likelihood, 0.0, 1e-12);
  assert_true(fg_observe_agrees(&o));
  fg_scenario none;
  expect_read(scenario_text("", "", ""), &none);
  assert_int_equal(fg_observe_predict(&none, &o), FG_OK);
  assert_int_equal(o.count, 0);
  assert_within(o.log_likelihood, 0.0, 0.0);
}

/* A rotor slower than assumed: that is found. */
static void test_the_culprit_is_found(void **state) {
  (void)state;
  fg_scenario s;
  fg_observed o;
  fg_suspect suspects[3];
  size_t count = 0;
  observe_itself("rated_speed = \"22 Hz\";", &s);
  assert_int_equal(fg_observe_predict(&s, &o), FG_OK);
  assert_false(fg_observe_agrees(&o));
  assert_close(o.log_likelihood, -0.5 * o.misfit, 1e-12);
  assert_int_equal(fg_observe_explain(&s, &o, suspects, 3, &count), FG_OK);
  assert_true(count >= 1);
  assert_string_equal(fg_settings[suspects[0].row].key, "shaker.rated_speed");
  assert_close(suspects[0].value, 22.0, 0.01);
  assert_within(suspects[0].misfit, 0.0, 0.1);
}

static const char gate_and_minutes[] =
    "ground = { moisture = \"0.5 %\"; };\n"
    "observed = { gate_stop = \"90 %\"; full_minutes = \"40 min\"; };";

static bool stalls_with(const fg_scenario *s, double gate) {
  fg_scenario run;
  fg_machine machine;
  fg_scenario_as_run(s, &run);
  run.run.gate_opening = gate;
  assert_int_equal(fg_machine_solve(&run, &machine), FG_OK);
  return machine.stalled;
}

/* The minutes until the upper pockets look full come back as they were worked out. */
static void test_minutes_to_full(void **state) {
  (void)state;
  fg_scenario s;
  fg_observed o;
  expect_read(scenario_text("", "", gate_and_minutes), &s);
  assert_int_equal(fg_observe_predict(&s, &o), FG_OK);
  assert_int_equal(o.count, 2);
  assert_between(o.item[1].predicted, 60.0, 86400.0);
  fg_loss loss;
  s.run.cleaning_interval = o.item[1].predicted;
  assert_int_equal(fg_loss_run(&s, NULL, &loss), FG_OK);
  double fill = 0.0;
  for (size_t i = 0; i < 4; ++i)
    fill += 0.25 * loss.fill[i];
  assert_within(fill, 0.9, 0.05);
  fg_loss_free(&loss);
}

/* At a throttle where the bed runs with the gate shut and stops with it open, the gate that stops
 * it is told: a hundredth below it runs, a hundredth above it stalls. */
static void test_gate_that_stops_the_bed(void **state) {
  (void)state;
  fg_scenario s;
  fg_observed o;
  int found = 0;
  expect_read(scenario_text("", "", gate_and_minutes), &s);
  s.as_run.gate_opening = 0.0;
  for (int percent = 15; percent <= 100; percent += 5) {
    s.as_run.throttle = 0.01 * percent;
    if (stalls_with(&s, 0.0) || !stalls_with(&s, 1.0))
      continue;
    ++found;
    assert_int_equal(fg_observe_predict(&s, &o), FG_OK);
    assert_false(o.stalled);
    assert_int_equal(o.item[0].bound, FG_BOUND_NONE);
    assert_false(stalls_with(&s, o.item[0].predicted - 0.01));
    assert_true(stalls_with(&s, o.item[0].predicted + 0.01));
  }
  assert_true(found > 0);
  s.as_run.throttle = 0.05; /* no gate at all lets it run */
  assert_true(stalls_with(&s, 0.0));
  assert_int_equal(fg_observe_predict(&s, &o), FG_OK);
  assert_true(o.stalled && isinf(o.misfit));
}

static void test_a_stall_weighs_nothing(void **state) {
  (void)state;
  fg_scenario s;
  fg_observed o;
  expect_read(scenario_text("", "",
                            "ground = { moisture = \"6 %\"; clay = \"0 %\"; };\n"
                            "observed = { bed_depth = \"1/4 in\"; };"),
              &s);
  s.as_run.throttle = 0.2;
  s.as_run.feed = 1.5;
  assert_int_equal(fg_observe_predict(&s, &o), FG_OK);
  assert_true(o.stalled);
  assert_true(isinf(o.misfit) && o.log_likelihood < 0.0);
  assert_false(fg_observe_agrees(&o));
}

/* First what was told from chance, then the rest by swing; a reading gathers the shares of all that
 * it settles; what is read off and given does not come. */
static void test_worth(void **state) {
  (void)state;
  static const fg_told told[] = {{FG_SET_GROUND_GRAIN_SPREAD, 0.1, 0.0},
                                 {FG_SET_GROUND_CLAY, 0.12, 0.3},
                                 {FG_SET_GOLD_THICKNESS_RATIO, 0.0, 0.2},
                                 {FG_SET_GROUND_MEDIAN_GRAIN, 0.05, 0.0}};
  fg_scenario s;
  fg_worth worths[FG_WORTHS_MAX];
  size_t count = 0;
  expect_read(scenario_text("", "", "ground = { moisture = \"0.5 %\"; };"), &s);
  assert_int_equal(fg_worth_list(&s, told, 4, worths, &count), FG_OK);
  assert_true(count > 5);
  assert_int_equal(worths[0].how->row, FG_SET_GROUND_SIEVES);
  assert_int_equal(worths[0].row, FG_SET_GROUND_GRAIN_SPREAD);
  assert_close(worths[0].share, 0.15, 1e-12);
  assert_int_equal(worths[1].row, FG_SET_GROUND_CLAY);
  assert_int_equal(worths[2].row, FG_SET_GOLD_THICKNESS_RATIO);
  bool moisture = false;
  for (size_t i = 0; i < count; ++i) {
    assert_int_not_equal(worths[i].how->row, FG_SET_RUN_THROTTLE);
    assert_int_equal(worths[i].given, worths[i].row == FG_SET_GROUND_MOISTURE);
    moisture = moisture || worths[i].given;
    if (i > 3)
      assert_true(worths[i].swing <= worths[i - 1].swing);
  }
  assert_true(moisture);
}

/* Centres of areas of the triangle as the manual draws it. */
static void test_texture(void **state) {
  (void)state;
  static const struct {
    double sand, silt, clay;
    const char *name;
  } cases[] = {
      {0.92, 0.05, 0.03, "sand"},
      {0.82, 0.12, 0.06, "loamy sand"},
      {0.65, 0.25, 0.10, "sandy loam"},
      {0.42, 0.40, 0.18, "loam"},
      {0.20, 0.65, 0.15, "silt loam"},
      {0.06, 0.88, 0.06, "silt"},
      {0.60, 0.13, 0.27, "sandy clay loam"},
      {0.33, 0.33, 0.34, "clay loam"},
      {0.10, 0.56, 0.34, "silty clay loam"},
      {0.52, 0.06, 0.42, "sandy clay"},
      {0.06, 0.47, 0.47, "silty clay"},
      {0.20, 0.20, 0.60, "clay"},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i)
    assert_string_equal(fg_texture_class(cases[i].sand, cases[i].silt, cases[i].clay),
                        cases[i].name);
}

/* All answers in brackets, and none known at all, make scenarios that run. */
static void test_start_makes_scenarios(void **state) {
  (void)state;
  for (int known = 0; known < 2; ++known) {
    char answers[32][FG_ANSWER_MAX];
    char message[200];
    fg_text out = {0};
    fg_scenario s;
    assert_true(fg_questions_count <= 32);
    for (size_t i = 0; i < fg_questions_count; ++i) {
      const char *answer = known ? fg_questions[i].usual : "?";
      assert_true(fg_answer_take(&fg_questions[i], answer, answers[i], message, sizeof message));
      assert_null(fg_answer_doubt(&fg_questions[i], answers[i]));
    }
    fg_start_scenario((const char(*)[FG_ANSWER_MAX])answers, &out);
    char *text = fg_text_take(&out, NULL);
    assert_non_null(text);
    expect_read(text, &s);
    free(text);
    assert_between(kept_of(&s), 0.1, 1.0);
  }
}

/* Every row that tells how to measure names a setting, and has a line to fill in. */
static void test_measuring_table(void **state) {
  (void)state;
  for (size_t i = 0; i < fg_measurings_count; ++i) {
    const fg_measuring *m = &fg_measurings[i];
    assert_non_null(strstr(m->form, strchr(fg_settings[m->row].key, '.') + 1));
    assert_ptr_equal(fg_measuring_of(m->row), m);
    assert_true(strlen(m->how) > 0 && strlen(m->exactness) > 0);
  }
}

int main(void) {
  gsl_set_error_handler_off();
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_round_trip_exact),
      cmocka_unit_test(test_round_trip_rounded),
      cmocka_unit_test(test_shake_follows_air),
      cmocka_unit_test(test_correcting),
      cmocka_unit_test(test_ground_readings),
      cmocka_unit_test(test_sieves_of_a_lognormal),
      cmocka_unit_test(test_measured_curve_counts),
      cmocka_unit_test(test_refusals),
      cmocka_unit_test(test_errors_are_read),
      cmocka_unit_test(test_errors_are_refused),
      cmocka_unit_test(test_errors_in_scenarios),
      cmocka_unit_test(test_own_expectations_agree),
      cmocka_unit_test(test_the_culprit_is_found),
      cmocka_unit_test(test_minutes_to_full),
      cmocka_unit_test(test_gate_that_stops_the_bed),
      cmocka_unit_test(test_a_stall_weighs_nothing),
      cmocka_unit_test(test_worth),
      cmocka_unit_test(test_texture),
      cmocka_unit_test(test_start_makes_scenarios),
      cmocka_unit_test(test_measuring_table),
  };
  const int code = FG_RUN_GROUP(tests);
  fg_complaints_free(&complaints);
  fg_units_free();
  return code;
}
