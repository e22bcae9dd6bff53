/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "walk.h"

#include <math.h>
#include <stdbool.h>

#include <gsl/gsl_randist.h>

/* A step takes a grain about this part of the depth up or down, and of the strip along. */
static const double depth_part = 1.0 / 8.0, length_part = 1.0 / 8.0;

double walk_speed(const walk_deck *deck, double height_m) {
  const double place = fmax(height_m, deck->lowest_m) / deck->depth_m * WALK_LAYERS - 0.5;
  if (place < 0.0)
    return deck->speed_m_s[0] * (2.0 * place + 1.0);
  if (place >= WALK_LAYERS - 1)
    return deck->speed_m_s[WALK_LAYERS - 1];
  const size_t below = (size_t)place;
  const double part = place - (double)below;
  return (1.0 - part) * deck->speed_m_s[below] + part * deck->speed_m_s[below + 1];
}

double walk_mixed_height(const walk_deck *deck, gsl_rng *random) {
  double most = 0.0;
  for (size_t j = 0; j < WALK_LAYERS; ++j)
    most = fmax(most, deck->speed_m_s[j]);
  for (;;) {
    const double height = deck->depth_m * gsl_rng_uniform(random);
    if (gsl_rng_uniform(random) * most < walk_speed(deck, height))
      return height;
  }
}

/* How far a path of this scatter (standard deviation) goes below 0 on its way between two heights.
 */
static double dip(double from, double to, double scatter, gsl_rng *random) {
  const double variance = scatter * scatter;
  if (from > 0.0 && to > 0.0 && from * to > 16.0 * variance)
    return 0.0; /* a chance below exp(-32) */
  const double drop = to - from;
  const double lowest =
      0.5 * (from + to - sqrt(drop * drop - 2.0 * variance * log(gsl_rng_uniform_pos(random))));
  return fmax(0.0, -lowest);
}

static bool wall_takes(double speed, double mixing, double pushed, gsl_rng *random) {
  return speed > 0.0 && pushed > 0.0 && gsl_rng_uniform(random) < -expm1(-speed / mixing * pushed);
}

static double step_seconds(const walk_deck *deck, const walk_strip *s, double left_m,
                           double height_m) {
  const double reach = depth_part * deck->depth_m;
  const double stirred = reach * reach / (2.0 * s->mixing_m2_s);
  const double sunk = reach / fmax(fabs(s->sinking_m_s), 1e-12);
  const double along =
      fmin(left_m, length_part * s->length_m) / fmax(walk_speed(deck, height_m), 1e-12);
  return fmin(fmin(stirred, sunk), along);
}

/* One step up or down, pushed back at the nearer wall. */
static walk_fate step_height(const walk_deck *deck, const walk_strip *s, double hold_m_s,
                             double seconds, gsl_rng *random, double *height_m) {
  const double scatter = sqrt(2.0 * s->mixing_m2_s * seconds), depth = deck->depth_m;
  const double from = *height_m;
  const double to = from - s->sinking_m_s * seconds + gsl_ran_gaussian_ziggurat(random, scatter);
  if (from + to < depth) {
    const double pushed = dip(from, to, scatter, random);
    *height_m = fmin(to + pushed, depth);
    return wall_takes(hold_m_s, s->mixing_m2_s, pushed, random) ? WALK_HELD : WALK_ON;
  }
  const double pushed = dip(depth - from, depth - to, scatter, random);
  *height_m = fmax(to - pushed, 0.0);
  return wall_takes(s->lift_m_s, s->mixing_m2_s, pushed, random) ? WALK_BLOWN : WALK_ON;
}

/* *x_m: where in the strip the grain starts, then how far beyond its end it came. */
static walk_fate walk_along(const walk_deck *deck, const walk_strip *s, walk_pocket pocket,
                            gsl_rng *random, double *x_m, double *height_m) {
  const double take = pocket.open * s->hold_m_s + pocket.full * fmin(s->creep_m_s, s->hold_m_s);
  while (*x_m < s->length_m) {
    const double before = walk_speed(deck, *height_m);
    /* A hair more than what is left, so that the last step ends the strip. */
    const double left = s->length_m - *x_m + 1e-3 * s->length_m;
    const double seconds = step_seconds(deck, s, left, *height_m);
    const walk_fate fate = step_height(deck, s, take, seconds, random, height_m);
    if (fate != WALK_ON)
      return fate;
    *x_m += 0.5 * (before + walk_speed(deck, *height_m)) * seconds;
  }
  *x_m -= s->length_m;
  return WALK_ON;
}

walk_fate walk_pitch(const walk_deck *deck, walk_pocket pocket, gsl_rng *random, double *height_m) {
  double x = 0.0;
  walk_fate fate = WALK_ON;
  for (int kind = 0; kind < 2 && fate == WALK_ON; ++kind)
    if (deck->strip[kind].length_m > 0.0)
      fate = walk_along(deck, &deck->strip[kind], pocket, random, &x, height_m);
  return fate;
}
