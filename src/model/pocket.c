/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "flourgold/settling.h"
#include "model/capture_internal.h"
#include "model/household.h"
#include "physics/charge.h"
#include "physics/flow.h"
#include "physics/grains.h"
#include "physics/sink.h"

/* Settling velocity of a flake in the pocket: charge on the cloth adds to its weight. */
static fg_status pocket_velocity(const fg_scenario *s, const fg_machine *m, const fg_lane *lane,
                                 double *speed) {
  *speed = lane->settling_m_s;
  if (s->site.humidity > FG_STATIC_HUMIDITY || !(s->deck.static_charge > 0.0))
    return FG_OK;
  const double thickness = lane->size_m * fmin(1.0, lane->grain.shape.flatness);
  double pull;
  const fg_status status =
      fg_static_pull(thickness, lane->grain.density_kg_m3, s->deck.static_charge, &pull);
  if (status != FG_OK)
    return status;
  const double weight = fg_grain_weight(&lane->grain, &m->sinking.gas) * (1.0 + pull);
  return fg_drag_speed(s->closure.drag_law, &lane->grain, &m->sinking.gas, weight, speed);
}

/* 1/(1 + (u/v)^6): the quiet strip's air in the pores against the flake's settling (model). */
static fg_status pocket_stay(const fg_scenario *s, const fg_machine *m, fg_lane *lane) {
  double speed;
  const fg_status status = pocket_velocity(s, m, lane, &speed);
  if (status != FG_OK)
    return status;
  const double air = m->at.quiet_velocity_m_s * pow(m->voidage, -s->closure.pore_exponent);
  lane->stay = 1.0 / (1.0 + pow(air / speed, 6.0));
  return FG_OK;
}

/* The air in a pocket full of black sand: what it carries, and what would float it. */
static fg_status air_pocket(const fg_machine *m, fg_pocket_sand *p) {
  const fg_packing packing = {p->sinking.bed_grain.dv_m, p->sinking.bed_grain.shape.sphericity,
                              p->strip.voidage};
  const double weight = (1.0 - p->strip.voidage) * p->sinking.bed_grain.density_kg_m3 * FG_GRAVITY *
                        cos(p->sinking.slope_rad);
  double gradient;
  fg_status status = fg_packing_velocity(&packing, weight, m->air.density_kg_m3,
                                         m->air.viscosity_pa_s, &p->sinking.fluidising_m_s);
  if (status == FG_OK)
    status = fg_packing_gradient(&packing, p->strip.velocity_m_s, m->air.density_kg_m3,
                                 m->air.viscosity_pa_s, &gradient);
  if (status == FG_OK)
    p->strip.support = fmin(1.0, gradient / weight);
  return status;
}

fg_status fg_pocket_sand_describe(const fg_scenario *s, const fg_machine *m, fg_pocket_sand *p) {
  const fg_mineral *black = fg_grain_mineral("magnetite");
  const double weight = m->bed.bulk_kg_m3 * FG_GRAVITY * cos(m->bed.slope_rad) * m->at.settled_m;
  p->sinking = m->sinking;
  p->sinking.bed_grain.dv_m = s->ground.magnetite_median;
  p->sinking.bed_grain.density_kg_m3 = black->density_kg_m3;
  p->strip = (fg_strip){.velocity_m_s = m->at.quiet_velocity_m_s,
                        .voidage = m->voidage,
                        .overburden_pa = weight,
                        .normal_pa = weight * (1.0 - m->strip[1].support) + m->bed.cohesion_pa,
                        .total_1_s =
                            s->closure.pocket_creep * fmin(1.0, m->at.shake.gamma) * m->shear_1_s};
  fg_bed sand = m->bed;
  sand.grain_m = p->sinking.bed_grain.dv_m;
  sand.grain_kg_m3 = p->sinking.bed_grain.density_kg_m3;
  p->strip.viscosity_pa_s = fg_bed_viscosity(&sand, p->strip.normal_pa, p->strip.total_1_s);
  fg_status status = fg_grain_of_sphericity(black->sphericity, &p->sinking.bed_grain.shape);
  if (status == FG_OK)
    status = air_pocket(m, p);
  return status == FG_OK ? fg_sinking_prepare(&p->sinking, &p->strip) : status;
}

/* Only gold sinks into a full pocket: black sand that came to lie there would have to push as
 * much black sand out, and quartz is lighter. */
static fg_status pocket_creep(const fg_pocket_sand *p, fg_lane *lane) {
  lane->skin_m = fmax(2.0 * p->sinking.bed_grain.dv_m, lane->grain.dv_m);
  if (lane->stuff != FG_GOLD)
    return FG_OK;
  double speed;
  const fg_status status = fg_sinking_speed(&p->sinking, &p->strip, &lane->grain, &speed);
  if (status == FG_OK)
    lane->creep_m_s = fmax(0.0, speed);
  return status;
}

fg_status fg_pocket_hold(const fg_scenario *s, const fg_machine *m, const fg_pocket_sand *sand,
                         fg_lane *lane) {
  const fg_status status = pocket_stay(s, m, lane);
  return status == FG_OK ? pocket_creep(sand, lane) : status;
}
