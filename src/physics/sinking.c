/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/sinking.h"

#include <math.h>
#include <stdbool.h>

#include "flourgold/air.h"
#include "physics/laws.h"
#include "physics/sink.h"

static double grain_volume(const fg_grain *grain) {
  return M_PI / 6.0 * grain->dv_m * grain->dv_m * grain->dv_m;
}

/* Weight across the slope. */
static double cross_weight(const fg_sinking *s, const fg_grain *grain) {
  return grain->density_kg_m3 * FG_GRAVITY * grain_volume(grain) * cos(s->slope_rad);
}

fg_status fg_sinking_prepare(const fg_sinking *sinking, fg_strip *strip) {
  const double above = fmax(0.0, strip->velocity_m_s - sinking->fluidising_m_s);
  strip->effective_m_s =
      fmin(strip->velocity_m_s, sinking->fluidising_m_s) + sinking->excess_air * above;
  strip->bubble_m_s = (1.0 - sinking->excess_air) * above;
  strip->bed_exponent = sinking->pore_exponent;
  if (!(strip->effective_m_s > 0.0))
    return FG_OK;
  double slip;
  const double carried = strip->support * cross_weight(sinking, &sinking->bed_grain);
  const fg_status status =
      fg_drag_speed(sinking->drag_law, &sinking->bed_grain, &sinking->gas, carried, &slip);
  if (status != FG_OK)
    return status;
  if (slip > 0.0)
    strip->bed_exponent = log(strip->effective_m_s / slip) / log(strip->voidage);
  return FG_OK;
}

double fg_sinking_slip(const fg_sinking *sinking, const fg_strip *strip, double dv_m) {
  const double y = dv_m / sinking->bed_grain.dv_m;
  const double along = fmin(1.0, fmax(0.0, log(y / 0.2) / log(5.0)));
  const double exponent =
      sinking->pore_exponent + (strip->bed_exponent - sinking->pore_exponent) * along;
  return strip->effective_m_s * pow(strip->voidage, -exponent);
}

/* Weight of a bed that bears on a grain, per its volume: between the grains' own density
 * for a small grain and the bulk density for a large one. */
static double bed_pressing(const fg_sinking *s, const fg_strip *strip, const fg_grain *grain) {
  const double e = strip->voidage, bulk = (1.0 - e) * s->bed_grain.density_kg_m3;
  const double near = 1.0 + e / (1.0 - e) * fmin(1.0, s->bed_grain.dv_m / grain->dv_m);
  return bulk * FG_GRAVITY * cos(s->slope_rad) * near;
}

fg_status fg_sinking_speed(const fg_sinking *sinking, const fg_strip *strip, const fg_grain *grain,
                           double *speed_m_s) {
  if (!(grain->dv_m > 0.0) || !(strip->viscosity_pa_s > 0.0))
    return FG_EDOMAIN;
  const double bed_m = sinking->bed_grain.dv_m, weight = cross_weight(sinking, grain);
  const double pressing = bed_pressing(sinking, strip, grain) * grain_volume(grain);
  const bool fine = grain->dv_m <= bed_m;
  const double lift = fine ? fg_drag_force(sinking->drag_law, grain, &sinking->gas,
                                           fg_sinking_slip(sinking, strip, grain->dv_m))
                           : strip->support * pressing;
  const double net = weight - lift - (1.0 - strip->support) * pressing;
  double speed = net / (sinking->stokes_factor * M_PI * strip->viscosity_pa_s * grain->dv_m);
  if (grain->dv_m < bed_m) {
    const fg_sieving_case c = {strip->total_1_s,
                               grain->dv_m,
                               bed_m,
                               strip->overburden_pa,
                               sinking->bed_grain.density_kg_m3,
                               sinking->sieving_constant};
    speed += fg_sieving_laws[sinking->sieving_law].speed(&c) * (1.0 - lift / weight);
  }
  *speed_m_s = speed;
  return FG_OK;
}

double fg_sinking_mixing(const fg_sinking *sinking, const fg_strip *strip, double depth_m,
                         double stroke_m, double omega_1_s) {
  const double d = sinking->bed_grain.dv_m;
  return sinking->shear_mixing * strip->total_1_s * d * d +
         sinking->bubble_mixing * strip->bubble_m_s * depth_m +
         sinking->shake_mixing * stroke_m * stroke_m * omega_1_s;
}
