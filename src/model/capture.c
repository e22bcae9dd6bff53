/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/grain.h"
#include "model/capture_internal.h"
#include "model/deck.h"
#include "physics/flow.h"
#include "physics/grains.h"

enum { CELLS = 12, PITCH_STEPS = 8, TIMES = 16 };

/* Share of each lane that is loose at the head of each pitch, and so what comes loose there;
 * the rest stays bound, or never reached the deck. */
static fg_status describe_freeing(fg_capture *c) {
  const fg_scenario *s = c->scenario;
  const fg_machine *m = c->machine;
  double moisture[FG_RIFFLES_MAX + 1];
  fg_status status = fg_deck_drying(s, m, moisture);
  if (status != FG_OK)
    return status;
  const double reach = (1.0 - m->clods) * (1.0 - m->screen_blinded);
  const fg_bond bond = fg_scenario_bond(s);
  /* At mid depth of the moving bed. */
  const double shear_pa =
      0.5 * s->ground.bulk_density * FG_GRAVITY * sin(s->deck.slope) * m->at.settled_m;
  for (size_t k = 0; k < c->lanes; ++k) {
    const fg_lane *lane = &c->lane[k];
    const double weight = fg_grain_weight(&lane->grain, &m->sinking.gas);
    double loose = 0.0;
    for (size_t i = 0; i < c->riffles; ++i) {
      double water = 0.0;
      status = fg_binding_water(moisture[i], s->ground.clay, &water);
      if (status != FG_OK)
        return status;
      const double freed = fg_freed_share(fg_bond_force(&bond, lane->grain.dv_m, water), weight,
                                          m->at.shake.gamma, shear_pa, lane->grain.dv_m);
      const double now = fmax(loose, reach * freed);
      c->freed[i * c->lanes + k] = now - loose;
      loose = now;
    }
    c->stuck[k] = fmax(0.0, 1.0 - loose);
  }
  return FG_OK;
}

static size_t or_default(size_t value, size_t standard) { return value > 0 ? value : standard; }

/* How much deeper than the open strip another is, and what it carries by volume over that. */
typedef struct strip_scale {
  double depth, flow;
} strip_scale;

static strip_scale scale_of(const fg_strip *strip, const fg_strip *open) {
  const double depth = strip->depth_m / open->depth_m;
  return (strip_scale){depth, depth * strip->speed_m_s / open->speed_m_s};
}

/* The march counts in the open strip's depth and flow: elsewhere sinking is scaled to the flow, and
 * mixing to flow and depth.  A layer carries the same share of the flow in both. */
static fg_status build_march(fg_capture *c, const fg_loss_options *options, const double *speed,
                             size_t cells, fg_lane_group *group) {
  const fg_scenario *s = c->scenario;
  const size_t n = group->count, steps = or_default(options ? options->steps : 0, PITCH_STEPS);
  const double pitch = s->deck.length / s->deck.riffles, b = s->deck.dead_air_share;
  double *columns = calloc(8 * n, sizeof *columns);
  if (!columns)
    return FG_EMEMORY;
  double mixing[2];
  for (size_t kind = 0; kind < 2; ++kind) {
    const strip_scale scale = scale_of(&c->machine->strip[kind], &c->machine->strip[0]);
    mixing[kind] = c->machine->mixing_m2_s[kind] / (scale.depth * scale.flow);
    for (size_t k = 0; k < n; ++k) {
      const fg_lane *lane = &c->lane[group->first + k];
      columns[kind * n + k] = lane->sinking_m_s[kind] / scale.flow;
      columns[(2 + kind) * n + k] = lane->lift_m_s[kind] / scale.flow;
      columns[(6 + kind) * n + k] = lane->settled[kind];
    }
  }
  for (size_t k = 0; k < n; ++k) {
    columns[4 * n + k] = c->lane[group->first + k].creep_m_s;
    columns[5 * n + k] = c->lane[group->first + k].skin_m;
  }
  const fg_march_setup setup = {
      .classes = n,
      .cells = cells,
      .steps = {(size_t)ceil((1.0 - b) * (double)steps),
                b > 0.0 ? (size_t)ceil(b * (double)steps) : 0},
      .length_m = {(1.0 - b) * pitch, b * pitch},
      .depth_m = c->machine->at.depth_m,
      .speed_m_s = speed,
      .sinking_m_s = {columns, columns + n},
      .mixing_m2_s = mixing,
      .lift_m_s = {columns + 2 * n, columns + 3 * n},
      .settled = {columns + 6 * n, columns + 7 * n},
      .creep_m_s = columns + 4 * n,
      .skin_m = columns + 5 * n,
  };
  const fg_status status = fg_march_new(&setup, &group->march);
  free(columns);
  return status;
}

static fg_status build_marches(fg_capture *c, const fg_loss_options *options) {
  const size_t cells = or_default(options ? options->cells : 0, CELLS);
  double *speed = calloc(cells, sizeof *speed);
  if (!speed)
    return FG_EMEMORY;
  fg_status status = fg_bed_profile(&c->machine->bed, c->machine->at.settled_m, cells, speed);
  for (size_t k = 0; k < c->lanes; ++k) {
    fg_lane_group *group = &c->group[c->lane[k].stuff];
    if (group->count++ == 0)
      group->first = k;
  }
  for (int g = 0; g < FG_STUFF_COUNT && status == FG_OK; ++g)
    if (c->group[g].count > 0)
      status = build_march(c, options, speed, cells, &c->group[g]);
  free(speed);
  return status;
}

static fg_status fill_capture(fg_capture *c, const fg_loss_options *options) {
  c->lane = calloc(FG_LANES_MAX, sizeof *c->lane);
  if (!c->lane)
    return FG_EMEMORY;
  fg_status status =
      fg_lanes_fill(c->scenario, c->machine, !(options && options->kept_only), c->lane, &c->lanes);
  if (status != FG_OK)
    return status;
  c->freed = calloc(c->riffles * c->lanes, sizeof *c->freed);
  c->stuck = calloc(c->lanes, sizeof *c->stuck);
  c->open_share = calloc(c->times * c->riffles, sizeof *c->open_share);
  c->open_time = calloc(c->times * c->riffles, sizeof *c->open_time);
  if (!c->freed || !c->stuck || !c->open_share || !c->open_time)
    return FG_EMEMORY;
  status = describe_freeing(c);
  return status == FG_OK ? build_marches(c, options) : status;
}

fg_status fg_capture_new(const fg_scenario *scenario, const fg_machine *machine,
                         const fg_loss_options *options, fg_capture **capture) {
  fg_capture *c = calloc(1, sizeof *c);
  if (!c)
    return FG_EMEMORY;
  c->scenario = scenario;
  c->machine = machine;
  c->riffles = (size_t)scenario->deck.riffles;
  c->times = or_default(options ? options->times : 0, TIMES);
  c->fill_error = options && options->kept_only ? 1e-3 : 1e-6;
  c->standing = fg_fill_standing(scenario, &machine->at);
  c->pocket_kg = machine->at.fill.volume_m3 * (1.0 - machine->voidage) * FG_MAGNETITE_KG_M3;
  const fg_status status = fill_capture(c, options);
  if (status != FG_OK) {
    fg_capture_free(c);
    return status;
  }
  *capture = c;
  return FG_OK;
}

void fg_capture_free(fg_capture *capture) {
  if (!capture)
    return;
  for (int g = 0; g < FG_STUFF_COUNT; ++g)
    fg_march_free(capture->group[g].march);
  free(capture->lane);
  free(capture->freed);
  free(capture->stuck);
  free(capture->open_share);
  free(capture->open_time);
  free(capture);
}

fg_status fg_catch_new(const fg_capture *capture, fg_catch *result) {
  *result = (fg_catch){0};
  result->held = calloc(capture->riffles * capture->lanes, sizeof *result->held);
  result->over = calloc(capture->lanes, sizeof *result->over);
  result->blown = calloc(capture->lanes, sizeof *result->blown);
  if (result->held && result->over && result->blown)
    return FG_OK;
  fg_catch_free(result);
  return FG_EMEMORY;
}

void fg_catch_free(fg_catch *result) {
  free(result->held);
  free(result->over);
  free(result->blown);
  *result = (fg_catch){0};
}

/* What a pocket gains in a step by its open share s: steep s/(1 + bend s), since what it catches it
 * takes from the flow. */
typedef struct pocket_gain {
  double steep, bend;
} pocket_gain;

/* One pass of a group down the deck. */
typedef struct deck_pass {
  fg_capture *c;
  const fg_lane_group *group;
  double seconds; /* a step of time; 0: a snapshot, rates only */
  bool ideal, leaky;
  double *open_share;               /* [riffle]; NULL: empty pockets, 1 everywhere */
  double *open_time;                /* [riffle] part of the step before the pocket is full */
  bool fills;                       /* black sand: works out open_share and the fill as it goes */
  pocket_gain gain[FG_RIFFLES_MAX]; /* of each pocket's last step */
  double drift; /* how that of the pocket above has changed since its step before */
  double *trap, *closed, *caught, *caught_full, *spilled, *walking, *gone, *gone_before;
} deck_pass;

/* Gold that a pocket lets go of during the step walks on in the lowest layer; the pocket's
 * balance over the step is exact.  held[] is what the pocket has (share x s). */
static void let_go(const deck_pass *p, double *held) {
  const fg_lane *lane = p->c->lane + p->group->first;
  for (size_t k = 0; k < p->group->count; ++k) {
    const double rate = p->leaky ? lane[k].release_1_s : 0.0;
    if (rate > 0.0) {
      const double all = held[k] + p->caught[k] * p->seconds;
      held[k] = held[k] * exp(-rate * p->seconds) - p->caught[k] * expm1(-rate * p->seconds) / rate;
      p->walking[k] = (all - held[k]) / p->seconds;
    } else {
      held[k] += p->caught[k] * p->seconds;
      p->walking[k] = 0.0;
    }
  }
}

/* Takes one pitch with the open share of its pocket's trap, from the state kept before it; the
 * rest of the pocket is full and takes gold in by creep alone. */
static void take_pitch(const deck_pass *p, double open_share) {
  const fg_lane *lane = p->c->lane + p->group->first;
  const size_t n = p->group->count;
  for (size_t k = 0; k < n; ++k) {
    p->trap[k] = p->ideal ? 1.0 : open_share * lane[k].stay;
    p->closed[k] = p->ideal ? 0.0 : (1.0 - open_share) * lane[k].stay;
  }
  memset(p->caught, 0, n * sizeof *p->caught);
  const fg_march_pocket pocket = {p->trap, p->closed};
  fg_march_pitch(p->group->march, &pocket, p->caught, p->gone);
}

/* The same, from the state kept; returns the share of a pocket that is caught in the step. */
static double try_pitch(const deck_pass *p, double open_share) {
  const fg_lane *lane = p->c->lane + p->group->first;
  fg_march_back(p->group->march);
  memcpy(p->gone, p->gone_before, p->group->count * sizeof *p->gone);
  take_pitch(p, open_share);
  double mass = 0.0;
  for (size_t k = 0; k < p->group->count; ++k)
    mass += lane[k].flow_kg_s * p->caught[k];
  return p->c->standing * mass * p->seconds / p->c->pocket_kg;
}

/* Fuller than this a pocket takes no more black sand, and gold by creep alone (model): without an
 * end that is reached, a grain that sinks fast would be caught until the last thousandth of its
 * room is gone. */
static const double full_pocket = 0.95;

/* Mean of 1 - F^2 while the fill rises evenly from a to b. */
static double mean_open_share(double a, double b) { return 1.0 - (a * a + a * b + b * b) / 3.0; }

/* How a pocket goes through a step, told by one number: up to 1 it ends at fill + way (1 - fill);
 * beyond, it is full before the step ends and open for 2 - way of what it would be. */
static double share_on_way(double fill, double way) {
  return way <= 1.0 ? mean_open_share(fill, fill + way * (full_pocket - fill))
                    : (2.0 - way) * mean_open_share(fill, full_pocket);
}

/* How a pocket would go through the step if it gained like this: no pitch is marched for it. */
static double likely_way(double fill, const pocket_gain *gain) {
  double low = 0.0, high = 2.0;
  for (int step = 0; step < 24; ++step) {
    const double way = 0.5 * (low + high), share = share_on_way(fill, way);
    if (gain->steep * share > fmin(1.0, way) * (full_pocket - fill) * (1.0 + gain->bend * share))
      low = way;
    else
      high = way;
  }
  return 0.5 * (low + high);
}

/* One pitch of a pocket's step: more is caught than it takes when over > 0. */
typedef struct pocket_trial {
  double way, share, gain, over;
} pocket_trial;

static pocket_trial try_way(const deck_pass *p, double fill, double way) {
  pocket_trial t = {.way = way, .share = share_on_way(fill, way)};
  t.gain = try_pitch(p, t.share);
  t.over = t.gain - fmin(1.0, way) * (full_pocket - fill);
  return t;
}

/* The gain through one trial, bent as before; through two where both tell. */
static void fit_gain(const pocket_trial *before, const pocket_trial *last, pocket_gain *gain) {
  if (!(last->gain > 0.0 && last->share > 0.0))
    return;
  if (before->gain > 0.0 && before->share > 0.0 && before->share != last->share) {
    const double slope = (before->share / before->gain - last->share / last->gain) /
                         (before->share - last->share); /* bend/steep */
    gain->bend = fmax(0.0, slope / (last->share / last->gain - slope * last->share));
  }
  gain->steep = last->gain / last->share * (1.0 + gain->bend * last->share);
}

/* What a pocket may be expected to gain in this step: as in its step before, changed like the
 * pocket above; in its first step like that pocket. */
static pocket_gain expected_gain(const deck_pass *p, size_t riffle) {
  pocket_gain gain = p->gain[riffle];
  gain.steep *= p->drift;
  return gain.steep > 0.0 || riffle == 0 ? gain : p->gain[riffle - 1];
}

static void note_step(deck_pass *p, size_t riffle, const pocket_gain *gain,
                      const pocket_trial *done) {
  const double before = p->gain[riffle].steep;
  p->drift = before > 0.0 && gain->steep > 0.0 ? gain->steep / before : 1.0;
  p->gain[riffle] = *gain;
  p->open_time[riffle] = fmin(1.0, 2.0 - done->way);
  p->open_share[riffle] = done->share;
}

/* Finds how the pocket goes through the step, implicit and second order in time, never above
 * full, true to the mass caught; leaves the pitch as it then was.  Inside a bracket, by the gain
 * fitted through the last two trials, since a trial costs a pitch. */
static fg_status fill_pocket(deck_pass *p, size_t riffle, double *fill) {
  if (full_pocket - *fill < 1e-9) {
    (void)try_pitch(p, p->open_share[riffle] = p->open_time[riffle] = 0.0);
    return FG_OK;
  }
  double low = 0.0, high = 2.0;
  pocket_trial before = {0.0, 0.0, 0.0, 0.0};
  pocket_gain gain = expected_gain(p, riffle);
  double way = likely_way(*fill, &gain);
  for (int trial = 0; trial < 200; ++trial) {
    const pocket_trial last = try_way(p, *fill, way);
    fit_gain(&before, &last, &gain);
    if (fabs(last.over) <= p->c->fill_error || high - low < 1e-14) {
      note_step(p, riffle, &gain, &last);
      *fill = fmin(full_pocket, *fill + last.gain);
      return FG_OK;
    }
    if (last.over > 0.0)
      low = way;
    else
      high = way;
    way = likely_way(*fill, &gain);
    if (!(way > low && way < high) || (trial > 6 && trial % 3 == 0))
      way = 0.5 * (low + high);
    before = last;
  }
  return FG_ENOROOT;
}

/* A pocket as the black sand left it.  In the step in which it fills up, what came by before and
 * what came after are blended: grains that sink fast are all caught by a pocket with any room. */
static void pass_pocket(deck_pass *p, size_t riffle) {
  const size_t n = p->group->count;
  const double share = p->open_share ? p->open_share[riffle] : 1.0;
  const double part = p->open_time ? p->open_time[riffle] : 1.0;
  if (!(part > 0.0 && part < 1.0)) {
    take_pitch(p, share);
    return;
  }
  fg_march *march = p->group->march;
  memcpy(p->gone_before, p->gone, n * sizeof *p->gone);
  fg_march_keep(march);
  take_pitch(p, 0.0);
  memcpy(p->walking, p->gone, n * sizeof *p->gone); /* let_go() fills it afterwards */
  memcpy(p->caught_full, p->caught, n * sizeof *p->caught);
  fg_march_swap(march);
  memcpy(p->gone, p->gone_before, n * sizeof *p->gone);
  take_pitch(p, share / part);
  fg_march_blend(march, part);
  for (size_t k = 0; k < n; ++k) {
    p->caught[k] = part * p->caught[k] + (1.0 - part) * p->caught_full[k];
    p->gone[k] = part * p->gone[k] + (1.0 - part) * p->walking[k];
  }
}

/* Of what came into a pocket the standing share stays; the rest goes on in the lowest layer. */
static void spill(const deck_pass *p) {
  const double gone = p->ideal ? 0.0 : 1.0 - p->c->standing;
  for (size_t k = 0; k < p->group->count; ++k) {
    p->spilled[k] = gone * p->caught[k];
    p->caught[k] -= p->spilled[k];
  }
}

static fg_status pass_down(deck_pass *p, fg_catch *result) {
  fg_capture *c = p->c;
  const size_t n = p->group->count, first = p->group->first;
  fg_march *march = p->group->march;
  memset(p->walking, 0, n * sizeof *p->walking);
  memset(p->gone, 0, n * sizeof *p->gone);
  p->drift = 1.0;
  fg_march_begin(march, c->freed + first);
  for (size_t i = 0; i < c->riffles; ++i) {
    if (i > 0) {
      fg_march_add_mixed(march, c->freed + i * c->lanes + first);
      fg_march_add_low(march, p->walking);
    }
    if (p->fills) {
      memcpy(p->gone_before, p->gone, n * sizeof *p->gone);
      fg_march_keep(march);
      const fg_status status = fill_pocket(p, i, &c->fill[i]);
      if (status != FG_OK)
        return status;
    } else {
      pass_pocket(p, i);
    }
    spill(p);
    double *held = result->held + i * c->lanes + first;
    if (p->seconds > 0.0)
      let_go(p, held);
    else
      memcpy(held, p->caught, n * sizeof *held);
    for (size_t k = 0; k < n; ++k)
      p->walking[k] = p->spilled[k] + (p->seconds > 0.0 ? p->walking[k] : 0.0);
  }
  const double weight = p->seconds > 0.0 ? p->seconds : 1.0;
  fg_march_remaining(march, p->trap);
  for (size_t k = 0; k < n; ++k) {
    result->over[first + k] += weight * (p->trap[k] + p->walking[k]);
    result->blown[first + k] += weight * p->gone[k];
  }
  return FG_OK;
}

static void average_over(const fg_capture *c, const fg_lane_group *group, double seconds,
                         fg_catch *result) {
  for (size_t k = group->first; k < group->first + group->count; ++k) {
    result->over[k] /= seconds;
    result->blown[k] /= seconds;
    for (size_t i = 0; i < c->riffles; ++i)
      result->held[i * c->lanes + k] /= seconds;
  }
}

/* Steps through the cleaning interval; filling: with the pockets as black sand fills them. */
static fg_status pass_interval(deck_pass *p, bool filling, fg_catch *result) {
  fg_capture *c = p->c;
  const double interval =
      c->moment_s ? c->moment_s[c->times - 1] : c->scenario->run.cleaning_interval;
  p->seconds = interval / (double)c->times;
  for (size_t i = 0; i < c->times; ++i) {
    if (c->moment_s)
      p->seconds = c->moment_s[i] - (i > 0 ? c->moment_s[i - 1] : 0.0);
    p->open_share = filling ? c->open_share + i * c->riffles : NULL;
    p->open_time = filling ? c->open_time + i * c->riffles : NULL;
    const fg_status status = pass_down(p, result);
    if (status != FG_OK)
      return status;
    if (filling && c->watch)
      c->watch(c, c->lane[p->group->first].stuff, i, result, c->watch_context);
  }
  average_over(c, p->group, interval, result);
  return FG_OK;
}

static bool any_release(const fg_capture *c, const fg_lane_group *group) {
  for (size_t k = group->first; k < group->first + group->count; ++k)
    if (c->lane[k].release_1_s > 0.0)
      return true;
  return false;
}

static fg_status run_group(fg_capture *c, fg_stuff stuff, fg_pockets pockets, double *scratch,
                           fg_catch *result) {
  const fg_lane_group *group = &c->group[stuff];
  const size_t n = group->count;
  const bool filling = pockets == FG_POCKETS_FILLING && stuff != FG_QUARTZ;
  deck_pass p = {.c = c,
                 .group = group,
                 .ideal = pockets == FG_POCKETS_IDEAL,
                 .leaky = pockets == FG_POCKETS_LEAKY || filling,
                 .fills = filling && stuff == FG_MAGNETITE,
                 .trap = scratch,
                 .closed = scratch + n,
                 .caught = scratch + 2 * n,
                 .caught_full = scratch + 3 * n,
                 .walking = scratch + 4 * n,
                 .gone = scratch + 5 * n,
                 .gone_before = scratch + 6 * n,
                 .spilled = scratch + 7 * n};
  if (filling || (p.leaky && any_release(c, group)))
    return pass_interval(&p, filling, result);
  return pass_down(&p, result);
}

/* Black sand first: how it fills the pockets is what the gold then finds. */
static const fg_stuff order[FG_STUFF_COUNT] = {FG_MAGNETITE, FG_GOLD, FG_QUARTZ};

static fg_status run_groups(fg_capture *capture, fg_pockets pockets, int first, int last,
                            fg_catch *result) {
  double *scratch = calloc(8 * capture->lanes, sizeof *scratch);
  if (!scratch)
    return FG_EMEMORY;
  fg_status status = FG_OK;
  memset(capture->fill, 0, sizeof capture->fill);
  for (int g = first; g <= last && status == FG_OK; ++g)
    status = run_group(capture, order[g], pockets, scratch, result);
  free(scratch);
  return status;
}

fg_status fg_capture_run(fg_capture *capture, fg_pockets pockets, fg_catch *result) {
  return run_groups(capture, pockets, 0, FG_STUFF_COUNT - 1, result);
}

fg_status fg_capture_run_gold(fg_capture *capture, fg_pockets pockets, fg_catch *result) {
  return run_groups(capture, pockets, pockets == FG_POCKETS_FILLING ? 0 : 1, 1, result);
}
