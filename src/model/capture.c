/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "capture_internal.h"
#include "flourgold/roots.h"

enum { CELLS = 12, PITCH_STEPS = 8, TIMES = 16 };
static const double magnetite_kg_m3 = 5180.0;

/* Share of each lane that is loose at the head of each pitch, and so what comes loose there;
 * the rest stays bound, or never reached the deck. */
static fg_status describe_freeing(fg_capture *c) {
  const fg_scenario *s = c->scenario;
  const fg_machine *m = c->machine;
  double moisture[FG_RIFFLES_MAX + 1];
  fg_status status = fg_deck_drying(s, m, moisture);
  if (status != FG_OK) return status;
  const double reach = (1.0 - m->clods) * (1.0 - m->screen_blinded);
  const fg_bond bond = fg_scenario_bond(s);
  for (size_t k = 0; k < c->lanes; ++k) {
    const fg_lane *lane = &c->lane[k];
    const double weight = fg_grain_weight(&lane->grain, &m->sinking.gas);
    double loose = 0.0;
    for (size_t i = 0; i < c->riffles; ++i) {
      double water = 0.0;
      status = fg_free_water(moisture[i], s->ground.clay, &water);
      if (status != FG_OK) return status;
      const double freed = fg_freed_share(fg_bond_force(&bond, lane->grain.dv_m, water), weight,
                                          m->at.shake.gamma, m->strip[0].normal_pa,
                                          lane->grain.dv_m);
      const double now = fmax(loose, reach * freed);
      c->freed[i * c->lanes + k] = now - loose;
      loose = now;
    }
    c->stuck[k] = fmax(0.0, 1.0 - loose);
  }
  return FG_OK;
}

static size_t or_default(size_t value, size_t standard) { return value > 0 ? value : standard; }

static fg_status build_march(fg_capture *c, const fg_loss_options *options) {
  const fg_scenario *s = c->scenario;
  const fg_machine *m = c->machine;
  const size_t cells = or_default(options ? options->cells : 0, CELLS);
  const size_t steps = or_default(options ? options->steps : 0, PITCH_STEPS);
  const double pitch = s->deck.length / s->deck.riffles, b = s->deck.dead_air_share;
  double *speed = calloc(cells, sizeof *speed);
  double *columns = calloc(4 * c->lanes, sizeof *columns);
  fg_status status = speed && columns ? FG_OK : FG_EMEMORY;
  if (status == FG_OK) status = fg_bed_profile(&m->bed, m->at.depth_m, cells, speed);
  if (status == FG_OK) {
    double *w[2] = {columns, columns + c->lanes};
    double *blown[2] = {columns + 2 * c->lanes, columns + 3 * c->lanes};
    for (size_t k = 0; k < c->lanes; ++k)
      for (int kind = 0; kind < 2; ++kind) {
        w[kind][k] = c->lane[k].sinking_m_s[kind];
        blown[kind][k] = c->lane[k].blown[kind];
      }
    const size_t quiet_steps = b > 0.0 ? (size_t)ceil(b * (double)steps) : 0;
    const fg_march_setup setup = {
        .classes = c->lanes,
        .cells = cells,
        .steps = {(size_t)ceil((1.0 - b) * (double)steps), quiet_steps},
        .length_m = {(1.0 - b) * pitch, b * pitch},
        .depth_m = m->at.depth_m,
        .speed_m_s = speed,
        .sinking_m_s = {w[0], w[1]},
        .mixing_m2_s = m->mixing_m2_s,
        .blown = {blown[0], blown[1]},
    };
    status = fg_march_new(&setup, &c->march);
  }
  free(speed);
  free(columns);
  return status;
}

fg_status fg_capture_new(const fg_scenario *scenario, const fg_machine *machine,
                         const fg_loss_options *options, fg_capture **capture) {
  fg_capture *c = calloc(1, sizeof *c);
  if (!c) return FG_EMEMORY;
  c->scenario = scenario;
  c->machine = machine;
  c->riffles = (size_t)scenario->deck.riffles;
  c->times = or_default(options ? options->times : 0, TIMES);
  c->pocket_kg = machine->fill.volume_m3 * (1.0 - machine->voidage) * magnetite_kg_m3;
  c->lane = calloc(FG_LANES_MAX, sizeof *c->lane);
  fg_status status = c->lane ? fg_lanes_fill(scenario, machine, c->lane, &c->lanes) : FG_EMEMORY;
  if (status == FG_OK) {
    c->freed = calloc(c->riffles * c->lanes, sizeof *c->freed);
    c->stuck = calloc(c->lanes, sizeof *c->stuck);
    status = c->freed && c->stuck ? describe_freeing(c) : FG_EMEMORY;
  }
  if (status == FG_OK) status = build_march(c, options);
  if (status != FG_OK) {
    fg_capture_free(c);
    return status;
  }
  *capture = c;
  return FG_OK;
}

void fg_capture_free(fg_capture *capture) {
  if (!capture) return;
  fg_march_free(capture->march);
  free(capture->lane);
  free(capture->freed);
  free(capture->stuck);
  free(capture);
}

fg_status fg_catch_new(const fg_capture *capture, fg_catch *result) {
  *result = (fg_catch){0};
  result->held = calloc(capture->riffles * capture->lanes, sizeof *result->held);
  result->over = calloc(capture->lanes, sizeof *result->over);
  result->blown = calloc(capture->lanes, sizeof *result->blown);
  if (result->held && result->over && result->blown) return FG_OK;
  fg_catch_free(result);
  return FG_EMEMORY;
}

void fg_catch_free(fg_catch *result) {
  free(result->held);
  free(result->over);
  free(result->blown);
  *result = (fg_catch){0};
}

typedef struct time_step {
  double seconds;     /* 0: a snapshot, rates only */
  bool ideal, leaky, filling;
} time_step;

/* Gold that a pocket lets go of during the step walks on in the lowest layer; the pocket's
 * balance over the step is exact.  held[] is what the pocket has (share x s). */
static void let_go(const fg_capture *c, const time_step *t, const double *caught, double *held,
                   double *walking) {
  for (size_t k = 0; k < c->lanes; ++k) {
    const double rate = t->leaky ? c->lane[k].release_1_s : 0.0;
    const double left = exp(-rate * t->seconds);
    const double stays = rate > 0.0 ? -expm1(-rate * t->seconds) / rate : t->seconds;
    const double after = held[k] * left + caught[k] * stays;
    walking[k] = rate > 0.0 ? (held[k] + caught[k] * t->seconds - after) / t->seconds : 0.0;
    held[k] = after;
  }
}

/* One pitch tried with a trap efficiency: what it catches, and by how much (share of a
 * pocket) that would fill it in the step. */
typedef struct pitch_case {
  fg_capture *c;
  const time_step *t;
  double fill;               /* at the start of the step */
  double *trap, *caught, *gone;
  const double *gone_before;
} pitch_case;

static double try_pitch(const pitch_case *p, double open_share) {
  const size_t lanes = p->c->lanes;
  fg_march_back(p->c->march);
  for (size_t k = 0; k < lanes; ++k)
    p->trap[k] = p->t->ideal ? 1.0 : open_share * p->c->lane[k].stay;
  memset(p->caught, 0, lanes * sizeof *p->caught);
  memcpy(p->gone, p->gone_before, lanes * sizeof *p->gone);
  fg_march_pitch(p->c->march, p->trap, p->caught, p->gone);
  double mass = 0.0;
  for (size_t k = 0; k < lanes; ++k) mass += p->c->lane[k].heavy_kg_s * p->caught[k];
  return mass * p->t->seconds / p->c->pocket_kg;
}

/* Mean of 1 - F^2 while the fill rises evenly from a to b. */
static double mean_open_share(double a, double b) { return 1.0 - (a * a + a * b + b * b) / 3.0; }

/* Fill after the step against what was caught on the way there. */
static double fill_gap(double fill_after, void *context) {
  const pitch_case *p = context;
  return try_pitch(p, mean_open_share(p->fill, fill_after)) - (fill_after - p->fill);
}

/* The pocket is full before the step ends: the mean trap that just fills it. */
static double full_gap(double open_share, void *context) {
  const pitch_case *p = context;
  return try_pitch(p, open_share) - (1.0 - p->fill);
}

/* The fill of a pocket at the end of the step, with the pitch left as it then was: implicit,
 * second order in time, never above full, and true to the mass caught. */
static fg_status fill_pocket(pitch_case *p, double *fill_after) {
  const double most = mean_open_share(p->fill, 1.0);
  double root;
  fg_status status;
  if (try_pitch(p, most) >= 1.0 - p->fill) {
    status = fg_root(full_gap, p, 0.0, most, 1e-6, &root);
    if (status == FG_OK) *fill_after = fmin(1.0, p->fill + try_pitch(p, root));
  } else {
    status = fg_root(fill_gap, p, p->fill, 1.0, 1e-6, &root);
    if (status == FG_OK)
      *fill_after = fmin(1.0, p->fill + try_pitch(p, mean_open_share(p->fill, root)));
  }
  return status;
}

/* One pass down the deck over a step of time. */
static fg_status pass(fg_capture *c, const time_step *t, double *fill, double *scratch,
                      fg_catch *result) {
  const size_t lanes = c->lanes;
  double *trap = scratch, *caught = scratch + lanes, *walking = scratch + 2 * lanes;
  double *gone = scratch + 3 * lanes, *before = scratch + 4 * lanes;
  memset(walking, 0, lanes * sizeof *walking);
  memset(gone, 0, lanes * sizeof *gone);
  fg_march_begin(c->march, c->freed);
  for (size_t i = 0; i < c->riffles; ++i) {
    if (i > 0) {
      fg_march_add_mixed(c->march, c->freed + i * lanes);
      fg_march_add_low(c->march, walking);
    }
    memcpy(before, gone, lanes * sizeof *before);
    fg_march_keep(c->march);
    pitch_case p = {c, t, fill[i], trap, caught, gone, before};
    fg_status status = FG_OK;
    if (t->filling) status = fill_pocket(&p, &fill[i]);
    else (void)try_pitch(&p, 1.0);
    if (status != FG_OK) return status;
    double *held = result->held + i * lanes;
    if (t->seconds > 0.0) let_go(c, t, caught, held, walking);
    else memcpy(held, caught, lanes * sizeof *caught);
  }
  const double weight = t->seconds > 0.0 ? t->seconds : 1.0;
  fg_march_remaining(c->march, trap);
  for (size_t k = 0; k < lanes; ++k) {
    result->over[k] += weight * (trap[k] + walking[k]);
    result->blown[k] += weight * gone[k];
  }
  return FG_OK;
}

static bool any_release(const fg_capture *c) {
  for (size_t k = 0; k < c->lanes; ++k)
    if (c->lane[k].release_1_s > 0.0) return true;
  return false;
}

static void average_over(const fg_capture *c, double seconds, fg_catch *result) {
  for (size_t k = 0; k < c->lanes; ++k) {
    result->over[k] /= seconds;
    result->blown[k] /= seconds;
  }
  for (size_t i = 0; i < c->riffles * c->lanes; ++i) result->held[i] /= seconds;
}

static fg_status run_interval(fg_capture *c, time_step t, double *fill, double *scratch,
                              fg_catch *result) {
  const double interval = c->scenario->run.cleaning_interval;
  t.seconds = interval / (double)c->times;
  for (size_t i = 0; i < c->times; ++i) {
    const fg_status status = pass(c, &t, fill, scratch, result);
    if (status != FG_OK) return status;
  }
  average_over(c, interval, result);
  return FG_OK;
}

fg_status fg_capture_run(fg_capture *capture, fg_pockets pockets, fg_catch *result) {
  double *scratch = calloc(5 * capture->lanes, sizeof *scratch);
  if (!scratch) return FG_EMEMORY;
  const time_step t = {0.0, pockets == FG_POCKETS_IDEAL,
                       pockets == FG_POCKETS_LEAKY || pockets == FG_POCKETS_FILLING,
                       pockets == FG_POCKETS_FILLING};
  const bool changes = t.filling || (t.leaky && any_release(capture));
  memset(result->fill, 0, sizeof result->fill);
  const fg_status status = changes ? run_interval(capture, t, result->fill, scratch, result)
                                   : pass(capture, &t, result->fill, scratch, result);
  free(scratch);
  return status;
}
