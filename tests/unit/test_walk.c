/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grains walked one by one down the computed deck find the same fates as the march, which solves
 * for all of them at once.  Nothing here uses the march: flow, sinking, mixing, pockets and how
 * full those were are taken from the model, what becomes of a grain is worked out anew. */
#include "fg_test.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_rng.h>

#include "flourgold/complaints.h"
#include "flourgold/loss.h"
#include "flourgold/settings.h"
#include "model/capture_internal.h"
#include "physics/flow.h"
#include "walk.h"

enum { SCENARIOS = 30, GRAINS = 2500, TIMES = 24, RARE = 10 };

/* Fine enough that what is left of the march's steps is small against the scatter of so many
 * grains. */
static const fg_loss_options fine = {.cells = 32, .steps = 48, .times = TIMES};

/* With other seeds a right model fails one of all comparisons once in a thousand times: three for
 * each scenario and one for all together, which tells a small fault that all have in common. */
static const double false_alarm = 1e-3 / (3 * SCENARIOS + 1);

typedef struct deck_case {
  fg_scenario scenario;
  fg_machine machine;
  fg_capture *capture;
  double fill[TIMES + 1][FG_RIFFLES_MAX]; /* of each pocket, at the ends of the steps of time */
  fg_loss loss;
} deck_case;

/* ---- The walk against what is known exactly -------------------------------------------- */

static walk_deck plain_deck(double sinking, double mixing) {
  walk_deck deck = {.depth_m = 1};
  for (size_t j = 0; j < WALK_LAYERS; ++j)
    deck.speed_m_s[j] = 1;
  deck.strip[0] = (walk_strip){1, sinking, mixing, 0, sinking, 0};
  return deck;
}

/* Share of grains with this fate after one pitch, mixed at its head. */
static double walked_share(const walk_deck *deck, double trap, walk_fate wanted, int grains) {
  gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
  int found = 0;
  for (int i = 0; i < grains; ++i) {
    double height = walk_mixed_height(deck, random);
    found += walk_pitch(deck, (walk_pocket){trap, 0}, random, &height) == wanted;
  }
  gsl_rng_free(random);
  return (double)found / grains;
}

/* Well mixed, a deck keeps 1 - exp(-trap w L/(u h)) (Deutsch, Annalen der Physik 68:335, 1922),
 * and the air carries off 1 - exp(-K L/(u h)) through the surface.  Five standard deviations of
 * 2,500 grains are 5 %. */
static void test_walk_in_a_mixed_bed(void **state) {
  (void)state;
  for (int i = 1; i <= 3; ++i) {
    walk_deck deck = plain_deck(0.4 * i, 12);
    assert_within(walked_share(&deck, 1, WALK_HELD, GRAINS), 1 - exp(-0.4 * i), 0.05);
    assert_within(walked_share(&deck, 0.5, WALK_HELD, GRAINS), 1 - exp(-0.2 * i), 0.05);
    deck.strip[0].lift_m_s = 0.3 * i;
    assert_within(walked_share(&deck, 0, WALK_BLOWN, GRAINS), 1 - exp(-0.3 * i), 0.05);
  }
}

/* Hardly mixed, it keeps w L/(u h) whatever its trap (Camp, Trans. ASCE 111:895, 1946). */
static void test_walk_in_a_still_bed(void **state) {
  (void)state;
  for (int i = 1; i <= 3; ++i) {
    const walk_deck deck = plain_deck(0.2 * i, 1e-6);
    assert_within(walked_share(&deck, 1, WALK_HELD, GRAINS), 0.2 * i, 0.05);
    assert_within(walked_share(&deck, 0.5, WALK_HELD, GRAINS), 0.2 * i, 0.05);
  }
}

/* Nothing leaves: heights become exponential, exp(-w z/D) (Rouse 1937 for constant mixing). */
static void test_walk_in_a_closed_bed(void **state) {
  (void)state;
  gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
  for (int i = -1; i <= 1; ++i) {
    const double rate = 3.0 * i + 1;
    walk_deck deck = plain_deck(rate, 1);
    deck.strip[0].length_m = 3;
    double sum = 0;
    for (int grain = 0; grain < GRAINS; ++grain) {
      double height = 0.9;
      assert_int_equal(walk_pitch(&deck, (walk_pocket){0, 0}, random, &height), WALK_ON);
      sum += height;
    }
    const double mean = 1 / rate - 1 / expm1(rate);
    assert_within(sum / GRAINS, mean, 5 * 0.29 / sqrt(GRAINS));
  }
  gsl_rng_free(random);
}

/* ---- Scenarios drawn at random ---------------------------------------------------------- */

static const char *const files[] = {
    "configs/demo.cfg",       "configs/wash_clayey.cfg",     "configs/streak_black.cfg",
    "configs/bench_high.cfg", "configs/household_small.cfg", "configs/household_watched.cfg"};

/* What a run hangs on and has no range of doubt: moved by up to this factor either way. */
static const struct {
  int row;
  double factor;
} knobs[] = {{FG_SET_RUN_FEED, 2},          {FG_SET_RUN_CLEANING_INTERVAL, 3},
             {FG_SET_DECK_LENGTH, 1.5},     {FG_SET_DECK_WIDTH, 1.3},
             {FG_SET_GROUND_MAGNETITE, 10}, {FG_SET_GOLD_MEDIAN_SIZE, 2}};

static void draw_value(gsl_rng *random, fg_scenario *s, int row) {
  const fg_setting *setting = fg_setting_of(row);
  if (setting->type == FG_T_CHOICE) {
    const bool law = row == FG_SET_CLOSURE_DRAG_LAW || row == FG_SET_CLOSURE_SIEVING_LAW;
    size_t count = 0;
    while (law && setting->choices[count])
      ++count;
    int *const chosen =
        row == FG_SET_CLOSURE_DRAG_LAW ? &s->closure.drag_law : &s->closure.sieving_law;
    if (law)
      *chosen = (int)gsl_rng_uniform_int(random, count);
    return;
  }
  if (setting->type != FG_T_NUMBER || isnan(setting->likely_low) || gsl_rng_uniform(random) < 0.5)
    return;
  const double range = setting->likely_high - setting->likely_low;
  assert_int_equal(fg_scenario_draw(s, row, setting->likely_low + range * gsl_rng_uniform(random)),
                   FG_OK);
}

/* Half of the settings anywhere in the table's likely range, riffles and knobs about the file's.
 * False when they do not go together. */
static bool draw_scenario(gsl_rng *random, fg_scenario *s) {
  fg_complaints complaints = {0};
  const char *file = files[gsl_rng_uniform_int(random, sizeof files / sizeof files[0])];
  const fg_status status = fg_scenario_read(file, NULL, 0, s, &complaints);
  fg_complaints_free(&complaints);
  assert_int_equal(status, FG_OK);
  for (int row = 0; row < FG_SETTINGS; ++row)
    draw_value(random, s, row);
  for (size_t i = 0; i < sizeof knobs / sizeof knobs[0]; ++i) {
    const fg_setting *setting = fg_setting_of(knobs[i].row);
    const double value = fg_setting_value(setting, s);
    const double moved = value * pow(knobs[i].factor, 2 * gsl_rng_uniform(random) - 1);
    assert_int_equal(fg_scenario_draw(s, knobs[i].row, fmin(moved, setting->highest)), FG_OK);
  }
  s->deck.riffles = 3 + (int)gsl_rng_uniform_int(random, 10);
  s->gold.counted_in = FG_COUNTED_GROUND;
  return fg_scenario_resolve(s) == FG_OK;
}

static void note_fill(const fg_capture *capture, fg_stuff stuff, size_t step,
                      const fg_catch *result, void *context) {
  (void)result;
  deck_case *d = context;
  if (stuff == FG_MAGNETITE)
    memcpy(d->fill[step + 1], capture->fill, sizeof capture->fill);
}

/* The model's deck: its flow, its grains, and how its pockets fill. */
static void describe_deck(deck_case *d) {
  assert_int_equal(fg_machine_solve(&d->scenario, &d->machine), FG_OK);
  assert_int_equal(fg_capture_new(&d->scenario, &d->machine, &fine, &d->capture), FG_OK);
  fg_catch result;
  assert_int_equal(fg_catch_new(d->capture, &result), FG_OK);
  d->capture->watch = note_fill;
  d->capture->watch_context = d;
  assert_int_equal(fg_capture_run_gold(d->capture, FG_POCKETS_FILLING, &result), FG_OK);
  fg_catch_free(&result);
}

/* The next scenario that runs. */
static void next_case(gsl_rng *random, deck_case *d) {
  for (int tries = 0; tries < 50; ++tries) {
    *d = (deck_case){.capture = NULL};
    if (!draw_scenario(random, &d->scenario))
      continue;
    const fg_status status = fg_loss_run(&d->scenario, &fine, &d->loss);
    if (status == FG_OK) {
      describe_deck(d);
      return;
    }
    if (status == FG_ESTALL)
      fg_loss_free(&d->loss);
  }
  fail_msg("fifty scenarios in a row do not run");
}

/* ---- The walk ------------------------------------------------------------------------------ */

/* Mean of e^-x over the skin, x from 0 at the cloth to this: how many of the grains at the cloth
 * lie in the skin from which they creep into a full pocket, where settling and mixing balance. */
static double mean_above_cloth(double x) { return fabs(x) < 1e-9 ? 1 : -expm1(-x) / x; }

/* A strip that is deeper or faster than the open one is walked in the open one's measures: heights
 * over its depth and time such that the grain moves along as fast.  The creep into a full pocket is
 * the model's own, in the open strip's measures throughout.  A grain of gold is no point: on the
 * cloth it goes along as the march's lowest layer does, whose thickness matters where pockets are
 * full and gold sinks so fast that all of it lies there. */
static void deck_of(const deck_case *d, const fg_lane *lane, walk_deck *deck) {
  const fg_scenario *s = &d->scenario;
  const double pitch = s->deck.length / s->deck.riffles;
  const double quiet = s->deck.dead_air_share;
  const double length[2] = {(1 - quiet) * pitch, quiet * pitch};
  deck->depth_m = d->machine.at.depth_m;
  deck->lowest_m = 0.5 * deck->depth_m / (double)fine.cells;
  for (int kind = 0; kind < 2; ++kind) {
    const fg_strip *open = &d->machine.strip[0];
    const fg_strip *strip = &d->machine.strip[kind];
    const double depth = strip->depth_m / open->depth_m;
    const double flow = depth * strip->speed_m_s / open->speed_m_s;
    const double sinking = lane->sinking_m_s[kind] / flow;
    const double mixing = d->machine.mixing_m2_s[kind] / (depth * flow);
    const double settled = sinking > 0 ? lane->settled[kind] : 0;
    const double skin = sinking * lane->skin_m / mixing;
    deck->strip[kind] =
        (walk_strip){.length_m = length[kind],
                     .sinking_m_s = sinking,
                     .mixing_m2_s = mixing,
                     .lift_m_s = lane->lift_m_s[kind] / flow,
                     .hold_m_s = settled * sinking,
                     .creep_m_s = settled * lane->creep_m_s * mean_above_cloth(skin)};
  }
}

/* Share of a pocket that is open at a time (in steps of time): none when full. */
static double open_share(const deck_case *d, size_t riffle, double time) {
  const size_t step = (size_t)time;
  const double before = d->fill[step][riffle];
  const double after = d->fill[step + 1][riffle];
  const double part = d->capture->open_time[step * d->capture->riffles + riffle];
  const double along = time - (double)step;
  if (along >= part)
    return 0;
  const double fill = before + (after - before) * along / part;
  return 1 - fill * fill;
}

/* Where a grain that comes loose at the head of a pitch ends: riffle, or `riffles` for lost. */
static size_t walk_down(const deck_case *d, const walk_deck *deck, const fg_lane *lane,
                        size_t riffle, gsl_rng *random) {
  const size_t riffles = d->capture->riffles;
  const double step_s = d->scenario.run.cleaning_interval / TIMES;
  double time = TIMES * gsl_rng_uniform(random);
  double height = walk_mixed_height(deck, random);
  for (; riffle < riffles; ++riffle) {
    const double open = open_share(d, riffle, time);
    const walk_pocket pocket = {lane->stay * open, lane->stay * (1 - open)};
    const walk_fate fate = walk_pitch(deck, pocket, random, &height);
    if (fate == WALK_BLOWN)
      return riffles;
    if (fate == WALK_ON)
      continue;
    height = 0; /* should it spill or be let go again, it goes on at the cloth */
    if (gsl_rng_uniform(random) >= d->capture->standing)
      continue;
    if (!(lane->release_1_s > 0))
      return riffle;
    time -= log(gsl_rng_uniform_pos(random)) / (lane->release_1_s * step_s);
    if (time >= TIMES)
      return riffle;
  }
  return riffles;
}

/* Head of which pitch a grain comes loose at; `riffles`: never. */
static size_t draw_loose(const fg_capture *c, size_t lane, gsl_rng *random) {
  double left = gsl_rng_uniform(random);
  size_t riffle = 0;
  for (; riffle < c->riffles; ++riffle) {
    left -= c->freed[riffle * c->lanes + lane];
    if (left < 0)
      break;
  }
  return riffle;
}

typedef struct walked {
  size_t grains[FG_GOLD_CLASSES_MAX], kept[FG_GOLD_CLASSES_MAX]; /* by class */
  size_t riffle[FG_RIFFLES_MAX], stuck, lost, all_kept;
} walked;

static void walk_class(const deck_case *d, size_t k, size_t grains, gsl_rng *random, walked *w) {
  const fg_capture *c = d->capture;
  walk_deck deck;
  deck_of(d, &c->lane[k], &deck);
  assert_int_equal(
      fg_bed_profile(&d->machine.bed, d->machine.at.settled_m, WALK_LAYERS, deck.speed_m_s), FG_OK);
  w->grains[k] = grains;
  for (size_t i = 0; i < grains; ++i) {
    const size_t loose = draw_loose(c, k, random);
    if (loose == c->riffles) {
      ++w->stuck;
      continue;
    }
    const size_t end = walk_down(d, &deck, &c->lane[k], loose, random);
    if (end == c->riffles) {
      ++w->lost;
      continue;
    }
    ++w->riffle[end];
    ++w->kept[k];
    ++w->all_kept;
  }
}

/* Share of each class in the gold that passes the screen. */
static void class_shares(const fg_loss *loss, double *part) {
  double sum = 0;
  for (size_t k = 0; k < loss->gold_count; ++k)
    sum += part[k] = loss->gold[k].share * loss->gold[k].passing;
  for (size_t k = 0; k < loss->gold_count; ++k)
    part[k] /= sum;
}

static void walk_gold(const deck_case *d, gsl_rng *random, walked *w) {
  double part[FG_GOLD_CLASSES_MAX];
  size_t grains[FG_GOLD_CLASSES_MAX] = {0};
  class_shares(&d->loss, part);
  for (size_t i = 0; i < GRAINS; ++i) {
    double left = gsl_rng_uniform(random);
    size_t k = 0;
    while (k + 1 < d->loss.gold_count && (left -= part[k]) >= 0)
      ++k;
    ++grains[k];
  }
  *w = (walked){.stuck = 0};
  for (size_t k = 0; k < d->loss.gold_count; ++k)
    if (grains[k] > 0)
      walk_class(d, k, grains[k], random, w);
}

/* ---- Comparing ------------------------------------------------------------------------------ */

/* Pearson's chi-square; cells with fewer than RARE expected are thrown together. */
typedef struct chi_square {
  double sum, rare_expected, rare_found;
  int cells;
} chi_square;

static void add_cell(chi_square *c, double found, double expected) {
  if (expected < RARE) {
    c->rare_expected += expected;
    c->rare_found += found;
    return;
  }
  c->sum += (found - expected) * (found - expected) / expected;
  ++c->cells;
}

static double chance_beyond(chi_square c, int constraints) {
  if (c.rare_expected >= RARE) {
    const double gap = c.rare_found - c.rare_expected;
    c.sum += gap * gap / c.rare_expected;
    ++c.cells;
  }
  return c.cells > constraints ? gsl_cdf_chisq_Q(c.sum, c.cells - constraints) : 1;
}

/* Deviations by which the walk keeps more gold than the march, and the chance of as many. */
static double kept_score(const deck_case *d, const walked *w) {
  const double kept = d->loss.kept;
  return ((double)w->all_kept - kept * GRAINS) / sqrt(kept * (1 - kept) * GRAINS);
}

static double score_chance(double z) { return 2 * gsl_cdf_ugaussian_Q(fabs(z)); }

/* Where the gold ends: in which riffle, stuck or lost. */
static double fates_chance(const deck_case *d, const walked *w) {
  double part[FG_GOLD_CLASSES_MAX];
  class_shares(&d->loss, part);
  chi_square c = {0};
  double held = 0;
  double stuck = 0;
  for (size_t i = 0; i < d->loss.riffles; ++i) {
    double here = 0;
    for (size_t k = 0; k < d->loss.gold_count; ++k)
      here += part[k] * d->loss.gold[k].by_riffle[i];
    add_cell(&c, (double)w->riffle[i], GRAINS * here);
    held += here;
  }
  for (size_t k = 0; k < d->loss.gold_count; ++k)
    stuck += part[k] * d->loss.gold[k].stuck;
  add_cell(&c, (double)w->stuck, GRAINS * stuck);
  add_cell(&c, (double)w->lost, GRAINS * (1 - held - stuck));
  return chance_beyond(c, 1);
}

/* Kept and not kept of each class, given how many grains it had. */
static double classes_chance(const deck_case *d, const walked *w) {
  chi_square c = {0};
  int constraints = 0;
  for (size_t k = 0; k < d->loss.gold_count; ++k) {
    const double n = (double)w->grains[k];
    const double kept = d->loss.gold[k].kept;
    if (n * kept < RARE || n * (1 - kept) < RARE)
      continue;
    add_cell(&c, (double)w->kept[k], n * kept);
    add_cell(&c, n - (double)w->kept[k], n * (1 - kept));
    ++constraints;
  }
  return chance_beyond(c, constraints);
}

static void test_grains_find_the_fates_of_the_march(void **state) {
  (void)state;
  deck_case *d = calloc(1, sizeof *d);
  gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(d);
  gsl_rng_set(random, 20170);
  double sum = 0;
  for (int i = 0; i < SCENARIOS; ++i) {
    walked w;
    next_case(random, d);
    walk_gold(d, random, &w);
    const double z = kept_score(d, &w);
    assert_true(score_chance(z) > false_alarm);
    assert_true(fates_chance(d, &w) > false_alarm);
    assert_true(classes_chance(d, &w) > false_alarm);
    sum += z;
    fg_capture_free(d->capture);
    fg_loss_free(&d->loss);
  }
  assert_true(score_chance(sum / sqrt(SCENARIOS)) > false_alarm);
  gsl_rng_free(random);
  free(d);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_walk_in_a_mixed_bed),
      cmocka_unit_test(test_walk_in_a_still_bed),
      cmocka_unit_test(test_walk_in_a_closed_bed),
      cmocka_unit_test(test_grains_find_the_fates_of_the_march),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
