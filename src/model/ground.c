/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "flourgold/grain.h"
#include "model/household.h"
#include "model/model_internal.h"
#include "physics/grains.h"
#include "physics/moisture.h"

void fg_sizes_of_parts(const fg_sieve_part *parts, size_t count, fg_sizes *sizes) {
  double finer = 1.0;
  sizes->count = 0;
  for (size_t i = 0; i < count && sizes->count < FG_SIZES_MAX; ++i) {
    if (parts[i].opening_m <= 0.0)
      continue; /* the pan */
    finer = fmax(0.0, finer - parts[i].share);
    sizes->opening_m[sizes->count] = parts[i].opening_m;
    sizes->finer[sizes->count++] = finer < 1e-9 ? 0.0 : finer > 1.0 - 1e-9 ? 1.0 : finer;
  }
}

void fg_ground_sizes(const fg_scenario *s, fg_sizes *sizes) {
  const double shift = s->ground.sieve_shift > 0.0 ? s->ground.sieve_shift : 1.0;
  *sizes = (fg_sizes){.median_m = s->ground.median_grain, .spread = s->ground.grain_spread};
  fg_sizes_of_parts(s->ground.sieves, s->ground.sieve_count, sizes);
  for (size_t i = 0; i < sizes->count; ++i)
    sizes->opening_m[i] *= shift;
}

fg_bond fg_scenario_bond(const fg_scenario *s) {
  return (fg_bond){s->closure.bond_strength, s->closure.bond_moisture};
}

/* Share of the undersize that damp leaves on the screen: grains of the bed's size hold to the
 * wires by their bonds, against their weight and a layer of gravel one opening deep (model). */
static double blinded_share(const fg_scenario *s, const fg_machine *m) {
  const fg_bond bond = fg_scenario_bond(s);
  const double d = m->sauter_m;
  const double weight = M_PI / 6.0 * d * d * d * m->grain_density_kg_m3 * FG_GRAVITY;
  const double layer = s->ground.bulk_density * FG_GRAVITY * s->screen.opening;
  return 1.0 - fg_freed_share(fg_bond_force(&bond, d, m->free_water), weight, 0.0, layer, d);
}

fg_status fg_ground_describe(const fg_scenario *s, fg_machine *m) {
  const double black = s->ground.magnetite;
  m->grain_density_kg_m3 = 1.0 / ((1.0 - black) / FG_QUARTZ_KG_M3 + black / FG_MAGNETITE_KG_M3);
  m->bed_top_m = s->screen.opening;
  m->feed_kg_s = s->run.feed;
  m->clods = s->ground.clods;
  fg_sizes sizes;
  fg_ground_sizes(s, &sizes);
  fg_status status = fg_sizes_below(&sizes, s->screen.opening, &m->screen_share, &m->sauter_m);
  if (status == FG_OK)
    status = fg_voidage(s->ground.bulk_density, m->grain_density_kg_m3, &m->voidage);
  if (status == FG_OK)
    status = fg_binding_water(s->ground.moisture, s->ground.clay, &m->free_water);
  if (status != FG_OK)
    return status;
  m->feed_sauter_m = m->sauter_m;
  m->sand_left = 1.0;
  m->packing = (fg_packing){m->sauter_m, s->ground.grain_sphericity, m->voidage};
  m->screen_blinded = blinded_share(s, m);
  m->deck_feed_kg_s = m->feed_kg_s * (1.0 - m->clods) * m->screen_share * (1.0 - m->screen_blinded);
  const fg_bond bond = fg_scenario_bond(s);
  m->cohesion_pa = fg_bond_tension(&bond, m->sauter_m, m->voidage, m->free_water);
  return m->deck_feed_kg_s > 0.0 ? FG_OK : FG_EDOMAIN;
}

/* Integral of the fill's depth from the riffle to a distance upslope. */
static double fill_area(double height, double fall, double distance) {
  if (fall <= 0.0)
    return height * distance;
  const double reach = fmin(distance, height / fall);
  return reach * (height - 0.5 * fall * reach);
}

/* Fall of standing sand's surface against the deck: a slope that rests on friction under the
 * weight the air leaves it. */
static double fill_fall(const fg_scenario *s, double support) {
  const double slope = tan(s->deck.slope), repose = s->closure.friction_static * (1.0 - support);
  return fmax(0.0, slope - repose) / (1.0 + slope * repose);
}

fg_fill fg_fill_behind(const fg_scenario *s, double support_open, double support_quiet) {
  const double pitch = s->deck.length / s->deck.riffles, height = s->deck.riffle_height;
  const double quiet = s->deck.dead_air_share * pitch, open = pitch - quiet;
  const double fall = fill_fall(s, support_quiet);
  const double near = fill_area(height, fall, quiet);
  const double left = fmax(0.0, height - fall * quiet);
  const double far = left > 0.0 ? fill_area(left, fill_fall(s, support_open), open) : 0.0;
  return (fg_fill){.open_m = open > 0.0 ? far / open : 0.0,
                   .quiet_m = quiet > 0.0 ? near / quiet : height,
                   .volume_m3 = (near + far) * s->deck.width};
}

double fg_fill_standing(const fg_scenario *s, const fg_operating *at) {
  const double height = s->deck.riffle_height;
  const double quiet = s->deck.dead_air_share * s->deck.length / s->deck.riffles;
  const double length = fmax(quiet, height);
  const double support = (quiet * at->support_quiet + (length - quiet) * at->support_open) / length;
  return fill_area(height, fill_fall(s, support), length) / (height * length);
}
