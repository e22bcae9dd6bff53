/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/sinking.h"

#include <math.h>

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

/* How the contacts of a sheared bed push an intruder up, over what they push a bed grain up, per
 * volume, at a size ratio: above 1 a grain of the bed's density is squeezed up, far above it sinks.
 * Jing et al., Phys. Rev. Research 2:022069, 2020 (form; constants from memory). */
static double squeeze(double ratio) {
  const double one = (1.0 - 1.43 * exp(-1.0 / 0.92)) * (1.0 + 3.55 * exp(-1.0 / 2.94));
  return (1.0 - 1.43 * exp(-ratio / 0.92)) * (1.0 + 3.55 * exp(-ratio / 2.94)) / one;
}

/* What holds a grain up, per weight of a bed grain's volume: by the bed's contacts, and by the
 * pressure of the air in it, where both carry all of the bed.  Finer grains fit between the bed's
 * and feel the contacts as a grain of the bed would; what slips them down is the sieving law's. */
typedef struct upholding {
  double contacts, air;
} upholding;

static upholding upheld(double e, double ratio) { /* e: voidage */
  if (ratio <= 1.0)
    return (upholding){1.0, 1.0};
  return (upholding){squeeze(ratio), (1.0 - e) * (1.0 + e / (1.0 - e) / ratio)};
}

/* Ends of the size ratio between which a grain goes over from a small one, dragged by the air in
 * the pores, to a large one, floated by the pressure of the air in the bed. */
static const double small_ratio = 0.5, large_ratio = 1.0;

/* Force of the air on a grain. */
static double air_lift(const fg_sinking *s, const fg_strip *strip, const fg_grain *grain,
                       double floated) {
  const double ratio = grain->dv_m / s->bed_grain.dv_m;
  const double over = log(ratio / small_ratio) / log(large_ratio / small_ratio);
  const double part = fmin(1.0, fmax(0.0, over));
  if (part >= 1.0)
    return floated;
  const double dragged =
      fg_drag_force(s->drag_law, grain, &s->gas, fg_sinking_slip(s, strip, grain->dv_m));
  return dragged + part * (floated - dragged);
}

fg_status fg_sinking_speed(const fg_sinking *sinking, const fg_strip *strip, const fg_grain *grain,
                           double *speed_m_s) {
  if (!(grain->dv_m > 0.0) || !(strip->viscosity_pa_s > 0.0))
    return FG_EDOMAIN;
  const double bed_m = sinking->bed_grain.dv_m, weight = cross_weight(sinking, grain);
  const upholding held = upheld(strip->voidage, grain->dv_m / bed_m);
  const double displaced =
      sinking->bed_grain.density_kg_m3 * FG_GRAVITY * grain_volume(grain) * cos(sinking->slope_rad);
  const double lift = air_lift(sinking, strip, grain, strip->support * held.air * displaced);
  const double net = weight - lift - (1.0 - strip->support) * held.contacts * displaced;
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
