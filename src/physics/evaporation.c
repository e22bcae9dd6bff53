/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/evaporation.h"

#include <math.h>

#include "physics/reference_evaporation.h"

static const double pi = 3.14159265358979323846;
static const double latent_heat_j_kg = 2.45e6; /* FAO-56, annex 3 */

fg_status fg_evaporation_reduction(double tew_m, double rew_m, double depletion_m, double *kr) {
  if (!(rew_m >= 0.0) || !(rew_m < tew_m) || !(depletion_m >= 0.0) || !(depletion_m <= tew_m))
    return FG_EDOMAIN;
  *kr = depletion_m <= rew_m ? 1.0 : (tew_m - depletion_m) / (tew_m - rew_m);
  return FG_OK;
}

fg_status fg_layer_step(const fg_layer_day *day, fg_layer_result *result) {
  if (!(day->rain_m >= 0.0) || !isfinite(day->et0_m) || !(day->kc_max >= day->kcb) ||
      !(day->kcb >= 0.0) || !(day->exposed > 0.0) || !(day->exposed <= 1.0))
    return FG_EDOMAIN;
  fg_layer_result r = {0};
  const double wetted = fmax(0.0, day->depletion_m - day->rain_m);
  const fg_status status = fg_evaporation_reduction(day->tew_m, day->rew_m, wetted, &r.kr);
  if (status != FG_OK || !(day->depletion_m <= day->tew_m))
    return FG_EDOMAIN;
  r.percolation_m = fmax(0.0, day->rain_m - day->depletion_m);
  r.ke = fmin(r.kr * (day->kc_max - day->kcb), day->exposed * day->kc_max);
  const double most = day->exposed * (day->tew_m - wetted);
  r.evaporation_m = fmin(r.ke * fmax(0.0, day->et0_m), most);
  r.depletion_m = fmin(day->tew_m, wetted + r.evaporation_m / day->exposed);
  *result = r;
  return FG_OK;
}

fg_status fg_ritchie_loss(double first_stage_m, double coefficient_m, double days, double *loss_m) {
  if (!(first_stage_m >= 0.0) || !(coefficient_m >= 0.0) || !(days >= 0.0))
    return FG_EDOMAIN;
  *loss_m = first_stage_m + coefficient_m * sqrt(days);
  return FG_OK;
}

fg_status fg_ritchie_diffusivity(double coefficient_m, double range, double *diffusivity_m2_s) {
  if (!(coefficient_m >= 0.0) || !(range > 0.0))
    return FG_EDOMAIN;
  const double speed = coefficient_m / range; /* m per square root of a day */
  *diffusivity_m2_s = 0.25 * pi * speed * speed / 86400.0;
  return FG_OK;
}

static const double vapour_j_kg_k = 461.5, air_j_kg_k = 287.05, air_heat = 1013.0;
static const double sand_heat = 800.0, water_heat = 4186.0; /* J/(kg K) */
static const double vapour_m2_s = 2.5e-5;                   /* diffusion in air near 25 C */
static const double warmed_m = 0.10;                        /* in hours */
static const double creeping = 0.03; /* wetter sand draws its water up: estimate */
static const double rake_every_s = 1800.0, step_s = 60.0;

/* A layer on its way. */
typedef struct layer_state {
  double kelvin, crust_m; /* crust: dried above the wet since the last raking */
  double water_kg_m2;     /* above the residual, in what is raked */
} layer_state;

static double vapour_density(double kelvin) {
  return fg_fao_saturation(kelvin) / (vapour_j_kg_k * kelvin);
}

static double net_at(const fg_spread *s, double from_noon_s) {
  const double peak = s->net_w_m2 * 86400.0 * 0.5 * pi / s->daylight_s;
  return peak * cos(pi * from_noon_s / s->daylight_s);
}

/* One step: the flows at the step's start, the temperature's own effect on them taken along. */
static void spread_step(const fg_spread *s, double net_w_m2, layer_state *l) {
  const double voids = 1.0 - s->bulk_kg_m3 / 2650.0;
  const double air_s_m = 208.0 / fmax(0.1, s->wind_m_s);
  const double crust_s_m = l->crust_m / (vapour_m2_s * voids * sqrt(voids));
  const double sensible = air_heat * s->pressure_pa / (air_j_kg_k * s->air_k) / air_s_m;
  const double radiated = 4.0 * 5.67e-8 * s->air_k * s->air_k * s->air_k;
  const double outside = s->vapour_pa / (vapour_j_kg_k * s->air_k);
  double rate = 0.0, slope = 0.0;
  if (l->water_kg_m2 > 0.0) {
    rate = fmax(0.0, (vapour_density(l->kelvin) - outside) / (air_s_m + crust_s_m));
    slope =
        (vapour_density(l->kelvin + 0.5) - vapour_density(l->kelvin - 0.5)) / (air_s_m + crust_s_m);
  }
  const double heat =
      fmin(s->thickness_m, warmed_m) * s->bulk_kg_m3 * (sand_heat + water_heat * s->moisture);
  const double gain =
      net_w_m2 - (sensible + radiated) * (l->kelvin - s->air_k) - latent_heat_j_kg * rate;
  const double warmer =
      step_s * gain / (heat + step_s * (sensible + radiated + latent_heat_j_kg * slope));
  const double lost = fmin(l->water_kg_m2, step_s * fmax(0.0, rate + slope * warmer));
  const double wet_kg_m3 =
      l->water_kg_m2 / fmax(1e-9, fmin(s->thickness_m, s->raked_m) - l->crust_m);
  l->kelvin += warmer;
  if (wet_kg_m3 > 0.0 && wet_kg_m3 < creeping * s->bulk_kg_m3)
    l->crust_m += lost / wet_kg_m3;
  l->water_kg_m2 -= lost;
}

fg_status fg_spread_drying(const fg_spread *s, double *moisture) {
  if (!(s->thickness_m > 0.0) || !(s->raked_m > 0.0) || !(s->sun_s >= 0.0) ||
      !(s->daylight_s > 0.0) || !(s->bulk_kg_m3 > 0.0) || !(s->bulk_kg_m3 < 2650.0) ||
      !(s->moisture >= 0.0) || !(s->residual >= 0.0) || !isfinite(s->net_w_m2) ||
      !(s->air_k > 200.0) || !(s->vapour_pa >= 0.0) || !(s->pressure_pa > 0.0) ||
      !(s->wind_m_s >= 0.0))
    return FG_EDOMAIN;
  const double raked = fmin(s->thickness_m, s->raked_m);
  const double free_kg_m2 = raked * s->bulk_kg_m3 * fmax(0.0, s->moisture - s->residual);
  layer_state l = {.kelvin = s->air_k, .water_kg_m2 = free_kg_m2};
  const double sun = fmin(s->sun_s, s->daylight_s);
  const long steps = lround(sun / step_s), raking = lround(rake_every_s / step_s);
  for (long i = 0; i < steps; ++i) {
    if (i % raking == 0)
      l.crust_m = 0.0;
    spread_step(s, net_at(s, ((double)i + 0.5) * step_s - 0.5 * sun), &l);
  }
  *moisture = s->moisture - (free_kg_m2 - l.water_kg_m2) / (s->thickness_m * s->bulk_kg_m3);
  return FG_OK;
}
