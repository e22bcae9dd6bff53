/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/machine.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_min.h>
#include <math.h>

#include "core/roots.h"
#include "model/circuit.h"
#include "model/model_internal.h"
#include "physics/flow.h"
#include "physics/shaking.h"
#include "physics/sink.h"

enum { DEPTH_STEPS = 24, DUST_ROUNDS = 8 };

/* Of the bed's grain size, left between the dust and the air that blows it off. */
static const double dust_error = 1e-3;

/* Of the bed's depth, left in the balance of feed and capacity, and in the depth of most capacity:
 * the capacity there is true to its square. */
static const double depth_error = 1e-9, peak_error = 1e-4;

static fg_status build_fan(const fg_scenario *s, fg_machine *m) {
  const fg_status status =
      s->blower.curve_count > 0
          ? fg_fan_points(s->blower.curve, s->blower.curve_count, &m->fan)
          : fg_fan_label(s->blower.free_volume * s->blower.label_derate, s->blower.nozzle_speed,
                         s->closure.shutoff_ratio, s->blower.label_at == FG_LABEL_OPEN, &m->fan);
  if (status != FG_OK)
    return status;
  m->fan.density_ratio = m->air.density_kg_m3 / FG_STANDARD_DENSITY;
  m->fan.speed = fg_fan_speed((fg_blower_kind)s->blower.kind, s->run.throttle, s->site.elevation,
                              m->air.density_kg_m3);
  m->fan_free_volume_m3_s = fg_fan_free_volume(&m->fan);
  return FG_OK;
}

static fg_status describe_fluidising(const fg_scenario *s, fg_machine *m) {
  const double weight = s->ground.bulk_density * FG_GRAVITY * cos(s->deck.slope);
  const fg_status status = fg_packing_velocity(&m->packing, weight, m->air.density_kg_m3,
                                               m->air.viscosity_pa_s, &m->fluidising_m_s);
  if (status != FG_OK)
    return status;
  return fg_packing_wen_yu(m->sauter_m, m->grain_density_kg_m3, m->air.density_kg_m3,
                           m->air.viscosity_pa_s, &m->wen_yu_m_s);
}

static fg_status describe_day(const fg_scenario *s, fg_machine *m) {
  fg_status status =
      fg_air_at(s->site.air_temperature, s->site.pressure, s->site.humidity, &m->air);
  if (status == FG_OK)
    status = fg_ground_describe(s, m);
  if (status != FG_OK)
    return status;
  status = describe_fluidising(s, m);
  return status == FG_OK ? build_fan(s, m) : status;
}

/* What of a strip's bed the shake hangs on. */
typedef struct bed_in_strip {
  double velocity_m_s, settled_m, depth_m, support;
} bed_in_strip;

/* The bed over a strip, shaken as far as it slips over the deck: not at all while friction at the
 * cloth holds it.  support: what the air carries of it as it flows. */
static fg_status shaken_bed(const fg_scenario *s, const fg_machine *m, const fg_operating *at,
                            const bed_in_strip *in, fg_bed *bed) {
  const fg_status status = fg_still_bed(s, m, in->velocity_m_s, bed);
  if (status != FG_OK)
    return status;
  const double weight = s->ground.bulk_density * FG_GRAVITY * in->settled_m;
  const double normal = cos(s->deck.slope) * (1.0 - in->support) + m->cohesion_pa / weight;
  const double slip =
      fg_slip_share(at->shake.gamma, s->closure.friction_static * normal, s->deck.slope);
  bed->shake_1_s = s->closure.shake_transfer * slip * at->shake.amplitude_m * 2.0 * M_PI *
                   at->shake.speed_hz / in->depth_m;
  return FG_OK;
}

static fg_status open_bed(const fg_scenario *s, const fg_machine *m, const fg_operating *at,
                          fg_bed *bed) {
  const bed_in_strip in = {at->open_velocity_m_s, at->settled_m, at->depth_m, at->support_flowing};
  return shaken_bed(s, m, at, &in, bed);
}

typedef struct depth_case {
  const fg_scenario *s;
  const fg_machine *m;
  fg_operating at;
  fg_status status;
} depth_case;

/* Air, shake and capacity (kg/s) of a bed of this settled depth. */
static fg_status carry(depth_case *c, double settled_m) {
  fg_status status = fg_machine_air(c->s, c->m, settled_m, c->at.open_velocity_m_s, &c->at);
  if (status != FG_OK)
    return status;
  fg_bed bed;
  double per_width;
  c->at.capacity_kg_s = 0.0;
  if (fg_pores_drowned(c->s->ground.moisture, c->s->ground.bulk_density, c->m->voidage))
    return FG_OK;
  status = open_bed(c->s, c->m, &c->at, &bed);
  if (status == FG_OK)
    status = fg_bed_capacity(&bed, settled_m, &per_width);
  if (status == FG_OK)
    c->at.capacity_kg_s = per_width * c->s->deck.width;
  return status;
}

/* What the bed has to carry, mean along the deck. */
static double moving_kg_s(const fg_machine *m) { return m->deck_feed_kg_s * m->sand_left; }

static double spare_capacity(double depth, void *context) {
  depth_case *c = context;
  c->status = carry(c, depth);
  return c->status == FG_OK ? c->at.capacity_kg_s - moving_kg_s(c->m) : (double)NAN;
}

static double lacking_capacity(double depth, void *context) {
  return -spare_capacity(depth, context);
}

/* Depth of most capacity between two grid neighbours of the best grid point. */
static double best_depth(depth_case *c, double low, double middle, double high) {
  gsl_min_fminimizer *search = gsl_min_fminimizer_alloc(gsl_min_fminimizer_brent);
  if (!search)
    return middle;
  gsl_function function = {lacking_capacity, c};
  double depth = middle;
  if (gsl_min_fminimizer_set(search, &function, middle, low, high) == GSL_SUCCESS)
    for (int step = 0; step < 60; ++step) {
      if (gsl_min_fminimizer_iterate(search) != GSL_SUCCESS)
        break;
      depth = gsl_min_fminimizer_x_minimum(search);
      if (gsl_min_test_interval(gsl_min_fminimizer_x_lower(search),
                                gsl_min_fminimizer_x_upper(search), 0.0, peak_error) == GSL_SUCCESS)
        break;
    }
  gsl_min_fminimizer_free(search);
  return depth;
}

typedef struct depth_scan {
  double depth[DEPTH_STEPS], spare[DEPTH_STEPS];
  int best;
  int crossing; /* first index at or above the feed, -1: none */
} depth_scan;

/* The first depth that carries the feed ends the scan, unless `whole`. */
static fg_status scan_depths(depth_case *c, bool whole, depth_scan *scan) {
  const double low = c->m->sauter_m, high = c->s->deck.side_height;
  if (!(high > low))
    return FG_EDOMAIN;
  scan->best = 0;
  scan->crossing = -1;
  for (int i = 0; i < DEPTH_STEPS && (whole || scan->crossing < 0); ++i) {
    scan->depth[i] = i + 1 < DEPTH_STEPS ? low * pow(high / low, i / (DEPTH_STEPS - 1.0)) : high;
    scan->spare[i] = spare_capacity(scan->depth[i], c);
    if (c->status != FG_OK)
      return c->status;
    if (scan->spare[i] > scan->spare[scan->best])
      scan->best = i;
    if (scan->crossing < 0 && scan->spare[i] >= 0.0)
      scan->crossing = i;
  }
  return FG_OK;
}

/* The largest capacity of any depth, from a whole scan.  *peak: its depth. */
static fg_status find_peak(depth_case *c, const depth_scan *scan, fg_machine *m, double *peak) {
  *peak = scan->depth[scan->best];
  if (scan->best > 0 && scan->best < DEPTH_STEPS - 1)
    *peak = best_depth(c, scan->depth[scan->best - 1], *peak, scan->depth[scan->best + 1]);
  m->capacity_margin = spare_capacity(*peak, c) / moving_kg_s(m);
  return c->status;
}

/* Runs the bed at the depth at which it carries the feed, between two depths. */
static fg_status run_between(depth_case *c, double low, double high) {
  double depth;
  fg_status status = fg_root(spare_capacity, c, low, high, depth_error, &depth);
  if (status == FG_OK)
    status = carry(c, depth);
  /* The capacity jumps where the bed comes loose from the deck: then take the side that carries. */
  if (status == FG_OK && c->at.capacity_kg_s < 0.999 * c->m->deck_feed_kg_s)
    status = carry(c, depth * (1.0 + 10.0 * depth_error));
  return status;
}

/* The least depth that carries the feed.  The deck stalls where none does: then that of most
 * capacity. */
static fg_status settle_depth(depth_case *c, fg_machine *m) {
  depth_scan scan;
  double peak = NAN;
  fg_status status = scan_depths(c, false, &scan);
  if (status == FG_OK && scan.crossing < 0)
    status = find_peak(c, &scan, m, &peak);
  if (status != FG_OK)
    return status;
  m->stalled = scan.crossing < 0 && m->capacity_margin < 0.0;
  m->thin = scan.crossing == 0;
  if (m->stalled)
    return carry(c, peak);
  if (m->thin)
    return carry(c, scan.depth[0]);
  if (scan.crossing > 0)
    return run_between(c, scan.depth[scan.crossing - 1], scan.depth[scan.crossing]);
  /* Only the refined peak reaches the feed. */
  return run_between(c, scan.depth[scan.best > 0 ? scan.best - 1 : 0], peak);
}

/* The depth again after the dust has changed a little: near the depth before, if the capacity
 * rises through the feed there. */
static fg_status settle_again(depth_case *c, fg_machine *m) {
  const double low = 0.95 * c->at.settled_m, high = 1.05 * c->at.settled_m;
  const bool near = !m->thin && high < c->s->deck.side_height && spare_capacity(low, c) < 0.0 &&
                    spare_capacity(high, c) > 0.0;
  return near ? run_between(c, low, high) : settle_depth(c, m);
}

static fg_status describe_margin(depth_case *c, fg_machine *m) {
  depth_scan scan;
  double peak;
  const fg_status status = scan_depths(c, true, &scan);
  return status == FG_OK ? find_peak(c, &scan, m, &peak) : status;
}

static void describe_sinking(const fg_scenario *s, fg_machine *m) {
  fg_shape shape = {1.0, 1.0, 1.0};
  (void)fg_grain_of_sphericity(s->ground.grain_sphericity, &shape);
  m->sinking = (fg_sinking){
      .gas = {m->air.density_kg_m3, m->air.viscosity_pa_s},
      .bed_grain = {m->sauter_m, m->grain_density_kg_m3, shape},
      .slope_rad = s->deck.slope,
      .fluidising_m_s = m->fluidising_m_s,
      .pore_exponent = s->closure.pore_exponent,
      .excess_air = s->closure.excess_air,
      .stokes_factor = s->closure.stokes_factor,
      .sieving_constant = s->closure.sieving,
      .drag_law = s->closure.drag_law,
      .sieving_law = s->closure.sieving_law,
      .shear_mixing = s->closure.shear_mixing,
      .bubble_mixing = s->closure.bubble_mixing,
      .shake_mixing = s->closure.shake_mixing,
  };
}

/* A strip at mid depth, from its bed, depth and shear there. */
static fg_status describe_strip(fg_machine *m, const fg_bed *bed, double velocity,
                                const fg_shear *middle, double settled_m, fg_strip *strip) {
  strip->velocity_m_s = velocity;
  strip->settled_m = settled_m;
  strip->depth_m = settled_m * (1.0 - m->voidage) / middle->packing;
  strip->support = middle->support;
  strip->voidage = 1.0 - middle->packing;
  strip->overburden_pa = bed->bulk_kg_m3 * FG_GRAVITY * cos(bed->slope_rad) * 0.5 * settled_m;
  strip->normal_pa = middle->normal_pa;
  strip->total_1_s = middle->total_1_s;
  strip->viscosity_pa_s = fg_bed_viscosity(bed, middle->normal_pa, middle->total_1_s);
  return fg_sinking_prepare(&m->sinking, strip);
}

typedef struct quiet_case {
  const fg_bed *bed;
  double per_width; /* kg/(s m) to pass on */
} quiet_case;

/* A bed that carries more than is fed at the depth of a heap flow is thinner than that. */
static double spare_flow(double settled_m, void *context) {
  const quiet_case *c = context;
  double per_width;
  return fg_bed_capacity(c->bed, settled_m, &per_width) == FG_OK ? per_width - c->per_width
                                                                 : (double)NAN;
}

/* The quiet strip passes on what the open one brings, over the sand that stands there: as a flow
 * over a heap, which shears at a rate of its own and digs as deep as it must, or by the bed's flow
 * law where that is faster. */
static fg_status describe_quiet(const fg_scenario *s, fg_machine *m) {
  const double velocity = m->at.quiet_velocity_m_s, rest = 1.0 - m->voidage;
  const double rate = s->closure.heap_shear * sqrt(FG_GRAVITY / m->sauter_m);
  fg_bed bed;
  fg_status status = fg_still_bed(s, m, velocity, &bed);
  if (status != FG_OK)
    return status;
  quiet_case c = {&bed, m->bed_speed_m_s * m->bed.bulk_kg_m3 * m->at.settled_m};
  fg_shear middle;
  double settled = fg_heap_depth(&bed, rate, c.per_width, &middle);
  const bed_in_strip in = {velocity, settled, settled * rest / middle.packing, middle.support};
  status = shaken_bed(s, m, &m->at, &in, &bed);
  double flows = 0.0;
  if (status == FG_OK)
    status = fg_bed_capacity(&bed, settled, &flows);
  if (status == FG_OK && flows > c.per_width) {
    status = fg_root(spare_flow, &c, 1e-6 * settled, settled, 1e-9, &settled);
    if (status == FG_OK)
      status = fg_bed_shear(&bed, settled, 0.5 * settled, 0.0, &middle);
  } else {
    middle.total_1_s = sqrt(rate * rate + 0.5 * bed.shake_1_s * bed.shake_1_s);
  }
  if (status == FG_OK)
    status = describe_strip(m, &bed, velocity, &middle, settled, &m->strip[1]);
  m->strip[1].speed_m_s = c.per_width / (bed.bulk_kg_m3 * settled);
  return status;
}

static fg_status describe_strips(const fg_scenario *s, fg_machine *m, const fg_shear *middle) {
  fg_status status =
      describe_strip(m, &m->bed, m->at.open_velocity_m_s, middle, m->at.settled_m, &m->strip[0]);
  m->strip[0].speed_m_s = m->bed_speed_m_s;
  if (status == FG_OK)
    status = describe_quiet(s, m);
  for (int kind = 0; kind < 2 && status == FG_OK; ++kind)
    m->mixing_m2_s[kind] = fg_sinking_mixing(&m->sinking, &m->strip[kind], m->strip[kind].depth_m,
                                             m->at.shake.amplitude_m, m->omega_1_s);
  m->viscosity_pa_s = m->strip[0].viscosity_pa_s;
  return status;
}

static fg_status describe_bed(const fg_scenario *s, fg_machine *m) {
  const double settled = m->at.settled_m, b = s->deck.dead_air_share;
  m->omega_1_s = 2.0 * M_PI * m->at.shake.speed_hz;
  describe_sinking(s, m);
  double per_width;
  fg_shear middle;
  fg_status status = open_bed(s, m, &m->at, &m->bed);
  if (status == FG_OK)
    status = fg_bed_capacity(&m->bed, settled, &per_width);
  if (status == FG_OK)
    status = fg_bed_shear(&m->bed, settled, 0.5 * settled, 0.0, &middle);
  if (status != FG_OK)
    return status;
  m->at.depth_m = settled * (1.0 - m->voidage) / middle.packing;
  m->bed_speed_m_s = per_width / (m->bed.bulk_kg_m3 * settled);
  m->coverage = fmin(1.0, moving_kg_s(m) / (per_width * s->deck.width));
  m->shear_1_s = middle.total_1_s;
  status = describe_strips(s, m, &middle);
  if (status == FG_OK)
    m->residence_s =
        s->deck.length * ((1.0 - b) / m->strip[0].speed_m_s + b / m->strip[1].speed_m_s);
  return status;
}

fg_status fg_machine_day(const fg_scenario *scenario, fg_machine *machine) {
  fg_machine m = {.capacity_margin = NAN};
  const fg_status status = describe_day(scenario, &m);
  if (status == FG_OK)
    *machine = m;
  return status;
}

/* Takes the dust that the air of m->at blows off out of the bed. *change: of the bed's grain. */
static fg_status blow_dust(const fg_scenario *s, const fg_dust *dust, fg_machine *m,
                           double *change) {
  const double before = m->sauter_m;
  fg_status status = fg_dust_blow(s, dust, m);
  if (status == FG_OK)
    status = describe_fluidising(s, m);
  *change = fabs(m->sauter_m - before) / before;
  return status;
}

/* The balance of air, bed and dust.  The air hardly depends on the dust that it blows off: the
 * first guess is that of a bed ten grains deep. */
static fg_status settle_dust(depth_case *c, fg_machine *m) {
  const double thick = fmin(10.0 * m->sauter_m, c->s->deck.side_height);
  double change = 0.0;
  fg_dust dust;
  fg_status status = fg_dust_describe(c->s, m, &dust);
  if (status == FG_OK)
    status = fg_machine_air(c->s, m, thick, 0.0, &m->at);
  if (status == FG_OK)
    status = blow_dust(c->s, &dust, m, &change);
  for (int round = 0; round < DUST_ROUNDS && status == FG_OK; ++round) {
    status = round == 0 ? settle_depth(c, m) : settle_again(c, m);
    m->at = c->at;
    if (status != FG_OK || m->stalled)
      break;
    const fg_machine settled = *m;
    status = blow_dust(c->s, &dust, m, &change);
    if (status == FG_OK && (change <= dust_error || round + 1 == DUST_ROUNDS)) {
      *m = settled; /* the grain that the air was balanced with */
      break;
    }
  }
  return status;
}

static fg_status solve(const fg_scenario *scenario, bool running, fg_machine *machine) {
  fg_machine m = {.capacity_margin = NAN,
                  .bed_speed_m_s = NAN,
                  .residence_s = NAN,
                  .shear_1_s = NAN,
                  .viscosity_pa_s = NAN,
                  .coverage = NAN};
  fg_status status = describe_day(scenario, &m);
  if (status != FG_OK)
    return status;
  depth_case c = {.s = scenario, .m = &m};
  status = settle_dust(&c, &m);
  if (status == FG_OK && !running && !m.stalled)
    status = describe_margin(&c, &m);
  if (status == FG_OK && !m.stalled)
    status = describe_bed(scenario, &m);
  if (status == FG_OK)
    *machine = m;
  return status;
}

fg_status fg_machine_solve(const fg_scenario *scenario, fg_machine *machine) {
  return solve(scenario, false, machine);
}

fg_status fg_machine_solve_running(const fg_scenario *scenario, fg_machine *machine) {
  return solve(scenario, true, machine);
}
